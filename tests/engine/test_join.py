"""Demands join allowances: the loop, the database and the counts give the same keys, and brute force over
the ends of intervals and the members of sets shows that none is less cautious than the truth.
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Mapping, Sequence

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from compat.dataset.overlay import read_setting
from compat.dataset.read import Dataset, Equipment
from compat.engine.counts import CountJoin
from compat.engine.gather import Circuit, gather_rows, of_counts
from compat.engine.join import key_of, keys_by_database, keys_by_loop, verdict_and_place
from compat.engine.site import Site, site_of
from compat.engine.subject import CircuitSubject, OutputSubject, Pairing
from compat.model.schedule import ScheduleRow
from compat.model.values import Content, Interval, TokenSet, Trait
from compat.model.verdicts import RANK
from compat.rulebook.cases import evaluation
from compat.rulebook.rules import ParsedRule, is_of_circuit
from compat.rulebook.truth import CODES, NO, YES, verdict_of
from tests.engine.made import exact, output, rule
from tests.engine.strategies import random_values
from tests.rulebook.strategies import conditions

SLOW = settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
AROUND = ("supply", "breaker", "cable", "source_impedance")


def names_of(rules: Sequence[ParsedRule], subject: str) -> list[str]:
    used = dict.fromkeys(name for rule in rules for name in rule.names)
    return [name for name in used if name.startswith(f"{subject}.")]


def equipment(values: Mapping[str, Content]) -> Equipment:
    return Equipment("X", "made", {name.split(".")[1]: Trait(content) for name, content in values.items()})


def subjects(
    rules: Sequence[ParsedRule], dataset: Dataset, source: random.Random
) -> tuple[list[CircuitSubject], list[OutputSubject]]:
    """Three circuits, each at a site of its own, and three outputs, with random values."""

    def drawn(subject: str) -> Mapping[str, Content]:
        return random_values(names_of(rules, subject), dataset.vocabulary, source)

    circuits = []
    for _ in range(3):
        site = Site(**{subject: equipment(drawn(subject)) for subject in AROUND})
        circuits.append(CircuitSubject(dataset, Circuit("C1", "", (), None, drawn("circuit")), site))
    return circuits, [OutputSubject(dataset, equipment(drawn("output"))) for _ in range(3)]


def keys_one_by_one(
    circuits: Sequence[CircuitSubject], outputs: Sequence[OutputSubject], rules: Sequence[ParsedRule]
) -> list[list[int]]:
    """The keys by the findings' own way: each rule on each pairing."""
    return [
        [
            max(
                key_of(Pairing(circuit, output).code(rule), rule.rule.breach, place)
                for place, rule in enumerate(rules)
            )
            for output in outputs
        ]
        for circuit in circuits
    ]


@SLOW
@given(seed=st.integers(0, 2**40))
def test_loop_database_and_findings_give_the_same_keys(
    seed: int, dataset: Dataset, rules: list[ParsedRule]
) -> None:
    judged = [rule for rule in rules if is_of_circuit(rule)]
    circuits, outputs = subjects(judged, dataset, random.Random(seed))
    expected = keys_one_by_one(circuits, outputs, judged)
    assert keys_by_loop(circuits, outputs, judged) == expected
    assert keys_by_database(circuits, outputs, judged) == expected


@SLOW
@given(data=st.data(), seed=st.integers(0, 2**40))
def test_any_legal_rule_is_judged_alike(data: st.DataObject, seed: int, dataset: Dataset) -> None:
    """Random rules of the language, sides mixed as they come: none falls over in any of the joins."""
    made = [
        rule(
            dataset,
            f"R09{place:02}",
            applies=data.draw(conditions(dataset.vocabulary, 1)),
            requires=data.draw(conditions(dataset.vocabulary, 3)),
            breach=data.draw(st.sampled_from(("marginal", "fails", "hazard"))),
        )
        for place in range(3)
    ]
    circuits, outputs = subjects(made, dataset, random.Random(seed))
    expected = keys_one_by_one(circuits, outputs, made)
    assert keys_by_loop(circuits, outputs, made) == expected
    assert keys_by_database(circuits, outputs, made) == expected


MIXED_SIDES = [
    "circuit.input_power_w + output.min_load_w <= output.max_load_w",
    "supply.voltage_v * output.max_current_a >= circuit.input_power_w * 1",
    "circuit.input_power_w / output.max_load_w + circuit.standby_power_w / output.min_load_w <= 1",
]


@pytest.mark.parametrize("applies", ["always", "output.needs_neutral or circuit.emergency"])
def test_a_comparison_that_mixes_both_sides_is_evaluated_for_the_pairing(
    applies: str, dataset: Dataset
) -> None:
    texts = [MIXED_SIDES[0], MIXED_SIDES[2]]
    made = [rule(dataset, f"R090{at}", applies=applies, requires=text) for at, text in enumerate(texts)]
    for seed in range(40):
        circuits, outputs = subjects(made, dataset, random.Random(seed))
        expected = keys_one_by_one(circuits, outputs, made)
        assert keys_by_loop(circuits, outputs, made) == expected
        assert keys_by_database(circuits, outputs, made) == expected


