"""Every change that is told for a circuit, carried out in the schedule, gives the verdict it promised."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from compat.api import Inputs, open_schedule
from compat.engine.check import Check
from compat.model.report import Change, CircuitReport, Report
from compat.model.schedule import Schedule, ScheduleRow
from compat.model.values import Trait
from compat.model.verdicts import RANK
from tests.conftest import ROOT

HOUSES = sorted(path for path in (ROOT / "datasets/demo").glob("*.csv") if path.stem != "house")


def carried_out(schedule: Schedule, circuit: CircuitReport, change: Change) -> Schedule:
    """The schedule with a change; the parts of a split are circuits C/1, C/2 ..."""
    rows: list[ScheduleRow] = []
    for row in schedule.rows:
        rows += _changed(row, circuit, change) if row.circuit == circuit.circuit else [row]
    return replace(schedule, rows=tuple(rows))


def _changed(row: ScheduleRow, circuit: CircuitReport, change: Change) -> Iterator[ScheduleRow]:
    on = circuit.output.output if circuit.output else None
    match change.kind:
        case "output":
            yield replace(row, output_id=change.output)
        case "switch_only":
            stated = {**row.circuit_traits, "wanted_control": Trait("switched")}
            yield replace(row, output_id=change.output, circuit_traits=stated)
        case "state":
            stated = {name: Trait(value) for name, value in change.states.items()}
            yield replace(row, output_id=on, circuit_traits={**row.circuit_traits, **stated})
        case "split":
            for number, quantity in enumerate(change.parts, 1):
                yield replace(
                    row, circuit=f"{row.circuit}/{number}", quantity=quantity, output_id=change.output or on
                )


def promised(report: Report, circuit: CircuitReport, change: Change) -> list[CircuitReport]:
    names = {circuit.circuit, *(f"{circuit.circuit}/{number}" for number in range(1, 20))}
    return [entry for entry in report.circuits if entry.circuit in names]


def houses() -> list[str]:
    return [str(path.relative_to(ROOT)) for path in [ROOT / "datasets/demo/house.xlsx", *HOUSES]]


@pytest.mark.parametrize("house", houses())
def test_every_change_keeps_its_promise(house: str) -> None:
    check, schedule = open_schedule(ROOT / house, Inputs())
    report = replace(check, brief=True).report(schedule)
    told = [(circuit, change) for circuit in report.circuits for change in circuit.changes]
    assert told or all(circuit.verdict in ("works", "unproven") for circuit in report.circuits)
    for circuit, change in told:
        after = only(check, carried_out(schedule, circuit, change), circuit.circuit)
        found = promised(after, circuit, change)
        assert found, (circuit.circuit, change)
        worst = max(found, key=lambda entry: RANK[entry.verdict])
        assert worst.verdict == change.verdict, (circuit.circuit, change, worst.findings[:1])
        if change.expected is not None:
            expected = [entry.expected.verdict for entry in found if entry.expected]
            assert max(expected, key=RANK.__getitem__) == change.expected, (circuit.circuit, change)


def only(check: Check, schedule: Schedule, circuit: str) -> Report:
    """The report on a circuit, its parts, and all that share a protective device with it.

    Circuits without a label could share one with any other, so they all stay.
    """
    return replace(check, brief=True).report(schedule)


def test_a_change_is_better_than_what_it_changes() -> None:
    check, schedule = open_schedule(ROOT / "datasets/demo/house.xlsx", Inputs())
    report = replace(check, brief=True).report(schedule)

    def worth(verdict: str, expected: str | None) -> int:
        return RANK[expected or "unproven"] if verdict == "unproven" else RANK[verdict]

    changed = [circuit for circuit in report.circuits if circuit.changes]
    assert len(changed) > 8
    for circuit in changed:
        now = worth(circuit.verdict, circuit.expected.verdict if circuit.expected else None)
        for change in circuit.changes:
            assert worth(change.verdict, change.expected) < now, (circuit.circuit, change)
