"""Relations give what their cases expect, and hold of the dataset's own equipment."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from compat.checks.context import CheckContext, check
from compat.checks.sources import unfit
from compat.dataset.toml_files import read_document
from compat.model.faults import Fault, did_you_mean
from compat.model.values import Content, Interval, Origin
from compat.rulebook.follows import Follower
from compat.rulebook.relation_cases import case_faults
from compat.rulebook.relations import ParsedRelation
from compat.rulebook.rules import RELATIONS_FOLDER


@check(
    "relations",
    "dataset",
    "a relation has a source, gives what its cases expect, and holds of every driver of the dataset",
)
def relations(context: CheckContext) -> Iterator[Fault]:
    """Faults of relation files, and of drivers whose own figures break a relation."""
    follower = Follower(context.relations, context.dataset.vocabulary)
    seen: dict[str, str] = {}
    for relation in context.relations:
        yield from _named_faults(relation, seen)
        yield from _source_faults(relation, context)
        for place, case in enumerate(relation.relation.case):
            for what in case_faults(relation, case, follower):
                yield Fault(f"'{case.name}': {what}", _in(relation, "case", place, "name"))
    yield from _driver_faults(context, follower)


def _named_faults(relation: ParsedRelation, seen: dict[str, str]) -> Iterator[Fault]:
    data = relation.relation
    if relation.file.stem != data.slug:
        what = f"the slug is '{data.slug}' and the file '{relation.file.name}'"
        yield Fault(what, _in(relation, "slug"), do=f"Name the file {data.slug}.toml")
    for key, value in (("id", data.id), ("slug", data.slug)):
        if value in seen:
            what = f"the {key} {value} is given already in {seen[value]}"
            yield Fault(what, _in(relation, key), do="Give a new one; ids are never used again")
        seen[value] = relation.file.name
    if data.jurisdictions and not data.presumed:
        what = "what a law asks is not true of all gear"
        yield Fault(what, _in(relation, "jurisdictions"), do="Add presumed = true")


def _source_faults(relation: ParsedRelation, context: CheckContext) -> Iterator[Fault]:
    for place, cited in enumerate(relation.relation.sources):
        source = context.dataset.sources.get(cited.source)
        where = _in(relation, "sources", place, "source")
        if source is None:
            what = f"the source {cited.source} is not in datasets/sources"
            yield Fault(what, where, do=did_you_mean(cited.source, context.dataset.sources))
            continue
        wrong = unfit(cited.basis, source)
        if wrong:
            yield Fault(f"{cited.source}: {wrong}", where, do="Correct the basis or the source")
        if source.kind != "practice" and not cited.locator:
            what = f"{cited.source} is cited without the part of it that is used"
            yield Fault(what, where, do="Add locator: clause, table, page or formula")
        if cited.basis == "memory":
            what = f"{cited.source}: a relation decides, so it cannot rest on memory"
            yield Fault(what, where, do="Find a source")


def _driver_faults(context: CheckContext, follower: Follower) -> Iterator[Fault]:
    """Drivers whose known values contradict each other at the middle of the voltages they are made for."""
    for entry in context.entries:
        if entry.table != "drivers":
            continue
        values = {f"driver.{name}": trait.content for name, trait in entry.traits.items()}
        for conflict in follower.follow([values], _rated(values)).conflicts:
            names = ", ".join(name.removeprefix("driver.") for name in conflict.names)
            what = f"{entry.id}: {names} cannot all be true by {', '.join(conflict.relations)}"
            yield Fault(what, entry.where("id"), do="Correct one of them")


def _rated(values: dict[str, Content]) -> dict[str, Content]:
    low, high = (values.get(f"driver.input_voltage_{end}_v") for end in ("min", "max"))
    if not isinstance(low, Interval) or not isinstance(high, Interval):
        return {}
    return {"supply.voltage_v": Interval(low.low, high.high)}


def _in(relation: ParsedRelation, *steps: str | int) -> Origin:
    where = read_document(relation.file).where(*steps)
    return replace(where, file=f"{RELATIONS_FOLDER}/{relation.file.name}")
