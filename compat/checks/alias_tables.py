"""The alias tables: no heading and no word with two meanings, and none of what the vocabulary lacks."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TypeVar

from compat.checks.context import CheckContext, check
from compat.intake.alias_tables import (
    ABBREVIATIONS_FILE,
    HEADINGS_FILE,
    LANGUAGES,
    LEFT_OUT,
    NOTES,
    OUTPUT_HEADINGS_FILE,
    OWN_LISTS,
    WORDS_FILE,
    HeadingRow,
    WordRow,
    fold_heading,
    fold_word,
    intake_folder,
    read_abbreviations,
    read_heading_rows,
    read_word_rows,
)
from compat.intake.headings import Headings
from compat.model.faults import Fault, did_you_mean
from compat.model.values import Origin
from compat.model.vocabulary import Vocabulary

T = TypeVar("T")


@check(
    "alias-tables",
    "dataset",
    "a heading names one column and a word has one meaning, and both are of the vocabulary",
)
def alias_tables(context: CheckContext) -> Iterator[Fault]:
    """Faults of the tables in datasets/intake. The language of a schedule is not known when it is read, so a
    heading must not name two columns in two languages either.
    """
    folder = intake_folder(context.dataset.root)
    vocabulary = context.dataset.vocabulary
    faults: list[Fault] = []
    for file, subject in ((HEADINGS_FILE, "driver"), (OUTPUT_HEADINGS_FILE, "output")):
        rows = _rows(folder / file, read_heading_rows, faults)
        faults += _heading_faults(file, rows, Headings(vocabulary, subject))
    faults += _abbreviation_faults(folder / ABBREVIATIONS_FILE)
    faults += _word_faults(_rows(folder / WORDS_FILE, read_word_rows, faults), vocabulary)
    yield from faults


def _rows(path: Path, read: Callable[[Path], Sequence[T]], faults: list[Fault]) -> Sequence[T]:
    try:
        return read(path)
    except (OSError, KeyError, ValueError, csv.Error) as error:
        what = f"the table cannot be read: {type(error).__name__} {error}"
        faults.append(Fault(what, Origin(path.name), do="Mend it, or take it from the last release"))
        return ()


def _heading_faults(file: str, rows: Sequence[HeadingRow], headings: Headings) -> Iterator[Fault]:
    seen: dict[str, HeadingRow] = {}
    own = {fold_heading(column.label): column.name for column in headings.columns.values()}
    for row in rows:
        where = Origin(file, line=row.line)
        key = fold_heading(row.heading)
        if row.language not in LANGUAGES:
            yield _unknown("language", row.language, LANGUAGES, where)
        if row.note not in NOTES:
            yield _unknown("note", row.note, NOTES, where)
        if row.column != LEFT_OUT and row.column not in headings.columns:
            yield _unknown("column", row.column, tuple(headings.columns), where)
        elif row.unit and not _fits(row, headings):
            yield Fault(f"the unit {row.unit} does not fit the column {row.column}", where, do="Mend it")
        if not key:
            yield Fault("the heading is empty", where, do="Write a heading with letters")
            continue
        first = seen.setdefault(key, row)
        if first.column != row.column:
            what = f"'{row.heading}' names {row.column} here and {first.column} in line {first.line}"
            yield Fault(what, where, "A heading names one column", "Leave it out of both")
        elif own.get(key, row.column) != row.column:
            what = f"'{row.heading}' is the name of the column {own[key]} and stands for {row.column}"
            yield Fault(what, where, do="Leave it out")


def _fits(row: HeadingRow, headings: Headings) -> bool:
    column = headings.columns[row.column]
    known = row.unit in headings.vocabulary.units and bool(column.unit)
    return known and headings.units.comparable(row.unit, column.traits[0])


def _abbreviation_faults(path: Path) -> Iterator[Fault]:
    try:
        known = read_abbreviations(path)
    except (OSError, KeyError, ValueError, csv.Error) as error:
        what = f"the table cannot be read: {type(error).__name__} {error}"
        yield Fault(what, Origin(path.name), do="Mend it, or take it from the last release")
        return
    for language, words in known.items():
        if language not in LANGUAGES:
            yield _unknown("language", language, LANGUAGES, Origin(path.name))
        for short, word in words.items():
            if not short or not fold_heading(word):
                what = f"'{short}' is short for '{word}'"
                yield Fault(what, Origin(path.name), "Both have letters", "Mend it")


def _word_faults(rows: Sequence[WordRow], vocabulary: Vocabulary) -> Iterator[Fault]:
    seen: dict[tuple[str, str], WordRow] = {}
    for row in rows:
        where = Origin(WORDS_FILE, line=row.line)
        if row.language not in LANGUAGES:
            yield _unknown("language", row.language, LANGUAGES, where)
        if row.list not in vocabulary.choices and row.list not in OWN_LISTS:
            yield _unknown("list", row.list, (*vocabulary.choices, *OWN_LISTS), where)
            continue
        for token in (*row.known, *row.possible):
            if token not in vocabulary.choices.get(row.list, {}):
                known = tuple(vocabulary.choices.get(row.list, ()))
                yield _unknown(f"word of the list {row.list}", token, known, where)
        if row.list in vocabulary.choices and not (row.known or row.possible):
            yield Fault(
                f"'{row.word}' means nothing", where, do="Write what it means under known or possible"
            )
        first = seen.setdefault((row.list, fold_word(row.word) or row.word), row)
        if (first.known, first.possible) != (row.known, row.possible):
            what = f"'{row.word}' means something else in line {first.line}"
            yield Fault(what, where, "A word of a list has one meaning", "Mend one of them")


def _unknown(kind: str, word: str, known: Sequence[str], where: Origin) -> Fault:
    allowed = f"Allowed: {', '.join(filter(None, known))}" if len(known) <= 12 else ""
    return Fault(f"the {kind} '{word}' is not known", where, allowed, did_you_mean(word, known))
