"""The index of known headings: exact by their folded text, and the nearest one above a stated score."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass

from compat.intake.alias_tables import (
    EACH_OR_TOTAL,
    HEADINGS_FILE,
    LEFT_OUT,
    OUTPUT_HEADINGS_FILE,
    WEAK,
    HeadingRow,
    fold_heading,
    heading_keys,
    heading_rows,
)
from compat.intake.row_words import kinds_in
from compat.model.faults import ALIKE

# Below this a near heading is not taken. Measured by tests/intake/test_heading_scores.py on the headings of
# tests/intake/tables/headings.csv with a letter lost, doubled, swapped or changed, and on headings of columns
# that are not ours: no wrong match from here up.
LEAST_SCORE = 92.0
# Short words are near too many others; no heading is as long as a sentence.
SHORTEST_NEAR = 6
LONGEST_NEAR = 45

# Kinds of words that headings are composed of; of two that a word may be, the first goes before.
COMPOSED_OF = ("each", "count", "number", "power", "total", "luminaire", "circuit", "of")


@dataclass(frozen=True, slots=True)
class Alias:
    """What a heading names: a column or ``LEFT_OUT``, the unit it gives, and a note."""

    heading: str
    column: str
    unit: str = ""
    note: str = ""


class AliasIndex:
    """Headings by folded text. A heading that means different columns in two languages is not known."""

    def __init__(
        self, own: Mapping[str, tuple[str, ...]], tables: tuple[tuple[HeadingRow, ...], ...]
    ) -> None:
        self._known: dict[str, Alias] = {}
        self._unclear: set[str] = set()
        for column, spellings in own.items():
            for spelling in spellings:
                self._known.setdefault(fold_heading(spelling), Alias(spelling, column))
        self._own = frozenset(self._known)
        for rows in tables:
            for row in rows:
                self._add(row)
        # The headings of schedules are made of such words; those of outputs speak of one output.
        self._composes = "total_power_w" in own
        self._by_length: dict[int, list[str]] = {}
        for key in self._known:
            self._by_length.setdefault(len(key), []).append(key)

    def exact(self, heading: str) -> Alias | None:
        """What the table says of a heading; None when it is not there. A single letter is a heading only as a
        capital, such as W.
        """
        key = fold_heading(heading)
        if len(key) == 1 and not heading.strip().isupper():
            return None
        return self._known.get(key) or (composed(heading) if self._composes else None)

    def alike(self, heading: str) -> list[str]:
        """Up to three headings of different columns that a heading may be a slip of, the likeliest first."""
        from rapidfuzz import process
        from rapidfuzz.distance import OSA

        key = fold_heading(heading)[:60]
        found = process.extract(
            key, self._known.keys(), scorer=OSA.normalized_similarity, score_cutoff=ALIKE, limit=20
        )
        ordered = sorted(found, key=lambda one: (-one[1], one[2]))
        aliases = [self._known[name] for name, _, _ in ordered]
        first = {alias.column: alias.heading for alias in reversed(aliases) if alias.column != LEFT_OUT}
        return [alias.heading for alias in aliases if first.get(alias.column) == alias.heading][:3]

    def nearest(self, heading: str) -> tuple[Alias, float] | None:
        """The known heading most like one that is not known, and its score of 100; None when it is less
        like than ``LEAST_SCORE``, too short, or equally like a heading of another column.
        """
        key = fold_heading(heading)
        if not SHORTEST_NEAR <= len(key) <= LONGEST_NEAR:
            return None
        # Only keys of about the same length can be so like.
        slips = int(len(key) * (1 - LEAST_SCORE / 100)) + 1
        lengths = range(len(key) - slips, len(key) + slips + 1)
        near = [known for length in lengths for known in self._by_length.get(length, ())]
        # Loaded late: most schedules need no near heading.
        from rapidfuzz import process
        from rapidfuzz.distance import OSA

        found = process.extract(
            key, near, scorer=OSA.normalized_similarity, score_cutoff=LEAST_SCORE / 100, limit=5
        )
        if not found:
            return None
        best = [name for name, score, _ in found if score == found[0][1]]
        aliases = {(alias.column, alias.unit) for alias in map(self._known.__getitem__, best)}
        if len(aliases) != 1 or next(iter(aliases))[0] == LEFT_OUT:
            return None
        return self._known[min(best)], round(found[0][1] * 100, 1)

    def _add(self, row: HeadingRow) -> None:
        for key in heading_keys(row.heading) - self._unclear - self._own:
            first = self._known.get(key)
            if first is None or (first.column == row.column and first.note == WEAK):
                self._known[key] = Alias(row.heading, row.column, row.unit, row.note)
            elif first.column != row.column:
                del self._known[key]
                self._unclear.add(key)


@functools.lru_cache(maxsize=1 << 12)
def composed(heading: str) -> Alias | None:
    """A heading made of words for number, power, total, each, luminaire and circuit: 'No. of light points',
    'Power per luminaire', 'Circuit load total'; None for one that holds any other word.
    """
    kinds = kinds_in(heading, COMPOSED_OF) - {"of"}
    piece = kinds - {"circuit"}
    # A number beside one luminaire is its reference; of luminaires it is how many.
    if piece in ({"number", "luminaire"}, {"total", "luminaire"}) or (
        "count" in piece and piece > {"count"} and piece <= {"count", "number", "luminaire", "each"}
    ):
        return Alias(heading, "quantity")
    if "power" not in kinds or not kinds <= {"power", "each", "total", "luminaire", "circuit"}:
        return None
    if kinds & {"total", "circuit"}:
        return None if "each" in kinds else Alias(heading, "total_power_w")
    if "each" in kinds:
        return Alias(heading, "input_power_w")
    return Alias(heading, "input_power_w", note=EACH_OR_TOTAL) if "luminaire" in kinds else None


def index_of(subject: str, own: Mapping[str, tuple[str, ...]]) -> AliasIndex:
    """The index for schedules and lists of drivers, or for lists of outputs, over the vocabulary's names."""
    return _index(subject, tuple(own.items()))


@functools.lru_cache(maxsize=8)
def _index(subject: str, own: tuple[tuple[str, tuple[str, ...]], ...]) -> AliasIndex:
    files = (HEADINGS_FILE,) if subject == "driver" else (OUTPUT_HEADINGS_FILE,)
    return AliasIndex(dict(own), tuple(heading_rows(file) for file in files))
