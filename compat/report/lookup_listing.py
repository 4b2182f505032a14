"""The outputs of a look-up in columns: from how many to how many, and what decides outside."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from compat.model.lookup import Lookup, OutputCounts
from compat.model.verdicts import Verdict
from compat.report.actions import short_name
from compat.report.cells import GAP, NAME_LEAST, fit, size_of
from compat.report.lines import SOFT, STRONG, STYLE, Line, Part, line, verdict_part
from compat.report.lookup_words import (
    BAD,
    Stop,
    at_count,
    by_best,
    by_method,
    drivers_text,
    expected_window,
    outputs_text,
    reasons_of,
    stops_of,
    window_of_counts,
)
from compat.report.words import clean, verdict_word

INDENT = 2
STOP_MOST = 24
COUNTS_MOST = 24
LIMIT = "limited by"
# So many outputs of one reason are named; of more the ids stand alone.
NAMED_MOST = 4


@dataclass(frozen=True, slots=True)
class Columns:
    """Widths of the list; ``at_count`` is 0 without a count, ``stop`` where it stands below."""

    counts: int
    at_count: int
    name: int
    stop: int


def output_lines(lookup: Lookup, width: int, ascii_only: bool) -> Iterator[Line]:
    """The outputs, best verdicts first: a line each, by method; those out of question in one line."""
    groups = by_best(lookup.outputs)
    if lookup.count is not None:
        found = ", ".join(f"{count} {verdict_word(verdict)}" for verdict, count in at_count(lookup))
        lead = (f"With {drivers_text(lookup.count)}, of {outputs_text(len(lookup.outputs))}: ", STRONG)
        yield line(found or "none", lead=lead)
    listed = [
        entry
        for verdict, found in groups.items()
        if _is_listed(verdict, lookup)
        for members in by_method(found, lookup).values()
        for entry in members
    ]
    columns = columns_for(listed, lookup.count, width)
    if listed:
        yield _heading(columns, lookup.count)
    for verdict, outputs in groups.items():
        if _is_listed(verdict, lookup):
            for method, members in by_method(outputs, lookup).items():
                yield line(verdict_part(verdict), f": {method}")
                for output in members:
                    yield from _row(output, columns, ascii_only)
        elif verdict == "unproven":
            yield from _open(outputs)
    bad = [verdict for verdict in BAD if verdict in groups]
    for verdict in bad:
        yield _summary(verdict, groups[verdict])
    # Where no output is in question, the reasons are what the reader wants to see.
    yield from _sentences(listed if len(bad) < len(groups) else lookup.outputs)


def columns_for(outputs: Sequence[OutputCounts], count: int | None, width: int) -> Columns:
    """The widths that fit; the names give way first, then what decides outside goes below."""
    counts = max((size_of(window_of_counts(output)) for output in outputs), default=0)
    counts = min(max(counts, len("counts")), COUNTS_MOST)
    at = max(size_of(f"with {count}"), len("unproven")) if count is not None else 0
    stop = min(max((size_of(_stop_text(output)) for output in outputs), default=0), STOP_MOST)
    taken = INDENT + counts + GAP + (at + GAP if at else 0)
    longest = max((size_of(_name(output)) for output in outputs), default=0)
    if width - taken - stop - GAP < min(longest, NAME_LEAST):
        stop = 0
    name = min(longest, width - taken - (stop + GAP if stop else 0))
    return Columns(counts, at, max(name, 6), stop)


def _is_listed(verdict: Verdict, lookup: Lookup) -> bool:
    """Whether outputs of a best verdict take a line each; open ones do when a count is asked for."""
    return verdict not in BAD and (verdict != "unproven" or lookup.count is not None)


def _heading(columns: Columns, count: int | None) -> Line:
    cells = [fit("counts", columns.counts, "")]
    cells += [fit(f"with {count}", columns.at_count, "")] if columns.at_count else []
    cells += [fit("output", columns.name, "")]
    cells += [LIMIT] if columns.stop >= len(LIMIT) else []
    return Line(((" " * INDENT + (" " * GAP).join(cells), SOFT),), fixed=True)


def _row(output: OutputCounts, columns: Columns, ascii_only: bool) -> Iterator[Line]:
    cut = "~" if ascii_only else "…"
    window, stop, name = window_of_counts(output), _stop_text(output), _name(output)
    if size_of(name) > columns.name < NAME_LEAST:
        name = clean(output.output)
    is_long = size_of(window) > columns.counts
    counts = fit("several" if is_long else window, columns.counts, cut)
    parts: list[Part] = [(" " * INDENT, ""), (counts + " " * GAP, STRONG)]
    if columns.at_count and output.at_count:
        verdict = output.at_count.verdict
        rest = " " * (columns.at_count - len(verdict) + GAP)
        parts += [(verdict_word(verdict), STYLE[verdict]), (rest, "")]
    parts.append((fit(name, columns.name, cut), ""))
    beside = size_of(stop) <= columns.stop
    parts += [(" " * GAP + stop, "")] if beside else []
    yield Line(tuple(parts), fixed=True)
    if expected := expected_window(output):
        yield line(expected, indent=2 * INDENT, lead=("expected to work: ", SOFT))
    if is_long:
        yield line(window, indent=2 * INDENT, lead=("counts: ", SOFT))
    if stop and not beside:
        yield line(stop, indent=2 * INDENT, lead=(f"{LIMIT}: " if output.best == "works" else "", SOFT))


def _stop_text(output: OutputCounts) -> str:
    """``2: fails R0007; 15: marginal R0032``; only the rule where nothing works."""
    return "; ".join(
        f"{stop.at}: {verdict_word(stop.verdict)} {stop.rule}" if stop.at else stop.rule
        for stop in stops_of(output)
    )


def _name(output: OutputCounts) -> str:
    return clean(f"{output.output} {output.name}")


def _open(outputs: Sequence[OutputCounts]) -> Iterator[Line]:
    """The outputs that wait for a value: what is expected of them, and by rule what is missing."""
    yield line(verdict_part("unproven"), ": a value is missing")
    for window, alike in _by_expected(outputs).items():
        named = ", ".join(f"{output.output} {short_name(output.name)}" for output in alike)
        yield line(f"expected {window}: ", (named, SOFT), indent=INDENT)
    for reason in reasons_of(outputs):
        if len(reason.outputs) <= NAMED_MOST:
            named = "; ".join(f"{output.output} {output.name}" for output in reason.outputs)
        else:
            named = ", ".join(output.output for output in reason.outputs)
        on = f"On {outputs_text(len(reason.outputs))}: {named}"
        yield line(f"{reason.because} ", (on, SOFT), indent=INDENT, lead=f"{reason.rule}: ")


def _by_expected(outputs: Sequence[OutputCounts]) -> dict[str, list[OutputCounts]]:
    """The outputs by the counts that are expected to work; those without any are left out."""
    found: dict[str, list[OutputCounts]] = {}
    for output in outputs:
        if window := expected_window(output):
            found.setdefault(window, []).append(output)
    return found


def _summary(verdict: Verdict, outputs: Sequence[OutputCounts]) -> Line:
    reasons = [f"{reason.rule} {reason.slug} {len(reason.outputs)}" for reason in reasons_of(outputs)]
    lead = (f"{verdict_word(verdict)}: ", STYLE[verdict])
    return line(f"{outputs_text(len(outputs))}: {', '.join(reasons)}", lead=lead)


def _sentences(outputs: Sequence[OutputCounts]) -> Iterator[Line]:
    """The sentence of each rule that decides, once, for the first output it is told of."""
    told: dict[tuple[str, bool], tuple[OutputCounts, Stop]] = {}
    for output in outputs:
        for stop in stops_of(output):
            told.setdefault((stop.rule, stop.verdict == "unproven"), (output, stop))
    for output, stop in told.values():
        at = f", {stop.at}" if stop.at else ""
        yield line((f"{stop.rule} ({output.output}{at}): ", SOFT), stop.because, indent=INDENT)
