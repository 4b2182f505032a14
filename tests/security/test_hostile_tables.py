"""Tables and vocabularies made to harm: refused in a sentence, soon, and nothing of them is run."""

from __future__ import annotations

import ast
import json
import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from compat.model.faults import BadInput
from compat.release.build import build_release
from tests.checks.parts import small_dataset
from tests.cli.parts import called
from tests.conftest import ROOT
from tests.dataset.parts import replaced, restored
from tests.security.parts import CANARY, PATH_TRICKS, SQL_NAMES, quoted, soon, told, written

DMX = "datasets/drivers/dmx-drivers.toml"
ENTRY = 'schema = "drivers/1"\n[[driver]]\nid = "own"\nname = "Own"\n[driver.traits]\n'


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return small_dataset(tmp_path_factory.mktemp("small"))


@pytest.fixture
def root(small: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    with restored(small) as folder:
        monkeypatch.chdir(folder)
        yield folder
        assert not list(folder.parent.rglob(f"*{CANARY}*"))


def refused(path: Path) -> str:
    """What the program says of an overlay that it must refuse with sentences and exit code 2."""
    found = called("dataset", "check", "--drivers", path)
    assert found.code == 2, found
    assert "Traceback" not in found.out + found.err
    assert all(line.isprintable() and len(line) < 3000 for line in found.out.splitlines())
    return found.out


BOMBS = {
    "arrays": ENTRY + "input_power_w = " + "[" * 100_000,
    "closed arrays": ENTRY + "input_power_w = " + "[" * 50_000 + "1" + "]" * 50_000,
    "tables": ENTRY + "input_power_w = " + "{a = " * 50_000,
    "keys": ENTRY + "a" + ".a" * 100_000 + " = 1",
    "keys that just pass": ENTRY + "a" + ".a" * 900 + " = 1",
    "arrays that just pass": ENTRY + "input_power_w = " + "[" * 390 + "1" + "]" * 390,
    "heading": "[" + ".".join("a" * 100_000) + "]",
    "digits": ENTRY + "input_power_w = " + "9" * 100_000,
    "hexadecimal": ENTRY + "input_power_w = 0x" + "f" * 1_000_000,
    "underlines": ENTRY + "input_power_w = " + "1_" * 100_000 + "1",
    "exponent": ENTRY + "input_power_w = 1e999999999",
    "no text": ENTRY + "\udcff\udcfe\udc00",
    "control characters": ENTRY + "input_power_w = 1\x00\x1b",
    "a date that is none": ENTRY + "input_power_w = 2026-02-31",
    "same key": ENTRY + "input_power_w = 1\n" * 2,
    "nothing": "",
    "many faults": 'schema = "drivers/1"\n' + '[[driver]]\nid = "?"\nname = ""\n' * 300,
}


@pytest.mark.parametrize("name", BOMBS)
def test_a_bomb_is_refused(name: str, tmp_path: Path) -> None:
    path = written(tmp_path / "own.toml", BOMBS[name])
    text = ""

    def work() -> None:
        nonlocal text
        text = refused(path)

    soon(work)
    check, place, _ = text.split(":", 2)
    assert (check, "own.toml" in place) == ("readable", True)


OPEN = '{"schema": "drivers/1", "driver": [{"id": "a", "name": '
JSON_BOMBS = {
    "arrays": "[" * 200_000,
    "objects": '{"a":' * 100_000,
    "digits": OPEN + '"b", "x": ' + "9" * 100_000 + "}]}",
    "not a number": OPEN + '"b", "traits": {"input_power_w": NaN}}]}',
    "infinite": OPEN + '"b", "traits": {"input_power_w": 1e999}}]}',
    "no object": "[]",
    "lone surrogate": OPEN + '"\\ud800"}]}',
}


@pytest.mark.parametrize("name", JSON_BOMBS)
def test_a_bomb_in_json_is_refused(name: str, tmp_path: Path) -> None:
    assert refused(written(tmp_path / "own.json", JSON_BOMBS[name])).startswith("readable: own.json")


def test_a_file_without_end_is_not_read_to_its_end(tmp_path: Path) -> None:
    assert "not an ordinary file" in refused(Path("/dev/zero"))
    os.mkfifo(tmp_path / "own.toml")
    assert "not an ordinary file" in refused(tmp_path / "own.toml")


def test_a_link_to_another_file_gives_nothing_of_it_away(tmp_path: Path) -> None:
    secret = written(tmp_path / "secret", "password = nobody-knows\n")
    link = tmp_path / "own.toml"
    link.symlink_to(secret)
    assert "nobody" not in refused(link)


FIELDS = ("id", "slug", "source")


@pytest.mark.parametrize("field", FIELDS)
@pytest.mark.parametrize("trick", [*PATH_TRICKS, *SQL_NAMES])
def test_names_of_entries_are_no_paths_and_no_sql(field: str, trick: str, tmp_path: Path) -> None:
    given = {"id": '"own"', "slug": '"own"', "source": '"S0001"', field: quoted(trick)}
    head = "".join(f"{key} = {value}\n" for key, value in given.items())
    text = f'schema = "drivers/1"\n[[driver]]\n{head}name = "Own"\n'
    path = written(tmp_path / "own.toml", text)
    if trick == "select" and field != "source":
        # A word like any other.
        assert called("dataset", "check", "--drivers", path).code == 0
        return
    assert refused(path).split(":")[0] == ("entry-citations" if field == "source" else "readable")


@pytest.mark.parametrize("trick", SQL_NAMES)
def test_a_word_or_a_trait_that_looks_like_sql_is_refused(trick: str, tmp_path: Path) -> None:
    for line in (f"methods = [{quoted(trick)}]", f"load_type = {quoted(trick)}", f"{quoted(trick)} = 1"):
        assert refused(written(tmp_path / "own.toml", ENTRY + line)).startswith("readable: own.toml")


@pytest.mark.parametrize(
    "trick", ["'; DROP TABLE circuits; --", '=cmd|"/c calc"!A1', "<script>alert(1)</script>"]
)
def test_a_name_that_looks_like_code_is_only_shown(trick: str, tmp_path: Path) -> None:
    """Free text may say anything; it goes through a whole look-up and comes out as text."""
    text = (
        ENTRY.replace('name = "Own"', f"name = {quoted(trick)}") + 'methods = ["dali"]\ninput_power_w = 20\n'
    )
    path = written(tmp_path / "own.toml", text)
    assert called("dataset", "check", "--drivers", path).code == 0
    page = called("lookup", "own", "--drivers", path, "--format", "html")
    assert page.code == 0
    assert "<script>alert(1)" not in page.out
    found = json.loads(called("lookup", "own", "--drivers", path, "--format", "json").out)
    assert found["driver_name"] == trick


VOCABULARY = {
    "a column of the database": ("traits.csv", "supply,x; DROP TABLE t,yes_no,,,,,label,meaning,\n"),
    "a quote": ("traits.csv", '"supply","x\'""y",yes_no,,,,,label,meaning,\n'),
    "a line break": ("traits.csv", '"supply","x\ny",yes_no,,,,,label,meaning,\n'),
    "a subject": ("traits.csv", "pg_catalog,x,yes_no,,,,,label,meaning,\n"),
    "a kind": ("traits.csv", "supply,x,VARCHAR,,,,,label,meaning,\n"),
    "a column taken": ("traits.csv", "driver,input_power_w_low,yes_no,,,,,label,meaning,\n"),
    "few columns": ("traits.csv", "supply\n"),
    "many columns": ("traits.csv", "supply,x,yes_no" + "," * 5000 + "\n"),
    "a long cell": ("traits.csv", f"supply,{'x' * 200_000},yes_no,,,,,label,meaning,\n"),
    "an open quote": ("traits.csv", '"supply,x,yes_no,,,,,label,meaning,\n'),
    "a null": ("traits.csv", "supply,x\x00,yes_no,,,,,label,meaning,\n"),
    "a word": ("choices.csv", "method,x) --,x,x\n"),
    "a list": ("choices.csv", "a list,x,x,x\n"),
    "too many words": ("choices.csv", "".join(f"method,word{n},x,x\n" for n in range(40))),
    "a unit": ("units.csv", "w();import os,x,power,1,x\n"),
    "a factor": ("units.csv", "zz,x,power,nan,x\n"),
    "an infinite factor": ("units.csv", "zz,x,power,1e999,x\n"),
    "a factor below nothing": ("units.csv", "zz,x,power,-1,x\n"),
    "a factor that is a formula": ("units.csv", "zz,x,power,=1+1,x\n"),
}


@pytest.mark.parametrize("name", VOCABULARY)
def test_a_hostile_vocabulary_is_refused(name: str, root: Path) -> None:
    file, row = VOCABULARY[name]
    path = root / "datasets" / "vocabulary" / file
    with path.open("a", encoding="utf-8", newline="") as out:
        out.write(row)
    found = told(root)
    assert found
    assert found[0].startswith("readable: "), found[0]


@pytest.mark.parametrize(
    "version",
    [
        "..",
        "",
        "a b",
        "0.1.0\\n",
        "0.1.0\\n0.1.0",
        "../../canary-of-the-tests",
        "1.2",
        "01.2.3",
        "\u0661.0.0",
        "1.0.0-x",
    ],
)
def test_a_version_is_three_numbers_and_names_no_place(version: str, root: Path, tmp_path: Path) -> None:
    """The version is the name of the folder that a release is built into."""
    replaced(root / "datasets/datapackage.json", '"version": "0.1.0"', f'"version": "{version}"')
    [sentence] = told(root)
    assert sentence.startswith("readable: datapackage.json, line 5: the version is ")
    assert sentence.endswith("Allowed: three numbers as in 1.4.0.")
    with pytest.raises(BadInput):
        build_release(root, tmp_path / "releases")
    assert not (tmp_path / "releases").exists()


def test_the_sources_of_a_dataset_are_only_text(root: Path) -> None:
    replaced(root / "datasets/sources/rules.toml", 'short = "', 'short = "<script>')
    assert told(root) == []


def test_a_deep_value_fits_no_trait_and_is_shown_in_short(root: Path) -> None:
    replaced(root / DMX, "power_factor = [0.9, 0.96]", "power_factor = " + "[" * 300 + "]" * 300)
    (first, *_) = told(root)
    assert first.startswith("readable: dmx-drivers.toml, line 22: D0054 power_factor: ")
    assert len(first) < 500


def test_nothing_of_the_package_runs_text() -> None:
    """No function that runs a text, unpacks objects or starts a shell is called anywhere."""
    forbidden = {"eval", "exec", "compile", "__import__", "system", "popen"}
    # typst sets a page from a template of our own; what users write goes in as data.
    allowed = {("re", "compile"), ("typst", "compile")}
    for path in sorted((ROOT / "compat").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import | ast.ImportFrom):
                names = {alias.name for alias in node.names} | {getattr(node, "module", None)}
                assert not names & {"pickle", "marshal", "shelve", "dill", "code"}, path
            if not isinstance(node, ast.Call):
                continue
            assert not any(word.arg == "shell" for word in node.keywords), path
            function = node.func
            if isinstance(function, ast.Name):
                assert function.id not in forbidden, (path, node.lineno)
            elif isinstance(function, ast.Attribute) and isinstance(function.value, ast.Name):
                called_as = (function.value.id, function.attr)
                assert function.attr not in forbidden or called_as in allowed, (path, called_as)
