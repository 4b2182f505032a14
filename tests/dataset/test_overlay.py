"""The user's own equipment and project file over the dataset."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from compat.dataset.overlay import Setting, project_beside, read_setting, with_own_equipment
from compat.dataset.read import Dataset
from compat.model.values import Interval, TokenSet
from tests.conftest import ROOT
from tests.dataset.parts import faults_of

OWN_DRIVER = (
    'schema = "drivers/1"\n[[driver]]\nid = "{id}"\nname = "Own"\n[driver.traits]\ninput_power_w = 5\n'
)
OWN_OUTPUT = 'schema = "outputs/1"\n[[output]]\nid = "{id}"\nname = "Own"\n[output.traits]\nmethod = "dali"\n'


def write(folder: Path, text: str, name: str = "house.toml") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def setting(folder: Path, text: str, dataset: Dataset) -> Setting:
    return read_setting(dataset, write(folder, 'schema = "project/1"\n' + text), None)


def test_own_equipment_is_added(tmp_path: Path, dataset: Dataset) -> None:
    path = write(tmp_path, OWN_DRIVER.format(id="mine"))
    laid_over = with_own_equipment(dataset, "drivers", path)
    assert list(laid_over.tables["drivers"]) == [*dataset.tables["drivers"], "mine"]
    assert laid_over.tables["drivers"]["mine"].traits["input_power_w"].basis == "declared"
    assert "mine" not in dataset.tables["drivers"]
    assert laid_over.tables["outputs"] is dataset.tables["outputs"]


def test_own_equipment_takes_the_place_of_an_entry_with_its_id(tmp_path: Path, dataset: Dataset) -> None:
    path = write(tmp_path, OWN_DRIVER.format(id="D0001"))
    own = with_own_equipment(dataset, "drivers", path).tables["drivers"]
    assert list(own) == list(dataset.tables["drivers"])
    assert (own["D0001"].name, set(own["D0001"].traits)) == ("Own", {"input_power_w"})


def test_no_own_equipment_changes_nothing(dataset: Dataset) -> None:
    assert with_own_equipment(dataset, "drivers", None) is dataset


def test_faults_of_own_equipment(tmp_path: Path, dataset: Dataset) -> None:
    wrong = write(tmp_path, OWN_OUTPUT.format(id="x"))
    (found,) = faults_of(lambda: with_own_equipment(dataset, "drivers", wrong))
    assert found == "house.toml, line 1: schema is 'outputs/1'. Allowed: schema = \"drivers/1\"."
    data = {"schema": "drivers/1", "driver": [{"id": "x", "name": "y", "traits": {"input_power_w": -1}}]}
    as_json = write(tmp_path, json.dumps(data), "own.json")
    (found,) = faults_of(lambda: with_own_equipment(dataset, "drivers", as_json))
    assert "x input_power_w: -1 is outside 0 to 1e+09" in found
    twice = write(tmp_path, json.dumps({**data, "driver": [{"id": "x", "name": "y"}] * 2}), "twice.json")
    (found,) = faults_of(lambda: with_own_equipment(dataset, "drivers", twice))
    assert "the id x is given twice" in found


def test_what_the_published_schema_forbids_is_told_too(tmp_path: Path, dataset: Dataset) -> None:
    """A word given twice in a set is no fault to the reader, but it is to the published schema."""
    text = OWN_DRIVER.format(id="x") + 'methods = ["dali", "dali"]\n'
    (found,) = faults_of(lambda: with_own_equipment(dataset, "drivers", write(tmp_path, text)))
    assert "line 7, driver.0.traits.methods: ['dali', 'dali'] is not allowed" in found


def test_without_a_project_the_defaults_of_the_dataset_hold(dataset: Dataset) -> None:
    found = read_setting(dataset, None, None)
    assert found.supply.id == "U0001"
    assert list(found.offer) == list(dataset.tables["outputs"])
    wish = found.circuit_defaults["wanted_colour_control"]
    assert (wish.content, wish.basis) == (False, "common_practice")
    neutral = found.circuit_defaults["neutral_at_control"]
    assert (neutral.content, neutral.basis) == (True, "usual")
    assert any("a neutral is there" in told for told in found.assumptions)


def test_a_project_states_supply_offer_and_defaults(tmp_path: Path, dataset: Dataset) -> None:
    text = """
