"""A thousand circuits against a thousand outputs by every rule: pairings a second and memory.

``python tests/bench/bench_pairing.py [CIRCUITS [OUTPUTS]]``. The same pairings are judged by a NumPy form
of the rules, written apart from the program's; both must give the same key for every pairing. Circuits
and outputs come from the tables, with figures jittered and some of them forgotten.
"""

from __future__ import annotations

import random
import resource
import sys
import time
from collections.abc import Mapping
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parent.parent.parent
sys.path.insert(0, str(ROOT))

from compat.engine.frames import columns_of  # noqa: E402
from compat.engine.keys import verdict_and_place  # noqa: E402
from compat.engine.pairing import PairingPlan  # noqa: E402

from compat.dataset.overlay import read_setting  # noqa: E402
from compat.dataset.read import Dataset, load_dataset  # noqa: E402
from compat.engine.database import columns_into_database, locked_connection  # noqa: E402
from compat.engine.gather import gather_circuits  # noqa: E402
from compat.engine.protection import is_shared  # noqa: E402
from compat.engine.site import site_of  # noqa: E402
from compat.model.schedule import Schedule, ScheduleRow  # noqa: E402
from compat.model.values import Content, Interval, Trait  # noqa: E402
from compat.model.verdicts import VERDICTS  # noqa: E402
from compat.rulebook.rules import ParsedRule, read_rules  # noqa: E402
from tests.bench.numpy_rules import Array, Evaluator, columns  # noqa: E402

FORGOTTEN = 0.06
ROUNDS = 3
CIRCUITS_AT_A_TIME = 50
Values = Mapping[str, Content]


def say(text: str) -> None:
    sys.stdout.write(f"{text}\n")


def jittered(values: Values, source: random.Random) -> dict[str, Content]:
    """Figures a little off, some intervals wider, and some values forgotten."""
    found: dict[str, Content] = {}
    for name, content in values.items():
        if source.random() < FORGOTTEN:
            found[name] = None
        elif isinstance(content, Interval) and not name.endswith(("count", "types", "addresses")):
            share = source.choice([1.0, 1.0, source.uniform(0.5, 2.0)])
            wide = source.choice([1.0, 1.0, source.uniform(1.0, 1.3)])
            found[name] = Interval(content.low * share, content.high * share * wide)
        else:
            found[name] = content
    return found


def made_circuits(count: int, dataset: Dataset, source: random.Random) -> list[dict[str, Content]]:
    """Circuits of one to three driver types of the tables, with wishes, at the site of the defaults."""
    setting = read_setting(dataset, None, None)
    site, drivers = site_of(setting), list(dataset.tables["drivers"])
    rows: list[ScheduleRow] = []
    for number in range(count):
        wishes: dict[str, Content] = {
            "wanted_control": source.choice(["dimmed", "switched"]),
            "wanted_dim_floor_percent": source.choice([None, Interval(1.0, 1.0), Interval(10.0, 10.0)]),
            "neutral_at_control": source.choice([True, True, False, None]),
        }
        stated = {name: Trait(wish) for name, wish in wishes.items()}
        for _ in range(source.choice([1, 1, 1, 2, 3])):
            rows.append(
                ScheduleRow(
                    len(rows), f"C{number}", source.randint(1, 30),
                    driver_id=source.choice(drivers), circuit_traits=stated,
                )
            )  # fmt: skip
    schedule = Schedule("made", "", tuple(rows))
    circuits = gather_circuits(schedule, dataset, setting.supply, setting.circuit_defaults, site)
    around = {
        f"{subject}.{name}": trait.content
        for subject in ("supply", "breaker", "cable", "source_impedance")
        for name, trait in site.traits(subject).items()
    }
    return [{**jittered(circuit.values, source), **around} for circuit in circuits]


def made_outputs(count: int, dataset: Dataset, source: random.Random) -> list[dict[str, Content]]:
    entries = list(dataset.tables["outputs"].values())
    picked = [entries[place % len(entries)] for place in range(count)]
    return [
        jittered({f"output.{name}": trait.content for name, trait in entry.traits.items()}, source)
        for entry in picked
    ]


