"""The empty lists of drivers and outputs: their columns, an example row, and what each column means."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Literal

from compat.intake.headings import SPANS, Column, Headings
from compat.intake.template import write_table
from compat.intake.template_columns import (
    NOTES,
    Guide,
    TemplateColumn,
    guide_of_trait,
    heading_of,
    template_column,
)
from compat.model.equipment import SUBJECT_OF
from compat.model.vocabulary import Vocabulary

# The columns that most entries need, with an invented example; the rest stand on the sheet Columns.
USUAL: dict[str, dict[str, str]] = {
    "drivers": {
        "luminaire_type_code": "DL1",
        "description": "example, replace",
        "load_type": "constant-current LED driver",
        "methods": "DALI",
        "input_power_w": "9.5",
        "power_factor": "0.95",
        "input_current_a": "",
        "input_voltage": "220 to 240",
        "inrush_peak_a": "20",
        "inrush_width_us": "200",
        "dim_floor_percent": "1",
        "control_current_ma": "",
        "dali_addresses": "1",
        "dali_current_ma": "2",
        "dali_device_type": "DALI type 6",
        "dmx_slots": "",
        "dimming_forbidden": "no",
        "protective_conductor_current_ma": "",
    },
    "outputs": {
        "luminaire_type_code": "DIM1",
        "description": "example, replace",
        "method": "reverse phase",
        "switching_element": "transistor",
        "max_load_w": "300",
        "capacitive_share": "0.5",
        "min_load_w": "10",
        "max_drivers": "",
        "max_current_a": "",
        "listed_load_types": "integral LED lamp; incandescent lamp",
        "inrush_peak_max_a": "",
        "needs_neutral": "yes",
        "input_voltage": "220 to 240",
        "dim_floor_percent": "5",
        "off_state_current_ma": "",
        "control_current_max_ma": "",
        "control_current_direction": "",
        "dali_addresses": "",
        "dali_supply_current_ma": "",
        "dmx_slots": "",
    },
}
_WORDS: dict[str, Guide] = {
    "luminaire_type_code": Guide(
        "Type code", "", "the code under which your schedules name it", "your own list", "a name; once each"
    ),
    "description": Guide("Description", "", "what it is, in words", "your own list", "a name"),
}


def write_list_template(
    path: Path, format: Literal["xlsx", "csv"], table: Literal["drivers", "outputs"], vocabulary: Vocabulary
) -> None:
    """Write an empty list with one example row, which ``read_equipment_list`` reads without a note.

    Raises BadInput when the file cannot be written.
    """
    columns = Headings(vocabulary, SUBJECT_OF[table]).columns
    usual = [_column(columns[name], example, vocabulary) for name, example in USUAL[table].items()]
    write_table(path, format, (*usual, TemplateColumn(NOTES, "")), _guides(table, columns, vocabulary),
                table.capitalize(), f"List of {table}")  # fmt: skip


def _column(column: Column, example: str, vocabulary: Vocabulary) -> TemplateColumn:
    if column.name in _WORDS:
        return TemplateColumn(_WORDS[column.name].heading, example)
    return template_column(column, example, (), vocabulary)


def _guides(table: str, known: Mapping[str, Column], vocabulary: Vocabulary) -> Sequence[Guide]:
    subject = SUBJECT_OF[table]
    own = [
        name
        for name, column in known.items()
        if name in _WORDS or name in SPANS or (column.traits and column.traits[0].subject == subject)
    ]
    ordered = [name for name in USUAL[table] if name in own]
    ordered += [name for name in own if name not in USUAL[table]]
    return [
        _WORDS.get(name) or guide_of_trait(known[name], heading_of(known[name], vocabulary), vocabulary)
        for name in ordered
    ]
