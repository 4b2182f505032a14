"""Which heading names which column, and the unit it gives."""

from __future__ import annotations

import pytest

from compat.intake.cells import Unreadable
from compat.intake.heading_aliases import ALIASES, IGNORED, TOTALS
from compat.intake.headings import Headings, fold
from tests.intake.files import vocabulary

HEADINGS = Headings(vocabulary())


@pytest.mark.parametrize(
    ("heading", "name", "unit"),
    [
        ("Circuit", "circuit", ""),
        ("CCT. REF", "circuit", ""),
        ("Qty", "quantity", ""),
        ("Fitting", "luminaire_type", ""),
        ("input_power_w", "input_power_w", "w"),
        ("Input power (W)", "input_power_w", "w"),
        ("Input power [W]", "input_power_w", "w"),
        ("Watts", "input_power_w", "w"),
        ("W each", "input_power_w", "w"),
        ("Load (W)", "input_power_w", "w"),
        ("PF", "power_factor", "ratio"),
        ("Power factor (%)", "power_factor", "percent"),
        ("Inrush (A)", "inrush_peak_a", "a"),
        ("Inrush\n(mA)", "inrush_peak_a", "ma"),
        ("Inrush peak, mA", "inrush_peak_a", "ma"),
        ("Inrush width / ms", "inrush_width_us", "ms"),
        ("inrush width µs", "inrush_width_us", "us"),
        ("Dim floor %", "dim_floor_percent", "percent"),
        ("Control", "methods", ""),
        ("Dim method", "methods", ""),
        ("Control wanted", "wanted_control", ""),
        ("Mains voltage (V)", "input_voltage", "v"),
        ("0-10 V current", "control_current_ma", "ma"),
    ],
)
def test_known_headings(heading: str, name: str, unit: str) -> None:
    bound = HEADINGS.bind(3, heading)
    assert (bound.column.name, bound.unit, bound.index) == (name, unit, 3)


@pytest.mark.parametrize(
    ("heading", "what"),
    [
        ("Circiut", "the heading 'Circiut' is not known"),
        ("No.", "the heading 'No.' is not known"),
        ("Current (mA)", "the heading 'Current (mA)' is not known"),
        ("Circuit (A)", "the heading 'Circuit (A)' is not known"),
        ("Load (VA)", "the heading 'Load (VA)' gives the unit VA, which does not fit"),
        ("Load (kW)", "the unit in the heading 'Load (kW)' is not known"),
        ("Inrush (V)", "the heading 'Inrush (V)' gives the unit V, which does not fit"),
        ("DALI addresses (%)", "the heading 'DALI addresses (%)' gives the unit %, which does not fit"),
    ],
)
def test_headings_that_are_refused(heading: str, what: str) -> None:
    with pytest.raises(Unreadable) as caught:
        HEADINGS.bind(0, heading)
    assert caught.value.what == what


def test_a_near_miss_is_offered_and_never_taken() -> None:
    assert HEADINGS.recognised("Quantty") is None
    with pytest.raises(Unreadable) as caught:
        HEADINGS.bind(0, "Quantty")
    assert "quantity" in caught.value.do


@pytest.mark.parametrize("heading", ["#Price", "# anything", "Notes", "REMARKS", "Comments"])
def test_columns_people_keep_for_themselves(heading: str) -> None:
    assert HEADINGS.is_ignored(heading)


@pytest.mark.parametrize("heading", ["Total W", "Total (W)", "Total load (W)"])
def test_totals(heading: str) -> None:
    assert HEADINGS.is_total(heading)
    assert HEADINGS.recognised(heading) is None


def test_no_spelling_names_two_columns() -> None:
    taken: dict[str, str] = {}
    for name, column in HEADINGS.columns.items():
        for spelling in (name.replace("_", " "), column.label, *ALIASES.get(name, ())):
            assert taken.setdefault(fold(spelling), name) == name, spelling
    for spelling in (*IGNORED, *TOTALS):
        assert fold(spelling) not in taken


def test_every_alias_is_of_a_column() -> None:
    assert set(ALIASES) <= set(HEADINGS.columns)


def test_every_driver_trait_and_circuit_column_can_be_written() -> None:
    for trait in vocabulary().traits.values():
        expected = trait.subject == "driver" or trait.gather == "column"
        found = HEADINGS.columns.get(trait.name)
        if expected:
            assert found is not None
            assert trait in found.traits
