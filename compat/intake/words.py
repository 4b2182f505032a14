"""Words of a schedule for choices, sets of choices and yes or no, with the trade's other words."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

from compat.intake.cells import Unreadable, clean, shown
from compat.intake.numbers import NOT_KNOWN, SIGNS
from compat.intake.word_aliases import ALIASES, EDGE_NOT_NAMED
from compat.model.faults import did_you_mean
from compat.model.values import TokenSet
from compat.model.vocabulary import TraitDefinition, Vocabulary

YES = frozenset(("yes", "y", "true", "x", "1", "✓", "✔", "☑"))
NO = frozenset(("no", "n", "false", "0"))
_FILLERS = re.compile(r"\b(?:dimming|dimmable|dimmed|dim|dimmer|control|controlled)\b", re.IGNORECASE)
_WEAK = re.compile(r"/| or | and |&|\+", re.IGNORECASE)
_REWRITTEN = (
    (re.compile(r"\bon\s*[/-]\s*off\b", re.IGNORECASE), "on-off"),
    (re.compile(r"\b0\s*/\s*1\s*-\s*10\s*V", re.IGNORECASE), "0-10V"),
)


class Words:
    """Reads words of the choice lists of a vocabulary. Its methods raise Unreadable."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        lists = vocabulary.choices.items()
        self._lists = {name: _spellings(name, values) for name, values in lists}

    def choice(self, text: str, trait: TraitDefinition) -> str | None:
        """The token of a choice; None when the text says that it is not known."""
        found = self._lists[trait.choices].get(fold(text))
        if found is not None and len(found.sure) == 1 == len(found.possible):
            return next(iter(found.sure))
        if text.casefold() in NOT_KNOWN:
            return None
        raise self._unknown(text, text, trait)

    def token_set(self, text: str, trait: TraitDefinition) -> TokenSet | None:
        """The set that a list of words gives; None when it is not known.

        Every driver can also be switched, so a list of methods always holds ``switched``.
        """
        if text.casefold() in NOT_KNOWN:
            return None
        for pattern, better in _REWRITTEN:
            text = pattern.sub(better, text)
        sure, possible = set[str](), set[str]()
        for word in self._split(text, trait):
            found = self._find(word, trait)
            if found is None:
                raise self._unknown(word, text, trait)
            sure |= found.sure
            possible |= found.possible
        if trait.choices == "method":
            sure.add("switched")
        return TokenSet(frozenset(sure), frozenset(sure | possible))

    def _split(self, text: str, trait: TraitDefinition) -> Sequence[str]:
        """Into words at ``;`` and ``,`` first, so that a known word with a weaker sign stays."""
        words: list[str] = []
        for piece in re.split(r"[;,|]", text):
            known = self._find(piece, trait) is not None
            words += [piece] if known else _WEAK.split(piece)
        return [word for word in map(clean, words) if word]

    def _find(self, word: str, trait: TraitDefinition) -> TokenSet | None:
        known = self._lists[trait.choices]
        found = known.get(fold(word))
        if found is None and trait.choices == "method":
            found = known.get(fold(_FILLERS.sub(" ", word)))
        return found

    def _unknown(self, word: str, text: str, trait: TraitDefinition) -> Unreadable:
        inside = "" if clean(word) == clean(text) else f" in {shown(text)}"
        what = f"the word {shown(word)}{inside} is not known in the column: {trait.label}"
        values = self.vocabulary.choices[trait.choices]
        words = [*values.values(), *ALIASES.get(trait.choices, {})]
        return Unreadable(what, "Allowed: " + ", ".join(values.values()), did_you_mean(word, words))


def yes_no(text: str, trait: TraitDefinition) -> bool | None:
    """Whether a cell says yes; None when it is not known. Raises Unreadable."""
    word = text.casefold()
    if word in YES or word in NO:
        return word in YES
    if word in NOT_KNOWN:
        return None
    what = f"{shown(text)} is neither yes nor no, in the column: {trait.label}"
    raise Unreadable(what, "Allowed: yes, no, or empty when it is not known")


def fold(text: str) -> str:
    """A word without case, spaces and punctuation; a range such as 1-10 stays apart from 110."""
    word = unicodedata.normalize("NFKC", text).translate(SIGNS).casefold()
    word = re.sub(r"(?<=\d)\s*(?:-|\.\.\.?)\s*(?=\d)", "~", word)
    return re.sub(r"[^\w~]+|_", "", word)


def _spellings(name: str, values: dict[str, str]) -> dict[str, TokenSet]:
    known: dict[str, TokenSet] = {}
    for alias, token in ALIASES.get(name, {}).items():
        if token in values:
            known[fold(alias)] = TokenSet.exactly(token)
    if name == "method":
        edges = frozenset(("forward_phase", "reverse_phase")) & values.keys()
        for alias in EDGE_NOT_NAMED:
            known[fold(alias)] = TokenSet(frozenset(), edges)
    for token, symbol in values.items():
        known[fold(token)] = known[fold(symbol)] = TokenSet.exactly(token)
    return known
