"""Words by which a row or a heading shows what it is: total, spare, note, board; from a table of data."""

from __future__ import annotations

import csv
import functools
import re
import unicodedata
from collections.abc import Sequence
from pathlib import Path

from compat.dataset.read import data_root

KINDS = (
    "total", "spare", "note", "panel", "load", "each", "to", "and", "continued",
    "count", "power", "luminaire", "circuit", "of", "number", "lamp", "many_lamps",
)  # fmt: skip
LONGEST_WORD = 3
_LETTERS = re.compile(r"[^\W\d_]+(?:[/.'’-][^\W\d_]+)*\.?")


@functools.cache
def words_of(kind: str) -> frozenset[str]:
    """The folded words of a kind in all languages, from ``datasets/intake/row_words.csv``."""
    return _table(data_root() / "datasets" / "intake" / "row_words.csv")[kind]


@functools.cache
def _table(path: Path) -> dict[str, frozenset[str]]:
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return {kind: frozenset(folded(row["word"]) for row in rows if row["kind"] == kind) for kind in KINDS}


@functools.lru_cache(maxsize=1 << 15)
def folded(text: str) -> str:
    """Words without case, accents and signs, one space between them."""
    bare = unicodedata.normalize("NFKD", text.casefold())
    kept = "".join(c if c.isalnum() else " " for c in bare if not unicodedata.combining(c))
    return " ".join(kept.split())


def is_word(kind: str, text: str) -> bool:
    """Whether the whole text is a word of the kind."""
    return folded(text) in words_of(kind)


def has_word(kind: str, text: str) -> bool:
    """Whether a word of the kind stands in the text as words of its own."""
    tokens = folded(text).split()
    known = words_of(kind)
    lengths = range(1, LONGEST_WORD + 1)
    spans = (" ".join(tokens[i : i + n]) for n in lengths for i in range(len(tokens) - n + 1))
    return any(span in known for span in spans)


def begins_with_word(kind: str, text: str) -> bool:
    """Whether the text begins with a word of the kind."""
    tokens = folded(text).split()
    return any(" ".join(tokens[:n]) in words_of(kind) for n in (1, 2, 3) if len(tokens) >= n)


def kinds_in(text: str, kinds: Sequence[str]) -> frozenset[str]:
    """The kinds of the words that a text is made of, a stroke read as 'per'; empty when one is of none.

    The longest words are taken first, and of two kinds of a word the first in ``kinds``.
    """
    tokens = folded(text.replace("/", " per ")).split()
    found = set[str]()
    place = 0
    while place < len(tokens):
        for length in range(min(LONGEST_WORD, len(tokens) - place), 0, -1):
            span = " ".join(tokens[place : place + length])
            kind = next((kind for kind in kinds if span in words_of(kind)), None)
            if kind:
                found.add(kind)
                place += length
                break
        else:
            return frozenset()
    return frozenset(found)
