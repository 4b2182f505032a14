"""Every module is reached from a command or the public API, and no modules import each other in a circle.

The graph is read from the source: imports inside functions count, those under TYPE_CHECKING do not.
"""

from __future__ import annotations

import ast
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

from compat.cli.program import COMMANDS
from tests.conftest import ROOT

ROOTS = ("compat", "compat.cli.app", *(f"compat.cli.{name}" for name in COMMANDS))
# Modules that nothing reaches yet, and why they stay. One that is reached, or gone, must leave this list.
NOT_REACHED_YET = {
    "compat.rulebook.wheel_hook": "runs when a wheel is built",
}

Graph = dict[str, set[str]]


def imported(tree: ast.AST) -> set[str]:
    """Names that a module imports, those in its functions among them."""
    found: set[str] = set()
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
            for other in node.orelse:
                found |= imported(other)
        elif isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "a relative import; the others are absolute"
            module = node.module or ""
            found |= {module, *(f"{module}.{alias.name}" for alias in node.names)}
        else:
            found |= imported(node)
    return found


def import_graph(root: Path) -> Graph:
    """Every module of the package ``compat`` in a folder, with the modules of it that it imports."""
    trees = {}
    for path in sorted((root / "compat").rglob("*.py")):
        parts = path.relative_to(root).with_suffix("").parts
        trees[".".join(parts).removesuffix(".__init__")] = ast.parse(path.read_text(encoding="utf-8"))
    return {name: (imported(tree) & trees.keys()) - {name} for name, tree in trees.items()}


def reached(graph: Graph, roots: tuple[str, ...]) -> set[str]:
    """Modules loaded by some roots; a package is loaded with each of its modules."""
    found: set[str] = set()
    ahead = list(roots)
    while ahead:
        name = ahead.pop()
        if name not in found:
            found.add(name)
            ahead += [*graph[name], *filter(graph.__contains__, [name.rpartition(".")[0]])]
    return found


def circle(graph: Graph) -> list[str]:
    """One circle of imports, its first module again at the end; empty where there is none."""
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


@pytest.fixture(scope="module")
def graph() -> Graph:
    return import_graph(ROOT)


def test_every_module_is_reached(graph: Graph) -> None:
    assert sorted(graph.keys() - reached(graph, ROOTS)) == sorted(NOT_REACHED_YET)


def test_no_modules_import_each_other_in_a_circle(graph: Graph) -> None:
    assert circle(graph) == []


def test_the_graph_is_read_from_the_source(tmp_path: Path) -> None:
    package = tmp_path / "compat"
    package.mkdir()
    for name, text in {
        "__init__": "",
        "first": "def late() -> None:\n    from compat.second import part\n",
        "second": "import compat.third\n",
        "third": "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from compat import first\n",
        "lonely": "from compat import third\n",
    }.items():
        (package / f"{name}.py").write_text(text, encoding="utf-8")
    graph = import_graph(tmp_path)
    assert reached(graph, ("compat.first",)) == {"compat", "compat.first", "compat.second", "compat.third"}
    assert circle(graph) == []
    (package / "third.py").write_text("def late():\n    import compat.first\n", encoding="utf-8")
    assert set(circle(import_graph(tmp_path))) == {"compat.first", "compat.second", "compat.third"}
