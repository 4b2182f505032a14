"""``compat plan --table`` and ``compat explain --line``: formats, exit codes, hostile names."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from compat.report.plan_formats import csv_cell
from tests.cli.program import Program
from tests.conftest import ROOT

HOUSE = ROOT / "datasets" / "demo" / "house.csv"
HEAD = "Circuit,Room,Luminaire type,Quantity,Line,Methods,DMX slots,DALI addresses\n"


@pytest.fixture
def program(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Program:
    return Program(monkeypatch, capsys)


def schedule(folder: Path, *rows: str) -> Path:
    path = folder / "plan.csv"
    path.write_text(HEAD + "".join(f"{row}\n" for row in rows), encoding="utf-8")
    return path


@pytest.mark.parametrize("kind", ["dmx", "dali"])
def test_json_is_by_its_published_schema(kind: str, program: Program) -> None:
    done = program("plan", HOUSE, "--table", kind, "--format", "json")
    data = json.loads(done.out)
    name = {"dmx": "dmx_patch", "dali": "dali_addresses"}[kind]
    schema = json.loads((ROOT / "schemas" / f"{name}.schema.json").read_text(encoding="utf-8"))
    Draft202012Validator(schema).validate(data)
    assert data["places"]
    assert done.code == (1 if data["not_planned"] else 0)
    assert done.err == ""


@pytest.mark.parametrize("kind", ["dmx", "dali"])
def test_every_format_shows_the_same_places(kind: str, program: Program) -> None:
    places = json.loads(program("plan", HOUSE, "--table", kind, "--format", "json").out)["places"]
    rows = list(csv.DictReader(io.StringIO(program("plan", HOUSE, "--table", kind, "--format", "csv").out)))
    address = {"dmx": ("Start address", "start_address"), "dali": ("Short address", "short_address")}[kind]
    assert [int(row[address[0]]) for row in rows] == [place[address[1]] for place in places]
    assert [row["Circuit"] for row in rows] == [place["circuit"] for place in places]
    page = program("plan", HOUSE, "--table", kind, "--format", "html").out
    text = program("plan", HOUSE, "--table", kind).out
    for place in places:
        assert place["circuit"] in page
        assert place["circuit"] in text
    assert page.count("<tr") >= len(places)
    assert max(map(len, text.splitlines())) <= 100


def test_cells_that_a_spreadsheet_would_run_are_marked(tmp_path: Path, program: Program) -> None:
    path = schedule(
        tmp_path,
        '"=HYPERLINK(""x"")",+1,@lamp,2,-L1,dmx; switched,3,',
        "B2,Room,Lamp,1,-L1,dmx; switched,1,",
    )
    done = program("plan", path, "--table", "dmx", "--format", "csv")
    assert done.code == 0, done.err
    first, *_, last = list(csv.DictReader(io.StringIO(done.out)))
    assert first["Circuit"] == '\'=HYPERLINK("x")'
    assert (first["Room"], first["Luminaire type"], first["Line"]) == ("'+1", "'@lamp", "'-L1")
    assert (last["Circuit"], last["Room"], last["Start address"]) == ("B2", "Room", "7")


@pytest.mark.parametrize(
    ("cell", "written"),
    [
        ("=1", "'=1"),
        ("+1", "'+1"),
        ("-1", "'-1"),
        ("@a", "'@a"),
        ("\t=1", "'\t=1"),
        ("a=1", "a=1"),
        (-1, -1),
        ("", ""),
    ],
)
def test_marking_of_one_cell(cell: str | int, written: str | int) -> None:
    assert csv_cell(cell) == written


def test_names_are_escaped_on_the_page(tmp_path: Path, program: Program) -> None:
    path = schedule(tmp_path, "<b>A</b>,Room,Lamp,1,<i>L</i>,dali; switched,,1")
    done = program("plan", path, "--table", "dali", "--format", "html")
    assert done.code == 0
    assert "<b>A" not in done.out
    assert "&lt;b&gt;A&lt;/b&gt;" in done.out


def test_a_schedule_without_lines_gives_an_empty_plan_that_says_so(tmp_path: Path, program: Program) -> None:
    done = program("plan", schedule(tmp_path, "A,Room,Lamp,2,,dmx; switched,3,"), "--table", "dmx")
    assert done.code == 1
    assert "No luminaire has a place." in done.out
    assert "the circuit names no line" in done.out


def test_a_plan_with_nothing_in_it_is_no_success(tmp_path: Path, program: Program) -> None:
    done = program("plan", schedule(tmp_path, "A,Room,Lamp,2,,reverse phase; switched,,"), "--table", "dmx")
    assert done.code == 1
    assert "No luminaire has a place." in done.out


def test_one_row_of_another_kind_does_not_silence_its_segment(tmp_path: Path, program: Program) -> None:
    rows = ("A,Room,Strip,2,X1,dmx; switched,3,", "B,Room,Strip,4,X1,dmx; switched,3,")
    sound = program("plan", schedule(tmp_path, *rows), "--table", "dmx")
    assert sound.code == 0
    done = program("plan", schedule(tmp_path, *rows, "C,Room,Lamp,1,X1,dali; switched,,1"), "--table", "dmx")
    assert done.code == 1
    assert "Why it has no place" in done.out
    data = json.loads(program("plan", tmp_path / "plan.csv", "--table", "dmx", "--format", "json").out)
    assert [(left["line"], left["circuit"], left["quantity"]) for left in data["not_planned"]] == [
        ("X1", "A", 2), ("X1", "B", 4),
    ]  # fmt: skip
    assert data["not_planned"][0]["reason"] == "its line has circuits that cannot be on a DMX line: C"


def test_the_plan_is_written_whole_to_a_file(tmp_path: Path, program: Program) -> None:
    target = tmp_path / "patch.csv"
    done = program("plan", HOUSE, "--table", "dmx", "--format", "csv", "--output", target)
    assert done.out == ""
    assert target.read_text(encoding="utf-8").startswith("Line,Universe,Start address,")


def test_explain_line_tells_the_whole_chain(program: Program) -> None:
    done = program("explain", HOUSE, "--line", "D2")
    assert done.code == 0
    assert "fails  D2  DALI line" in done.out
    assert "DALI addresses of control gear" in done.out
    assert "house.toml, line" in done.out
    data = json.loads(program("explain", HOUSE, "--line", "D2", "--format", "json").out)
    assert data["line"] == "D2"
    assert data["limits"][0]["share_percent"] > 100


def test_explain_of_an_unknown_line(program: Program) -> None:
    done = program("explain", HOUSE, "--line", "D22")
    assert done.code == 2
    assert "there is no line 'D22' in the schedule. Nearest: D2" in done.err


def test_a_circuit_and_a_line_at_once_are_too_much(program: Program) -> None:
    done = program("explain", HOUSE, "--line", "D2", "--circuit", "G06")
    assert done.code == 2
    assert "not both" in done.err


def test_check_has_a_section_for_lines(program: Program) -> None:
    done = program("check", HOUSE)
    assert done.code == 1
    assert "lines: 1 fails, 1 doubtful, 2 marginal, 3 works" in done.out
    page = program("check", HOUSE, "--format", "html").out
    assert 'id="lines"' in page
    assert page.count('<table class="limits"') == 7
    data = json.loads(program("check", HOUSE, "--format", "json").out)
    assert [entry["line"] for entry in data["lines"]] == ["D1", "P2", "X1", "D3", "D2", "P1", "X2"]


def test_a_whole_plan_is_by_its_published_schema(program: Program) -> None:
    flat = ROOT / "tests" / "plan" / "houses" / "flat.csv"
    done = program("plan", flat, "--format", "json")
    schema = json.loads((ROOT / "schemas" / "plan.schema.json").read_text(encoding="utf-8"))
    Draft202012Validator(schema).validate(json.loads(done.out))
    assert (done.code, done.err) == (0, "")
    text = program("plan", flat).out
    assert text.startswith(
        "flat.csv: 28 circuits\nRadio modules with battery wall controls: the smallest kind"
    )
    assert max(map(len, text.splitlines())) <= 100
    assert program("plan", flat, "--system", "central-panels").code == 1


def test_what_is_compared_may_be_kinds_and_an_earlier_plan(tmp_path: Path, program: Program) -> None:
    flat, earlier = ROOT / "tests" / "plan" / "houses" / "flat.csv", tmp_path / "earlier.json"
    program("plan", flat, "--system", "radio-modules", "--format", "json", "--output", earlier)
    done = program("plan", flat, "--compare", earlier, "central-panels", "--format", "csv")
    rows = list(csv.reader(io.StringIO(done.out)))
    assert rows[0][0] == "What"
    assert ["kind of system", "Radio modules with battery wall controls", "Central wired panels"] in rows
    assert done.code == 1
    swapped = program("plan", flat, "--system", "radio-modules", "--swap", "Downlight=D0013")
    assert "2 circuits differ." in swapped.out


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (
            ["--system", "central-panel"],
            "there is no kind of system 'central-panel'. Nearest: central-panels",
        ),
        (["--swap", "Downlight"], "names no type and driver. Write the luminaire type"),
        (["--format", "csv"], "a whole plan is not written as csv"),
        (["--compare", "radio-modules", "none"], "there is no kind of system 'none'"),
    ],
)
def test_what_cannot_be_planned_is_told(options: list[str], told: str, program: Program) -> None:
    done = program("plan", ROOT / "tests" / "plan" / "houses" / "flat.csv", *options)
    assert (done.code, done.out) == (2, "")
    assert told in done.err
