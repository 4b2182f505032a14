"""Questions: only those whose answer could change the verdict, the most decisive first."""

from __future__ import annotations

from compat.dataset.read import Dataset
from compat.engine.findings import judged_worst_first
from compat.engine.questions import questions_for
from compat.engine.subject import Pairing
from compat.model.report import Question
from compat.model.values import Content, Interval
from compat.model.verdicts import Verdict, worst
from compat.rulebook.rules import ParsedRule
from tests.engine.made import circuit, exact, output, pair, perhaps, row, rule

RATED = {"demand": "circuit.input_power_w", "at_most": "output.max_load_w"}
LEAST = {"demand": "circuit.input_power_w", "at_least": "output.min_load_w"}
FLOOR = {"demand": "circuit.dim_floor_percent", "at_most": "circuit.wanted_dim_floor_percent"}


def asked(rules: list[ParsedRule], on: Pairing) -> tuple[Verdict, list[Question]]:
    judged = judged_worst_first(rules, on)
    verdict = worst(entry.finding.verdict for entry in judged)
    return verdict, questions_for(judged, verdict, on)


def made_pair(dataset: Dataset, load: Content = None, **traits: Content) -> Pairing:
    made = circuit(dataset, row(2, 1, {"input_power_w": load}, luminaire_type="Spot"))
    return pair(dataset, made, output("X1", **traits))


def test_nothing_is_asked_where_everything_is_known(dataset: Dataset) -> None:
    on = made_pair(dataset, exact(50.0), max_load_w=exact(100.0), min_load_w=exact(10.0))
    assert asked([rule(dataset, **RATED), rule(dataset, "R0901", **LEAST)], on) == ("works", [])
    close = made_pair(dataset, Interval(90.0, 110.0), max_load_w=exact(100.0))
    assert asked([rule(dataset, **RATED)], close) == ("marginal", [])


def test_an_unknown_that_cannot_change_the_outcome_is_not_asked_for(dataset: Dataset) -> None:
    """The rule does not apply, or holds whatever the answer."""
    on = made_pair(dataset, None, method="dali", max_load_w=exact(100.0))
    assert asked([rule(dataset, **RATED, applies="output.method == switched")], on) == ("works", [])
    either = rule(dataset, requires="output.needs_neutral or output.method == dali")
    assert asked([either], on) == ("works", [])


def test_nothing_is_asked_where_fails_stands(dataset: Dataset) -> None:
    on = made_pair(dataset, exact(150.0), max_load_w=exact(100.0))
    verdict, questions = asked([rule(dataset, **RATED), rule(dataset, "R0901", **LEAST)], on)
    assert (verdict, questions) == ("fails", [])


def test_a_hazard_is_asked_for_even_where_fails_stands(dataset: Dataset) -> None:
    on = made_pair(dataset, exact(150.0), max_load_w=exact(100.0))
    grave = rule(dataset, "R0902", requires="output.needs_neutral", breach="hazard")
    verdict, questions = asked([rule(dataset, **RATED), rule(dataset, "R0901", **LEAST), grave], on)
    assert verdict == "fails"
    assert [(question.name, question.could_become) for question in questions] == [
        ("output.needs_neutral", "hazard")
    ]


def test_nothing_is_asked_where_a_hazard_stands(dataset: Dataset) -> None:
    on = made_pair(dataset, exact(150.0), max_load_w=exact(100.0))
    hazard = rule(dataset, **RATED, breach="hazard")
    other = rule(dataset, "R0901", requires="output.needs_neutral", breach="hazard")
    assert asked([hazard, other], on) == ("hazard", [])


def test_a_recommendation_is_asked_for_only_while_nothing_worse_stands(dataset: Dataset) -> None:
    on = made_pair(dataset, exact(90.0), max_load_w=exact(100.0))
    mild = rule(dataset, "R0901", **LEAST, breach="marginal")
    verdict, questions = asked([rule(dataset, **RATED), mild], on)
    assert verdict == "unproven"
    assert [(question.name, question.could_become) for question in questions] == [
        ("output.min_load_w", "marginal")
    ]


