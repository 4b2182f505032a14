"""The grids of a spreadsheet of equipment, by the same readers as schedules."""

from __future__ import annotations

from pathlib import Path

from compat.intake.cells import Grid
from compat.intake.headings import Headings


def grids_of(path: Path, headings: Headings) -> list[Grid]:
    """The sheets of a workbook or the one table of a text file. Raises BadInput."""
    try:
        # Absent until the branch that rebuilds the readers is merged; then the rest of this function goes.
        from compat.intake.known_headings import (  # type: ignore[import-not-found, import-untyped, unused-ignore]
            KnownHeadings,
        )
        from compat.intake.source import (  # type: ignore[import-not-found, import-untyped, unused-ignore]
            read_source,
        )
    except ImportError:
        from compat.intake import read

        file = path.name
        data = read._bytes(path, file)  # type: ignore[attr-defined, unused-ignore]
        grids = read._grids(data, file, path.suffix.lower(), None, headings)  # type: ignore[attr-defined, unused-ignore]
        return list(grids[0])
    return list(read_source(path, KnownHeadings(headings)).grids)
