"""The table of words by which rows show what they are."""

from __future__ import annotations

import csv

import pytest

from compat.intake.row_words import KINDS, begins_with_word, folded, has_word, is_word
from tests.intake.files import ROOT

LANGUAGES = {"en", "de", "fr", "es", "nl", "it", "sv", "da", "nb"}
PATH = ROOT / "datasets" / "intake" / "row_words.csv"


def test_the_table_holds_each_word_once_and_every_kind() -> None:
    with PATH.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    keys = [(row["kind"], folded(row["word"])) for row in rows]
    assert len(keys) == len(set(keys))
    assert {kind for kind, _ in keys} == set(KINDS)
    assert {row["language"] for row in rows} == LANGUAGES
    assert all(folded(row["word"]) for row in rows)
    for kind in ("total", "spare", "note", "panel"):
        assert {row["language"] for row in rows if row["kind"] == kind} == LANGUAGES, kind


@pytest.mark.parametrize(
    "text",
    ["Total GF", "Ground floor total", "SUMME", "Zwischensumme EG", "Sous-total RDC", "Totaal", "Suma:",
     "Carried forward", "c/f", "Totale generale", "Delsumma", "I alt", "Sum", "Übertrag"],
)  # fmt: skip
def test_totals(text: str) -> None:
    assert has_word("total", text)


@pytest.mark.parametrize("text", ["Totem lamp", "Summer house", "Kitchen", "Somerset room", ""])
def test_what_only_looks_like_a_total(text: str) -> None:
    assert not has_word("total", text)


@pytest.mark.parametrize("text", ["Spare", "RÉSERVE", "Reserv", "nicht belegt", "Riserva", "vrij"])
def test_spares(text: str) -> None:
    assert is_word("spare", text)
    assert not is_word("spare", f"{text} luminaire")


def test_notes_begin_with_their_word() -> None:
    assert begins_with_word("note", "Notes: all drivers remote")
    assert begins_with_word("note", "Anmerkung 1")
    assert not begins_with_word("note", "Notched pendant")