def by_database(
    rules: list[ParsedRule],
    circuits: list[dict[str, Content]],
    outputs: list[dict[str, Content]],
    dataset: Dataset,
) -> tuple[Array, float, float]:
    """Keys, seconds from values to keys, and of them the seconds of the pairing itself."""
    plan, vocabulary = PairingPlan(rules), dataset.vocabulary
    best, pairing = float("inf"), float("inf")
    for _ in range(ROUNDS):
        connection = locked_connection()
        start = time.perf_counter()
        for side, values in (("circuit", circuits), ("output", outputs)):
            made = columns_of(values, plan.names(side), vocabulary, f"{side}_index")
            columns_into_database(connection, f"{side}s", made)
        handed_over = time.perf_counter()
        plan.run(connection)
        end = time.perf_counter()
        best, pairing = min(best, end - start), min(pairing, end - handed_over)
        query = "SELECT key FROM pairings ORDER BY circuit_index, output_index"
        keys = connection.execute(query).fetchnumpy()["key"]
        connection.close()
    return np.asarray(keys).reshape(len(circuits), len(outputs)), best, pairing


def by_numpy(
    rules: list[ParsedRule],
    circuits: list[dict[str, Content]],
    outputs: list[dict[str, Content]],
    dataset: Dataset,
) -> tuple[Array, float, float]:
    """As :func:`by_database`; some circuits at a time, so that the arrays stay in the cache."""
    plan, vocabulary = PairingPlan(rules), dataset.vocabulary
    best, pairing = float("inf"), float("inf")
    for _ in range(ROUNDS):
        start = time.perf_counter()
        left = columns(circuits, plan.names("circuit"), vocabulary)
        right = columns(outputs, plan.names("output"), vocabulary)
        handed_over = time.perf_counter()
        parts = []
        for first in range(0, len(circuits), CIRCUITS_AT_A_TIME):
            last = min(first + CIRCUITS_AT_A_TIME, len(circuits))
            some = {name: tuple(array[first:last] for array in arrays) for name, arrays in left.items()}
            parts.append(Evaluator(some, right).keys(rules, (last - first, len(outputs))))
        keys = np.concatenate(parts)
        end = time.perf_counter()
        best, pairing = min(best, end - start), min(pairing, end - handed_over)
    return keys, best, pairing


def main() -> None:
    numbers = [int(argument) for argument in sys.argv[1:]] or [1000]
    source = random.Random(20261125)
    dataset = load_dataset(ROOT)
    rules = [
        rule
        for rule in read_rules(dataset.rules_folder, dataset.vocabulary)
        if rule.rule.scope != "bus" and not is_shared(rule)
    ]
    circuits = made_circuits(numbers[0], dataset, source)
    outputs = made_outputs(numbers[-1], dataset, source)
    pairings = len(circuits) * len(outputs)
    say(f"{len(circuits)} circuits x {len(outputs)} outputs = {pairings:,} pairings, {len(rules)} rules")
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    keys, whole, pairing = by_database(rules, circuits, outputs, dataset)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    say(f"database: {pairing:.2f} s pairing, {whole:.2f} s with the values handed over")
    say(
        f"          {pairings / pairing:,.0f} pairings/s, {pairings / whole:,.0f} with the values handed over"
    )
    say(f"          peak memory of the process {peak / 1024:.0f} MiB, {before / 1024:.0f} MiB before")
    others, numpy_whole, numpy_pairing = by_numpy(rules, circuits, outputs, dataset)
    say(f"NumPy:    {numpy_pairing:.2f} s pairing, {numpy_whole:.2f} s with the values handed over")
    say(f"          {pairings / numpy_pairing:,.0f} pairings/s")
    say(f"ratio:    the database is {numpy_pairing / pairing:.2f} times as fast as NumPy")
    different = np.argwhere(keys != others)
    for circuit, output in different[:5]:
        one, two = (verdict_and_place(int(found[circuit, output])) for found in (keys, others))
        say(f"circuit {circuit}, output {output}: database {one}, NumPy {two}")
    assert not len(different), f"{len(different)} pairings differ"
    ranks, counts = np.unique(keys // 1024, return_counts=True)
    shares = ", ".join(
        f"{VERDICTS[rank]} {count / pairings:.1%}" for rank, count in zip(ranks, counts, strict=True)
    )
    say(f"the same key for every pairing; {shares}")


if __name__ == "__main__":
    main()