def test_one_step_either_side_of_every_limit(dataset: Dataset) -> None:
    """At the limit a rule holds; a share of 1e-6 past it, it is broken; in both joins alike."""
    made = [rule(dataset, demand="circuit.input_power_w", at_most="output.max_load_w")]
    ratings = [0.1 + 0.2, 3 * 0.1, 7.0, 200.0, 1e-9, 1e12]
    outputs = [OutputSubject(dataset, output(max_load_w=exact(rating))) for rating in ratings]
    loads = [rating * (1 + step) for rating in ratings for step in (-1e-6, 0.0, 1e-15, 1e-6)]
    site = Site(equipment({}))
    circuits = [
        CircuitSubject(dataset, Circuit("C1", "", (), None, {"circuit.input_power_w": exact(load)}), site)
        for load in loads
    ]
    expected = [
        [0 if load <= rating * (1 + 5e-7) else key_of(NO, "fails", 0) for rating in ratings] for load in loads
    ]
    assert keys_by_loop(circuits, outputs, made) == expected
    assert keys_by_database(circuits, outputs, made) == expected


@pytest.mark.parametrize("driver_id", ["D0001", "D0014", "D0022", "D0034", "D0040", "D0055", "D0064"])
@pytest.mark.parametrize("wanted", ["dimmed", "switched"])
def test_counts_have_the_keys_of_their_circuits(
    driver_id: str, wanted: str, dataset: Dataset, rules: list[ParsedRule]
) -> None:
    setting = read_setting(dataset, None, None)
    site = site_of(setting)
    row = ScheduleRow(1, "C1", 1, driver_id=driver_id)
    stated = {**setting.circuit_defaults, "wanted_control": Trait(wanted)}
    series = of_counts(gather_rows("C1", [row], dataset, site, stated), 60, dataset, site)
    circuits = [CircuitSubject(dataset, circuit, site) for circuit in series]
    outputs = [OutputSubject(dataset, entry) for entry in list(setting.offer.values())[::4]]
    judged = [rule for rule in rules if is_of_circuit(rule)]
    by_output = CountJoin(circuits, judged).keys(outputs)
    expected = keys_by_loop(circuits, outputs, judged)
    assert [list(keys) for keys in zip(*by_output, strict=True)] == expected


def ends_of(content: Content, vocabulary_values: Sequence[str]) -> list[Content]:
    """The exact values that a value may have in truth: both ends, or every settled set."""
    if isinstance(content, Interval):
        return [exact(content.low), exact(content.high)]
    if isinstance(content, TokenSet):
        open_words = sorted(content.possible - content.sure)[:3]
        return [
            TokenSet.exactly(*content.sure, *chosen)
            for count in range(len(open_words) + 1)
            for chosen in itertools.combinations(open_words, count)
        ]
    if content is None and vocabulary_values:
        return list(vocabulary_values[:3])
    return [True, False] if content is None else [content]


@SLOW
@given(seed=st.integers(0, 2**40), data=st.data())
def test_no_verdict_is_less_cautious_than_the_truth(
    seed: int, data: st.DataObject, dataset: Dataset, rules: list[ParsedRule]
) -> None:
    """Where a rule holds for sure it holds at every end; where it is broken for sure, at every end."""
    chosen = data.draw(st.sampled_from([rule for rule in rules if len(rule.names) <= 6]))
    vocabulary = dataset.vocabulary
    values = random_values(chosen.names, vocabulary, random.Random(seed))
    run = evaluation(values, vocabulary)
    codes = [c.code(c.demand(run), c.allowance(run), run.truth) for c in chosen.clauses]
    code = min(codes, default=YES)
    if code not in (YES, NO):
        return
    choices = []
    for name, content in values.items():
        trait = vocabulary.traits[name]
        words = vocabulary.values_of(trait) if trait.kind == "choice" else ()
        choices.append(
            [exact(0.0), exact(1e6)]
            if content is None and trait.kind == "quantity"
            else [TokenSet.exactly()]
            if content is None and trait.kind == "set"
            else ends_of(content, words)
        )
    for point in itertools.islice(itertools.product(*choices), 200):
        at = evaluation(dict(zip(values, point, strict=True)), vocabulary)
        assert at.truth(chosen.condition) == code, (chosen.rule.slug, point)


def test_keys_order_verdicts_and_then_rules() -> None:
    keys = [key_of(code, "fails", place) for code in CODES for place in (0, 7, 4000)]
    for key in keys:
        verdict, place = verdict_and_place(key)
        assert (place is None) == (verdict == "works")
    assert key_of(NO, "fails", 3) > key_of(NO, "fails", 4) > key_of(NO, "marginal", 0)
    assert [verdict_and_place(key_of(code, "hazard", 9))[0] for code in CODES] == [
        verdict_of(code, "hazard") for code in CODES
    ]
    assert RANK[verdict_and_place(max(keys))[0]] == RANK["fails"]