supply = "U0002"
breaker = "B0001"
cable = "C0001"
cable_length_m = 12
source_impedance = "Z0001"
[supply_traits]
voltage_v = 118
voltage_max_v = [120, 127]
[offer]
outputs = ["O0003", "O0001"]
[circuit_defaults]
wanted_control = "dimmed"
wanted_colour_control = true
wanted_dim_floor_percent = "unknown"
"""
    found = setting(tmp_path, text, dataset)
    assert (found.supply.id, found.breaker.id, found.cable.id) == ("U0002", "B0001", "C0001")
    assert found.source_impedance.id == "Z0001"
    voltage = found.supply.traits["voltage_v"]
    assert (voltage.content, voltage.basis) == (Interval(118.0, 118.0), "declared")
    assert voltage.origin is not None
    assert voltage.origin.text() == "house.toml, line 9, supply_traits.voltage_v"
    assert found.supply.traits["voltage_max_v"].content == Interval(120.0, 127.0)
    assert found.supply.traits["frequency_hz"] == dataset.tables["supplies"]["U0002"].traits["frequency_hz"]
    assert list(found.offer) == ["O0003", "O0001"]
    contents = {name: trait.content for name, trait in found.circuit_defaults.items()}
    assert contents["wanted_control"] == "dimmed"
    assert contents["wanted_colour_control"] is True
    assert contents["wanted_dim_floor_percent"] is None
    assert contents["wanted_individual_control"] is False
    assert contents["cable_length_m"] == Interval(12.0, 12.0)


def test_a_supply_trait_from_memory_is_not_known(tmp_path: Path, dataset: Dataset) -> None:
    text = '[supply_traits]\nvoltage_max_v = { value = 250, basis = "memory" }\n'
    trait = setting(tmp_path, text, dataset).supply.traits["voltage_max_v"]
    assert (trait.content, trait.recalled) == (None, Interval(250.0, 250.0))


def test_own_outputs_are_the_offer_unless_the_project_has_one(tmp_path: Path, dataset: Dataset) -> None:
    own = write(tmp_path, OWN_OUTPUT.format(id="mine"), "own.toml")
    laid_over = with_own_equipment(dataset, "outputs", own)
    assert list(read_setting(laid_over, None, own).offer) == ["mine"]
    project = write(tmp_path, 'schema = "project/1"\n[offer]\noutputs = ["O0001", "mine"]\n')
    assert list(read_setting(laid_over, project, own).offer) == ["O0001", "mine"]
    empty = write(tmp_path, 'schema = "project/1"\n[offer]\noutputs = []\n')
    assert read_setting(laid_over, empty, own).offer == {}


FAULTS = {
    "unknown supply": ('supply = "U9999"', "house.toml, line 2: 'U9999' is not in the table of supplies."),
    "unknown breaker": ('breaker = "B000"', "line 2: 'B000' is not in the table of breakers. Nearest: B0001"),
    "unknown cable": ('cable = "rope"', "line 2: 'rope' is not in the table of cables."),
    "unknown source": ('source_impedance = "Z"', "line 2: 'Z' is not in the table of source impedances"),
    "unknown output": (
        '[offer]\noutputs = ["O0001", "O001"]',
        "line 3: 'O001' is not in the table of outputs. Nearest: O00",
    ),
    "driver as output": ('[offer]\noutputs = ["D0001"]', "'D0001' is not in the table of outputs"),
    "unknown field": ('suply = "U0001"', "line 2, suply: 'suply' is no field of this file. Nearest: supply"),
    "unknown offer field": ("[offer]\noutput = []", "'output' is no field of this file"),
    "unknown supply trait": (
        "[supply_traits]\nvoltage = 230",
        "line 3, supply_traits.voltage: 'voltage' cannot be set here. Allowed: voltage_min_v, ",
    ),
    "gathered circuit trait": (
        "[circuit_defaults]\ninput_power_w = 5",
        "circuit_defaults.input_power_w: 'input_power_w' cannot be set here",
    ),
    "unknown circuit trait": (
        "[circuit_defaults]\nneutral = true",
        "line 3, circuit_defaults.neutral: 'neutral' cannot be set here",
    ),
    "wrong word": (
        '[circuit_defaults]\nwanted_control = "dim"',
        "wanted_control: 'dim' is not a word of the list 'wanted_control'; allowed: dimmed, switched",
    ),
    "negative": ("[supply_traits]\nvoltage_v = -230", "voltage_v: -230 is outside 0 to 1e+09"),
    "low above high": (
        "[supply_traits]\nvoltage_v = [231, 230]",
        "voltage_v: the low end 231 is above the high end 230",
    ),
    "not a number": ("[supply_traits]\nvoltage_v = nan", "voltage_v: nan is not a finite number"),
    "infinite cable": ("cable_length_m = inf", "line 2, cable_length_m: inf is not allowed"),
    "cable that is no number": ("cable_length_m = nan", "line 2, cable_length_m: nan is not allowed"),
    "negative cable": (
        "cable_length_m = -1",
        "line 2, cable_length_m: -1 is not allowed. Input should be greater than or equal to 0",
    ),
    "number as supply": (
        "supply = 230",
        "line 2, supply: 230 is not allowed. Input should be a valid string",
    ),
    "schema of drivers": ("", "schema: 'drivers/1' is not allowed. Input should be 'project/1'"),
    "broken": ("supply = U0001", "house.toml, line 2: this is not TOML"),
}


@pytest.mark.parametrize(("text", "sentence"), FAULTS.values(), ids=FAULTS)
def test_a_faulty_project(text: str, sentence: str, tmp_path: Path, dataset: Dataset) -> None:
    if text:
        found = faults_of(lambda: setting(tmp_path, text + "\n", dataset))
    else:
        path = write(tmp_path, OWN_DRIVER.format(id="x"))
        found = faults_of(lambda: read_setting(dataset, path, None))
    assert any(sentence in line for line in found), found


def test_all_faults_of_a_project_are_told_at_once(tmp_path: Path, dataset: Dataset) -> None:
    text = 'supply = "U9999"\n[supply_traits]\nvoltage = 230\n[circuit_defaults]\nwanted_control = 1\n'
    assert len(faults_of(lambda: setting(tmp_path, text, dataset))) == 3


def test_a_project_that_is_not_there(tmp_path: Path, dataset: Dataset) -> None:
    (found,) = faults_of(lambda: read_setting(dataset, tmp_path / "none.toml", None))
    assert "there is no such file" in found


def test_the_demo_project_can_be_read(dataset: Dataset) -> None:
    found = read_setting(dataset, ROOT / "datasets" / "demo" / "house.toml", None)
    assert found.project.invented
    assert len(found.offer) > 10


def test_a_project_file_beside_a_schedule_has_its_name(tmp_path: Path) -> None:
    schedule = tmp_path / "house.xlsx"
    assert project_beside(schedule) is None
    path = write(tmp_path, 'schema = "project/1"\n')
    assert project_beside(schedule) == path
    assert project_beside(path) is None


def test_values_of_the_setting_are_in_the_words_of_the_model(dataset: Dataset) -> None:
    for trait in read_setting(dataset, None, None).circuit_defaults.values():
        assert isinstance(trait.content, Interval | TokenSet | str | bool)
        assert trait.origin is not None
        assert trait.origin.file == "defaults.toml"
