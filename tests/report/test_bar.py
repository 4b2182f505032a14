"""The picture of a load in its window never contradicts the numbers."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compat.report.bar import bar_text, shape_of, window_text
from compat.report.labels import CHARACTER, Label, labels_of
from tests.report.parts import bar

WATTS = st.integers(0, 5_000_000).map(lambda milliwatts: milliwatts / 1000)


@pytest.mark.parametrize(
    ("values", "drawn"),
    [
        ((38, 42, 20, 150), ".-##-------."),
        ((19, 19, 20, 150), "#----------."),
        ((19, 21, 20, 150), "##---------."),
        ((20, 20, 20, 150), ".#---------."),
        ((150, 150, 20, 150), ".---------#."),
        ((150.1, 150.1, 20, 150), ".----------#"),
        ((600, 640, 20, 150), ".--.......#."),
        ((24, 24, None, 150), "?#---------."),
        ((24, 24, 20, None), ".......-#--?"),
        ((None, None, 20, 150), ".----------."),
        ((0, 0, 0, 0), "#..........."),
    ],
)
def test_bar_text(values: tuple[float | None, ...], drawn: str) -> None:
    shape = shape_of(bar(*values))
    assert shape is not None
    assert bar_text(shape, 12, ascii_only=True) == drawn


@given(WATTS, WATTS, WATTS, WATTS, st.integers(6, 40))
def test_the_load_is_drawn_on_the_right_side_of_each_end(
    a: float, b: float, c: float, d: float, cells: int
) -> None:
    load_low, load_high = sorted((a, b))
    low, high = sorted((c, d))
    shape = shape_of(bar(load_low, load_high, low, high))
    assert shape is not None
    drawn = bar_text(shape, cells, ascii_only=True)
    first, last = drawn.index("#"), drawn.rindex("#")
    assert len(drawn) == cells
    assert set(drawn[first : last + 1]) == {"#"}
    if load_high < low:
        assert "-" in drawn[last:]
        assert "-" not in drawn[:first]
    elif load_low > high:
        assert "-" in drawn[:first]
        assert "-" not in drawn[last:]
    elif low <= load_low and load_high <= high and low > 0:
        assert drawn[0] == "."
        assert drawn[-1] == "."


def test_no_window_gives_no_bar_and_says_so() -> None:
    assert shape_of(bar(6, 6, None, None)) is None
    assert window_text(bar(6, 6, None, None)) == window_text(None) == "no load window is given"


def test_window_text_names_the_end_that_is_not_known() -> None:
    assert window_text(bar(6, 6, 20, 150)) == "window of the output 20 to 150 W"
    assert window_text(bar(6, 6, 20, None)).endswith("from 20 W, rated load not known")
    assert window_text(bar(6, 6, None, 150)).endswith("up to 150 W, minimum load not known")


@given(WATTS, WATTS, st.none() | WATTS, WATTS)
def test_labels_stay_on_the_bar_and_apart(a: float, b: float, c: float | None, d: float) -> None:
    values = bar(min(a, b), max(a, b), c, d if c is None else max(c, d))
    shape = shape_of(values)
    assert shape is not None
    labels = labels_of(values, shape)
    for label in (labels.load, *labels.window):
        start, end = span(label)
        assert start >= -1e-9 or label.at == 1.0
        assert end <= 1 + 1e-9 or label.at == 0.0
    if len(labels.window) == 2:
        assert span(labels.window[0])[1] < span(labels.window[1])[0]


def span(label: Label) -> tuple[float, float]:
    size = len(label.text) * CHARACTER
    start = label.at - {"start": 0.0, "middle": size / 2, "end": size}[label.anchor]
    return start, start + size
