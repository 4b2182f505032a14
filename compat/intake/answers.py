"""Answers to questions, read back from the workbook that they were asked in, and laid over what was known."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from compat.dataset.overlay import Setting
from compat.dataset.read import Dataset, Equipment
from compat.intake.cell_values import CellReader
from compat.intake.cells import Grid, Unreadable, printable, shown
from compat.intake.headings import Bound, Column, Headings
from compat.intake.source import grids_of
from compat.model.answers import ABOUT, ANSWER, CIRCUITS, HEADINGS, VALUE, answerable
from compat.model.faults import BadInput, Fault
from compat.model.schedule import Schedule, ScheduleRow
from compat.model.values import Origin, Trait
from compat.model.vocabulary import Vocabulary

SITE = ("supply", "breaker", "cable", "source_impedance")


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer: the trait by full name, whom it is about, for which circuits, and what was answered."""

    name: str
    about: str
    circuits: frozenset[str]
    trait: Trait

    @property
    def subject(self) -> str:
        """What the trait is one of."""
        return self.name.split(".", 1)[0]

    @property
    def short(self) -> str:
        """The trait without its subject."""
        return self.name.split(".", 1)[1]


@dataclass(frozen=True, slots=True)
class Answered:
    """What is known with the answers; the notes of the schedule tell what was read."""

    dataset: Dataset
    setting: Setting
    schedule: Schedule


def read_answers(path: Path, vocabulary: Vocabulary) -> list[Answer]:
    """The answers of a workbook; an empty cell is none. Raises BadInput with every cell not understood."""
    headings = Headings(vocabulary)
    reader = CellReader(vocabulary, headings.units)
    faults: list[Fault] = []
    found, tables = list[Answer](), 0
    for grid in grids_of(path, headings):
        header = next((row for row in range(len(grid.rows)) if _is_header(grid, row)), None)
        if header is None:
            continue
        tables += 1
        place = {grid.text(header, column): column for column in range(len(grid.rows[header]))}
        for row in range(header + 1, len(grid.rows)):
            found += _answer(grid, row, place, vocabulary, reader, faults)
    if not tables:
        allowed = f"A sheet with the headings {', '.join(HEADINGS)}"
        do = "'compat check SCHEDULE --questions FILE' writes it"
        raise BadInput([Fault("there is no sheet of questions", Origin(printable(path.name)), allowed, do)])
    if faults:
        raise BadInput(faults)
    return found


def _is_header(grid: Grid, row: int) -> bool:
    texts = {grid.text(row, column) for column in range(len(grid.rows[row]))}
    return {ABOUT, VALUE, ANSWER} <= texts


def _answer(
    grid: Grid,
    row: int,
    place: Mapping[str, int],
    vocabulary: Vocabulary,
    reader: CellReader,
    faults: list[Fault],
) -> Iterator[Answer]:
    text, name = grid.text(row, place[ANSWER]), grid.text(row, place[VALUE])
    if not text or not name:
        return
    where = grid.place(row, place[ANSWER], ANSWER)
    trait = vocabulary.traits.get(name)
    if trait is None or not answerable(trait):
        at = grid.place(row, place[VALUE], VALUE)
        do = "Leave the column as the program wrote it"
        faults.append(Fault(f"{shown(name)} is no value that can be answered", at, do=do))
        return
    target: Literal["circuit", "driver"] = "circuit" if trait.subject == "circuit" else "driver"
    column = Column(trait.name, trait.label, target, (trait,))
    try:
        if flaw := grid.flaws.get((row, place[ANSWER])):
            raise Unreadable(flaw.what, do=flaw.do)
        contents = reader.contents(text, Bound(place[ANSWER], column, ANSWER, column.unit))
    except Unreadable as error:
        faults.append(error.fault(where))
        return
    circuits = grid.text(row, place[CIRCUITS]) if CIRCUITS in place else ""
    names = frozenset(part.strip() for part in circuits.split(";") if part.strip())
    for short, content in contents.items():
        full = f"{trait.subject}.{short}"
        if full in vocabulary.traits:
            yield Answer(full, grid.text(row, place[ABOUT]), names, Trait(content, origin=where))


def with_answers(path: Path, dataset: Dataset, setting: Setting, schedule: Schedule) -> Answered:
    """The schedule, the setting and the equipment with the answers of a workbook in them.

    An answer goes before what was known. Raises BadInput.
    """
    answers = read_answers(path, dataset.vocabulary)
    used: set[int] = set()
    rows = tuple(_row(row, answers, dataset, used) for row in schedule.rows)
    outputs = {
        output: _equipment(one, answers, ("output",), {one.name, output}, used)
        for output, one in dataset.tables["outputs"].items()
    }
    dataset = replace(dataset, tables={**dataset.tables, "outputs": outputs})
    site = {name: _equipment(getattr(setting, name), answers, (name,), None, used) for name in SITE}
    setting = replace(
        setting,
        supply=site["supply"],
        breaker=site["breaker"],
        cable=site["cable"],
        source_impedance=site["source_impedance"],
        offer={output: outputs[output] for output in setting.offer},
        lines=_lines(setting, answers, used),
    )
    count = f"{len(used)} answer{'' if len(used) == 1 else 's'}"
    notes = [f"{count} from {printable(path.name)} stand in place of what was not known."]
    for place, one in enumerate(answers):
        if place not in used and one.trait.origin is not None:
            notes.append(f"{one.trait.origin.text()}: {shown(one.about)} is not in the schedule; left out.")
    return Answered(dataset, setting, replace(schedule, rows=rows, notes=(*schedule.notes, *notes)))


def _row(row: ScheduleRow, answers: Sequence[Answer], dataset: Dataset, used: set[int]) -> ScheduleRow:
    driver = dataset.tables["drivers"].get(row.driver_id) if row.driver_id else None
    name = row.luminaire_type or (driver.name if driver else f"row {row.number}")
    of_driver, of_circuit = dict[str, Trait](), dict[str, Trait]()
    for place, one in enumerate(answers):
        if one.subject == "driver" and one.about == name:
            of_driver[one.short] = one.trait
            used.add(place)
        elif one.subject == "circuit" and row.circuit in one.circuits:
            of_circuit[one.short] = one.trait
            used.add(place)
    if not of_driver and not of_circuit:
        return row
    return replace(
        row,
        driver_traits={**row.driver_traits, **of_driver},
        circuit_traits={**row.circuit_traits, **of_circuit},
    )


def _equipment(
    known: Equipment,
    answers: Sequence[Answer],
    subjects: Collection[str],
    names: Collection[str] | None,
    used: set[int],
) -> Equipment:
    told = dict[str, Trait]()
    for place, one in enumerate(answers):
        if one.subject in subjects and (names is None or one.about in names):
            told[one.short] = one.trait
            used.add(place)
    return replace(known, traits={**known.traits, **told}) if told else known


def _lines(setting: Setting, answers: Sequence[Answer], used: set[int]) -> dict[str, dict[str, Trait]]:
    lines = {label: dict(traits) for label, traits in setting.lines.items()}
    for place, one in enumerate(answers):
        if one.subject == "line":
            lines.setdefault(one.about.removeprefix("line "), {})[one.short] = one.trait
            used.add(place)
    return lines
