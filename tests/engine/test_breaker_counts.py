"""How many drivers a breaker carries, against direct calls of the physics and plain arithmetic."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from compat.dataset.overlay import Setting, read_setting
from compat.dataset.read import Dataset, Equipment
from compat.engine.inrush_of_circuit import hidden_choke
from compat.engine.lookup import Looker
from compat.engine.site import quantities, quantity, site_of
from compat.model.lookup import BreakerCounts
from compat.model.values import Interval, Trait
from compat.physics.breaker_release import Breaker, hold_limit_a
from compat.physics.inrush_circuit import Group, SourceRange, StatedPulse, candidates_of, circuit_pulse
from compat.rulebook.rules import ParsedRule

UP_TO = 40


@pytest.fixture(scope="module")
def setting(dataset: Dataset) -> Setting:
    setting = read_setting(dataset, None, None)
    share = {"continuous_load_share": Trait(Interval(0.8, 0.8))}
    offer = {"O0021": dataset.tables["outputs"]["O0021"]}
    return replace(
        setting, offer=offer, supply=replace(setting.supply, traits={**setting.supply.traits, **share})
    )


def counts_of(
    driver_id: str, dataset: Dataset, rules: list[ParsedRule], setting: Setting
) -> dict[str, BreakerCounts]:
    driver = dataset.tables["drivers"][driver_id]
    found = Looker(dataset, rules, setting).look(driver, up_to=UP_TO).breakers
    return {breaker.breaker: breaker for breaker in found}


def source(resistance_ohm: Interval, inductance_uh: Interval) -> SourceRange:
    return SourceRange(resistance_ohm, Interval(inductance_uh.low * 1e-6, inductance_uh.high * 1e-6))


def source_of(equipment: Equipment) -> SourceRange:
    return source(*known(equipment, "resistance_ohm", "inductance_uh"))


def known(equipment: Equipment, *names: str) -> tuple[Interval, ...]:
    found = quantities(equipment.traits, *names)
    assert found is not None
    return found


@pytest.mark.parametrize("driver_id", ["D0034", "D0001", "D0019"])
def test_inrush_counts_are_those_of_the_physics(
    driver_id: str, dataset: Dataset, rules: list[ParsedRule], setting: Setting
) -> None:
    driver = dataset.tables["drivers"][driver_id]
    stated = quantities(driver.traits, "inrush_peak_a", "inrush_width_us")
    found = counts_of(driver_id, dataset, rules, setting)
    assert len(found) >= 6
    if stated is None:
        assert {breaker.inrush_holds_most for breaker in found.values()} == {None}
        return
    peak, width = stated
    site = site_of(setting)
    crest = math.sqrt(2) * 230.0
    highest = math.sqrt(2) * 253.0
    own = quantities(driver.traits, "inrush_test_resistance_ohm", "inrush_test_inductance_uh")
    test = source(*own) if own else source_of(site.inrush_test_source)
    width_s = Interval(width.low * 1e-6, width.high * 1e-6)
    fitted = candidates_of(StatedPulse(peak, width_s, crest, test))
    board = source_of(site.source_impedance)
    pulses = [
        circuit_pulse(Interval(highest, highest), board, [Group(fitted, number)])
        for number in range(1, UP_TO + 1)
    ]
    for key, breaker in found.items():
        rated, holds, trips, shortest, longest = known(
            dataset.tables["breakers"][key],
            "rated_current_a",
            "hold_multiple",
            "trip_multiple",
            "shortest_plunger_time_ms",
            "longest_plunger_time_ms",
        )
        device = Breaker(rated.low, holds.low, trips.high, shortest.low / 1e3, longest.high / 1e3, 50.0)
        # More for a choke that nobody tells of.
        ends = [
            (p.peak_a.high * hidden_choke(number)[0], p.i2t_a2s.high * hidden_choke(number)[1])
            for number, p in enumerate(pulses, start=1)
        ]
        held = [peak <= hold_limit_a(device, peak, heating) for peak, heating in ends]
        most = held.index(False) if False in held else UP_TO
        assert breaker.inrush_holds_most == most, key
        assert breaker.inrush_open_ended == (most == UP_TO)


def test_steady_counts_are_rating_times_share_over_current(
    dataset: Dataset, rules: list[ParsedRule], setting: Setting
) -> None:
    current = quantity(dataset.tables["drivers"]["D0034"].traits, "input_current_a")
    assert current is not None
    for breaker in counts_of("D0034", dataset, rules, setting).values():
        most = breaker.steady_most
        assert most is not None
        assert most * current.high <= 0.8 * breaker.rated_current_a * (1 + 1e-6)
        assert (most + 1) * current.high > 0.8 * breaker.rated_current_a


def test_the_smaller_limit_binds_and_an_unknown_one_leaves_the_most_unknown(
    dataset: Dataset, rules: list[ParsedRule], setting: Setting
) -> None:
    for breaker in counts_of("D0034", dataset, rules, setting).values():
        assert breaker.steady_most is not None
        assert breaker.inrush_holds_most is not None
        if breaker.inrush_open_ended and breaker.steady_most > UP_TO:
            assert (breaker.most, breaker.binding) == (None, "not known")
        else:
            assert breaker.most == min(breaker.steady_most, breaker.inrush_holds_most)
    traits = {name: trait for name, trait in setting.supply.traits.items() if name != "continuous_load_share"}
    without = replace(setting, supply=replace(setting.supply, traits=traits))
    for breaker in counts_of("D0034", dataset, rules, without).values():
        assert (breaker.steady_most, breaker.most, breaker.binding) == (None, None, "not known")


def test_an_exact_fit_of_the_steady_current_counts(
    dataset: Dataset, rules: list[ParsedRule], setting: Setting
) -> None:
    # 0.7 x 6 A carries 42 drivers of 0.1 A, though 0.7 * 6 / 0.1 is 41.99999999999999 in binary figures.
    assert 0.7 * 6 / 0.1 < 42
    supply = {**setting.supply.traits, "continuous_load_share": Trait(Interval(0.7, 0.7))}
    at = replace(setting, supply=replace(setting.supply, traits=supply))
    driver = dataset.tables["drivers"]["D0034"]
    traits = {**driver.traits, "input_current_a": Trait(Interval(0.1, 0.1))}
    found = Looker(dataset, rules, at).look(replace(driver, id="", traits=traits), up_to=2).breakers
    assert {breaker.steady_most for breaker in found if breaker.rated_current_a == 6} == {42}
