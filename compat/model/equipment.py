"""Table files of equipment: drivers, outputs, supplies, breakers, cables, source impedances.

All have one shape: entries with an id, a name and traits. Which traits a subject has stands in
the vocabulary, not here.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

from compat.model.record import NONE_NAMED, Limits, Record
from compat.model.values import WrittenBasis

ENTRY_ID = r"^[A-Za-z0-9][A-Za-z0-9._-]{0,63}$"
SLUG = r"^[a-z0-9]+(-[a-z0-9]+)*$"

Tables = Literal["drivers", "outputs", "supplies", "breakers", "cables", "source_impedances"]
SUBJECT_OF: dict[str, str] = {
    "drivers": "driver",
    "outputs": "output",
    "supplies": "supply",
    "breakers": "breaker",
    "cables": "cable",
    "source_impedances": "source_impedance",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry(Record):
    """One piece of equipment. ``basis`` and ``source`` hold for every trait that states none.

    A trait is a number (exact), two numbers (an interval), a word (a choice), words (a set), true
    or false, or a table with ``value``, ``low`` and ``high``, or ``sure`` and ``possible``, and its
    own ``basis``, ``source`` and ``locator``. A trait left out is not known.
    """

    id: Annotated[str, Limits(pattern=ENTRY_ID)]
    slug: Annotated[str, Limits(pattern=SLUG, max_length=80)] = ""
    name: Annotated[str, Limits(min_length=1, max_length=120)]
    basis: WrittenBasis = "declared"
    source: str | None = None
    invented: bool = False
    checked_on: str | None = None
    note: str = ""
    traits: dict[str, Any] = field(default_factory=dict, metadata=NONE_NAMED)
