"""Number formats of ECMA-376 part 1, 18.8.31: what a cell shows, with every digit it holds."""

from __future__ import annotations

import pytest

from compat.intake.cells import DATE_FLAW, Flaw, NumberText
from compat.intake.number_format import number_text


@pytest.mark.parametrize(
    ("value", "code", "shown"),
    [
        ("0.2", "0%", "20%"),
        ("0.205", "0.0%", "20.5%"),
        ("60", '0" mA"', "60 mA"),
        ("60", "0\\m\\A", "60 mA"),
        ("12", '#,##0\\ "W"', "12 W"),
        ("5", '0.00 "W/m"', "5 W/m"),
        ("20", '0"%"', "20 %"),
        ("12", '"L"0', "L12"),
        ("7", "000", "007"),
        ("12", "[$€-407] #,##0.00", "€ 12"),
        ("0", '0;-0;"-"', "-"),
        ("5", '"ca. "0', "ca. 5"),
        ("5", 'General" W"', "5 W"),
        ("1.125", '0.000" W"', "1.1250 W"),
    ],
)
def test_words_and_percent_stand_beside_the_figure(value: str, code: str, shown: str) -> None:
    assert number_text(value, code) == shown


@pytest.mark.parametrize(
    ("value", "code", "digits"),
    [
        ("1234.5", "#,##0.00", "1234.5"),
        ("12.345", "0", "12.345"),
        ("0.30000000000000004", "0.0", "0.3"),
        ("3", "0.0E+00", "3"),
        ("12", "_(* #,##0_)", "12"),
        ("5", "[Red]0;-0", "5"),
        ("-5", "0;[Red]-0", "-5"),
        ("6", "General", "6"),
    ],
)
def test_a_plain_format_leaves_a_number(value: str, code: str, digits: str) -> None:
    found = number_text(value, code)
    assert found == digits
    assert isinstance(found, NumberText)


@pytest.mark.parametrize("code", ["dd/mm/yyyy", "h:mm", "[h]:mm", "[$-409]d-mmm-yy;@", "mmm-yy"])
def test_dates(code: str) -> None:
    assert number_text("45292", code) == DATE_FLAW


@pytest.mark.parametrize("code", ['0.0,"k"', "#,##0,", "[<1]0.0;0", "0%%", ";;;"])
def test_what_is_not_understood_is_refused(code: str) -> None:
    found = number_text("0.5", code)
    assert isinstance(found, Flaw)
    assert "is not understood" in found.what
