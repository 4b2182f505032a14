"""``compat check``: exit codes, formats, and answers that are the same every time."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from typer.testing import CliRunner

from compat.cli.program import program
from compat.model.verdicts import RANK, VERDICTS
from tests.cli.parts import DEMO, House, called, environment, started
from tests.conftest import ROOT

REPORT_SCHEMA = json.loads((ROOT / "schemas" / "report.schema.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def demo() -> dict[str, Any]:
    """The report on the demo house as data."""
    found = called("check", DEMO, "--format", "json", "--fail-on", "never")
    assert (found.code, found.err) == (0, "")
    report: dict[str, Any] = json.loads(found.out)
    return report


@pytest.mark.parametrize("fail_on", ["marginal", "unproven", "fails", "hazard", "never"])
def test_the_exit_code_is_1_from_the_verdict_of_fail_on(fail_on: str, house: House) -> None:
    """The verdict itself gives 1; the next better one, or any with never, gives 0."""
    just = VERDICTS[RANK[fail_on]] if fail_on != "never" else "hazard"
    better = VERDICTS[RANK[just] - 1]
    for worst, code in ((just, 0 if fail_on == "never" else 1), (better, 0)):
        found = called("check", house.schedule(worst), *house.options(), "--fail-on", fail_on)
        assert (found.code, found.err) == (code, ""), worst


def test_without_fail_on_it_is_1_from_fails(house: House) -> None:
    codes = {worst: called("check", house.schedule(worst), *house.options()).code for worst in VERDICTS}
    assert codes == {"works": 0, "marginal": 0, "unproven": 0, "fails": 1, "hazard": 1}


def test_the_text_names_verdict_circuit_and_reason(house: House) -> None:
    found = called("check", house.schedule(*VERDICTS), *house.options())
    assert found.out.startswith("house.csv: 5 circuits\n")
    for word in (
        "HAZARD H1: A motor is on a dimmer that is not listed for motors.",
        "fails F1: The output needs a neutral; there is none at the control.",
        "doubtful U1: Input power of row 4 is missing",
        "marginal M1: The circuit draws as little as 15 W; the output needs 20 W.",
        "Works (1): W1",
    ):
        assert word in found.out
    assert "Local codes and a" in found.out
    assert found.err == ""


def test_details_show_each_circuit_that_does_not_work_in_full(house: House) -> None:
    schedule = house.schedule("works", "fails")
    short = called("check", schedule, *house.options()).out
    long = called("check", schedule, *house.options(), "--details").out
    cell = "line 3, column Neutral at control"
    assert cell not in short
    assert cell in long
    assert "own-outputs.toml, X1 needs_neutral" in long
    assert "Run a neutral of the same circuit to the control." in long


def test_json_fits_the_published_schema(house: House) -> None:
    found = called("check", house.schedule(*VERDICTS), *house.options(), "--format", "json")
    report = json.loads(found.out)
    jsonschema.Draft202012Validator(REPORT_SCHEMA).validate(report)
    assert report["counts"] == dict.fromkeys(VERDICTS, 1)
    assert report["dataset"]["version"] == "0.1.0"
    finding = next(entry for entry in report["circuits"][2]["findings"] if entry["rule"] == "R0007")
    assert finding["verdict"] == "unproven"
    assert found.out.endswith("}\n")


def test_json_of_the_demo_fits_the_published_schema(demo: dict[str, Any]) -> None:
    jsonschema.Draft202012Validator(REPORT_SCHEMA).validate(demo)
    assert sum(demo["counts"].values()) == len(demo["circuits"]) > 50
    assert all(demo["counts"][verdict] for verdict in VERDICTS), "the demo shows every verdict"


def test_a_workbook_and_a_text_file_with_the_same_rows_have_the_same_verdicts(demo: dict[str, Any]) -> None:
    found = called("check", DEMO.with_suffix(".xlsx"), "--format", "json")
    reports = (demo, json.loads(found.out))
    verdicts = [[(entry["circuit"], entry["verdict"]) for entry in report["circuits"]] for report in reports]
    assert verdicts[0] == verdicts[1]
    assert found.code == 1


@pytest.mark.parametrize("format_", ["text", "json", "html", "csv", "sarif"])
def test_the_answer_goes_whole_into_a_file(format_: str, house: House) -> None:
    schedule, target = house.schedule(*VERDICTS), house.folder / "answer"
    printed = called("check", schedule, *house.options(), "--format", format_).out
    target.write_text("old")
    found = called("check", schedule, *house.options(), "--format", format_, "--output", target)
    assert (found.code, found.out, found.err) == (1, "", f"written: {target}\n")
    assert target.read_text(encoding="utf-8") == printed
    assert sorted(path.name for path in house.folder.iterdir()) == ["answer", "house.csv", "own-outputs.toml"]


def test_a_dash_is_the_screen(house: House) -> None:
    schedule = house.schedule("works")
    plain = called("check", schedule, *house.options())
    assert called("check", schedule, *house.options(), "--output", "-") == plain


TEXT_FORMATS = ["csv", "markdown", "jsonl", "sarif", "junit", "annotations"]


@pytest.mark.parametrize("format_", TEXT_FORMATS)
def test_every_format_tells_every_circuit_that_does_not_work(format_: str, house: House) -> None:
    found = called("check", house.schedule(*VERDICTS), *house.options(), "--format", format_)
    assert (found.code, found.err) == (1, "")
    assert all(name in found.out for name in ("H1", "F1", "U1", "M1"))
    assert "A motor is on a dimmer that is not listed for motors." in found.out


def test_json_without_details_leaves_out_what_findings_rest_on(house: House) -> None:
    arguments = ("check", house.schedule(*VERDICTS), *house.options(), "--format", "json")
    short, long = (json.loads(called(*arguments, *more).out) for more in ((), ("--details",)))
    jsonschema.Draft202012Validator(REPORT_SCHEMA).validate(long)
    assert [entry["verdict"] for entry in short["circuits"]] == [one["verdict"] for one in long["circuits"]]
    findings = [finding for entry in short["circuits"] for finding in entry["findings"]]
    assert findings
    assert all(one["verdict"] != "works" and not one["inputs"] for one in findings)
    assert any(one["inputs"] for entry in long["circuits"] for one in entry["findings"])


def test_json_of_the_demo_stays_below_a_megabyte(demo: dict[str, Any]) -> None:
    assert len(json.dumps(demo, indent=2, ensure_ascii=False).encode()) < 1_000_000


def test_the_demo_fits_60_lines() -> None:
    lines = called("check", DEMO.with_suffix(".xlsx")).out.splitlines()
    assert len(lines) <= 60
    assert max(map(len, lines)) <= 100


def test_since_tells_what_got_better_worse_new_or_gone(house: House) -> None:
    old = house.folder / "old.json"
    called("check", house.schedule(*VERDICTS), *house.options(), "--format", "json", "--output", old)
    text = house.schedule(*VERDICTS).read_text()
    text = text.replace("F1,1,X1,incandescent,40,no", "F1,1,X1,incandescent,40,yes")
    text = text.replace("M1,1,X2,incandescent,15-25", "M1,1,X2,incandescent,5")
    (house.folder / "house.csv").write_text(text.replace("W1,", "W2,"))
    found = called("check", house.folder / "house.csv", *house.options(), "--since", old)
    told = found.out.split("\n\n")[0].splitlines()
    assert told == [
        "Since old.json: 4 changes, 2 unchanged",
        "worse: M1 from marginal to fails",
        "better: F1 from fails to works",
        "new: W2 (works)",
        "gone: W1 (works)",
    ]


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"report": "report/2"}', "[" * 100_000, "null"])
def test_since_refuses_what_is_no_report(text: str, house: House) -> None:
    old = house.folder / "old.json"
    old.write_text(text)
    found = called("check", house.schedule("works"), *house.options(), "--since", old)
    assert (found.code, found.out) == (2, "")
    assert found.err.startswith("old.json: this is no earlier report. ")


def test_since_is_told_as_text_only(house: House) -> None:
    arguments = ("check", house.schedule("works"), *house.options(), "--format", "csv")
    found = called(*arguments, "--since", house.folder / "old.json")
    assert found.code == 2
    assert "--since is told as text, not as csv" in found.err


def test_a_run_that_fails_leaves_the_old_answer_whole(house: House) -> None:
    target = house.folder / "answer.html"
    target.write_text("old")
    bad = house.folder / "bad.csv"
    bad.write_text("Circuit,Quantity\nA1,many\n")
    found = called("check", bad, *house.options(), "--format", "html", "--output", target)
    assert (found.code, found.out, target.read_text()) == (2, "", "old")
    assert not [path for path in house.folder.iterdir() if path.name.startswith(".")]


def test_an_answer_never_takes_the_place_of_a_file_that_was_read(house: House) -> None:
    schedule = house.schedule("works")
    before = schedule.read_bytes()
    for target in (schedule, house.outputs, house.folder / "." / "house.csv"):
        found = called("check", schedule, *house.options(), "--output", target)
        assert (found.code, found.out) == (2, "")
        assert "the answer would replace this file, which was given to be read" in found.err
    assert schedule.read_bytes() == before


def test_html_is_a_page_that_loads_nothing_from_elsewhere(house: House) -> None:
    page = called("check", house.schedule(*VERDICTS), *house.options(), "--format", "html").out
    assert page.startswith("<!DOCTYPE html>")
    assert page.rstrip().endswith("</html>")
    assert page.count("<script") == 1
    assert "://" not in page
    assert " src=" not in page
    assert "url(" not in page


@pytest.mark.parametrize("format_", ["text", "json", "html", "csv", "markdown", "junit", "annotations"])
def test_a_schedule_cannot_write_markup_or_escape_codes_into_the_answer(format_: str, house: House) -> None:
    schedule = house.folder / "hostile.csv"
    head = "Circuit,Quantity,Output,Luminaire type,Room,Load type,Input power (W)\n"
    row = '1,1,X2,"<script>alert(1)</script>","\x1b[31mred\x1b[0m {{7*7}}",incandescent,40\n'
    schedule.write_text(head + row, encoding="utf-8")
    found = called("check", schedule, *house.options(), "--format", format_, "--details")
    shown = found.out + found.err
    assert "\x1b" not in shown
    assert format_ != "html" or "<script" not in shown
    assert "49" not in shown.replace("sha256", "") or "{{7*7}}" in shown


BOTH_TIMES = """
import sys
from typer.testing import CliRunner
from compat.cli.program import program
for form in ("text", "json", "html"):
    found = CliRunner().invoke(program(), ["check", sys.argv[1], "--format", form, "--details"])
    assert found.exit_code in (0, 1), found.output
    sys.stdout.write(found.stdout)
