"""Hostile texts, and a run that must end soon, without a traceback, with sentences."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

from compat.checks.run import check_dataset

LONGEST_S = 20.0
CANARY = "canary-of-the-tests"
SQL_NAMES = [
    "'; DROP TABLE pairings; --",
    "\"; COPY (SELECT 1) TO 'canary-of-the-tests'; --",
    "x) UNION ALL SELECT * FROM read_text('/etc/hostname') --",
    "a/**/b",
    "select",
    "x\u0000y",
    "\u2028",
]
PATH_TRICKS = [
    "../../canary-of-the-tests",
    "..",
    "/etc/passwd",
    "C:\\canary-of-the-tests",
    "a/b",
    "a\\b",
    "~root",
    "$(touch canary-of-the-tests)",
    "`touch canary-of-the-tests`",
    "|touch canary-of-the-tests",
    "con\u202egnp",
    ".hidden",
    "-rf",
    "x" * 5000,
    "",
    "a\nb",
]


def told(root: Path) -> list[str]:
    """The sentences of the checks; they come soon, can be printed, and are not endless."""
    start = time.perf_counter()
    sentences = [f"{breach.check}: {breach.fault.sentence()}" for breach in check_dataset(root)]
    assert time.perf_counter() - start < LONGEST_S
    assert all(sentence.isprintable() and len(sentence) < 3000 for sentence in sentences)
    return sentences


def written(path: Path, text: str) -> Path:
    """A file with a text, in folders made for it."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text.encode("utf-8", "surrogatepass"))
    return path


def quoted(text: str) -> str:
    """A text as a TOML string, whatever is in it."""
    escaped = "".join(c if c.isprintable() and c not in '"\\' else f"\\u{ord(c):04x}" for c in text)
    return f'"{escaped}"'


def soon(work: Callable[[], object]) -> float:
    """The seconds that some work takes; fails when they are many."""
    start = time.perf_counter()
    work()
    seconds = time.perf_counter() - start
    assert seconds < LONGEST_S
    return seconds
