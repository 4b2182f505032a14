"""Lines proposed for a schedule that names none: the circuits packed, then judged as lines."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from compat.engine.check import Check
from compat.engine.gather import Circuit, label_of
from compat.engine.line_report import report_line
from compat.engine.lines import gather_line
from compat.engine.site import site_of
from compat.model.report import LineReport, Report
from compat.model.values import UNKNOWN, Interval
from compat.plan.packing_types import LineCapacity, PackItem, ProgressCallback, Proposal, Unplaced
from compat.plan.propose_lines import SPARE_SHARE, propose, usual_capacities

KIND_OF_METHOD = {"dali": "dali_line", "dmx": "dmx_segment", "analog_0_10v": "analog_pair"}


def with_proposed_lines(
    check: Check, circuits: Sequence[Circuit], report: Report, progress: ProgressCallback | None = None
) -> Report:
    """The report with lines proposed for the circuits whose output is on a line.

    Nothing is proposed when a circuit of the schedule names a line. The answer is the same on every
    run; the notes of the report say how far it may be from the best.
    """
    if any(label_of(circuit, "line") for circuit in circuits):
        return report
    methods = _methods(check, report)
    by_name = {circuit.id: circuit for circuit in circuits}
    on_lines = [circuit for circuit in circuits if circuit.id in methods]
    if not on_lines:
        return report
    limits = capacities(check, report)
    demands = {capacity.kind: tuple(capacity.limits) for capacity in limits}
    items = [_item(circuit, KIND_OF_METHOD[methods[circuit.id]], demands) for circuit in on_lines]
    proposal = propose(items, limits, progress=progress)
    site = site_of(check.setting)
    lines: list[LineReport] = []
    for proposed in proposal.lines:
        members = [by_name[name] for name in proposed.items]
        stated = check.setting.lines.get(proposed.name, {})
        line = gather_line(
            proposed.name, members, check.dataset, stated, check.setting.line_defaults, proposed=True
        )
        lines.append(report_line(line, check.rules, site, check.dataset))
    return report.model_copy(update={"lines": lines, "notes": [*report.notes, *_notes(proposal, check)]})


def capacities(check: Check, report: Report) -> list[LineCapacity]:
    """What one line of each kind holds; DALI by the weakest bus supply of the outputs in use."""
    used = {circuit.output.output for circuit in report.circuits if circuit.output}
    supplies = [
        content.low
        for output in sorted(used)
        if isinstance(
            content := check.dataset.tables["outputs"][output]
            .traits.get("dali_supply_current_ma", UNKNOWN)
            .content,
            Interval,
        )
    ]
    return usual_capacities(min(supplies)) if supplies else usual_capacities()


def _methods(check: Check, report: Report) -> Mapping[str, str]:
    """The control methods of the circuits whose output is on a line."""
    outputs = check.dataset.tables["outputs"]
    found = {
        circuit.circuit: outputs[circuit.output.output].traits["method"].content
        for circuit in report.circuits
        if circuit.output
    }
    return {
        name: method for name, method in found.items() if isinstance(method, str) and method in KIND_OF_METHOD
    }


def _item(circuit: Circuit, kind: str, demands: Mapping[str, Sequence[str]]) -> PackItem:
    upper = {name: _upper(circuit, f"circuit.{name}") for name in demands[kind]}
    return PackItem(circuit.id, circuit.room, "", kind, upper)


def _upper(circuit: Circuit, trait: str) -> float:
    content = circuit.values.get(trait)
    return content.high if isinstance(content, Interval) else math.nan


def _notes(proposal: Proposal, check: Check) -> list[str]:
    """How far from the best the proposal may be, and what is on no line."""
    bound = "no fewer are possible" if proposal.optimal else f"at least {proposal.lower_bound} are needed"
    notes = [
        f"The schedule names no control lines: {len(proposal.lines)} are proposed, with {SPARE_SHARE:.0%} of "
        f"every limit left free (common practice, no source); {bound} ({proposal.solver})."
    ]
    return notes + [
        f"Circuit {entry.name} is on no proposed line: {_reason(entry, check)}."
        for entry in proposal.unplaced
    ]


def _reason(entry: Unplaced, check: Check) -> str:
    """The reason with the limit called as the reports call it."""
    trait = check.dataset.vocabulary.traits.get(f"line.{entry.limit}")
    return entry.reason.replace(entry.limit, trait.label) if entry.limit and trait else entry.reason
