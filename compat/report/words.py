"""The words that every report format shares: places, bases, names, and what decided."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from compat.model.figures import NOT_KNOWN, margin_text
from compat.model.lookup import Lookup, OutputLookup
from compat.model.report import (
    CircuitReport,
    Finding,
    Input,
    Luminaires,
    OutputReport,
    Place,
    Report,
    SourceNote,
)
from compat.model.values import BASIS_TEXT, Origin
from compat.model.verdicts import RANK, VERDICTS, Verdict

METHOD_TEXT: dict[str, str] = {
    "forward_phase": "leading edge",
    "reverse_phase": "trailing edge",
    "analog_0_10v": "0-10 V",
    "dali": "DALI",
    "dmx": "DMX",
    "switched": "switched",
    # The words of the vocabulary for the same.
    "forward phase": "leading edge",
    "reverse phase": "trailing edge",
}
CHOSEN_TEXT: dict[str, str] = {
    "schedule": "named in the schedule",
    "ranking": "best of the outputs on offer",
    "none": "no output",
}
NO_OUTPUT = "There is no output for this circuit."
# The controls that reorder text for display; a name must not change how its neighbours read.
REORDERING = re.compile("[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")

UNIT = r"(?:[munkµ]?(?:W|VA|V|A|Ω|H|F|Hz|s|m)|%|K|°C|A²s|mm²|Ω/km)(?!\w)"
UNIT_SPACE = re.compile(rf"(?<=\d) (?={UNIT})")


def clean(text: str) -> str:
    """One line of printable text: white space joined, control characters shown as a mark.

    Names come from other people's spreadsheets; an escape sequence in one must not reach a
    terminal.
    """
    joined = " ".join(REORDERING.sub("", text).split())
    return "".join("\ufffd" if unicodedata.category(c) in ("Cc", "Cs") else c for c in joined)


def tied(text: str, tie: str) -> str:
    """The text with ``tie`` for the space between a figure and its unit, so they stay together."""
    return UNIT_SPACE.sub(tie, text)


def verdict_word(verdict: Verdict) -> str:
    """The verdict as plain text shows it: a hazard stands out without any colour."""
    return verdict.upper() if verdict == "hazard" else verdict


def ranked(circuits: Iterable[CircuitReport]) -> list[CircuitReport]:
    """The circuits worst first, and in the order of the schedule within a verdict."""
    return sorted(circuits, key=lambda circuit: -RANK[circuit.verdict])


def split_findings(findings: Sequence[Finding]) -> tuple[list[Finding], list[Finding]]:
    """The findings that do not work, worst first, and those that do."""
    broken = [finding for finding in findings if finding.verdict != "works"]
    broken.sort(key=lambda finding: -RANK[finding.verdict])
    return broken, [finding for finding in findings if finding.verdict == "works"]


@dataclass(frozen=True, slots=True)
class Decision:
    """What decided a circuit: the rule's id, empty when none did, and the reason."""

    rule: str
    because: str


def decision(circuit: CircuitReport) -> Decision:
    """What decided the verdict of a circuit."""
    output = circuit.output
    if output is not None and output.because:
        return Decision(output.rule or "", output.because)
    told = [finding for finding in circuit.findings if finding.verdict == circuit.verdict]
    if told and circuit.verdict != "works":
        return Decision(told[0].rule, told[0].because)
    if output is None:
        return Decision("", NO_OUTPUT)
    return Decision("", closest_text(circuit))


def closest_text(circuit: CircuitReport) -> str:
    """Which limit a circuit comes closest to, or nothing when no finding has a margin."""
    measured = [finding for finding in circuit.findings if finding.margin_percent is not None]
    if not measured:
        return ""
    closest = min(measured, key=lambda finding: finding.margin_percent or 0)
    return f"Closest limit: {closest.rule}, {margin_text(closest.margin_percent, closest.relation)}"


def better_outputs(circuit: CircuitReport) -> list[OutputReport]:
    """The other outputs with a better verdict than the one chosen, best first; all when none is."""
    limit = RANK[circuit.output.verdict] if circuit.output else len(RANK)
    better = [output for output in circuit.other_outputs if RANK[output.verdict] < limit]
    return sorted(better, key=lambda output: RANK[output.verdict])


def limit_text(finding: Finding) -> str:
    """The limit with its direction: ``at least 20 W``."""
    if finding.limit is None:
        return ""
    if finding.limit.text == NOT_KNOWN:
        return NOT_KNOWN
    return f"{(finding.relation or '').replace('_', ' ')} {finding.limit.text}".strip()


def place_text(place: Place | None, schedule: str) -> str:
    """Where a value was written; the schedule's own name is left out, it stands in the heading."""
    if place is None:
        return ""
    text = Origin(place.file, place.sheet, place.cell, place.line, place.key).text()
    return text.removeprefix(f"{schedule}, ") if place.file == schedule else text


def origin_text(value: Input, schedule: str) -> str:
    """Place, basis and source of a value on one line, as far as they are known."""
    basis = BASIS_TEXT[value.basis] if value.basis else ""
    return "; ".join(filter(None, (place_text(value.place, schedule), basis, value.source)))


def source_text(note: SourceNote) -> str:
    """A source with edition, the part used, what it supports and on what basis."""
    named = ", ".join(filter(None, (note.title, note.edition, note.locator)))
    supports = ", ".join(word.replace("_", " ") for word in note.supports)
    parts = (f"{note.source} {named}", supports and f"for {supports}", BASIS_TEXT[note.basis])
    return "; ".join(filter(None, parts))


def luminaires_text(rows: Sequence[Luminaires], times: str = "x") -> str:
    """``6 x L1, 2 x L3``."""
    return ", ".join(f"{row.quantity} {times} {row.luminaire_type or row.driver_name}" for row in rows)


def driver_text(row: Luminaires) -> str:
    """The driver of a row by id and name."""
    return " ".join(filter(None, (row.driver, row.driver_name))) or f"driver {NOT_KNOWN}"


def output_text(output: OutputReport | None) -> str:
    """An output by id and name, or ``none``."""
    return "none" if output is None else f"{output.output} {output.name}".strip()


def method_text(method: str) -> str:
    """A method as people write it; a text that is not a token stays as it is."""
    return METHOD_TEXT.get(method, method)


def circuits_text(count: int) -> str:
    """``1 circuit``, ``12 circuits``."""
    return f"{count} circuit{'' if count == 1 else 's'}"


def counts_of(report: Report) -> list[tuple[Verdict, int]]:
    """How many circuits have each verdict, worst first, zeros included."""
    return [(verdict, report.counts.get(verdict, 0)) for verdict in reversed(VERDICTS)]


def stamp_text(report: Report | Lookup | OutputLookup) -> str:
    """Which program and dataset gave the verdicts; the dataset's hash is told beside it."""
    dataset = report.dataset
    return f"compat {report.program_version}, dataset {dataset.version} ({dataset.rule_schema})"
