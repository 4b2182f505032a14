"""The papers of a plan bound together: a workbook ready for print, a PDF for issue, one HTML page."""

from __future__ import annotations

import datetime
import io

from compat.model.plan import Plan
from compat.report.plan_papers import client_summary, papers_of
from compat.report.plan_table import PlanTable
from compat.report.template import template
from compat.report.words import circuits_text, clean

# A workbook says when it was made; the same plan gives the same bytes.
CREATED = datetime.datetime(2000, 1, 1)
LONGEST_SHEET_NAME = 31
MOST_WIDTH, LEAST_WIDTH = 42, 7


def render_plan_xlsx(plan: Plan) -> bytes:
    """A sheet for each paper: heading row repeated, landscape, as wide as a page. No text is a formula."""
    import xlsxwriter  # type: ignore[import-untyped]

    data = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    with xlsxwriter.Workbook(data, options) as book:
        book.set_properties({"title": f"Plan of {clean(plan.schedule)}", "created": CREATED})
        bold = book.add_format({"bold": True, "text_wrap": True, "valign": "top", "bottom": 1})
        cell = book.add_format({"text_wrap": True, "valign": "top", "num_format": "@"})
        number = book.add_format({"valign": "top", "num_format": "0"})
        for paper in (_front(plan), *papers_of(plan).values()):
            sheet = book.add_worksheet(paper.title[:LONGEST_SHEET_NAME])
            sheet.set_landscape()
            sheet.set_paper(9)
            sheet.fit_to_pages(1, 0)
            sheet.repeat_rows(0)
            sheet.set_footer(f"&L{clean(plan.schedule).replace('&', '&&')}&C{paper.title}&RPage &P of &N")
            for column, heading in enumerate(paper.headings):
                texts = [str(row[column]) for row in paper.rows]
                width = max((len(text) for text in (heading, *texts)), default=0) + 1
                sheet.set_column(column, column, min(max(width, LEAST_WIDTH), MOST_WIDTH))
                sheet.write_string(0, column, heading, bold)
                for row, value in enumerate(row[column] for row in paper.rows):
                    if isinstance(value, int):
                        sheet.write_number(row + 1, column, value, number)
                    else:
                        sheet.write_string(row + 1, column, clean(value), cell)
            for below, told in enumerate(paper.summary, len(paper.rows) + 2):
                sheet.write_string(below, 0, clean(told))
            sheet.freeze_panes(1, 1)
    return data.getvalue()


def render_plan_pdf(plan: Plan) -> bytes:
    """The papers for issue. Raises BadInput where the library that sets them is missing."""
    from compat.report.pdf import Entry, Paper, Section, render_paper

    front = _front(plan)
    sections = [
        Section("What it is", "", [Entry("", str(head), [clean(str(text))]) for head, text in front.rows]),
        *(
            Section(
                paper.title,
                clean(" ".join(paper.summary)),
                (),
                _shares(paper),
                [[str(cell) for cell in row] for row in paper.rows],
                new_page=True,
            )
            for paper in papers_of(plan).values()
        ),
        Section("Cautions", "", [Entry("", "", [caution]) for caution in plan.cautions]),
    ]
    told = circuits_text(len(plan.circuits) + len(plan.left_out))
    return render_paper(
        Paper(
            title=clean(plan.schedule),
            subtitle=f"Lighting control plan: {told}; {plan.system_name}",
            stamp=front.stamp,
            foot="Local codes and a licensed electrician decide. The maker's own data comes first.",
            sections=sections,
            landscape=True,
        )
    )


def render_plan_book_html(plan: Plan) -> str:
    """All papers on one page that needs nothing else."""
    papers = [_front(plan), *papers_of(plan).values()]
    return template("papers.html.j2").render(plan=plan, papers=papers)


def _front(plan: Plan) -> PlanTable:
    """What a client reads: which kind, why, what it cannot do, what later changes take."""
    first, *rest = client_summary(plan)
    rows = [("Kind of system", first), *(("", told) for told in rest)]
    rows += [
        ("Circuits", f"{len(plan.circuits)} with a place, {len(plan.left_out)} without"),
        ("Modules", f"{len(plan.modules)}; no fewer than {plan.modules_at_least} are possible"),
        *(("Question", question.ask) for question in plan.questions),
        *(("Caution", caution) for caution in plan.cautions),
    ]
    return PlanTable(
        title="Summary",
        schedule=plan.schedule,
        headings=("What", "Answer"),
        rows=list(rows),
        summary=[],
        left_out=[],
        notes=[],
        stamp=f"compat {plan.program_version}, dataset {plan.dataset.version}",
    )


def _shares(paper: PlanTable) -> list[tuple[str, int]]:
    """Each heading with its share of the width of a page, by what its column holds."""
    shares = []
    for column, heading in enumerate(paper.headings):
        texts = [str(row[column]) for row in paper.rows]
        longest = max((len(text) for text in texts), default=0)
        shares.append((heading, max(3, min(14, longest // 3, 14), len(max(heading.split(), key=len)) // 2)))
    return shares
