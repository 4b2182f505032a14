"""Of any text, the grammar of figures makes a sane interval or a sentence; figures keep their value."""

from __future__ import annotations

import math
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from compat.intake.cells import Unreadable, to_text
from compat.intake.figure_grammar import decimal_mark
from compat.intake.numbers import Figures
from compat.intake.units import UnitTable
from compat.model.values import Interval
from compat.model.vocabulary import TraitDefinition
from tests.intake.files import outcome, vocabulary

UNITS = UnitTable(vocabulary())
PEAK = Figures(vocabulary().traits["driver.inrush_peak_a"], UNITS, "a", ".")


@given(st.floats(min_value=1e-6, max_value=1e9, allow_nan=False))
def test_a_number_of_a_spreadsheet_comes_back_to_the_last_bit(number: float) -> None:
    assert PEAK.interval(to_text(number)) == Interval(number, number)


@given(
    st.decimals(min_value=0, max_value=10000, places=3),
    st.decimals(min_value=0, max_value=10000, places=3),
    st.sampled_from([" to ", "-", " – ", "..."]),
    st.sampled_from(["", "A", " A"]),
)
def test_a_range_keeps_its_ends(one: Decimal, other: Decimal, between: str, unit: str) -> None:
    low, high = sorted((one, other))
    assert PEAK.interval(f"{low}{between}{high}{unit}") == Interval(float(low), float(high))


@given(st.decimals(min_value=0, max_value=10**6, places=2))
def test_a_point_and_a_comma_read_alike(number: Decimal) -> None:
    assert PEAK.interval(str(number).replace(".", ",")) == PEAK.interval(str(number))


@given(st.decimals(min_value=0, max_value=10**6, places=3))
def test_milliampere_and_ampere_agree(milliampere: Decimal) -> None:
    expected = float(milliampere / 1000)
    assert PEAK.interval(f"{milliampere} mA") == Interval(expected, expected)


@given(st.integers(min_value=1000, max_value=999999), st.sampled_from([".", ","]))
def test_grouped_thousands_are_read_by_the_other_mark_and_asked_about_without(number: int, mark: str) -> None:
    grouped = f"{number:,}".replace(",", mark)
    trait = vocabulary().traits["driver.inrush_peak_a"]
    known = Figures(trait, UNITS, "a", "," if mark == "." else ".").interval(grouped)
    assert known == Interval(number, number)
    open_ = Figures(trait, UNITS, "a", None)
    assert isinstance(outcome(lambda: open_.interval(grouped), Unreadable), Unreadable)


@given(st.text(alphabet="0123456789.,-–+eE µAmsVW%/<>≤≥ tonaif?", max_size=30) | st.text(max_size=30))
def test_any_text_gives_a_sane_interval_or_a_sentence(text: str) -> None:
    for trait in _quantities():
        reader = Figures(trait, UNITS, trait.unit)
        found = outcome(lambda reader=reader: reader.interval(text), Unreadable)
        if isinstance(found, Unreadable):
            assert found.what
            assert found.what.isprintable()
        elif found is not None:
            assert 0 <= found.low <= found.high <= 1e9
            assert math.isfinite(found.high)


def _quantities() -> list[TraitDefinition]:
    return [t for t in vocabulary().of_subject("driver") if t.kind == "quantity"][:6]


def written(number: Decimal, places: int, mark: str, grouped: bool) -> str:
    """A number with so many decimals behind a mark, its thousands parted by the other mark or not at all."""
    text = f"{number:,.{places}f}" if grouped else f"{number:.{places}f}"
    return text.translate(str.maketrans(",.", ".,")) if mark == "," else text


@given(
    st.lists(
        st.tuples(st.decimals(min_value=0, max_value=10**7, places=4), st.integers(0, 4), st.booleans()),
        min_size=1,
        max_size=6,
    ),
    st.sampled_from([",", "."]),
)
def test_a_column_is_read_by_its_own_mark_or_not_at_all(
    numbers: list[tuple[Decimal, int, bool]], mark: str
) -> None:
    texts = [written(number, places, mark, grouped) for number, places, grouped in numbers]
    found = decimal_mark(texts)
    assert found in (None, mark)
    reader = Figures(vocabulary().traits["driver.inrush_peak_a"], UNITS, "a", found)
    for text, (number, places, _) in zip(texts, numbers, strict=True):
        value = outcome(lambda text=text: reader.interval(text), Unreadable)
        if isinstance(value, Interval):
            expected = float(f"{number:.{places}f}")
            assert value == Interval(expected, expected), text
        else:
            assert isinstance(value, Unreadable)
            assert found is None
