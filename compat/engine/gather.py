"""Circuits made from schedule rows: each trait gathered over its rows, with where it came from."""

from __future__ import annotations

from collections import ChainMap
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from compat.dataset.read import Dataset, Equipment
from compat.engine.aggregate import joined
from compat.engine.computed import Physics
from compat.engine.expected import expected_columns, expected_of, usual_wish
from compat.engine.members import Member, member_of
from compat.engine.site import Site
from compat.engine.supply_of_rows import around
from compat.model.schedule import PlannedLoad, Schedule, ScheduleRow
from compat.model.values import UNKNOWN, Content, Interval, Trait
from compat.model.vocabulary import Vocabulary

__all__ = ["Circuit", "CircuitValues", "Member", "by_label", "gather_circuits", "gather_rows", "label_of"]


class CircuitValues(Mapping[str, Content]):
    """The contents of a circuit by full trait name, each made when it is first asked for.

    ``columns`` are stated, not made from rows or by physics.
    """

    __slots__ = ("_made", "_members", "_physics", "_vocabulary")

    def __init__(
        self, members: Sequence[Member], columns: Mapping[str, Trait], vocabulary: Vocabulary, site: Site
    ) -> None:
        self._members, self._vocabulary = members, vocabulary
        self._made = {f"circuit.{name}": trait.content for name, trait in columns.items()}
        self._physics = Physics(members, self, site)

    def __getitem__(self, name: str) -> Content:
        """The content; raises KeyError for a name that is none of a circuit."""
        if name not in self._made:
            definition = self._vocabulary.traits[name]
            if definition.subject != "circuit":
                raise KeyError(name)
            if definition.gather == "computed":
                self._made[name] = self._physics.value(definition.name)
            else:
                self._made[name] = joined(definition, self._members, self._vocabulary)
        return self._made[name]

    def __iter__(self) -> Iterator[str]:
        """The names in the order of the vocabulary."""
        return (definition.full_name for definition in self._vocabulary.of_subject("circuit"))

    def __len__(self) -> int:
        """How many traits a circuit has."""
        return sum(1 for _ in self)


@dataclass(frozen=True, slots=True)
class Circuit:
    """Luminaires controlled together. ``values`` holds contents by full trait name."""

    id: str
    room: str
    members: tuple[Member, ...]
    output_id: str | None
    values: Mapping[str, Content] = field(default_factory=dict)
    column_traits: dict[str, Trait] = field(default_factory=dict)

    @property
    def planned(self) -> frozenset[str] | None:
        """The methods of the control that is planned: those that all rows name, or any where they differ."""
        named = [member.row.planned for member in self.members if member.row.planned is not None]
        if not named:
            return None
        return frozenset.intersection(*named) or frozenset.union(*named)

    @property
    def planned_load(self) -> PlannedLoad | None:
        """The load window of the control that is planned; of several the smallest."""
        stated = [one for member in self.members if (one := member.row.planned_load) is not None]
        return min(stated, key=lambda one: one.most_w, default=None)

    def is_like(self, other: Circuit) -> bool:
        """Whether another circuit of the same rows has the same values."""
        return self.column_traits == other.column_traits and all(
            one.traits == two.traits for one, two in zip(self.members, other.members, strict=True)
        )


def gather_circuits(
    schedule: Schedule,
    dataset: Dataset,
    supply: Equipment,
    defaults: Mapping[str, Trait],
    site: Site | None = None,
    share: bool = False,
) -> list[Circuit]:
    """The circuits of a schedule, in the order of their first rows.

    ``defaults`` are column traits for cells left empty. A trait that one row does not know is
    unknown for the circuit. The computed traits need a ``site``. With ``share`` circuits that state the
    same share what is known of them with its cells, for a listing that shows none.
    """
    rows: dict[str, list[ScheduleRow]] = {}
    for row in schedule.rows:
        rows.setdefault(row.circuit, []).append(row)
    site = site or Site(supply)
    found, alike = [], dict[object, Circuit]()
    kept = dict[object, Member]() if share else None
    for name, members in rows.items():
        told = _alike_joined(members, dataset.vocabulary) if share else members
        key = tuple((row.quantity, _stated(row)) for row in told)
        first = alike.get(key)
        if first is None or not share:
            circuit = gather_rows(name, members, dataset, site, defaults, kept)
            first = alike.setdefault(key, circuit)
            # Circuits that state the same have the same values, whatever their cells; they are made once.
            found.append(replace(circuit, values=first.values))
            continue
        of_stated = {_stated(one.row): one for one in first.members}
        own = tuple(replace(of_stated[_stated(row)], row=row) for row in members)
        found.append(replace(first, id=name, room=_room(members), members=own, output_id=_output(members)))
    return found


def _alike_joined(rows: Sequence[ScheduleRow], vocabulary: Vocabulary) -> list[ScheduleRow]:
    """The rows of a circuit with those that state the same as one of the whole quantity."""
    found: dict[object, ScheduleRow] = {}
    for place, row in enumerate(rows):
        traits = (vocabulary.traits[f"circuit.{name}"] for name in row.circuit_traits)
        counts = any(definition.gather != "column" for definition in traits)
        key = (place, row.quantity) if counts else _stated(row)
        known = found.get(key)
        found[key] = replace(known, quantity=known.quantity + row.quantity) if known else row
    return list(found.values())


def _room(rows: Sequence[ScheduleRow]) -> str:
    return next((row.room for row in rows if row.room), "")


def _output(rows: Sequence[ScheduleRow]) -> str | None:
    return next((row.output_id for row in rows if row.output_id), None)


