"""Windows, what stops them, reasons and breakers in words."""

from __future__ import annotations

import pytest

from compat import api
from compat.model.verdicts import Verdict
from compat.report.count_axis import axis_of, shown_counts
from compat.report.lookup_breakers import (
    breaker_grid,
    breaker_notes,
    likely_cell,
    source_impedance_text,
    sure_cell,
)
from compat.report.lookup_words import (
    at_count,
    by_best,
    by_method,
    cautions_together,
    expected_window,
    reasons_of,
    runs_of,
    stops_of,
    window_of_counts,
)
from tests.report.lookup_sample import LOCAL, TRAITS, UP_TO, breaker, output, outputs, sample_lookup


@pytest.mark.parametrize(
    ("name", "window"),
    [
        ("O0901", "1 to 150 and more"),
        ("O0902", "1 to 64"),
        ("O0904", "3 to 14, 17 to 20"),
        ("O0905", "1 to 5"),
        ("O0906", "1 to 150 and more"),
    ],
)
def test_windows_of_the_best_verdict_with_gaps_and_open_ends(name: str, window: str) -> None:
    (found,) = [entry for entry in outputs() if entry.output == name]
    assert window_of_counts(found) == window


def test_one_count_alone() -> None:
    parts: list[tuple[int, Verdict, str | None]] = [(1, "works", None), (UP_TO, "fails", "R0905")]
    assert window_of_counts(output("O1", "x", "DALI", *parts)) == "1"
    assert [run.text for run in runs_of(output("O1", "x", "DALI", *parts))] == ["1", "2 and more"]


def test_what_stops_is_told_at_both_ends_and_in_gaps() -> None:
    stops = {entry.output: stops_of(entry) for entry in outputs()}
    told = [(stop.at, stop.verdict, stop.rule) for stop in stops["O0904"]]
    assert told == [("2", "fails", "R0907"), ("15 to 16", "marginal", "R0944"), ("21", "fails", "R0905")]
    assert stops["O0901"] == []
    assert [(stop.at, stop.rule) for stop in stops["O0905"]] == [("", "R0920")]
    assert "not known" in stops["O0906"][0].because


def test_outputs_by_verdict_and_by_the_methods_of_the_driver() -> None:
    parted = by_best(outputs())
    assert {verdict: len(found) for verdict, found in parted.items()} == {
        "works": 4,
        "marginal": 1,
        "unproven": 2,
        "fails": 2,
        "hazard": 1,
    }
    assert list(by_method(parted["works"], sample_lookup())) == ["forward phase", "DALI", "switched"]


def test_reasons_are_counted_by_rule_the_most_frequent_first() -> None:
    parted = by_best(outputs())
    bad = reasons_of([*parted["hazard"], *parted["fails"]])
    assert [(reason.rule, reason.size) for reason in bad] == [("R0902", 2), ("R0901", 1)]
    assert bad[0].slug == "method-not-accepted"


def test_verdicts_at_the_count_asked_for() -> None:
    found = dict(at_count(sample_lookup(count=15)))
    assert found == {"works": 3, "marginal": 1, "unproven": 1, "fails": 3, "hazard": 2}
    assert at_count(sample_lookup()) == []


@pytest.mark.parametrize(
    ("steady", "holds", "cell"),
    [
        (19, 40, "19*"),
        (19, 19, "19*"),
        (40, 10, "10"),
        (40, 0, "0"),
        (200, UP_TO, ">150"),
        (None, 10, "≤10"),
        (None, UP_TO, "?"),
        (19, None, "≤19*"),
        (None, None, "?"),
    ],
)
def test_a_breaker_cell_tells_the_count_and_what_binds(
    steady: int | None, holds: int | None, cell: str
) -> None:
    assert sure_cell(breaker("B", 10, steady, holds), UP_TO) == cell


def test_breakers_stand_by_rating_and_curve() -> None:
    grid = breaker_grid(sample_lookup().breakers)
    assert grid.curves == ("B", "C", "D")
    cells = [(rating, [sure_cell(one, UP_TO) for one in row]) for rating, row in grid.rows]
    assert cells == [("6 A", ["0", "36*", ">150"]), ("10 A", ["22", "60*", ""])]


