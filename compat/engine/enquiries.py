"""What to ask, over the whole schedule: once for the installation, for each luminaire type, each output."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Literal

from compat.model.report import CircuitReport, Enquiry, LineReport, Question
from compat.model.verdicts import RANK, worst

Scope = Literal["installation", "luminaire", "output"]
Key = tuple[Scope, str]
INSTALLATION = "the installation"


def enquiries_of(circuits: Sequence[CircuitReport], lines: Sequence[LineReport]) -> list[Enquiry]:
    """All questions by what they are about, the one whose answers decide most circuits first.

    A circuit waits for every enquiry that holds a question of its own or of its line.
    """
    asked: dict[Key, list[Question]] = {}
    waiting: dict[str, set[Key]] = {}
    deciding: dict[str, set[Key]] = {}

    def take(questions: Sequence[Question], names: Sequence[str]) -> None:
        for question in questions:
            for key in _keys(question):
                asked.setdefault(key, []).append(question)
                for name in names:
                    waiting.setdefault(name, set()).add(key)
                    if question.decisive:
                        deciding.setdefault(name, set()).add(key)

    for circuit in circuits:
        take(circuit.questions, [circuit.circuit])
    for line in lines:
        take(line.questions, line.circuits)
    return list(_in_order(asked, waiting, deciding))


def _keys(question: Question) -> Iterator[Key]:
    if question.name.startswith("output."):
        yield from (("output", about) for about in question.about)
    elif question.about and question.name.startswith("driver."):
        yield from (("luminaire", about) for about in question.about)
    else:
        yield ("installation", INSTALLATION)


def _in_order(
    asked: dict[Key, list[Question]], waiting: dict[str, set[Key]], deciding: dict[str, set[Key]]
) -> Iterator[Enquiry]:
    """The next enquiry is the one that decides most circuits; then the one that most wait for."""
    left = {name: set(keys) for name, keys in waiting.items()}
    undecided = {name: set(keys) for name, keys in deciding.items()}
    waits, first = _by_key(waiting), _by_key(deciding)
    open_keys = list(asked)
    while open_keys:
        settles, decides = _last(left), _last(undecided)
        key = max(
            open_keys,
            key=lambda key: (
                bool(first[key]),
                len(decides[key]),
                len(first[key]),
                len(settles[key]),
                len(waits[key]),
            ),
        )
        for open_of in (left, undecided):
            for keys in open_of.values():
                keys.discard(key)
        open_keys.remove(key)
        scope, about = key
        yield Enquiry(
            scope=scope,
            about=about,
            circuits=waits[key],
            settled=settles[key],
            questions=_merged(asked[key]),
            first=first[key],
            decided=decides[key],
        )


def _by_key(of: dict[str, set[Key]]) -> dict[Key, list[str]]:
    """The circuits that wait for each key."""
    found = defaultdict[Key, list[str]](list)
    for name, keys in of.items():
        for key in keys:
            found[key].append(name)
    return found


def _last(open_of: dict[str, set[Key]]) -> dict[Key, list[str]]:
    """The circuits that wait for one key alone."""
    return _by_key({name: keys for name, keys in open_of.items() if len(keys) == 1})


def _merged(questions: Sequence[Question]) -> list[Question]:
    """Each question once, with all rules that wait for it, the gravest first."""
    merged: dict[str, Question] = {}
    for question in questions:
        known = merged.setdefault(question.name, question)
        if known is not question and not _says_no_more(question, known):
            rules = list(dict.fromkeys([*known.rules, *question.rules]))
            grave = worst((known.could_become, question.could_become))
            decides = known.decides if known.decides == question.decides else ""
            merged[question.name] = replace(
                known,
                rules=rules,
                could_become=grave,
                decides=decides,
                decisive=known.decisive or question.decisive,
            )
    return sorted(
        merged.values(), key=lambda one: (not one.decisive, -RANK[one.could_become], -len(one.rules))
    )


def _says_no_more(question: Question, known: Question) -> bool:
    """Whether a question adds nothing to the same one asked before."""
    return (
        question.rules == known.rules
        and question.could_become == known.could_become
        and question.decides == known.decides
        and question.decisive == known.decisive
    )
