"""Headings of a schedule: which column each one names, and in which unit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from compat.intake.alias_tables import (
    EACH_OR_TOTAL,
    LEFT_OUT,
    OF_DRIVER,
    WANTED_IF_YES_OR_NO,
    WEAK,
    WITH_UNIT,
    fold_heading,
)
from compat.intake.cells import Unreadable, shown
from compat.intake.heading_aliases import Alias, AliasIndex, composed, index_of
from compat.intake.heading_parts import Way, is_of_money, parts_of, ways_to_read
from compat.intake.heading_values import are_colour_temperatures, are_yes_or_no
from compat.intake.units import UnitTable, label_with_unit
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
    "luminaire_type_code": "luminaire type code",
    "description": "description",
    "further_description": "further description",
    "address": "control address",
    "panel": "distribution board",
}
# Quantities of a row that are no trait of its driver: name -> label, unit, meaning.
ROW_QUANTITIES: dict[str, tuple[str, str, str]] = {
    "total_power_w": ("total power", "w", "power of all luminaires of the row or of the circuit together"),
    "driver_count": ("number of drivers", "count", "drivers of all luminaires of the row together"),
    "lamps_each": ("lamps of each", "count", "lamps of one luminaire"),
    "current_each_a": ("current of each", "a", "current of one luminaire, of the mains or of its LEDs"),
    "voltage_each_v": ("voltage of each", "v", "voltage of one luminaire, of the mains or of its LEDs"),
}
REQUIRED: tuple[str, ...] = ("circuit", "quantity")
# One column that fills two traits: its lower and its upper end.
SPANS: dict[str, tuple[str, str]] = {
    "input_voltage": ("driver.input_voltage_min_v", "driver.input_voltage_max_v"),
    "input_frequency": ("driver.input_frequency_min_hz", "driver.input_frequency_max_hz"),
}
# A bare figure in these may be of a unit a thousand times larger or smaller: 45 may be 45 A or 45 mA.
UNIT_NEEDED = ("a", "us")
fold = fold_heading


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a schedule. ``traits`` has one trait, two for a span, none for a column of words."""

    name: str
    label: str
    target: Literal["row", "driver", "circuit", "span"]
    traits: tuple[TraitDefinition, ...] = ()

    @property
    def unit(self) -> str:
        """The unit of the column's figures, empty when it holds none."""
        return self.traits[0].unit if self.traits and self.traits[0].kind == "quantity" else ""


@dataclass(frozen=True, slots=True)
class Bound:
    """A column found under a heading: where it stands and the unit of its bare figures.

    ``unit`` is empty when neither the heading nor the column's nature settles it, so that a bare figure is
    not known. ``score`` is below 100 when the heading was not known and the nearest known one, ``nearest``,
    was taken: this must be told. ``weak`` yields to another heading of the same column; ``each_or_total``
    says that the heading leaves open whether a figure is of one piece or of all; ``of_driver`` that it speaks
    of what the driver accepts, not of how the circuit is to be controlled.
    """

    index: int
    column: Column
    heading: str
    unit: str
    score: float = 100.0
    nearest: str = ""
    weak: bool = False
    each_or_total: bool = False
    of_driver: bool = False


class Match(NamedTuple):
    """A column, the unit as it is spelled in the heading, and the alias that named it."""

    column: Column
    spelling: str
    alias: Alias
    score: float


