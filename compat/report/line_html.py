"""What the HTML report shows of each control line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from compat.model.report import Finding, LineLimit, LineReport, Report
from compat.report.bar import Shape
from compat.report.line_bar import allowed_text, shape_of_limit, share_text
from compat.report.line_blocks import ranked_lines
from compat.report.states import State, line_state
from compat.report.words import split_findings


@dataclass(frozen=True, slots=True)
class LimitView:
    """One limit of a line as a row of its table."""

    limit: LineLimit
    allowed: str
    share: str
    shape: Shape | None


@dataclass(frozen=True, slots=True)
class LineView:
    """A line with what the page shows of it; ``circuits`` are (name, anchor)."""

    line: LineReport
    anchor: str
    state: State
    broken: list[Finding]
    holding: list[Finding]
    limits: list[LimitView]
    circuits: list[tuple[str, str]]


def line_views(report: Report, anchors: Mapping[str, str]) -> list[LineView]:
    """The lines of a report, worst first; ``anchors`` are those of the circuits by name."""
    return [_view(entry, number, anchors) for number, entry in enumerate(ranked_lines(report.lines), 1)]


def _view(entry: LineReport, number: int, anchors: Mapping[str, str]) -> LineView:
    broken, holding = split_findings(entry.findings)
    limits = [LimitView(x, allowed_text(x), share_text(x), shape_of_limit(x)) for x in entry.limits]
    circuits = [(name, anchors.get(name, "")) for name in entry.circuits]
    return LineView(entry, f"l{number}", line_state(entry), broken, holding, limits, circuits)
