"""What to ask, over the whole schedule: once for the installation, for each luminaire type, each output."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Literal

from compat.model.report import CircuitReport, Enquiry, LineReport, Question
from compat.model.verdicts import RANK, worst

Scope = Literal["installation", "luminaire", "output"]
Key = tuple[Scope, str]
INSTALLATION = "the installation"


def enquiries_of(circuits: Sequence[CircuitReport], lines: Sequence[LineReport]) -> list[Enquiry]:
    """All questions by what they are about, the one whose answers settle most circuits first.

    A circuit waits for every enquiry that holds a question of its own or of its line.
    """
    asked: dict[Key, list[Question]] = {}
    waiting: dict[str, set[Key]] = {}
    for circuit in circuits:
        for question in circuit.questions:
            for key in _keys(question):
                asked.setdefault(key, []).append(question)
                waiting.setdefault(circuit.circuit, set()).add(key)
    for line in lines:
        for question in line.questions:
            for key in _keys(question):
                asked.setdefault(key, []).append(question)
                for name in line.circuits:
                    waiting.setdefault(name, set()).add(key)
    return list(_in_order(asked, waiting))


def _keys(question: Question) -> Iterator[Key]:
    if question.name.startswith("output."):
        yield from (("output", about) for about in question.about)
    elif question.about and question.name.startswith("driver."):
        yield from (("luminaire", about) for about in question.about)
    else:
        yield ("installation", INSTALLATION)


def _in_order(asked: dict[Key, list[Question]], waiting: dict[str, set[Key]]) -> Iterator[Enquiry]:
    """The next enquiry is the one that settles most circuits; then the one that most wait for."""
    left = {name: set(keys) for name, keys in waiting.items()}
    open_keys = list(asked)
    while open_keys:
        settles = {key: [name for name, keys in left.items() if keys == {key}] for key in open_keys}
        waits = {key: [name for name, keys in waiting.items() if key in keys] for key in open_keys}
        key = max(open_keys, key=lambda key: (len(settles[key]), len(waits[key])))
        for keys in left.values():
            keys.discard(key)
        open_keys.remove(key)
        scope, about = key
        yield Enquiry(
            scope=scope,
            about=about,
            circuits=waits[key],
            settled=settles[key],
            questions=_merged(asked[key]),
        )


def _merged(questions: Sequence[Question]) -> list[Question]:
    """Each question once, with all rules that wait for it, the gravest first."""
    merged: dict[str, Question] = {}
    for question in questions:
        known = merged.setdefault(question.name, question)
        if known is not question:
            rules = list(dict.fromkeys([*known.rules, *question.rules]))
            grave = worst((known.could_become, question.could_become))
            decides = known.decides if known.decides == question.decides else ""
            merged[question.name] = replace(known, rules=rules, could_become=grave, decides=decides)
    return sorted(merged.values(), key=lambda one: (-RANK[one.could_become], -len(one.rules)))
