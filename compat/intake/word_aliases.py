"""The words of the trade for the values of choice lists, from the table of words."""

from __future__ import annotations

import functools

from compat.intake.alias_tables import fold_word, word_rows
from compat.model.values import TokenSet


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