class Headings:
    """Every heading of a vocabulary, compared without case, accents, spaces and punctuation.

    ``subject`` is ``driver`` for schedules and lists of drivers, ``output`` for lists of outputs.
    """

    def __init__(self, vocabulary: Vocabulary, subject: str = "driver") -> None:
        self.vocabulary = vocabulary
        self.units = UnitTable(vocabulary)
        made = _columns(vocabulary) if subject == "driver" else _columns_of(subject, vocabulary)
        self.columns = {column.name: column for column in made}
        own = {name: (column.label, name.replace("_", " ")) for name, column in self.columns.items()}
        self._index: AliasIndex = index_of(subject, own)
        self._found: dict[str, Match | None] = {}
        self._last: tuple[str, list[Way]] = "", []

    def is_ignored(self, heading: str) -> bool:
        """Whether the heading is one that schedules have and this program has no use for."""
        if is_commented(heading) or is_of_money(heading):
            return True
        if self._exact(heading) is not None:
            return False
        aliases = ((self._index.exact(way.stem), way.unit) for way in self._ways(heading))
        return any(alias is not None and _is_left_out(alias, unit) for alias, unit in aliases)

    def is_total(self, heading: str) -> bool:
        """Whether the column only adds up others."""
        column = self.recognised(heading)
        return column is not None and column.name == "total_power_w"

    def recognised(self, heading: str, values: Sequence[str] = ()) -> Column | None:
        """The column of a heading, whether or not its unit fits; None when it names nothing of ours.

        ``values`` are texts that stand under it; they settle headings with two meanings, such as CCT.
        """
        found = self._match(heading, values)
        return found.column if found else None

    def bind(self, index: int, heading: str, values: Sequence[str] = ()) -> Bound:
        """The column of a heading. Raises Unreadable when it is not known or its unit misfits."""
        found = self._match(heading, values)
        if found:
            alias, column = found.alias, found.column
            return Bound(
                index, column, heading, self._unit(found, heading), found.score,
                alias.heading if found.score < 100 else "",
                weak=alias.note == WEAK, each_or_total=alias.note == EACH_OR_TOTAL,
                of_driver=alias.note == OF_DRIVER,
            )  # fmt: skip
        near = self._index.alike(heading)
        do = f"Nearest: {', '.join(near)}" if near else ""
        keep = "Put # before the heading to leave the column out"
        raise Unreadable(f"the heading {shown(heading)} is not known", do=f"{do}. {keep}" if do else keep)

    def _match(self, heading: str, values: Sequence[str] = ()) -> Match | None:
        if heading not in self._found:
            self._found[heading] = self._exact(heading) or self._near(heading)
        found = self._found[heading]
        if found is None or not values:
            return found
        if found.column.name == "circuit" and fold(heading).startswith("cct"):
            return None if are_colour_temperatures(values) else found
        if found.alias.note == WANTED_IF_YES_OR_NO and are_yes_or_no(values):
            return Match(self.columns["wanted_control"], "", found.alias, found.score)
        return found

    def _exact(self, heading: str) -> Match | None:
        if is_commented(heading) or is_of_money(heading):
            return None
        ways = self._ways(heading)
        for way in ways:
            alias = self._index.exact(way.stem)
            if alias is None or (way.numbered and alias.column not in NUMBERED):
                continue
            if _is_left_out(alias, way.unit):
                return None
            column = self.columns.get(alias.column)
            if column and (not way.unit or column.unit):
                return Match(column, way.unit, alias, 100.0)
        return next(filter(None, map(self._of_parts, ways)), None)

    def _ways(self, heading: str) -> list[Way]:
        if heading != self._last[0]:
            self._last = heading, list(dict.fromkeys(ways_to_read(heading, self.units)))
        return self._last[1]

    def _of_parts(self, way: Way) -> Match | None:
        """``DB / Board``: a heading of several parts that all name one column."""
        aliases = [self._index.exact(part) for part in parts_of(way.stem)]
        known = [alias for alias in aliases if alias is not None]
        if not known or len(known) < len(aliases) or len({alias.column for alias in known}) > 1:
            return None
        column = self.columns.get(known[0].column)
        fits = (
            column is not None
            and (not way.unit or bool(column.unit))
            and not _is_left_out(known[0], way.unit)
        )
        return Match(column, way.unit, known[0], 100.0) if column and fits else None

    def _near(self, heading: str) -> Match | None:
        if self.is_ignored(heading):
            return None
        for way in self._ways(heading):
            found = None if way.numbered else self._index.nearest(way.stem)
            if found is None:
                continue
            alias, score = found
            column = self.columns.get(alias.column)
            if column and (not way.unit or column.unit):
                return Match(column, way.unit, alias, score)
        return None

    def _unit(self, found: Match, heading: str) -> str:
        column, spelling = found.column, found.spelling
        if not column.unit:
            return ""
        trait = column.traits[0]
        if not spelling:
            return found.alias.unit or self._unstated(column, found.alias)
        name = self.units.name(spelling)
        expected = f"The column holds the {label_with_unit(trait, self.vocabulary)}"
        if name is None:
            raise Unreadable(f"the unit in the heading {shown(heading)} is not known", expected)
        if not self.units.comparable(name, trait):
            symbol = self.vocabulary.unit_symbol(name)
            what = f"the heading {shown(heading)} gives the unit {symbol}, which does not fit"
            raise Unreadable(what, expected)
        return name

    def _unstated(self, column: Column, alias: Alias) -> str:
        """The unit where the heading gives none; a column's name in full has its unit at its end."""
        named = fold(alias.heading) == fold(column.name)
        return column.unit if named or column.unit not in UNIT_NEEDED else ""


# Columns whose headings may carry the word 'number', as in 'Circuit No.'.
NUMBERED = frozenset(
    ("circuit", "room", "panel", "breaker", "rcd", "line", "driver", "output", "luminaire_type_code")
)


def _is_left_out(alias: Alias, unit: str) -> bool:
    return alias.column == LEFT_OUT or (alias.note == WITH_UNIT and not unit)


def is_commented(heading: str) -> bool:
    """Whether a # stands before the heading, so that its column is left out; '# of fittings' is a number."""
    named = heading.removeprefix("#").removeprefix(" of")
    return heading != named and composed(f"nos {named}") is None


def _columns(vocabulary: Vocabulary) -> Iterator[Column]:
    for name, label in ROW_COLUMNS.items():
        yield Column(name, label, "row")
    for name, (label, unit, meaning) in ROW_QUANTITIES.items():
        trait = TraitDefinition("row", name, "quantity", unit, "", "", "", label, meaning, "the schedule")
        yield Column(name, label, "row", (trait,))
    for trait in vocabulary.of_subject("driver"):
        yield Column(trait.name, trait.label, "driver", (trait,))
    for trait in vocabulary.of_subject("circuit"):
        if trait.gather == "column":
            yield Column(trait.name, trait.label, "circuit", (trait,))
    yield from _spans(vocabulary)


def _columns_of(subject: str, vocabulary: Vocabulary) -> Iterator[Column]:
    """The columns of a list of equipment that is no driver: its id, its name and its traits."""
    yield Column("luminaire_type_code", "type code", "row")
    yield Column("description", "description", "row")
    for trait in vocabulary.of_subject(subject):
        yield Column(trait.name, trait.label, "driver", (trait,))
    for name, ends in SPANS.items():
        own = [end.replace("driver.", f"{subject}.") for end in ends]
        if all(end in vocabulary.traits for end in own):
            yield Column(name, name.replace("_", " "), "span", tuple(vocabulary.traits[end] for end in own))


def _spans(vocabulary: Vocabulary) -> Iterator[Column]:
    for name, ends in SPANS.items():
        if all(end in vocabulary.traits for end in ends):
            traits = tuple(vocabulary.traits[end] for end in ends)
            yield Column(name, name.replace("_", " "), "span", traits)
