"""What changed in the rules: their life, their logic, their words, sources and cases."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from compat.dataset.values import ValueFault
from compat.model.changes import Change, FieldChange, Kind, Points, Step
from compat.model.rule import Case, Rule
from compat.release.differences import change, field_changes, text_of
from compat.release.edition import Edition
from compat.release.rule_comparison import RuleVersion, comparable, compared
from compat.rulebook.rules import ParsedRule

EXPRESSIONS = ("applies", "demand", "at_most", "at_least", "requires")
TESTS = ("at_most", "at_least", "requires")
LIFE = ("withdrawn_because", "superseded_by")
TOLD_APART = {"schema_", "id", "slug", "scope", "breach", "precedence", "status", "sources"}
TOLD_APART |= {*EXPRESSIONS, *LIFE}
# Whatever else a rule has is for people, and is told in the order of the model.
WORDS = tuple(name for name in Rule.names() if name not in TOLD_APART)
IN_FORCE = ("stable", "retiring")


def rule_changes(old: Edition, new: Edition) -> list[Change]:
    """The changes of all rules, by id; one rule may have changed in several ways."""
    changes: list[Change] = []
    for identity in sorted({*old.rules, *new.rules}):
        before, after = old.rules.get(identity), new.rules.get(identity)
        if before is None and after is not None:
            changes.append(_added(after))
        elif after is None and before is not None:
            changes.append(_change(before, "removed", "major", "an id is gone; a rule is withdrawn instead"))
        elif before is not None and after is not None:
            changes += _life(before, after, new)
            changes += _logic(before, after, old, new)
            changes += _rest(before, after, old, new)
    return changes


def _change(
    rule: ParsedRule,
    kind: Kind,
    step: Step,
    why: str,
    fields: Sequence[FieldChange] = (),
    points: Points | None = None,
) -> Change:
    data = rule.rule
    return change("rule", data.id, kind, step, why, fields, name=data.slug, points=points)


def _added(rule: ParsedRule) -> Change:
    if rule.rule.status in IN_FORCE:
        return _change(rule, "added", "minor", "it judges what nothing judged before")
    status = "a preview" if rule.rule.status == "preview" else "withdrawn"
    return _change(rule, "added", "patch", f"it is {status}, so no stable verdict moves")


def _life(before: ParsedRule, after: ParsedRule, new: Edition) -> Iterator[Change]:
    """Withdrawn, back, promoted and the other ways of a status."""
    was, now = before.rule.status, after.rule.status
    if was == now:
        return
    fields = _rule_fields(before.rule, after.rule, ("status", *LIFE))
    live = {rule.rule.id for rule in new.live}
    if now == "withdrawn":
        followers = [follower for follower in after.rule.superseded_by if follower in live]
        step: Step = "minor" if followers else "major"
        why = f"followed by {', '.join(followers)}" if followers else "it goes without successor"
        yield _change(after, "withdrawn", step, why, fields)
    elif was == "withdrawn":
        step = "minor" if now in IN_FORCE else "patch"
        yield _change(after, "reinstated", step, "it judges again", fields)
    elif was == "preview":
        yield _change(after, "promoted", "minor", "its verdicts are stable from now on", fields)
    elif now == "preview":
        yield _change(after, "demoted", "minor", "its verdicts are stable no longer", fields)
    elif now == "retiring":
        yield _change(after, "retiring", "patch", "it judges as before", fields)
    else:
        yield _change(after, "changed", "patch", "it judges as before", fields)


def _logic(before: ParsedRule, after: ParsedRule, old: Edition, new: Edition) -> Iterator[Change]:
    """Tightened, loosened, or changed in its meaning."""
    told = (*EXPRESSIONS, "breach")
    fields = _rule_fields(before.rule, after.rule, told)
    meaning = _new_meaning(before, after)
    if meaning:
        fields = _rule_fields(before.rule, after.rule, ("scope", *told))
        yield _change(after, "changed", "major", meaning, fields)
        return
    same_trees = (before.applies, before.test) == (after.applies, after.test)
    if not fields or (same_trees and before.rule.breach == after.rule.breach):
        if fields:
            yield _change(after, "reworded", "patch", "the formula is written otherwise and the same", fields)
        return
    stable = old.judges(before.rule.id) or new.judges(after.rule.id)
    step: Step = "minor" if stable else "patch"
    points = _points(before, after, old, new)
    kind, why = _direction(points)
    if not stable:
        why += "; no stable verdict rests on it"
    yield _change(after, kind, step, why, fields, points)


def _new_meaning(before: ParsedRule, after: ParsedRule) -> str:
    """Why an outcome means something else than before, or nothing."""
    if before.rule.scope != after.rule.scope:
        return "the rule judges another kind of subject"
    tests = [next(test for test in TESTS if getattr(rule.rule, test)) for rule in (before, after)]
    if tests[0] != tests[1]:
        return f"the test was {tests[0]} and is {tests[1]}, so an outcome means something else"
    measures = [rule.demand.measure for rule in (before, after) if rule.demand is not None]
    if len(measures) == 2 and not measures[0].same_dimension(measures[1]):
        return "the demand is another kind of quantity"
    return ""


def _points(before: ParsedRule, after: ParsedRule, old: Edition, new: Edition) -> Points | None:
    versions = _version(before, old), _version(after, new)
    if not comparable(*versions):
        return None
    try:
        return compared(*versions)
    except ValueFault:
        # A case that does not fit its vocabulary is a fault of the dataset check.
        return None


def _version(rule: ParsedRule, edition: Edition) -> RuleVersion:
    return RuleVersion(rule, edition.dataset.vocabulary, edition.cases.get(rule.rule.id, ()))


def _direction(points: Points | None) -> tuple[Kind, str]:
    if points is None:
        return "changed", "the two versions cannot be judged on the same values"
    if points.worse and not points.better:
        return "tightened", f"worse on {points.worse} of {points.tried} points, better on none"
    if points.better and not points.worse:
        return "loosened", f"better on {points.better} of {points.tried} points, worse on none"
    if points.worse:
        moved = f"worse on {points.worse} and better on {points.better}"
        return "changed", f"{moved} of {points.tried} points"
    return "changed", f"the formula differs; none of {points.tried} points moved, which is no proof"


def _rest(before: ParsedRule, after: ParsedRule, old: Edition, new: Edition) -> Iterator[Change]:
    """Everything that no verdict depends on."""
    a, b = before.rule, after.rule
    names = _rule_fields(a, b, ("slug",))
    if before.family != after.family:
        names.append(FieldChange(field="family", old=before.family, new=after.family))
    if names:
        yield _change(after, "renamed", "patch", "the id is the same", names)
    if sources := field_changes(_cited(a), _cited(b), lead="source "):
        yield _change(after, "re_sourced", "patch", "the formula is the same", sources)
    if order := _rule_fields(a, b, ("precedence",)):
        yield _change(after, "reordered", "patch", "of equal verdicts another may be told first", order)
    before_cases, after_cases = (_case_texts(edition.cases.get(a.id, ())) for edition in (old, new))
    moved = field_changes(before_cases, after_cases, lead="case ")
    if moved:
        yield _change(after, "cases_changed", "patch", "cases test the rule and judge nothing", moved)
    words = _rule_fields(a, b, WORDS if a.status != b.status else (*WORDS, *LIFE))
    if words:
        yield _change(after, "reworded", "patch", "the words are other ones", words)


def _case_texts(cases: Sequence[Case]) -> dict[str, str]:
    """The cases as texts by their names."""
    texts = {}
    for case in cases:
        given = ", ".join(f"{name} = {text_of(value)}" for name, value in case.given.items())
        mark = f"; known gap: {case.known_gap}" if case.known_gap else ""
        source = f"; from {case.from_source}" if case.from_source else ""
        texts[case.name] = f"{case.kind}, {case.expect}, given {given}{source}{mark}"
    return texts


def _cited(rule: Rule) -> dict[str, str]:
    """The citations by source; several of one source are told together."""
    told: dict[str, list[str]] = {}
    for citation in rule.sources:
        parts = (citation.edition, citation.locator, f"for {', '.join(citation.supports)}", citation.basis)
        told.setdefault(citation.source, []).append(", ".join(filter(None, parts)))
    return {source: " | ".join(texts) for source, texts in told.items()}


def _rule_fields(old: Rule, new: Rule, names: Iterable[str]) -> list[FieldChange]:
    """The named fields that differ; of a field with keys, the keys that differ."""
    a, b = old.model_dump(mode="json"), new.model_dump(mode="json")
    found: list[FieldChange] = []
    for name in names:
        if isinstance(a[name], dict):
            found += field_changes(a[name], b[name], lead=f"{name} ")
        else:
            found += field_changes(a, b, (name,))
    return found
