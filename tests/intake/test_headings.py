"""Which heading names which column, and the unit it gives."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from compat.intake.alias_tables import LEFT_OUT, heading_rows
from compat.intake.cells import Unreadable
from compat.intake.heading_aliases import LEAST_SCORE
from compat.intake.heading_values import are_ratings
from compat.intake.headings import Headings
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
        ("Watts (each)", "input_power_w", "w"),
        ("Load [W] total", "total_power_w", "w"),
        ("Load (kW)", "input_power_w", "kw"),
        ("Total (W)", "total_power_w", "w"),
        ("Leistung in W", "input_power_w", "w"),
        ("P [W]", "input_power_w", "w"),
        ("Circuit\nNo.", "circuit", ""),
        ("CIRCUIT #", "circuit", ""),
        ("Stueckzahl", "quantity", ""),
        ("Current (mA)", "current_each_a", "ma"),
        ("Amps", "current_each_a", "a"),
        ("Einschaltstrom (A)", "inrush_peak_a", "a"),
        ("inrush_peak_a", "inrush_peak_a", "a"),
        ("Inrush", "inrush_peak_a", ""),
        ("Current", "current_each_a", ""),
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
        ("Total", "the heading 'Total' is not known"),
        ("Cost each", "the heading 'Cost each' is not known"),
        ("Circuit (A)", "the heading 'Circuit (A)' is not known"),
        ("Load (VA)", "the heading 'Load (VA)' gives the unit VA, which does not fit"),
        ("Load (hp)", "the heading 'Load (hp)' is not known"),
        ("Load (HP)", "the unit in the heading 'Load (HP)' is not known"),
        ("Inrush (V)", "the heading 'Inrush (V)' gives the unit V, which does not fit"),
        ("DALI addresses (%)", "the heading 'DALI addresses (%)' gives the unit %, which does not fit"),
    ],
)
def test_headings_that_are_refused(heading: str, what: str) -> None:
    with pytest.raises(Unreadable) as caught:
        HEADINGS.bind(0, heading)
    assert caught.value.what == what


def test_a_near_miss_below_the_score_is_offered_and_not_taken() -> None:
    assert HEADINGS.recognised("Quantty") is None
    with pytest.raises(Unreadable) as caught:
        HEADINGS.bind(0, "Quantty")
    assert "quantity" in caught.value.do


def test_a_near_heading_is_taken_with_its_score() -> None:
    bound = HEADINGS.bind(0, "Dimming protcol")
    assert (bound.column.name, bound.nearest) == ("methods", "dimming protocol")
    assert LEAST_SCORE <= bound.score < 100
    assert HEADINGS.bind(0, "Dimming protocol").score == 100


TABLE = Path(__file__).parent / "tables" / "headings.csv"


def test_headings_of_real_kinds() -> None:
    """The table was written before the alias tables: headings as practices write them, and their columns."""
    wrong: list[tuple[str, str, str]] = []
    with TABLE.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    for row in rows:
        column = HEADINGS.recognised(row["heading"])
        name = column.name if column else LEFT_OUT
        if name != row["column"]:
            wrong.append((row["heading"], row["column"], name))
    assert wrong == []
    assert len(rows) > 700


def test_a_second_list_of_headings_is_never_misread() -> None:
    """Written when the tables were done: what they do not know is left out, and nothing is taken wrong."""
    with TABLE.with_name("headings-second.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    named = {row["heading"]: HEADINGS.recognised(row["heading"]) for row in rows}
    found = [(row, named[row["heading"]]) for row in rows]
    assert [
        (row["heading"], column.name) for row, column in found if column and column.name != row["column"]
    ] == []
    missed = [row["heading"] for row, column in found if column is None and row["column"] != LEFT_OUT]
    assert len(missed) <= 20, missed


@pytest.mark.parametrize(
    ("heading", "name"),
    [
        ("DB / Board", "panel"),
        ("Ruimte / Vertrek", "room"),
        ("Circuit (new)", "circuit"),
        ("Ltg. cct", "circuit"),
        ("Inrush current/driver (A)", "inrush_peak_a"),
        ("Total (€)", None),
        ("€/ud", None),
        ("U (V)", "voltage_each_v"),
        ("UV", "panel"),
        ("Room / Rev", None),
        ("Dimming / Room", None),
        ("Line No", None),
    ],
)
def test_headings_in_parts_and_shortened(heading: str, name: str | None) -> None:
    column = HEADINGS.recognised(heading)
    assert (column.name if column else None) == name


@pytest.mark.parametrize(
    ("heading", "values", "name"),
    [
        ("CCT", ["2700K", "3000 K"], None),
        ("CCT", ["2700", "3000-4000"], None),
        ("CCT", ["1", "2", "3"], "circuit"),
        ("CCT", ["L1/1", "2700K"], "circuit"),
        ("CCT (K)", ["2700"], None),
        ("Dimming", ["Yes", "no", ""], "wanted_control"),
        ("Dimming", ["DALI", "no"], "methods"),
        ("Dimmung", ["ja", "nein"], "wanted_control"),
        ("Dimmable", ["Yes", "No"], "methods"),
    ],
)
def test_values_settle_a_heading_with_two_meanings(heading: str, values: list[str], name: str | None) -> None:
    column = HEADINGS.recognised(heading, values)
    assert (column.name if column else None) == name


def test_what_a_heading_leaves_open_is_told() -> None:
    assert HEADINGS.bind(0, "Load (W)").each_or_total
    assert not HEADINGS.bind(0, "Load per fitting (W)").each_or_total
    assert HEADINGS.bind(0, "Zone").weak
    assert not HEADINGS.bind(0, "Circuit").weak


@pytest.mark.parametrize(
    ("texts", "ratings"),
    [
        (["C16", "B 10", "10A"], True),
        (["1", "2"], False),
        (["Q1", "Q2"], False),
        (["B1", "B2", "B3"], False),
        (["30mA", "RCD 30 mA"], True),
        (["MCB 3"], False),
        ([], False),
    ],
)
def test_a_breakers_rating_is_no_label(texts: list[str], ratings: bool) -> None:
    assert are_ratings(texts) is ratings


@pytest.mark.parametrize("heading", ["#Price", "# anything", "Notes", "REMARKS", "Comments"])
def test_columns_people_keep_for_themselves(heading: str) -> None:
    assert HEADINGS.is_ignored(heading)


@pytest.mark.parametrize("heading", ["Total W", "Total (W)", "Total load (W)"])
def test_totals(heading: str) -> None:
    assert HEADINGS.is_total(heading)
    assert not HEADINGS.is_total("Watts")


def test_every_row_of_the_table_is_of_a_column_and_read_as_it_says() -> None:
    for row in heading_rows():
        if row.column == LEFT_OUT:
            assert HEADINGS.is_ignored(row.heading), row
        else:
            assert row.column in HEADINGS.columns, row
            assert HEADINGS.bind(
                0, row.heading if not row.note.startswith("with") else f"{row.heading} (W)"
            ), row


def test_every_driver_trait_and_circuit_column_can_be_written() -> None:
    for trait in vocabulary().traits.values():
        expected = trait.subject == "driver" or trait.gather == "column"
        found = HEADINGS.columns.get(trait.name)
        if expected:
            assert found is not None
            assert trait in found.traits
