"""Papers for issue as PDF: cover, sections, page numbers; the same bytes for the same report.

The page is set by typst from ``templates/sheet.typ``; what stands on it goes in as data, so that no name
from a schedule is ever read as markup.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from importlib.resources import files
from typing import Any

from compat.model.faults import BadInput, Fault
from compat.model.report import Finding, Report
from compat.model.values import Origin
from compat.report.actions import actions_of, name_of, short_name
from compat.report.answer import CHANGED, about_text, count_text
from compat.report.check_rows import circuit_row
from compat.report.states import FINE, IN_DOUBT, TO_CHANGE, State, counts_text, line_state, state_of
from compat.report.words import circuits_text, clean, stamp_text


@dataclass(frozen=True, slots=True)
class Entry:
    """A paragraph of a section: its state or nothing, what it is about, lines of text, a caution."""

    state: str
    head: str
    lines: Sequence[str]
    caution: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """A heading with entries below it, or with a table of ``columns`` (heading, share of the width)."""

    heading: str
    note: str = ""
    entries: Sequence[Entry] = ()
    columns: Sequence[tuple[str, int]] = ()
    rows: Sequence[Sequence[str]] = ()
    new_page: bool = False


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper for issue. ``counts`` stand on its first page, ``foot`` on every page."""

    title: str
    subtitle: str
    stamp: str
    foot: str
    sections: Sequence[Section]
    intro: Sequence[str] = ()
    counts: Sequence[tuple[str, int]] = ()
    landscape: bool = False


def render_paper(paper: Paper) -> bytes:
    """The paper as PDF. Raises BadInput where the library that sets it is missing."""
    typst = _library()
    data = {
        **asdict(paper),
        "counts": [{"state": state, "count": count} for state, count in paper.counts],
        "sections": [
            {
                "heading": one.heading,
                "note": one.note,
                "break": one.new_page,
                "entries": [asdict(entry) for entry in one.entries],
                "columns": [{"heading": heading, "width": width} for heading, width in one.columns],
                "rows": [[clean(cell) for cell in row] for row in one.rows],
            }
            for one in paper.sections
        ],
    }
    source = (files("compat.report") / "templates" / "sheet.typ").read_bytes()
    made: bytes = typst.compile(
        source,
        sys_inputs={"data": json.dumps(data, ensure_ascii=False)},
        ignore_system_fonts=True,
        timestamp=0,
    )
    return made


def render_pdf(report: Report) -> bytes:
    """A check for issue: what to change, what to ask, every circuit and line, cautions."""
    return render_paper(
        Paper(
            title=report.schedule,
            subtitle=f"Lighting control check: {circuits_text(len(report.circuits))}"
            + (f", {count_text(len(report.lines), 'control line')}" if report.lines else ""),
            stamp=stamp_text(report),
            foot="Local codes and a licensed electrician decide. The maker's own data comes first.",
            counts=counts_text(report),
            sections=[section for section in _sections(report) if section.entries or section.rows],
        )
    )


def _sections(report: Report) -> list[Section]:
    circuits = [
        (
            circuit.circuit,
            circuit.room,
            row.luminaires,
            f"{short_name(circuit.output.name)} ({circuit.output.output})" if circuit.output else "",
            state_of(circuit),
            "" if circuit.verdict == "works" else row.why,
        )
        for circuit in report.circuits
        for row in (circuit_row(circuit),)
    ]
    lines = [
        (f"line {one.line}", "", ", ".join(one.circuits), "", line_state(one), _first(one.findings))
        for one in report.lines
    ]
    return [
        Section(
            "Change before you buy",
            CHANGED.removeprefix(": ").capitalize() + ".",
            _actions(report, TO_CHANGE),
        ),
        Section("Look at these", "", _actions(report, IN_DOUBT)),
        Section("Ask", "", _enquiries(report)),
        Section(
            "Buy",
            "",
            (),
            (("output", 4), ("circuits", 0), ("which", 6)),
            [
                (f"{short_name(one.name)} ({one.output})", str(len(one.circuits)), ", ".join(one.circuits))
                for one in report.kinds
            ],
        ),
        Section(
            "Every circuit and line",
            "",
            (),
            (("circuit", 0), ("room", 3), ("luminaires", 4), ("output", 6), ("state", 0), ("why", 6)),
            [*circuits, *lines],
        ),
        Section("Taken as so", "", [Entry("", "", [clean(note)]) for note in report.notes]),
        Section("Cautions", "", [Entry("", "", [one]) for one in _cautions(report)]),
    ]


def _actions(report: Report, states: Sequence[State]) -> list[Entry]:
    return [
        Entry(
            one.state,
            clean("; ".join(one.names)),
            [clean(line) for line in (one.reason, one.change) if line],
            " ".join(one.cautions),
        )
        for one in actions_of(report, states)
    ]


def _enquiries(report: Report) -> list[Entry]:
    return [
        Entry(
            "",
            clean(f"{about_text(entry)} ({', '.join(entry.circuits)})"),
            [clean(question.ask) for question in entry.questions],
        )
        for entry in report.enquiries
    ]


def _cautions(report: Report) -> list[str]:
    told = [
        f"{clean(name_of(one))}: {caution}"
        for one in report.circuits
        if state_of(one) not in FINE
        for caution in one.cautions
    ]
    return [*told, report.caution]


def _first(findings: Sequence[Finding]) -> str:
    return next((one.because for one in findings if one.verdict != "works"), "")


def _library() -> Any:
    try:
        import typst
    except ImportError as error:
        do = "Install it: pip install 'lighting-control-compat[pdf]'"
        what = "the format pdf needs the library typst, which is not installed"
        raise BadInput([Fault(what, Origin("--format"), do=do)]) from error
    return typst
