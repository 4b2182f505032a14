"""Units of the vocabulary and the conversions of the rule language against pint, a units library."""

from __future__ import annotations

import itertools

import pint
import pytest

from compat.dataset.read import Dataset
from compat.model.vocabulary import Unit
from compat.rulebook.cases import evaluation
from compat.rulebook.expression import ExpressionError, Reader, at_most
from compat.rulebook.truth import NO, YES

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()
# Our names in the words of pint; the symbols are read by pint as they stand.
IN_PINT = {
    "w": "watt",
    "kw": "kilowatt",
    "va": "volt_ampere",
    "v": "volt",
    "mv": "millivolt",
    "a": "ampere",
    "ma": "milliampere",
    "ka": "kiloampere",
    "ohm": "ohm",
    "mohm": "milliohm",
    "uh": "microhenry",
    "uf": "microfarad",
    "nf": "nanofarad",
    "hz": "hertz",
    "s": "second",
    "ms": "millisecond",
    "us": "microsecond",
    "a2s": "ampere ** 2 * second",
    "m": "metre",
    "mm": "millimetre",
    "cm": "centimetre",
    "mm2": "millimetre ** 2",
    "k": "kelvin",
    "ohm_per_km": "ohm / kilometre",
    "w_per_m": "watt / metre",
    "celsius": "degree_Celsius",
    "degree": "degree",
    "lumen": "lumen",
    "percent": "percent",
    "ratio": "dimensionless",
    "count": "dimensionless",
}
# Of one dimension for physics, kept apart here so that nobody compares one with the other by mistake.
KEPT_APART = {
    frozenset({"power", "apparent_power"}),
    frozenset({"angle", "ratio"}),
    frozenset({"temperature", "celsius"}),
}
FIGURES = (0.001, 0.25, 1.0, 2.0, 250.0, 100000.0)


def in_pint(unit: Unit) -> pint.Unit:
    return REGISTRY.parse_units(IN_PINT[unit.name])


def factor(unit: Unit, base: Unit) -> float:
    """How many of ``base`` make one of ``unit``, as pint has it."""
    return float(REGISTRY.Quantity(1.0, in_pint(unit)).to(in_pint(base)).magnitude)


def base_of(unit: Unit, units: dict[str, Unit]) -> Unit:
    """The unit of factor 1 of the same dimension."""
    return next(other for other in units.values() if (other.dimension, other.factor) == (unit.dimension, 1.0))


def base_or_si(unit: Unit, units: dict[str, Unit]) -> str:
    """The base unit as pint writes it; where no unit of the list has factor 1, the SI unit."""
    si = {
        "capacitance": "farad",
        "inductance": "henry",
        "area": "metre ** 2",
        "resistance_per_length": "ohm / metre",
    }
    return si.get(unit.dimension) or IN_PINT[base_of(unit, units).name]


def test_every_unit_is_looked_at(dataset: Dataset) -> None:
    assert set(dataset.vocabulary.units) == set(IN_PINT)


@pytest.mark.parametrize("name", IN_PINT)
def test_factor_is_that_of_pint(name: str, dataset: Dataset) -> None:
    units = dataset.vocabulary.units
    unit = units[name]
    base = REGISTRY.parse_units(base_or_si(unit, units))
    expected = REGISTRY.Quantity(1.0, in_pint(unit)).to(base).magnitude
    assert unit.factor == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("name", [name for name in IN_PINT if name not in ("ratio", "count")])
def test_symbol_is_read_by_pint_as_the_same_unit(name: str, dataset: Dataset) -> None:
    unit = dataset.vocabulary.units[name]
    assert REGISTRY.parse_units(unit.symbol) == in_pint(unit)


def test_numbers_of_things_have_no_symbol(dataset: Dataset) -> None:
    assert {dataset.vocabulary.units[name].symbol for name in ("ratio", "count")} == {""}


def test_dimensions_part_the_units_as_pint_does(dataset: Dataset) -> None:
    """Same dimension here: same in pint. Other here: other in pint, but for the pairs kept apart."""
    for one, other in itertools.combinations(dataset.vocabulary.units.values(), 2):
        alike = in_pint(one).dimensionality == in_pint(other).dimensionality
        if one.dimension == other.dimension:
            assert alike, (one.name, other.name)
        else:
            kept_apart = frozenset({one.dimension, other.dimension}) in KEPT_APART
            assert alike == kept_apart, (one.name, other.name)


def test_comparisons_across_units_agree_with_pint(dataset: Dataset) -> None:
    """``ma(250) <= a(0.25)`` and the like for all pairs of units of a dimension, at several figures."""
    vocabulary = dataset.vocabulary
    reader, run = Reader(vocabulary, ()), evaluation({}, vocabulary)
    compared = 0
    for one, other in itertools.permutations(vocabulary.units.values(), 2):
        if one.dimension != other.dimension:
            continue
        for figure in FIGURES:
            same = figure * factor(one, other)
            for share, expected in ((0.999, NO), (1.0, YES), (1.001, YES)):
                left, right = (
                    reader.quantity(f"{one.name}({figure})"),
                    reader.quantity(f"{other.name}({same * share})"),
                )
                assert run.truth(at_most(left, right)) == expected, (one.name, other.name, figure, share)
                compared += 1
    assert compared > 400


def test_unlike_dimensions_are_refused(dataset: Dataset) -> None:
    vocabulary = dataset.vocabulary
    reader = Reader(vocabulary, ())
    for one, other in itertools.permutations(vocabulary.units.values(), 2):
        if one.dimension != other.dimension:
            left, right = reader.quantity(f"{one.name}(1)"), reader.quantity(f"{other.name}(1)")
            with pytest.raises(ExpressionError):
                at_most(left, right)


def test_sums_and_extremes_convert_units(dataset: Dataset) -> None:
    """One tenth of an ampere is 100 mA, as pint has it, in sums and in the lesser of two."""
    vocabulary = dataset.vocabulary
    reader, run = Reader(vocabulary, ("output",)), evaluation({}, vocabulary)
    expected = REGISTRY.Quantity(0.1, "ampere").to("milliampere").magnitude
    for text, figure in (
        ("ma(0) + a(0.1)", expected),
        ("min(ma(150), a(0.1))", expected),
        ("max(ma(50), a(0.1))", expected),
    ):
        found = run.quantity(reader.quantity(text))
        assert found is not None
        assert [found.low, found.high] == pytest.approx([figure, figure])
