"""The look-up as one HTML page that needs nothing else, made for a phone on site."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import count

from compat.model.lookup import Lookup, OutputCounts
from compat.model.verdicts import Verdict
from compat.report import lookup_breakers, lookup_words, words
from compat.report.actions import short_name
from compat.report.count_axis import Axis, axis_of, shown_counts
from compat.report.lookup_words import BAD, Run, Stop
from compat.report.template import template


@dataclass(frozen=True, slots=True)
class OutputView:
    """Outputs alike at every count, with what the page shows of them.

    ``anchor`` is safe whatever the names; ``first`` stands for all.
    """

    outputs: list[OutputCounts]
    anchor: str
    axis: Axis
    window: str
    expected: str
    runs: list[Run]
    stops: list[Stop]

    @property
    def first(self) -> OutputCounts:
        """The first of the outputs."""
        return self.outputs[0]


@dataclass(frozen=True, slots=True)
class Group:
    """The outputs of one best verdict, by method."""

    verdict: Verdict
    count: int
    methods: dict[str, list[OutputView]]


def render_lookup_html(lookup: Lookup) -> str:
    """The page as text in UTF-8; the same bytes for the same look-up."""
    parted = lookup_words.by_best(lookup.outputs)
    grid = lookup_breakers.breaker_grid(lookup.breakers)
    return template("lookup.html.j2").render(
        lookup=lookup,
        groups=_groups(lookup, parted),
        reasons={verdict: lookup_words.reasons_of(parted[verdict]) for verdict in BAD if verdict in parted},
        at_count=lookup_words.at_count(lookup),
        curves=grid.curves,
        rows=[
            (
                rating,
                [
                    (
                        lookup_breakers.sure_cell(breaker, lookup.counts_up_to),
                        lookup_breakers.likely_cell(breaker, lookup.counts_up_to),
                    )
                    for breaker in breakers
                ],
            )
            for rating, breakers in grid.rows
        ],
        breaker_notes=lookup_breakers.breaker_notes(lookup),
        cautions=lookup_words.cautions_together(lookup.cautions),
        source=lookup_breakers.source_impedance_text(lookup),
        lookup_words=lookup_words,
        short_name=short_name,
        words=words,
    )


def _groups(lookup: Lookup, parted: dict[Verdict, list[OutputCounts]]) -> list[Group]:
    numbers = count(1)
    groups = []
    scale = shown_counts(
        output for verdict, outputs in parted.items() if verdict not in BAD for output in outputs
    )
    for verdict, outputs in parted.items():
        if verdict not in BAD:
            methods = {
                method: [_view(alike, next(numbers), scale) for alike in _alike(members)]
                for method, members in lookup_words.by_method(outputs, lookup).items()
            }
            groups.append(Group(verdict, len(outputs), methods))
    return groups


def _alike(outputs: Sequence[OutputCounts]) -> list[list[OutputCounts]]:
    """The outputs put together where all of their counts are judged with the same words."""
    together: list[list[OutputCounts]] = []
    for output in outputs:
        found = next((members for members in together if _told(members[0]) == _told(output)), None)
        if found:
            found.append(output)
        else:
            together.append([output])
    return together


def _told(output: OutputCounts) -> tuple[object, ...]:
    return output.ranges, lookup_words.expected_window(output)


def _view(outputs: list[OutputCounts], number: int, scale: int) -> OutputView:
    return OutputView(
        outputs=outputs,
        anchor=f"o{number}",
        axis=axis_of(outputs[0], scale),
        window=lookup_words.window_of_counts(outputs[0]),
        expected=lookup_words.expected_window(outputs[0]),
        runs=lookup_words.runs_of(outputs[0]),
        stops=lookup_words.stops_of(outputs[0]),
    )
