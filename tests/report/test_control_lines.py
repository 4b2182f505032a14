"""The section on control lines: limits as bars, why, what to do; text and HTML."""

from __future__ import annotations

import re

import pytest

from compat.model.report import LineLimit, LineReport, Report
from compat.model.verdicts import Verdict
from compat.report.html import render_html
from compat.report.line_bar import allowed_text, shape_of_limit, share_text
from compat.report.line_blocks import limit_bar_text, render_line_text
from compat.report.text import render_text
from tests.report.parts import INRUSH, NOT_DIMMABLE, QUESTION, amount
from tests.report.sample import sample_report

REPORT = sample_report()


def limit(
    low: float | None,
    high: float | None,
    end: float | None,
    relation: str = "at_most",
    label: str = "addresses",
) -> LineLimit:
    used, allowed = amount(low, high, "count"), amount(end, end, "count")
    ends = (high, end) if relation == "at_most" else (end, low)
    share = 100 * ends[0] / ends[1] if ends[0] is not None and ends[1] else None
    return LineLimit(
        label=label,
        rule="R0950",
        relation="at_most" if relation == "at_most" else "at_least",
        used=used,
        limit=allowed,
        share_percent=share,
    )


def line_report(verdict: Verdict = "hazard", name: str = "L1", **changes: object) -> LineReport:
    broken = [NOT_DIMMABLE, INRUSH] if verdict == "hazard" else []
    made = LineReport(
        line=name,
        kind="DALI line",
        circuits=["C1", "C2"],
        proposed=False,
        verdict=verdict,
        findings=broken,
        limits=[limit(70, 70, 64), limit(8, 16, 20, label="current"), limit(None, None, 32, label="loads")],
        remedies=["Split the line."] if broken else [],
        questions=[QUESTION] if broken else [],
        cautions=[NOT_DIMMABLE.caution] if broken else [],
    )
    return made.model_copy(update=changes)


def report(*lines: LineReport) -> Report:
    return REPORT.model_copy(update={"lines": list(lines)})


def test_without_lines_there_is_no_section() -> None:
    assert "Control lines" not in render_text(REPORT, 100, False, False)
    assert 'id="lines"' not in render_html(REPORT)


@pytest.mark.parametrize("ascii_only", [False, True])
@pytest.mark.parametrize("width", [40, 60, 80, 100, 160])
def test_text_keeps_within_its_width(width: int, ascii_only: bool) -> None:
    made = report(line_report(), line_report("works", "L2"))
    for details in (False, True):
        text = render_text(made, width, False, details, ascii_only)
        assert max(map(len, text.splitlines())) <= width
    section = render_text(made, width, False, True, ascii_only).split("Control lines")[1]
    assert "L1" in section
    assert "109 %" in section


def test_worst_line_comes_first_and_says_why() -> None:
    text = render_text(report(line_report("works", "L2"), line_report()), 100, False, True)
    section = text.split("Control lines", 1)[1]
    assert section.index("HAZARD  L1") < section.index("works  L2")
    assert ": 1 HAZARD, 1 works" in section
    assert f"{NOT_DIMMABLE.rule} " in section
    assert "Split the line." in section


def test_a_line_that_fails_stands_in_the_headline_and_among_the_changes() -> None:
    text = render_text(report(line_report("works", "L2"), line_report()), 200, False, False)
    assert text.splitlines()[0].endswith("11 circuits, 2 control lines")
    assert text.splitlines()[2] == "lines: 1 HAZARD, 1 works"
    change = text.split("Change before you buy")[1].split("Look at these")[0]
    # A circuit has the same reason; the two are told together, and the circuit says what to change.
    assert f"line L1: {NOT_DIMMABLE.because} " in " ".join(change.split())
    assert " ".join(change.split()).count(NOT_DIMMABLE.caution) == 1


def test_rows_show_used_allowed_share_and_bar() -> None:
    section = render_text(report(line_report()), 100, False, True, True).split("Control lines", 1)[1]
    rows = [row for row in section.splitlines() if "at most" in row and "%" in row]
    assert re.search(r"addresses\s+70\s+at most 64\s+109 %\s+#+\|#+$", rows[0])
    assert re.search(r"current\s+8 to 16\s+at most 20\s+80 %", rows[1])
    assert "not known" in section


def test_a_proposed_line_says_so() -> None:
    assert "circuits (proposed): C1, C2" in render_text(report(line_report(proposed=True)), 100, False, True)
    assert "2 circuits, proposed" in render_html(report(line_report(proposed=True)))


@pytest.mark.parametrize(
    ("made", "drawn"),
    [
        (limit(0, 0, 100), "---------------|"),
        (limit(0.1, 0.1, 100), "#--------------|"),
        (limit(10, 50, 100), "########-------|"),
        (limit(99.9, 99.9, 100), "##############-|"),
        (limit(100, 100, 100), "###############|"),
        (limit(100.1, 100.1, 100), "##############|#"),
        (limit(200, 200, 100), "#######|########"),
        (limit(1e6, 1e6, 1), "|###############"),
        (limit(44, 44, 40, "at_least"), "#############|##"),
        (limit(40, 40, 40, "at_least"), "###############|"),
        (limit(30, 90, 40, "at_least"), "############---|"),
    ],
)
def test_bars_never_contradict_the_numbers(made: LineLimit, drawn: str) -> None:
    """Past the mark, or short of it, exactly where the figures are."""
    assert limit_bar_text(made, 16, ascii_only=True) == drawn
    shape = shape_of_limit(made)
    assert shape is not None
    assert shape.load is not None
    low, high = shape.window
    assert made.share_percent is not None
    assert (shape.load[1] > high or shape.load[0] < low) == (made.share_percent > 100)


def test_unknown_has_no_bar() -> None:
    assert shape_of_limit(limit(None, None, 64)) is None
    assert shape_of_limit(limit(1, 1, None)) is None
    assert limit_bar_text(limit(None, None, 64), 16) == ""
    assert share_text(limit(None, None, 64)) == "not known"
    assert allowed_text(limit(1, 1, None)) == "not known"


@pytest.mark.parametrize(
    ("used", "text"), [(64, "100 %"), (64.1, "100.156 %"), (63.9, "99.8438 %"), (32, "50 %"), (70, "109 %")]
)
def test_a_share_is_never_rounded_onto_the_limit(used: float, text: str) -> None:
    assert share_text(limit(used, used, 64)) == text


def test_explain_tells_every_finding_of_the_line() -> None:
    made = report(line_report())
    text = render_line_text(made, made.lines[0], 80, False)
    assert text.startswith("HAZARD  L1  DALI line\n  circuits: C1, C2\n")
    for finding in made.lines[0].findings:
        assert finding.slug in text
    assert "What to ask" in text
    assert made.caution[:30] in text


def test_page_shows_lines_escaped_with_bars_and_links() -> None:
    first = REPORT.circuits[0].circuit
    page = render_html(report(line_report(line="<L&1>", circuits=[first])))
    assert "&lt;L&amp;1&gt;" in page
    assert "<L&1>" not in page
    section = page.split('id="lines"')[1].split('id="circuits"')[0]
    assert section.count('<span class="bar"><svg role="img"') == 2
    assert re.search(rf'<a href="#c1">{re.escape(first)}</a>', section)
    assert 'style="' not in section
