"""Where the figures of a load bar stand, so that none covers another even on a phone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from compat.model.figures import NOT_KNOWN, amount_text, known
from compat.model.report import LoadBar
from compat.report.bar import Shape

Anchor = Literal["start", "middle", "end"]
# A character of the labels as a share of the narrowest bar: 7 px of 290 px, at 12 px type.
CHARACTER = 7 / 290


@dataclass(frozen=True, slots=True)
class Label:
    """A text at ``at`` (0 to 1), growing from there by its anchor as SVG names it."""

    text: str
    at: float
    anchor: Anchor


@dataclass(frozen=True, slots=True)
class BarLabels:
    """The load above the bar, the window's ends below it: two figures, or one where it is tight."""

    load: Label
    window: tuple[Label, ...]


def labels_of(bar: LoadBar, shape: Shape) -> BarLabels:
    """The labels of a bar that has a window."""
    load = Label(f"load {NOT_KNOWN}", 0.0, "start")
    if shape.load is not None:
        load = _beside(f"load {bar.load.text}", sum(shape.load) / 2)
    low, high = known(bar.window_low_w), known(bar.window_high_w)
    first = f"minimum {amount_text(low, low, 'W')}"
    last = f"rated {amount_text(high, high, 'W')}"
    start, end = shape.window
    if (len(first) + len(last) + 2) * CHARACTER <= end - start:
        return BarLabels(load, (Label(first, start, "start"), Label(last, end, "end")))
    return BarLabels(load, (_beside(f"{first}, {last}", (start + end) / 2),))


def _beside(text: str, at: float) -> Label:
    """A label centred on ``at``, or from the nearer edge where it would reach beyond it."""
    half = len(text) * CHARACTER / 2
    if half <= at <= 1 - half:
        return Label(text, at, "middle")
    return Label(text, 0.0, "start") if at < 0.5 else Label(text, 1.0, "end")
