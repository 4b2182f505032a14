"""Headings as this run knows them: those of the vocabulary, and before them a practice's own map.

A map is a TOML file that ``--save-map`` writes and ``--map`` reads: heading to column name, an empty
name for a column that is left out.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from compat.dataset.toml_files import read_toml
from compat.intake.alias_tables import NO, is_one_of
from compat.intake.cell_values import CellReader
from compat.intake.cells import Unreadable, clean
from compat.intake.headings import Bound, Column, Headings, fold
from compat.intake.row_words import is_word
from compat.model.faults import BadInput, Fault, did_you_mean
from compat.model.reading import Reading
from compat.model.values import Origin, TokenSet

SCHEMA = "reading/1"
TOTAL_POWER = "total_power_w"
DRIVER_COUNT = "driver_count"
LAMPS_EACH = "lamps_each"
CERTAIN = 100.0
LONGEST_METHOD = 30


class KnownHeadings:
    """The headings of a vocabulary with a map before them; every answer is remembered."""

    def __init__(self, headings: Headings, kept: Mapping[str, str] | None = None) -> None:
        self.headings = headings
        self.units = headings.units
        self.vocabulary = headings.vocabulary
        self.columns: dict[str, Column] = dict(headings.columns)
        self._kept = {fold(heading): name for heading, name in (kept or {}).items()}
        self._found: dict[str, Column | None] = {}
        self._sure: dict[str, bool] = {}
        self._cells = CellReader(headings.vocabulary, headings.units)

    def surely(self, heading: str) -> Column | None:
        """The column of a heading that is known as it stands, not guessed."""
        found = self.recognised(heading)
        if found is not None and heading not in self._sure:
            self._sure[heading] = not self._is_guess(heading)
        return found if found and self._sure[heading] else None

    def _is_guess(self, heading: str) -> bool:
        if fold(heading) in self._kept:
            return False
        try:
            return self.bind(0, heading).score < CERTAIN
        except Unreadable:
            return False

    def recognised(self, heading: str) -> Column | None:
        """The column of a heading, whether or not its unit fits; None when it is not known."""
        if heading not in self._found:
            self._found[heading] = self._recognised(heading)
        return self._found[heading]

    def method_named(self, heading: str) -> TokenSet | None:
        """The methods that a heading names, as in a matrix of ticks; None for any other heading."""
        column = self.columns.get("methods")
        names = len(heading) <= LONGEST_METHOD and not is_one_of(heading, NO)
        if column is None or fold(heading) in self._kept or not names:
            return None
        try:
            found = self._cells.contents(heading, Bound(-1, column, heading, "")).get(column.name)
        except Unreadable:
            return None
        return found if isinstance(found, TokenSet) else None

    def is_mapped(self, heading: str) -> bool:
        """Whether the user's own map says what the heading is."""
        return fold(heading) in self._kept

    def is_left_out(self, heading: str) -> bool:
        """Whether people keep the column for their own use, or their map leaves it out."""
        if self._kept.get(fold(heading)) == "":
            return True
        return fold(heading) not in self._kept and self.headings.is_ignored(heading)

    def bind(self, index: int, heading: str, values: Sequence[str] = ()) -> Bound:
        """The column of a heading. Raises Unreadable when it is not known or its unit misfits.

        ``values`` are texts that stand under it, which settle headings with two meanings.
        """
        name = self._kept.get(fold(heading))
        if name:
            return self._mapped(index, heading, self.columns[name])
        return self.headings.bind(index, heading, values)

    def _recognised(self, heading: str) -> Column | None:
        kept = self._kept.get(fold(heading))
        if kept is not None:
            return self.columns[kept] if kept else None
        found = self.headings.recognised(heading)
        is_total = found is None and self.headings.is_total(heading) and not is_word("total", heading)
        if is_total and TOTAL_POWER in self.columns:
            return self.columns[TOTAL_POWER]
        if found is None and is_word("panel", heading):
            return self.columns["panel"]
        return found

    def _mapped(self, index: int, heading: str, column: Column) -> Bound:
        """A heading that the map names, in the unit it gives in brackets if there is one that fits."""
        found = re.search(r"[(\[]\s*([^()\[\]]+?)\s*[)\]]", heading)
        unit = self.units.name(found[1]) if found else None
        fits = unit is not None and column.traits and self.units.comparable(unit, column.traits[0])
        return Bound(index, column, heading, unit if unit and fits else column.unit)


def read_map(path: Path, columns: Sequence[str]) -> dict[str, str]:
    """Heading to column name of a map file. Raises BadInput."""
    data = read_toml(path)
    where = Origin(path.name)
    if data.get("schema") != SCHEMA:
        raise BadInput([Fault(f"schema is {data.get('schema')!r}", where, f'Allowed: schema = "{SCHEMA}"')])
    unknown = [key for key in data if key not in ("schema", "columns")]
    if unknown:
        do = did_you_mean(unknown[0], ("schema", "columns"))
        raise BadInput([Fault(f"'{unknown[0]}' is no field of this file", where, do=do)])
    found = data.get("columns")
    if not isinstance(found, dict) or not all(isinstance(name, str) for name in found.values()):
        what = "the map has no table [columns] of headings and column names"
        raise BadInput([Fault(what, where, '"Heading" = "column name", or "" to leave it out')])
    faults = [
        Fault(f"there is no column '{name}'", Origin(path.name, key=heading), do=did_you_mean(name, columns))
        for heading, name in found.items()
        if name and name not in columns
    ]
    if faults:
        raise BadInput(faults)
    return {clean(heading): name for heading, name in found.items()}


def map_text(reading: Reading) -> str:
    """The map of a reading, to be kept and mended by hand."""
    lines = {column.heading: column.name for column in reading.columns}
    for entry in reading.columns_left_out:
        lines.setdefault(entry.text, "")
    body = "".join(f"{_quoted(heading)} = {_quoted(name)}\n" for heading, name in lines.items() if heading)
    top = "# Which column each heading names; an empty name leaves the column out.\n"
    return f'{top}schema = "{SCHEMA}"\n\n[columns]\n{body}'


def _quoted(text: str) -> str:
    kept = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in kept) + '"'


def with_name(bound: Bound, column: Column) -> Bound:
    """The same heading read as another column."""
    return replace(bound, column=column)