def _stated(row: ScheduleRow) -> tuple[object, ...]:
    """All that a row says of the values of its circuit but its quantity."""
    traits = (*row.driver_traits.items(), None, *row.circuit_traits.items())
    said = tuple(one and (one[0], one[1].content, one[1].basis, one[1].recalled) for one in traits)
    return row.luminaire_type, row.driver_id, said


def gather_rows(
    name: str,
    rows: Sequence[ScheduleRow],
    dataset: Dataset,
    site: Site,
    defaults: Mapping[str, Trait],
    kept: dict[object, Member] | None = None,
) -> Circuit:
    """The rows taken as one circuit, whatever circuit they name.

    ``kept`` holds what is known of rows at this site, so that rows that state the same are made once, those
    of one circuit as one; the cells are then those of the first.
    """
    site = around(site, rows, dataset)
    voltage = site.supply.traits.get("voltage_v", UNKNOWN).content
    where = str(site.supply.traits.get("jurisdiction", UNKNOWN).content).replace("_", "-")

    def made(row: ScheduleRow) -> Member:
        member = member_of(row, dataset, voltage, site.driver_defaults, jurisdiction=where)
        if site.usual is None:
            return member
        return expected_of(member, dataset, voltage, site.usual, jurisdiction=where).member

    if kept is None:
        members = joined_rows = tuple(map(made, rows))
    else:
        of_stated, joined_rows = {}, ()
        for row in _alike_joined(rows, dataset.vocabulary):
            key = (voltage, row.quantity, _stated(row))
            if key not in kept:
                kept[key] = made(row)
            of_stated[_stated(row)] = replace(kept[key], row=row)
            joined_rows += (of_stated[_stated(row)],)
        members = tuple(replace(of_stated[_stated(row)], row=row) for row in rows)
    columns: dict[str, Trait] = {}
    for definition in dataset.vocabulary.of_subject("circuit"):
        if definition.gather == "column":
            stated = [
                row.circuit_traits[definition.name] for row in rows if definition.name in row.circuit_traits
            ]
            columns[definition.name] = stated[0] if stated else defaults.get(definition.name, UNKNOWN)
    if columns["wanted_colour_control"].basis == "common_practice" and _has_colours(members):
        columns["wanted_colour_control"] = Trait(True, "common_practice", "S0001")
    if site.usual is not None:
        columns, _ = expected_columns(columns, dataset, voltage, site.usual)
        if columns["wanted_control"].content is None:
            columns["wanted_control"] = usual_wish(members)
    values = CircuitValues(joined_rows, columns, dataset.vocabulary, site)
    return Circuit(name, _room(rows), members, _output(rows), values, columns)


def together(name: str, circuits: Sequence[Circuit], dataset: Dataset, site: Site) -> Circuit:
    """Some circuits of a site taken as one, such as all behind a protective device."""
    members = tuple(member for circuit in circuits for member in circuit.members)
    columns = _common_columns(circuits)
    around_all = around(site, (member.row for member in members), dataset)
    values = CircuitValues(members, columns, dataset.vocabulary, around_all)
    return Circuit(name, circuits[0].room, members, circuits[0].output_id, values, columns)


def _common_columns(circuits: Sequence[Circuit]) -> dict[str, Trait]:
    """What the columns say of all circuits: figures from the lowest to the highest, words where all agree."""
    common: dict[str, Trait] = {}
    for name in circuits[0].column_traits:
        traits = [circuit.column_traits[name] for circuit in circuits]
        contents = [trait.content for trait in traits]
        figures = [content for content in contents if isinstance(content, Interval)]
        if len(figures) == len(contents):
            hull = Interval(min(one.low for one in figures), max(one.high for one in figures))
            common[name] = replace(traits[0], content=hull)
        else:
            alike = all(content == contents[0] for content in contents)
            common[name] = traits[0] if alike else UNKNOWN
    return common


def _has_colours(members: Sequence[Member]) -> bool:
    """Whether gear is known to have colours to set: who buys that wants them set, unless he says not."""
    colours = {member.traits.get("colour", UNKNOWN).content for member in members}
    return not colours <= {None, "none", "dim_to_warm"}


def of_counts(single: Circuit, up_to: int, dataset: Dataset, site: Site) -> list[Circuit]:
    """A circuit of one row with 1, 2, 3 ... ``up_to`` of its drivers instead."""
    (member,) = single.members
    series = []
    for count in range(1, up_to + 1):
        members = (replace(member, row=replace(member.row, quantity=count)),)
        values = CircuitValues(members, single.column_traits, dataset.vocabulary, site)
        series.append(replace(single, members=members, values=values))
    return series


def with_column(circuit: Circuit, name: str, trait: Trait) -> Circuit:
    """The same circuit with another value stated in a column."""
    values = ChainMap({f"circuit.{name}": trait.content}, circuit.values)  # type: ignore[arg-type]
    return replace(circuit, values=values, column_traits={**circuit.column_traits, name: trait})


def label_of(circuit: Circuit, column: Literal["breaker", "rcd", "line"]) -> str | None:
    """The label that the rows of a circuit give in a column, None when they give none."""
    labels: list[str | None] = [getattr(member.row, column) for member in circuit.members]
    return next((label for label in labels if label), None)


def by_label(
    circuits: Iterable[Circuit], column: Literal["breaker", "rcd", "line"]
) -> dict[str, list[Circuit]]:
    """The circuits that share a label, in the order of the schedule; those without one are left out."""
    groups: dict[str, list[Circuit]] = {}
    for circuit in circuits:
        label = label_of(circuit, column)
        if label is not None:
            groups.setdefault(label, []).append(circuit)
    return groups
