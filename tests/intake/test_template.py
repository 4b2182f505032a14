"""The empty schedule: it reads back, explains every column, and is the same each time."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Literal

import openpyxl
import pytest

from compat.intake.headings import Headings
from compat.intake.template import write_template
from compat.intake.template_columns import NOTES, guides, heading_of
from compat.intake.words import Words, yes_no
from compat.model.faults import BadInput
from compat.model.values import Interval, TokenSet
from tests.intake.files import DRIVERS, OUTPUTS, read, vocabulary

Format = Literal["xlsx", "csv"]


def template(folder: Path, format: Format) -> Path:
    path = folder / f"schedule.{format}"
    write_template(path, format, vocabulary(), DRIVERS, OUTPUTS)
    return path


@pytest.mark.parametrize("format", ["xlsx", "csv"])
def test_it_reads_back_without_fault_or_note(tmp_path: Path, format: Format) -> None:
    schedule = read(template(tmp_path, format))
    (row,) = schedule.rows
    assert schedule.notes == ()
    assert (row.circuit, row.quantity, row.luminaire_type) == ("C1", 6, "example, replace")
    assert row.driver_traits["input_power_w"].content == Interval(5.5, 6.5)
    assert row.driver_traits["methods"].content == TokenSet.exactly(
        "forward_phase", "reverse_phase", "switched"
    )
    assert row.circuit_traits["neutral_at_control"].content is True


@pytest.mark.parametrize("format", ["xlsx", "csv"])
def test_the_same_dataset_gives_the_same_bytes(tmp_path: Path, format: Format) -> None:
    first = template(tmp_path, format).read_bytes()
    assert template(tmp_path, format).read_bytes() == first


def test_every_column_is_explained_and_can_be_used_as_it_stands() -> None:
    headings = Headings(vocabulary())
    lines = guides(vocabulary())
    found = [headings.bind(0, line.heading).column.name for line in lines]
    assert sorted(found) == sorted(headings.columns)
    for line, name in zip(lines, found, strict=True):
        assert line.meaning
        assert line.where_to_find
        assert line.what_to_write
        bound = headings.bind(0, line.heading)
        assert bound.unit == headings.columns[name].unit
        assert line.unit == vocabulary().unit_symbol(bound.unit)


def test_the_lists_propose_words_that_are_read(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(template(tmp_path, "xlsx"))
    lists, words, headings = book["Lists"], Words(vocabulary()), Headings(vocabulary())
    offered: dict[str, list[str]] = {}
    for validation in book["Circuits"].data_validations.dataValidation:
        column = next(iter(validation.sqref.ranges)).min_col
        cells = lists[validation.formula1.removeprefix("Lists!").replace("$", "")]
        heading = book["Circuits"].cell(1, column).value
        offered[headings.bind(0, heading).column.name] = [row[0].value for row in cells]
    assert offered["driver"] == list(DRIVERS)
    assert offered["output"] == list(OUTPUTS)
    assert offered["neutral_at_control"] == ["yes", "no"]
    assert {"load_type", "methods", "wanted_control", "control_pair_selv"} <= set(offered)
    for name, texts in offered.items():
        for trait in headings.columns[name].traits:
            reader = {"set": words.token_set, "choice": words.choice, "yes_no": yes_no}[trait.kind]
            assert all(reader(text, trait) is not None for text in texts)


def test_without_ids_there_are_no_lists_of_them(tmp_path: Path) -> None:
    path = tmp_path / "schedule.xlsx"
    write_template(path, "xlsx", vocabulary(), [], [])
    assert len(read(path).rows) == 1


def test_no_cell_starts_a_formula(tmp_path: Path) -> None:
    with template(tmp_path, "csv").open(encoding="utf-8-sig", newline="") as file:
        cells = [cell for row in csv.reader(file) for cell in row]
    assert len(cells) > 20
    assert not [cell for cell in cells if cell.startswith(("=", "+", "-", "@", "\t", "\r"))]
    path = tmp_path / "schedule.xlsx"
    write_template(path, "xlsx", vocabulary(), ["=1+1"], [])
    assert openpyxl.load_workbook(path)["Lists"]["E2"].data_type == "s"


def test_headings_carry_their_unit() -> None:
    columns = Headings(vocabulary()).columns
    assert heading_of(columns["input_power_w"], vocabulary()) == "Input power (W)"
    assert heading_of(columns["circuit"], vocabulary()) == "Circuit"
    assert Headings(vocabulary()).is_ignored(NOTES)


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="the folder for this file does not exist"):
        write_template(tmp_path / "no" / "schedule.csv", "csv", vocabulary(), [], [])
