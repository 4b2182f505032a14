"""Ids of the dataset's equipment as schedules name them."""

from __future__ import annotations

import re
from collections.abc import Collection

from compat.intake.cells import Unreadable, shown
from compat.model.faults import did_you_mean


class Ids:
    """Ids of a table, found exactly or, when only one fits, without case."""

    def __init__(self, kind: str, ids: Collection[str]) -> None:
        self._kind = kind
        self._ids = frozenset(ids)
        self._folded: dict[str, list[str]] = {}
        for known in sorted(self._ids):
            self._folded.setdefault(known.casefold(), []).append(known)
        self._shapes = {_shape(known) for known in self._ids}
        self._unknown: dict[str, Unreadable] = {}

    def find(self, text: str) -> str:
        """The id. Raises Unreadable with the nearest ids."""
        if text in self._ids:
            return text
        alike = self._folded.get(text.casefold(), [])
        if len(alike) == 1:
            return alike[0]
        if text not in self._unknown:
            what = f"there is no {self._kind} {shown(text)}"
            allowed = f"Allowed: the id of a {self._kind} of the dataset, or empty"
            if self._kind == "output":
                allowed = allowed.replace(" a output", " an output")
            do = did_you_mean(text, sorted(self._ids))
            self._unknown[text] = Unreadable(what, allowed, do)
        raise self._unknown[text]

    def is_alike(self, text: str) -> bool:
        """Whether a text is written as ids are, so that it surely was meant for one."""
        return _shape(text) in self._shapes


def _shape(text: str) -> str:
    return re.sub("[0-9]", "0", re.sub("[A-Z]", "A", text.upper()))
