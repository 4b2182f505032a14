"""The patterns of figures as people write them, and what a text says of its own figures."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Literal

from compat.intake.alias_tables import SIGNS
from compat.intake.cells import NumberText

DecimalMark = Literal[".", ","]
# Atomic groups: '1e-5 A' is one figure and never the range '1 e' to '5 A'. Digits may be in groups of three
# parted by a space (ISO 80000-1) or an apostrophe, which are never decimal marks.
_DIGITS = r"(?:[0-9]{1,3}(?:[ '’][0-9]{3})+(?![0-9])|[0-9]{1,20})"
_FIGURE = (
    r"(?>[+-]?(?:[0-9]{1,3}(?:\.[0-9]{3})+,[0-9]{1,20}|[0-9]{1,3}(?:,[0-9]{3})+\.[0-9]{1,20}"
    r"|[0-9]{1,3}(?:\.[0-9]{3}){2,}(?![0-9])|[0-9]{1,3}(?:,[0-9]{3}){2,}(?![0-9])"
    rf"|{_DIGITS}(?:[.,][0-9]{{1,20}})?|[.,][0-9]{{1,20}})(?:[eE][+-]?[0-9]{{1,3}})?)"
)
_UNIT = r"[A-Za-zµΩ%°][^\W_]*(?:\.[a-z]\.)?(?: ?(?:ac|AC|dc|DC|~|=))?"
_METRES = r"m|mm|cm|metres?|meters?"
ONE = re.compile(rf"({_FIGURE})(?: ?({_UNIT}))?")
RANGE = re.compile(
    rf"({_FIGURE})(?: ?({_UNIT}))??(?: ?(-|\.\.\.?|…|/|÷) ?| (?:to|bis|à|a|tot|til|till) | ?to ?)"
    rf"({_FIGURE})(?: ?({_UNIT}))?"
)
_MOST = (
    r"max\.?|maximum|maximal|maximaal|massimo|maks\.?|máx\.?|up to|at most|bis zu|bis|jusqu'à|hasta|tot"
    r"|fino a|upp till|op til|opp til"
)
_LEAST = r"min\.?|minimum|at least|mindestens|mind\.?|au moins|al menos|minstens|almeno|minst|mindst|ab"
_ROUGHLY = (
    r"~|≈|ca\.?|circa|c\.|approx\.?|approximately|about|around|env\.?|environ|aprox\.?|ungefähr|etwa|ong\.?"
    r"|ongeveer|cirka"
)
AT_MOST = re.compile(rf"(?:(?:≤|<=|<) ?|(?:{_MOST}) ?)(.+)|(.+?) ?(?:{_MOST})", re.IGNORECASE)
AT_LEAST = re.compile(rf"(?:(?:≥|>=|>) ?|(?:{_LEAST}) ?)(.+)|(.+?) ?(?:{_LEAST})", re.IGNORECASE)
ABOUT = re.compile(rf"(?:{_ROUGHLY}) ?(.+)", re.IGNORECASE)
TIMES = re.compile(
    r"([0-9]{1,4}) ?(?:(?:no\.?|off|stk\.?|st\.?|pcs\.?) ?)?(?:x|×|\*|à|@) ?(.+)", re.IGNORECASE
)
PER_METRE = re.compile(
    rf"(?:[0-9.,]+ ?V(?: ?(?:DC|AC|=))?,? )?({_FIGURE}) ?W ?(?:/ ?(?:lfm|m|metre|meter)|per met(?:re|er))"
    rf"(?:[ ,;x×*@]+({_FIGURE}) ?({_METRES}))?",
    re.IGNORECASE,
)
LENGTH_FIRST = re.compile(rf"({_FIGURE}) ?({_METRES})[ ,;x×*@à]+({_FIGURE}) ?W ?/ ?m", re.IGNORECASE)
# One mark before exactly three digits may part thousands or decimals; not after a lone zero.
IN_DOUBT = re.compile(r"[+-]?[1-9][0-9]{0,2}[.,][0-9]{3}")
# A mark before one, two, four or more digits, after a lone zero, after four digits or after parted thousands.
_DECIMALS = r"(?:[0-9]{1,2}|[0-9]{4,})"
_SURELY_DECIMAL = re.compile(
    rf"(?<![0-9.,'’])(?:[0-9]+([.,]){_DECIMALS}|0([.,])[0-9]+|[0-9]{{4,}}([.,])[0-9]+"
    rf"|[0-9]{{1,3}}(?:[.,' ’][0-9]{{3}})+([.,]){_DECIMALS})(?![0-9.,'’])"
)
_MANY_GROUPS = re.compile(r"(?<![0-9.,])[0-9]{1,3}(?:([.,])[0-9]{3})(?:\1[0-9]{3})+(?![0-9])")
_PAIR = re.compile(r"([^/@]+?) ?[/@] ?([^/@]+)")
# '20 A (200 µs)', '20 A, 200 us', '20 A 0.2 ms': the second part carries a unit of time.
_PAIR_BY_TIME = re.compile(
    r"([^/@(]*?[0-9] ?[A-Za-z]+) ?(?:[,;(]| for | t ?=| ) ?([0-9][0-9.,]* ?(?:µs|us|ms|usec|msec))\)?"
)


def normal(text: str) -> str:
    """A text with one kind of dash and single spaces."""
    return " ".join(text.translate(SIGNS).split())


def decimal_mark(texts: Iterable[str]) -> DecimalMark | None:
    """The mark before the decimals in some texts, such as the cells of a column of figures.

    None when no text settles it, or when two contradict each other. Cells that the file holds as numbers say
    nothing, since no mark of theirs was written.
    """
    marks: set[str] = set()
    for text in texts:
        if isinstance(text, NumberText):
            continue
        for found in _SURELY_DECIMAL.finditer(text):
            marks.add(next(filter(None, found.groups())))
        for found in _MANY_GROUPS.finditer(text):
            marks.add("," if found[1] == "." else ".")
    return "," if marks == {","} else "." if marks == {"."} else None


def split_pair(text: str) -> tuple[str, str] | None:
    """``28 A/380 us`` or ``28 A (380 us)`` in its two parts, when both hold a figure; None otherwise."""
    found = _PAIR.fullmatch(normal(text)) or _PAIR_BY_TIME.fullmatch(normal(text))
    if found and all(re.search("[0-9]", part) for part in found.groups()):
        return found[1], found[2]
    return None


def bounded(words: re.Pattern[str], written: str) -> re.Match[str] | None:
    """The figure beside the words of a bound, such as ``max`` in ``max 5 W``; None for another text."""
    found = words.fullmatch(written)
    return ONE.fullmatch(found[1] or found[2]) if found else None
