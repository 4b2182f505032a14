"""What text and page say of a look-up: windows of counts, what stops them, reasons, breakers."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from compat.model.figures import NOT_KNOWN, number_text
from compat.model.lookup import Bound, BreakerCounts, CountRange, Lookup, OutputCounts
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


def runs_of(output: OutputCounts) -> list[Run]:
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


@dataclass(frozen=True, slots=True)
class BreakerGrid:
    """The most count by rated current (rows) and curve (columns); None where there is no breaker."""

    curves: tuple[str, ...]
    rows: tuple[tuple[str, tuple[BreakerCounts | None, ...]], ...]


def breaker_grid(breakers: Sequence[BreakerCounts]) -> BreakerGrid:
    """The breakers as a table; of two with one curve and rating the first stands."""
    curves = tuple(sorted({breaker.curve for breaker in breakers}))
    found: dict[tuple[float, str], BreakerCounts] = {}
    for breaker in breakers:
        found.setdefault((breaker.rated_current_a, breaker.curve), breaker)
    ratings = sorted({breaker.rated_current_a for breaker in breakers})
    rows = tuple(
        (f"{number_text(rating)} A", tuple(found.get((rating, curve)) for curve in curves))
        for rating in ratings
    )
    return BreakerGrid(curves, rows)


def breaker_cell(breaker: BreakerCounts | None, up_to: int) -> str:
    """``19 (s)``: steady current binds; ``10 (i)``: inrush binds; ``>150``: more than looked at.

    Where only one of the two limits is known it is shown with ``≤``, since the other may be lower.
    """
    if breaker is None:
        return ""
    steady, holds = breaker.steady_most, breaker.inrush_holds_most
    if breaker.most is not None:
        return f"{breaker.most} ({'s' if breaker.binding == 'steady current' else 'i'})"
    if steady is not None and holds is not None:
        return f">{up_to}"
    if holds is not None:
        return "?" if breaker.inrush_open_ended else f"≤{holds} (i)"
    return "?" if steady is None else f"≤{steady} (s)"


def breaker_notes(lookup: Lookup) -> list[str]:
    """What the marks of the table mean, and what is missing where a limit is not known."""
    if not lookup.breakers:
        return []
    steady = any(breaker.steady_most is not None for breaker in lookup.breakers)
    inrush = any(breaker.inrush_holds_most is not None for breaker in lookup.breakers)
    marks = ["(s) the steady current binds"] if steady else []
    marks += ["(i) the inrush binds"] if inrush else []
    if not (steady and inrush):
        marks.append("≤ the other limit is not known and may be lower" if steady or inrush else "")
        marks.append("? not known")
    notes = ["; ".join(filter(None, marks)) + "."]
    if not steady:
        notes.append(_why_no_steady(lookup))
    if not inrush:
        notes.append(
            "Inrush not known: it takes the peak and the width of the inrush, and the source impedance."
        )
    return notes


def source_impedance_text(lookup: Lookup) -> str:
    """The impedance of the supply at the board that the inrush was taken behind, with its basis."""
    values = " and ".join(value.text for value in lookup.source)
    bases = dict.fromkeys(BASIS_TEXT[value.basis] for value in lookup.source if value.basis)
    told = f" ({', '.join(bases)})" if bases else ""
    return f"a supply of {values or NOT_KNOWN}{told}"


def cautions_together(cautions: Sequence[str]) -> list[str]:
    """The cautions as one, a sentence that ends several of them said once at the end; else as is."""
    parted = [caution.partition(". ") for caution in cautions]
    if len(cautions) < 2 or len({rest for _, _, rest in parted}) > 1:
        return list(cautions)
    return [" ".join([*(f"{first}." for first, _, _ in parted), parted[0][2]])]


def _why_no_steady(lookup: Lookup) -> str:
    if any(value.name == "driver.input_current_a" for value in lookup.traits):
        return (
            "Steady current not counted: it takes the part of the rated current that lighting may draw for "
            "hours, by the wiring rules in force; give it as continuous_load_share in a project file."
        )
    return "Steady current not known: it takes the input current, or the power and the power factor."


def _stop(at: str, entry: CountRange) -> Stop:
    return Stop(at, entry.verdict, entry.rule or "", entry.slug or "", entry.because)


def _bound(bound: Bound) -> Stop:
    return Stop(f"{bound.count}", bound.verdict, bound.rule, bound.slug, bound.because)
