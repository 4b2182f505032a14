"""Numbers as people read them; the one place that rounds, and only for text."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Literal

NOT_KNOWN = "not known"
DIGITS = 4
MOST_DIGITS = 12
PLAIN_FROM, PLAIN_BELOW = 1e-4, 1e9


def number_text(value: float, digits: int = DIGITS) -> str:
    """A finite number to ``digits`` significant digits, without trailing zeros.

    Digits before the decimal point are never rounded away (12345.6 is 12346). Sizes below 1e-4
    or from 1e9 up are written with an exponent. Raises ValueError when ``value`` is not finite.
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} is not a finite number")
    if value == 0:
        return "0"
    if not PLAIN_FROM <= abs(value) < PLAIN_BELOW:
        mantissa, exponent = f"{value:.{digits - 1}e}".split("e")
        return f"{_shorn(mantissa)}e{int(exponent)}"
    places = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    return _shorn(f"{value:.{places}f}")


def amount_text(low: float | None, high: float | None, unit_symbol: str, digits: int = DIGITS) -> str:
    """An interval with its unit: ``38 to 42 W``, ``20 W``, ``at least 38 W``, ``not known``.

    ``unit_symbol`` is empty for counts and ratios. An end that is None or not finite is not
    known. Ends that differ are written with as many more digits as it takes to tell them apart.
    """
    low, high = known(low), known(high)
    if low is None or high is None:
        if low is None and high is None:
            return NOT_KNOWN
        words, end = ("at most", high) if low is None else ("at least", low)
        assert end is not None
        return f"{words} {_with_unit(number_text(end, digits), unit_symbol)}"
    digits = digits_to_tell_apart(low, high, digits=digits)
    first, last = number_text(low, digits), number_text(high, digits)
    return _with_unit(first if first == last else f"{first} to {last}", unit_symbol)


def digits_to_tell_apart(*values: float | None, digits: int = DIGITS) -> int:
    """The fewest significant digits, from ``digits`` up, that tell different numbers apart.

    For a sentence that sets a demand beside a limit, so that 20.0004 against 20 does not read
    "20 W, at most 20 W". Numbers equal to 12 digits count as equal; that is rounding noise.
    """
    finite = {value for value in map(known, values) if value is not None}
    if _clearly_apart(sorted(finite), digits):
        return digits
    wanted = len({number_text(value, MOST_DIGITS) for value in finite})
    while digits < MOST_DIGITS and len({number_text(value, digits) for value in finite}) < wanted:
        digits += 1
    return digits


def _clearly_apart(ascending: list[float], digits: int) -> bool:
    """Whether neighbours differ by more than rounding to ``digits`` can hide; spares printing them."""
    return all(high - low > 10.0 ** (1 - digits) * abs(high) for low, high in pairwise(ascending))


def margin_text(margin_percent: float | None, relation: Literal["at_most", "at_least"] | None) -> str:
    """A margin in words: ``12.5 % spare``, ``at the limit``, ``40 % short``, ``8 % over``."""
    if known(margin_percent) is None or margin_percent is None:
        return ""
    if margin_percent == 0:
        return "at the limit"
    beyond = "short" if relation == "at_least" else "over"
    return f"{number_text(abs(margin_percent), 3)} % {'spare' if margin_percent > 0 else beyond}"


def known(value: float | None) -> float | None:
    """The value when it is a finite number, else None."""
    return value if value is not None and math.isfinite(value) else None


def _shorn(decimal: str) -> str:
    return decimal.rstrip("0").rstrip(".") if "." in decimal else decimal


def _with_unit(number: str, unit_symbol: str) -> str:
    # SI Brochure, 9th edition, section 5.4.3: a space before every unit but the degree of angle.
    return f"{number}{unit_symbol}" if unit_symbol == "°" else f"{number} {unit_symbol}".rstrip()
