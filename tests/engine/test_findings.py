"""Findings: figures, margins, sentences with their slots filled, and the cells they rest on."""

from __future__ import annotations

from pathlib import Path

import pytest

from compat.dataset.read import Dataset, read_table
from compat.engine.findings import because, judge, judged_worst_first
from compat.engine.subject import Pairing
from compat.model.report import Finding, Place
from compat.model.values import Content, Interval
from compat.rulebook.rules import ParsedRule
from tests.engine.made import circuit, exact, output, pair, perhaps, row, rule

LOAD = {"demand": "circuit.input_power_w", "at_most": "output.max_load_w"}
LEAST = {"demand": "circuit.input_power_w", "at_least": "output.min_load_w"}


def made_pair(dataset: Dataset, load: Content, rated: Content = None, least: Content = None) -> Pairing:
    return pair(
        dataset,
        circuit(dataset, row(2, 1, {"input_power_w": load}, luminaire_type="Spot")),
        output(max_load_w=rated, min_load_w=least, method="switched"),
    )


def finding(of: ParsedRule, on: Pairing) -> Finding:
    judged = judge(of, on)
    assert judged is not None
    return judged.finding


MARGINS = [
    # limit, load, figure of the output, verdict, margin in % of the limit at the worse end
    (LOAD, exact(75.0), exact(100.0), "works", 25.0),
    (LOAD, exact(100.0), exact(100.0), "works", 0.0),
    (LOAD, exact(150.0), exact(100.0), "fails", -50.0),
    (LOAD, Interval(60.0, 80.0), Interval(100.0, 200.0), "works", 20.0),
    (LOAD, Interval(90.0, 110.0), exact(100.0), "marginal", -10.0),
    (LOAD, Interval(160.0, 180.0), Interval(100.0, 150.0), "fails", -80.0),
    (LEAST, exact(30.0), exact(20.0), "works", 50.0),
    (LEAST, exact(20.0), exact(20.0), "works", 0.0),
    (LEAST, exact(5.0), exact(20.0), "fails", -75.0),
    (LEAST, Interval(15.0, 25.0), exact(20.0), "marginal", -25.0),
    (LEAST, Interval(15.0, 25.0), Interval(5.0, 10.0), "works", 50.0),
    (LOAD, None, exact(100.0), "unproven", None),
    (LOAD, exact(75.0), None, "unproven", None),
    (LOAD, exact(75.0), exact(0.0), "fails", None),
    (LEAST, exact(75.0), exact(0.0), "works", None),
]


@pytest.mark.parametrize(("limits", "load", "figure", "verdict", "margin"), MARGINS)
def test_margins(
    limits: dict[str, str],
    load: Content,
    figure: Content,
    verdict: str,
    margin: float | None,
    dataset: Dataset,
) -> None:
    """Positive is spare, negative is over or short, at the ends that are worst for each other."""
    on = made_pair(dataset, load, rated=figure, least=figure)
    found = finding(rule(dataset, **limits), on)
    assert found.verdict == verdict
    assert found.relation == ("at_most" if limits is LOAD else "at_least")
    assert found.margin_percent == (margin if margin is None else pytest.approx(margin))


def test_amounts_are_in_the_unit_of_the_first_trait(dataset: Dataset) -> None:
    """Milliamperes against amperes: both are told in the unit of the left side of the test."""
    of = rule(dataset, demand="circuit.dali_current_ma", at_most="output.max_current_a")
    made = circuit(dataset, row(2, 1, {"dali_current_ma": Interval(200.0, 300.0)}))
    found = finding(of, pair(dataset, made, output(max_current_a=exact(0.25))))
    assert found.demand is not None
    assert found.limit is not None
    assert (found.demand.text, found.limit.text, found.limit.unit) == ("200 to 300 mA", "250 mA", "ma")
    assert (found.limit.low, found.limit.high) == (250.0, 250.0)
    assert found.verdict == "marginal"
    assert found.margin_percent == pytest.approx(-20.0)


def test_a_figure_just_past_its_limit_does_not_read_like_the_limit(dataset: Dataset) -> None:
    of = rule(dataset, **LOAD, because="It draws {demand}; it may draw {limit}.")
    found = finding(of, made_pair(dataset, exact(20.0004), rated=exact(20.0)))
    assert found.verdict == "fails"
    assert found.because == "It draws 20.0004 W; it may draw 20 W."


