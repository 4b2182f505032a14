"""The inrush of a circuit against what its breaker holds and where it trips, on log axes.

The bands are those of ``compat.physics.breaker_release``; the pulse is drawn as wide as the limits that
the finding tells, so the picture says what the sentence says.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from compat.model.figures import amount_text, number_text
from compat.model.report import Amount, CircuitReport, Finding, Report
from compat.physics.breaker_release import pulse_factor, sine_anchor

RULES = ("inrush-releases-breaker",)
WIDTH, HEIGHT = 400.0, 220.0
LEFT, BOTTOM, TOP, RIGHT = 52.0, 188.0, 12.0, 390.0
SPAN_S = (1e-5, 1e-1)
POINTS = 41
LEAST_BOX = 4.0


@dataclass(frozen=True, slots=True)
class Tick:
    """A figure at a place of an axis."""

    at: float
    text: str


@dataclass(frozen=True, slots=True)
class InrushCurve:
    """Paths and places in a box of 400 by 220; ``said`` tells it in words."""

    holds: str
    trips: str
    box: tuple[float, float, float, float]
    widths: tuple[Tick, ...]
    peaks: tuple[Tick, ...]
    said: str


@dataclass(frozen=True, slots=True)
class _Release:
    """Static thresholds (A) and plunger times (s) of a breaker."""

    hold_a: float
    trip_a: float
    shortest_s: float
    longest_s: float

    def holds_up_to(self, span_s: float) -> float:
        return self.hold_a * max(
            1.0, pulse_factor(span_s, self.shortest_s) / sine_anchor(self.shortest_s, 50.0)
        )

    def trips_from(self, span_s: float) -> float:
        return self.trip_a * pulse_factor(span_s, self.longest_s)


def inrush_curve(circuit: CircuitReport, report: Report) -> InrushCurve | None:
    """The curve where the inrush decides; None where it holds or where a figure is missing."""
    found = next((one for one in circuit.findings if one.slug in RULES and one.verdict != "works"), None)
    release = _release(report)
    if found is None or release is None or found.demand is None or found.limit is None:
        return None
    ends = (found.demand.low, found.demand.high, found.limit.low, found.limit.high)
    if any(end is None or end <= 0 for end in ends):
        return None
    return _drawn(found, found.demand, found.limit, release)


def _drawn(found: Finding, demand: Amount, limit: Amount, release: _Release) -> InrushCurve:
    assert demand.low
    assert demand.high
    assert limit.low
    assert limit.high
    spans = [SPAN_S[0] * (SPAN_S[1] / SPAN_S[0]) ** (place / (POINTS - 1)) for place in range(POINTS)]
    holds, trips = [release.holds_up_to(s) for s in spans], [release.trips_from(s) for s in spans]
    lowest = 10 ** math.floor(math.log10(min(*holds, demand.low)))
    highest = 10 ** math.ceil(math.log10(max(*trips, demand.high)))

    def y_at(peak_a: float) -> float:
        share = math.log(peak_a / lowest) / math.log(highest / lowest)
        return BOTTOM - share * (BOTTOM - TOP)

    wide = _span(limit.low / release.hold_a * sine_anchor(release.shortest_s, 50.0), release.shortest_s)
    narrow = _span(limit.high / release.trip_a, release.longest_s)
    left, right = sorted((_x_at(narrow), _x_at(wide)))
    above, below = y_at(demand.high), y_at(demand.low)
    decades = range(round(math.log10(lowest)), round(math.log10(highest)) + 1)
    return InrushCurve(
        holds=_path([(_x_at(s), y_at(a)) for s, a in zip(spans, holds, strict=True)], BOTTOM),
        trips=_path([(_x_at(s), y_at(a)) for s, a in zip(spans, trips, strict=True)], TOP),
        box=(left, above, max(right - left, LEAST_BOX), max(below - above, LEAST_BOX)),
        widths=tuple(
            Tick(_x_at(s), text)
            for s, text in ((1e-5, "10 µs"), (1e-4, "100 µs"), (1e-3, "1 ms"), (1e-2, "10 ms"))
        ),
        peaks=tuple(Tick(y_at(10.0**power), f"{number_text(10.0**power)} A") for power in decades),
        said=f"Inrush {amount_text(demand.low, demand.high, 'A', 2)}; the breaker surely holds up to "
        f"{number_text(limit.low, 3)} A and surely trips from {number_text(limit.high, 3)} A on.",
    )


def _span(factor: float, plunger_time_s: float) -> float:
    """The width (s) at which a pulse may exceed the static threshold by this factor."""
    if factor <= 1.0:
        return SPAN_S[1]
    span = plunger_time_s * math.sqrt(8.0 / ((2.0 * factor**2 - 1.0) ** 2 - 1.0))
    return min(max(span, SPAN_S[0]), SPAN_S[1])


def _x_at(span_s: float) -> float:
    share = math.log(span_s / SPAN_S[0]) / math.log(SPAN_S[1] / SPAN_S[0])
    return LEFT + share * (RIGHT - LEFT)


def _path(points: list[tuple[float, float]], edge: float) -> str:
    line = " ".join(f"{x:.0f} {y:.1f}" for x, y in points)
    return f"M{points[0][0]:.0f} {edge:.0f} L{line} L{points[-1][0]:.0f} {edge:.0f}z"


def _release(report: Report) -> _Release | None:
    """The breaker of the project, from the figures that the report tells; None where one is missing."""
    told = {value.name.removeprefix("breaker."): value.text for value in report.supply}
    names = ("rated_current_a", "hold_multiple", "trip_multiple")
    figures = [_figure(told.get(name, "")) for name in names]
    times = [_figure(told.get(f"{end}_plunger_time_ms", "")) for end in ("shortest", "longest")]
    if any(value is None for value in (*figures, *times)):
        return None
    rated, hold, trip = (value or 0.0 for value in figures)
    shortest, longest = (1e-3 * (value or 0.0) for value in times)
    return _Release(math.sqrt(2.0) * hold * rated, math.sqrt(2.0) * trip * rated, shortest, longest)


def _figure(text: str) -> float | None:
    """The one figure of a text such as ``16 A``; None for an interval or for no figure."""
    found = re.fullmatch(r"([0-9.]+)(?: [^0-9]*)?", text)
    return float(found[1]) if found else None
