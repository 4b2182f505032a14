"""An output looked up, as plain text: each driver it takes on a line of its own, by kind of load."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from compat.model.lookup import LoadCounts, OutputLookup
from compat.report.blocks import foot_lines
from compat.report.lines import SOFT, STRONG, STYLE, Line, line
from compat.report.page import render_lines


def render_output_lookup_text(found: OutputLookup, width: int, colour: bool) -> str:
    """The answer in lines of at most ``width`` cells, which is taken as 40 when less."""
    return render_lines(_lines(found), width, colour)


def _lines(found: OutputLookup) -> Iterator[Line]:
    yield line((f"{found.output} {found.output_name}", STRONG), f": {found.method}")
    told = "; ".join(f"{value.label} {value.text}" for value in found.traits[:MOST_TRAITS])
    yield line(told, lead="states: ")
    if found.assumptions:
        yield line("; ".join(found.assumptions), lead="taken as so: ")
    for kind, members in groupby(found.loads, key=lambda load: load.load_type):
        yield line()
        yield line((kind[:1].upper() + kind[1:] or "Other loads", STRONG))
        for load in members:
            yield from _load(load, found.counts_up_to)
    if not found.loads:
        yield line()
        yield line("No driver of the dataset works on it, whatever the count.")
    yield from foot_lines(found)


MOST_TRAITS = 12


def _load(load: LoadCounts, up_to: int) -> Iterator[Line]:
    proven = load.best == "works"
    style = STYLE["works"] if proven else STYLE["unproven"]
    lead = (f"{_counts(load, up_to):>9}  ", style if load.least is not None else STYLE["marginal"])
    kind = "" if proven else f" (expected: {load.expected or load.best})"
    yield line(f"{load.name} ({load.driver}){kind}", (f"  {load.because}", SOFT), lead=lead)


def _counts(load: LoadCounts, up_to: int) -> str:
    """``2 to 11``, ``1 or more`` where no count that was looked at stops it, or ``none``."""
    if load.least is None or load.most is None:
        return "none"
    if load.open_ended:
        return f"{load.least} to {up_to}+"
    return f"{load.least} to {load.most}" if load.most > load.least else f"{load.least}"
