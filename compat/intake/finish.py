"""Entries turned into the rows of a schedule; rows of one circuit that clash are faults."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from compat.intake.cells import shown
from compat.intake.entries import Entry
from compat.intake.headings import Column
from compat.intake.told import Told
from compat.model.faults import Fault
from compat.model.schedule import ScheduleRow
from compat.model.values import Content, Origin, TokenSet, Trait

# What all rows of a circuit must say alike; rooms may differ, since a circuit may serve several.
_OF_CIRCUIT = ("output", "breaker", "line")
MAINS_DIMMING = frozenset(("forward_phase", "reverse_phase"))
# Loads with no electronics in them that a schedule's column of controls could speak of.
WITHOUT_DRIVER = frozenset(("incandescent", "magnetic_transformer", "motor"))


def schedule_rows(entries: Sequence[Entry], columns: Mapping[str, Column], told: Told) -> list[ScheduleRow]:
    """The rows in file order; adds a fault for each statement that another row contradicts."""
    agreement = Agreement()
    rows = []
    for entry in entries:
        _check(entry, agreement, columns, told)
        rows.append(_row(entry))
    return rows


def _check(entry: Entry, agreement: Agreement, columns: Mapping[str, Column], told: Told) -> None:
    stated = [(name, entry.words[name]) for name in _OF_CIRCUIT if name in entry.words]
    for name, word in stated:
        cell = entry.cells.get(name)
        text = cell.text if cell else word
        fault = agreement.check(entry.circuit, columns[name], word, text, entry.place(name))
        if fault:
            told.faults.add(fault)
    for name, trait in entry.circuit_traits.items():
        cell = entry.cells.get(name)
        column = columns.get(name)
        where = trait.origin or entry.place(name)
        text = cell.text if cell else str(trait.content)
        if column is not None and trait.content is not None:
            fault = agreement.check(entry.circuit, column, trait.content, text, where)
            if fault:
                told.faults.add(fault)


def _row(entry: Entry) -> ScheduleRow:
    words = entry.words
    code, name = words.get("luminaire_type_code", ""), words.get("luminaire_type", "")
    kind = name or code or words.get("description", "")
    return ScheduleRow(
        number=entry.table.grid.numbers[entry.index],
        circuit=entry.circuit,
        quantity=entry.quantity or 1,
        room=words.get("room", ""),
        luminaire_type=f"{code} {name}" if code and name and code != name else kind,
        driver_id=words.get("driver"),
        output_id=words.get("output"),
        breaker=words.get("breaker"),
        line=words.get("line"),
        panel=words.get("panel"),
        rcd=words.get("rcd"),
        planned=_planned(entry),
        driver_traits={key: trait for key, trait in entry.driver.items() if _says(entry, key, trait)},
        circuit_traits=entry.circuit_traits,
        origins=entry.origins,
    )


def _planned(entry: Entry) -> frozenset[str] | None:
    """The methods of the control that is planned; none where the wish stands against them."""
    wish = entry.circuit_traits.get("wanted_control")
    if entry.planned is None or wish is None or wish.content is None:
        return entry.planned
    if wish.content == "switched":
        return entry.planned & {"switched"} or None
    kept = entry.planned - {"switched"}
    if len(kept) > len(MAINS_DIMMING):
        # 'Dimmer' alone: of the method that the gear takes, else one of the mains.
        accepted = entry.driver.get("methods")
        theirs = (
            accepted.content.possible & kept if accepted and isinstance(accepted.content, TokenSet) else ()
        )
        kept = frozenset(theirs) or MAINS_DIMMING
    return kept or None


def _says(entry: Entry, name: str, trait: Trait) -> bool:
    """Whether a row speaks of a trait. One that is not known is left out, so that the dataset's driver may
    still say it; and what is planned for an iron core or a motor is not what these accept.
    """
    if name == "methods" and entry.planned is not None and trait.origin == entry.origins.get(name):
        kind = entry.driver.get("load_type")
        if kind is not None and kind.content in WITHOUT_DRIVER:
            return False
    return trait.content is not None


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
