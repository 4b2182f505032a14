"""How much of a limit of a control line is used, as shares of one scale, and in words."""

from __future__ import annotations

import math

from compat.model.figures import NOT_KNOWN, known, number_text
from compat.model.report import LineLimit
from compat.report.bar import BEYOND_KNOWN, Shape


def shape_of_limit(limit: LineLimit) -> Shape | None:
    """What is used against what is allowed; None when either is not known."""
    low, high = known(limit.used.low), known(limit.used.high)
    at_most = limit.relation == "at_most"
    end = known(limit.limit.low if at_most else limit.limit.high)
    if low is None or high is None or end is None:
        return None
    top = max(high, end) * BEYOND_KNOWN or 1.0
    window = (0.0, end / top) if at_most else (end / top, 1.0)
    return Shape(load=(low / top, high / top), window=window, low_is_known=True, high_is_known=True)


def glyphs(ascii_only: bool) -> tuple[str, str, str]:
    """The marks of a bar in text: used, free, the limit."""
    return ("#", "-", "|") if ascii_only else ("█", "░", "│")


def limit_bar_text(limit: LineLimit, cells: int, ascii_only: bool = False) -> str:
    """The bar of a limit in ``cells`` characters, at least 4: filled up to what is used at the worse
    end, with a mark at the limit. Empty when either is not known.

    What is used ends at the mark only where it equals the limit, and passes it only where it is more.
    """
    at_most = limit.relation == "at_most"
    value = known(limit.used.high if at_most else limit.used.low)
    end = known(limit.limit.low if at_most else limit.limit.high)
    share = limit.share_percent
    if value is None or end is None or share is None:
        return ""
    used, free, mark = glyphs(ascii_only)
    room = cells - 1
    if share != 100 and at_most == (share > 100):
        before = min(math.floor(end / value * room), room - 1)
        return used * before + mark + used * (room - before)
    filled = room if share == 100 else min(math.ceil(value / end * room), room - 1)
    return used * filled + free * (room - filled) + mark


def share_text(limit: LineLimit) -> str:
    """The used share, such as ``83 %``; above 100 % the limit is broken."""
    if limit.share_percent is None:
        return NOT_KNOWN
    # Fewer digits would round 100.4 % down to the limit.
    digits = 3 if abs(limit.share_percent - 100.0) >= 0.5 or limit.share_percent == 100.0 else 6
    return f"{number_text(limit.share_percent, digits)} %"


def allowed_text(limit: LineLimit) -> str:
    """The limit with its direction: ``at most 64``."""
    if limit.limit.text == NOT_KNOWN:
        return NOT_KNOWN
    return f"{limit.relation.replace('_', ' ')} {limit.limit.text}"
