"""``compat dataset``: look after the rules dataset."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from compat.cli import dataset_build, dataset_check, dataset_diff
from compat.cli.common import chosen_folder, say

app = typer.Typer(help="Look after the rules dataset.", no_args_is_help=True)
app.command("check")(dataset_check.check)
app.command("diff")(dataset_diff.diff)
app.command("build")(dataset_build.build)

PathArgument = Annotated[
    Path | None, typer.Argument(help="Folder with rules/, schemas/ and datasets/, or a version.")
]


@app.command("schemas")
def write_schemas(path: PathArgument = None) -> None:
    """Write the published schemas anew from the models and the vocabulary."""
    import sys

    from compat.dataset.published import schema_text, schemas
    from compat.dataset.read import data_root
    from compat.dataset.vocabulary import checked_vocabulary
    from compat.model.faults import BadInput, Fault
    from compat.model.files import write_atomically
    from compat.model.values import Origin

    if sys.flags.optimize > 1:
        what = "Python runs without docstrings, of which the schemas take their descriptions"
        raise BadInput([Fault(what, Origin("schemas"), do="Run it without -OO and PYTHONOPTIMIZE=2")])
    root = path or data_root()
    for name, schema in schemas(checked_vocabulary(root / "datasets" / "vocabulary")).items():
        write_atomically(root / "schemas" / name, schema_text(schema).encode())
        say(f"written: schemas/{name}\n")


@app.command("show")
def show(path: PathArgument = None) -> None:
    """Say which dataset this is and what it holds."""
    from compat.dataset.read import load_dataset
    from compat.rulebook.rules import read_rules

    dataset = load_dataset(chosen_folder(path))
    rules = read_rules(dataset.rules_folder, dataset.vocabulary)
    say(f"dataset {dataset.version}, sha256 {dataset.sha256}\n")
    say(f"rules: {len(rules)}\n")
    for table, entries in dataset.tables.items():
        say(f"{table.replace('_', ' ')}: {len(entries)}\n")
    say(f"sources: {len(dataset.sources)}\n")


@app.command("pages")
def write_pages(
    path: PathArgument = None,
    output: Annotated[Path, typer.Option("--output", help="Folder for the pages.")] = Path("pages"),
) -> None:
    """Write rules, methods, Python functions and every sentence as pages that open from a file."""
    from compat import api
    from compat.dataset.read import load_dataset
    from compat.release.documentation import write_documentation
    from compat.rulebook.rules import read_rules

    dataset = load_dataset(chosen_folder(path))
    rules = read_rules(dataset.rules_folder, dataset.vocabulary)
    say(f"written: {write_documentation(dataset, rules, api, output)}\n")
