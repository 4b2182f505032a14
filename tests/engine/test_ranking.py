"""Which output is proposed first, and the load window that the rules give."""

from __future__ import annotations

import pytest

from compat.dataset.read import Dataset, Equipment
from compat.engine.gather import Circuit
from compat.engine.ranking import LoadLimits, LoadWindow
from compat.engine.subject import CircuitSubject, OutputSubject
from compat.model.report import Amount
from compat.model.values import Content, Interval
from compat.model.verdicts import VERDICTS, Verdict
from compat.rulebook.rules import ParsedRule
from tests.engine.made import Traits, circuit, exact, output, perhaps, row, site


@pytest.fixture(scope="module")
def limits(rules: list[ParsedRule]) -> LoadLimits:
    return LoadLimits([rule for rule in rules if rule.rule.scope == "pairing"])


@pytest.fixture(scope="module")
def load(dataset: Dataset) -> CircuitSubject:
    """100 W of resistive lamps that take reverse phase and switching."""
    methods = perhaps("reverse_phase", "switched")
    traits: Traits = {"input_power_w": exact(10.0), "methods": methods, "input_character": "resistive"}
    return subject(dataset, circuit(dataset, row(2, 10, traits, ALONE)))


def subject(dataset: Dataset, made: Circuit) -> CircuitSubject:
    return CircuitSubject(dataset, made, site(dataset))


ALONE: Traits = {"gang_sides": exact(0.0)}


def rated(name: str, watts: float | None, method: str = "reverse_phase") -> Equipment:
    return output(name, method=method, max_load_w=None if watts is None else exact(watts))


def order(
    limits: LoadLimits,
    circuit: CircuitSubject,
    offer: list[Equipment],
    verdicts: dict[str, Verdict] | None = None,
) -> list[str]:
    named = {entry.id: OutputSubject(circuit.dataset, entry) for entry in offer}
    given: dict[str, Verdict] = {**dict.fromkeys(named, "works"), **(verdicts or {})}
    return limits.ranked(given, given, circuit, named)


def test_the_better_verdict_comes_first_whatever_else(limits: LoadLimits, load: CircuitSubject) -> None:
    offer = [rated(f"X{place}", 200.0) for place in range(5)]
    verdicts = dict(zip((entry.id for entry in offer), reversed(VERDICTS), strict=True))
    assert order(limits, load, offer, verdicts) == ["X4", "X3", "X2", "X1", "X0"]
    huge = [rated("right", 10_000.0, "dali"), rated("wrong", 200.0)]
    assert order(limits, load, huge, {"right": "works", "wrong": "marginal"}) == ["right", "wrong"]


def test_then_an_accepted_method(limits: LoadLimits, load: CircuitSubject) -> None:
    offer = [rated("refused", 200.0, "forward_phase"), rated("accepted", 5000.0)]
    assert order(limits, load, offer) == ["accepted", "refused"]


def test_a_method_that_may_be_accepted_is_not_refused(limits: LoadLimits, dataset: Dataset) -> None:
    traits: Traits = {"input_power_w": exact(10.0), "methods": perhaps("switched", maybe=("dali",))}
    made = subject(dataset, circuit(dataset, row(2, 1, traits)))
    offer = [rated("refused", 50.0, "dmx"), rated("perhaps", 90.0, "dali")]
    assert order(limits, made, offer) == ["perhaps", "refused"]


def test_then_a_comfortable_size(limits: LoadLimits, load: CircuitSubject) -> None:
    """100 W on 120 W is tight: more than 80 % of the rating; on 125 W it is exactly 80 %, which is not."""
    assert order(limits, load, [rated("tight", 120.0), rated("larger", 900.0)]) == ["larger", "tight"]
    assert order(limits, load, [rated("large", 900.0), rated("fitting", 125.0)]) == ["fitting", "large"]
    assert order(limits, load, [rated("large", 900.0), rated("tight", 124.0)]) == ["large", "tight"]


