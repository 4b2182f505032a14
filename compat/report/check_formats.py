"""A check as CSV, Markdown, lines of JSON, SARIF, JUnit XML or workflow annotations."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator

from compat.model.report import Finding, Report
from compat.report.actions import Action, actions_of
from compat.report.answer import about_text, count_text, question_text
from compat.report.changes_markdown import plain
from compat.report.check_rows import HEADINGS, Row, check_rows
from compat.report.machine_formats import Level, Note, TestCase, annotations_text, junit_text, sarif_text
from compat.report.plan_formats import csv_cell
from compat.report.states import IN_DOUBT, TO_CHANGE, counts_text
from compat.report.words import circuits_text, place_text, stamp_text

SUITE = "compat check"
LEVEL: dict[str, Level] = {
    "hazard": "error", "fails": "error", "unproven": "warning", "marginal": "warning", "works": "note",
}  # fmt: skip


def render_csv(report: Report) -> str:
    """The rows, header first; a text that a spreadsheet would run is marked by an apostrophe."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(HEADINGS)
    writer.writerows([csv_cell(cell) for cell in row.cells()] for row in check_rows(report))
    return out.getvalue()


def render_jsonl(report: Report) -> str:
    """One JSON object a line: the rows, each with where it was written and its findings that do not hold."""
    findings = {("circuit", entry.circuit): entry.findings for entry in report.circuits}
    findings |= {("line", entry.line): entry.findings for entry in report.lines}
    return "".join(
        json.dumps(_object(row, findings[row.kind, row.subject], report), ensure_ascii=False) + "\n"
        for row in check_rows(report)
    )


def _object(row: Row, findings: list[Finding], report: Report) -> dict[str, object]:
    told: dict[str, object] = dict(zip(HEADINGS, row.cells(), strict=True))
    told["place"] = place_text(row.place, "")
    told["findings"] = [
        {
            "rule": one.rule,
            "verdict": one.verdict,
            "because": one.because,
            "margin_percent": one.margin_percent,
        }
        for one in findings
        if one.verdict != "works"
    ]
    told["dataset"] = report.dataset.version
    return told


def render_markdown(report: Report) -> str:
    """The answer with headings from the first level down, and a table of all circuits and lines."""
    return "\n".join(_markdown(report)) + "\n"


def _markdown(report: Report) -> Iterator[str]:
    yield f"# {plain(report.schedule)}: {circuits_text(len(report.circuits))}"
    yield ""
    yield ", ".join(f"{count} {state}" for state, count in counts_text(report)) or "No circuit."
    for heading, states in (("Change before you buy", TO_CHANGE), ("Look at these", IN_DOUBT)):
        found = actions_of(report, states)
        if found:
            yield from ("", f"## {heading}", "", *(_item(action) for action in found))
    if report.enquiries:
        yield from ("", "## Ask", "")
    for number, entry in enumerate(report.enquiries, 1):
        asked = "; ".join(map(question_text, entry.questions))
        waiting = count_text(len(entry.circuits), "circuit")
        yield f"{number}. **{plain(about_text(entry))}** ({waiting}): {plain(asked)}?"
    yield from ("", "## Circuits and lines", "", "| subject | room | verdict | expected | why |")
    yield "| --- | --- | --- | --- | --- |"
    for row in check_rows(report):
        cells = (row.subject, row.room, row.verdict, row.expected, row.why)
        yield f"| {' | '.join(map(plain, cells))} |"
    yield from ("", f"Caution: {plain(report.caution)}", "", plain(stamp_text(report)))


def _item(action: Action) -> str:
    cautions = (f"Caution: {caution}" for caution in action.cautions)
    said = " ".join(filter(None, (action.reason, action.change, *cautions)))
    return f"- **{action.state}** {plain('; '.join(action.names))}: {plain(said)}"


def render_sarif(report: Report) -> str:
    """A result for each circuit and line that does not work, by the rule that decided."""
    notes = [note for row in check_rows(report) if (note := _note(row, report))]
    found = [finding for circuit in report.circuits for finding in circuit.findings]
    found += [finding for line in report.lines for finding in line.findings]
    titles = {finding.rule: finding.title for finding in found}
    rules = []
    for name in sorted({note.rule for note in notes}):
        title = titles.get(name, "No output is on offer for the circuit.")
        rules.append({"id": name, "shortDescription": {"text": title}})
    return sarif_text(report.program_version, rules, notes)


def render_junit(report: Report) -> str:
    """A case for each circuit and line: failed where it fails, skipped where it is not proven."""
    cases = []
    for row in check_rows(report):
        note = _note(row, report)
        name = f"{row.subject} {row.room}".strip()
        cases.append(TestCase(row.kind, name, note, row.verdict in ("unproven", "marginal")))
    return junit_text(SUITE, cases)


def render_annotations(report: Report) -> str:
    """A line for each circuit and line that does not work."""
    notes = [note for row in check_rows(report) if (note := _note(row, report))]
    said = f"all works: {circuits_text(len(report.circuits))}"
    return annotations_text(notes, Note(SUITE, "", None, said, level="note"))


def _note(row: Row, report: Report) -> Note | None:
    """What machines are told of a row; nothing where it works."""
    if row.verdict == "works":
        return None
    expected = f", expected: {row.expected}" if row.expected else ""
    place = place_text(row.place, report.schedule) if row.place else ""
    at = f" [{place}]" if place else ""
    said = " ".join(filter(None, (row.why, row.change)))
    name = f"{row.kind} {row.subject} {row.room}".strip()
    return Note(
        rule=row.rule or "no-rule",
        path=report.schedule,
        line=row.place.line if row.place else None,
        sentence=f"{name}: {row.verdict}{expected}. {said}{at}",
        what=row.why or row.verdict,
        level=LEVEL[row.verdict],
    )
