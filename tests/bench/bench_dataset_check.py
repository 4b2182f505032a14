"""The time of ``compat dataset check`` on today's dataset and on one ten times as large.

Run ``python tests/bench/bench_dataset_check.py``. The larger one holds copies with new ids, the
rules in folders of their own, so that hardly any copy meets another in one query. The whole command is
timed, with the start of the program. Times are printed and nothing is asserted of them; that both datasets
are found well is asserted, and that a fault put into the last copy is found.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
COPIES, RUNS, WANTED_S = 10, 3, 5.0
ID = re.compile(r'"([RS])0([0-9]{3})"')
ENTRY = re.compile(r'^(id|slug) = "([A-Za-z0-9.-]+)"', re.MULTILINE)


def enlarged(folder: Path, copies: int) -> Path:
    """The dataset with each rule, entry and reference ``copies`` times."""
    for part in ("rules", "schemas", "datasets"):
        shutil.copytree(ROOT / part, folder / part, ignore=shutil.ignore_patterns("demo", "__pycache__"))
    originals = [*folder.glob("rules/*/*.toml"), *folder.glob("datasets/*/*.toml")]
    for number in range(1, copies):
        for path in originals:
            text, name = path.read_text(encoding="utf-8"), _renamed(path.name, number)
            if "rules" not in path.relative_to(folder).parts:
                path.with_name(name).write_text(_table(text, number), encoding="utf-8")
                continue
            family = path.parent.with_name(f"{path.parent.name}-x{number}")
            family.mkdir(exist_ok=True)
            (family / name).write_text(_rule(text, number), encoding="utf-8")
    return folder


def _renamed(name: str, number: int) -> str:
    stem, *suffixes = name.split(".")
    return ".".join([f"{stem[:55]}-x{number}", *suffixes])


def _rule(text: str, number: int) -> str:
    text = ID.sub(lambda found: f'"{found[1]}{number}{found[2]}"', text)
    return re.sub(r'^slug = "(.{1,55}).*"$', rf'slug = "\1-x{number}"', text, flags=re.MULTILINE)


def _table(text: str, number: int) -> str:
    text = ID.sub(lambda found: f'"{found[1]}{number}{found[2]}"', text)
    return ENTRY.sub(lambda found: _entry(found[1], found[2], number), text)


def _entry(key: str, value: str, number: int) -> str:
    taken = re.fullmatch(r"S[0-9]{4}", value)
    return f'{key} = "{value if taken else f"{value}-x{number}"}"'


def quickest(root: Path) -> float:
    """The shortest of some runs of the whole command, in seconds."""
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        done = run_check(root)
        times.append(time.perf_counter() - start)
        assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]
    return min(times)


def run_check(root: Path) -> subprocess.CompletedProcess[str]:
    """``compat dataset check`` as the shell runs it."""
    command = [sys.executable, "-c", "from compat.cli.app import run; run()", "dataset", "check", str(root)]
    return subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=False)


def main() -> None:
    """Print both times and how many rules, cases and entries were looked at."""
    with tempfile.TemporaryDirectory() as folder:
        for copies in (1, COPIES):
            root = enlarged(Path(folder) / f"x{copies}", copies)
            rules = len([p for p in root.glob("rules/*/*.toml") if not p.name.endswith(".cases.toml")])
            entries = sum(
                path.read_text(encoding="utf-8").count("\n[[") for path in root.glob("datasets/*/*.toml")
            )
            seconds = quickest(root)
            sys.stdout.write(f"x{copies}: {rules} rules, {entries} entries and references: {seconds:.2f} s\n")
        sys.stdout.write(f"wanted for x{COPIES}: below {WANTED_S:g} s\n")
        broken = sorted(root.glob("rules/load-x9/*.cases.toml"))[-1]
        text = broken.read_text(encoding="utf-8")
        broken.write_text(text.replace('expect = "works"', 'expect = "fails"', 1), encoding="utf-8")
        done = run_check(root)
        assert done.returncode == 2, done.returncode
        assert broken.name in done.stdout, done.stdout


if __name__ == "__main__":
    main()
