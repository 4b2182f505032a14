"""``compat lookup``: which driver is meant, values on the command line, formats and exit codes."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from compat.dataset.read import Dataset
from tests.cli.program import Done, Program

DEMO = Path(__file__).parents[2] / "datasets" / "demo"
OUTPUTS = """schema = "outputs/1"
[[output]]
id = "T1"
name = "Dimmer of the test"
[output.traits]
method = "reverse_phase"
"""
DRIVERS = """schema = "drivers/1"
[[driver]]
id = "T7"
slug = "night-lamp-of-the-test"
name = "Night lamp of the test, 2 W"
[driver.traits]
input_power_w = 2
"""


@pytest.fixture
def program(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Program:
    return Program(monkeypatch, capsys)


@pytest.fixture
def few(tmp_path: Path) -> list[str]:
    """Options that put one output on offer and look at few counts, so that a run is quick."""
    path = tmp_path / "outputs.toml"
    path.write_text(OUTPUTS, encoding="utf-8")
    return ["--outputs", str(path), "--up-to", "3"]


def answer(done: Done) -> dict[str, Any]:
    assert done.err == ""
    found: dict[str, Any] = json.loads(done.out)
    return found


def stated(found: dict[str, Any]) -> dict[str, str]:
    return {entry["name"].removeprefix("driver."): entry["text"] for entry in found["traits"]}


@pytest.mark.parametrize(
    "wanted",
    [
        "D0002",
        "d0002",
        "integral-lamp-6w-reverse-phase",
        "Integral LED lamp, 6 W, reverse phase only",
        "6 W, REVERSE",
        "lamp-6w-reverse",
        "reverse lamp 6 integral",
    ],
)
def test_a_driver_is_found_by_id_slug_or_part_of_its_name(
    program: Program, few: list[str], wanted: str
) -> None:
    found = answer(program("lookup", wanted, *few, "--format", "json"))
    assert found["driver"] == "D0002"
    assert [entry["output"] for entry in found["outputs"]] == ["T1"]


def test_whole_words_come_before_parts_of_words(program: Program, few: list[str], dataset: Dataset) -> None:
    done = program("lookup", "6 W", *few)
    names = {key: driver.name for key, driver in dataset.tables["drivers"].items()}
    told = done.err.splitlines()[1:]
    assert told
    for line in told:
        key, name = line.removeprefix("drivers, ").removesuffix(".").split(": ", 1)
        assert names[key] == name
        assert " 6 W" in name
    assert any("96 W" in name for name in names.values())


def test_several_drivers_are_listed_with_exit_code_2(program: Program, few: list[str]) -> None:
    done = program("lookup", "dali", *few)
    assert (done.code, done.out) == (2, "")
    first, *rest = done.err.splitlines()
    assert first.startswith("drivers: 'dali' fits ")
    assert first.endswith("Name one by its id.")
    assert 2 <= len(rest) <= 12
    assert all(line.startswith("drivers, D0") and "DALI" in line for line in rest)


@pytest.mark.parametrize(
    ("wanted", "near"),
    [("D0O61", "D0061"), ("halogn", "halogen"), ("integral-lamp-6w-eithr-edge", "6 W, either phase edge")],
)
def test_of_a_driver_that_is_not_there_the_nearest_are_named(
    program: Program, few: list[str], wanted: str, near: str
) -> None:
    done = program("lookup", wanted, *few)
    assert done.code == 2
    first, *rest = done.err.splitlines()
    assert first == f"drivers: there is no driver '{wanted}'. The nearest are named below."
    assert 1 <= len(rest) <= 5
    assert any(near in line for line in rest)


def test_with_nothing_near_it_says_what_else_to_do(program: Program, few: list[str]) -> None:
    done = program("lookup", "qqqq", *few)
    do = "Give its values instead, such as --watts and --method"
    assert (done.code, done.err) == (2, f"drivers: there is no driver 'qqqq'. {do}.\n")
    done = program("lookup", " ", *few)
    assert (done.code, done.err) == (2, "drivers: no driver is named. Give an id or a part of a name.\n")


def test_own_drivers_are_found_too(program: Program, few: list[str], tmp_path: Path) -> None:
    path = tmp_path / "drivers.toml"
    path.write_text(DRIVERS, encoding="utf-8")
    for wanted in ("t7", "night-lamp-of-the-test", "night lamp"):
        found = answer(program("lookup", wanted, "--drivers", str(path), *few, "--format", "json"))
        assert found["driver"] == "T7"


def test_without_driver_and_values_it_says_what_to_give(program: Program, few: list[str]) -> None:
    done = program("lookup", *few)
    assert done.code == 2
    assert done.err.startswith("command line: there is no driver to look up. Name a driver, or state its")


def test_a_driver_may_be_described_by_its_values(program: Program, few: list[str]) -> None:
    values = [
        *("--method", "trailing edge", "--method", "DALI", "--watts", "11-13", "--power-factor", "0,9"),
        *("--inrush", "28A/380us", "--load-type", "LED lamp", "--voltage", "220-240", "--dim-floor", "5"),
        *("--input-character", "capacitive", "--frequency", "50/60", "--control-current", "2 mA"),
        *("--control-direction", "source", "--dali-type", "DT8", "--dali-current", "2", "--dmx-slots", "4"),
        *("--trait", "dali_addresses=2", "--trait", "Emergency luminaire=no", "--trait", "standby (W)=0.5"),
    ]
    found = answer(program("lookup", *values, *few, "--format", "json"))
    assert found["driver"] is None
    assert found["driver_name"] == "driver as stated on the command line"
    assert found["methods"] == ["reverse phase", "DALI", "switched"]
    told = stated(found)
    expected = {
        "input_power_w": "11 to 13 W",
        "power_factor": "0.9",
        "inrush_peak_a": "28 A",
        "inrush_width_us": "380 µs",
        "load_type": "integral LED lamp",
        "input_voltage_min_v": "220 V",
        "input_voltage_max_v": "240 V",
        "input_frequency_max_hz": "60 Hz",
        "dim_floor_percent": "5 %",
        "control_current_ma": "2 mA",
        "control_current_direction": "sources current",
        "dali_device_type": "DALI type 8",
        "dali_current_ma": "2 mA",
        "dmx_slots": "4",
        "dali_addresses": "2",
        "emergency": "no",
        "standby_power_w": "0.5 W",
    }
    assert {name: told.get(name) for name in expected} == expected
    places = {entry["name"]: entry["place"] for entry in found["traits"]}
    assert places["driver.input_power_w"]["file"] == "command line"
    assert places["driver.input_power_w"]["key"] == "--watts"
    assert places["driver.dali_addresses"]["key"] == "--trait dali_addresses"


def test_stated_values_stand_in_place_of_the_drivers_own(program: Program, few: list[str]) -> None:
    plain = answer(program("lookup", "D0001", *few, "--format", "json"))
    found = answer(program("lookup", "D0001", "--watts", "12", *few, "--format", "json"))
    assert found["driver"] == "D0001"
    assert found["driver_name"] == f"{plain['driver_name']}; values stated on the command line"
    before, after = stated(plain), stated(found)
    assert after["input_power_w"] == "12 W"
    assert after["dim_floor_percent"] == before["dim_floor_percent"]
    # The current of the dataset's lamp went with its power; it is worked out anew from 12 W.
    assert after["input_current_a"] != before["input_current_a"]
    assert (
        "the input current of D0001 is left out, since the input power is stated anew" in found["assumptions"]
    )
    assert plain["assumptions"] == found["assumptions"][-len(plain["assumptions"]) :]


def test_what_goes_with_a_stated_value_stays_when_it_is_stated_too(program: Program, few: list[str]) -> None:
    both = ["--watts", "12", "--current", "0.06"]
    found = answer(program("lookup", "D0001", *both, *few, "--format", "json"))
    assert stated(found)["input_current_a"] == "0.06 A"
    assert not [note for note in found["assumptions"] if note.startswith("the input current of")]


def test_a_value_can_be_taken_away(program: Program, few: list[str]) -> None:
    found = answer(program("lookup", "D0001", "--trait", "dim_floor_percent=?", *few, "--format", "json"))
    assert "dim_floor_percent" not in stated(found)


def test_every_bad_value_is_told_by_its_option_in_one_go(program: Program, few: list[str]) -> None:
    done = program(
        *("lookup", "D0001", "--watts", "1,234", "--method", "banana", "--load-type", "LED lmp"),
        *("--inrush", "28/30", "--power-factor", "2", "--trait", "inrsh_peak_a=3", "--trait", "watts"),
        *("--trait", "dim floor (W)=4", "--trait", "circuit=4", *few),
    )
    assert (done.code, done.out) == (2, "")
    told = done.err.splitlines()
    assert len(told) == 9
    for option, words in (
        ("--watts", "may mean 1.234 or 1234"),
        ("--method", "'banana' is not known"),
        ("--load-type", "Nearest: LED lamp"),
        ("--inrush", "Write both with their units, such as 28 A/380 us."),
        ("--power-factor", "is at most 1"),
        (
            "--trait",
            "a driver has no trait 'inrsh_peak_a'. A trait such as power_factor. Nearest: inrush_peak_a",
        ),
        ("--trait", "'watts' has no sign of equality. A name and a value, such as power_factor=0.9."),
        ("--trait", "gives the unit W, which does not fit"),
        ("--trait", "a driver has no trait 'circuit'"),
    ):
        assert [line for line in told if line.startswith(f"command line, {option}: ") and words in line], (
            words
        )


def test_a_value_stated_twice_is_refused(program: Program, few: list[str]) -> None:
    done = program("lookup", "D0001", "--watts", "5", "--trait", "input_power_w=6", *few)
    place = "command line, --trait input_power_w"
    assert (done.code, done.err) == (2, f"{place}: the input power is stated twice. State it once.\n")


def test_json_is_valid_by_the_published_schema(program: Program, few: list[str], dataset: Dataset) -> None:
    schema = json.loads((dataset.root / "schemas" / "lookup.schema.json").read_text(encoding="utf-8"))
    found = answer(program("lookup", "D0034", *few, "--count", "2", "--format", "json"))
    assert list(Draft202012Validator(schema).iter_errors(found)) == []
    assert (found["count"], found["counts_up_to"]) == (2, 3)


def test_text_on_the_screen_and_a_page_in_a_file(program: Program, few: list[str], tmp_path: Path) -> None:
    done = program("lookup", "D0034", *few)
    assert (done.code, done.err) == (0, "")
    assert done.out.startswith("D0034 DALI type 6 LED driver")
    assert max(map(len, done.out.splitlines())) <= 100
    page = tmp_path / "page.html"
    for flags in (["--html"], ["--format", "html"], ["--html", "--format", "html"]):
        done = program("lookup", "D0034", *few, *flags, "--output", page)
        assert (done.code, done.out, done.err) == (0, "", f"written: {page}\n")
        assert page.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    done = program("lookup", "D0034", *few, "--html", "--format", "json")
    two = "--html and --format json ask for two formats"
    assert (done.code, done.err) == (2, f"command line: {two}. Give one of the two.\n")


def test_the_exit_code_says_whether_an_output_works_with_so_many(program: Program) -> None:
    house = ["--project", str(DEMO / "house.toml"), "--up-to", "1"]
    found = answer(program("lookup", "D0034", *house, "--format", "json"))
    most = max(entry["most"] for entry in found["outputs"] if entry["most"])
    assert most == 1
    assert program("lookup", "D0034", *house, "--count", "1").code == 0
    assert program("lookup", "D0034", *house, "--count", "200").code == 1
    assert program("lookup", "D0034", *house).code == 0


@pytest.mark.parametrize("value", ["0", "1001", "some"])
def test_a_count_out_of_range_is_refused(program: Program, value: str) -> None:
    done = program("lookup", "D0034", "--count", value)
    assert done.code == 2
    assert "--count" in done.err


def test_help_is_given_without_the_heavy_libraries() -> None:
    code = (
        "import sys; sys.argv = ['compat', 'lookup', '--help']\n"
        "from compat.cli.app import run\n"
        "try: run()\n"
        "except SystemExit: pass\n"
        "print(sorted({'duckdb', 'polars', 'jinja2', 'jsonschema', 'numpy'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.endswith("\n[]\n")
    assert "--inrush" in done.stdout
