"""Words of a schedule for choices, sets of choices and yes or no, with the trade's other words."""

from __future__ import annotations

import re
from collections.abc import Sequence

from compat.intake.alias_tables import (
    METHOD_OPEN,
    NO,
    NO_METHOD,
    YES,
    fold_word,
    is_one_of,
    meanings,
    plain_letters,
    spellings,
)
from compat.intake.cells import Unreadable, clean, shown
from compat.intake.numbers import is_not_known
from compat.model.faults import did_you_mean
from compat.model.values import TokenSet
from compat.model.vocabulary import TraitDefinition, Vocabulary

fold = fold_word
_FILLERS = re.compile(
    r"\b(?:dimming|dimmable|dimmed|dim|dimmer|control|controlled|driver|dimmbar|gradable|regulable|dimbaar"
    r"|dimmerabile|dimbar|dæmpbar|protocol|via|by|type|only|led|lighting)\b",
    re.IGNORECASE,
)
# What stands beside the method of a control: '250 W', '2 gang', 'relay 10 A'.
_FILLERS_AND_RATINGS = re.compile(
    rf"{_FILLERS.pattern}|\b[0-9]+(?:[.,][0-9]+)? ?(?:k?VA|k?W|A|amp|gang|way|ch|channels?|module)\b"
    r"|\b(?:module|rotary|wall|knob|panel|circuit|new|existing|bus|system|interface|unit|pack|rack|output|channel)\b",
    re.IGNORECASE,
)
_WEAK = re.compile(
    r"/| or | and |&|\+| und | oder | et | ou | y | o | en | of | e | och | eller | og ", re.IGNORECASE
)
_REWRITTEN = (
    (re.compile(r"\bon\s*[/-]\s*off\b", re.IGNORECASE), "on-off"),
    (re.compile(r"\b0\s*/\s*1\s*-\s*10\s*V", re.IGNORECASE), "0-10V"),
)
# Words of a column of methods that name none.
_OPEN = (NO_METHOD, METHOD_OPEN, YES)
_DEVICE_TYPE = re.compile(r"\b(?:DT ?|device type ?)([0-8])\b", re.IGNORECASE)
# One word beside another in brackets or behind a dash: 'TRIAC (leading edge)'.
_ONE_IN_OTHER = re.compile(r"([^()\[\]]+?) *(?:[(\[]([^()\[\]]+)[)\]]| [-–:] ([^()\[\]]+))")
# A question mark, or 'to be confirmed' behind a word: what stands before it is not settled.
_DOUBT = re.compile(
    r"\?|\b(?:tbc|tbd|tba|maybe|perhaps|probably|evtl|ggf|vielleicht|peut-être|quizás|misschien|forse|kanske"
    r"|måske|kanskje)\b",
    re.IGNORECASE,
)


