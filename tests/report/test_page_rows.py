"""Rows made without the library for styled text against the rows that it makes."""

from __future__ import annotations

from io import StringIO

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.console import Console

from compat.report.cells import fit, is_narrow, size_of
from compat.report.lines import Line
from compat.report.lookup_text import _lines
from compat.report.page import LEAST_WIDTH, TIE, _wrapped, plain_rows, render_lines
from tests.report.lookup_sample import sample_lookup

WORDS = st.text("abcXYZ .,;-–µ°²×≤Ωé/()0123456789 ", min_size=0, max_size=300)


def by_library(paragraph: Line, width: int) -> list[str]:
    console = Console(file=StringIO(), width=width, color_system=None, _environ={})
    return [text.plain for text in _wrapped(paragraph, width, console)]


@given(WORDS, st.text("ab1. ", max_size=30), st.integers(0, 8), st.integers(LEAST_WIDTH, 140))
def test_plain_rows_are_those_of_the_library(body: str, lead: str, indent: int, width: int) -> None:
    for fixed in (False, True):
        paragraph = Line(((body[:40], "bold"), (body[40:], "")), indent, ((lead, "dim"),), fixed)
        rows = plain_rows(paragraph, width)
        if rows is not None:
            assert rows == by_library(paragraph, width)


def test_an_empty_line_needs_no_library() -> None:
    assert plain_rows(Line(), 60) == by_library(Line(), 60) == [""]


def test_a_look_up_needs_no_library() -> None:
    paragraphs = list(_lines(sample_lookup(), 100, ascii_only=False))
    assert len(paragraphs) > 20
    left = [paragraph for paragraph in paragraphs if plain_rows(paragraph, 100) is None]
    # Only the sample's one name in odd characters is left to the library.
    assert ["O0905" in "".join(text for text, _ in paragraph.parts) for paragraph in left] == [True]


def test_ordinary_lines_need_no_library() -> None:
    paragraph = Line((("The circuit draws 243 to 310.5 W; the output may give 300 W " * 4, ""),), 2)
    rows = plain_rows(paragraph, 60)
    assert rows is not None
    assert len(rows) > 3
    assert rows == by_library(paragraph, 60)
    assert render_lines([paragraph], 60, colour=False) == "".join(f"{row}\n" for row in rows).replace(
        TIE, " "
    )


@pytest.mark.parametrize("text", ["灯", "e\u0301", "😀", "\u200b", "\u00ad", "a\u00a0b", "a\u2009b"])
def test_what_may_not_be_one_cell_wide_is_left_to_the_library(text: str) -> None:
    assert not is_narrow(text)
    assert plain_rows(Line(((text, ""),)), 60) is None


def test_every_narrow_character_takes_one_cell() -> None:
    narrow = [chr(code) for code in range(0x2FFFF) if is_narrow(chr(code))]
    assert len(narrow) > 1000
    assert [character for character in narrow if cell_len(character) != 1] == []


@given(st.text("ab é灯", max_size=20), st.integers(2, 30))
def test_a_fitted_text_has_the_size_asked_for(text: str, size: int) -> None:
    assert cell_len(fit(text, size, "…")) == size
    assert size_of(text) == cell_len(text)