def test_slots_are_filled(dataset: Dataset) -> None:
    text = "{demand} of {limit} by {output.method}; loads {circuit.load_types}; {circuit.input_power_w}."
    of = rule(
        dataset,
        **LOAD,
        applies="output.method == switched and motor not in circuit.load_types",
        because=text,
    )
    made = circuit(dataset, row(2, 2, {"input_power_w": Interval(9, 11), "load_type": "incandescent"}))
    on = pair(dataset, made, output(method="switched", max_load_w=exact(16.0)))
    expected = "At least 18 W of 16 W by switched; loads incandescent lamp; 18 to 22 W."
    assert finding(of, on).because == expected
    assert because(of, on) == expected


@pytest.mark.parametrize(
    ("load", "rated", "told"),
    [
        (Interval(18.0, 22.04), 16.0, "It draws at least 18 W; it may draw 16 W."),
        (Interval(18.0, 22.04), 19.5, "It draws up to 22 W; it may draw 19.5 W."),
        (Interval(18.0, 22.04), 22.0, "It draws up to 22.04 W; it may draw 22 W."),
        (exact(22.04), 22.0, "It draws 22.04 W; it may draw 22 W."),
    ],
)
def test_the_end_that_decides_is_told(dataset: Dataset, load: Interval, rated: float, told: str) -> None:
    """The lower end where the rule is surely broken, the upper where it may be; never as if within."""
    of = rule(dataset, **LOAD, because="it draws {demand}; it may draw {limit}.")
    assert finding(of, made_pair(dataset, load, rated=exact(rated))).because == told


def test_what_is_missing_has_a_sentence_of_its_own(dataset: Dataset) -> None:
    of = rule(dataset, **LOAD, because="It draws {demand}; it may draw {limit} at {output.method}.")
    silent = pair(dataset, circuit(dataset, row(2, 2)), output(max_load_w=exact(100.0)))
    found = finding(of, silent)
    assert found.because == "Input power of row 2 is missing; it holds up to 50 W each."
    assert found.verdict == "unproven"
    own = rule(dataset, **LOAD, because_by={"missing": "The load is not stated."})
    assert finding(own, silent).because == "The load is not stated."


def test_a_value_that_is_not_known_never_stands_in_a_sentence(dataset: Dataset) -> None:
    """The title says what must hold; the rule is broken by another value."""
    of = rule(dataset, **LOAD, because="It draws {demand} at {output.input_voltage_max_v}.")
    on = made_pair(dataset, exact(200.0), rated=exact(100.0))
    assert finding(of, on).because == of.rule.title


def test_a_rule_that_requires_has_no_amounts(dataset: Dataset) -> None:
    of = rule(dataset, requires="output.needs_neutral", because="Needs a neutral: {output.needs_neutral}.")
    found = finding(of, pair(dataset, circuit(dataset, row(2, 1)), output(needs_neutral=False)))
    assert (found.demand, found.limit, found.relation, found.margin_percent) == (None, None, None, None)
    assert found.because == "Needs a neutral: no."
    assert found.verdict == "fails"


def test_a_rule_that_surely_does_not_apply_has_no_finding(dataset: Dataset) -> None:
    of = rule(dataset, **LOAD, applies="output.method == dali")
    assert judge(of, made_pair(dataset, exact(200.0), rated=exact(100.0))) is None
    unknown = pair(dataset, circuit(dataset, row(2, 1, {"input_power_w": exact(200.0)})), output())
    assert finding(of, unknown).verdict == "unproven"


def test_inputs_name_the_cells_they_were_read_from(dataset: Dataset) -> None:
    made = circuit(
        dataset,
        row(2, 3, {"input_power_w": exact(10.0)}, luminaire_type="Spot"),
        row(3, 1, {"input_power_w": None}, luminaire_type="Lamp"),
    )
    of = rule(dataset, **LOAD, applies="circuit.driver_count <= 9 and circuit.neutral_at_control")
    inputs = finding(of, pair(dataset, made, output(max_load_w=exact(100.0)))).inputs
    told = [(entry.label, entry.text, entry.place.cell if entry.place else None) for entry in inputs]
    assert told == [
        ("quantity of Spot", "3", "Q2"),
        ("quantity of Lamp", "1", "Q3"),
        ("neutral at the control", "not known", None),
        ("input power, 3 × Spot", "10 W", "I2"),
        ("input power, 1 × Lamp", "not known", "I3"),
        ("rated load", "100 W", None),
    ]
    spot = inputs[3]
    assert spot.place == Place(file="made.xlsx", sheet="Circuits", cell="I2", key="input_power_w")
    assert (spot.name, spot.basis) == ("driver.input_power_w", "declared")
    assert inputs[4].basis is None


