"""The trees of rules as rows of plain data, and back: parts that are equal are stored once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from compat.rulebook import nodes
from compat.rulebook.units import Measure

NODES: tuple[type, ...] = (
    nodes.Number,
    nodes.QuantityName,
    nodes.Arithmetic,
    nodes.Extreme,
    nodes.Tokens,
    nodes.TokensName,
    nodes.Always,
    nodes.YesNoName,
    nodes.AtMost,
    nodes.Within,
    nodes.Not,
    nodes.Both,
    nodes.Either,
)
PARTS = {"left", "right", "part"}


class StoredTrees:
    """The nodes of all trees, each distinct one once, its parts before it."""

    def __init__(self) -> None:
        self.rows: list[list[Any]] = []
        self.measures: dict[Measure, int] = {}
        self._places: dict[nodes.Node, int] = {}

    def place(self, node: nodes.Node | None) -> int | None:
        """The place of a node among the rows; None of none."""
        if node is None:
            return None
        if node not in self._places:
            cells = [self._cell(field.name, getattr(node, field.name)) for field in fields(node)]
            self.rows.append([NODES.index(type(node)), *cells])
            self._places[node] = len(self.rows) - 1
        return self._places[node]

    def _cell(self, name: str, value: Any) -> Any:
        if name == "measure":
            return self.measures.setdefault(value, len(self.measures))
        return self.place(value) if name in PARTS else value


def nodes_of(data: Mapping[str, Any]) -> list[Any]:
    """The nodes of the stored rows, by their place."""
    measures = [Measure(tuple(map(tuple, powers)), factor) for powers, factor in data["measures"]]
    shapes = []
    for kind in NODES:
        names = [field.name for field in fields(kind)]
        parts = [place for place, name in enumerate(names, start=1) if name in PARTS]
        shapes.append((kind, parts, "measure" in names))
    made: list[Any] = []
    for row in data["nodes"]:
        kind, parts, has_measure = shapes[row[0]]
        for place in parts:
            row[place] = made[row[place]]
        if has_measure:
            row[-1] = measures[row[-1]]
        made.append(kind(*row[1:]))
    return made
