"""The methods by which a load is dimmed or switched, and what of the dataset concerns each."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass

from compat.dataset.read import Dataset, Equipment
from compat.model.values import TokenSet
from compat.rulebook.rules import ParsedRule

METHODS = "method"


@dataclass(frozen=True, slots=True)
class Method:
    """``accept`` surely take the method, ``may_accept`` perhaps; both are drivers."""

    name: str
    symbol: str
    meaning: str
    accept: tuple[Equipment, ...]
    may_accept: tuple[Equipment, ...]
    outputs: tuple[Equipment, ...]
    rules: tuple[ParsedRule, ...]


def method_meanings(dataset: Dataset) -> dict[str, str]:
    """The meaning of each method, from the list of words."""
    path = dataset.root / "datasets" / "vocabulary" / "choices.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return {row["value"]: row["meaning"] for row in csv.DictReader(file) if row["list"] == METHODS}


def methods_of(dataset: Dataset, rules: Sequence[ParsedRule]) -> list[Method]:
    """Every method in the order of the list; equipment and rules by id."""
    meanings = method_meanings(dataset)
    return [
        _method(name, symbol, meanings[name], dataset, rules)
        for name, symbol in dataset.vocabulary.choices[METHODS].items()
    ]


def _method(name: str, symbol: str, meaning: str, dataset: Dataset, rules: Sequence[ParsedRule]) -> Method:
    accept, may_accept = [], []
    for driver in sorted(dataset.tables["drivers"].values(), key=lambda driver: driver.id):
        methods = driver.traits["methods"].content if "methods" in driver.traits else None
        if not isinstance(methods, TokenSet):
            may_accept.append(driver)
        elif name in methods.sure:
            accept.append(driver)
        elif name in methods.possible:
            may_accept.append(driver)
    outputs = [
        output
        for output in sorted(dataset.tables["outputs"].values(), key=lambda output: output.id)
        if "method" in output.traits and output.traits["method"].content == name
    ]
    concerned = [rule for rule in sorted(rules, key=lambda rule: rule.rule.id) if _names(rule, name)]
    return Method(name, symbol, meaning, tuple(accept), tuple(may_accept), tuple(outputs), tuple(concerned))


def _names(rule: ParsedRule, word: str) -> bool:
    """Whether a live rule has the word of a method in its formula."""
    data = rule.rule
    formula = (data.applies, data.demand, data.at_most, data.at_least, data.requires)
    # A word after a point is the end of a trait's name, not a method.
    pattern = re.compile(rf"(?<![\w.]){re.escape(word)}(?!\w)")
    return data.status != "withdrawn" and any(map(pattern.search, formula))
