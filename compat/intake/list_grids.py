"""The grids of a spreadsheet of equipment, by the same readers as schedules."""

from __future__ import annotations

from pathlib import Path

from compat.intake.cells import Grid
from compat.intake.headings import Headings
from compat.intake.known_headings import KnownHeadings
from compat.intake.source import read_source


def grids_of(path: Path, headings: Headings) -> list[Grid]:
    """The sheets of a workbook or the one table of a text file. Raises BadInput."""
    return list(read_source(path, KnownHeadings(headings)).grids)
