"""The list of circuits: one line each, in columns that give way as the width shrinks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from compat.model.report import CircuitReport
from compat.report.bar import ASCII_GLYPHS, GLYPHS, Shape, bar_text, shape_of
from compat.report.cells import fit, size_of
from compat.report.lines import SOFT, STYLE, Line, Part, line
from compat.report.words import (
    clean,
    decision,
    luminaires_text,
    next_step,
    output_text,
    verdict_word,
)

GAP = 2
BAR_CELLS = 12
COLUMNS = ("verdict", "circuit", "room", "luminaires", "output", "load", "window")
MOST = {"circuit": 16, "room": 20, "luminaires": 32, "output": 40, "load": 18}
# An output's name cut shorter than this says less than its id alone.
NAME_LEAST = 18
# What gives way first: a column shrinks down to the figure; with 0 it is left out.
GIVES_WAY = (
    ("luminaires", 14),
    ("output", NAME_LEAST),
    ("room", 12),
    ("luminaires", 10),
    ("output", 6),
    ("window", 8),
    ("circuit", 7),
    ("load", 10),
    ("room", 8),
    ("luminaires", 0),
    ("window", 0),
    ("output", 0),
    ("room", 0),
    ("load", 0),
)


@dataclass(frozen=True, slots=True)
class Row:
    """One circuit as the cells of its line, with the reason for its verdict."""

    circuit: CircuitReport
    cells: dict[str, str]
    shape: Shape | None
    reason: str


def listing(circuits: list[CircuitReport], width: int, ascii_only: bool) -> Iterator[Line]:
    """A heading, one line a circuit, and what the marks of the window mean.

    The reasons stand beside their circuits where all of them have room, otherwise each below its
    own; what to do or to ask first is always below. A circuit that works takes one line.
    """
    rows = [_row(circuit, ascii_only) for circuit in circuits]
    widths = fitted(_natural(rows), width)
    room = width - sum(widths.values()) - GAP * len(widths)
    beside = all(size_of(row.reason) <= room for row in rows if row.circuit.verdict != "works")
    cut = "~" if ascii_only else "…"
    names = [fit(name if name != "verdict" else "", size, cut) for name, size in widths.items()]
    yield Line((((" " * GAP).join(names), SOFT),), fixed=True)
    for row in rows:
        parts = _parts(row, widths, cut, ascii_only)
        works = row.circuit.verdict == "works"
        stands_beside = size_of(row.reason) <= room and (beside or works)
        reason = (row.reason, SOFT if works else "") if stands_beside else ("", "")
        yield Line((*parts, reason), fixed=True)
        if not works:
            yield from _below(row, widths["verdict"] + GAP, stands_beside)
    if "window" in widths:
        _, inside, load, open_end = ASCII_GLYPHS if ascii_only else GLYPHS
        said = f"window: {load} load, {inside} from minimum to rated load, {open_end} limit not known"
        yield Line(((said, SOFT),))


def _below(row: Row, indent: int, reason_told: bool) -> Iterator[Line]:
    """The reason, unless it is told already, and the first thing to do or to ask."""
    if row.reason and not reason_told:
        yield Line(((row.reason, ""),), indent=indent)
    if step := next_step(row.circuit):
        lead, text = step
        yield line(text, indent=indent, lead=(lead, SOFT))


def fitted(natural: dict[str, int], width: int) -> dict[str, int]:
    """The width of each column that stays, so that all with their gaps fit in ``width``."""
    widths = dict(natural)
    for name, least in GIVES_WAY:
        over = sum(widths.values()) + GAP * (len(widths) - 1) - width
        if over <= 0:
            break
        if name in widths and least == 0:
            del widths[name]
        elif name in widths:
            widths[name] = max(min(least, widths[name]), widths[name] - over)
    return widths


def _row(circuit: CircuitReport, ascii_only: bool) -> Row:
    shape = shape_of(circuit.bar)
    cells = {
        "verdict": verdict_word(circuit.verdict),
        "circuit": circuit.circuit,
        "room": circuit.room,
        "luminaires": luminaires_text(circuit.luminaires),
        "output": output_text(circuit.output),
        "load": circuit.bar.load.text if circuit.bar else "",
        "window": bar_text(shape, BAR_CELLS, ascii_only) if shape else "",
    }
    found = decision(circuit)
    cleaned = {name: clean(text) for name, text in cells.items()}
    return Row(circuit, cleaned, shape, clean(f"{found.rule} {found.because}"))


def _natural(rows: list[Row]) -> dict[str, int]:
    widths = {}
    for name in COLUMNS:
        longest = max((size_of(row.cells[name]) for row in rows), default=0)
        if longest:
            widths[name] = min(max(longest, len(name)), MOST.get(name, longest))
    return widths


def _parts(row: Row, widths: dict[str, int], cut: str, ascii_only: bool) -> tuple[Part, ...]:
    parts: list[Part] = []
    for name, size in widths.items():
        text = row.cells[name]
        if name == "window" and row.shape:
            text = bar_text(row.shape, size, ascii_only)
        if name == "output" and row.circuit.output and size_of(text) > size < NAME_LEAST:
            text = clean(row.circuit.output.output)
        word = text if name == "verdict" else ""
        rest = fit(text, size, cut).removeprefix(word)
        parts += [(word, STYLE[row.circuit.verdict]), (rest + " " * GAP, "")]
    return tuple(parts)
