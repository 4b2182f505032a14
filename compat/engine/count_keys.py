"""The keys of many counts of one driver on many outputs, with little planning.

Most rules do not care how many drivers there are: those are judged once an output in plain Python.
Only the rules that use a value which moves with the count go into the one query over all counts.
"""

from __future__ import annotations

from collections.abc import Sequence

from compat.dataset.read import Dataset, Equipment
from compat.engine.gather import Circuit
from compat.engine.keys import key_of, verdict_and_place
from compat.engine.pair import Pair
from compat.engine.site import Site
from compat.engine.verdicts import pairing_keys
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import NO


def count_keys(
    series: Sequence[Circuit],
    outputs: Sequence[Equipment],
    site: Site,
    dataset: Dataset,
    rules: Sequence[ParsedRule],
) -> list[list[int]]:
    """For each circuit of the series (1, 2, 3 ... drivers) the key on each output."""
    moving = _moving_names(series)
    fixed = [place for place, rule in enumerate(rules) if not moving.intersection(rule.names)]
    first = [Pair(series[0], output, site, dataset) for output in outputs]
    standing = [max((_key(rules, place, pair) for place in fixed), default=0) for pair in first]
    varying = [
        place
        for place, rule in enumerate(rules)
        if moving.intersection(rule.names)
        and any(pair.evaluation.truth(rule.applies) != NO for pair in first)
    ]
    found = pairing_keys(series, outputs, site, dataset, [rules[place] for place in varying])
    return [
        [max(standing[column], _replaced(key, varying)) for column, key in enumerate(row)] for row in found
    ]


def _moving_names(series: Sequence[Circuit]) -> frozenset[str]:
    """The traits that are not the same for every count; those that only the count decides, at least."""
    first = series[0].values
    return frozenset(
        name for name, content in first.items() if any(other.values[name] != content for other in series[1:])
    )


def _key(rules: Sequence[ParsedRule], place: int, pair: Pair) -> int:
    rule = rules[place]
    return key_of(pair.evaluation.truth(rule.condition), rule.rule.breach, place)


def _replaced(key: int, places: Sequence[int]) -> int:
    """A key of the varying rules among themselves as a key among all rules."""
    _, place = verdict_and_place(key)
    # Keys fall by one a place.
    return 0 if place is None else key + place - places[place]
