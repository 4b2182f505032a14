"""Usual values: read from files, filled into gaps, and never in the way of what is known."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from compat.dataset.read import Dataset
from compat.model.faults import BadInput
from compat.model.values import Content, Interval, Origin, TokenSet, Trait
from compat.rulebook.usual import Usual, narrowed, read_usual, usual_of, with_usual

SUPPLY: dict[str, Content] = {"supply.voltage_v": Interval(230.0, 230.0)}
OPEN_EDGE = TokenSet(frozenset({"switched"}), frozenset({"switched", "forward_phase", "reverse_phase"}))


def exact(value: float) -> Interval:
    return Interval(value, value)


@pytest.fixture(scope="module")
def usual(dataset: Dataset) -> Usual:
    return usual_of(dataset)


def filled(
    dataset: Dataset, usual: Usual, text: str = "", given: Mapping[str, Content] = SUPPLY, **known: Content
) -> dict[str, Trait]:
    traits = {name: Trait(content, origin=Origin("a.csv")) for name, content in known.items()}
    found, which = with_usual(traits, dataset.vocabulary, usual, text=text, given=given)
    assert {name for name, trait in found.items() if trait.basis == "usual"} == set(which)
    return found


def test_what_every_practice_sends_gives_nearly_every_trait(dataset: Dataset, usual: Usual) -> None:
    """Quantity, type, watts and a dimming word."""
    made = filled(dataset, usual, "Downlight", input_power_w=exact(10.0), methods=OPEN_EDGE)
    assert made["load_type"].content == "constant_current_driver"
    assert made["input_character"].content == "capacitive"
    methods = made["methods"].content
    assert isinstance(methods, TokenSet)
    assert methods.sure == {"switched", "reverse_phase"}
    assert methods.possible == OPEN_EDGE.possible
    for name in (
        "power_factor",
        "inrush_peak_a",
        "inrush_width_us",
        "input_voltage_min_v",
        "input_voltage_max_v",
        "input_frequency_min_hz",
        "dim_floor_percent",
        "insulation_class",
        "protective_conductor_current_ma",
        "off_state_current_tolerated_ma",
        "dimming_forbidden",
        "emergency",
        "colour",
    ):
        assert made[name].content is not None, name
        assert made[name].basis == "usual"


@pytest.mark.parametrize(
    ("text", "watts", "load_type"),
    [
        ("Pendant E27", 8.0, "integral_lamp"),
        ("Spot GU10", 6.0, "integral_lamp"),
        ("Spot GU10", 50.0, "incandescent"),
        ("Halogen spotlight", 28.0, "incandescent"),
        ("MR16 spotlight", 35.0, "electronic_transformer"),
        ("Cove LED strip", 60.0, "constant_voltage_driver"),
        ("Extractor fan", 25.0, "motor"),
        ("T5 batten", 35.0, "fluorescent"),
        ("LED T5 batten", 35.0, "constant_current_driver"),
        ("Linear pendant profile", 40.0, "constant_current_driver"),
        ("Type A", 9.0, "integral_lamp"),
        ("Type A", 30.0, "constant_current_driver"),
    ],
)
def test_the_kind_of_gear_by_its_name(
    text: str, watts: float, load_type: str, dataset: Dataset, usual: Usual
) -> None:
    assert filled(dataset, usual, text, input_power_w=exact(watts))["load_type"].content == load_type


def test_the_voltage_is_that_of_the_supply(dataset: Dataset, usual: Usual) -> None:
    there = filled(dataset, usual, given={"supply.voltage_v": exact(120.0)}, input_power_w=exact(9.0))
    assert there["input_voltage_max_v"].content == exact(132.0)
    assert "input_voltage_max_v" not in filled(dataset, usual, given={}, input_power_w=exact(9.0))


def test_a_supply_is_usual_in_a_country(usual: Usual) -> None:
    british, american = usual.supply_in("GB"), usual.supply_in("us")
    assert british is not None
    assert british.supply == "U0001"
    assert american is not None
    assert american.supply == "U0002"
    assert usual.supply_in("zz") is None


def test_what_is_usual_of_an_installation(dataset: Dataset, usual: Usual) -> None:
    stated = {"neutral_shared": Trait(True)}
    columns, which = with_usual(stated, dataset.vocabulary, usual, subject="circuit", given=SUPPLY)
    assert columns["neutral_shared"] == Trait(True)
    assert columns["protective_conductor_present"].content is True
    assert columns["neutral_at_control"].basis == "usual"
    assert "neutral_shared" not in which
    assert "power_factor" not in columns


def test_a_usual_value_hides_no_known_one(dataset: Dataset, usual: Usual) -> None:
    """Whatever is stated of a driver of the dataset stays as it is, trait by trait."""
    for driver in dataset.tables["drivers"].values():
        found, which = with_usual(driver.traits, dataset.vocabulary, usual, text=driver.name, given=SUPPLY)
        for name, trait in driver.traits.items():
            if trait.content is None:
                continue
            if name in which:
                assert isinstance(trait.content, TokenSet)
                narrow = found[name].content
                assert isinstance(narrow, TokenSet)
                assert trait.content.sure <= narrow.sure <= narrow.possible <= trait.content.possible
            else:
                assert found[name] == trait


@pytest.mark.parametrize(
    ("known", "usual", "derived", "expected"),
    [
        (None, exact(3.0), False, exact(3.0)),
        (exact(2.0), exact(3.0), False, None),
        (Interval(0.0, 2.0), Interval(1.0, 3.0), False, None),
        (Interval(0.0, 2.0), Interval(1.0, 3.0), True, Interval(1.0, 2.0)),
        (Interval(0.0, 2.0), Interval(3.0, 4.0), True, None),
        (Interval(1.0, 2.0), Interval(0.0, 4.0), True, None),
        ("motor", "incandescent", False, None),
        (False, True, False, None),
        (OPEN_EDGE, TokenSet.exactly("dali", "switched"), False, None),
        (TokenSet.exactly("switched"), OPEN_EDGE, False, None),
    ],
)
def test_what_a_usual_value_adds(known: Content, usual: Content, derived: bool, expected: Content) -> None:
    found = narrowed(Trait(known), Trait(usual, "usual"), derived)
    assert (found.content if found else None) == expected
    assert found is None or found.basis == "usual"


def test_faults_of_a_file_name_the_line(dataset: Dataset, tmp_path: Path) -> None:
    folder = tmp_path / "datasets" / "usual"
    folder.mkdir(parents=True)
    (folder / "one.toml").write_text(
        'schema = "usual/1"\n\n[[class]]\nid = "K0001"\nslug = "a"\nname = "A"\n'
        'applies = "driver.load_typ == motor"\nunless_known = ["watt"]\n[class.traits]\npower_facto = 1\n'
        "power_factor = [2, 1]\n",
        encoding="utf-8",
    )
    with pytest.raises(BadInput) as caught:
        read_usual(tmp_path, dataset.vocabulary)
    sentences = [fault.sentence() for fault in caught.value.faults]
    assert sentences[0].startswith("one.toml, line 7: K0001: applies cannot be read: 'driver.load_typ'")
    assert any("line 8: K0001: 'watt' is no trait" in sentence for sentence in sentences)
    assert any("line 10: K0001: 'power_facto' is no trait" in sentence for sentence in sentences)
    assert any("line 11: K0001 power_factor: the low end 2 is above" in sentence for sentence in sentences)
