"""The look-up as plain text, one screen: outputs, breakers, what to ask, cautions."""

from __future__ import annotations

from collections.abc import Iterator

from compat.model.lookup import Lookup
from compat.report.blocks import caution_lines, question_text
from compat.report.lines import SOFT, STRONG, Line, line
from compat.report.lookup_breakers import (
    breaker_grid,
    breaker_notes,
    likely_cell,
    source_impedance_text,
    sure_cell,
)
from compat.report.lookup_listing import INDENT, output_lines
from compat.report.lookup_words import (
    cautions_together,
    methods_text,
    traits_by_basis,
)
from compat.report.page import LEAST_WIDTH, render_lines
from compat.report.words import stamp_text

# What fits on one screen: the traits that an electrician compares with the label in hand.
KEY_TRAITS = (
    "load_type",
    "input_power_w",
    "input_current_a",
    "power_factor",
    "inrush_peak_a",
    "inrush_width_us",
    "dim_floor_percent",
    "dim_floor_seen_percent",
    "dali_lowest_level",
    "control_current_ma",
    "control_current_direction",
    "control_insulation",
    "dali_device_type",
    "dali_current_ma",
    "dmx_slots",
    "dmx_unit_loads",
)
CELL, FIRST_CELL, BETWEEN = 6, 7, 4


def render_lookup_text(lookup: Lookup, width: int, colour: bool, ascii_only: bool = False) -> str:
    """The look-up in lines of at most ``width`` cells, which is taken as 40 when less.

    ``ascii_only`` keeps the program's own marks within ASCII; names and units stay as they are.
    """
    return render_lines(_lines(lookup, max(width, LEAST_WIDTH), ascii_only), width, colour)


def _lines(lookup: Lookup, width: int, ascii_only: bool) -> Iterator[Line]:
    yield from _head(lookup)
    yield line()
    yield from output_lines(lookup, width, ascii_only)
    yield from _breakers(lookup, width, ascii_only)
    yield from _arithmetic(lookup)
    yield from _questions(lookup)
    yield line()
    yield from caution_lines(cautions_together(lookup.cautions), 0)
    yield line(lookup.caution, lead=("Caution: ", STRONG))
    yield line((stamp_text(lookup), SOFT))
    yield line((f"sha256 {lookup.dataset.sha256}", SOFT))


def _head(lookup: Lookup) -> Iterator[Line]:
    name = " ".join(filter(None, (lookup.driver, lookup.driver_name)))
    yield line((name, STRONG))
    yield line(methods_text(lookup), indent=INDENT, lead="accepts: ")
    shown = [value for value in lookup.traits if value.name.removeprefix("driver.") in KEY_TRAITS]
    for basis, values in traits_by_basis(shown).items():
        said = "; ".join(f"{value.label} {value.text}" for value in values)
        yield line(said, (f" [{basis}]", SOFT), indent=INDENT)
    if lookup.assumptions:
        yield line(f"taken as given: {'; '.join(lookup.assumptions)}", indent=INDENT)


def _breakers(lookup: Lookup, width: int, ascii_only: bool) -> Iterator[Line]:
    grid = breaker_grid(lookup.breakers)
    if not grid.rows:
        return

    def said(text: str) -> str:
        return text.replace("≤", "<=").replace("≥", ">=") if ascii_only else text

    yield line()
    yield line(("Most on one breaker", STRONG), f", behind {source_impedance_text(lookup)}")
    up_to = lookup.counts_up_to
    shown = [("surely", [[sure_cell(one, up_to) for one in row] for _, row in grid.rows])]
    if any(likely_cell(one, up_to) for _, row in grid.rows for one in row):
        likely = [[likely_cell(one, up_to) or sure_cell(one, up_to) for one in row] for _, row in grid.rows]
        shown.append(("likely", likely))
    curves = [curve or "none" for curve in grid.curves]
    ratings = ["curve", *(rating for rating, _ in grid.rows)]
    span = len(curves) * CELL
    beside = FIRST_CELL + len(shown) * (span + BETWEEN) <= width
    for group in [shown] if beside else [[half] for half in shown]:
        gap = " " * BETWEEN if len(group) > 1 else ""
        titles = gap.join(f"{title:>{span}}" for title, _ in group)
        yield Line(((" " * FIRST_CELL + titles, STRONG),), fixed=True)
        rows = zip(*([curves, *cells] for _, cells in group), strict=True)
        for first, parts in zip(ratings, rows, strict=True):
            told = gap.join("".join(f"{said(cell):>{CELL}}" for cell in part) for part in parts)
            text = f"{first:>{FIRST_CELL}}{told}".rstrip()
            yield Line(((text, SOFT if first == "curve" else ""),), fixed=True)
    yield line((said(" ".join(breaker_notes(lookup))), SOFT), indent=INDENT)


def _arithmetic(lookup: Lookup) -> Iterator[Line]:
    if lookup.arithmetic:
        yield line()
        yield line(("What its figures come to", STRONG))
    for sentence in lookup.arithmetic:
        yield line(sentence, indent=INDENT)


def _questions(lookup: Lookup) -> Iterator[Line]:
    if lookup.questions:
        yield line()
        yield line(("What to ask the maker", STRONG), "; state an answer with --trait NAME=VALUE")
    for number, question in enumerate(lookup.questions, 1):
        # Most questions name the place themselves; on one screen it is told once.
        told = question.model_copy(update={"where_to_find": ""}) if "See " in question.ask else question
        name = question.name.removeprefix("driver.")
        yield line(question_text(told), (f" {name}", SOFT), indent=INDENT, lead=f"{number}. ")
