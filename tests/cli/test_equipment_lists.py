"""Drivers and outputs from spreadsheets, through the commands."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.parts import House, called
from tests.intake.files import write_csv, write_xlsx

OUTPUTS = [
    ["Output", "Description", "Method", "Min load (W)", "Load types", "Needs neutral", "Colour of plate"],
    ["DIM-1", "Dimmer, invented", "trailing edge", 20, "incandescent lamp", "no", "white"],
]
DRIVERS = [["Type code", "Description", "Load type", "Watts"], ["GLS/40", "40 W GLS, invented", "GLS", 40]]
SCHEDULE = "Circuit,Quantity,Driver,Output\nA1,{count},GLS/40,DIM-1\n"


def lists(folder: Path) -> list[str | Path]:
    drivers = write_xlsx(folder / "drivers.xlsx", {"Types": DRIVERS})
    return ["--drivers", drivers, "--outputs", write_xlsx(folder / "outputs.xlsx", {"Dimmers": OUTPUTS})]


def test_a_check_with_lists_names_their_cells(house: House) -> None:
    schedule = write_csv(house.folder / "own.csv", SCHEDULE.format(count=1))
    options = ("--dataset", house.dataset, "--format", "json", "--details")
    found = called("check", schedule, *lists(house.folder), *options)
    assert (found.code, found.err) == (0, "")
    assert "outputs.xlsx: Left out: Colour of plate." in json.loads(found.out)["notes"]
    (circuit,) = json.loads(found.out)["circuits"]
    assert (circuit["verdict"], circuit["output"]["output"]) == ("works", "DIM-1")
    assert '"cell": "D2"' in found.out
    assert '"file": "drivers.xlsx"' in found.out


def test_the_outputs_of_a_list_are_the_offer(house: House) -> None:
    schedule = write_csv(house.folder / "own.csv", "Circuit,Quantity,Driver\nA1,1,GLS/40\n")
    found = called("check", schedule, *lists(house.folder), "--dataset", house.dataset, "--format", "json")
    (circuit,) = json.loads(found.out)["circuits"]
    assert circuit["output"]["output"] == "DIM-1"


def test_a_list_that_cannot_be_read_is_told_with_its_place(house: House) -> None:
    path = write_csv(house.folder / "drivers.csv", "Code,Watts\nA,5\nA,6\n")
    found = called("check", house.schedule("works"), "--drivers", path, *house.options())
    assert (found.code, found.out) == (2, "")
    assert "drivers.csv, line 3, column Code: the code 'A' stands twice" in found.err


@pytest.mark.parametrize("table", ["drivers", "outputs"])
@pytest.mark.parametrize("form", ["xlsx", "csv"])
def test_an_empty_list_is_written_and_can_be_used(
    table: str, form: str, house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(house.folder)
    found = called("template", f"--{table}", "--format", form)
    assert (found.code, found.out, found.err) == (0, "", f"written: {table}.{form}\n")
    schedule = write_csv(house.folder / "own.csv", "Circuit,Quantity,Load type,Watts\nA1,1,GLS,40\n")
    used = called("check", schedule, f"--{table}", f"{table}.{form}", "--dataset", house.dataset)
    assert used.code in (0, 1)
    assert called("dataset", "check", house.dataset, f"--{table}", f"{table}.{form}").code == 0


def test_one_list_at_a_time() -> None:
    found = called("template", "--drivers", "--outputs")
    assert found.code == 2
    assert "write two lists" in found.err


def test_what_a_list_does_not_say_comes_by_how_many_rules_ask_for_it(house: House) -> None:
    path = write_csv(
        house.folder / "drivers.csv", "Code,Watts,Dimming\nFULL,40,trailing edge\nBARE,,trailing edge\n"
    )
    found = called("list", "drivers", "--incomplete", "--drivers", path)
    assert found.code == 1
    lines = found.out.splitlines()
    assert [line.split()[0] for line in lines] == ["BARE", "FULL"]
    assert "input power" in lines[0]
    assert "input power" not in lines[1]
    counts = [int(part.split("(")[1].split()[0].rstrip(")")) for part in lines[0].split(", ")]
    assert counts == sorted(counts, reverse=True)
    refused = called("list", "rules", "--incomplete", "--dataset", house.dataset)
    assert (refused.code, refused.out) == (2, "")


def test_a_column_of_methods_in_a_list_of_outputs_may_have_any_heading(house: House) -> None:
    rows = "Code,Name,Type,Min load\nDIM-2,Dimmer,trailing edge,20 W\n"
    path = write_csv(house.folder / "outputs.csv", rows)
    schedule = write_csv(house.folder / "own.csv", SCHEDULE.format(count=1).replace("DIM-1", "DIM-2"))
    drivers = lists(house.folder)[:2]
    options = ("--dataset", house.dataset, "--format", "json", "--details")
    found = called("check", schedule, *drivers, "--outputs", path, *options)
    assert "The heading 'Type' is read as method, since that is what stands below it." in found.out
    (circuit,) = json.loads(found.out)["circuits"]
    assert circuit["output"]["method"] == "reverse phase"
