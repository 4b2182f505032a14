"""Relation files: read from ``rules/relations/`` and parsed into trees."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

from compat.dataset.read import Dataset, data_root
from compat.dataset.toml_files import read_document, validated
from compat.model.faults import BadInput, Fault
from compat.model.relation import Relation
from compat.model.vocabulary import Vocabulary
from compat.rulebook import nodes
from compat.rulebook.nodes import TruthNode
from compat.rulebook.rules import RELATIONS_FOLDER
from compat.rulebook.simplified import simplified

MOST_KEPT = 8
# What one row of a schedule has: its gear, the supply, and itself taken as a circuit of one row.
SUBJECTS = frozenset({"driver", "circuit", "supply"})


@dataclass(frozen=True, slots=True)
class ParsedRelation:
    """A relation with its trees. ``condition`` is true of all real gear: not applies, or holds."""

    relation: Relation
    file: Path
    applies: TruthNode
    unless: TruthNode
    holds: TruthNode
    condition: TruthNode = field(init=False)
    names: tuple[str, ...] = field(init=False)

    def __post_init__(self) -> None:
        """``names`` are the traits of the condition, each once."""
        condition = simplified(nodes.Either(nodes.Not(self.applies), self.holds))
        object.__setattr__(self, "condition", condition)
        object.__setattr__(self, "names", tuple(nodes.names(condition)))

    def is_spoken_of(self, text: str, jurisdiction: str) -> bool:
        """Whether the words that it wants are in a folded text, and its law is in force."""
        relation = self.relation
        if relation.jurisdictions and jurisdiction not in relation.jurisdictions:
            return False
        return has_words(text, relation.words, relation.unless_words)


_READ: dict[tuple[Path, str], tuple[ParsedRelation, ...]] = {}


def relation_files(rules_folder: Path) -> Iterator[Path]:
    """Every relation file below a rules folder, in a fixed order."""
    return iter(sorted((rules_folder / RELATIONS_FOLDER).glob("*.toml")))


def read_relations(rules_folder: Path, vocabulary: Vocabulary) -> tuple[ParsedRelation, ...]:
    """All relations by id; raises BadInput with every fault of every file."""
    found: list[ParsedRelation] = []
    faults: list[Fault] = []
    for path in relation_files(rules_folder):
        try:
            found.append(read_relation(path, vocabulary))
        except BadInput as error:
            faults.extend(error.faults)
    if faults:
        raise BadInput(faults)
    return tuple(sorted(found, key=lambda parsed: parsed.relation.id))


def read_relation(path: Path, vocabulary: Vocabulary) -> ParsedRelation:
    """One relation file, validated and parsed; raises BadInput with all its faults."""
    from compat.rulebook.expression import ExpressionError, Reader

    document = read_document(path)
    relation = validated(Relation, document.data, document)
    reader = Reader(vocabulary, SUBJECTS)
    faults: list[Fault] = []

    def truth(name: str) -> TruthNode:
        try:
            return reader.truth(getattr(relation, name))
        except ExpressionError as error:
            faults.append(Fault(f"{name} cannot be read: {error}".rstrip("."), document.where(name)))
            return nodes.Always(True)

    applies, unless, holds = truth("applies"), truth("unless"), truth("holds")
    if faults:
        raise BadInput(faults)
    return ParsedRelation(relation, path, applies, unless, holds)


def relations_of(dataset: Dataset) -> tuple[ParsedRelation, ...]:
    """The relations of a dataset, read once a run. Raises BadInput.

    An edition from before there were any is judged by those that come with the program, as far as its
    vocabulary has their names.
    """
    key = (dataset.root, dataset.sha256)
    if key not in _READ:
        if len(_READ) >= MOST_KEPT:
            _READ.clear()
        _READ[key] = _read_or_own(dataset)
    return _READ[key]


def keep_relations(dataset: Dataset, relations: tuple[ParsedRelation, ...]) -> None:
    """Take relations that were read before for those of a dataset."""
    _READ[dataset.root, dataset.sha256] = relations


def _read_or_own(dataset: Dataset) -> tuple[ParsedRelation, ...]:
    if (dataset.rules_folder / RELATIONS_FOLDER).is_dir():
        return read_relations(dataset.rules_folder, dataset.vocabulary)
    found: list[ParsedRelation] = []
    for path in relation_files(data_root() / "rules"):
        try:
            found.append(read_relation(path, dataset.vocabulary))
        except BadInput:
            continue
    return tuple(sorted(found, key=lambda parsed: parsed.relation.id))


_PUNCTUATION = re.compile(r"[^\w.,/+-]+")
_BEFORE_UNIT = re.compile(r"(?<=\d) (?=(?:v|ma|a|w|vdc|vac|va)\b)")


@lru_cache(maxsize=4096)
def fold_text(text: str) -> str:
    """What people call a luminaire, so that ``24 V`` and ``24V`` read the same: ``24v``."""
    return _BEFORE_UNIT.sub("", _PUNCTUATION.sub(" ", text.casefold())).strip()


def has_words(text: str, wanted: list[list[str]], unwanted: list[str]) -> bool:
    """Whether one word of each list stands in a folded text as a whole word, and none of the others."""
    return all(any(_stands(text, word) for word in words) for words in wanted) and not any(
        _stands(text, word) for word in unwanted
    )


def _stands(text: str, word: str) -> bool:
    folded = fold_text(word)
    start = text.find(folded)
    while start >= 0:
        end = start + len(folded)
        if not (text[start - 1 : start].isalnum() or text[end : end + 1].isalnum()):
            return True
        start = text.find(folded, start + 1)
    return False
