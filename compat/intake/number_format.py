"""What a spreadsheet shows for a number: percentages scaled, words of the format put beside the figure.

The grammar of number formats is that of ECMA-376 part 1, 18.8.31. A format that says more than is
understood here makes the cell unreadable, since its figure would be taken for another one.
"""

from __future__ import annotations

import functools
import re
from decimal import Decimal
from typing import NamedTuple

from compat.intake.cells import DATE_FLAW, Flaw, NumberText, shown

# The formats that a workbook names by number alone, ECMA-376 part 1, 18.8.30.
BUILT_IN: dict[int, str] = {
    0: "General", 1: "0", 2: "0.00", 3: "#,##0", 4: "#,##0.00", 9: "0%", 10: "0.00%", 11: "0.00E+00",
    12: "# ?/?", 13: "# ??/??", 14: "mm-dd-yy", 15: "d-mmm-yy", 16: "d-mmm", 17: "mmm-yy",
    18: "h:mm AM/PM", 19: "h:mm:ss AM/PM", 20: "h:mm", 21: "h:mm:ss", 22: "m/d/yy h:mm",
    37: "#,##0", 38: "#,##0", 39: "#,##0.00", 40: "#,##0.00", 41: "#,##0", 42: "#,##0", 43: "#,##0.00",
    44: "#,##0.00", 45: "mm:ss", 46: "[h]:mm:ss", 47: "mmss.0", 48: "##0.0E+0", 49: "@",
}  # fmt: skip
_GENERAL = ("general", "standard", "@", "")
# Quoted or escaped text, a fill or a space as wide as a letter, a bracket, or one character.
_TOKEN = re.compile(
    r'"(?P<quoted>[^"]*)"|\\(?P<escaped>.)|[_*].|\[\$(?P<currency>[^\-\]]*)(?:-[^\]]*)?\]'
    r"|\[(?P<bracket>[^\]]*)\]|(?P<figure>[0#?](?:[0#?,. ]*[0#?])?(?:[eE][+-]0+)?)"
    r"|(?P<general>[Gg]eneral|[Ss]tandard)|(?P<one>.)",
    re.DOTALL,
)
_DATE_LETTERS = frozenset("ymdhsYMDHSjJaAtT")


class Shape(NamedTuple):
    """One section of a format: words before and after, percent signs, least digits; or why not."""

    before: str = ""
    after: str = ""
    percent: int = 0
    digits: int = 0
    is_date: bool = False
    words_only: bool = False
    refused: bool = False


def number_text(value: str, code: str) -> str | Flaw:
    """The text of a stored number as its format shows it, with all its digits.

    ``20%`` for 0.2 under ``0%``, ``60 mA`` for 60 under ``0" mA"``, ``007`` for 7 under ``000``.
    A flaw for a date, and for a format that is not understood.
    """
    if code.casefold() in _GENERAL:
        return NumberText(_plain(value))
    try:
        number = Decimal(value)
    except ArithmeticError:
        return NumberText(value)
    shape = _shape(_section(code, number))
    if shape.is_date:
        return DATE_FLAW
    if shape.words_only:
        return shape.before.strip()
    if shape.refused or not number.is_finite():
        do = "Format the cell as a plain number, with the unit in the heading"
        return Flaw(f"the number format {shown(code)} of the cell is not understood", do)
    text = _plain(str(number.scaleb(2 * shape.percent))) if shape.percent else _plain(value)
    if shape.digits > 1 and re.fullmatch("[0-9]+", text):
        text = text.zfill(shape.digits)
    before, after = shape.before.strip(), shape.after.strip()
    # A letter glued to the figure, as in the format "L"0, belongs to it.
    glue = "" if shape.before == shape.before.rstrip() else " "
    sign = "%" * shape.percent
    if not (before or after or sign):
        return text if text != _plain(value) else NumberText(text)
    if re.fullmatch(r"-?[1-9][0-9]{0,2}\.[0-9]{3}", text):
        # With three decimals it would be a thousand in a file of decimal commas.
        text += "0"
    return f"{before}{glue}{text}{sign}{' ' if after else ''}{after}"


def _plain(value: str) -> str:
    """Without the noise of binary fractions and without an exponent, when both can be."""
    if re.fullmatch("[+-]?[0-9]{1,15}", value):
        return value
    try:
        number = float(value)
    except ValueError:
        return value
    if number.is_integer() and abs(number) < 1e15:
        return str(int(number))
    return repr(round(number, 12)) if len(value) > 15 and 1e-6 < abs(number) < 1e9 else repr(number)


def _section(code: str, number: Decimal) -> str:
    """The part of a format that holds for a number: positive; negative; zero; text."""
    sections = _sections(code)
    if number < 0 and len(sections) > 1:
        return sections[1]
    if number == 0 and len(sections) > 2:
        return sections[2]
    return sections[0]


@functools.lru_cache(maxsize=1024)
def _sections(code: str) -> tuple[str, ...]:
    parts, quoted, start = [], False, 0
    for place, character in enumerate(code):
        if character == '"' and code[place - 1 : place] != "\\":
            quoted = not quoted
        elif character == ";" and not quoted:
            parts.append(code[start:place])
            start = place + 1
    return (*parts, code[start:])


@functools.lru_cache(maxsize=1024)
def _shape(section: str) -> Shape:
    before, after, percent, figure = "", "", 0, ""
    refused = is_date = False
    for found in _TOKEN.finditer(section):
        kind, text = found.lastgroup, found[found.lastgroup] if found.lastgroup else ""
        if kind in ("figure", "general"):
            # A comma after the last digit scales by a thousand; it stands as a token of its own.
            refused = refused or bool(figure)
            figure = text
        elif kind == "bracket":
            elapsed = re.fullmatch("[hms]+", text, re.IGNORECASE) is not None
            is_date = is_date or elapsed
            refused = refused or bool(re.match("[<>=]", text))
        elif kind == "one" and text == "%":
            percent += 1
        elif kind == "one" and text in _DATE_LETTERS:
            is_date = True
        elif kind == "one" and text not in " -+()/:$€£@~^&'{}":
            refused = True
        elif kind in ("quoted", "escaped", "currency") or (kind == "one" and text not in "()/@-+"):
            before, after = (before, after + text) if figure else (before + text, after)
    digits = len(re.match("[0#?]*", figure)[0].lstrip("#?")) if figure.isascii() else 0  # type: ignore[index]
    if is_date and not figure.strip("0.#?"):
        return Shape(is_date=True)
    if not figure:
        return Shape(before, words_only=bool(before.strip()), refused="@" not in section)
    refused = refused or percent > 1 or is_date
    digits = digits if re.fullmatch("0+", figure) else 0
    return Shape(before, after, percent, digits, refused=refused)
