"""The score from which a near heading is taken: no wrong match on headings written down beforehand."""

from __future__ import annotations

import csv
import random
from pathlib import Path

from rapidfuzz import process
from rapidfuzz.distance import OSA

from compat.intake.alias_tables import LEFT_OUT, fold_heading, heading_rows
from compat.intake.heading_aliases import LEAST_SCORE, SHORTEST_NEAR, AliasIndex
from compat.intake.headings import Headings
from tests.intake.files import vocabulary

HEADINGS = Headings(vocabulary())
TABLE = Path(__file__).parent / "tables" / "headings.csv"
LETTERS = "abcdefghijklmnopqrstuvwxyz"


def rows() -> list[tuple[str, str]]:
    with TABLE.open(encoding="utf-8", newline="") as file:
        return [(row["heading"], row["column"]) for row in csv.DictReader(file)]


def slips(text: str, dice: random.Random) -> list[str]:
    """The text with a letter lost, doubled, swapped with the next, and changed."""
    place = dice.randrange(1, len(text) - 1)
    before, letter, after = text[:place], text[place], text[place + 1 :]
    return [
        before + after,
        before + letter + letter + after,
        before + after[0] + letter + after[1:],
        before + dice.choice(LETTERS) + after,
    ]


def test_a_heading_with_a_slip_is_never_taken_for_another_column() -> None:
    dice = random.Random(12)
    wrong: list[tuple[str, str, str, float]] = []
    taken = tried = 0
    for heading, column in rows():
        if len(heading) < 4:
            continue
        for slipped in slips(heading, dice):
            found = HEADINGS._near(slipped) if HEADINGS._exact(slipped) is None else None
            tried += 1
            taken += found is not None
            if found and found.column.name != column:
                wrong.append((slipped, column, found.column.name, found.score))
    assert wrong == []
    assert tried > 2500
    assert taken > 150


def test_a_column_that_is_not_ours_is_not_taken_when_the_table_does_not_know_it() -> None:
    """Each such heading is taken out of the table and sought among the rest."""
    own = {name: (column.label, name) for name, column in HEADINGS.columns.items()}
    for heading, column in rows():
        if column == LEFT_OUT:
            rest = tuple(row for row in heading_rows() if fold_heading(row.heading) != fold_heading(heading))
            key = fold_heading(heading)
            near = [row.heading for row in rest if row.column != LEFT_OUT]
            if len(key) < SHORTEST_NEAR:
                continue
            found = process.extractOne(key, [fold_heading(n) for n in near], scorer=OSA.normalized_similarity)
            assert found[1] * 100 < LEAST_SCORE, (heading, found)
    assert AliasIndex(own, ()).nearest("Catalogue No.") is None
