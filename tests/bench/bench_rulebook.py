"""The whole rulebook over 100,000 rows of driver x breaker x count: physics, then rules, in DuckDB.

Run ``python tests/bench/bench_rulebook.py``. Rates are printed and nothing is asserted of time; the
verdicts of a sample are asserted to be those of the plain-Python form.
"""

from __future__ import annotations

import math
import random
import resource
import sys
import time
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from compat.engine.frames import columns_of
from compat.engine.keys import key_of
from compat.engine.pairing import PairingPlan

from compat.dataset.overlay import read_setting
from compat.dataset.read import Dataset, load_dataset
from compat.engine.database import columns_into_database, locked_connection
from compat.engine.gather import Circuit, gather_rows
from compat.engine.site import Site, site_of
from compat.model.schedule import ScheduleRow
from compat.model.values import Content
from compat.rulebook.cases import evaluation
from compat.rulebook.rules import read_rules

ROWS = 100_000
OUTPUT = "O0021"


def rows_of(dataset: Dataset, site: Site) -> tuple[list[dict[str, Content]], int]:
    """Values for each driver, breaker and count; and how many circuits were gathered for them."""
    breakers = list(dataset.tables["breakers"].values())
    drivers = list(dataset.tables["drivers"].values())
    counts = math.ceil(ROWS / len(breakers) / len(drivers))
    rows: list[dict[str, Content]] = []
    gathered = 0
    for driver in drivers:
        for count in range(1, counts + 1):
            row = ScheduleRow(count, "C", count, luminaire_type=driver.name, driver_id=driver.id)
            circuit: Circuit = gather_rows("C", [row], dataset, site, {})
            gathered += 1
            for breaker in breakers:
                at = replace(site, breaker=breaker)
                named = {f"breaker.{name}": trait.content for name, trait in breaker.traits.items()}
                named |= {f"supply.{name}": trait.content for name, trait in site.supply.traits.items()}
                rows.append({**circuit.values, **release_of(circuit, at), **named})
    return rows[:ROWS], gathered


def release_of(circuit: Circuit, site: Site) -> dict[str, Content]:
    """The one computed trait that depends on the breaker."""
    from compat.engine.computed import breaker_release

    return {"circuit.breaker_release_peak_a": breaker_release(circuit, site)}


def main() -> None:
    """Build, judge, sample, print."""
    dataset = load_dataset()
    rules = read_rules(dataset.rules_folder, dataset.vocabulary)
    rules = [rule for rule in rules if rule.rule.scope in ("supply", "pairing")]
    site = site_of(read_setting(dataset, None, None))
    start = time.perf_counter()
    rows, gathered = rows_of(dataset, site)
    built = time.perf_counter()
    output = {f"output.{n}": t.content for n, t in dataset.tables["outputs"][OUTPUT].traits.items()}
    plan = PairingPlan(rules)
    connection = locked_connection()
    names, vocabulary = plan.names("circuit"), dataset.vocabulary
    columns_into_database(connection, "circuits", columns_of(rows, names, vocabulary, "circuit_index"))
    columns_into_database(
        connection, "outputs", columns_of([output], plan.names("output"), vocabulary, "output_index")
    )
    loaded = time.perf_counter()
    plan.run(connection)
    judged = time.perf_counter()
    found = connection.execute("SELECT circuit_index, key FROM pairings ORDER BY circuit_index").fetchall()
    sample = random.Random(1).sample(range(len(rows)), 300)
    for index in sample:
        run = evaluation({**rows[index], **output}, vocabulary)
        keys = [
            key_of(run.truth(rule.condition), rule.rule.breach, place) for place, rule in enumerate(rules)
        ]
        assert found[index][1] == max(keys), f"row {index} differs"
    rate = len(rows) / (judged - loaded)
    sys.stdout.write(
        f"{len(rows):,} rows of driver x breaker x count, {len(rules)} rules\n"
        f"gathered with physics, plain Python: {gathered:,} circuits in {built - start:.2f} s\n"
        f"into the database: {loaded - built:.2f} s\n"
        f"judged: {judged - loaded:.3f} s, {rate / 1e6:.2f} M rows/s, "
        f"{rate * len(rules) / 1e6:.1f} M rule evaluations/s\n"
        f"peak memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024} MB; "
        f"{len(sample)} rows equal to plain Python\n"
    )


if __name__ == "__main__":
    main()
