"""Circuits and outputs as frames of interval columns, one row a subject."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import polars as pl

from compat.model.values import Content, Interval, TokenSet
from compat.model.vocabulary import Vocabulary
from compat.rulebook.cases import bits_of
from compat.rulebook.sql import base_columns

Values = Mapping[str, Content]


def frame_of(
    subjects: Sequence[Values], names: Iterable[str], vocabulary: Vocabulary, index: str
) -> pl.DataFrame:
    """A frame with the columns of the named traits and a running number in column ``index``.

    Quantities become ``_low`` and ``_high`` (Float64, both null when unknown), choices and sets
    ``_sure`` and ``_possible`` (Int32 bits), yes_no one Boolean column.
    """
    bits = bits_of(vocabulary)
    columns: dict[str, pl.Series] = {index: pl.Series(index, range(len(subjects)), dtype=pl.Int32)}
    for name in names:
        trait = vocabulary.traits[name]
        contents = [subject.get(name) for subject in subjects]
        labels = base_columns(name, trait.kind)
        if trait.kind == "quantity":
            ends = [(c.low, c.high) if isinstance(c, Interval) else (None, None) for c in contents]
            columns.update(_pair(labels, ends, pl.Float64))
        elif trait.kind == "yes_no":
            yes_no = [c if isinstance(c, bool) else None for c in contents]
            columns[labels[0]] = pl.Series(labels[0], yes_no, dtype=pl.Boolean)
        else:
            masks = [_masks(content, trait.choices, bits) for content in contents]
            columns.update(_pair(labels, masks, pl.Int32))
    return pl.DataFrame(columns)


def _pair(
    labels: Sequence[str], pairs: Sequence[tuple[object, object]], dtype: type[pl.DataType]
) -> dict[str, pl.Series]:
    return {
        label: pl.Series(label, [pair[end] for pair in pairs], dtype=dtype)
        for end, label in enumerate(labels)
    }


def _masks(
    content: Content, choices: str, bits: Mapping[tuple[str, str], int]
) -> tuple[int | None, int | None]:
    if isinstance(content, str):
        bit = bits[choices, content]
        return bit, bit
    if isinstance(content, TokenSet):
        return (
            sum(bits[choices, token] for token in content.sure),
            sum(bits[choices, token] for token in content.possible),
        )
    return None, None
