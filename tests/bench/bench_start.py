"""How long a command takes from nothing: medians of whole processes.

``python tests/bench/bench_start.py [RUNS]``. Beside them what cannot be avoided: Python itself, and
Python with the database library loaded.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
PROGRAM = ["-c", "from compat.cli.app import main; main()"]
DEMO = str(ROOT / "datasets" / "demo" / "house.xlsx")
COMMANDS = {
    "python -c pass": ["-c", "pass"],
    'python -c "import duckdb"': ["-c", "import duckdb"],
    "compat --help": [*PROGRAM, "--help"],
    "compat explain R0007": [*PROGRAM, "explain", "R0007"],
    "compat lookup D0013": [*PROGRAM, "lookup", "D0013"],
    "compat check demo": [*PROGRAM, "check", DEMO],
}
BESIDE = 'python -c "import duckdb"'


def seconds(arguments: list[str]) -> float:
    """The time of one process; what it prints is thrown away."""
    start = time.perf_counter()
    run = subprocess.run([sys.executable, *arguments], cwd=ROOT, stdout=subprocess.DEVNULL, check=False)
    assert run.returncode in (0, 1), arguments
    return time.perf_counter() - start


def main() -> None:
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 7
    times: dict[str, list[float]] = {name: [] for name in COMMANDS}
    for arguments in COMMANDS.values():
        seconds(arguments)  # once before, so that all files are in memory
    for _ in range(runs):
        for name, arguments in COMMANDS.items():
            times[name].append(seconds(arguments))
    medians = {name: statistics.median(found) for name, found in times.items()}
    for name, median in medians.items():
        ratio = median / medians[BESIDE]
        spread = f"{min(times[name]):.3f} to {max(times[name]):.3f}"
        sys.stdout.write(f"{name:28} {median:.3f} s ({spread}), {ratio:.2f} times {BESIDE}\n")


if __name__ == "__main__":
    main()
