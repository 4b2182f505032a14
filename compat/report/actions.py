"""What to do about each circuit and line, said once for all that share reason and change."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from compat.model.report import Change, CircuitReport, Finding, LineReport, Report
from compat.report.states import IN_DOUBT, State, line_state, state_by, state_of
from compat.report.words import decision, split_findings

SHORT_NAME = 56
TRADE_NAMES = {
    "Reverse phase": "Trailing-edge dimmer",
    "Forward phase": "Leading-edge dimmer",
    "Universal phase-cut": "Universal dimmer",
    "DALI, ": "DALI output, ",
    "DMX, ": "DMX output, ",
    "reverse edge": "trailing edge",
    "forward edge": "leading edge",
}
RATING = re.compile(r"[0-9]+ (W|VA|A|mA)\b")
OUTCOME: dict[State, str] = {
    "expected to work": "expected to work",
    "marginal": "marginal",
    "doubtful": "doubtful",
    "expected to fail": "expected to fail",
    "fails": "it fails",
    "HAZARD": "a hazard",
}


@dataclass(frozen=True, slots=True)
class Action:
    """Circuits, or one line, in one state with one reason and one change; ``cautions`` are of hazards."""

    state: State
    names: tuple[str, ...]
    ids: tuple[str, ...]
    rule: str
    reason: str
    change: str
    cautions: tuple[str, ...] = ()
    is_line: bool = False


def actions_of(report: Report, states: Sequence[State]) -> list[Action]:
    """What is in these states, in their order; equal reasons are told together."""
    found: dict[tuple[State, str], list[Action]] = {}
    every = [*map(circuit_action, report.circuits), *map(line_action, report.lines)]
    for state in states:
        for one in every:
            if one.state == state:
                found.setdefault((state, one.reason), []).append(one)
    return [_together(members) for members in found.values()]


def circuit_action(circuit: CircuitReport) -> Action:
    """What a circuit comes to."""
    state = state_of(circuit)
    hazards = [finding for finding in circuit.findings if finding.verdict == "hazard" and finding.caution]
    return Action(
        state=state,
        names=(name_of(circuit),),
        ids=(circuit.circuit,),
        rule=rule_of(circuit),
        reason=reason_of(circuit),
        change="" if state in ("works", "expected to work") else change_of(circuit),
        cautions=tuple(dict.fromkeys(finding.caution for finding in hazards)),
    )


def line_action(line: LineReport) -> Action:
    """What a line comes to: its first finding, and the first thing to do; what to ask stands elsewhere."""
    broken, _ = split_findings(line.findings)
    is_open = line.verdict == "unproven"
    likely = line.expected if line.expected and line.expected.rule else None
    todo = line.remedies[0] if broken and line.remedies and not is_open else ""
    if is_open and line.questions:
        todo = "Ask for it."
    return Action(
        state=line_state(line),
        names=(f"line {line.line}",),
        ids=(line.line,),
        rule=(likely and likely.rule) or (broken[0].rule if broken else ""),
        reason=likely.because if likely else broken[0].because if broken else "",
        change=todo,
        cautions=tuple(line.cautions) if line.verdict == "hazard" else (),
        is_line=True,
    )


def name_of(circuit: CircuitReport) -> str:
    """``G10 Living room``."""
    return f"{circuit.circuit} {circuit.room}".strip()


def rule_of(circuit: CircuitReport) -> str:
    """The rule that decided, or that is expected to."""
    if circuit.verdict == "unproven" and circuit.expected and circuit.expected.rule:
        return circuit.expected.rule
    return decision(circuit).rule


def reason_of(circuit: CircuitReport) -> str:
    """Why a circuit has its verdict, or why it is expected to fail."""
    if circuit.verdict == "unproven" and circuit.expected and circuit.expected.because:
        return circuit.expected.because
    return decision(circuit).because


def change_of(circuit: CircuitReport) -> str:
    """The first change that helps with what comes of it; where none does, what would be needed."""
    in_doubt = state_of(circuit) in IN_DOUBT
    # Where dimming is only in doubt, to give it up is no advice.
    changes = [one for one in circuit.changes if one.kind != "switch_only" or not in_doubt]
    # What is missing is asked first; the reason has named it.
    missing = bool(circuit.expected and circuit.expected.verdict == "unproven" and circuit.questions)
    if changes:
        told = outcome_text(circuit, changes[0])
        return f"Ask, or {_lower(told.partition(': then ')[0].rstrip('.'))}." if missing else told
    if missing:
        return "Ask for it."
    return needed_text(circuit)


def outcome_text(circuit: CircuitReport, change: Change) -> str:
    """A change in short words; what it comes to is said where that is not a proof that it works."""
    every = [*circuit.other_outputs, *([circuit.output] if circuit.output else [])]
    text = change.text
    if change.output:
        name = next((output.name for output in every if output.output == change.output), change.output)
        text = f"Use the {in_sentence(name, change.output)}."
        if change.kind == "split":
            start = change.text.partition(", each on ")[0]
            text = f"{start}, each on a {in_sentence(name, change.output)}."
        if change.kind == "switch_only":
            is_now = circuit.output is not None and circuit.output.output == change.output
            text = f"Do not dim it{'' if is_now else f': use the {in_sentence(name, change.output)}'}."
    state = state_by(change.verdict, change.expected)
    return text if state == "works" else f"{text.rstrip('.')}: then {OUTCOME[state]}."


def needed_text(circuit: CircuitReport) -> str:
    """What would be needed where nothing on offer helps: a property of the output, or the first remedy."""
    rule = rule_of(circuit)
    need = next((need for need in circuit.needs if need.rule == rule), None)
    if need:
        return f"Nothing on offer helps; it takes an output with {need.text}."
    found = next((finding for finding in circuit.findings if finding.rule == rule), None)
    remedies = found.remedies if found else [circuit.expected.remedy] if circuit.expected else []
    if remedies and remedies[0]:
        in_doubt = state_of(circuit) in IN_DOUBT
        return remedies[0] if in_doubt else f"Nothing on offer helps; {_lower(remedies[0])}"
    return "Nothing on offer helps; ask for what is missing."


def short_name(name: str) -> str:
    """An output in few words of the trade: ``Relay, 16 A``, ``Trailing-edge dimmer, with neutral, 300 W``."""
    for ours, trade in TRADE_NAMES.items():
        name = name.replace(ours, trade)
    first, *rest = name.split(", ")
    edge = [part for part in rest if part.endswith(" edge")]
    rating = [part for part in rest if RATING.match(part)]
    short = ", ".join(dict.fromkeys([first, *(edge or rest[:1]), *rating[:1]]))
    return short if len(short) <= SHORT_NAME else first


def in_sentence(name: str, output: str) -> str:
    """The kind of an output within a sentence, with its id: ``relay, 16 A (O0021)``."""
    first, *rest = short_name(name).split(", ")
    edges = [part for part in rest if part.endswith(" edge")]
    if first.endswith("dimmer") and edges:
        first = f"{edges[0].replace(' ', '-')} dimmer"
    # Of a control output its name says what it does to the current; here its interface will do.
    first = re.sub(r" output .*", " output", first)
    short = ", ".join([first, *(part for part in rest if part.endswith(" A"))])
    return f"{_lower(short) if short[1:2].islower() else short} ({output})"


def open_hazards(report: Report) -> dict[str, list[str]]:
    """Hazards that usual values leave open or close, in short, with the circuits and lines. Those that only
    a far-fetched reading leaves open are told with the details.
    """
    told: dict[str, list[str]] = {}
    subjects: list[tuple[str, list[Finding]]] = [(one.circuit, one.findings) for one in report.circuits]
    subjects += [(f"line {one.line}", one.findings) for one in report.lines]
    for name, findings in subjects:
        slugs = (found.slug for found in findings if found.caution and found.decisive)
        for slug in dict.fromkeys(slugs):
            told.setdefault(slug.replace("-", " "), []).append(name)
    return told


def _together(members: Sequence[Action]) -> Action:
    """Actions of one reason as one; changes that differ name the circuits that they are for."""
    # A line says again what its circuit says: they share what is to be done.
    told = [one for one in members if not one.is_line] or members
    changes: dict[str, list[str]] = {}
    for one in told:
        if one.change:
            changes.setdefault(one.change, []).extend(one.ids)
    apart = len(changes) > 1
    said = (f"{', '.join(ids)}: {_lower(text)}" if apart else text for text, ids in changes.items())
    return replace(
        members[0],
        names=tuple(name for one in members for name in one.names),
        ids=tuple(name for one in members for name in one.ids),
        change=" ".join(said),
        cautions=tuple(dict.fromkeys(caution for one in members for caution in one.cautions)),
        is_line=all(one.is_line for one in members),
    )


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]
