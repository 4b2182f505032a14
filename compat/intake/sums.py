"""Sums over the rows of a table, held against the rows that say they add them up."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from compat.intake.tables import Table
from compat.model.values import Interval

# How far a total may be from the sum, as a part of it: totals are often rounded.
TOLERANCE = 0.006
POWERS = ("input_power_w", "total_power_w")
Figure = Callable[[int, str], Interval | None]


@dataclass(frozen=True, slots=True)
class TotalRow:
    """A row that adds up others: its figures, whether each agrees, and what the power column adds up as.

    ``power_as`` is ``each`` when only quantity times power gives the figure, ``total`` when only the
    plain sum does, empty when both or none do.
    """

    index: int
    figures: dict[str, float]
    agrees: dict[str, bool]
    power_as: str = ""


@dataclass(slots=True)
class Sum:
    """Sums over a run of rows; ``weighted`` is of quantity times power."""

    plain: dict[str, float] = field(default_factory=dict)
    weighted: float = 0.0
    whole: bool = True

    def add(self, quantity: float | None, figures: dict[str, float]) -> None:
        for name, value in figures.items():
            self.plain[name] = self.plain.get(name, 0.0) + value
        if "input_power_w" in figures and quantity is not None:
            self.weighted += quantity * figures["input_power_w"]
        if "input_power_w" in figures and quantity is None:
            self.whole = False


@dataclass(slots=True)
class Sums:
    """Adds up the rows of a table as they come; ``figure`` reads a cell, None when it has no figure.

    ``grand`` goes on over the tables of a file.
    """

    figure: Figure
    names: tuple[str, ...]
    rows: int = 0
    grand: Sum = field(default_factory=Sum)
    _since: Sum = field(default_factory=Sum)
    _all: Sum = field(default_factory=Sum)

    @property
    def _runs(self) -> tuple[Sum, Sum, Sum]:
        return self._since, self._all, self.grand

    def add(self, index: int) -> None:
        """Add a row with luminaires."""
        figures = self._figures(index)
        quantity = figures.get("quantity")
        self.rows += 1
        for total in self._runs:
            total.add(quantity, figures)

    def close(self) -> None:
        """A total ends a run of rows; what comes after starts anew."""
        self._since = Sum()

    def total_row(self, index: int, table: Table) -> TotalRow:
        """The figures of a row held against the sums since the last total, of the table and of the file."""
        figures = self._figures(index)
        agrees: dict[str, bool] = {}
        power_as = set[str]()
        for name, value in figures.items():
            plain = [total.plain.get(name, 0.0) for total in self._runs]
            agrees[name] = any(_equal(value, found) for found in plain)
            if name == "input_power_w":
                weighted = any(_equal(value, t.weighted) for t in self._runs if t.whole)
                if weighted != agrees[name]:
                    power_as.add("each" if weighted else "total")
                agrees[name] = agrees[name] or weighted
        return TotalRow(index, figures, agrees, next(iter(power_as), ""))

    def difference(self, row: TotalRow, name: str, value: float, table: Table) -> str:
        """What a total says and what the rows above it give."""
        bound = table.column(name)
        found = self._since.plain.get(name, 0.0)
        where = table.place(row.index, bound).text()
        symbol = " W" if name in POWERS else ""
        given = f"{found:g}{symbol}"
        if name == "input_power_w" and self._since.weighted != found:
            given += f", or {self._since.weighted:g}{symbol} with their quantities"
        return f"{where}: the total says {value:g}{symbol}, the rows above it add up to {given}."

    def _figures(self, index: int) -> dict[str, float]:
        found = {}
        for name in self.names:
            interval = self.figure(index, name)
            if interval is not None:
                found[name] = (interval.low + interval.high) / 2
        return found


def _equal(value: float, found: float) -> bool:
    return found > 0 and abs(value - found) <= max(TOLERANCE * found, 0.011)
