"""``compat explain``, ``template`` and ``dataset``."""

from __future__ import annotations

import csv
import json
import re
import shutil
from pathlib import Path

import openpyxl  # type: ignore[import-untyped]
import pytest

from compat import __version__
from compat.model.equipment import SUBJECT_OF
from tests.cli.parts import House, called, started
from tests.conftest import ROOT
from tests.dataset.parts import replaced


def test_a_rule_is_explained_by_id_and_by_slug() -> None:
    by_id = called("explain", "R0007")
    assert by_id.code == 0
    assert by_id.out == called("explain", "load-below-minimum").out == called("explain", "r0007").out
    for words in (
        "R0007 load-below-minimum",
        "Is there enough load",
        "circuit.input_power_w",
        "output.min_load_w",
    ):
        assert words in by_id.out
    assert by_id.out.isascii() or "×" in by_id.out


def test_a_rule_is_explained_as_data() -> None:
    found = json.loads(called("explain", "R0007", "--format", "json").out)
    assert (found["rule"]["id"] if "rule" in found else found["id"]) == "R0007"


def test_the_reasons_of_a_circuit(house: House) -> None:
    schedule = house.schedule("hazard", "works")
    found = called("explain", schedule, "--circuit", "H1", *house.options())
    assert found.code == 0
    for words in (
        "HAZARD",
        "H1",
        "R0003",
        "motor",
        "line 2, column Load type",
        "own-outputs.toml",
        "Local codes",
    ):
        assert words in found.out
    assert "W1" not in found.out
    works = called("explain", schedule, "--circuit", "W1", *house.options()).out
    assert "R0007" in works
    assert "line 3, column Input power (W)" in works


def test_the_reasons_of_a_circuit_as_data(house: House) -> None:
    schedule = house.schedule("hazard", "works")
    found = called("explain", schedule, "--circuit", "H1", *house.options(), "--format", "json")
    assert json.loads(found.out)["circuit"] == "H1"
    target = house.folder / "why.json"
    written = called(
        "explain", schedule, "--circuit", "H1", *house.options(), "--format", "json", "--output", target
    )
    assert (written.out, target.read_text(encoding="utf-8")) == ("", found.out)


@pytest.mark.parametrize("form", ["xlsx", "csv"])
def test_a_template_is_written_and_can_be_checked(
    form: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    found = called("template", "--format", form)
    assert (found.code, found.out, found.err) == (0, "", f"written: schedule.{form}\n")
    assert [path.name for path in tmp_path.iterdir()] == [f"schedule.{form}"]
    assert called("check", f"schedule.{form}", "--fail-on", "never").code == 0
    before = (tmp_path / f"schedule.{form}").read_bytes()
    assert called("template", "--format", form).code == 2
    (tmp_path / f"schedule.{form}").write_bytes(b"old")
    assert called("template", "--format", form, "--overwrite").code == 0
    assert (tmp_path / f"schedule.{form}").read_bytes()[:100] == before[:100]


def test_a_template_has_the_headings(tmp_path: Path) -> None:
    path, table = tmp_path / "a.xlsx", tmp_path / "a.csv"
    called("template", "--output", path)
    called("template", "--output", table, "--format", "csv")
    with table.open(encoding="utf-8-sig", newline="") as file:
        headings = next(csv.reader(file))
    assert {"Circuit", "Quantity", "Driver", "Output"} <= set(headings)
    sheet = openpyxl.load_workbook(path)["Circuits"]
    assert set(headings) <= {str(cell.value) for cells in sheet.iter_rows() for cell in cells}


def test_the_dataset_is_well() -> None:
    found = called("dataset", "check", ROOT)
    assert (found.code, found.err) == (0, "")
    assert found.out.startswith("all well: ")


def test_a_broken_dataset_is_told_by_check_and_sentence(house: House) -> None:
    root = Path(shutil.copytree(house.dataset, house.folder / "broken"))
    replaced(root / "rules/switching/neutral-missing.toml", "The output needs a neutral", "{neutral}")
    found = called("dataset", "check", root)
    assert (found.code, found.err) == (2, "1 fault\n")
    assert found.out.startswith(
        "slots: switching/neutral-missing.toml, line 12: the slot {neutral} is not filled"
    )
    replaced(root / "rules/switching/neutral-missing.toml", "S0001", "S9999")
    found = called("dataset", "check", root)
    assert (found.code, found.err) == (2, "2 faults\n")
    assert [line.split(":")[0] for line in found.out.splitlines()] == ["citations", "slots"]


def test_what_the_dataset_holds(house: House) -> None:
    found = called("dataset", "show", house.dataset)
    lines = found.out.splitlines()
    assert lines[0].startswith("dataset 0.1.0, sha256 ")
    assert lines[1] == "rules: 3"
    assert [line.split(":")[0] for line in lines[2:8]] == [table.replace("_", " ") for table in SUBJECT_OF]
    assert called("dataset", "show").out.splitlines()[0] != lines[0]


def test_schemas_are_written_anew(house: House) -> None:
    root = Path(shutil.copytree(house.dataset, house.folder / "copy"))
    names = sorted(path.name for path in (root / "schemas").glob("*.json"))
    (root / "schemas" / "rule.schema.json").write_text("old")
    (root / "schemas" / "cables.schema.json").unlink()
    found = called("dataset", "schemas", root)
    assert found.code == 0
    assert sorted(found.out.splitlines()) == [f"written: schemas/{name}" for name in names]
    for name in names:
        assert (root / "schemas" / name).read_bytes() == (ROOT / "schemas" / name).read_bytes(), name


@pytest.mark.parametrize(
    "arguments", [["--help"], ["check", "--help"], ["explain", "--help"], ["template", "--help"]]
)
def test_help_is_an_answer(arguments: list[str]) -> None:
    found = called(*arguments)
    assert found.code == 0
    assert "Usage" in found.out


def test_the_version_is_that_of_the_package() -> None:
    run = started("--version")
    assert (run.returncode, run.stdout, run.stderr) == (0, f"compat {__version__}\n", "")


def test_pages_are_a_folder_that_opens_from_a_file_with_every_sentence(tmp_path: Path) -> None:
    said = called("dataset", "pages", "--output", tmp_path).out
    assert said == f"written: {tmp_path / 'index.html'}\n"
    page = (tmp_path / "index.html").read_text()
    index = (tmp_path / "README.md").read_text()
    links = re.findall(r"\]\(([^)]+\.md)\)", index)
    assert len(links) > 100
    assert all((tmp_path / link).is_file() for link in links)
    for title in ("Functions for Python", "Every sentence, by family"):
        assert title in page
        assert title in index
    assert "compat.lookup(" in (tmp_path / "python" / "python-lookup.md").read_text()
    told = " ".join(one.read_text() for one in (tmp_path / "sentences").iterdir())
    rules = list((tmp_path / "rules").iterdir())
    assert all(path.stem in told for path in rules)
    assert not re.search(r"<(link|img|script)[^>]* (src|href)=", page)