class Words:
    """Reads words of the choice lists of a vocabulary. Its methods raise Unreadable."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        lists = vocabulary.choices.items()
        self._lists = {name: _spellings(name, values) for name, values in lists}

    def choice(self, text: str, trait: TraitDefinition) -> str | None:
        """The token of a choice; None when the text says that it is not known."""
        found = self.meaning(text, trait)
        if found is not None and len(found.sure) == 1 == len(found.possible):
            return next(iter(found.sure))
        if is_not_known(text):
            return None
        _refuse_doubt(text)
        raise self._unknown(text, text, trait)

    def token_set(self, text: str, trait: TraitDefinition) -> TokenSet | None:
        """The set that a list of words gives; None when it is not known.

        Every driver can also be switched, so a list of methods always holds ``switched``. A way to control
        that is none of the methods, such as a push-button, adds nothing to a list and is refused alone.
        """
        named = self._named(text, trait)
        if named is None or trait.choices != "method":
            return named
        return TokenSet(named.sure | {"switched"}, named.possible | {"switched"})

    def methods_named(self, text: str, trait: TraitDefinition) -> frozenset[str] | None:
        """The methods that a text names or may mean; None where it names none."""
        named = self._named(text, trait)
        return named.possible or None if named else None

    def only_dims(self, text: str) -> bool:
        """Whether a text says no more than that it is dimmed, such as ``Dimmer`` or ``gedimmt``."""
        return is_one_of(text, METHOD_OPEN)

    def _named(self, text: str, trait: TraitDefinition) -> TokenSet | None:
        if is_not_known(text):
            return None
        _refuse_doubt(text)
        if trait.choices == "method" and text.isalpha() and is_one_of(text, NO):
            # No dimming: the circuit is switched and nothing else.
            return TokenSet.exactly("switched")
        for pattern, better in _REWRITTEN:
            text = pattern.sub(better, text)
        text = self._clarified(text, trait)
        found, others = set[str](), list[str]()
        possible = set[str]()
        for word in self._split(text, trait):
            meaning = self.meaning(word, trait)
            if meaning is not None:
                found |= meaning.sure
                possible |= meaning.possible
            elif trait.choices == "method" and any(is_one_of(word, name) for name in _OPEN):
                others.append(word)
            else:
                raise self._unknown(word, text, trait)
        if others and not possible:
            raise self._names_no_method(text)
        return TokenSet(frozenset(found), frozenset(found | possible))

    def meaning(self, word: str, trait: TraitDefinition) -> TokenSet | None:
        """What one word means in a choice list; None when it is not known."""
        known = self._lists[trait.choices]
        found = known.get(fold(word))
        if found is None and trait.choices == "method":
            # Compared whole first, so that 'non dimmable' never loses its second word alone.
            for pattern in (_FILLERS, _FILLERS_AND_RATINGS):
                rest = pattern.sub(" ", plain_letters(word)).split()
                parts = [part for part in rest if not is_one_of(part, METHOD_OPEN)]
                found = found or (known.get(fold(" ".join(parts))) if parts else None)
            if found is None and parts:
                # 'switched relay': each of the words says the same.
                each = {known.get(fold(part)) for part in parts}
                found = each.pop() if len(each) == 1 else None
            # 'mains dimmable trailing edge': a phrase and one that it leaves open.
            cuts = ((known.get(fold(" ".join(words[:n]))), known.get(fold(" ".join(words[n:]))))
                    for words in (parts, word.split()) for n in range(1, len(words)))  # fmt: skip
            found = found or next(
                (both for first, second in cuts if (both := _narrower(first, second))), None
            )
        return found

    def _clarified(self, text: str, trait: TraitDefinition) -> str:
        """``TRIAC (leading edge)`` as ``leading edge``: of two words the one that the other leaves open."""
        parted = _ONE_IN_OTHER.fullmatch(text.strip())
        if parted is None:
            return text
        words = [parted[1], parted[2] or parted[3]]
        meanings = [self.meaning(word, trait) for word in words]
        narrower = _narrower(*meanings)
        return text if narrower is None else words[meanings.index(narrower)]

    def _split(self, text: str, trait: TraitDefinition) -> Sequence[str]:
        """Into words at ``;`` and ``,`` first, so that a known word with a weaker sign stays."""
        if self.meaning(text, trait) is not None or is_one_of(text, YES) or is_one_of(text, NO):
            return [text]
        words: list[str] = []
        for piece in re.split(r"[;,|\n]", text):
            known = self.meaning(piece, trait) is not None
            words += [piece] if known else _WEAK.split(f" {piece} ")
        return [word for word in map(clean, words) if word] or [text]

    def _unknown(self, word: str, text: str, trait: TraitDefinition) -> Unreadable:
        inside = "" if clean(word) == clean(text) else f" in {shown(text)}"
        what = f"the word {shown(word)}{inside} is not known in the column: {trait.label}"
        values = self.vocabulary.choices[trait.choices]
        words = [*values.values(), *spellings(trait.choices)]
        return Unreadable(what, "Allowed: " + ", ".join(values.values()), did_you_mean(word, words))

    def _names_no_method(self, text: str) -> Unreadable:
        allowed = "Allowed: " + ", ".join(self.vocabulary.choices["method"].values())
        do = "Write the method of the datasheet, such as trailing edge or DALI"
        return Unreadable(f"{shown(text)} does not say by which method the driver dims", allowed, do)


def _narrower(first: TokenSet | None, second: TokenSet | None) -> TokenSet | None:
    """Of two meanings the one that lies within what the other leaves open; None when neither does."""
    if first is None or second is None:
        return None
    for sure, open_ in ((first, second), (second, first)):
        if not open_.sure and sure.possible <= open_.possible:
            return sure
    return None


def device_type_in(text: str) -> tuple[str, str]:
    """``DALI-2 DT8`` as ``DALI-2`` and ``8``; an empty digit when the text names no device type of DALI."""
    found = _DEVICE_TYPE.search(text)
    if found is None or "dali" not in text.casefold():
        return text, ""
    rest = clean(f"{text[: found.start()]} {text[found.end() :]}").strip(" ()[],-/")
    return rest, found[1]


def yes_no(text: str, trait: TraitDefinition) -> bool | None:
    """Whether a cell says yes; None when it is not known. Raises Unreadable."""
    yes, no = is_one_of(text, YES), is_one_of(text, NO)
    if yes != no:
        return yes
    if is_not_known(text):
        return None
    what = f"{shown(text)} is neither yes nor no, in the column: {trait.label}"
    raise Unreadable(what, "Allowed: yes, no, or empty when it is not known")


def _refuse_doubt(text: str) -> None:
    if _DOUBT.search(text):
        do = "Write it without the doubt once it is settled, or leave the cell empty"
        raise Unreadable(f"{shown(text)} is not said for sure", do=do)


def _spellings(name: str, values: dict[str, str]) -> dict[str, TokenSet]:
    known = {word: found for word, found in meanings(name).items() if found.possible <= values.keys()}
    for token, symbol in values.items():
        known[fold(token)] = known[fold(symbol)] = TokenSet.exactly(token)
    return known
