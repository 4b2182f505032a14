"""Usual values have a basis, and the dataset's own equipment of a class lies in its range."""

from __future__ import annotations

from collections.abc import Iterator

from compat.checks.context import CheckContext, TableEntry, check
from compat.checks.sources import unfit
from compat.dataset.toml_files import read_document
from compat.model.equipment import SUBJECT_OF
from compat.model.faults import Fault, did_you_mean
from compat.model.values import UNKNOWN, Content, Interval, Origin, TokenSet
from compat.rulebook.usual import ParsedClass, with_usual


@check(
    "usual-values",
    "dataset",
    "a usual value has a basis, and meets what is known of the generic drivers of its class",
)
def usual_values(context: CheckContext) -> Iterator[Fault]:
    """Faults of classes by themselves, and of those that a generic driver of theirs is outside of."""
    seen: dict[str, str] = {}
    for entry in context.usual.classes:
        for key, value in (("id", entry.written.id), ("slug", entry.written.slug)):
            if value in seen:
                what = f"the {key} {value} is given already in {seen[value]}"
                yield Fault(what, _in(entry, key), do="Give a new one")
            seen[value] = entry.file.name
        yield from _source_faults(entry, context)
    yield from _supply_faults(context)
    yield from _driver_faults(context)


def _source_faults(entry: ParsedClass, context: CheckContext) -> Iterator[Fault]:
    sources = context.dataset.sources
    for name, trait in entry.figures.items():
        what = f"{entry.written.id} {name}"
        if trait.basis == "declared":
            yield Fault(f"{what}: a usual value is declared by nobody", _in(entry, "id"))
        if trait.basis in ("standard", "measured") and not trait.source:
            do = "Add source, or correct the basis"
            yield Fault(
                f"{what}: a value of basis {trait.basis} needs its source", _in(entry, "traits", name), do=do
            )
        if trait.source and trait.source not in sources:
            missing = f"{what}: the source {trait.source[:40]} is not in datasets/sources"
            yield Fault(missing, _in(entry, "traits", name), do=did_you_mean(trait.source, sources))
        elif trait.source and (wrong := unfit(trait.basis, sources[trait.source])):
            yield Fault(f"{what}: {trait.source}: {wrong}", _in(entry, "traits", name), do="Correct one")


def _supply_faults(context: CheckContext) -> Iterator[Fault]:
    tables, countries = context.dataset.tables, set[str]()
    for entry in context.usual.supplies:
        stated = [("supplies", one) for one in (entry.supply, *entry.others)]
        stated += [("cables", entry.cable)] if entry.cable else []
        for table, named in (*stated, ("source_impedances", entry.source_impedance)):
            if named not in tables[table]:
                where = Origin("usual", key=named)
                yield Fault(f"'{named}' is not in the table of {table.replace('_', ' ')}", where)
        for country in entry.countries:
            if country in countries:
                yield Fault(f"the supply of {country} is stated twice", Origin("usual", key=country))
            countries.add(country)


def _driver_faults(context: CheckContext) -> Iterator[Fault]:
    """For each class the generic drivers to which it applies: a quantity must meet the range of each.

    A word of the class must be that of at least one of them, since kinds differ within a class.
    """
    words: dict[tuple[str, str], list[bool]] = {}
    entries = {entry.written.id: entry for entry in context.usual.classes}
    for driver in context.entries:
        if driver.table != SUBJECT_TABLE:
            continue
        for key, name, known, usual in _beside(driver, context):
            if isinstance(known, Interval) and isinstance(usual, Interval):
                if known.low > usual.high or known.high < usual.low:
                    what = f"{key} {name}: {driver.id} has {known.low:g} to {known.high:g}, outside of it"
                    yield Fault(what, _in(entries[key], "id"), do="Correct the class or the driver")
            else:
                words.setdefault((key, name), []).append(_agree(known, usual))
    for (key, name), agreed in words.items():
        if not any(agreed):
            what = f"{key} {name}: no generic driver of the class is so"
            yield Fault(what, _in(entries[key], "id"), do="Correct the class or the drivers")


SUBJECT_TABLE = next(table for table, subject in SUBJECT_OF.items() if subject == "driver")


def _beside(driver: TableEntry, context: CheckContext) -> Iterator[tuple[str, str, Content, Content]]:
    """Each known trait of a driver beside what would be usual of it if it were not known."""
    traits = dict(driver.traits)
    voltage = traits.get("input_voltage_max_v", UNKNOWN).content
    given = (
        {"supply.voltage_v": Interval(voltage.high / 1.15, voltage.high / 1.1)}
        if isinstance(voltage, Interval)
        else {}
    )
    for name, trait in driver.traits.items():
        if trait.content is None:
            continue
        left = {other: known for other, known in traits.items() if other != name}
        filled, which = with_usual(
            left,
            context.dataset.vocabulary,
            context.usual,
            text=str(driver.raw.get("name", "")),
            given=given,
        )
        if name in which and filled[name].content is not None:
            yield which[name], name, trait.content, filled[name].content


def _agree(known: Content, usual: Content) -> bool:
    if isinstance(known, TokenSet) and isinstance(usual, TokenSet):
        return known.sure <= usual.possible and usual.sure <= known.possible
    return known == usual


def _in(entry: ParsedClass, *steps: str) -> Origin:
    """Where a part of a class is written."""
    document = read_document(entry.file)
    ids = [written["id"] for written in document.data["class"]]
    return document.where("class", ids.index(entry.written.id), *steps)
