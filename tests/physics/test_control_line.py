"""Control lines against the worked examples W004 to W104 of our fact sheet, and their limits."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compat.model.values import Interval
from compat.physics import control_line as line
from compat.physics.cable import CLASS_1_2
from compat.physics.dmx_universes import UNIVERSE_SLOTS, universes_between

GAMMA_56 = 1000.0 / 56.0


def exactly(value: float) -> Interval:
    return Interval(value, value)


@pytest.mark.parametrize(
    ("drivers", "each_ma", "length_m", "mm2", "rise_v"),
    [(20, 0.5, 100.0, 0.75, 0.049), (25, 2.0, 100.0, 1.5, 0.121)],
    ids=["W006", "W008"],
)
def test_rise_with_all_drivers_at_the_end(
    drivers: int, each_ma: float, length_m: float, mm2: float, rise_v: float
) -> None:
    current = drivers * each_ma / 1000.0
    assert line.rise_lumped_v(CLASS_1_2[mm2], 20.0, length_m, current) == pytest.approx(rise_v, rel=1e-9)


def test_w009_rise_with_drivers_at_equal_pitch() -> None:
    assert line.rise_spread_v(CLASS_1_2[0.5], 20.0, 100.0, 0.05, 25) == pytest.approx(0.1872, rel=1e-9)


def test_one_driver_is_at_the_end() -> None:
    alone = line.rise_spread_v(CLASS_1_2[0.5], 20.0, 100.0, 0.05, 1)
    assert alone == line.rise_lumped_v(CLASS_1_2[0.5], 20.0, 100.0, 0.05)


def test_spread_rise_is_the_sum_over_the_pieces() -> None:
    """Added up piece by piece: each carries the current of the drivers beyond it."""
    pieces = [2 * CLASS_1_2[0.75] / 1000 * 4.0 * (12 - piece) * 0.002 for piece in range(12)]
    spread = line.rise_spread_v(CLASS_1_2[0.75], 20.0, 48.0, 0.024, 12)
    assert spread == pytest.approx(sum(pieces), rel=1e-12)


def test_w010_error_of_the_lowest_level() -> None:
    assert line.linear_level_percent(1.36, 10.0) == pytest.approx(13.6)
    assert line.level_error_percent(0.36, 10.0) == pytest.approx(3.6)


@pytest.mark.parametrize(
    ("floor", "full_v", "level"),
    [(10.0, 10.0, 50.0), (1.0, 8.0, 57.57), (1.0, 9.0, 50.5)],
    ids=["W012", "W013", "W014"],
)
def test_linear_law(floor: float, full_v: float, level: float) -> None:
    assert line.linear_level_percent(5.0, floor, full_v) == pytest.approx(level, abs=0.005)


def test_the_level_is_held_outside_the_line() -> None:
    assert line.linear_level_percent(0.2, 5.0) == 5.0
    assert line.linear_level_percent(12.0, 5.0) == 100.0
    assert line.level_error_percent(500.0, 5.0) == 95.0


def test_w072_dali_drop_at_the_end() -> None:
    found = line.dali_drop_v(GAMMA_56 / 0.5, 20.0, 300.0, 0.25)
    assert found == pytest.approx(5.357, abs=5e-4)


@pytest.mark.parametrize(
    ("mm2", "metres"), [(0.5, 112.0), (0.75, 168.0), (1.5, 336.0)], ids=["W073", "W074", "W076"]
)
def test_dali_longest_length(mm2: float, metres: float) -> None:
    assert line.dali_drop_v(GAMMA_56 / mm2, 20.0, metres, 0.25) == pytest.approx(2.0, rel=1e-9)


def test_w077_dali_longest_length_of_a_hot_cable() -> None:
    for metres, within in ((276.25, True), (276.35, False)):
        assert (line.dali_drop_v(CLASS_1_2[1.5], 70.0, metres, 0.25, rule="copper") < 2.0) == within


def test_a_hot_cable_drops_more() -> None:
    cold, hot = (line.dali_drop_v(CLASS_1_2[1.5], celsius, 200.0, 0.25) for celsius in (20.0, 70.0))
    assert hot / cold == pytest.approx(1.2)


@pytest.mark.parametrize(("bits", "ms"), [(16, 14.17), (24, 20.83), (8, 7.5)], ids=["W080", "W081", "W082"])
def test_dali_frames(bits: int, ms: float) -> None:
    assert line.dali_frame_ms(bits) == pytest.approx(ms, abs=0.005)


def test_w084_time_to_set_64_lights() -> None:
    assert line.dali_one_by_one_s(64) == pytest.approx(1.81, abs=0.005)
    least, most = (line.dali_one_by_one_s(64, settling) for settling in line.SETTLING_MS)
    assert least < line.dali_one_by_one_s(64) < most
    assert line.dali_one_by_one_s(0) == 0.0


@pytest.mark.parametrize(
    ("slots", "break_us", "mark_us", "us"),
    [(24, 92, 12, 1204), (24, 88, 8, 1196), (512, 92, 12, 22676)],
    ids=["W088", "W089", "W090"],
)
def test_dmx_packet(slots: int, break_us: float, mark_us: float, us: float) -> None:
    assert line.dmx_packet_us(slots, break_us, mark_us) == us


@pytest.mark.parametrize(
    ("slots", "hz"), [(24, 830.6), (100, 219.9), (512, 44.1), (1, 830.6)], ids=["W092", "W094", "512", "one"]
)
def test_dmx_refresh(slots: int, hz: float) -> None:
    assert line.dmx_refresh_hz(slots) == pytest.approx(hz, abs=0.05)


def test_w093_packet_of_the_1990_edition() -> None:
    assert line.dmx_packet_us(512, 88, 8) == 22668


@pytest.mark.parametrize(
    ("footprint", "count", "universes"),
    [(4, 150, 2), (3, 170, 1), (3, 171, 2), (8, 64, 1), (8, 65, 2), (300, 3, 3)],
    ids=["W096", "W097", "W097 and one", "W098", "W098 and one", "none shares"],
)
def test_universes_of_like_footprints(footprint: int, count: int, universes: int) -> None:
    found = universes_between([(exactly(footprint), count)])
    assert (found.low, found.high) == (universes, universes)


def fewest(sizes: list[int]) -> int:
    """The fewest universes by trying every order of filling."""

    def filled(order: tuple[int, ...]) -> int:
        used = [0]
        for slots in order:
            if used[-1] + slots > UNIVERSE_SLOTS:
                used.append(0)
            used[-1] += slots
        return len(used)

    return min(filled(order) for order in set(itertools.permutations(sizes)))


@pytest.mark.parametrize(
    "sizes",
    [[300, 300, 200, 200], [260, 260, 250, 100], [512, 1], [400, 200, 100, 90, 20], [171, 171, 171, 2]],
)
def test_universes_of_mixed_footprints_hold_the_best_filling(sizes: list[int]) -> None:
    found = universes_between([(exactly(slots), 1) for slots in sizes])
    assert found.low <= fewest(sizes) <= found.high


@given(
    st.lists(st.tuples(st.integers(0, 512), st.integers(0, 512), st.integers(1, 40)), min_size=1, max_size=5),
    st.floats(0, 1),
)
def test_wider_footprints_never_give_a_narrower_answer(
    made: list[tuple[int, int, int]], share: float
) -> None:
    wide = [(Interval(min(a, b), max(a, b)), count) for a, b, count in made]
    point = [(exactly(slots.low + share * (slots.high - slots.low)), count) for slots, count in wide]
    outer, inner = universes_between(wide), universes_between(point)
    assert outer.low <= inner.low <= inner.high <= outer.high


def test_nothing_that_takes_slots_needs_no_universe() -> None:
    assert universes_between([(exactly(0), 5)]) == exactly(0)
    assert universes_between([]) == exactly(0)


@pytest.mark.parametrize(
    "call",
    [
        lambda: line.rise_lumped_v(36.0, 20.0, -1.0, 0.01),
        lambda: line.rise_spread_v(36.0, 20.0, 10.0, 0.01, 0),
        lambda: line.linear_level_percent(5.0, 1.0, 1.0),
        lambda: line.level_error_percent(float("nan"), 1.0),
        lambda: line.dali_drop_v(36.0, 20.0, 10.0, 11.0),
        lambda: line.dali_frame_ms(0),
        lambda: line.dali_one_by_one_s(-1),
        lambda: line.dmx_packet_us(513),
        lambda: universes_between([(exactly(513), 1)]),
    ],
)
def test_what_is_out_of_range_is_refused(call: object) -> None:
    assert callable(call)
    with pytest.raises(ValueError, match="allowed is"):
        call()


def test_the_factors_of_the_standard_give_0_3_percent_less_length() -> None:
    """The 276.3 m of W077 are of pure copper; a line takes 0.004 per kelvin."""
    assert line.dali_drop_v(12.1, 70.0, 276.3, 0.25, rule="copper") == pytest.approx(2.0, rel=2e-4)
    assert line.dali_drop_v(12.1, 70.0, 276.3 * 0.997, 0.25) == pytest.approx(2.0, rel=2e-4)
