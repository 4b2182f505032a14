"""Trait values as the TOML tables and case files write them, into the words of the model."""

from __future__ import annotations

import math
from typing import Any

from compat.model.faults import shown
from compat.model.values import BASES, Basis, Content, Interval, TokenSet, Trait
from compat.model.vocabulary import TraitDefinition, Vocabulary

LARGEST = 1e9
ALLOWED = {
    "quantity": "a number of 0 or more, or two such numbers [low, high], or a table with low and high",
    "choice": "one word of the list",
    "set": "words of the list, or a table with sure and possible",
    "yes_no": "true or false",
}


class ValueFault(ValueError):
    """The value does not fit its trait; the message says what is wrong and what is allowed."""


def content_of(value: Any, trait: TraitDefinition, vocabulary: Vocabulary) -> Content:
    """A value of a table or a case; ``"unknown"`` gives None. Raises ValueFault."""
    if isinstance(value, str) and value == "unknown":
        return None
    match trait.kind:
        case "quantity":
            return _interval(value)
        case "yes_no" if isinstance(value, bool):
            return value
        case "choice" if isinstance(value, str):
            return _token(value, trait, vocabulary)
        case "set" if isinstance(value, list | str):
            words = [value] if isinstance(value, str) else value
            return TokenSet.exactly(*(_token(word, trait, vocabulary) for word in words))
        case "set" if isinstance(value, dict) and set(value) == {"sure", "possible"}:
            sure = frozenset(_token(word, trait, vocabulary) for word in value["sure"])
            possible = frozenset(_token(word, trait, vocabulary) for word in value["possible"])
            if not sure <= possible:
                raise ValueFault("what is sure must be possible too")
            return TokenSet(sure, possible)
    raise ValueFault(f"{shown(value)} is not allowed; allowed: {ALLOWED[trait.kind]}")


def trait_of(
    value: Any, trait: TraitDefinition, vocabulary: Vocabulary, basis: Basis, source: str | None
) -> Trait:
    """A trait of a table entry, whose own basis and source are the defaults. Raises ValueFault.

    A figure of basis ``memory`` is kept as recalled and its content left unknown.
    """
    if isinstance(value, dict):
        own = dict(value)
        stated = own.pop("basis", basis)
        if stated not in BASES:
            raise ValueFault(f"basis {stated!r} is not allowed; allowed: {', '.join(BASES)}")
        basis, source = stated, own.pop("source", source)
        own.pop("locator", None)
        value = own["value"] if set(own) == {"value"} else own
        if isinstance(value, dict) and set(value) == {"low", "high"}:
            value = [value["low"], value["high"]]
    content = content_of(value, trait, vocabulary)
    if basis == "memory":
        return Trait(None, basis, source, recalled=content)
    return Trait(content, basis, source)


def _interval(value: Any) -> Interval:
    ends = value if isinstance(value, list) and len(value) == 2 else [value, value]
    if not all(isinstance(end, int | float) and not isinstance(end, bool) for end in ends):
        raise ValueFault(f"{shown(value)} is not allowed; allowed: {ALLOWED['quantity']}")
    low, high = float(ends[0]), float(ends[1])
    if not (math.isfinite(low) and math.isfinite(high)):
        raise ValueFault(f"{shown(value)} is not a finite number")
    if low < 0 or high > LARGEST:
        raise ValueFault(f"{shown(value)} is outside 0 to {LARGEST:g}")
    if low > high:
        raise ValueFault(f"the low end {low:g} is above the high end {high:g}")
    return Interval(low, high)


def _token(word: Any, trait: TraitDefinition, vocabulary: Vocabulary) -> str:
    known = vocabulary.values_of(trait)
    if not isinstance(word, str) or word not in known:
        listed = ", ".join(known)
        raise ValueFault(f"{shown(word)} is not a word of the list '{trait.choices}'; allowed: {listed}")
    return word