def test_the_most_decisive_question_comes_first(dataset: Dataset) -> None:
    """The gravest verdict it could lead to, then how many rules wait for it, then the telling order."""
    on = made_pair(dataset, exact(50.0))
    rules = [
        rule(dataset, "R0901", **LEAST, breach="marginal"),
        rule(dataset, "R0902", requires="output.switches_mains"),
        rule(dataset, "R0903", requires="output.needs_neutral"),
        rule(dataset, "R0904", requires="not output.needs_neutral"),
        rule(dataset, "R0905", **RATED, breach="hazard"),
    ]
    _, questions = asked(rules, on)
    assert [(question.name, question.could_become, question.rules) for question in questions] == [
        ("output.max_load_w", "hazard", ["R0905"]),
        ("output.needs_neutral", "fails", ["R0903", "R0904"]),
        ("output.switches_mains", "fails", ["R0902"]),
        ("output.min_load_w", "marginal", ["R0901"]),
    ]


def test_a_question_waited_for_by_rules_of_several_kinds_has_the_gravest(dataset: Dataset) -> None:
    on = made_pair(dataset, None, max_load_w=exact(100.0), min_load_w=exact(1.0))
    rules = [rule(dataset, "R0901", **LEAST), rule(dataset, "R0902", **RATED, breach="hazard")]
    _, (question,) = asked(rules, on)
    assert (question.name, question.could_become) == ("driver.input_power_w", "hazard")
    assert question.rules == ["R0902", "R0901"] or question.rules == ["R0901", "R0902"]


def test_what_is_asked_about_whom(dataset: Dataset) -> None:
    """A gathered trait is asked of the luminaires that do not state it, an output's of the output."""
    made = circuit(
        dataset,
        row(2, 1, {"input_power_w": exact(5.0)}, luminaire_type="Spot"),
        row(3, 1, luminaire_type="Lamp"),
        row(4, 1, luminaire_type="Lamp"),
        row(5, 1, driver_id="D0001"),
    )
    words = {"circuit.input_power_w": "What power?", "output.max_load_w": "What rating?"}
    _, questions = asked([rule(dataset, **RATED, ask_for=words)], pair(dataset, made, output("X1")))
    power, rating = questions
    assert (power.name, power.ask, power.about) == ("driver.input_power_w", "What power?", ["Lamp"])
    assert (power.label, power.where_to_find) == ("input power", "the rating plate")
    assert (rating.ask, rating.about) == ("What rating?", ["Output X1"])
    assert rating.where_to_find == "the load table of the datasheet"


def test_a_question_without_words_of_its_own(dataset: Dataset) -> None:
    _, (question,) = asked([rule(dataset, **RATED)], made_pair(dataset, exact(1.0)))
    assert question.ask == "What is the rated load?"


def test_a_column_is_asked_of_the_designer(dataset: Dataset) -> None:
    made = circuit(dataset, row(2, 1, {"dim_floor_percent": exact(5.0)}))
    _, (question,) = asked([rule(dataset, **FLOOR)], pair(dataset, made, output()))
    assert (question.name, question.about, question.where_to_find) == (
        "circuit.wanted_dim_floor_percent",
        [],
        "the designer",
    )


def test_a_set_partly_known_is_asked_for(dataset: Dataset) -> None:
    made = circuit(
        dataset, row(2, 1, {"methods": perhaps("switched", maybe=("dali",))}, luminaire_type="Spot")
    )
    _, (question,) = asked(
        [rule(dataset, requires="output.method in circuit.methods")],
        pair(dataset, made, output(method="dali")),
    )
    assert (question.name, question.about) == ("driver.methods", ["Spot"])


def test_a_wide_interval_before_a_hazard_is_asked_for(dataset: Dataset) -> None:
    """It holds at one end only: a narrower figure could show that it is safe."""
    on = made_pair(dataset, Interval(90.0, 110.0), max_load_w=exact(100.0))
    verdict, questions = asked([rule(dataset, **RATED, breach="hazard")], on)
    assert verdict == "unproven"
    assert [question.name for question in questions] == ["driver.input_power_w"]
