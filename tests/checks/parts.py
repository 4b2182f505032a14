"""A small copy of the dataset with a few rules and tables, and ways to break it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from compat.checks.run import CHECKS, check_dataset
from tests.dataset.parts import copied_dataset, drop_uncited_sources, replaced

KEPT_RULES = ("load/load-below-minimum", "method/motor-on-phase-cut", "switching/neutral-missing")
KEPT_TABLES = (
    "dmx-drivers",
    "dmx",
    "supplies",
    "source-impedances",
    "awg-copper",
    "iec-60898-1",
    "rules",
    "equipment",
)
MINIMUM, MOTOR, NEUTRAL = (f"rules/{name}.toml" for name in KEPT_RULES)
MINIMUM_CASES, MOTOR_CASES, NEUTRAL_CASES = (f"rules/{name}.cases.toml" for name in KEPT_RULES)

Break = Callable[[Path], object]


def small_dataset(folder: Path) -> Path:
    """Three rules with their cases, a table of each kind, and the sources that they cite."""
    root = copied_dataset(folder)
    for path in (root / "rules").glob("*/*.toml"):
        if f"{path.parent.name}/{path.name.split('.')[0]}" not in KEPT_RULES:
            path.unlink()
    for path in (root / "datasets").glob("*/*.toml"):
        if path.stem not in KEPT_TABLES:
            path.unlink()
    drop_uncited_sources(root)
    return root


def swap(file: str, old: str, new: str) -> Break:
    """A break that changes one text in one file."""
    return lambda root: replaced(root / file, old, new)


def cut(file: str, first: str, last: str = "") -> Break:
    """A break that takes out the text from ``first`` up to ``last``, or to the end."""

    def breaking(root: Path) -> None:
        text = (root / file).read_text(encoding="utf-8")
        start = text.index(first)
        end = text.index(last, start + len(first)) if last else len(text)
        (root / file).write_text(text[:start] + text[end:], encoding="utf-8")

    return breaking


def add(file: str, text: str) -> Break:
    """A break that writes a text behind a file."""

    def breaking(root: Path) -> None:
        with (root / file).open("a", encoding="utf-8") as out:
            out.write(text)

    return breaking


def found_by(check: str, root: Path) -> list[str]:
    """The sentences of one check by its name."""
    assert check in {known.name for known in CHECKS}
    return [breach.fault.sentence() for breach in check_dataset(root) if breach.check == check]


def found_in(root: Path) -> list[str]:
    """What ``compat dataset check`` prints: the check and the sentence."""
    return [f"{breach.check}: {breach.fault.sentence()}" for breach in check_dataset(root)]
