"""The look-up of one driver against a plain evaluation of every rule, count by count."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from compat.dataset.overlay import Setting, read_setting
from compat.dataset.read import Dataset, Equipment
from compat.engine.gather import Circuit, gather_rows
from compat.engine.lookup import Looker
from compat.engine.site import Site, site_of
from compat.model.lookup import Lookup, OutputCounts
from compat.model.schedule import ScheduleRow
from compat.model.values import Content, Interval, TokenSet, Trait
from compat.model.verdicts import RANK, Verdict
from compat.rulebook.cases import code_of, evaluation
from compat.rulebook.rules import ParsedRule, is_of_circuit, read_rule
from compat.rulebook.truth import verdict_of

COUNTS = 30


def exact(value: float) -> Trait:
    return Trait(Interval(value, value))


@pytest.fixture(scope="module")
def setting(dataset: Dataset) -> Setting:
    return read_setting(dataset, None, None)


def offering(setting: Setting, *outputs: Equipment) -> Setting:
    return replace(setting, offer={output.id: output for output in outputs})


def circuits_of(driver: Equipment, wanted: str, dataset: Dataset, setting: Setting) -> list[Circuit]:
    """The circuits of 1 to COUNTS drivers, put together here anew."""
    alone = {f"{device}_members_known": Trait(True) for device in ("breaker", "rcd")}
    defaults = {**setting.circuit_defaults, **alone, "wanted_control": Trait(wanted)}
    site = site_of(setting)
    rows = [ScheduleRow(1, "C", number, driver_traits=dict(driver.traits)) for number in range(1, COUNTS + 1)]
    return [gather_rows("C", [replace(row, driver_id=driver.id)], dataset, site, defaults) for row in rows]


def values_of(circuit: Circuit, output: Equipment, site: Site) -> dict[str, Content]:
    values: dict[str, Content] = dict(circuit.values)
    for subject in ("supply", "breaker", "cable", "source_impedance"):
        values |= {f"{subject}.{name}": trait.content for name, trait in site.traits(subject).items()}
    return values | {f"output.{name}": trait.content for name, trait in output.traits.items()}


def judged(
    rules: Sequence[ParsedRule], values: dict[str, Content], dataset: Dataset
) -> tuple[Verdict, str | None]:
    """The worst verdict and the first rule, in telling order, that gives it."""
    run = evaluation(values, dataset.vocabulary)
    found = [(verdict_of(code_of(rule, run), rule.rule.breach), rule.rule.id) for rule in rules]
    verdict, rule = max(found, key=lambda entry: RANK[entry[0]])
    return verdict, None if verdict == "works" else rule


def column_of(output: OutputCounts) -> list[tuple[Verdict, str | None]]:
    """Verdict and rule for each count, from the ranges."""
    found: list[tuple[Verdict, str | None]] = []
    for entry in output.ranges:
        assert entry.first == len(found) + 1
        found += [(entry.verdict, entry.rule)] * (entry.last - entry.first + 1)
    return found


@pytest.mark.parametrize(
    ("driver_id", "output_ids"),
    [
        ("D0001", ["O0003", "O0006", "O0010", "O0020", "O0025", "O0030", "O0014"]),
        ("D0034", ["O0039", "O0041", "O0046", "O0021", "O0024", "O0009"]),
        ("D0031", ["O0005", "O0007", "O0021", "O0018"]),
        ("D0010", ["O0012", "O0002", "O0027"]),
    ],
)
def test_every_count_is_judged_as_by_a_plain_evaluation(
    driver_id: str, output_ids: list[str], dataset: Dataset, rules: list[ParsedRule], setting: Setting
) -> None:
    driver = dataset.tables["drivers"][driver_id]
    offered = offering(setting, *(dataset.tables["outputs"][output] for output in output_ids))
    lookup = Looker(dataset, rules, offered).look(driver, count=7, up_to=COUNTS)
    of_pairs = [rule for rule in rules if is_of_circuit(rule)]
    assert {entry.output for entry in lookup.outputs} == set(output_ids)
    for entry in lookup.outputs:
        output = offered.offer[entry.output]
        wanted = "switched" if output.traits["method"].content == "switched" else "dimmed"
        circuits = circuits_of(driver, wanted, dataset, offered)
        site = site_of(offered)
        expected = [judged(of_pairs, values_of(circuit, output, site), dataset) for circuit in circuits]
        assert column_of(entry) == expected, entry.output
        check_summary(entry, [verdict for verdict, _ in expected])


def check_summary(entry: OutputCounts, verdicts: list[Verdict]) -> None:
    """Window, gaps, ends and the count asked for follow from the verdicts count by count."""
    works = [number for number, verdict in enumerate(verdicts, 1) if verdict == "works"]
    assert entry.best == min(verdicts, key=RANK.__getitem__)
    assert (entry.least, entry.most) == ((works[0], works[-1]) if works else (None, None))
    assert entry.gaps == (bool(works) and set(range(works[0], works[-1])) - set(works) != set())
    assert entry.open_ended == (bool(works) and works[-1] == len(verdicts))
    for bound, at in (
        (entry.least_bound, works and works[0] - 1),
        (entry.most_bound, works and works[-1] + 1),
    ):
        if works and at and at <= len(verdicts):
            assert bound is not None
            assert (bound.count, bound.verdict) == (at, verdicts[at - 1])
            assert bound.because
        else:
            assert bound is None
    assert entry.at_count is not None
    assert (entry.at_count.first, entry.at_count.verdict) == (7, verdicts[6])


def dimmer(dataset: Dataset, **traits: Trait) -> Equipment:
    """An output without hidden limits: 20 to 90 W, at most 40 drivers."""
    base = dataset.tables["outputs"]["O0008"]
    wide = {"min_load_w": exact(20), "max_load_w": exact(90), "capacitive_share": exact(1)}
    return replace(base, id="T1", name="Test dimmer", traits={**base.traits, **wide, **traits})


def lamp(dataset: Dataset, **traits: Trait) -> Equipment:
    """A dimmable lamp of 6 W."""
    base = dataset.tables["drivers"]["D0001"]
    return replace(base, id="", name="Test lamp", traits={**base.traits, "input_power_w": exact(6), **traits})


def looked_up(
    dataset: Dataset, rules: Sequence[ParsedRule], setting: Setting, driver: Equipment, *outputs: Equipment
) -> Lookup:
    return Looker(dataset, rules, offering(setting, *outputs)).look(driver, up_to=COUNTS)


def test_a_window_that_starts_above_one_names_the_rule_at_each_end(
    dataset: Dataset, rules: list[ParsedRule], setting: Setting
) -> None:
    # 3 x 6 W is below 20 W, 4 x 6 W is not; 15 x 6 W is 90 W, 16 x 6 W is above it.
    (entry,) = looked_up(dataset, rules, setting, lamp(dataset), dimmer(dataset)).outputs
    assert (entry.least, entry.most, entry.gaps, entry.open_ended) == (4, 15, False, False)
    assert entry.least_bound is not None
    assert (entry.least_bound.count, entry.least_bound.slug) == (3, "load-below-minimum")
    assert "18 W" in entry.least_bound.because
    assert "20 W" in entry.least_bound.because
    assert entry.most_bound is not None
    assert entry.most_bound.count == 16
    assert "96 W" in entry.most_bound.because


RULE = """schema = "rule/1"
id = "R9001"
slug = "odd-count"
title = "A test."
question = "A test?"
scope = "pairing"
requires = "circuit.driver_count <= 8 or circuit.driver_count >= 11"
breach = "fails"
precedence = 1
because = "With {circuit.driver_count} it does not."
remedies = ["None."]
sources = [{ source = "S0003", supports = ["requires"], basis = "derived" }]
"""


def test_a_gap_inside_the_window_is_shown(
    dataset: Dataset, rules: list[ParsedRule], setting: Setting, tmp_path: Path
) -> None:
    path = tmp_path / "odd-count.toml"
    path.write_text(RULE, encoding="utf-8")
    odd = read_rule(path, dataset.vocabulary)
    (entry,) = looked_up(dataset, [odd, *rules], setting, lamp(dataset), dimmer(dataset)).outputs
    assert (entry.least, entry.most, entry.gaps) == (4, 15, True)
    works = [(one.first, one.last) for one in entry.ranges if one.verdict == "works"]
    assert works == [(4, 8), (11, 15)]
    (gap,) = [one for one in entry.ranges if one.rule == "R9001"]
    assert (gap.first, gap.last, gap.verdict, gap.because) == (9, 10, "fails", "With 9 it does not.")


def test_counts_that_never_stop_are_open_ended(
    dataset: Dataset, rules: list[ParsedRule], setting: Setting
) -> None:
    contactor = dataset.tables["outputs"]["O0028"]
    (entry,) = looked_up(dataset, rules, setting, lamp(dataset), contactor).outputs
    assert (entry.least, entry.most, entry.open_ended) == (1, COUNTS, True)
    assert entry.most_bound is None


def test_nothing_is_asked_about_outputs_that_fail(
    dataset: Dataset, rules: list[ParsedRule], setting: Setting
) -> None:
    # A DMX driver that does not state its slots; only an output that commands it makes one ask.
    known = dataset.tables["drivers"]["D0057"]
    traits = {name: trait for name, trait in known.traits.items() if name != "dmx_slots"}
    driver = replace(known, id="", traits=traits)
    outputs = dataset.tables["outputs"]
    asked = looked_up(dataset, rules, setting, driver, outputs["O0047"], outputs["O0003"])
    assert "driver.dmx_slots" in [question.name for question in asked.questions]
    failing = looked_up(dataset, rules, setting, driver, outputs["O0003"], outputs["O0010"])
    assert {entry.best for entry in failing.outputs} <= {"fails", "hazard"}
    assert failing.questions == []


def test_what_is_open_at_a_count_that_is_not_out_of_question_is_asked(
    dataset: Dataset, rules: list[ParsedRule], setting: Setting
) -> None:
    # With one lamp the load is below the minimum and nothing need be asked; with four it matters.
    edge = Trait(TokenSet(frozenset({"switched"}), frozenset({"switched", "reverse_phase"})))
    lookup = looked_up(dataset, rules, setting, lamp(dataset, methods=edge), dimmer(dataset))
    assert [entry.best for entry in lookup.outputs] == ["unproven"]
    assert column_of(lookup.outputs[0])[0][0] == "fails"
    assert "driver.methods" in [question.name for question in lookup.questions]


def test_questions_come_most_decisive_first(
    dataset: Dataset, rules: list[ParsedRule], setting: Setting
) -> None:
    driver = dataset.tables["drivers"]["D0010"]
    questions = Looker(dataset, rules, setting).look(driver, up_to=2).questions
    weights = [(-RANK[question.could_become], -len(question.rules)) for question in questions]
    assert len(weights) > 2
    assert weights == sorted(weights)


def test_a_driver_of_the_dataset_may_have_other_values_and_none_at_all(
    dataset: Dataset, rules: list[ParsedRule], setting: Setting
) -> None:
    bare = looked_up(dataset, rules, setting, Equipment("", "Nothing known", {}), dimmer(dataset))
    assert bare.driver is None
    assert bare.methods == []
    assert bare.traits == []
    assert [entry.best for entry in bare.outputs] == ["unproven"]
