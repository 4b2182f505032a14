"""A cell's text turned into the traits it states."""

from __future__ import annotations

import re

from compat.intake.cells import NumberText, Unreadable, shown
from compat.intake.description import HIGHEST_MAINS_V, LOWEST_MAINS_V, DescriptionReader
from compat.intake.figure_grammar import DecimalMark, split_pair
from compat.intake.headings import Bound
from compat.intake.numbers import Figures
from compat.intake.units import UnitTable
from compat.intake.words import Words, device_type_in, yes_no
from compat.model.values import Content, Interval
from compat.model.vocabulary import TraitDefinition, Vocabulary

PEAK, WIDTH = "inrush_peak_a", "inrush_width_us"
VOLTAGES = ("input_voltage_min_v", "input_voltage_max_v")
FREQUENCIES = ("input_frequency_min_hz", "input_frequency_max_hz")
# '230 V~50 Hz', '220-240 V AC, 50/60 Hz'
_WITH_FREQUENCY = re.compile(r"(.*?(?:V|~|AC|ac)) ?[,;/~ ] ?([0-9][0-9.,/ -]* ?Hz)", re.IGNORECASE)
# '350 mA CC', '24 V CV': the kind of driver beside its figure.
_WITH_KIND = re.compile(r"(.*[0-9].*?),? (CC|CV|constant current|constant voltage)", re.IGNORECASE)
_KINDS = {"c": "constant_current_driver", "v": "constant_voltage_driver"}


