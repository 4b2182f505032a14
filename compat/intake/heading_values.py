"""What the texts under a heading say about which of its two meanings it has."""

from __future__ import annotations

import re
from collections.abc import Sequence

from compat.intake.alias_tables import NO, YES, fold_word, words_of
from compat.intake.cells import clean

_COLOUR_TEMPERATURE = re.compile(r"[1-6][0-9]00 ?K?(?: ?[-/] ?[1-6][0-9]00 ?K?)*", re.IGNORECASE)
_BREAKER_RATING = re.compile(r"(?:[1-4] ?[Pp]? ?[x×]? ?)?(?:[BCDKZ] ?)?[0-9]{1,3} ?A?(?: ?[BCDKZ])?")
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


def are_breaker_ratings(values: Sequence[str]) -> bool:
    """Whether every text is a rating such as ``C16`` or ``10 A``, which is no label of one breaker."""
    texts = [clean(value) for value in values if clean(value)]
    return bool(texts) and all(
        _BREAKER_RATING.fullmatch(text) and re.search("[A-Z]", text) is not None for text in texts
    )
