"""The ways to read one heading: what is left of it when a unit or the word 'number' is taken out."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from typing import NamedTuple

from compat.intake.alias_tables import (
    EACH_NOUN,
    FILLER,
    SIGNS,
    abbreviations,
    fold_heading,
    fold_word,
    plain_letters,
    words_of,
)
from compat.intake.cells import clean
from compat.intake.units import UnitTable

_BRACKETS = re.compile(r"[(\[{<]([^()\[\]{}<>]*)[)\]}>]")
# Signs that part words; a slash, a comma and 'in' stand before a unit, as in 'P / W' and 'Leistung in W'.
_WORDS = re.compile(r"[^\s,;:/|()\[\]{}<>_*]+")
_JOINTS = frozenset(("in", "en", "i", "/"))
_NUMBER_WORDS = frozenset(
    ("no", "nr", "n", "num", "number", "nummer", "numero", "nos", "nro", "nbr", "#", "nº", "n°", "№")
)
# The longest text in brackets that may be a unit this program does not have.
_UNIT_LETTERS = 6


class Way(NamedTuple):
    """A heading without its unit, that unit as spelled, and whether a word for 'number' was taken out."""

    stem: str
    unit: str
    numbered: bool


def ways_to_read(heading: str, units: UnitTable) -> Iterator[Way]:
    """The ways to read a heading, the likeliest first; the first is the heading with its unit in brackets.

    ``Load [W] total`` is read as ``Load total`` in W, ``Circuit No.`` as ``Circuit``, ``Circuit (new)`` as
    ``Circuit``, ``Inrush/driver`` as ``Inrush``, ``Ltg. circuit`` as ``lighting circuit``.
    """
    text = re.sub(r"^# ?(?:of )?", "no of ", clean(heading).translate(SIGNS), flags=re.IGNORECASE)
    text = re.sub(r"\((?:s|es|n|en|e|er|r|i)\)", "", text)
    plain = [way for stem in (text, _without_fillers(text)) for way in _without_unit(stem, units)]
    plain += [(stem, unit) for whole, unit in plain if (stem := _without_each(whole))]
    plain = list(dict.fromkeys(plain))
    for stem, unit in plain:
        yield Way(stem, unit, False)
    for stem, unit in plain:
        bare = _without_number(stem)
        if bare:
            yield Way(bare, unit, True)
    for stem, unit in plain:
        for written_out in _written_out(stem):
            yield Way(written_out, unit, False)
            if bare := _without_number(written_out):
                yield Way(bare, unit, True)


def parts_of(stem: str) -> list[str]:
    """``DB / Board`` in its parts; empty for a heading of one part."""
    parts = [part.strip() for part in re.split(r"[/&+]| - |,", stem) if part.strip()]
    return parts if len(parts) > 1 else []


def is_of_money(heading: str) -> bool:
    """Whether a heading has a sign of a currency, so that it is a price."""
    return any(unicodedata.category(character) == "Sc" for character in heading)


def _without_fillers(text: str) -> str:
    """Without brackets that add nothing, such as ``(new)``."""

    def kept(found: re.Match[str]) -> str:
        words = _WORDS.findall(found[1])
        empty = all(fold_word(word) in words_of(FILLER) or word.isdigit() for word in words)
        return " " if empty else found[0]

    bare = clean(_BRACKETS.sub(kept, text))
    return bare or text


def _without_each(stem: str) -> str:
    """``Inrush current/driver`` as ``Inrush current``; empty for another heading."""
    before, slash, noun = stem.rpartition("/")
    return before.strip() if slash and fold_word(noun) in words_of(EACH_NOUN) else ""


def _written_out(stem: str) -> Iterator[str]:
    """The heading with its shortened words written out, for each language in which that changes it."""
    words = _WORDS.findall(stem)
    keys = [fold_heading(word) for word in words]
    for known in abbreviations().values():
        if not known.keys().isdisjoint(keys):
            yield " ".join(known.get(key, word) for key, word in zip(keys, words, strict=True))


def _without_unit(text: str, units: UnitTable) -> Iterator[tuple[str, str]]:
    """The heading with a unit in brackets, as it stands, and with a unit among its words."""
    has_unit = False
    for found in _BRACKETS.finditer(text):
        unit, rest = _unit_first(found[1], units)
        outside = f"{text[: found.start()]} {rest} {text[found.end() :]}"
        if unit and outside.strip():
            yield clean(outside), unit
            has_unit = True
    # 'U (V)' is no 'UV'.
    if not has_unit:
        yield text, ""
    for found in _BRACKETS.finditer(text):
        inside, outside = found[1].strip(), clean(text[: found.start()] + " " + text[found.end() :])
        if outside and _looks_like_unit(inside):
            yield outside, inside
    words = _WORDS.findall(text)
    for place in reversed(range(len(words))):
        if len(words) > 1 and units.name(words[place]) and units.name(words[place]) not in ("k", "s"):
            kept = [word for other, word in enumerate(words) if other != place]
            while kept and kept[-1].casefold() in _JOINTS:
                kept.pop()
            if kept:
                yield " ".join(kept), words[place]


def _unit_first(inside: str, units: UnitTable) -> tuple[str, str]:
    """``W each`` as the unit and the rest; an empty unit when it starts with none."""
    if units.name(inside):
        return inside.strip(), ""
    words = _WORDS.findall(inside)
    if len(words) > 1 and units.name(words[0]):
        return words[0], " ".join(words[1:])
    return "", inside


def _looks_like_unit(inside: str) -> bool:
    """A short text with a capital or a sign, such as ``hp/A`` or ``lm/W``, that may be an unknown unit."""
    short = 0 < len(inside) <= _UNIT_LETTERS and " " not in inside
    return short and (not inside.isalpha() or not inside.islower()) and not inside.isdigit()


def _without_number(stem: str) -> str:
    """``Circuit No.`` as ``Circuit``, ``N° de circuit`` as ``circuit``; empty when there is no such word."""
    words = stem.replace("#", " # ").replace("-", " ").split()
    kept = [word for word in words if plain_letters(word).strip(" .:()°º") not in _NUMBER_WORDS]
    if len(kept) == len(words):
        return ""
    if kept and plain_letters(kept[0]) in ("de", "del", "du", "of", "van", "d", "der", "des"):
        kept = kept[1:]
    return " ".join(kept)
