"""One row of a table as it stands, before sheets are joined and totals divided."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from compat.intake.headings import Bound
from compat.intake.tables import Table
from compat.model.schedule import PlannedLoad
from compat.model.values import Origin, Trait


class Filled(NamedTuple):
    """A cell with a text under a heading."""

    bound: Bound
    text: str
    origin: Origin


@dataclass(slots=True)
class Entry:
    """What a row states. ``power`` stands under the heading of the watts of one, ``total`` under that
    of the row; ``is_each`` says that ``power`` surely is of one driver. ``metres`` is
    a quantity in metres; ``extra`` holds figures that are no traits of a driver. ``planned`` are the methods
    that a column of controls names, whatever the driver accepts.
    """

    table: Table
    index: int
    circuit: str = ""
    quantity: int | None = None
    words: dict[str, str] = field(default_factory=dict)
    driver: dict[str, Trait] = field(default_factory=dict)
    circuit_traits: dict[str, Trait] = field(default_factory=dict)
    cells: dict[str, Filled] = field(default_factory=dict)
    origins: dict[str, Origin] = field(default_factory=dict)
    power: Trait | None = None
    total: Trait | None = None
    type_power: Trait | None = None
    is_each: bool = False
    metres: float = 0.0
    planned: frozenset[str] | None = None
    planned_load: PlannedLoad | None = None
    extra: dict[str, Trait] = field(default_factory=dict)

    @property
    def code(self) -> str:
        """The luminaire type by which sheets are joined."""
        return self.words.get("luminaire_type_code") or self.words.get("luminaire_type", "")

    @property
    def code_name(self) -> str:
        """The column that holds the code."""
        return "luminaire_type_code" if "luminaire_type_code" in self.words else "luminaire_type"

    def place(self, name: str) -> Origin:
        """The cell of a column, or the row's first cell where it has none."""
        return self.origins.get(name) or self.table.place(self.index, self.table.column(name))
