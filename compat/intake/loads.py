"""Watts of one or of all: settled by arithmetic, and told where the figures do not agree.

Quantity times each must give the row's total, and a total row the sum of its rows. What the figures
do not settle stays a range from one reading to the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from compat.intake.cells import shown
from compat.intake.entries import Entry
from compat.intake.known_headings import DRIVER_COUNT, LAMPS_EACH, TOTAL_POWER
from compat.intake.row_words import folded, has_word, words_of
from compat.intake.sums import TOLERANCE, TotalRow
from compat.intake.tables import Kind, Table
from compat.intake.told import Told
from compat.intake.type_join import hull
from compat.model.values import Interval, Trait

POWER = "input_power_w"
OTHERS = ("apparent_power_va", "input_current_a")
# A luminaire of a schedule seldom takes less.
SMALL_W = 2.0
# Headings that say by themselves that the figure is one driver's.
_OF_ONE = frozenset(("input power", "input power w", "watts", "watt", "wattage", "w"))


class Loads(NamedTuple):
    """A table, its entries, and its rows that add up others."""

    table: Table
    entries: Sequence[Entry]
    totals: Sequence[TotalRow]


def settle_types(loads: Loads, told: Told) -> None:
    """The watts of a list of types are of one, unless its figures show otherwise."""
    if _mode(loads, [loads], told) == "total":
        for entry in loads.entries:
            entry.power = _power_of_one(entry, "total")


def settle_loads(tables: Sequence[Loads], told: Told) -> None:
    """Give each row the watts of one driver, by what the columns, the types and the totals show.

    Tables with one heading, as of several floors, hold the same under it.
    """
    for loads in tables:
        for entry in loads.entries:
            _with_lamps(entry, told)
        _circuit_totals(loads.table, loads.entries, told)
    modes = [_mode(loads, tables, told) for loads in tables]
    for loads, mode in zip(tables, modes, strict=True):
        for name in OTHERS:
            _settle_other(loads.table, loads.entries, name, told)
        for entry in loads.entries:
            power = _power_of_one(entry, mode)
            power = _with_type(entry, power, told)
            if power is not None:
                entry.driver[POWER] = power
                if power.origin:
                    entry.origins[POWER] = power.origin
            _check_total(entry, power, told)
            _share_drivers(entry, told)


def _mode(loads: Loads, tables: Sequence[Loads], told: Told) -> str:
    """``each``, ``total`` or ``either``: what the column of watts holds."""
    table, entries, _ = loads
    bound = table.column(POWER)
    if bound is None:
        return "each"
    where, heading = table.place(bound=bound), shown(bound.heading)
    alike = [
        other
        for other in tables
        if (found := other.table.column(POWER)) and folded(found.heading) == folded(bound.heading)
    ]
    votes = [_votes(other.entries, other.totals) for other in alike]
    each, total = sum(vote[0] for vote in votes), sum(vote[1] for vote in votes)
    proof = next((vote[2] for vote in votes if vote[2]), "")
    of_one = has_word("each", bound.heading) or folded(bound.heading) in _OF_ONE
    if total > each and total >= 1 and not (of_one and each):
        shows = f"as {proof} shows" if proof else "as the other columns show"
        told.once(
            f"{heading} is of all luminaires of the row, {shows}; it is divided by the quantity.",
            where,
        )
        return "total"
    if each or of_one or not any((entry.quantity or 1) > 1 and entry.power for entry in entries):
        return "each"
    if table.kind in (Kind.types, Kind.luminaires) and not has_load_word(bound.heading):
        # A list of luminaires gives what one of them takes.
        return "each"
    least = 2 if has_load_word(bound.heading) else 1
    if witness := next((low for other in alike if (low := _too_small(other.entries, least))), None):
        told.once(f"{heading} is of one luminaire; as a total it would leave {witness}.", where)
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


def _too_small(entries: Sequence[Entry], least: int) -> str:
    """How little a luminaire would take if the figures were totals, where the small ones cannot be.

    ``least`` is in how many rows. Below 2 W, and no tenth of a watt: a total of so small luminaires is
    a sum of figures with one decimal at most. Common practice, no source.
    """
    several = [(entry, (entry.quantity or 1)) for entry in entries if (entry.quantity or 1) > 1]
    shares = [(power / count, entry) for entry, count in several if (power := _middle(entry.power))]
    small = [(share, entry) for share, entry in shares if share < SMALL_W]
    odd = [(share, entry) for share, entry in small if abs(share * 10 % 1 - 0.5) < 0.499]
    if len(odd) < least or 2 * len(odd) < len(small):
        return ""
    share, entry = odd[0]
    return f"{share:.3g} W for each of row {entry.table.grid.numbers[entry.index]}"


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


def _with_lamps(entry: Entry, told: Told) -> None:
    """The watts of a lamp times the lamps of the luminaire; of either when the heading does not say."""
    stated, cell = entry.extra.pop(LAMPS_EACH, None), entry.cells.get(POWER)
    lamps, power = _middle(stated) or 0, entry.power
    if lamps < 2 or cell is None or power is None or not isinstance(power.content, Interval):
        return
    of_lamp = has_word("lamp", cell.bound.heading)
    low = power.content.low * (lamps if of_lamp else 1)
    entry.power = Trait(Interval(low, power.content.high * lamps), "derived", origin=power.origin)
    if not of_lamp:
        heading = shown(cell.bound.heading)
        told.grouped(f"is {heading} of the luminaire or of each lamp? Both are reckoned with", cell.origin)


def _share_drivers(entry: Entry, told: Told) -> None:
    """Where the row says how many drivers its luminaires have, the drivers are what is judged."""
    stated = entry.extra.pop(DRIVER_COUNT, None)
    luminaires = entry.quantity or 1
    drivers = round(_middle(stated) or 0)
    if drivers < 1 or drivers == luminaires or stated is None or stated.origin is None:
        return
    least, most = luminaires / drivers, luminaires / drivers
    if luminaires > drivers:
        least, most = luminaires // drivers, -(-luminaires // drivers)
    for name in (POWER, *OTHERS):
        trait = entry.driver.get(name)
        if trait is not None and isinstance(trait.content, Interval):
            figure = Interval(trait.content.low * least, trait.content.high * most)
            entry.driver[name] = Trait(figure, "derived", origin=trait.origin)
    entry.quantity = drivers
    entry.origins["quantity"] = stated.origin
    told.grouped("the drivers are judged, each with the load of its luminaires", stated.origin)


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
