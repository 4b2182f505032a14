"""What text and page say of a look-up: windows of counts, what stops them, reasons."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from compat.model.figures import NOT_KNOWN
from compat.model.lookup import Bound, CountPicture, CountRange, Lookup, OutputCounts
from compat.model.report import Input
from compat.model.values import BASIS_TEXT, Basis
from compat.model.verdicts import RANK, VERDICTS, Verdict

GOOD: tuple[Verdict, ...] = ("works", "marginal", "unproven")
BAD: tuple[Verdict, ...] = ("hazard", "fails")


@dataclass(frozen=True, slots=True)
class Run:
    """Consecutive counts with one verdict; ``more`` when they go on past the counts looked at."""

    first: int
    last: int
    verdict: Verdict
    more: bool

    @property
    def text(self) -> str:
        """``3 to 14``, ``5``, ``65 and more``."""
        if self.more:
            return f"{self.first} and more"
        return f"{self.first}" if self.first == self.last else f"{self.first} to {self.last}"


@dataclass(frozen=True, slots=True)
class Stop:
    """What a rule says at a count just outside a window; ``at`` is empty for a whole verdict."""

    at: str
    verdict: Verdict
    rule: str
    slug: str
    because: str


@dataclass(frozen=True, slots=True)
class Reason:
    """A rule that decides for some outputs, with its sentence for the first of them."""

    verdict: Verdict
    rule: str
    slug: str
    because: str
    outputs: tuple[OutputCounts, ...]

    @property
    def size(self) -> int:
        """How many outputs it decides for."""
        return len(self.outputs)


def runs_of(output: CountPicture) -> list[Run]:
    """The counts parted by verdict alone."""
    end = output.ranges[-1].last
    runs = []
    for verdict, members in groupby(output.ranges, lambda entry: entry.verdict):
        ranges = list(members)
        runs.append(Run(ranges[0].first, ranges[-1].last, verdict, ranges[-1].last == end))
    return runs


def window_of_counts(output: OutputCounts) -> str:
    """The counts with the best verdict: ``1 to 64``, ``3 to 14, 17 to 20``, ``1 to 150 and more``."""
    texts = []
    for run in runs_of(output):
        if run.verdict == output.best:
            plain = Run(run.first, run.last, run.verdict, more=False).text
            texts.append(f"{plain} and more" if run.more else plain)
    return ", ".join(texts)


def expected_window(output: OutputCounts) -> str:
    """The counts that are expected to work where none is shown to: ``3 to 14``; empty where there are none.

    They rest on usual values in place of missing ones and are no proof.
    """
    expected = output.expected
    if expected is None or output.least is not None or expected.best != "works":
        return ""
    runs = [run for run in runs_of(expected) if run.verdict == "works"]
    return ", ".join(
        run.text if not run.more or run.first > 1 else f"1 to {run.last} and more" for run in runs
    )


def stops_of(output: OutputCounts) -> list[Stop]:
    """What decides at each end of each window; where nothing works, what decides the best verdict."""
    if output.best != "works":
        return [_stop("", next(entry for entry in output.ranges if entry.verdict == output.best))]
    stops = [_bound(output.least_bound)] if output.least_bound else []
    inside = [
        entry
        for entry in output.ranges
        if entry.verdict != "works" and (output.least or 0) < entry.first < (output.most or 0)
    ]
    for entry in inside:
        at = f"{entry.first}" if entry.first == entry.last else f"{entry.first} to {entry.last}"
        stops.append(_stop(at, entry))
    return [*stops, _bound(output.most_bound)] if output.most_bound else stops


def by_best(outputs: Iterable[OutputCounts]) -> dict[Verdict, list[OutputCounts]]:
    """The outputs by their best verdict, best first; verdicts without any are left out."""
    parted: dict[Verdict, list[OutputCounts]] = {}
    for output in sorted(outputs, key=lambda entry: RANK[entry.best]):
        parted.setdefault(output.best, []).append(output)
    return parted


def by_method(outputs: Iterable[OutputCounts], lookup: Lookup) -> dict[str, list[OutputCounts]]:
    """The outputs by method, in the order in which the driver's own methods are told."""
    told = [method.removeprefix("perhaps ") for method in lookup.methods]
    order = {method: place for place, method in enumerate(told)}
    parted: dict[str, list[OutputCounts]] = {}
    for output in sorted(outputs, key=lambda entry: order.get(entry.method, len(order))):
        parted.setdefault(output.method, []).append(output)
    return parted


def reasons_of(outputs: Sequence[OutputCounts]) -> list[Reason]:
    """The rules that decide the best verdicts of some outputs, the most frequent first."""
    parted: dict[tuple[Verdict, str], list[tuple[OutputCounts, Stop]]] = {}
    for output in outputs:
        stop = stops_of(output)[0]
        parted.setdefault((output.best, stop.rule), []).append((output, stop))
    reasons = [
        Reason(verdict, rule, found[0][1].slug, found[0][1].because, tuple(output for output, _ in found))
        for (verdict, rule), found in parted.items()
    ]
    return sorted(reasons, key=lambda reason: -len(reason.outputs))


def at_count(lookup: Lookup) -> list[tuple[Verdict, int]]:
    """How many outputs have each verdict at the count asked for, best first; empty without one."""
    found = [output.at_count.verdict for output in lookup.outputs if output.at_count]
    return [(verdict, found.count(verdict)) for verdict in VERDICTS if found.count(verdict)]


def drivers_text(count: int) -> str:
    """``1 driver``, ``8 drivers``."""
    return f"{count} driver{'' if count == 1 else 's'}"


def outputs_text(count: int) -> str:
    """``1 output``, ``12 outputs``."""
    return f"{count} output{'' if count == 1 else 's'}"


def methods_text(lookup: Lookup) -> str:
    """The methods the driver accepts."""
    return ", ".join(lookup.methods) or NOT_KNOWN


def basis_text(basis: Basis | None) -> str:
    """The basis of a value in words."""
    return BASIS_TEXT[basis] if basis else "basis not stated"


def traits_by_basis(traits: Iterable[Input]) -> dict[str, list[Input]]:
    """The values by their basis in words, in the order of the first of each."""
    parted: dict[str, list[Input]] = {}
    for value in traits:
        parted.setdefault(basis_text(value.basis), []).append(value)
    return parted


def cautions_together(cautions: Sequence[str]) -> list[str]:
    """The cautions as one paragraph; a sentence that ends all of them is said once, at the end."""
    parted = [caution.partition(". ") for caution in cautions]
    if len(cautions) < 2 or len({rest for _, _, rest in parted}) > 1:
        return list(cautions)
    if not parted[0][2]:
        return [" ".join(cautions)]
    return [" ".join([*(f"{first}." for first, _, _ in parted), parted[0][2]])]


def _stop(at: str, entry: CountRange) -> Stop:
    return Stop(at, entry.verdict, entry.rule or "", entry.slug or "", entry.because)


def _bound(bound: Bound) -> Stop:
    return Stop(f"{bound.count}", bound.verdict, bound.rule, bound.slug, bound.because)
