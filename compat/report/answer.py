"""The short answer: what to change, what is doubtful, what to ask, what to buy, and what works."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final, Literal

from compat.model.report import Change, CircuitReport, Enquiry, LineReport, Question, Report
from compat.report.lines import SOFT, STRONG, STYLE, Line, Part, line
from compat.report.words import decision, luminaires_text, split_findings

State = Literal["HAZARD", "fails", "expected to fail", "marginal", "doubtful", "expected to work", "works"]
STATES: Final[tuple[State, ...]] = (
    "HAZARD", "fails", "expected to fail", "doubtful", "marginal", "expected to work", "works",
)  # fmt: skip
TO_CHANGE: Final[tuple[State, ...]] = ("HAZARD", "fails", "expected to fail")
IN_DOUBT: Final[tuple[State, ...]] = ("doubtful", "marginal")
STATE_STYLE: dict[State, str] = {
    "HAZARD": STYLE["hazard"],
    "fails": STYLE["fails"],
    "expected to fail": STYLE["fails"],
    "doubtful": STYLE["unproven"],
    "marginal": STYLE["marginal"],
    "expected to work": STYLE["unproven"],
    "works": STYLE["works"],
}
# So many circuits with one reason are told in one paragraph.
TOGETHER = 3
MOST_ENQUIRIES = 8
MOST_KINDS = 6


def state_of(circuit: CircuitReport) -> State:
    """What a reader has to know first: the proof, or what is expected where there is none."""
    match circuit.verdict:
        case "hazard":
            return "HAZARD"
        case "fails" | "marginal" | "works":
            return circuit.verdict
    expected = circuit.expected.verdict if circuit.expected else "unproven"
    if expected in ("fails", "hazard"):
        return "expected to fail"
    return "expected to work" if expected == "works" else "doubtful"


def counts_text(report: Report) -> list[tuple[State, int]]:
    """How many circuits are in each state, worst first, without those that none is in."""
    found = [state_of(circuit) for circuit in report.circuits]
    return [(state, found.count(state)) for state in STATES if state in found]


def answer_lines(report: Report) -> Iterator[Line]:
    """The answer to a check in sections; a section that has nothing to tell is left out."""
    by_state: dict[State, list[CircuitReport]] = {state: [] for state in STATES}
    for circuit in report.circuits:
        by_state[state_of(circuit)].append(circuit)
    broken_lines = [entry for entry in report.lines if entry.verdict in ("fails", "hazard")]
    yield from _section("Change before you buy", TO_CHANGE, by_state, broken_lines)
    open_lines = [entry for entry in report.lines if entry.verdict == "marginal"]
    yield from _section("Look at these", IN_DOUBT, by_state, open_lines)
    yield from _enquiries(report)
    yield from _kinds(report)
    for state in ("expected to work", "works"):
        names = [_name(circuit) for circuit in by_state[state]]
        if names:
            yield line()
            lead = (f"{state.capitalize()} ({len(names)}): ", STATE_STYLE[state])
            yield line("; ".join(names), lead=lead)


def _section(
    heading: str,
    states: Sequence[State],
    by_state: dict[State, list[CircuitReport]],
    lines: Sequence[LineReport],
) -> Iterator[Line]:
    if not any(by_state[state] for state in states) and not lines:
        return
    yield line()
    yield line((heading, STRONG))
    for state in states:
        groups: dict[str, list[CircuitReport]] = {}
        for circuit in by_state[state]:
            groups.setdefault(_rule(circuit), []).append(circuit)
        for members in groups.values():
            if len(members) >= TOGETHER:
                yield from _together(state, members)
            else:
                for circuit in members:
                    yield from _one(state, circuit)
    for entry in lines:
        broken, _ = split_findings(entry.findings)
        lead: Part = (f"{entry.verdict:<9} ", STYLE[entry.verdict])
        said = f"line {entry.line} ({', '.join(entry.circuits)}): {broken[0].because}"
        yield line(said, lead=lead)


def _one(state: State, circuit: CircuitReport) -> Iterator[Line]:
    """A circuit with its reason, and below it the first change that helps."""
    lead: Part = (f"{state:<9} ", STATE_STYLE[state])
    lights = luminaires_text(circuit.luminaires)
    on = f" on {circuit.output.output}" if circuit.output else ""
    yield line(f"{_name(circuit)}, {lights}{on}: {_reason(circuit)}", lead=lead)
    yield line(_change(circuit.changes), indent=len(lead[0]), lead=("change: ", SOFT))


def _together(state: State, circuits: Sequence[CircuitReport]) -> Iterator[Line]:
    """Circuits with one deciding rule: the reason of the first, and what changes each."""
    lead: Part = (f"{state:<9} ", STATE_STYLE[state])
    names = "; ".join(_name(circuit) for circuit in circuits)
    yield line(f"{names}. {circuits[0].circuit}: {_reason(circuits[0])}", lead=lead)
    changes: dict[str, list[str]] = {}
    for circuit in circuits:
        changes.setdefault(_change(circuit.changes), []).append(circuit.circuit)
    for text, names_of in changes.items():
        said = text if len(changes) == 1 else f"{', '.join(names_of)}: {text}"
        yield line(said, indent=len(lead[0]), lead=("change: ", SOFT))


def _change(changes: Sequence[Change]) -> str:
    if not changes:
        return "nothing on offer helps; see what to buy below, or ask"
    first = changes[0]
    if first.expected is not None:
        then = "Then it is expected to work." if first.expected == "works" else "Then it is doubtful."
    else:
        then = "Then it works." if first.verdict == "works" else "Then it is marginal."
    return f"{first.text} {then}"


def _name(circuit: CircuitReport) -> str:
    return f"{circuit.circuit} {circuit.room}".strip()


def _rule(circuit: CircuitReport) -> str:
    if circuit.verdict == "unproven" and circuit.expected:
        return circuit.expected.rule or circuit.circuit
    return decision(circuit).rule or circuit.circuit


def _reason(circuit: CircuitReport) -> str:
    if circuit.verdict == "unproven" and circuit.expected and circuit.expected.because:
        return circuit.expected.because
    return decision(circuit).because


def _enquiries(report: Report) -> Iterator[Line]:
    """What to ask, the enquiry that settles most circuits first."""
    if not report.enquiries:
        return
    shown = report.enquiries[:MOST_ENQUIRIES]
    waiting = {name for entry in report.enquiries for name in entry.circuits}
    settled = {name for entry in shown for name in entry.settled}
    yield line()
    head = f": {_count(len(shown), 'answer')} settle{'s' if len(shown) == 1 else ''} "
    yield line(("Ask", STRONG), f"{head}{len(settled)} of {_count(len(waiting), 'circuit')} still unproven")
    for number, entry in enumerate(shown, 1):
        about = entry.about[:1].upper() + entry.about[1:]
        said = f"{about} ({_some(entry.circuits)}): {_asked(entry)}"
        yield line(said, lead=f"{number}. ")
    if len(report.enquiries) > len(shown):
        more = _count(len(report.enquiries) - len(shown), "more enquiry", "more enquiries")
        yield line((f"{more}: --details", SOFT))


MOST_ASKED = 6


def _asked(entry: Enquiry) -> str:
    asked = [_question(question) for question in entry.questions]
    more = f"; {len(asked) - MOST_ASKED} more" if len(asked) > MOST_ASKED else ""
    return f"{'; '.join(asked[:MOST_ASKED])}{more}?"


def _question(question: Question) -> str:
    return f"{question.label} ({question.decides})" if question.decides else question.label


def _kinds(report: Report) -> Iterator[Line]:
    """The fewest kinds of output that serve, each with its circuits."""
    if not report.kinds:
        return
    served = sum(len(kind.circuits) for kind in report.kinds)
    yield line()
    kinds = _count(len(report.kinds), "kind") + " of output"
    serve = "serves" if len(report.kinds) == 1 else "serve"
    yield line(("Buy", STRONG), f": {kinds} {serve} {served} of {_count(len(report.circuits), 'circuit')}")
    for kind in report.kinds[:MOST_KINDS]:
        said = f"{kind.name} ({kind.output}): {_some(kind.circuits)}"
        yield line(said, lead=f"{len(kind.circuits)} x ")
    if len(report.kinds) > MOST_KINDS:
        rest = sum(len(kind.circuits) for kind in report.kinds[MOST_KINDS:])
        kinds = _count(len(report.kinds) - MOST_KINDS, "more kind")
        yield line((f"{kinds} for {_count(rest, 'circuit')}", SOFT))


def _some(names: Sequence[str], most: int = 12) -> str:
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return ", ".join(names[:most]) + more


def _count(number: int, one: str, many: str = "") -> str:
    return f"{number} {one if number == 1 else many or one + 's'}"
