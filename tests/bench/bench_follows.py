"""What it costs to find what follows and what is usual, for the demo house; printed, nothing asserted.

Run by hand: ``python -m tests.bench.bench_follows``.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

from compat.dataset.overlay import read_setting
from compat.dataset.read import load_dataset
from compat.engine.expected import expected_of
from compat.engine.members import member_of
from compat.intake.read import read_schedule
from compat.rulebook.follows import follower_of
from compat.rulebook.usual import usual_of

ROOT = Path(__file__).resolve().parents[2]


def main() -> None:
    """Print the CPU milliseconds of each step, the first time and again."""
    dataset = load_dataset(ROOT)
    demo = ROOT / "datasets" / "demo"
    setting = read_setting(dataset, demo / "house.toml", None)
    tables = dataset.tables
    rows = read_schedule(
        demo / "house.csv", dataset.vocabulary, tables["drivers"], tables["outputs"], None
    ).rows
    voltage = setting.supply.traits["voltage_v"].content
    start = time.process_time()
    follower_of(dataset)
    usual = usual_of(dataset)
    _say("relations and usual values read", start)
    for turn in ("first", "again"):
        start = time.process_time()
        members = [member_of(row, dataset, voltage, setting.driver_defaults) for row in rows]
        _say(f"{len(rows)} rows, what follows, {turn}", start)
        start = time.process_time()
        found = [expected_of(member, dataset, voltage, usual) for member in members]
        _say(f"{len(found)} rows, what is usual, {turn}", start)


def _say(what: str, start: float) -> None:
    sys.stdout.write(f"{what}: {1e3 * (time.process_time() - start):.1f} ms\n")


if __name__ == "__main__":
    main()
