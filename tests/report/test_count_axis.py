"""The picture of the counts: segments without gaps, in order, and figures that do not cover each other."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compat.model.verdicts import VERDICTS, Verdict
from compat.report.count_axis import AIR, MARK, axis_of, span_of
from compat.report.lookup_words import runs_of
from tests.report.lookup_sample import UP_TO, output, outputs

RULE: dict[Verdict, str | None] = {
    "works": None,
    "marginal": "R0920",
    "unproven": "R0921",
    "fails": "R0905",
    "hazard": "R0901",
}
PARTS = st.lists(st.tuples(st.integers(1, 60), st.sampled_from(VERDICTS)), min_size=1, max_size=6)


@given(PARTS)
def test_segments_cover_the_axis_in_order_and_figures_keep_apart(parts: list[tuple[int, Verdict]]) -> None:
    last, made = 0, []
    for size, verdict in parts:
        last += size
        made.append((last, verdict, RULE[verdict]))
    found = output("O1", "x", "DALI", *made)
    axis = axis_of(found)
    assert [segment.run for segment in axis.segments] == runs_of(found)
    assert axis.segments[0].start == 0
    assert axis.segments[-1].end == pytest.approx(1)
    assert all(left.end == pytest.approx(right.start) for left, right in pairwise(axis.segments))
    assert all(segment.end > segment.start for segment in axis.segments)
    assert all(segment.marked == (segment.end - segment.start >= MARK) for segment in axis.segments)
    spans = sorted(span_of(label) for label in axis.labels)
    assert all(left[1] + AIR <= right[0] + 1e-9 for left, right in pairwise(spans))
    assert spans[0][0] >= -1e-9
    assert spans[-1][1] <= 1 + 1e-9


def test_widths_go_by_the_counts_and_the_tail_is_cut() -> None:
    (found,) = [entry for entry in outputs() if entry.output == "O0902"]
    works, fails = axis_of(found).segments
    assert (works.run.first, works.run.last, fails.run.first, fails.run.more) == (1, 64, 65, True)
    assert works.end == pytest.approx(64 / 83)
    assert [label.text for label in axis_of(found).labels] == ["1", "64", "65"]


def test_both_ends_of_each_window_have_their_figures() -> None:
    (found,) = [entry for entry in outputs() if entry.output == "O0904"]
    told = [label.text for label in axis_of(found).labels]
    assert {"3", "14", "17 to 20"} <= set(told)
    assert "21" not in told


def test_a_window_that_never_ends_is_told_so() -> None:
    (found,) = [entry for entry in outputs() if entry.output == "O0901"]
    (segment,) = axis_of(found).segments
    assert (segment.start, segment.end, segment.run.last) == (0, 1, UP_TO)
    assert [label.text for label in axis_of(found).labels] == ["1 and more"]
