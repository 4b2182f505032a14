"""Units as people write them in headings and after figures, and their conversion."""

from __future__ import annotations

import unicodedata
from decimal import Decimal

from compat.intake.cells import Unreadable, shown
from compat.model.vocabulary import TraitDefinition, Vocabulary

# How the trade spells units besides their symbols.
SPELLINGS: dict[str, tuple[str, ...]] = {
    "w": ("watt", "watts", "vatios", "vatio", "watios"),
    "va": ("volt-amp", "volt-amps"),
    "v": ("volt", "volts", "vac", "v ac", "v~", "v ~", "vdc", "v dc", "v=", "v d.c.", "v a.c."),
    "a": ("amp", "amps", "ampere", "amperes", "ampères", "amperios"),
    "ma": ("milliamp", "milliamps", "milliampere"),
    "us": ("usec", "microseconds"),
    "ms": ("msec", "milliseconds"),
    "percent": ("pct", "per cent"),
    "ohm": ("ohms",),
    "m": ("metre", "metres", "meter", "meters", "mtr", "mtrs", "mètre", "mètres", "metro", "metros"),
}


class UnitTable:
    """The units of a vocabulary by every spelling, compared without case."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self._names: dict[str, str] = {}
        for unit in vocabulary.units.values():
            if unit.symbol:
                spellings = (unit.symbol, unit.name, *SPELLINGS.get(unit.name, ()))
                self._names.update({_fold(spelling): unit.name for spelling in spellings})

    def name(self, spelling: str) -> str | None:
        """The unit's name in the vocabulary; None when no unit is written so."""
        return self._names.get(_fold(spelling))

    def conversion(self, spelling: str, trait: TraitDefinition, text: str) -> tuple[Decimal, Decimal]:
        """Factor and divisor from a unit to the trait's, exact in decimal.

        ``spelling`` may also be a unit's name, such as ``count``, that is never written. Raises
        Unreadable when the unit is not known or is of another dimension.
        """
        one = Decimal(1)
        if spelling == trait.unit:
            return one, one
        name = self.name(spelling)
        if name == trait.unit:
            return one, one
        known = label_with_unit(trait, self.vocabulary)
        if name is None:
            what = f"{shown(spelling)} in {shown(text)} is not a known unit"
            raise Unreadable(what, f"Allowed: {known}")
        if not self.comparable(name, trait):
            symbol = self.vocabulary.unit_symbol(name)
            raise Unreadable(f"{shown(text)} is in {symbol}", f"Allowed: {known}")
        units = self.vocabulary.units
        return Decimal(repr(units[name].factor)), Decimal(repr(units[trait.unit].factor))

    def comparable(self, name: str, trait: TraitDefinition) -> bool:
        """Whether a figure in the unit can be turned into the trait's unit."""
        if name == trait.unit:
            return True
        if not trait.unit or trait.unit == "count" or "va" in (name, trait.unit):
            # A count has no unit; apparent power is not active power, though both are a product
            # of volts and amperes.
            return False
        units = self.vocabulary.units
        return units[name].dimension == units[trait.unit].dimension


def label_with_unit(trait: TraitDefinition, vocabulary: Vocabulary) -> str:
    """``input power in W``; the bare label for counts and ratios."""
    symbol = vocabulary.unit_symbol(trait.unit)
    return f"{trait.label} in {symbol}" if symbol else trait.label


def _fold(spelling: str) -> str:
    return unicodedata.normalize("NFKC", spelling).casefold().strip(" .")
