"""The vocabulary of a dataset read with faults: what is wrong with it is told by file and line."""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import get_args

from compat.dataset.toml_files import read_text
from compat.model.faults import BadInput, Fault, did_you_mean
from compat.model.values import Origin
from compat.model.vocabulary import Kind, Subject, TraitDefinition, Vocabulary, read_vocabulary

KEYS = {"units.csv": ("unit",), "choices.csv": ("list", "value"), "traits.csv": ("subject", "name")}
LineNumbers = dict[str, list[int]]
# A set is kept as bits of a 32-bit whole number.
LONGEST_LIST = 30
# Names become columns of a database, so nothing else may stand in them.
NAME = re.compile(r"[a-z][a-z0-9_]{0,59}")
COLUMN_ENDS = {
    "quantity": ("low", "high"),
    "choice": ("sure", "possible"),
    "set": ("sure", "possible"),
}
WORD = re.compile(r"[a-z0-9][a-z0-9_]{0,59}")


def checked_vocabulary(folder: Path) -> Vocabulary:
    """The vocabulary of a folder; raises BadInput with every fault of its tables."""
    faults: list[Fault] = []
    for name in KEYS:
        read_text(folder / name)
    try:
        faults += [fault for name in KEYS for fault in _rows_of_another_length(folder / name)]
        if faults:
            raise BadInput(faults)
        vocabulary = read_vocabulary(folder)
    except (KeyError, ValueError, TypeError, csv.Error) as error:
        what = f"the vocabulary cannot be read: {type(error).__name__} {error}"
        raise BadInput([Fault(what, Origin(str(folder)), f"Tables: {', '.join(KEYS)}")]) from error
    faults += _faults(vocabulary, lines_of(folder))
    if faults:
        raise BadInput(faults)
    return vocabulary


def lines_of(folder: Path) -> dict[str, LineNumbers]:
    """By file, and in it by the name of a unit, word (``list.value``) or trait, the lines that give it."""
    found: dict[str, LineNumbers] = {}
    for file, keys in KEYS.items():
        lines = found[file] = {}
        with (folder / file).open(encoding="utf-8", newline="") as text:
            rows = csv.DictReader(text)
            for row in rows:
                # The reader stands at the last line of a row, whose cells may hold line breaks.
                line = rows.line_num - sum(cell.count("\n") for cell in row.values())
                lines.setdefault(".".join(row[key] for key in keys), []).append(line)
    return found


def _faults(vocabulary: Vocabulary, lines: Mapping[str, LineNumbers]) -> Iterator[Fault]:
    for file, named in lines.items():
        for name, places in named.items():
            for line in places[1:]:
                yield Fault(f"{name} is given twice", Origin(file, line=line), do="Remove one")
    yield from _name_faults(vocabulary, lines)
    for name, tokens in vocabulary.choices.items():
        if len(tokens) > LONGEST_LIST:
            what = f"the list {name} has {len(tokens)} words; allowed are {LONGEST_LIST}"
            last = f"{name}.{list(tokens)[-1]}"
            yield Fault(what, Origin("choices.csv", line=lines["choices.csv"][last][0]))
    for trait in vocabulary.traits.values():
        where = Origin("traits.csv", line=lines["traits.csv"][trait.full_name][0])
        for what, do in _trait_faults(trait, vocabulary):
            yield Fault(f"{trait.full_name}: {what}", where, do=do)


def _name_faults(vocabulary: Vocabulary, lines: Mapping[str, LineNumbers]) -> Iterator[Fault]:
    """Names that are no names, and factors that are no numbers: they would reach the database."""
    allowed = "Allowed: small letters, digits and _, at most 60"
    for unit in vocabulary.units.values():
        where = Origin("units.csv", line=lines["units.csv"][unit.name][0])
        if not NAME.fullmatch(unit.name):
            yield Fault(f"{unit.name[:60]!r} is no name of a unit", where, allowed)
        if not (math.isfinite(unit.factor) and unit.factor > 0):
            yield Fault(f"the factor of {unit.name[:60]} is {unit.factor}", where, "Allowed: above 0")
    for list_name, words in vocabulary.choices.items():
        for place, word in enumerate((list_name, *words)):
            if not WORD.fullmatch(word):
                first = f"{list_name}.{word if place else next(iter(words))}"
                where = Origin("choices.csv", line=lines["choices.csv"][first][0])
                yield Fault(f"{word[:60]!r} is no word of a list", where, allowed)
    columns: dict[str, str] = {}
    for trait in vocabulary.traits.values():
        where = Origin("traits.csv", line=lines["traits.csv"][trait.full_name][0])
        if not NAME.fullmatch(trait.name):
            yield Fault(f"{trait.name[:60]!r} is no name of a trait", where, allowed)
        stem = f"{trait.subject}_{trait.name}"
        for column in (stem, *(f"{stem}_{end}" for end in COLUMN_ENDS.get(trait.kind, ()))):
            if column in columns:
                what = f"{trait.full_name} and {columns[column]} would share a column of the database"
                yield Fault(what, where, do="Rename one")
            columns[column] = trait.full_name


def _rows_of_another_length(path: Path) -> Iterator[Fault]:
    with path.open(encoding="utf-8", newline="") as file:
        rows = csv.reader(file)
        wanted = len(next(rows, []))
        for row in rows:
            if row and len(row) != wanted:
                what = f"the row has {len(row)} cells and the heading {wanted}"
                do = "Fill in the commas; put a text with a comma between quotes"
                yield Fault(what, Origin(path.name, line=rows.line_num), do=do)


def _trait_faults(trait: TraitDefinition, vocabulary: Vocabulary) -> Iterator[tuple[str, str]]:
    for word, known, column in (
        (trait.subject, get_args(Subject), "subject"),
        (trait.kind, get_args(Kind), "kind"),
        (trait.unit, vocabulary.units if trait.kind == "quantity" else ("",), "unit"),
        (trait.choices, vocabulary.choices if trait.kind in ("choice", "set") else ("",), "list"),
        (trait.gathered_from, ("", *vocabulary.traits), "of"),
    ):
        if word not in known:
            yield f"{column} is '{word}', which is not allowed for a {trait.kind}", did_you_mean(word, known)
    if not (trait.label and trait.meaning):
        yield "the label or the meaning is missing", "Write both in plain words"
