"""The counts of one output as a picture: segments by verdict on an axis from 1, and their figures."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from compat.model.lookup import OutputCounts
from compat.model.verdicts import Verdict
from compat.report.labels import CHARACTER, Label
from compat.report.lookup_words import Run, runs_of

# Of the last run, which goes on for ever, this much of what lies before it is drawn.
TAIL = 0.3
# A mark of 12 px with a little air on the narrowest bar, 290 px.
MARK = 18 / 290
AIR = CHARACTER / 2


@dataclass(frozen=True, slots=True)
class Segment:
    """A run of counts between two shares of the axis; ``marked`` when its mark has room inside."""

    run: Run
    start: float
    end: float
    marked: bool

    @property
    def verdict(self) -> Verdict:
        """The verdict of the run."""
        return self.run.verdict


@dataclass(frozen=True, slots=True)
class Axis:
    """The segments from left to right without gaps, and the figures that have room below them."""

    segments: tuple[Segment, ...]
    labels: tuple[Label, ...]


def shown_counts(outputs: Iterable[OutputCounts]) -> int:
    """Up to which count one scale for all of these outputs goes: a little past the last change of any."""
    ends = []
    for output in outputs:
        last = runs_of(output)[-1]
        before = last.first - 1
        ends.append(min(last.last, before + max(1, round(TAIL * before))) if before else 1)
    return max(ends, default=1)


def axis_of(output: OutputCounts, scale: int | None = None) -> Axis:
    """The picture of an output on a scale up to a count; by itself without one.

    Counts far past the last change are cut off.
    """
    runs = runs_of(output)
    shown = scale if scale and scale > 1 else shown_counts([output])
    shown = runs[-1].last if shown == 1 else min(shown, runs[-1].last)
    segments = []
    for run in runs:
        start, end = (run.first - 1) / shown, min(run.last, shown) / shown
        segments.append(Segment(run, start, end, end - start >= MARK))
    return Axis(tuple(segments), tuple(_kept(segments, output.best)))


def _kept(segments: list[Segment], best: Verdict) -> Iterator[Label]:
    """The figures at the ends, those of the best verdict first, as far as none covers another."""
    taken: list[tuple[float, float]] = []
    in_turn = sorted(segments, key=lambda segment: segment.verdict != best)
    for choices in (choices for segment in in_turn for choices in _ends(segment)):
        label = next((label for label in choices if _has_room(label, taken)), None)
        if label:
            taken.append(span_of(label))
            yield label


def _has_room(label: Label, taken: list[tuple[float, float]]) -> bool:
    start, end = span_of(label)
    inside = start >= -1e-9 and end <= 1 + 1e-9
    return inside and all(end + AIR <= low or high + AIR <= start for low, high in taken)


def _ends(segment: Segment) -> list[list[Label]]:
    """First and last count at the ends of a segment, or both as one text where it is narrow.

    For each figure the ways to place it, the best first.
    """
    run = segment.run
    first, last = f"{run.first}", f"{run.last}"
    if run.more:
        return [[_from(f"{run.first} and more", segment), _from(first, segment)]]
    room = segment.end - segment.start
    if run.first != run.last and (len(first) + len(last) + 1) * CHARACTER <= room:
        return [[_from(first, segment)], [_to(last, segment)]]
    text = first if run.first == run.last else f"{first} to {last}"
    half = len(text) * CHARACTER / 2
    middle = min(max((segment.start + segment.end) / 2, half), 1 - half)
    return [[Label(text, middle, "middle"), _from(text, segment), _to(text, segment)]]


def _from(text: str, segment: Segment) -> Label:
    return Label(text, segment.start + _shift(segment.start, 0.0), "start")


def _to(text: str, segment: Segment) -> Label:
    return Label(text, segment.end - _shift(segment.end, 1.0), "end")


def _shift(at: float, edge: float) -> float:
    """Figures on both sides of a border keep apart; at the edge of the bar there is no other."""
    return 0.0 if at == edge else AIR / 2


def span_of(label: Label) -> tuple[float, float]:
    """From where to where a label reaches on the narrowest bar."""
    size = len(label.text) * CHARACTER
    start = label.at - {"start": 0.0, "middle": size / 2, "end": size}[label.anchor]
    return start, start + size
