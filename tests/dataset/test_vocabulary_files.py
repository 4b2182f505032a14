"""The tables of the vocabulary: what is wrong with a line is told by its number."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from compat.dataset.vocabulary import LONGEST_LIST, checked_vocabulary
from compat.model.vocabulary import Vocabulary, read_vocabulary
from tests.conftest import ROOT
from tests.dataset.parts import faults_of, replaced

TABLES = ROOT / "datasets" / "vocabulary"
POWER = "driver,input_power_w,quantity,w,,,,input power,"
METHOD = "output,method,choice,,method,,,method,"
GATHERED = "circuit,input_power_w,quantity,w,,sum,driver.input_power_w,"


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    return Path(shutil.copytree(TABLES, tmp_path / "vocabulary"))


def test_the_published_vocabulary_is_well(dataset_vocabulary: Vocabulary) -> None:
    assert len(dataset_vocabulary.traits) > 140
    assert dataset_vocabulary == read_vocabulary(TABLES)


@pytest.fixture
def dataset_vocabulary() -> Vocabulary:
    return checked_vocabulary(TABLES)


FAULTS = {
    "unknown unit": (
        POWER,
        POWER.replace(",w,", ",watt,"),
        "driver.input_power_w: unit is 'watt', which is not allowed for a quantity",
    ),
    "no unit": (
        POWER,
        POWER.replace(",w,", ",,"),
        "driver.input_power_w: unit is '', which is not allowed for a quantity",
    ),
    "unit of a choice": (
        METHOD,
        METHOD.replace(",,method", ",w,method"),
        "output.method: unit is 'w', which is not allowed for a choice",
    ),
    "unknown list": (
        METHOD,
        METHOD.replace(",,method", ",,methods"),
        "output.method: list is 'methods', which is not allowed for a choice. Nearest: method",
    ),
    "no list": (
        METHOD,
        METHOD.replace(",,method", ",,"),
        "output.method: list is '', which is not allowed for a choice",
    ),
    "unknown kind": (
        POWER,
        POWER.replace("quantity", "number"),
        "driver.input_power_w: kind is 'number', which is not allowed",
    ),
    "unknown subject": (
        POWER,
        POWER.replace("driver", "lamp"),
        "lamp.input_power_w: subject is 'lamp', which is not allowed",
    ),
    "gathered from nothing": (
        GATHERED,
        GATHERED.replace("driver.i", "driver.o"),
        "circuit.input_power_w: of is 'driver.onput_power_w', which is not allowed",
    ),
    "no label": (
        POWER,
        POWER.replace("input power,", ","),
        "driver.input_power_w: the label or the meaning is missing. Write both in plain words",
    ),
    "given twice": (METHOD, f"{POWER}x,y,\n{METHOD}", "driver.input_power_w is given twice. Remove one"),
}


@pytest.mark.parametrize(("old", "new", "sentence"), FAULTS.values(), ids=FAULTS)
def test_a_faulty_line_of_the_traits(old: str, new: str, sentence: str, copy: Path) -> None:
    replaced(copy / "traits.csv", old, new)
    found = faults_of(lambda: checked_vocabulary(copy))
    assert any(line.startswith("traits.csv, line ") and sentence in line for line in found), found


def test_the_line_is_that_of_the_file(copy: Path) -> None:
    lines = (copy / "traits.csv").read_text(encoding="utf-8").splitlines()
    number = next(place for place, line in enumerate(lines, start=1) if line.startswith(METHOD))
    replaced(copy / "traits.csv", METHOD, METHOD.replace(",,method", ",,methods"))
    (found,) = faults_of(lambda: checked_vocabulary(copy))
    assert found.startswith(f"traits.csv, line {number}: ")


def test_units_and_words_are_given_once(copy: Path) -> None:
    replaced(copy / "units.csv", "va,VA", "w,W")
    replaced(copy / "choices.csv", "method,dmx,DMX", "method,dali,DALI")
    found = faults_of(lambda: checked_vocabulary(copy))
    assert "units.csv, line 3: w is given twice. Remove one." in found
    assert any(line.startswith("choices.csv") and "method.dali is given twice" in line for line in found)


def test_a_list_has_as_many_words_as_bits(copy: Path) -> None:
    with (copy / "choices.csv").open("a", encoding="utf-8") as file:
        file.writelines(f"many,word_{number},word {number},a word\n" for number in range(LONGEST_LIST + 1))
    last = len((copy / "choices.csv").read_text(encoding="utf-8").splitlines())
    assert faults_of(lambda: checked_vocabulary(copy)) == [
        f"choices.csv, line {last}: the list many has 31 words; allowed are 30."
    ]


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("units.csv", "unit,symbol,dimension,factor", "unit,symbol,dimension,factors"),
        ("units.csv", "current,0.001", "current,small"),
        ("choices.csv", "list,value", "list,values"),
        ("traits.csv", "subject,name,kind", "subject,name,kinds"),
    ],
)
def test_a_table_that_cannot_be_read(file: str, old: str, new: str, copy: Path) -> None:
    replaced(copy / file, old, new)
    (found,) = faults_of(lambda: checked_vocabulary(copy))
    assert "the vocabulary cannot be read: " in found
    assert found.endswith("Tables: units.csv, choices.csv, traits.csv.")


@pytest.mark.parametrize("file", ["units.csv", "choices.csv", "traits.csv"])
def test_a_missing_or_strange_table(file: str, copy: Path) -> None:
    (copy / file).write_bytes(b"\xff\xfe\x00")
    (found,) = faults_of(lambda: checked_vocabulary(copy))
    assert "UTF-8 text is expected" in found
    (copy / file).unlink()
    (found,) = faults_of(lambda: checked_vocabulary(copy))
    assert f"{file}: there is no such file" in found
