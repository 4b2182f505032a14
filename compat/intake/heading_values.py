"""What the texts under a heading say about which of its two meanings it has."""

from __future__ import annotations

import re
from collections.abc import Sequence

from compat.intake.alias_tables import NO, YES, fold_word, words_of
from compat.intake.cells import clean

_COLOUR_TEMPERATURE = re.compile(r"[1-6][0-9]00 ?K?(?: ?[-/] ?[1-6][0-9]00 ?K?)*", re.IGNORECASE)
_BREAKER_RATING = re.compile(
    r"(?:(?:MCB|RCBO|RCD|RCCB) )?(?:[1-4] ?(?:[Pp] ?[x×]?|[x×]) ?)?"
    r"(?:[BCDKZ] ?)?([0-9]{1,3}) ?A?(?: ?[BCDKZ])?"
)
_RESIDUAL_RATING = re.compile(r"(?:(?:RCD|RCBO|RCCB|GFCI) )?(?:[A-Z]+ )?[0-9]{1,3} ?mA(?: [A-Z]+)?")
# IEC 60898-1 table of preferred rated currents, and the common sizes of a North American panel; from memory.
# B1, B2, B3 are labels.
RATED_A = frozenset((6, 8, 10, 13, 15, 16, 20, 25, 30, 32, 40, 50, 60, 63, 70, 80, 90, 100, 125))
LOWEST_K, HIGHEST_K = 1800, 6500


def are_colour_temperatures(values: Sequence[str]) -> bool:
    """Whether every text is a colour temperature from 1800 to 6500 K; so CCT is no circuit."""
    texts = [clean(value) for value in values if clean(value)]
    return bool(texts) and all(
        _COLOUR_TEMPERATURE.fullmatch(text)
        and all(LOWEST_K <= int(figure) <= HIGHEST_K for figure in re.findall("[0-9]{4}", text))
        for text in texts
    )


def are_yes_or_no(values: Sequence[str]) -> bool:
    """Whether every text says yes or no."""
    words = [fold_word(value) for value in values if clean(value)]
    return bool(words) and all(word in words_of(YES) or word in words_of(NO) for word in words)


def are_ratings(values: Sequence[str]) -> bool:
    """Whether every text is a rating such as ``C16``, ``10 A`` or ``30 mA``, no label of one device."""
    texts = [clean(value) for value in values if clean(value)]
    return bool(texts) and all(map(_is_rating, texts))


def _is_rating(text: str) -> bool:
    found = _BREAKER_RATING.fullmatch(text)
    if found and re.search("[A-Z]", text):
        return int(found[1]) in RATED_A
    return _RESIDUAL_RATING.fullmatch(text) is not None
