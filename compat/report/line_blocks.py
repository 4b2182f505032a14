"""What plain text says about a control line: its limits as bars, why, what to do or to ask."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from compat.model.report import LineLimit, LineReport, Report
from compat.model.verdicts import RANK, VERDICTS
from compat.report.blocks import caution_lines, finding_chain, finding_lines, foot_lines, question_lines
from compat.report.cells import GAP, fit, size_of
from compat.report.line_bar import allowed_text, glyphs, limit_bar_text, share_text
from compat.report.lines import SOFT, STRONG, STYLE, Line, Part, line, listed, verdict_part
from compat.report.page import LEAST_WIDTH, render_lines
from compat.report.words import clean, split_findings, verdict_word

BAR_CELLS = 16
LABEL_LEAST, LABEL_FOR_BAR, LABEL_MOST = 12, 24, 40


def line_section(report: Report, width: int, details: bool, ascii_only: bool) -> Iterator[Line]:
    """All control lines, worst first; nothing when the schedule names none."""
    if not report.lines:
        return
    yield line(("Control lines", STRONG), f": {_counts_text(report.lines)}")
    for entry in ranked_lines(report.lines):
        yield line()
        yield from line_head(entry)
        yield from limit_rows(entry.limits, width, ascii_only)
        yield from _details(entry, report.schedule) if details else _short(entry)
    if any(entry.limits for entry in report.lines):
        used, free, end = glyphs(ascii_only)
        yield line((f"bars: {used} used, {free} free, {end} the limit", SOFT))


def render_line_text(
    report: Report, entry: LineReport, width: int, colour: bool, ascii_only: bool = False
) -> str:
    """All that the verdict of one line rests on, in lines of at most ``width`` cells (40 up)."""
    return render_lines(_chain(report, entry, max(width, LEAST_WIDTH), ascii_only), width, colour)


def ranked_lines(lines: Sequence[LineReport]) -> list[LineReport]:
    """The lines worst first, and in the order of the schedule within a verdict."""
    return sorted(lines, key=lambda entry: -RANK[entry.verdict])


def line_head(entry: LineReport) -> Iterator[Line]:
    """The verdict with the line's label and kind, and the circuits on it."""
    yield line(verdict_part(entry.verdict), "  ", (entry.line, STRONG), f"  {entry.kind}")
    lead = "circuits (proposed): " if entry.proposed else "circuits: "
    yield line(", ".join(entry.circuits), indent=2, lead=lead)
    if entry.expected:
        values = "; ".join(f"{one.label}: {one.text}" for one in entry.expected.usual)
        said = f"Expected {entry.expected.verdict} with usual values, which are no proof"
        yield line(f"{said}{': ' if values else ''}{values}.", indent=2)


def limit_rows(limits: Sequence[LineLimit], width: int, ascii_only: bool) -> Iterator[Line]:
    """One row a limit: what is used of what is allowed, the share and a bar, as the width allows."""
    rows = [[clean(text) for text in (r.label, r.used.text, allowed_text(r), share_text(r))] for r in limits]
    if not rows:
        return
    sizes = [max(size_of(row[place]) for row in rows) for place in range(4)]
    sizes[0] = min(sizes[0], LABEL_MOST)
    room = width - 2
    for_bar = GAP + BAR_CELLS
    with_bar = LABEL_FOR_BAR + sum(sizes[1:]) + GAP * 3 + for_bar <= room
    over = sum(sizes) + GAP * 3 + (for_bar if with_bar else 0) - room
    if over > 0:
        sizes[0] = max(LABEL_LEAST, sizes[0] - over)
    shown = range(4) if sum(sizes) + GAP * 3 <= room else (0, 1, 3)
    cut = "~" if ascii_only else "…"
    for limit, row in zip(limits, rows, strict=True):
        cells = (" " * GAP).join(fit(row[place], sizes[place], cut) for place in shown)
        drawn = limit_bar_text(limit, BAR_CELLS, ascii_only) if with_bar else ""
        bar = f"{' ' * GAP}{drawn}" if drawn else ""
        over_limit: Part = (cells, STYLE["fails"] if (limit.share_percent or 0) > 100 else "")
        yield Line((("  ", ""), over_limit, (bar, "")), fixed=True)


def _short(entry: LineReport) -> Iterator[Line]:
    """Why the line does not work, and the first thing to do or to ask."""
    broken, _ = split_findings(entry.findings)
    if not broken:
        return
    yield line(broken[0].because, indent=2, lead=f"{broken[0].rule}: ")
    if entry.verdict == "unproven" and entry.questions:
        yield line(entry.questions[0].ask, indent=2, lead=("ask: ", SOFT))
    elif entry.remedies:
        yield line(entry.remedies[0], indent=2, lead=("do: ", SOFT))


def _details(entry: LineReport, schedule: str) -> Iterator[Line]:
    broken, _ = split_findings(entry.findings)
    yield from caution_lines(entry.cautions, 2)
    for finding in broken:
        yield from finding_lines(finding, schedule, 2)
    yield from listed("What to do", entry.remedies, 2)
    yield from question_lines(entry.questions, 2)


def _chain(report: Report, entry: LineReport, width: int, ascii_only: bool) -> Iterator[Line]:
    yield from line_head(entry)
    yield from limit_rows(entry.limits, width, ascii_only)
    yield from caution_lines(entry.cautions, 2)
    broken, holding = split_findings(entry.findings)
    for finding in [*broken, *holding]:
        yield line()
        yield from finding_chain(finding, report.schedule, 0)
    if entry.questions:
        yield line()
        yield from question_lines(entry.questions, 0)
    yield from foot_lines(report)


def _counts_text(lines: Sequence[LineReport]) -> str:
    counts = [(verdict, sum(entry.verdict == verdict for entry in lines)) for verdict in reversed(VERDICTS)]
    return ", ".join(f"{count} {verdict_word(verdict)}" for verdict, count in counts if count)
