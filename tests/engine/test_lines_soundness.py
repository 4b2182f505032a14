"""Soundness of the verdicts on lines, through the joining of rows and the physics, as properties."""

from __future__ import annotations

import random
from dataclasses import replace

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from compat.dataset.read import Dataset
from compat.engine.lines import Line, gather_line
from compat.engine.members import Member
from compat.model.values import UNKNOWN, Content, Interval, TokenSet, Trait
from compat.rulebook.cases import evaluation
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import NO, YES
from tests.engine.made_lines import bus_rules, random_line

# These count what is known and what is stated, so silence makes them less.
COUNTED = {
    "line.dali_version_1_gear",
    "line.control_directions_stated",
    "line.dali_addressings_stated",
    "line.safe_wiring_stated",
    "line.safe_terminals_known",
}
# These follow from other values where they are not stated; the kind and the wishes do as well.
DERIVED = {
    "kind",
    "cable_resistance_ohm_per_km",
    "cable_cross_section_mm2",
    "wired_as_selv",
    "separated_from_mains",
    "nec_class_2",
    "farthest_pair_m",
    "length_to_farthest_m",
    "total_cable_m",
    "segments",
    "output_full_v",
    "output_direction",
    "dali_colour_types_commanded",
}
SLOW = settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))


def codes(line: Line, rules: list[ParsedRule], dataset: Dataset) -> dict[str, int]:
    run = evaluation(line.values, dataset.vocabulary)
    return {rule.rule.id: run.truth(rule.condition) for rule in rules}


def changed(line: Line, members: list[Member], stated: dict[str, Trait], dataset: Dataset) -> Line:
    """The line gathered anew from other members, in the circuits of the old ones."""
    left = iter(members)
    circuits = [
        replace(circuit, members=tuple(next(left) for _ in circuit.members)) for circuit in line.circuits
    ]
    return gather_line(line.id, circuits, dataset, stated, {})


def narrowed(content: Content, source: random.Random) -> Content:
    if isinstance(content, Interval):
        low, high = sorted(content.low + source.random() * (content.high - content.low) for _ in range(2))
        low, high = max(low, content.low), min(high, content.high)
        return Interval(min(low, high), max(low, high))
    if isinstance(content, TokenSet):
        settled = {token for token in content.possible if source.random() < 0.5}
        return TokenSet.exactly(*(content.sure | settled))
    return content


@SLOW
@given(seed=st.integers(0, 2**40))
def test_narrower_values_keep_what_is_decided(seed: int, dataset: Dataset, rules: list[ParsedRule]) -> None:
    source = random.Random(seed)
    line = random_line("L1", dataset, source)
    members = [
        replace(
            member,
            traits={
                # Gear that turns out to be of another method leaves the line, so its methods stay.
                name: t if name == "methods" else replace(t, content=narrowed(t.content, source))
                for name, t in member.traits.items()
            },
        )
        for member in line.members
    ]
    stated = {name: replace(t, content=narrowed(t.content, source)) for name, t in line.column_traits.items()}
    narrow = changed(line, members, stated, dataset)
    of_lines = bus_rules(rules)
    before, after = codes(line, of_lines, dataset), codes(narrow, of_lines, dataset)
    for rule, code in before.items():
        if code in (YES, NO):
            assert after[rule] == code, rule


@SLOW
@given(seed=st.integers(0, 2**40))
def test_a_row_that_goes_silent_never_makes_a_rule_hold(
    seed: int, dataset: Dataset, rules: list[ParsedRule]
) -> None:
    source = random.Random(seed)
    line = random_line("L1", dataset, source)
    place, name = (
        source.randrange(len(line.members)),
        source.choice([trait.name for trait in dataset.vocabulary.of_subject("driver")]),
    )
    assume(name != "methods" and line.members[place].traits.get(name, UNKNOWN).content is not None)
    members = list(line.members)
    members[place] = replace(members[place], traits={**members[place].traits, name: UNKNOWN})
    after = changed(line, members, line.column_traits, dataset)
    # Two rows of one type differ once one of them is silent: that is known, not unknown.
    of_lines = [rule for rule in bus_rules(rules) if not COUNTED.union(["line.driver_types"]) & {*rule.names}]
    first, second = codes(line, of_lines, dataset), codes(after, of_lines, dataset)
    for rule, code in second.items():
        if code == YES:
            assert first[rule] == YES, f"{rule} without {name}"


@SLOW
@given(seed=st.integers(0, 2**40))
def test_a_line_that_states_less_never_makes_a_rule_hold(
    seed: int, dataset: Dataset, rules: list[ParsedRule]
) -> None:
    source = random.Random(seed)
    line = random_line("L1", dataset, source)
    known = [name for name, trait in line.column_traits.items() if trait.content is not None]
    silent = source.choice(known)
    assume(silent not in DERIVED and not silent.startswith("wanted_"))
    stated = {name: trait for name, trait in line.column_traits.items() if name != silent}
    after = changed(line, list(line.members), stated, dataset)
    assert after.values[f"line.{silent}"] is None or isinstance(after.values[f"line.{silent}"], TokenSet)
    of_lines = [rule for rule in bus_rules(rules) if not COUNTED & {*rule.names}]
    first, second = codes(line, of_lines, dataset), codes(after, of_lines, dataset)
    for rule, code in second.items():
        if code == YES:
            assert first[rule] == YES, f"{rule} without {silent}"