def test_a_value_from_memory_is_shown_and_does_not_decide(dataset: Dataset, tmp_path: Path) -> None:
    text = 'schema = "outputs/1"\n[[output]]\nid = "M"\nname = "Recalled"\n[output.traits]\n'
    text += 'max_load_w = { value = 100, basis = "memory", source = "S0002" }\n'
    path = tmp_path / "own.toml"
    path.write_text(text)
    recalled = read_table(path, "outputs", dataset.vocabulary)["M"]
    for load in (1.0, 1000.0):
        made = circuit(dataset, row(2, 1, {"input_power_w": exact(load)}))
        found = finding(rule(dataset, **LOAD), pair(dataset, made, recalled))
        assert found.verdict == "unproven"
        shown = found.inputs[-1]
        assert shown.text == "not known (100 W from memory, not used)"
        assert (shown.basis, shown.source) == ("memory", "S0002")


@pytest.mark.parametrize(
    ("load", "verdict", "has_caution", "has_remedies"),
    [
        (exact(50.0), "works", False, False),
        (Interval(90.0, 110.0), "unproven", True, True),
        (exact(150.0), "hazard", True, True),
        (None, "unproven", True, True),
    ],
)
def test_a_hazard_has_its_caution_and_must_be_shown_to_be_absent(
    load: Content, verdict: str, has_caution: bool, has_remedies: bool, dataset: Dataset
) -> None:
    of = rule(dataset, **LOAD, breach="hazard", caution="Local codes and a licensed electrician decide.")
    found = finding(of, made_pair(dataset, load, rated=exact(100.0)))
    assert found.verdict == verdict
    assert bool(found.caution) is has_caution
    assert bool(found.remedies) is has_remedies


def test_the_names_that_leave_a_rule_open(dataset: Dataset) -> None:
    plain, hazard = rule(dataset, **LOAD), rule(dataset, **LOAD, breach="hazard")

    def open_names(of: ParsedRule, load: Content, rated: Content) -> tuple[str, ...]:
        judged = judge(of, made_pair(dataset, load, rated=rated))
        assert judged is not None
        return judged.open_names

    load, rated = "circuit.input_power_w", "output.max_load_w"
    assert open_names(plain, None, exact(100.0)) == (load,)
    assert open_names(plain, None, None) == (load, rated)
    assert open_names(plain, Interval(90.0, 110.0), exact(100.0)) == ()
    assert open_names(hazard, Interval(90.0, 110.0), exact(100.0)) == (load,)
    assert open_names(hazard, Interval(90.0, 110.0), Interval(95.0, 100.0)) == (load, rated)
    assert open_names(hazard, exact(50.0), exact(100.0)) == ()


def test_a_divisor_that_may_be_zero_is_asked_for(dataset: Dataset) -> None:
    """Everything is known and still nothing can be said: the finding must not be left without a question."""
    of = rule(dataset, demand="circuit.input_power_w / output.capacitive_share", at_most="output.max_load_w")
    made = circuit(dataset, row(2, 1, {"input_power_w": exact(10.0)}))
    judged = judge(
        of, pair(dataset, made, output(capacitive_share=Interval(0.0, 1.0), max_load_w=exact(50.0)))
    )
    assert judged is not None
    assert judged.finding.verdict == "unproven"
    assert "output.capacitive_share" in judged.open_names


def test_sources_are_told_by_their_short_names(dataset: Dataset) -> None:
    found = finding(rule(dataset, **LOAD), made_pair(dataset, exact(1.0), rated=exact(2.0)))
    (source,) = found.sources
    assert (source.source, source.title, source.supports) == (
        "S0001",
        dataset.sources["S0001"].short,
        ["requires"],
    )


def test_the_worst_comes_first_and_equals_in_the_order_of_the_rules(dataset: Dataset) -> None:
    on = made_pair(dataset, exact(150.0), rated=exact(100.0), least=None)
    rules = [
        rule(dataset, "R0901", **LEAST),
        rule(dataset, "R0902", **LOAD),
        rule(dataset, "R0903", requires="true"),
        rule(dataset, "R0904", **LOAD, breach="hazard"),
        rule(dataset, "R0905", **LOAD),
        rule(dataset, "R0906", requires="false", applies="false"),
    ]
    found = judged_worst_first(rules, on)
    assert [(entry.finding.rule, entry.finding.verdict) for entry in found] == [
        ("R0904", "hazard"),
        ("R0902", "fails"),
        ("R0905", "fails"),
        ("R0901", "unproven"),
        ("R0903", "works"),
    ]


def test_sets_read_like_sentences(dataset: Dataset) -> None:
    made = circuit(dataset, row(2, 1, {"methods": perhaps("dali", maybe=("dmx", "switched"))}))
    on = pair(dataset, made, output(listed_load_types=perhaps()))
    assert on.text("circuit.methods") == "DALI and perhaps DMX, switched"
    assert on.text("output.listed_load_types") == "none"
    assert on.text("circuit.load_types") == "not known"