def test_then_the_smaller_rating_and_last_the_order_of_the_offer(
    limits: LoadLimits, load: CircuitSubject
) -> None:
    offer = [rated("c", 400.0), rated("b", 300.0), rated("a", 300.0)]
    assert order(limits, load, offer) == ["b", "a", "c"]
    assert order(limits, load, list(reversed(offer))) == ["a", "b", "c"]


def test_an_unknown_size_is_no_reason_against(
    limits: LoadLimits, load: CircuitSubject, dataset: Dataset
) -> None:
    assert order(limits, load, [rated("large", 900.0), rated("silent", None)]) == ["silent", "large"]
    unknown = subject(dataset, circuit(dataset, row(2, 10)))
    assert order(limits, unknown, [rated("large", 900.0), rated("small", 1.0)]) == ["small", "large"]


def test_nothing_on_offer(limits: LoadLimits, load: CircuitSubject) -> None:
    assert order(limits, load, []) == []


@pytest.mark.parametrize(
    ("character", "share", "expected"),
    [
        ("resistive", Interval(0.4, 0.5), LoadWindow(10.0, 190.0)),
        ("capacitive", Interval(0.4, 0.5), LoadWindow(10.0, 190.0 * 0.4)),
        (None, Interval(0.4, 0.5), LoadWindow(10.0, 190.0 * 0.4)),
        ("capacitive", None, LoadWindow(10.0, None)),
        ("resistive", None, LoadWindow(10.0, 190.0)),
    ],
)
def test_the_window_is_what_the_output_surely_takes(
    character: str | None,
    share: Interval | None,
    expected: LoadWindow,
    limits: LoadLimits,
    dataset: Dataset,
) -> None:
    """From the highest minimum to the lowest rating, derated where a load may be capacitive."""
    made = circuit(dataset, row(2, 1, {"input_power_w": exact(10.0), "input_character": character}, ALONE))
    on = output(
        method="reverse_phase",
        min_load_w=Interval(5.0, 10.0),
        max_load_w=Interval(190.0, 200.0),
        capacitive_share=share,
    )
    assert limits.window(subject(dataset, made), OutputSubject(dataset, on)) == expected


def test_neighbours_narrow_the_window_as_they_do_the_verdict(limits: LoadLimits, dataset: Dataset) -> None:
    """A load past the share with one neighbour fails, so it lies outside the window as well."""
    traits: Traits = {"input_power_w": exact(10.0), "input_character": "resistive"}
    made = circuit(dataset, row(2, 1, traits, {"gang_sides": exact(1.0)}))
    on = output(method="forward_phase", max_load_w=exact(200.0), share_one_side=exact(0.8))
    assert limits.window(subject(dataset, made), OutputSubject(dataset, on)) == LoadWindow(None, 160.0)


def test_an_output_that_says_nothing_limits_by_nothing_known(
    limits: LoadLimits, load: CircuitSubject
) -> None:
    assert limits.window(load, OutputSubject(load.dataset, output())) == LoadWindow(None, None)


def test_the_load_bar(limits: LoadLimits, load: CircuitSubject, dataset: Dataset) -> None:
    made = output(method="reverse_phase", min_load_w=exact(10.0), max_load_w=exact(200.0))
    on = OutputSubject(dataset, made)
    bar = limits.bar(load, on)
    assert bar is not None
    assert bar.load == Amount(low=100.0, high=100.0, unit="w", text="100 W")
    assert (bar.window_low_w, bar.window_high_w) == (10.0, 200.0)
    unknown = limits.bar(subject(dataset, circuit(dataset, row(2, 1, column=ALONE))), on)
    assert unknown is not None
    assert unknown.load.text == "not known"
    assert unknown.load.low is None


@pytest.mark.parametrize(
    ("method", "switches", "drawn"),
    [
        ("dali", False, False),
        ("dali", True, True),
        ("dali", None, True),
        ("switched", True, True),
        ("reverse_phase", False, True),
        ("dmx", False, False),
    ],
)
def test_an_output_that_carries_no_load_has_no_bar(
    method: str, switches: Content, drawn: bool, limits: LoadLimits, load: CircuitSubject
) -> None:
    on = OutputSubject(load.dataset, output(method=method, switches_mains=switches))
    assert (limits.bar(load, on) is not None) is drawn
