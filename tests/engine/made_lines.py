"""Lines made from random values: rows with driver traits, circuits, and what is stated for the line."""

from __future__ import annotations

import random
from collections.abc import Mapping

from compat.dataset.read import Dataset
from compat.engine.gather import gather_circuits
from compat.engine.lines import Line, gather_line
from compat.engine.site import Site
from compat.model.schedule import Schedule, ScheduleRow
from compat.model.values import Content, Interval, Trait
from compat.rulebook.rules import ParsedRule
from tests.engine.strategies import random_content

COUNTS = (1, 1, 2, 3, 7, 40, 65)


def site_of(dataset: Dataset) -> Site:
    return Site(
        dataset.tables["supplies"]["U0001"],
        cable=dataset.tables["cables"]["C0004"],
        source_impedance=dataset.tables["source_impedances"]["Z0003"],
    )


def bus_rules(rules: list[ParsedRule]) -> list[ParsedRule]:
    return [rule for rule in rules if rule.rule.scope == "bus"]


def random_row(number: int, circuit: str, label: str, dataset: Dataset, source: random.Random) -> ScheduleRow:
    vocabulary = dataset.vocabulary
    stated = {
        trait.name: Trait(random_content(trait, vocabulary, source))
        for trait in vocabulary.of_subject("driver")
    }
    if source.random() < 0.6:
        # Figures of a size that drivers have, so that rules also hold.
        stated |= {name: Trait(content) for name, content in usual(dataset, source).items()}
    return ScheduleRow(
        number,
        circuit,
        source.choice(COUNTS),
        luminaire_type=source.choice(["", "A", "B"]),
        driver_id=source.choice([None, "D0033", "D0045"]),
        line=label,
        driver_traits=stated,
    )


def usual(dataset: Dataset, source: random.Random) -> dict[str, Content]:
    driver = source.choice([dataset.tables["drivers"][name] for name in ("D0033", "D0045", "D0055")])
    found = {name: trait.content for name, trait in driver.traits.items() if source.random() < 0.9}
    if source.random() < 0.7:
        found["control_current_direction"] = "sources"
        found["control_current_ma"] = Interval(0.5, source.choice([0.5, 2.0]))
        found["dim_floor_percent"] = Interval(1.0, source.choice([1.0, 10.0]))
        found["control_full_output_v"] = Interval(source.choice([8.0, 9.0]), 10.0)
        found["dali_integrated_supply_ma"] = Interval(0.0, source.choice([0.0, 60.0]))
    return found


def usual_of_line(source: random.Random) -> dict[str, Content]:
    length = source.choice([5.0, 60.0, 250.0, 400.0])
    supply = source.choice([50.0, 200.0, 250.0, 300.0])
    return {
        "cable_resistance_ohm_per_km": Interval(12.1, source.choice([12.1, 24.5])),
        "conductor_temperature_celsius": Interval(20.0, source.choice([20.0, 70.0])),
        "length_to_farthest_m": Interval(length, length * source.choice([1.0, 2.0])),
        "dali_supply_max_ma": Interval(supply, supply * source.choice([1.0, 1.2])),
    }


def random_line(label: str, dataset: Dataset, source: random.Random) -> Line:
    rows = tuple(
        random_row(number, f"{label}-{number % 3}", label, dataset, source)
        for number in range(source.randint(1, 5))
    )
    stated = {
        trait.name: Trait(random_content(trait, dataset.vocabulary, source))
        for trait in dataset.vocabulary.of_subject("line")
        if trait.gather == "line"
    }
    if source.random() < 0.7:
        stated |= {name: Trait(content) for name, content in usual_of_line(source).items()}
    if source.random() < 0.8:
        stated["kind"] = Trait(
            source.choice(dataset.vocabulary.values_of(dataset.vocabulary.traits["line.kind"]))
        )
    return line_from(label, rows, stated, dataset)


def line_from(
    label: str, rows: tuple[ScheduleRow, ...], stated: Mapping[str, Trait], dataset: Dataset
) -> Line:
    circuits = gather_circuits(
        Schedule("made.csv", "", rows), dataset, dataset.tables["supplies"]["U0001"], {}
    )
    return gather_line(label, circuits, dataset, stated, {})
