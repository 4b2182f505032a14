"""Checks of the parts of a rule: its sentence, its questions, its cases and its life cycle."""

from __future__ import annotations

import re
from collections.abc import Iterator

from compat.checks.context import CheckContext, check, in_cases, in_rule
from compat.model.faults import Fault
from compat.rulebook.rules import ParsedRule, cases_file

SLOT = re.compile(r"\{([^{}]*)\}")
ALWAYS_KNOWN = frozenset(
    {
        "output.method",
        "circuit.driver_count",
        "circuit.driver_types",
        "line.kind",
        "line.driver_count",
        "line.driver_types",
    }
)


@check("slots", "rule", "the sentence of a rule has only slots that the rule can fill")
def slots(context: CheckContext) -> Iterator[Fault]:
    """Faults for slots that name nothing the rule uses."""
    for rule in context.rules:
        allowed = {*rule.names, *(("demand", "limit") if rule.demand is not None else ())}
        told: dict[tuple[str, ...], str] = {("because",): rule.rule.because}
        told.update({("because_by", cause): text for cause, text in rule.rule.because_by.items()})
        for keys, slot in ((keys, slot) for keys, text in told.items() for slot in SLOT.findall(text)):
            if slot not in allowed:
                what = f"the slot {{{slot}}} is not filled by this rule"
                where = in_rule(rule, *keys)
                yield Fault(what, where, f"Allowed: {', '.join(sorted(allowed))}")


@check("ask-for", "rule", "every value that can be unknown has its question")
def ask_for(context: CheckContext) -> Iterator[Fault]:
    """Faults for names without a question, and for questions about names not used."""
    for rule in context.live_rules():
        asked = set(rule.rule.ask_for)
        for name in rule.names:
            if name not in asked and name not in ALWAYS_KNOWN:
                yield Fault(f"ask_for has no question for {name}", in_rule(rule, "ask_for"), do="Add it")
        for name in sorted(asked - set(rule.names)):
            what = f"ask_for has {name}, which the rule does not use"
            yield Fault(what, in_rule(rule, "ask_for", name), do="Remove it")


@check(
    "cases-present",
    "rule",
    "a case that holds, one that breaks, both sides of the limit, one for each missing value",
)
def cases_present(context: CheckContext) -> Iterator[Fault]:
    """Faults for rules without the cases they need."""
    for rule in context.live_rules():
        cases = context.cases.get(rule.rule.slug)
        if cases is None:
            do = f"Write {rule.family}/{cases_file(rule.file).name}"
            yield Fault("the rule has no readable cases file", in_rule(rule), do=do)
            continue
        kinds = {case.kind for case in cases}
        for kind in _needed(rule):
            if kind not in kinds:
                yield Fault(f"there is no case of kind '{kind}'", in_cases(rule), do="Add one")
        given = [case.given for case in cases if case.kind == "missing"]
        missing = {name for values in given for name, value in values.items() if value == "unknown"}
        for name in rule.names:
            if name not in missing and name not in ALWAYS_KNOWN:
                yield Fault(f"there is no case in which {name} is missing", in_cases(rule), do="Add one")
        for place, case in enumerate(cases):
            lacking = [name for name in rule.names if name not in case.given]
            if lacking:
                what = f"the case '{case.name}' does not give {', '.join(lacking)}"
                yield Fault(what, in_cases(rule, "case", place, "given"), do='Give each, or "unknown"')


def _needed(rule: ParsedRule) -> list[str]:
    limits = ["at_limit", "past_limit"] if rule.demand is not None else []
    return ["holds", "breaks", *limits, *([] if rule.rule.applies == "always" else ["not_applicable"])]


@check("withdrawal", "rule", "a withdrawn rule says why; what follows it is live")
def withdrawal(context: CheckContext) -> Iterator[Fault]:
    """Faults of the life cycle of rules."""
    live = {rule.rule.id for rule in context.live_rules()}
    for rule in context.rules:
        data = rule.rule
        if data.status == "withdrawn" and not data.withdrawn_because:
            yield Fault("a withdrawn rule says why", in_rule(rule, "status"), do="Add withdrawn_because")
        if data.status != "withdrawn" and data.withdrawn_because:
            where = in_rule(rule, "withdrawn_because")
            yield Fault("a live rule has withdrawn_because", where, do="Remove it")
        for place, follower in enumerate(data.superseded_by):
            if follower not in live:
                what = f"superseded_by names {follower}, which is no live rule"
                yield Fault(what, in_rule(rule, "superseded_by", place))
