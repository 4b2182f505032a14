"""The papers of a plan: made from the record, the same in every format, read back by another library."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest

import compat
from compat.model.faults import BadInput
from compat.report.plan_papers import OF_SOMEBODY, client_summary, directory_faults, papers_of

HOUSE = Path("datasets/demo/house.xlsx")


@pytest.fixture(scope="module")
def result() -> compat.PlanResult:
    return compat.plan(HOUSE)


def test_every_circuit_is_on_the_circuit_chart_once(result: compat.PlanResult) -> None:
    named = [row[0] for row in papers_of(result.plan)["circuits"].rows]
    left_out = [one.circuit for one in result.plan.left_out]
    assert len(named) == len(set(named))
    assert sorted([*map(str, named), *left_out]) == sorted(
        one.circuit for one in compat.check(HOUSE).report.circuits
    )


def test_every_output_of_every_module_is_in_the_directory(result: compat.PlanResult) -> None:
    rows = papers_of(result.plan)["directory"].rows
    assert len(rows) == sum(module.outputs for module in result.plan.modules)
    assert any(row[3] == "Spare" for row in rows)
    assert all(row[3] for row in rows)


def test_purposes_that_are_alike_or_of_somebody_are_told(result: compat.PlanResult) -> None:
    """NEC 408.4(A), as remembered: told apart from all others, nothing that depends on the occupant."""
    first, second, *_ = [one for one in result.plan.circuits if not one.line]
    alike = replace(second, room=first.room, luminaires=first.luminaires, panel=first.panel)
    of_tom = replace(first, circuit="Z9", room="Tom's room")
    told = directory_faults(replace(result.plan, circuits=[first, alike, of_tom]))
    assert told[0] == f"Not told apart: {first.circuit}, {alike.circuit}; name what differs."
    assert told[1] == "Named after somebody: Z9; name the room."
    assert not OF_SOMEBODY.search("Main bedroom")


def test_addresses_of_the_papers_are_those_of_the_plan(result: compat.PlanResult) -> None:
    rows = papers_of(result.plan)["dali"].rows
    assert [(row[0], row[1]) for row in rows] == [(one.line, one.short_address) for one in result.plan.dali]
    assert len({(row[0], row[1]) for row in rows}) == len(rows)


def test_the_workbook_is_the_same_twice_and_reads_back(result: compat.PlanResult) -> None:
    data = result.to_xlsx()
    assert data == result.to_xlsx()
    book = openpyxl.load_workbook(io.BytesIO(data))
    papers = papers_of(result.plan)
    assert book.sheetnames == ["Summary", *(paper.title for paper in papers.values())]
    sheet = book["Circuit chart"]
    assert [cell.value for cell in sheet[1]] == list(papers["circuits"].headings)
    assert [cell.value or "" for cell in sheet[2]] == list(papers["circuits"].rows[0])
    assert not [c for s in book for row in s.iter_rows() for c in row if c.data_type == "f"]
    assert sheet.print_title_rows == "$1:$1"
    assert sheet.page_setup.orientation == "landscape"


def test_pdf_and_page_hold_every_paper(result: compat.PlanResult) -> None:
    made = result.to_pdf()
    assert made == result.to_pdf()
    assert made.startswith(b"%PDF-")
    page = result.to_html()
    for paper in papers_of(result.plan).values():
        assert f">{paper.title}</h2>" in page
    assert "://" not in page.replace("http://www.w3.org", "")


def test_the_diagram_names_every_circuit_once_in_svg_and_dxf(result: compat.PlanResult) -> None:
    from xml.etree import ElementTree

    import ezdxf

    texts = [
        node.text or ""
        for node in ElementTree.fromstring(result.to_svg()).iter("{http://www.w3.org/2000/svg}text")
    ]
    drawn = result.to_dxf()
    assert drawn == result.to_dxf()
    of_dxf = [text.dxf.text for text in ezdxf.read(io.StringIO(drawn)).modelspace().query("TEXT")]
    assert of_dxf == texts
    for one in result.plan.circuits:
        assert sum(text.startswith(f"{one.circuit} ") for text in texts) == 1


def test_the_client_reads_which_kind_and_what_is_open(result: compat.PlanResult) -> None:
    told = client_summary(result.plan)
    assert told[0].startswith(result.plan.system_name)
    assert any(one.circuit in told[-1] for one in result.plan.left_out)


def test_a_paper_that_is_not_there_is_told(result: compat.PlanResult) -> None:
    assert result.paper("cables").headings[:2] == ("Cable", "From")
    with pytest.raises(BadInput) as raised:
        result.paper("drawings")
    assert "cables" in raised.value.faults[0].allowed
