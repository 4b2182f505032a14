"""The columns of the empty schedule: headings, example, allowed words, and what they mean."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from compat.intake.headings import REQUIRED, SPANS, Column, Headings
from compat.model.vocabulary import Vocabulary

# The columns that most schedules need, with the example row. The rest stand on the sheet Columns.
USUAL: dict[str, str] = {
    "circuit": "C1",
    "room": "Living room",
    "luminaire_type": "example, replace",
    "quantity": "6",
    "driver": "",
    "output": "",
    "breaker": "B1",
    "rcd": "R1",
    "line": "",
    "load_type": "integral LED lamp",
    "methods": "forward phase; reverse phase",
    "input_power_w": "5.5 to 6.5",
    "power_factor": "0.9",
    "inrush_peak_a": "8 to 20",
    "inrush_width_us": "",
    "dim_floor_percent": "5",
    "control_current_ma": "",
    "dali_addresses": "",
    "dali_current_ma": "",
    "wanted_control": "dimmed",
    "wanted_dim_floor_percent": "10",
    "neutral_at_control": "yes",
    "control_pair_selv": "",
}
NOTES = "Notes"
_ROW_GUIDE: dict[str, tuple[str, str, str]] = {
    "circuit": ("luminaires that are controlled together", "the designer", "a name; must be given"),
    "room": ("where the luminaires are", "the designer", "a name"),
    "breaker": ("which circuits share a protective device", "the wiring plan",
                "a label; circuits with one label are added up"),
    "rcd": ("which circuits share a residual-current device", "the wiring plan",
            "a label; what leaks on circuits with one label is added up"),
    "line": ("which circuits share a control line: analogue pair, DALI line or DMX line", "the wiring plan",
             "a label; circuits with one label are judged together"),
    "luminaire_type": ("the kind of luminaire", "the luminaire schedule", "a name"),
    "quantity": ("how many drivers of this kind the circuit has", "the designer",
                 "a whole number from 1; must be given"),
    "driver": ("the driver, when the dataset has it", "the sheet Lists", "an id of the list; "
               "figures in the row go before those of the dataset"),
    "output": ("the output the circuit is to be on", "the sheet Lists",
               "an id of the list; empty to have the outputs compared"),
    "luminaire_type_code": ("the code under which the luminaire type is listed elsewhere",
                            "the luminaire schedule", "a code such as D1"),
    "description": ("the luminaire in words; what they surely say is read where the row states no more",
                    "the luminaire schedule", "such as GU10 LED 7 W"),
    "further_description": ("the lamp in words, where the description is of the luminaire",
                            "the luminaire schedule", "such as GU10 LED 7 W"),
    "address": ("the address of one device; in a list without quantities each row with one is one luminaire",
                "the commissioning list", "such as 12"),
    "panel": ("the distribution board; the same circuit number on two boards is two circuits",
              "the wiring plan", "a name"),
}  # fmt: skip
_FIGURE = "a number, or a range such as 5.5 to 6.5; empty when not known; no thousands separator"
_METHODS = "one or more, parted by semicolons; every driver can also be switched, so that is always added"


class Guide(NamedTuple):
    """One line of the sheet that explains the columns."""

    heading: str
    unit: str
    meaning: str
    where_to_find: str
    what_to_write: str


@dataclass(frozen=True, slots=True)
class TemplateColumn:
    """A column of the empty schedule. ``only_choices`` refuses what is not in the list."""

    heading: str
    example: str
    choices: tuple[str, ...] = ()
    only_choices: bool = False
    is_text: bool = True

    @property
    def width(self) -> int:
        """In characters, for the longest of heading, example and words."""
        return min(max(map(len, (self.heading, self.example, *self.choices[:50]))) + 2, 30)


def usual_columns(
    vocabulary: Vocabulary, driver_ids: Sequence[str], output_ids: Sequence[str]
) -> list[TemplateColumn]:
    """The columns most schedules need, and one for notes."""
    columns = Headings(vocabulary).columns
    ids = {"driver": tuple(driver_ids), "output": tuple(output_ids)}
    made = [
        template_column(columns[name], example, ids.get(name, ()), vocabulary)
        for name, example in USUAL.items()
        if name in columns
    ]
    return [*made, TemplateColumn(NOTES, "")]


def heading_of(column: Column, vocabulary: Vocabulary) -> str:
    """``Input power (W)``."""
    label = column.label[0].upper() + column.label[1:]
    symbol = vocabulary.unit_symbol(column.unit)
    return f"{label} ({symbol})" if symbol else label


def guides(vocabulary: Vocabulary) -> list[Guide]:
    """A line for every column that a schedule may have, the usual ones first."""
    columns = Headings(vocabulary).columns
    names = [name for name in USUAL if name in columns]
    names += [name for name in columns if name not in USUAL]
    return [_guide(columns[name], vocabulary) for name in names]


def template_column(
    column: Column, example: str, ids: tuple[str, ...], vocabulary: Vocabulary
) -> TemplateColumn:
    """A column with its heading, an example, and the ids or words to choose from."""
    heading = heading_of(column, vocabulary)
    if not column.traits:
        return TemplateColumn(heading, example, ids, bool(ids), column.name not in REQUIRED[1:])
    trait = column.traits[0]
    if trait.kind == "quantity":
        return TemplateColumn(heading, example, is_text=False)
    return TemplateColumn(heading, example, _words(column, vocabulary), trait.kind == "yes_no")


def _words(column: Column, vocabulary: Vocabulary) -> tuple[str, ...]:
    trait = column.traits[0]
    if trait.kind == "yes_no":
        return ("yes", "no")
    return tuple(vocabulary.choices[trait.choices].values())


def _guide(column: Column, vocabulary: Vocabulary) -> Guide:
    heading = heading_of(column, vocabulary)
    if column.name in _ROW_GUIDE:
        return Guide(heading, "", *_ROW_GUIDE[column.name])
    return guide_of_trait(column, heading, vocabulary)


def guide_of_trait(column: Column, heading: str, vocabulary: Vocabulary) -> Guide:
    """What a column of figures or words means, where one finds it and what to write."""
    first = column.traits[0]
    symbol = vocabulary.unit_symbol(column.unit)
    if column.name in SPANS:
        meaning = "from the " + " to the ".join(trait.label for trait in column.traits)
        return Guide(heading, symbol, meaning, first.where_to_find, "a range such as 220-240")
    if first.kind == "quantity":
        return Guide(heading, symbol, first.meaning, first.where_to_find, _FIGURE)
    written = _METHODS if first.kind == "set" else "one"
    words = ", ".join(_words(column, vocabulary))
    return Guide(heading, "", first.meaning, first.where_to_find, f"{written}: {words}")
