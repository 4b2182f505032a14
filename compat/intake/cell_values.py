"""A cell's text turned into the traits it states."""

from __future__ import annotations

from compat.intake.cells import Unreadable, shown
from compat.intake.headings import Bound
from compat.intake.numbers import Figures, split_pair
from compat.intake.units import UnitTable
from compat.intake.words import Words, yes_no
from compat.model.values import Content, Interval
from compat.model.vocabulary import TraitDefinition, Vocabulary

PEAK, WIDTH = "inrush_peak_a", "inrush_width_us"


class CellReader:
    """Reads cells of trait columns; remembers what it has read, since schedules repeat."""

    def __init__(self, vocabulary: Vocabulary, units: UnitTable) -> None:
        self._units = units
        self._words = Words(vocabulary)
        self._width = vocabulary.traits.get(f"driver.{WIDTH}")
        self._read: dict[tuple[str, str, str], dict[str, Content] | Unreadable] = {}

    def contents(self, text: str, bound: Bound) -> dict[str, Content]:
        """Trait name and content of what the cell states; empty when it says 'not known'.

        Raises Unreadable.
        """
        key = (bound.column.name, bound.unit, text)
        if key not in self._read:
            try:
                self._read[key] = self._contents(text, bound)
            except Unreadable as error:
                self._read[key] = error
        found = self._read[key]
        if isinstance(found, Unreadable):
            raise found
        return found

    def _contents(self, text: str, bound: Bound) -> dict[str, Content]:
        if bound.column.target == "span":
            return self._span(text, bound)
        trait = bound.column.traits[0]
        if trait.name == PEAK and self._width and (pair := split_pair(text)):
            return self._peak_and_width(pair, text, bound, self._width)
        content = self._content(text, trait, bound.unit)
        return {} if content is None else {trait.name: content}

    def _content(self, text: str, trait: TraitDefinition, unit: str) -> Content:
        if trait.kind == "quantity":
            return Figures(trait, self._units, unit).interval(text)
        if trait.kind == "yes_no":
            return yes_no(text, trait)
        if trait.kind == "choice":
            return self._words.choice(text, trait)
        return self._words.token_set(text, trait)

    def _span(self, text: str, bound: Bound) -> dict[str, Content]:
        """``220-240 V``: the lower end is the lowest input voltage, the upper the highest."""
        lowest, highest = bound.column.traits
        found = Figures(lowest, self._units, bound.unit).interval(text)
        if found is None:
            return {}
        if found.low == 0:
            what = f"{shown(text)} gives no lower end for the {bound.column.label}"
            raise Unreadable(what, do="Write a range such as 220-240")
        low, high = Interval(found.low, found.low), Interval(found.high, found.high)
        return {lowest.name: low, highest.name: high}

    def _peak_and_width(
        self, pair: tuple[str, str], text: str, bound: Bound, width: TraitDefinition
    ) -> dict[str, Content]:
        """``28 A/380 us``: the second part must carry its unit, or 28/30 would be a width."""
        if not any(character.isalpha() for character in pair[1]):
            what = f"{shown(text)} cannot be read as peak and width of the inrush"
            raise Unreadable(what, do="Write both with their units, such as 28 A/380 us")
        peak = Figures(bound.column.traits[0], self._units, bound.unit).interval(pair[0])
        return {PEAK: peak, WIDTH: Figures(width, self._units, width.unit).interval(pair[1])}
