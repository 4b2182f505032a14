"""The alias tables of ``datasets/intake``: headings and words of the trade in several languages, as data."""

from __future__ import annotations

import csv
import functools
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from compat.dataset.read import data_root
from compat.model.values import TokenSet

FOLDER = "intake"
HEADINGS_FILE = "headings.csv"
OUTPUT_HEADINGS_FILE = "output-headings.csv"
WORDS_FILE = "words.csv"
ABBREVIATIONS_FILE = "abbreviations.csv"
# Column of a heading that schedules have and this program has no use for.
LEFT_OUT = "-"
# What a heading row may say besides: another heading of the same column goes before this one; it does not
# say whether it is of one piece or of all; it asks what is wanted when its cells say yes or no; it is a total
# of anything unless it has its unit.
WEAK, EACH_OR_TOTAL, WANTED_IF_YES_OR_NO = "weak", "each or total", "wanted if yes or no"
# The column says what the driver accepts, not how the circuit is to be controlled.
OF_DRIVER = "of the driver"
WITH_UNIT = "with its unit only"
NOTES = ("", WEAK, EACH_OR_TOTAL, WANTED_IF_YES_OR_NO, WITH_UNIT, OF_DRIVER)
LANGUAGES = ("en", "de", "fr", "es", "nl", "it", "sv", "da", "nb")
# Lists of words.csv that are no choice list of the vocabulary.
# ``no_method`` are ways to control that are none of the methods, ``method_open`` says nothing of the method,
# ``hedge`` makes what a description says beside it doubtful.
NOT_KNOWN, NO_METHOD, METHOD_OPEN = "not_known", "no_method", "method_open"
YES, NO, HEDGE = "yes", "no", "hedge"
# What descriptions are read by: lamp bases, LED strips, words that make a figure one
# of another thing, and words that say that a luminaire has several lamps.
MAINS_BASE, LOW_VOLTAGE_BASE, STRIP = "mains_base", "low_voltage_base", "strip"
HALOGEN, COMPARISON, SEVERAL = "halogen", "comparison", "several"
DESCRIPTION_LISTS = (HEDGE, MAINS_BASE, LOW_VOLTAGE_BASE, STRIP, HALOGEN, COMPARISON, SEVERAL)
# Words in brackets that add nothing to a heading, and words behind a slash that say 'of each'.
FILLER, EACH_NOUN = "filler", "each_noun"
OWN_LISTS = (NOT_KNOWN, NO_METHOD, METHOD_OPEN, YES, NO, *DESCRIPTION_LISTS, FILLER, EACH_NOUN)
# Letters that do not come apart into a plain letter and an accent, and how they are typed without.
_WHOLE_LETTERS = str.maketrans({"ß": "ss", "ø": "o", "æ": "ae", "œ": "oe", "ł": "l", "đ": "d", "ı": "i"})
_TYPED = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "å": "aa", "ø": "oe"})
# Dashes and the minus sign as a hyphen, the Greek letter mu as the micro sign.
SIGNS = str.maketrans(dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212", "-") | {"\u03bc": "µ"})


@dataclass(frozen=True, slots=True)
class HeadingRow:
    """One heading of a table: the column it names, the unit it gives, and a note of ``NOTES``."""

    language: str
    heading: str
    column: str
    unit: str
    note: str
    line: int


@dataclass(frozen=True, slots=True)
class WordRow:
    """One word of a table: the tokens it surely means, and those it may mean besides."""

    language: str
    list: str
    word: str
    known: tuple[str, ...]
    possible: tuple[str, ...]
    line: int


def intake_folder(root: Path | None = None) -> Path:
    """The folder of the alias tables in a dataset; the program's own for a dataset without them."""
    folder = (root or data_root()) / "datasets" / FOLDER
    return folder if folder.is_dir() else data_root() / "datasets" / FOLDER


def read_heading_rows(path: Path) -> tuple[HeadingRow, ...]:
    """The rows of a table of headings, in file order.

    Raises OSError, csv.Error, ValueError for a file that is no table, and KeyError for a missing field.
    """
    return tuple(
        HeadingRow(row["language"], row["heading"], row["column"], row["unit"], row["note"], line)
        for line, row in _rows(path)
    )


def read_word_rows(path: Path) -> tuple[WordRow, ...]:
    """The rows of a table of words, in file order. Raises as :func:`read_heading_rows`."""
    return tuple(
        WordRow(
            row["language"], row["list"], row["word"], _parted(row["known"]), _parted(row["possible"]), line
        )
        for line, row in _rows(path)
    )


@functools.cache
def heading_rows(file: str = HEADINGS_FILE) -> tuple[HeadingRow, ...]:
    """The program's own table of headings."""
    return read_heading_rows(intake_folder() / file)


@functools.cache
def word_rows() -> tuple[WordRow, ...]:
    """The program's own table of words."""
    return read_word_rows(intake_folder() / WORDS_FILE)


def read_abbreviations(path: Path) -> dict[str, dict[str, str]]:
    """Language -> shortened word of headings, folded -> the word. Raises as :func:`read_heading_rows`."""
    found: dict[str, dict[str, str]] = {}
    for _, row in _rows(path):
        found.setdefault(row["language"], {})[fold_heading(row["short"])] = row["word"]
    return found


@functools.cache
def abbreviations() -> dict[str, dict[str, str]]:
    """The program's own table of shortened words."""
    return read_abbreviations(intake_folder() / ABBREVIATIONS_FILE)


@functools.cache
def meanings(name: str) -> dict[str, TokenSet]:
    """The folded words of a choice list with what they surely mean and what they may mean besides."""
    return {
        fold_word(row.word): TokenSet(frozenset(row.known), frozenset((*row.known, *row.possible)))
        for row in word_rows()
        if row.list == name
    }


@functools.cache
def spellings(name: str) -> tuple[str, ...]:
    """The English words of a choice list as the table writes them, for nearest words."""
    return tuple(row.word for row in word_rows() if row.list == name and row.language == "en")


@functools.cache
def words_of(name: str) -> frozenset[str]:
    """The folded words of one of ``OWN_LISTS``; a word of signs alone, such as ``?``, as it stands."""
    return frozenset(fold_word(row.word) or row.word for row in word_rows() if row.list == name)


def is_one_of(text: str, name: str) -> bool:
    """Whether a text is a word of one of ``OWN_LISTS``."""
    return (fold_word(text) or text.translate(SIGNS).strip()) in words_of(name)


def fold_heading(heading: str) -> str:
    """A heading without case, accents, spaces and punctuation; a percent sign stays as a word."""
    return "".join(filter(str.isalnum, plain_letters(heading.replace("%", " percent "))))


def heading_keys(heading: str) -> set[str]:
    """The folded heading, also with its accented letters typed as two: ``Stückzahl``, ``Stueckzahl``."""
    typed = unicodedata.normalize("NFC", heading).casefold().translate(_TYPED)
    return {fold_heading(heading), fold_heading(typed)}


def fold_word(text: str) -> str:
    """A word without case, accents, spaces and punctuation; a range such as 1-10 stays apart from 110."""
    word = plain_letters(text.translate(SIGNS))
    word = re.sub(r"(?<=\d)\s*(?:-|\.\.\.?|…)\s*(?=\d)", "~", word)
    return re.sub(r"[^\w~]+|_", "", word)


def plain_letters(text: str) -> str:
    """A text without case and accents."""
    if text.isascii():
        return text.lower()
    parted = unicodedata.normalize("NFKD", text).casefold().translate(_WHOLE_LETTERS)
    return "".join(character for character in parted if not unicodedata.combining(character))


def _parted(words: str) -> tuple[str, ...]:
    return tuple(word.strip() for word in words.split(";") if word.strip())


def _rows(path: Path) -> Iterator[tuple[int, dict[str, str]]]:
    with path.open(encoding="utf-8", newline="") as file:
        reader = csv.DictReader(file, strict=True, restval="")
        for row in reader:
            if None in row:
                raise ValueError(f"line {reader.line_num} has more cells than the heading")
            yield reader.line_num, row
