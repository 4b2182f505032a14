"""Whether a rule became tighter or looser, by judging both versions on the same points."""

from __future__ import annotations

from compat.model.changes import Points
from compat.model.figures import amount_text
from compat.model.values import Content, Interval, TokenSet
from compat.model.verdicts import RANK, Verdict
from compat.release.points import Point, Side, points
from compat.rulebook.cases import evaluation
from compat.rulebook.truth import verdict_of


def comparable(old: Side, new: Side) -> bool:
    """Whether the names that both versions use mean the same, so that a point fits both."""
    shared = set(old.rule.names) & set(new.rule.names)
    traits = ((old.vocabulary.traits[name], new.vocabulary.traits[name]) for name in shared)
    return all((a.kind, a.unit, a.choices) == (b.kind, b.unit, b.choices) for a, b in traits)


def compared(old: Side, new: Side) -> Points:
    """How many points the new version judges worse, and how many better. Raises ValueFault."""
    tried = worse = better = 0
    example = ""
    for point in points(old, new):
        before, after = _verdict(old, point), _verdict(new, point)
        tried += 1
        if before == after:
            continue
        worse += RANK[after] > RANK[before]
        better += RANK[after] < RANK[before]
        if not example:
            example = f"{_point_text(point, new)}: {before} -> {after}"
    return Points(tried=tried, worse=worse, better=better, example=example)


def _verdict(side: Side, point: Point) -> Verdict:
    run = evaluation(point, side.vocabulary)
    return verdict_of(run.truth(side.rule.condition), side.rule.rule.breach)


def _point_text(point: Point, side: Side) -> str:
    parts = []
    for name, value in point.items():
        trait = side.vocabulary.traits.get(name)
        unit = side.vocabulary.unit_symbol(trait.unit) if trait and trait.unit else ""
        parts.append(f"{name} = {content_text(value, unit)}")
    return ", ".join(parts)


def content_text(value: Content, unit_symbol: str) -> str:
    """A value as people read it, words as the tables write them."""
    if isinstance(value, Interval):
        return amount_text(value.low, value.high, unit_symbol)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, TokenSet):
        sure = ", ".join(sorted(value.sure)) or "none"
        perhaps = ", ".join(sorted(value.possible - value.sure))
        return f"{sure}, perhaps {perhaps}" if perhaps else sure
    return value if value is not None else "not known"
