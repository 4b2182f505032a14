"""How many of a driver the breakers carry, as a table with its notes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from compat.model.figures import NOT_KNOWN, number_text
from compat.model.lookup import BreakerCounts, Lookup
from compat.model.values import BASIS_TEXT


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


def sure_cell(breaker: BreakerCounts | None, up_to: int) -> str:
    """``10``: inrush decides; ``19*``: steady current decides; ``>150``: more than looked at.

    Where only one of the two limits is known it is shown with ``≤``, since the other may be lower.
    """
    if breaker is None:
        return ""
    steady, holds = breaker.steady_most, breaker.inrush_holds_most
    if breaker.most is not None:
        return f"{breaker.most}{'*' if breaker.binding == 'steady current' else ''}"
    if steady is not None and holds is not None:
        return f">{up_to}"
    if holds is not None:
        return "?" if breaker.inrush_open_ended else f"≤{holds}"
    return "?" if steady is None else f"≤{steady}*"


def likely_cell(breaker: BreakerCounts | None, up_to: int) -> str:
    """How many the breaker likely carries, where that is more than surely; else nothing."""
    likely = None if breaker is None else likely_most(breaker)
    if likely is None:
        return ""
    return f"≥{up_to}" if likely >= up_to else str(likely)


def likely_most(breaker: BreakerCounts) -> int | None:
    """How many it likely carries where that is more than it surely carries; None where it is not."""
    likely, surely = breaker.inrush_likely_most, breaker.most
    if likely is None or breaker.binding == "steady current" or breaker.inrush_open_ended:
        return None
    if breaker.steady_most is not None:
        likely = min(likely, breaker.steady_most)
    return likely if surely is None or likely > surely else None


def breaker_notes(lookup: Lookup) -> list[str]:
    """What the marks of the table mean, and what is missing where a limit is not known."""
    if not lookup.breakers:
        return []
    steady = any(breaker.steady_most is not None for breaker in lookup.breakers)
    inrush = any(breaker.inrush_holds_most is not None for breaker in lookup.breakers)
    marks = []
    starred = any("*" in sure_cell(breaker, lookup.counts_up_to) for breaker in lookup.breakers)
    marks += ["* the steady current decides"] if starred else []
    marks += ["elsewhere the inrush" if starred else "the inrush decides"] if inrush else []
    if not (steady and inrush):
        marks.append("≤ the other limit is not known and may be lower" if steady or inrush else "")
        marks.append("? not known")
    said = "; ".join(filter(None, marks)) + "."
    notes = [said[:1].upper() + said[1:]]
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


def _why_no_steady(lookup: Lookup) -> str:
    if any(value.name == "driver.input_current_a" for value in lookup.traits):
        return (
            "Steady current not counted: it takes the part of the rated current that lighting may draw for "
            "hours, by the wiring rules in force; give it as continuous_load_share in a project file."
        )
    return "Steady current not known: it takes the input current, or the power and the power factor."
