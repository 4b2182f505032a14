"""In what state a circuit is: the proof, or what is expected where there is none."""

from __future__ import annotations

from typing import Final, Literal

from compat.model.report import CircuitReport, LineReport, Report
from compat.model.verdicts import Verdict

State = Literal["HAZARD", "fails", "expected to fail", "doubtful", "marginal", "expected to work", "works"]
STATES: Final[tuple[State, ...]] = (
    "HAZARD", "fails", "expected to fail", "doubtful", "marginal", "expected to work", "works",
)  # fmt: skip
TO_CHANGE: Final[tuple[State, ...]] = ("HAZARD", "fails", "expected to fail")
IN_DOUBT: Final[tuple[State, ...]] = ("doubtful", "marginal")
FINE: Final[tuple[State, ...]] = ("expected to work", "works")
# One letter each, for a map of circuits against outputs.
LETTER: Final[dict[State, str]] = {
    "HAZARD": "H", "fails": "F", "expected to fail": "f", "doubtful": "d", "marginal": "M",
    "expected to work": "w", "works": "W",
}  # fmt: skip
# The verdict whose colour a state has.
COLOUR: Final[dict[State, Verdict]] = {
    "HAZARD": "hazard", "fails": "fails", "expected to fail": "fails", "doubtful": "unproven",
    "marginal": "marginal", "expected to work": "works", "works": "works",
}  # fmt: skip


def state_by(verdict: Verdict, expected: Verdict | None) -> State:
    """The state of a verdict and of what is expected beside it."""
    match verdict:
        case "hazard":
            return "HAZARD"
        case "fails" | "marginal" | "works":
            return verdict
    if expected in ("fails", "hazard"):
        return "expected to fail"
    return "expected to work" if expected == "works" else "doubtful"


def state_of(circuit: CircuitReport) -> State:
    """What a reader has to know of a circuit first."""
    return state_by(circuit.verdict, circuit.expected.verdict if circuit.expected else None)


def line_state(line: LineReport) -> State:
    """What a reader has to know of a control line first."""
    return state_by(line.verdict, line.expected.verdict if line.expected else None)


def counts_text(report: Report) -> list[tuple[State, int]]:
    """How many circuits are in each state, worst first, without those that none is in."""
    return _counts([state_of(circuit) for circuit in report.circuits])


def line_counts(report: Report) -> list[tuple[State, int]]:
    """The same for the control lines."""
    return _counts([line_state(line) for line in report.lines])


def _counts(found: list[State]) -> list[tuple[State, int]]:
    return [(state, found.count(state)) for state in STATES if state in found]