"""


def test_two_runs_give_the_same_bytes(tmp_path: Path) -> None:
    """In two processes with different hashing of text, in every format."""
    outputs, schedule = [], tmp_path / "part.csv"
    schedule.write_text("".join(DEMO.read_text(encoding="utf-8").splitlines(keepends=True)[:9]), "utf-8")
    for seed in ("1", "2"):
        command = [sys.executable, "-c", BOTH_TIMES, str(schedule)]
        run = subprocess.run(
            command, capture_output=True, env=environment({"PYTHONHASHSEED": seed}), check=False
        )
        assert (run.returncode, run.stderr) == (0, b"")
        outputs.append(run.stdout)
    assert len(outputs[0]) > 50_000
    assert outputs[0] == outputs[1]


def test_the_bytes_do_not_depend_on_the_locale(house: House) -> None:
    arguments = ["check", str(house.schedule(*VERDICTS)), *house.options(), "--details"]
    ascii_only = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0", "PYTHONIOENCODING": "ascii"}
    plain, other = started(*arguments), started(*arguments, env=ascii_only)
    assert (other.stdout, other.stderr, other.returncode) == (plain.stdout, "", 1)
    assert "█" in plain.stdout


def test_a_project_beside_the_schedule_is_used_and_named(house: House) -> None:
    schedule = house.schedule("fails")
    schedule.write_text(schedule.read_text().replace(",no\n", ",\n"))
    (house.folder / "house.toml").write_text(
        'schema = "project/1"\n[circuit_defaults]\nneutral_at_control = true\n'
    )
    beside = called("check", schedule, *house.options(), "--format", "json")
    report = json.loads(beside.out)
    assert report["circuits"][0]["verdict"] == "works"
    assert report["notes"][0] == "Supply, offer and defaults are from the project file house.toml."
    other = house.folder / "other.toml"
    other.write_text('schema = "project/1"\n[circuit_defaults]\nneutral_at_control = false\n')
    named = called("check", schedule, *house.options(), "--project", other, "--format", "json")
    assert json.loads(named.out)["circuits"][0]["verdict"] == "fails"


def test_own_drivers_are_laid_over_the_dataset(house: House) -> None:
    drivers = house.folder / "own-drivers.json"
    traits = {"load_type": "motor", "input_power_w": 40}
    entry = {"id": "my-fan", "name": "Ceiling fan, invented", "traits": traits}
    drivers.write_text(json.dumps({"schema": "drivers/1", "driver": [entry]}))
    schedule = house.folder / "fan.csv"
    schedule.write_text("Circuit,Quantity,Driver,Output\nK1,2,my-fan,X2\n")
    found = called("check", schedule, *house.options(), "--drivers", drivers, "--format", "json")
    report = json.loads(found.out)
    assert report["circuits"][0]["verdict"] == "hazard"
    assert report["circuits"][0]["luminaires"][0]["driver_name"] == "Ceiling fan, invented"


def test_without_a_named_output_one_of_the_offer_is_proposed(house: House) -> None:
    schedule = house.folder / "free.csv"
    schedule.write_text(
        "Circuit,Quantity,Load type,Methods it accepts,Input power (W),Neutral at control\n"
        "A1,1,incandescent,reverse phase,40,no\nA2,1,motor,switched,40,yes\n"
    )
    report = json.loads(called("check", schedule, *house.options(), "--format", "json").out)
    chosen = [
        (entry["output"]["output"], entry["chosen_by"], entry["verdict"]) for entry in report["circuits"]
    ]
    assert chosen == [("X2", "ranking", "works"), ("X1", "ranking", "works")]
    assert [other["output"] for other in report["circuits"][0]["other_outputs"]] == ["X1"]


def test_with_nothing_on_offer_nothing_is_proven(house: House) -> None:
    schedule = house.folder / "free.csv"
    schedule.write_text("Circuit,Quantity,Input power (W)\nA1,1,40\n")
    project = house.folder / "none.toml"
    project.write_text('schema = "project/1"\n[offer]\noutputs = []\n')
    found = called("check", schedule, *house.options(), "--project", project, "--format", "json")
    (entry,) = json.loads(found.out)["circuits"]
    assert (entry["verdict"], entry["chosen_by"], entry["output"]) == ("unproven", "none", None)


def test_the_commands_also_run_under_the_test_runner_of_the_library(house: House) -> None:
    runner = CliRunner()
    assert runner.invoke(program(), ["--version"]).stdout.startswith("compat ")
    assert runner.invoke(program(), ["check", str(house.schedule("fails")), *house.options()]).exit_code == 1


def test_a_process_of_its_own_ends_with_the_same_codes(house: House) -> None:
    for worst, code in (("works", 0), ("hazard", 1)):
        run = started("check", house.schedule(worst), *house.options())
        assert (run.returncode, run.stderr) == (code, "")
    run = started("check", house.folder / "none.csv")
    assert (run.returncode, run.stdout) == (2, "")
    assert run.stderr == "none.csv: there is no such file. Nearest: house.csv.\n"


def test_paths_may_hold_blanks_and_other_letters(house: House, tmp_path: Path) -> None:
    folder = tmp_path / "Häuser und mehr"
    folder.mkdir()
    schedule = folder / "Haus Lärche.csv"
    schedule.write_text(house.schedule("works").read_text())
    found = called("check", schedule, *house.options())
    assert found.out.startswith("Haus Lärche.csv: 1 circuit\n")