def test_notes_say_what_is_missing_for_the_breakers() -> None:
    assert breaker_notes(sample_lookup(breakers=[])) == []
    assert breaker_notes(sample_lookup()) == ["* the steady current decides; elsewhere the inrush."]
    only_inrush = [breaker("B", 10, None, 10)]
    known, unknown = (sample_lookup(breakers=only_inrush, traits=traits) for traits in (TRAITS, []))
    assert "continuous_load_share" in " ".join(breaker_notes(known))
    assert "it takes the input current, or the power and the power factor" in " ".join(breaker_notes(unknown))
    neither = " ".join(breaker_notes(sample_lookup(breakers=[breaker("B", 10, None, None)])))
    assert "Inrush not known" in neither
    assert "Steady current not" in neither
    assert "≤" not in neither


def test_source_impedance_with_its_basis() -> None:
    said = "a supply of 0.1 to 0.5 Ω and 100 to 800 µH (common practice, no source)"
    assert source_impedance_text(sample_lookup()) == said
    assert source_impedance_text(sample_lookup(source=[])) == "a supply of not known"


def test_cautions_with_one_ending_are_told_together_and_others_apart() -> None:
    first, second = f"A lamp can burn. {LOCAL}", f"A contact can weld shut. {LOCAL}"
    assert cautions_together([first, second]) == [f"A lamp can burn. A contact can weld shut. {LOCAL}"]
    assert cautions_together([first]) == [first]
    assert cautions_together([first, "Another end."]) == [first, "Another end."]


def test_where_nothing_is_proven_the_expected_counts_are_told_and_no_proof_claimed() -> None:
    """A driver of which only method and watts are known: usual values say how many, and the page too."""
    result = api.lookup(stated={"--method": "trailing edge", "--watts": "12"})
    by_id = {output.output: output for output in result.answer.outputs}
    relay = by_id["O0021"]
    assert (relay.best, relay.least) == ("unproven", None)
    assert relay.expected is not None
    assert relay.expected.best == "works"
    assert expected_window(relay) == f"{relay.expected.least} to {relay.expected.most}"
    text = result.to_text()
    assert f"expected {expected_window(relay)}: O0021 Relay, 16 A" in text
    assert text.index("unproven: a value is missing") < text.index(f"expected {expected_window(relay)}")
    assert f"expected to work with {expected_window(relay)}</b>, no proof" in result.to_html()


def test_a_count_that_is_proven_needs_no_expectation() -> None:
    found = api.lookup("D0002").answer.outputs
    proven = [output for output in found if output.least is not None]
    assert len(proven) > 5
    assert {expected_window(output) for output in proven} == {""}


def test_a_breaker_tells_what_it_likely_and_what_it_surely_holds() -> None:
    (breaker, *_) = api.lookup("D0002").answer.breakers
    inrush = breaker.model_copy(
        update={"most": 4, "inrush_holds_most": 4, "inrush_likely_most": 15, "binding": "inrush"}
    )
    assert (sure_cell(inrush, 150), likely_cell(inrush, 150)) == ("4", "15")
    assert likely_cell(inrush, 15) == "≥15"
    steady = inrush.model_copy(update={"steady_most": 9})
    assert (sure_cell(steady, 150), likely_cell(steady, 150)) == ("4", "9")
    same = inrush.model_copy(update={"inrush_likely_most": 4})
    assert (sure_cell(same, 150), likely_cell(same, 150)) == ("4", "")


def test_all_pictures_of_counts_have_one_scale() -> None:
    outputs = [one for one in api.lookup("D0002").answer.outputs if one.best == "works"]
    scale = shown_counts(outputs)
    most = max(one.most for one in outputs if one.most)
    assert most < scale <= 150
    for one in outputs:
        first = axis_of(one, scale).segments[0]
        assert first.end == pytest.approx(first.run.last / scale)
