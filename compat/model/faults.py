"""Bad input told in sentences: what is wrong, where, what is allowed, what to do."""

from __future__ import annotations

import difflib
import reprlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from compat.model.values import Origin

# How alike two words must be, from 0 to 1, for one to be offered in place of the other.
ALIKE = 0.6
_SHORT = reprlib.Repr()
_SHORT.maxlevel = 4
_SHORT.maxstring = _SHORT.maxother = _SHORT.maxlong = 80
_SHORT.maxlist = _SHORT.maxtuple = _SHORT.maxset = _SHORT.maxdict = 10


def shown(value: object) -> str:
    """A value of a file as a sentence quotes it: long or deep ones are cut short."""
    return _SHORT.repr(value)


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


class CompatError(Exception):
    """Whatever this program raises by intention."""


class BadInput(CompatError):
    """Input that cannot be used; carries every fault found. The command ends with exit code 2."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(fault.sentence() for fault in self.faults))


def nearest(word: str, words: Iterable[str], count: int = 3) -> list[str]:
    """The known words most like ``word``, best first, equally good ones in their order; without case."""
    matcher = difflib.SequenceMatcher(b=word.casefold())
    scored: list[tuple[float, str]] = []
    for known in dict.fromkeys(words):
        matcher.set_seq1(known.casefold())
        if matcher.real_quick_ratio() >= ALIKE and matcher.quick_ratio() >= ALIKE:
            scored.append((matcher.ratio(), known))
    scored.sort(key=lambda pair: -pair[0])
    return [known for ratio, known in scored[:count] if ratio >= ALIKE]


def did_you_mean(word: str, words: Iterable[str]) -> str:
    """``Nearest: a, b`` or nothing, for the ``do`` of a fault."""
    found = nearest(word, words)
    return "Nearest: " + ", ".join(found) if found else ""
