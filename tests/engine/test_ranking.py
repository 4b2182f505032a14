"""Which output is proposed first, and the load bar that shows why."""

from __future__ import annotations

import pytest

from compat.dataset.read import Dataset, Equipment
from compat.engine.gather import Circuit
from compat.engine.ranking import load_bar, preference, ranked, window
from compat.model.report import Amount
from compat.model.values import Interval
from compat.model.verdicts import VERDICTS, Verdict
from tests.engine.made import Traits, circuit, exact, output, perhaps, row


@pytest.fixture(scope="module")
def load(dataset: Dataset) -> Circuit:
    """100 W of resistive lamps that take reverse phase and switching."""
    methods = perhaps("reverse_phase", "switched")
    traits: Traits = {"input_power_w": exact(10.0), "methods": methods, "input_character": "resistive"}
    return circuit(dataset, row(2, 10, traits))


def rated(name: str, watts: float | None, method: str = "reverse_phase") -> Equipment:
    return output(name, method=method, max_load_w=None if watts is None else exact(watts))


def order(circuit: Circuit, offer: list[Equipment], verdicts: dict[str, Verdict] | None = None) -> list[str]:
    named = {entry.id: entry for entry in offer}
    given: dict[str, Verdict] = {**dict.fromkeys(named, "works"), **(verdicts or {})}
    return ranked({name: given[name] for name in named}, circuit, named)


def test_the_better_verdict_comes_first_whatever_else(load: Circuit) -> None:
    offer = [rated(f"X{place}", 200.0) for place in range(5)]
    verdicts = dict(zip((entry.id for entry in offer), reversed(VERDICTS), strict=True))
    assert order(load, offer, verdicts) == ["X4", "X3", "X2", "X1", "X0"]
    huge = [rated("right", 10_000.0, "dali"), rated("wrong", 200.0)]
    assert order(load, huge, {"right": "works", "wrong": "marginal"}) == ["right", "wrong"]


def test_then_an_accepted_method(load: Circuit) -> None:
    offer = [rated("refused", 200.0, "forward_phase"), rated("accepted", 5000.0)]
    assert order(load, offer) == ["accepted", "refused"]


def test_a_method_that_may_be_accepted_is_not_refused(dataset: Dataset) -> None:
    traits: Traits = {"input_power_w": exact(10.0), "methods": perhaps("switched", maybe=("dali",))}
    made = circuit(dataset, row(2, 1, traits))
    assert not preference("works", made, rated("X", 50.0, "dali"), 0).method_refused
    assert preference("works", made, rated("X", 50.0, "dmx"), 0).method_refused


def test_then_a_comfortable_size(load: Circuit) -> None:
    """100 W on 120 W is tight: more than 80 % of the rating; on 125 W it is exactly 80 %, which is not."""
    assert order(load, [rated("tight", 120.0), rated("larger", 900.0)]) == ["larger", "tight"]
    assert order(load, [rated("large", 900.0), rated("fitting", 125.0)]) == ["fitting", "large"]
    assert preference("works", load, rated("X", 124.0), 0).tight
    assert not preference("works", load, rated("X", 125.0), 0).tight


def test_then_the_smaller_rating_and_last_the_order_of_the_offer(load: Circuit) -> None:
    offer = [rated("c", 400.0), rated("b", 300.0), rated("a", 300.0)]
    assert order(load, offer) == ["b", "a", "c"]
    assert order(load, list(reversed(offer))) == ["a", "b", "c"]


def test_an_unknown_size_is_no_reason_against(load: Circuit, dataset: Dataset) -> None:
    assert not preference("works", load, rated("X", None), 0).tight
    unknown = circuit(dataset, row(2, 10))
    assert not preference("works", unknown, rated("X", 1.0), 0).tight


def test_nothing_on_offer(load: Circuit) -> None:
    assert order(load, []) == []


@pytest.mark.parametrize(
    ("character", "share", "expected"),
    [
        ("resistive", Interval(0.4, 0.5), (10.0, 190.0)),
        ("capacitive", Interval(0.4, 0.5), (10.0, 190.0 * 0.4)),
        (None, Interval(0.4, 0.5), (10.0, 190.0 * 0.4)),
        ("capacitive", None, (10.0, None)),
        ("resistive", None, (10.0, 190.0)),
    ],
)
def test_the_window_is_what_the_output_surely_takes(
    character: str | None, share: Interval | None, expected: tuple[float, float | None], dataset: Dataset
) -> None:
    """From the highest minimum to the lowest rating, derated where a load may be capacitive."""
    made = circuit(dataset, row(2, 1, {"input_power_w": exact(10.0), "input_character": character}))
    on = output(min_load_w=Interval(5.0, 10.0), max_load_w=Interval(190.0, 200.0), capacitive_share=share)
    assert window(made, on) == expected


def test_the_window_of_an_output_that_says_nothing(load: Circuit) -> None:
    assert window(load, output()) == (None, None)


def test_the_load_bar(load: Circuit, dataset: Dataset) -> None:
    on = output(method="reverse_phase", min_load_w=exact(10.0), max_load_w=exact(200.0))
    bar = load_bar(load, on)
    assert bar is not None
    assert bar.load == Amount(low=100.0, high=100.0, unit="w", text="100 W")
    assert (bar.window_low_w, bar.window_high_w) == (10.0, 200.0)
    unknown = load_bar(circuit(dataset, row(2, 1)), on)
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
    method: str, switches: bool | None, drawn: bool, load: Circuit
) -> None:
    assert (load_bar(load, output(method=method, switches_mains=switches)) is not None) is drawn
