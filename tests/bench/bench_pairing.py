"""How fast circuits meet outputs, and what the commands cost beside ``python -c "import duckdb"``.

``python -m tests.bench.bench_pairing``. Prints the fixed statement in DuckDB over 1,000 x 1,000 pairings
with all pairing rules, a NumPy loop over clauses, the subject stage against circuits plus outputs, the
commands, and 5,000 circuits of 50 kinds. Nothing is asserted of time; both joins must give the same keys.
"""

from __future__ import annotations

import csv
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from compat.api import Inputs, open_schedule
from compat.engine.database import locked_connection
from compat.engine.join import VERDICT_KEYS, ClauseTables
from compat.engine.protection import is_shared
from compat.engine.subject import CircuitSubject, OutputSubject
from compat.rulebook.rules import ParsedRule, is_of_circuit
from tests.bench.numpy_clauses import Sides, keys_by_numpy, sides_of
from tests.conftest import ROOT

DEMO = ROOT / "datasets" / "demo" / "house.csv"
KINDS, COPIES, ROUNDS, CIRCUITS = 50, 20, 3, 5000
COPIED = {"demands": ["circuit"], "allowances": ["output"], "mixed": ["circuit", "output"]}
PROGRAM = ("-c", "from compat.cli.app import main; main()")
BESIDE = 'python -c "import duckdb"'
COMMANDS = {
    BESIDE: ("-c", "import duckdb"),
    "check of the demo": (*PROGRAM, "check", str(DEMO.with_suffix(".xlsx"))),
    "lookup": (*PROGRAM, "lookup", "D0002"),
    "lookup with options": (*PROGRAM, "lookup", "D0014", "--count", "10", "--watts", "12"),
}


def say(text: str) -> None:
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


def subjects() -> tuple[list[CircuitSubject], list[OutputSubject], list[ParsedRule]]:
    """The first circuits of the demo and outputs of the dataset, not yet evaluated; the pairing rules."""
    check, schedule = open_schedule(DEMO, Inputs())
    circuits = [CircuitSubject(check.dataset, one, check.site) for one in check.circuits(schedule)[:KINDS]]
    outputs = [OutputSubject(check.dataset, one) for one in list(check.dataset.tables["outputs"].values())]
    rules = [rule for rule in check.rules if is_of_circuit(rule) and not is_shared(rule)]
    return circuits, outputs[:KINDS], rules


def subject_stage() -> None:
    """Demands and allowances of more and more subjects: seconds, and microseconds a subject."""
    for share in (10, 25, 50):
        circuits, outputs, rules = subjects()
        tables, start = ClauseTables(rules), time.process_time()
        rows = sum(1 for one in (*circuits[:share], *outputs[:share]) for _ in tables.rows(one))
        spent = time.process_time() - start
        each = spent / share / 2 * 1e3
        say(f"subject stage, {share} circuits + {share} outputs: {spent:.3f} s, {rows} rows, {each:.2f} ms")


def by_database(
    circuits: Sequence[CircuitSubject], outputs: Sequence[OutputSubject], rules: Sequence[ParsedRule]
) -> tuple[np.ndarray, float]:
    """Keys and the best time of the fixed statement, each subject there ``COPIES`` times."""
    with locked_connection() as connection:
        ClauseTables(rules).fill(connection, circuits, outputs)
        for name, subjects_in in COPIED.items():
            new = ", ".join(f"({one} * {COPIES} + {one}_copy.range)::INTEGER AS {one}" for one in subjects_in)
            ranges = ", ".join(f"range({COPIES}) {one}_copy" for one in subjects_in)
            connection.execute(
                f"CREATE OR REPLACE TABLE {name} AS SELECT {name}.* REPLACE ({new}) FROM {name}, {ranges}"
            )
        times = []
        for _ in range(ROUNDS):
            start = time.perf_counter()
            found = connection.execute(VERDICT_KEYS).fetchnumpy()
            times.append(time.perf_counter() - start)
    keys = np.zeros((len(circuits) * COPIES, len(outputs) * COPIES), dtype=np.int32)
    keys[found["circuit"], found["output"]] = found["key"]
    return keys, min(times)


def repeated(sides: Sides) -> Sides:
    """The sides with each subject ``COPIES`` times."""

    def ends(pair: tuple[np.ndarray, np.ndarray]) -> tuple[np.ndarray, np.ndarray]:
        return np.repeat(pair[0], COPIES), np.repeat(pair[1], COPIES)

    mixed = sides.mixed
    return replace(
        sides,
        demand=np.repeat(sides.demand, COPIES),
        allowance=np.repeat(sides.allowance, COPIES),
        values=tuple((ends(one), ends(other)) for one, other in sides.values),
        mixed=None if mixed is None else np.repeat(np.repeat(mixed, COPIES, 0), COPIES, 1),
    )


def by_numpy(
    circuits: Sequence[CircuitSubject], outputs: Sequence[OutputSubject], rules: Sequence[ParsedRule]
) -> tuple[np.ndarray, float]:
    """Keys and the best time of the loop over clauses."""
    sides = {id(c): repeated(sides_of(c, circuits, outputs)) for rule in rules for c in rule.clauses}
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        keys = keys_by_numpy(rules, sides)
        times.append(time.perf_counter() - start)
    return keys, min(times)


def user_seconds(arguments: Sequence[str], environment: dict[str, str]) -> float:
    """User CPU of one process."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime
    run = subprocess.run(
        [sys.executable, *arguments], cwd=ROOT, env=environment, stdout=subprocess.DEVNULL, check=False
    )
    assert run.returncode in (0, 1), arguments
    return resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime - before


def many_circuits(path: Path) -> None:
    """A schedule of circuits of 50 kinds, none sharing a device or a line."""
    with DEMO.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    kinds: dict[str, list[dict[str, str]]] = {}
    for row in rows:
        kinds.setdefault(row["Circuit"], []).append({**row, "Breaker": "", "RCD": "", "Line": ""})
    chosen = list(kinds.values())[:KINDS]
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        for number in range(CIRCUITS):
            writer.writerows({**row, "Circuit": f"C{number}"} for row in chosen[number % KINDS])


def main() -> None:
    circuits, outputs, rules = subjects()
    pairings = len(circuits) * len(outputs) * COPIES**2
    for name, join in (("DuckDB, fixed statement", by_database), ("NumPy, loop over clauses", by_numpy)):
        keys, seconds = join(circuits, outputs, rules)
        rate = pairings / seconds / 1e6
        say(f"{name}: {pairings:,} pairings, {len(rules)} rules: {seconds:.2f} s, {rate:.2f} M/s")
        if join is by_database:
            expected = keys
    assert (keys == expected).all(), "the two joins differ"
    subject_stage()
    with tempfile.TemporaryDirectory() as folder:
        # Compiled code is kept between the runs, as it is for an installed program.
        environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
        environment |= {"PYTHONPYCACHEPREFIX": folder, "PYTHONPATH": str(ROOT)}
        for arguments in COMMANDS.values():
            user_seconds(arguments, environment)
        base = 0.0
        for name, arguments in COMMANDS.items():
            spent = statistics.median(user_seconds(arguments, environment) for _ in range(5))
            base = base or spent
            say(f"{name}: {spent:.3f} s of user CPU, {spent / base:.1f} times {BESIDE}")
        path = Path(folder) / "many.csv"
        many_circuits(path)
        spent = user_seconds((*PROGRAM, "check", str(path)), environment)
        say(f"check of {CIRCUITS:,} circuits of {KINDS} kinds: {spent:.1f} s of user CPU")


if __name__ == "__main__":
    main()
