"""What a free text about a luminaire surely says."""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping

from compat.model.values import Content
from compat.model.vocabulary import Vocabulary


def describer(vocabulary: Vocabulary) -> Callable[[str], Mapping[str, Content]]:
    """A reader of descriptions that remembers what it has read, since schedules repeat."""
    try:
        # Absent until the branch that reads descriptions is merged.
        from compat.intake.description import (  # type: ignore[import-untyped, import-not-found, unused-ignore]
            read_description,
        )
    except ImportError:
        return lambda _: {}

    @functools.lru_cache(maxsize=4096)
    def described(text: str) -> Mapping[str, Content]:
        found: Mapping[str, Content] = read_description(text, vocabulary)
        return found

    return described
