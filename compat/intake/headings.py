"""Headings of a schedule: which column each one names, and in which unit."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from compat.intake.cells import Unreadable, clean, shown
from compat.intake.heading_aliases import ALIASES, IGNORED, TOTALS
from compat.intake.units import UnitTable, label_with_unit
from compat.model.faults import did_you_mean
from compat.model.vocabulary import TraitDefinition, Vocabulary

ROW_COLUMNS: dict[str, str] = {
    "circuit": "circuit",
    "room": "room",
    "luminaire_type": "luminaire type",
    "quantity": "quantity",
    "driver": "driver",
    "output": "output",
    "breaker": "breaker",
    "rcd": "RCD",
    "line": "line",
}
REQUIRED: tuple[str, ...] = ("circuit", "quantity")
# One column that fills two traits: its lower and its upper end.
SPANS: dict[str, tuple[str, str]] = {
    "input_voltage": ("driver.input_voltage_min_v", "driver.input_voltage_max_v"),
    "input_frequency": ("driver.input_frequency_min_hz", "driver.input_frequency_max_hz"),
}
_BRACKETED = re.compile(r"(.*\S)\s*(?:[(\[]\s*([^()\[\]]+?)\s*[)\]]|(%))")
_TRAILING = re.compile(r"(.*[^\s,/])[\s,/]+([^\s,/]+)")


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a schedule. ``traits`` has one trait, two for a span, none for a row column."""

    name: str
    label: str
    target: Literal["row", "driver", "circuit", "span"]
    traits: tuple[TraitDefinition, ...] = ()

    @property
    def unit(self) -> str:
        """The unit of the column's figures, empty when it holds none."""
        return self.traits[0].unit if self.traits and self.traits[0].kind == "quantity" else ""

    @property
    def is_of_circuit(self) -> bool:
        """Whether every row of a circuit must say the same."""
        return self.target == "circuit" or self.name in ("room", "output", "breaker", "rcd", "line")


@dataclass(frozen=True, slots=True)
class Bound:
    """A column found under a heading: where it stands and the unit of its bare figures."""

    index: int
    column: Column
    heading: str
    unit: str


class Headings:
    """Every heading of a vocabulary, compared without case, spaces and punctuation."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self.units = UnitTable(vocabulary)
        self.columns = {column.name: column for column in _columns(vocabulary)}
        self._known: dict[str, str] = {}
        self._spellings: list[str] = []
        for name, column in self.columns.items():
            for spelling in (column.label, name.replace("_", " "), *ALIASES.get(name, ())):
                self._known.setdefault(fold(spelling), name)
                self._spellings.append(spelling)

    def is_ignored(self, heading: str) -> bool:
        """Whether people keep the column for their own use."""
        return heading.startswith("#") or fold(heading) in map(fold, IGNORED)

    def is_total(self, heading: str) -> bool:
        """Whether the column only adds up others."""
        stem, _ = _in_brackets(heading)
        return any(fold(text) in map(fold, TOTALS) for text in (heading, stem))

    def recognised(self, heading: str) -> Column | None:
        """The column of a heading, whether or not its unit fits; None when it is not known."""
        found = self._match(heading)
        return found[0] if found else None

    def bind(self, index: int, heading: str) -> Bound:
        """The column of a heading. Raises Unreadable when it is not known or its unit misfits."""
        found = self._match(heading)
        if found:
            column, unit = found
            return Bound(index, column, heading, self._unit(unit, column, heading))
        do = did_you_mean(heading, self._spellings)
        keep = "Put # before the heading to leave the column out"
        raise Unreadable(f"the heading {shown(heading)} is not known", do=f"{do}. {keep}" if do else keep)

    def _match(self, heading: str) -> tuple[Column, str] | None:
        """The column, and the unit as it is spelled in the heading."""
        stem, unit = _in_brackets(heading)
        column = self.columns.get(self._known.get(fold(stem), ""))
        if column and unit and column.unit:
            return column, unit
        column = self.columns.get(self._known.get(fold(heading), ""))
        if column:
            return column, ""
        found = _TRAILING.fullmatch(clean(heading))
        column = self.columns.get(self._known.get(fold(found[1]), "")) if found else None
        if found and column and column.unit and self.units.name(found[2]):
            return column, found[2]
        return None

    def _unit(self, spelling: str, column: Column, heading: str) -> str:
        if not spelling:
            return column.unit
        name = self.units.name(spelling)
        trait = column.traits[0]
        expected = f"The column holds the {label_with_unit(trait, self.vocabulary)}"
        if name is None:
            raise Unreadable(f"the unit in the heading {shown(heading)} is not known", expected)
        if not self.units.comparable(name, trait):
            symbol = self.vocabulary.unit_symbol(name)
            what = f"the heading {shown(heading)} gives the unit {symbol}, which does not fit"
            raise Unreadable(what, expected)
        return name


def fold(heading: str) -> str:
    """A heading without case, spaces and punctuation."""
    kept = unicodedata.normalize("NFKC", heading).casefold()
    return "".join(character for character in kept if character.isalnum())


def _in_brackets(heading: str) -> tuple[str, str]:
    """The heading parted into its stem and what stands in brackets, or a sign of percent."""
    found = _BRACKETED.fullmatch(clean(heading))
    return (found[1], found[2] or found[3]) if found else (heading, "")


def _columns(vocabulary: Vocabulary) -> Iterator[Column]:
    for name, label in ROW_COLUMNS.items():
        yield Column(name, label, "row")
    for trait in vocabulary.of_subject("driver"):
        yield Column(trait.name, trait.label, "driver", (trait,))
    for trait in vocabulary.of_subject("circuit"):
        if trait.gather == "column":
            yield Column(trait.name, trait.label, "circuit", (trait,))
    for name, ends in SPANS.items():
        if all(end in vocabulary.traits for end in ends):
            traits = tuple(vocabulary.traits[end] for end in ends)
            yield Column(name, name.replace("_", " "), "span", traits)
