"""Watts of one or of all: settled by arithmetic, and told where the figures do not agree.

Quantity times each must give the row's total, and a total row the sum of its rows. What the figures
do not settle stays a range from one reading to the other.
"""

from __future__ import annotations

from collections.abc import Sequence

from compat.intake.cells import shown
from compat.intake.entries import Entry
from compat.intake.known_headings import TOTAL_POWER
from compat.intake.row_words import folded, has_word, words_of
from compat.intake.sums import TOLERANCE, TotalRow
from compat.intake.tables import Table
from compat.intake.told import Told
from compat.intake.type_join import hull
from compat.model.values import Interval, Trait

POWER = "input_power_w"
OTHERS = ("apparent_power_va", "input_current_a")
# Headings that say by themselves that the figure is one driver's.
_OF_ONE = frozenset(("input power", "input power w", "watts", "watt", "wattage", "w"))


def settle_loads(
    table: Table, entries: Sequence[Entry], totals: Sequence[TotalRow], told: Told, of_types: bool = False
) -> None:
    """Give each row the watts of one driver, by what the columns, the types and the totals show.

    A list ``of_types`` gives the watts of one, unless its figures show otherwise.
    """
    if of_types:
        if _mode(table, entries, totals, told, of_types) == "total":
            for entry in entries:
                entry.power = _power_of_one(entry, "total")
        return
    _circuit_totals(table, entries, told)
    mode = _mode(table, entries, totals, told)
    for name in OTHERS:
        _settle_other(table, entries, name, told)
    for entry in entries:
        power = _power_of_one(entry, mode)
        power = _with_type(entry, power, told)
        if power is not None:
            entry.driver[POWER] = power
            if power.origin:
                entry.origins[POWER] = power.origin
        _check_total(entry, power, told)


def _mode(
    table: Table, entries: Sequence[Entry], totals: Sequence[TotalRow], told: Told, of_types: bool = False
) -> str:
    """``each``, ``total`` or ``either``: what the column of watts holds."""
    bound = table.column(POWER)
    if bound is None:
        return "each"
    where, heading = table.place(bound=bound), shown(bound.heading)
    each, total, proof = _votes(entries, totals)
    of_one = has_word("each", bound.heading) or folded(bound.heading) in _OF_ONE
    if total > each and total >= 1 and not (of_one and each):
        shows = f"as {proof} shows" if proof else "as the other columns show"
        told.once(
            f"{heading} is of all luminaires of the row, {shows}; it is divided by the quantity.",
            where,
        )
        return "total"
    if each or of_one or of_types or not any((entry.quantity or 1) > 1 and entry.power for entry in entries):
        return "each"
    if bound.each_or_total or has_load_word(bound.heading):
        told.once(
            f"is {heading} of one luminaire or of all in the row? Nothing in the file shows "
            "it, so both are reckoned with. Write 'W each' or 'W total' in the heading.",
            where,
        )
        return "either"
    if bound.column.label not in folded(bound.heading):
        told.once(f"{heading} is read as the power of one driver.", where)
    return "each"


def _settle_other(table: Table, entries: Sequence[Entry], name: str, told: Told) -> None:
    """Apparent power or current, which may be of one or of all: a range from one to the other.

    It is of one where the heading says so, and where no row has more than one luminaire.
    """
    bound = table.column(name)
    stated = [entry for entry in entries if name in entry.driver and (entry.quantity or 1) > 1]
    if bound is None or not stated:
        return
    if has_word("each", bound.heading) or bound.column.label in folded(bound.heading):
        return
    for entry in stated:
        trait, count = entry.driver[name], entry.quantity or 1
        if isinstance(trait.content, Interval):
            both = Interval(trait.content.low / count, trait.content.high)
            entry.driver[name] = Trait(both, "derived", origin=trait.origin)
    told.once(
        f"is {shown(bound.heading)} of one luminaire or of all in the "
        "row? Nothing in the file shows it, so both are reckoned with.",
        table.place(bound=bound),
    )


def has_load_word(heading: str) -> bool:
    """Whether a heading speaks of a load, which may be one luminaire's or the circuit's."""
    tokens = folded(heading).split()
    return any(" ".join(tokens[:count]) in words_of("load") for count in range(1, len(tokens) + 1))


def _votes(entries: Sequence[Entry], totals: Sequence[TotalRow]) -> tuple[int, int, str]:
    """How many witnesses say each and how many total, and where the first of the latter stands."""
    each = sum(row.power_as == "each" for row in totals)
    total = sum(row.power_as == "total" for row in totals)
    proof = "the total row" if total else ""
    alike, shared = _same_type(entries)
    each, total = each + alike, total + shared
    if shared and not proof:
        proof = "one luminaire type on rows of different quantities"
    for entry in entries:
        count = entry.quantity or 1
        power = _middle(entry.power)
        if count == 1 or not power or entry.is_each:
            continue
        for witness, share in ((_middle(entry.total), count), (_middle(entry.type_power), 1)):
            if not witness:
                continue
            if _near(power * share, witness):
                each += 1
            elif _near(power * share, witness * count):
                total += 1
                proof = proof or f"row {entry.table.grid.numbers[entry.index]}"
    return each, total, proof