class CellReader:
    """Reads cells of trait columns; remembers what it has read, since schedules repeat.

    ``decimal`` is the mark before the decimals in the whole file, None when it is not known.
    """

    def __init__(self, vocabulary: Vocabulary, units: UnitTable, decimal: DecimalMark | None = None) -> None:
        self._units = units
        self._words = Words(vocabulary)
        self._vocabulary = vocabulary
        self._decimal = decimal
        self._describe = DescriptionReader(vocabulary)
        self._read: dict[tuple[object, ...], dict[str, Content] | Unreadable] = {}

    def contents(self, text: str, bound: Bound, decimal: DecimalMark | None = None) -> dict[str, Content]:
        """Trait name and content of what the cell states; empty when it says 'not known'.

        ``decimal`` is the mark of the column where it differs from that of the file. A cell may state more
        than its column: peak and width of the inrush, the frequency beside the voltage, the device type
        beside DALI. Raises Unreadable.
        """
        mark = decimal or self._decimal
        key = (bound.column.name, bound.unit, text, isinstance(text, NumberText), mark)
        if key not in self._read:
            try:
                self._read[key] = self._contents(text, bound, mark)
            except Unreadable as error:
                self._read[key] = error
        found = self._read[key]
        if isinstance(found, Unreadable):
            raise found
        return found

    def _contents(self, text: str, bound: Bound, mark: DecimalMark | None) -> dict[str, Content]:
        if bound.column.target == "span":
            return self._span(text, bound, mark)
        trait = bound.column.traits[0]
        width = self._vocabulary.traits.get(f"driver.{WIDTH}")
        if trait.name == PEAK and width and (pair := split_pair(text)):
            return self._peak_and_width(pair, text, bound, width, mark)
        if trait.choices == "method" and trait.kind == "set":
            return self._methods_of(text, trait)
        if trait.name == "load_type" and (kind := _kind_beside(text)):
            return {trait.name: kind[1]}
        if trait.name == "input_power_w":
            return self._watts(text, trait, bound, mark)
        if trait.name == "voltage_each_v":
            return self._voltage(text, trait, bound, mark)
        if trait.name == "current_each_a" and (kind := _kind_beside(text)):
            figure = self._content(kind[0], trait, bound.unit, mark)
            both: dict[str, Content] = {"load_type": kind[1], trait.name: figure}
            return {name: content for name, content in both.items() if content is not None}
        content = self._content(text, trait, bound.unit, mark)
        return {} if content is None else {trait.name: content}

    def _content(self, text: str, trait: TraitDefinition, unit: str, mark: DecimalMark | None) -> Content:
        if trait.kind == "quantity":
            return Figures(trait, self._units, unit, mark).interval(text)
        if trait.kind == "yes_no":
            return yes_no(text, trait)
        if trait.kind == "choice":
            return self._words.choice(text, trait)
        return self._words.token_set(text, trait)

    def _watts(
        self, text: str, trait: TraitDefinition, bound: Bound, mark: DecimalMark | None
    ) -> dict[str, Content]:
        """Watts; where more stands beside them, as in ``7W LED GU10``, what the text surely says."""
        try:
            content = self._content(text, trait, bound.unit, mark)
        except Unreadable:
            said = self._describe.read(text)
            if trait.name not in said:
                raise
            return said
        return {} if content is None else {trait.name: content}

    def _voltage(
        self, text: str, trait: TraitDefinition, bound: Bound, mark: DecimalMark | None
    ) -> dict[str, Content]:
        """Volts of one luminaire; those of the mains are its input voltage too."""
        contents: dict[str, Content] = {}
        kind = _kind_beside(text)
        if kind:
            text, contents["load_type"] = kind
        lowest, highest = (self._vocabulary.traits.get(f"driver.{name}") for name in VOLTAGES)
        if found := _WITH_FREQUENCY.fullmatch(text):
            text = found[1].rstrip(" ,;/~")
        volts = self._content(text, trait, bound.unit, mark)
        if not isinstance(volts, Interval):
            return contents
        contents[trait.name] = volts
        direct = re.search(r"dc|=|d\.c", text, re.IGNORECASE)
        if (
            lowest
            and highest
            and not direct
            and volts.low >= LOWEST_MAINS_V
            and volts.high <= HIGHEST_MAINS_V
        ):
            contents[lowest.name] = Interval(volts.low, volts.low)
            contents[highest.name] = Interval(volts.high, volts.high)
        return contents

    def methods(self, text: str) -> dict[str, Content]:
        """The methods that a text names, whatever its column. Raises Unreadable."""
        return self._methods_of(text, self._vocabulary.traits["driver.methods"])

    def planned(self, text: str, bound: Bound) -> frozenset[str] | None:
        """The methods that a cell of a column of controls names; None where it names none or cannot be read.

        ``Dimmer`` names every method but switching.
        """
        trait = bound.column.traits[0]
        if self._words.only_dims(text):
            return frozenset(self._vocabulary.values_of(trait)) - {"switched"}
        try:
            return self._words.methods_named(device_type_in(text)[0], trait)
        except Unreadable:
            return None

    def only_dims(self, text: str) -> bool:
        """Whether a cell of a column of controls says no more than that it is dimmed."""
        return self._words.only_dims(text)

    def _methods_of(self, text: str, trait: TraitDefinition) -> dict[str, Content]:
        """``DALI-2 DT8``: the method, and the device type beside it where the dataset has that trait."""
        rest, digit = device_type_in(text)
        found = self._words.token_set(rest, trait)
        contents: dict[str, Content] = {} if found is None else {trait.name: found}
        device = self._vocabulary.traits.get(f"{trait.subject}.dali_device_type")
        if digit and device and f"type_{digit}" in self._vocabulary.values_of(device):
            contents[device.name] = f"type_{digit}"
        return contents

    def _span(self, text: str, bound: Bound, mark: DecimalMark | None) -> dict[str, Content]:
        """``220-240 V``: the lower end is the lowest input voltage, the upper the highest."""
        lowest, highest = bound.column.traits
        further: dict[str, Content] = {}
        known = [self._vocabulary.traits.get(f"{lowest.subject}.{name}") for name in FREQUENCIES]
        if lowest.unit == "v" and all(known) and (found := _WITH_FREQUENCY.fullmatch(text)):
            text = found[1].rstrip(" ,;/~")
            further = self._ends(found[2], known[0], known[1], "hz", "frequency", mark)  # type: ignore[arg-type]
        return self._ends(text, lowest, highest, bound.unit, bound.column.label, mark) | further

    def _ends(
        self, text: str, lowest: TraitDefinition, highest: TraitDefinition, unit: str, label: str,
        mark: DecimalMark | None,
    ) -> dict[str, Content]:  # fmt: skip
        found = Figures(lowest, self._units, unit, mark).interval(text)
        if found is None:
            return {}
        if found.low == 0:
            what = f"{shown(text)} gives no lower end for the {label}"
            raise Unreadable(what, do="Write a range such as 220-240")
        low, high = Interval(found.low, found.low), Interval(found.high, found.high)
        return {lowest.name: low, highest.name: high}

    def _peak_and_width(
        self, pair: tuple[str, str], text: str, bound: Bound, width: TraitDefinition, mark: DecimalMark | None
    ) -> dict[str, Content]:
        """``28 A/380 us``: the second part must carry its unit, or 28/30 would be a width."""
        if not any(character.isalpha() for character in pair[1]):
            what = f"{shown(text)} cannot be read as peak and width of the inrush"
            raise Unreadable(what, do="Write both with their units, such as 28 A/380 us")
        peak = Figures(bound.column.traits[0], self._units, bound.unit, mark).interval(pair[0])
        return {PEAK: peak, WIDTH: Figures(width, self._units, width.unit, mark).interval(pair[1])}


def _kind_beside(text: str) -> tuple[str, str] | None:
    """``350 mA CC`` as ``350 mA`` and the kind of driver; None when no kind stands beside a figure."""
    found = _WITH_KIND.fullmatch(text.strip())
    if found is None:
        return None
    word = found[2].casefold().split()[-1]
    return found[1], _KINDS["v" if word in ("cv", "voltage") else "c"]
