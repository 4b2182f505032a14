"""The five verdict words and their order; the worst wins."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, get_args

Verdict = Literal["works", "marginal", "unproven", "fails", "hazard"]
VERDICTS: tuple[Verdict, ...] = get_args(Verdict)
RANK: dict[str, int] = {word: rank for rank, word in enumerate(VERDICTS)}
MEANING: dict[str, str] = {
    "works": "every rule that applies holds over the whole of the given values",
    "marginal": "a rule holds at one end of the given values only, or a recommendation is not met",
    "unproven": "a value that a rule needs is not known",
    "fails": "a rule is broken whatever the value inside what is given: it will not work properly",
    "hazard": "the same, for a rule whose breach can hurt someone or destroy equipment",
}


def worst(verdicts: Iterable[Verdict]) -> Verdict:
    """The worst of some verdicts; ``works`` of none."""
    return max(verdicts, key=RANK.__getitem__, default="works")