def _same_type(entries: Sequence[Entry]) -> tuple[int, int]:
    """Votes of types on rows of different quantities: the figure stays with each, and grows with total.

    A name on rows of which neither is so is no one type, such as a bare 'Downlight', and has no vote.
    """
    first: dict[str, tuple[int, float]] = {}
    votes: dict[str, list[str]] = {}
    for entry in entries:
        power, count = _middle(entry.power), entry.quantity or 1
        if not power or not entry.code or entry.is_each:
            continue
        count_before, before = first.setdefault(entry.code, (count, power))
        if count_before == count:
            continue
        is_each, is_total = _near(before, power), _near(before / count_before, power / count)
        vote = "each" if is_each else "total" if is_total else "neither"
        votes.setdefault(entry.code, []).append(vote)
    cast = [vote for found in votes.values() if "neither" not in found for vote in found]
    return cast.count("each"), cast.count("total")


def _power_of_one(entry: Entry, mode: str) -> Trait | None:
    count = entry.quantity or 1
    stated = entry.power
    if stated is not None and isinstance(stated.content, Interval):
        figure = stated.content
        if mode == "each" or entry.is_each or count == 1:
            return stated
        low = figure.low / count
        high = figure.high / count if mode == "total" else figure.high
        return Trait(Interval(low, high), "derived", origin=stated.origin)
    if entry.total is not None and isinstance(entry.total.content, Interval) and entry.type_power is None:
        figure = entry.total.content
        return Trait(Interval(figure.low / count, figure.high / count), "derived", origin=entry.total.origin)
    return stated


def _with_type(entry: Entry, power: Trait | None, told: Told) -> Trait | None:
    """The watts of the row beside those of its type: when they differ, both are reckoned with."""
    stated = entry.type_power
    if stated is None or stated.content is None:
        return power
    if power is None or power.content is None:
        return stated
    first, second = _middle(power), _middle(stated)
    if stated is power or (first and second and _near(first, second)):
        return power
    there = stated.origin.text() if stated.origin else "its type"
    what = f"the watts differ from what {there} says; both are reckoned with"
    told.grouped(what, power.origin or entry.place(POWER))
    return Trait(hull(power.content, stated.content), origin=power.origin)


def _check_total(entry: Entry, power: Trait | None, told: Told) -> None:
    one, total, count = _middle(power), _middle(entry.total), entry.quantity or 1
    if not (one and total and entry.total and entry.total.origin) or _near(one * count, total):
        return
    told.grouped(
        f"quantity times watts is {one * count:g} W, the total of the row says {total:g} W",
        entry.total.origin,
    )


def _circuit_totals(table: Table, entries: Sequence[Entry], told: Told) -> None:
    """Take the total off rows where it stands once for several rows of a circuit."""
    if table.column(TOTAL_POWER) is None:
        return
    circuits: dict[str, list[Entry]] = {}
    for entry in entries:
        circuits.setdefault(entry.circuit, []).append(entry)
    for rows in circuits.values():
        if len(rows) < 2 or not any(row.total for row in rows):
            continue
        places = {row.total.origin for row in rows if row.total}
        figures = {_middle(row.total) for row in rows if row.total}
        alone = sum(row.total is not None for row in rows) == 1
        repeated = len(figures) == 1 and not all(_row_total_fits(row) for row in rows)
        if alone or len(places) == 1 or repeated:
            _compare_circuit(rows, told)
            for row in rows:
                row.total = None


def _row_total_fits(row: Entry) -> bool:
    one, total = _middle(row.power or row.type_power), _middle(row.total)
    return bool(one and total and _near(one * (row.quantity or 1), total))


def _compare_circuit(rows: Sequence[Entry], told: Told) -> None:
    """The one total of a circuit against the sum of its rows, when all of them have watts."""
    stated = next(row.total for row in rows if row.total)
    where = stated.origin or rows[0].place(TOTAL_POWER)
    powers = [_middle(row.power or row.type_power) for row in rows]
    if not all(powers):
        told.grouped("the watts stand for several luminaire types together and cannot be divided", where)
        return
    found = sum((power or 0) * (row.quantity or 1) for power, row in zip(powers, rows, strict=True))
    total = _middle(stated)
    if total and not _near(found, total):
        told.grouped(f"the rows of the circuit add up to {found:g} W, its total says {total:g} W", where)


def _middle(trait: Trait | None) -> float | None:
    if trait is None or not isinstance(trait.content, Interval):
        return None
    return (trait.content.low + trait.content.high) / 2


def _near(first: float, second: float) -> bool:
    return abs(first - second) <= max(2 * TOLERANCE * max(first, second), 0.05)
