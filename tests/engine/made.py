"""Circuits, outputs and rules made by hand, for tests of one step of the engine at a time."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from compat.dataset.read import Dataset, Equipment
from compat.engine.gather import Circuit, gather_circuits
from compat.engine.site import Site
from compat.engine.subject import Pairing
from compat.model.rule import Citation, Rule
from compat.model.schedule import Schedule, ScheduleRow
from compat.model.values import Content, Interval, Origin, TokenSet, Trait
from compat.rulebook import nodes
from compat.rulebook.expression import Reader, at_most
from compat.rulebook.rules import SUBJECTS_OF, ParsedRule

Traits = Mapping[str, Content]


def exact(value: float) -> Interval:
    return Interval(value, value)


def perhaps(*sure: str, maybe: tuple[str, ...] = ()) -> TokenSet:
    return TokenSet(frozenset(sure), frozenset(sure) | frozenset(maybe))


def row(
    number: int, quantity: int, traits: Traits | None = None, column: Traits | None = None, **fields: str
) -> ScheduleRow:
    """A row of circuit C1, each value with a cell of its own."""
    stated, columns = traits or {}, column or {}
    return ScheduleRow(
        number,
        "C1",
        quantity,
        driver_traits={name: Trait(value, origin=cell(name, number)) for name, value in stated.items()},
        circuit_traits={name: Trait(value, origin=cell(name, number)) for name, value in columns.items()},
        origins={"quantity": cell("quantity", number)},
        **fields,
    )


def cell(name: str, number: int) -> Origin:
    return Origin("made.xlsx", "Circuits", f"{name[0].upper()}{number}", key=name)


def site(dataset: Dataset) -> Site:
    """The supply of 230 V and nothing else."""
    return Site(dataset.tables["supplies"]["U0001"])


def circuit(dataset: Dataset, *rows: ScheduleRow, defaults: Traits | None = None) -> Circuit:
    """The one circuit of some rows."""
    stated = {name: Trait(value) for name, value in (defaults or {}).items()}
    schedule = Schedule("made.xlsx", "", rows)
    (found,) = gather_circuits(schedule, dataset, site(dataset).supply, stated)
    return found


def output(name: str = "X1", **traits: Content) -> Equipment:
    return Equipment(name, f"Output {name}", {key: Trait(value) for key, value in traits.items()})


def pair(dataset: Dataset, of: Circuit, on: Equipment | None = None) -> Pairing:
    return Pairing.of(of, on, site(dataset), dataset)


def rule(dataset: Dataset, identity: str = "R0900", **fields: object) -> ParsedRule:
    """A rule from its expressions; what a rule file must also have is filled in."""
    given: dict[str, object] = {
        "schema": "rule/1",
        "id": identity,
        "slug": f"made-{identity.lower()}",
        "title": "Made.",
        "question": "Made?",
        "scope": "pairing",
        "breach": "fails",
        "because": "Made.",
        "remedies": [f"Remedy of {identity}."],
        "sources": [Citation(source="S0001", supports=["requires"], basis="common_practice")],
    }
    made = Rule.model_validate({**given, **fields})
    reader = Reader(dataset.vocabulary, SUBJECTS_OF[made.scope])
    applies = reader.truth(made.applies)
    if made.requires:
        return ParsedRule(made, "made", Path("made.toml"), applies, reader.truth(made.requires), None, None)
    demand, limit = reader.quantity(made.demand), reader.quantity(made.at_most or made.at_least)
    test: nodes.AtMost = at_most(demand, limit) if made.at_most else at_most(limit, demand)
    return ParsedRule(made, "made", Path("made.toml"), applies, test, demand, limit)
