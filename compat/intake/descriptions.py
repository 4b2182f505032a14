"""What a free text about a luminaire surely says."""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping

from compat.intake.description import read_description
from compat.model.values import Content
from compat.model.vocabulary import Vocabulary


def describer(vocabulary: Vocabulary) -> Callable[[str], Mapping[str, Content]]:
    """A reader of descriptions that remembers what it has read, since schedules repeat."""

    @functools.lru_cache(maxsize=4096)
    def described(text: str) -> Mapping[str, Content]:
        return read_description(text, vocabulary)

    return described
