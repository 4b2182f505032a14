"""What the rows of one circuit say about the circuit as a whole must agree."""

from __future__ import annotations

from collections.abc import Iterable

from compat.intake.cells import shown
from compat.intake.headings import Column
from compat.model.faults import Fault
from compat.model.values import Content, Origin


class Agreement:
    """Remembers the first statement about each circuit and column."""

    def __init__(self) -> None:
        self._first: dict[tuple[str, str], tuple[Content, str, Origin]] = {}

    def check(self, circuit: str, column: Column, content: Content, text: str, where: Origin) -> Fault | None:
        """A fault when the statement differs from the first one, naming both places."""
        first, first_text, place = self._first.setdefault((circuit, column.name), (content, text, where))
        if first == content:
            return None
        there = place.cell or (f"line {place.line}" if place.line else place.key)
        return Fault(
            f"circuit {shown(circuit)} has the {column.label} {shown(text)} here and "
            f"{shown(first_text)} in {'cell ' if place.cell else ''}{there}",
            where,
            f"All rows of a circuit have one {column.label}",
            "Write the same in each, leave all but one empty, or make it two circuits",
        )


def circuits_alike(circuits: Iterable[str]) -> list[str]:
    """Notes on names that differ only in case, spaces or punctuation: they are told apart."""
    groups: dict[str, list[str]] = {}
    for circuit in dict.fromkeys(circuits):
        groups.setdefault(_fold(circuit), []).append(circuit)
    return [
        "The circuits " + " and ".join(map(shown, group)) + " are read as different circuits."
        for group in groups.values()
        if len(group) > 1
    ]


def _fold(circuit: str) -> str:
    kept = "".join(character for character in circuit.casefold() if character.isalnum())
    return kept or circuit
