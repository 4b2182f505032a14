"""Circuits and outputs as interval columns, one row a subject."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from compat.model.values import Content
from compat.model.vocabulary import Vocabulary
from compat.rulebook.sql import base_columns, base_values

Values = Mapping[str, Content]
TYPES = {"quantity": "DOUBLE", "yes_no": "BOOLEAN", "choice": "INTEGER", "set": "INTEGER"}


def columns_of(
    subjects: Sequence[Values], names: Iterable[str], vocabulary: Vocabulary, index: str
) -> dict[str, tuple[str, Sequence[object]]]:
    """The columns of the named traits, each with its type, and a running number in ``index``.

    Quantities become ``_low`` and ``_high`` (both NULL when unknown), choices and sets ``_sure`` and
    ``_possible`` (bits in the order of their list), yes_no one column.
    """
    bits = vocabulary.bits
    columns: dict[str, tuple[str, Sequence[object]]] = {index: ("INTEGER", range(len(subjects)))}
    for name in names:
        trait = vocabulary.traits[name]
        rows = [base_values(subject.get(name), trait, bits) for subject in subjects]
        for place, label in enumerate(base_columns(name, trait.kind)):
            columns[label] = (TYPES[trait.kind], [row[place] for row in rows])
    return columns
