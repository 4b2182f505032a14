"""A one-line diagram of a circuit: breaker, output, line, luminaires, with the fault marked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from compat.model.report import CircuitReport, Report
from compat.report.actions import rule_of
from compat.report.words import luminaires_text, method_text

Part = Literal["breaker", "output", "luminaires"]
MOST = 26


@dataclass(frozen=True, slots=True)
class OneLine:
    """The texts of the three boxes, the line between the last two, and which box has the fault."""

    breaker: str
    output: str
    between: str
    luminaires: str
    fault: Part | None


def one_line(circuit: CircuitReport, report: Report) -> OneLine:
    """The diagram of a circuit."""
    told = {value.name: value.text for value in report.supply}
    curve, rated = told.get("breaker.curve", ""), told.get("breaker.rated_current_a", "")
    line = next((entry.line for entry in report.lines if circuit.circuit in entry.circuits), "")
    output = circuit.output
    method = method_text(output.method) if output else ""
    return OneLine(
        breaker=f"{curve}{rated.removesuffix(' A')}" if curve and rated else "breaker",
        output=output.output if output else "no output",
        between=", ".join(filter(None, (method, f"line {line}" if line else ""))),
        luminaires=_cut(luminaires_text(circuit.luminaires, "×")),
        fault=None if circuit.verdict == "works" else _fault(circuit),
    )


def _fault(circuit: CircuitReport) -> Part:
    """Where the deciding values are: at the breaker, at the output, or at the luminaires."""
    rule = rule_of(circuit)
    found = next((finding for finding in circuit.findings if finding.rule == rule), None)
    if found is None:
        return "output"
    if "breaker" in found.slug or "rcd" in found.slug:
        return "breaker"
    return "output" if any(value.name.startswith("output.") for value in found.inputs) else "luminaires"


def _cut(text: str) -> str:
    return text if len(text) <= MOST else f"{text[: MOST - 1].rstrip()}…"
