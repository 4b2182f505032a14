"""Circuits made from schedule rows: each trait gathered over its rows, with where it came from."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from compat.dataset.read import Dataset, Equipment
from compat.engine.computed import compute
from compat.engine.site import Site
from compat.model.schedule import Schedule, ScheduleRow
from compat.model.values import UNKNOWN, Content, Interval, TokenSet, Trait
from compat.model.vocabulary import TraitDefinition, Vocabulary


@dataclass(frozen=True, slots=True)
class Member:
    """One row of a circuit with every driver trait that is known of it."""

    row: ScheduleRow
    driver: Equipment | None
    traits: Mapping[str, Trait]

    @property
    def name(self) -> str:
        """What people call it: the luminaire type, else the driver."""
        return self.row.luminaire_type or (self.driver.name if self.driver else f"row {self.row.number}")


@dataclass(frozen=True, slots=True)
class Circuit:
    """Luminaires controlled together. ``values`` holds contents by full trait name."""

    id: str
    room: str
    members: tuple[Member, ...]
    output_id: str | None
    values: dict[str, Content] = field(default_factory=dict)
    column_traits: dict[str, Trait] = field(default_factory=dict)


def gather_circuits(
    schedule: Schedule,
    dataset: Dataset,
    supply: Equipment,
    defaults: Mapping[str, Trait],
    site: Site | None = None,
) -> list[Circuit]:
    """The circuits of a schedule, in the order of their first rows.

    ``defaults`` are column traits for cells left empty. A trait that one row does not know is
    unknown for the circuit. The computed traits need a ``site``.
    """
    rows: dict[str, list[ScheduleRow]] = {}
    for row in schedule.rows:
        rows.setdefault(row.circuit, []).append(row)
    site = site or Site(supply)
    return [gather_rows(name, members, dataset, site, defaults) for name, members in rows.items()]


def gather_rows(
    name: str, rows: Sequence[ScheduleRow], dataset: Dataset, site: Site, defaults: Mapping[str, Trait]
) -> Circuit:
    """The rows taken as one circuit, whatever circuit they name."""
    voltage = site.supply.traits.get("voltage_v", UNKNOWN).content
    members = tuple(_member(row, dataset, voltage) for row in rows)
    columns: dict[str, Trait] = {}
    values: dict[str, Content] = {}
    for definition in dataset.vocabulary.of_subject("circuit"):
        if definition.gather == "column":
            stated = [
                row.circuit_traits[definition.name] for row in rows if definition.name in row.circuit_traits
            ]
            columns[definition.name] = stated[0] if stated else defaults.get(definition.name, UNKNOWN)
            values[definition.full_name] = columns[definition.name].content
        else:
            values[definition.full_name] = _gathered(definition, members, dataset.vocabulary)
    room = next((row.room for row in rows if row.room), "")
    output_id = next((row.output_id for row in rows if row.output_id), None)
    circuit = Circuit(name, room, members, output_id, values, columns)
    values.update(compute(circuit, site))
    return circuit


def _member(row: ScheduleRow, dataset: Dataset, voltage: Content) -> Member:
    driver = dataset.tables["drivers"].get(row.driver_id) if row.driver_id else None
    traits = {**(driver.traits if driver else {}), **row.driver_traits}
    if traits.get("input_current_a", UNKNOWN).content is None:
        current = current_from_power(
            traits.get("input_power_w", UNKNOWN).content, traits.get("power_factor", UNKNOWN).content, voltage
        )
        if current is not None:
            # I = P / (U * power factor): the definition of the power factor.
            traits["input_current_a"] = Trait(current, "derived", "S0003", traits["input_power_w"].origin)
    if traits.get("apparent_power_va", UNKNOWN).content is None:
        apparent = product_of(traits.get("input_current_a", UNKNOWN).content, voltage)
        if apparent is not None:
            traits["apparent_power_va"] = Trait(
                apparent, "derived", "S0003", traits["input_current_a"].origin
            )
    if traits.get("insulation_class", UNKNOWN).content in ("class_2", "class_3"):
        # Without a protective conductor there is no current in it.
        traits.setdefault("protective_conductor_current_ma", Trait(Interval(0.0, 0.0), "derived", "S0003"))
    methods = traits.get("methods", UNKNOWN)
    if traits.get("dimming_forbidden", UNKNOWN).content is None and isinstance(methods.content, TokenSet):
        dimming = frozenset(dataset.vocabulary.choices["method"]) - {"switched"}
        if methods.content.sure & dimming or not methods.content.possible & dimming:
            # A load that takes a dimming method may be dimmed; one that takes none may not.
            forbidden = not methods.content.sure & dimming
            traits["dimming_forbidden"] = Trait(forbidden, "derived", "S0003", methods.origin)
    return Member(row, driver, traits)


def current_from_power(power: Content, power_factor: Content, voltage: Content) -> Interval | None:
    """Current in A of a load in W at a voltage in V; None when a value is unknown or zero."""
    if not (
        isinstance(power, Interval) and isinstance(power_factor, Interval) and isinstance(voltage, Interval)
    ):
        return None
    if power_factor.low <= 0 or voltage.low <= 0:
        return None
    low = power.low / (voltage.high * power_factor.high)
    high = power.high / (voltage.low * power_factor.low)
    return Interval(low, high) if math.isfinite(high) else None


def product_of(left: Content, right: Content) -> Interval | None:
    """The product of two known quantities that are not negative."""
    if not (isinstance(left, Interval) and isinstance(right, Interval)):
        return None
    return _checked(left.low * right.low, left.high * right.high)


def _gathered(definition: TraitDefinition, members: Sequence[Member], vocabulary: Vocabulary) -> Content:
    if definition.gather == "count":
        total = float(sum(member.row.quantity for member in members))
        return Interval(total, total)
    if definition.gather == "types":
        named = {member.row.driver_id for member in members if member.row.driver_id}
        surely = max(1, len(named))
        return Interval(float(surely), float(max(surely, len({_kind_of(member) for member in members}))))
    if definition.gather == "computed":
        return None
    source = vocabulary.traits[definition.gathered_from]
    contents = [member.traits.get(source.name, UNKNOWN).content for member in members]
    if definition.kind == "set":
        return _joined_sets(definition.gather, contents, frozenset(vocabulary.values_of(source)))
    if definition.kind == "yes_no":
        return _joined_yes_no(definition.gather, contents)
    quantities = [content for content in contents if isinstance(content, Interval)]
    if len(quantities) < len(contents):
        return None
    counts = [member.row.quantity for member in members]
    return _checked(*QUANTITY_GATHERS[definition.gather](quantities, counts))


def _kind_of(member: Member) -> object:
    """What shows that two rows have the same type of driver: the driver id or the luminaire type, and
    all that the rows state. Rows that show neither may be of different types.
    """
    stated = tuple(sorted((name, repr(trait.content)) for name, trait in member.row.driver_traits.items()))
    name = member.row.driver_id or member.row.luminaire_type
    return (name, stated) if name else member.row.number


Ends = tuple[float, float]
Quantities = Sequence[Interval]


def _sum(values: Quantities, counts: Sequence[int]) -> Ends:
    pairs = list(zip(values, counts, strict=True))
    return math.fsum(v.low * n for v, n in pairs), math.fsum(v.high * n for v, n in pairs)


def _largest_to_sum(values: Quantities, counts: Sequence[int]) -> Ends:
    return max(value.low for value in values), _sum(values, counts)[1]


QUANTITY_GATHERS: dict[str, Callable[[Quantities, Sequence[int]], Ends]] = {
    "sum": _sum,
    "greatest": lambda values, _: (max(v.low for v in values), max(v.high for v in values)),
    "least": lambda values, _: (min(v.low for v in values), min(v.high for v in values)),
    "largest_to_sum": _largest_to_sum,
}


def _checked(low: float, high: float) -> Interval | None:
    return Interval(low, high) if math.isfinite(low) and math.isfinite(high) else None


def _joined_sets(gather: str, contents: Sequence[Content], every: frozenset[str]) -> TokenSet:
    sets = [_as_set(content, every) for content in contents]
    sure, possible = sets[0].sure, sets[0].possible
    for tokens in sets[1:]:
        if gather == "some":
            sure, possible = sure | tokens.sure, possible | tokens.possible
        else:
            sure, possible = sure & tokens.sure, possible & tokens.possible
    return TokenSet(sure, possible)


def _as_set(content: Content, every: frozenset[str]) -> TokenSet:
    if isinstance(content, TokenSet):
        return content
    if isinstance(content, str):
        return TokenSet.exactly(content)
    return TokenSet(frozenset(), every)


def _joined_yes_no(gather: str, contents: Sequence[Content]) -> bool | None:
    decisive = gather == "any"
    if any(content is decisive for content in contents):
        return decisive
    return None if any(content is None for content in contents) else not decisive
