"""Bad input told in sentences: what is wrong, where, what is allowed, what to do."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from compat.model.values import Origin


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with the input. Each text is a sentence without its full stop."""

    what: str
    where: Origin
    allowed: str = ""
    do: str = ""

    def sentence(self) -> str:
        """The fault on one line, place first; what cannot be printed is shown by its code."""
        parts = [part for part in (self.what, self.allowed, self.do) if part]
        text = f"{self.where.text()}: " + ". ".join(parts) + "."
        return "".join(c if c.isprintable() else ascii(c)[1:-1] for c in text)


class BadInput(Exception):
    """Input that cannot be used; carries every fault found. The command ends with exit code 2."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(fault.sentence() for fault in self.faults))


def nearest(word: str, words: Iterable[str], count: int = 3) -> list[str]:
    """The known words most like ``word``, best first; compared without case."""
    by_folded = {known.casefold(): known for known in words}
    found = difflib.get_close_matches(word.casefold(), by_folded, n=count, cutoff=0.6)
    return [by_folded[folded] for folded in found]


def did_you_mean(word: str, words: Iterable[str]) -> str:
    """``Nearest: a, b`` or nothing, for the ``do`` of a fault."""
    found = nearest(word, words)
    return "Nearest: " + ", ".join(found) if found else ""
