"""The load of a circuit against the window of its output, as shares of one scale from 0 W."""

from __future__ import annotations

import math
from dataclasses import dataclass

from compat.model.figures import NOT_KNOWN, amount_text, known
from compat.model.report import LoadBar

NO_WINDOW = "no load window is given"
BEYOND_KNOWN, BEYOND_OPEN = 1.1, 1.35
GLYPHS = ("·", "░", "█", "?")
ASCII_GLYPHS = (".", "-", "#", "?")


@dataclass(frozen=True, slots=True)
class Shape:
    """Places on the bar from 0 to 1. A window end that is not known lies at the bar's own end."""

    load: tuple[float, float] | None
    window: tuple[float, float]
    low_is_known: bool
    high_is_known: bool


def shape_of(bar: LoadBar | None) -> Shape | None:
    """The shape of a bar; None when neither end of the window is known."""
    if bar is None:
        return None
    low, high = known(bar.window_low_w), known(bar.window_high_w)
    if low is None and high is None:
        return None
    load_low, load_high = known(bar.load.low), known(bar.load.high)
    greatest = max(value for value in (low, high, load_high, 0.0) if value is not None)
    top = greatest * (BEYOND_OPEN if high is None else BEYOND_KNOWN) or 1.0
    is_known = load_low is not None and load_high is not None
    return Shape(
        load=(_share(load_low, top), _share(load_high, top)) if is_known else None,
        window=(_share(low, top), 1.0 if high is None else _share(high, top)),
        low_is_known=low is not None,
        high_is_known=high is not None,
    )


def window_text(bar: LoadBar | None) -> str:
    """The window in words, such as ``window of the output 20 to 150 W``; or that there is none."""
    if bar is None:
        return NO_WINDOW
    low, high = known(bar.window_low_w), known(bar.window_high_w)
    if low is None and high is None:
        return NO_WINDOW
    if high is None:
        return f"window of the output from {amount_text(low, low, 'W')}, rated load {NOT_KNOWN}"
    if low is None:
        return f"window of the output up to {amount_text(high, high, 'W')}, minimum load {NOT_KNOWN}"
    return f"window of the output {amount_text(low, high, 'W')}"


def bar_text(shape: Shape, cells: int, ascii_only: bool = False) -> str:
    """The bar in ``cells`` characters, at least 6.

    A load outside the window, or across one of its ends, is drawn so even where the scale would
    put both in one cell: the picture never contradicts the numbers.
    """
    outside, inside, load, open_end = ASCII_GLYPHS if ascii_only else GLYPHS
    first, last = _window_cells(shape, cells)
    drawn = [inside if first <= cell <= last else outside for cell in range(cells)]
    if not shape.low_is_known:
        drawn[0] = open_end
    if not shape.high_is_known:
        drawn[-1] = open_end
    if shape.load is not None:
        load_first, load_last = _load_cells(shape, shape.load, first, last, cells)
        load_first = load_first if shape.low_is_known else max(1, load_first)
        load_last = max(load_first, load_last if shape.high_is_known else min(cells - 2, load_last))
        drawn[load_first : load_last + 1] = [load] * (load_last - load_first + 1)
    return "".join(drawn)


def _share(value: float | None, top: float) -> float:
    return 0.0 if value is None else min(1.0, max(0.0, value / top))


def _window_cells(shape: Shape, cells: int) -> tuple[int, int]:
    """First and last cell of the window, with a cell left free beyond each known end."""
    low, high = shape.window
    first = min(int(low * cells), cells - 3)
    if shape.low_is_known and low > 0:
        first = max(1, first)
    last = max(first, math.ceil(high * cells) - 1)
    return first, min(last, cells - 2) if shape.high_is_known else cells - 1


def _load_cells(
    shape: Shape, load: tuple[float, float], first: int, last: int, cells: int
) -> tuple[int, int]:
    low, high = shape.window
    start = min(int(load[0] * cells), cells - 1)
    end = max(start, math.ceil(load[1] * cells) - 1)
    if load[1] < low:
        end = min(end, first - 1)
    elif load[0] < low:
        start, end = min(start, first - 1), max(end, first)
    else:
        start, end = max(start, first), max(end, first)
    if load[0] > high:
        start, end = max(start, last + 1), max(end, last + 1)
    elif load[1] > high:
        start, end = min(start, last), max(end, last + 1)
    else:
        end = min(end, last)
    return min(start, end), end
