"""Phase-cut currents, voltage drop and modulation limit of a circuit, by the physics and by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from compat.dataset.read import Dataset
from compat.engine.site import Site
from compat.model.schedule import ScheduleRow
from compat.model.values import Content, Interval
from compat.physics.cable import drop_at_end_v, drop_spread_v, resistance_at
from compat.physics.flicker import modulation_limit_percent
from compat.physics.phase_cut import Edge
from compat.physics.phase_cut_current import INPUT_TYPES, InputType, peak_ratio, rms_ratio
from tests.engine.computed_parts import alone, equipment, known, near, site_of, value
from tests.engine.made import exact, row

ANGLES_DEGREE = tuple(15.0 * step for step in range(10))
PHASE_CUT = ("forward_phase_current_a", "reverse_phase_current_a", "forward_phase_peak_a")
# Peak by r.m.s. of the uncut current: of the simulated inputs, and of a sine up to a distorted one.
CREST_FACTOR = {
    "bulk_capacitor": (3.0, 5.5),
    "small_capacitor": (2.5, 3.5),
    "corrected": (math.sqrt(2.0), 1.8),
}


@pytest.fixture
def site(dataset: Dataset) -> Site:
    return site_of(dataset)


# Current behind a phase cut


def lamp(
    count: int, current_a: Interval, character: str | None, input_type: str | None = None
) -> ScheduleRow:
    return row(
        1, count, {"input_current_a": current_a, "input_character": character, "input_type": input_type}
    )


@pytest.mark.parametrize("character", ["resistive", "inductive"])
def test_other_loads_never_draw_more_than_uncut(character: str, dataset: Dataset, site: Site) -> None:
    made = lamp(4, Interval(0.2, 0.25), character)
    assert near(known("forward_phase_current_a", dataset, site, made), Interval(0.8, 1.0))
    assert near(known("reverse_phase_current_a", dataset, site, made), Interval(0.8, 1.0))
    peak = known("forward_phase_peak_a", dataset, site, made)
    assert near(peak, Interval(0.8, math.sqrt(2.0)))


def largest(kind: InputType, edge: Edge, of_peak: bool) -> Interval:
    of = peak_ratio if of_peak else rms_ratio
    ratios = [of(kind, edge, exact(angle), "follows") for angle in ANGLES_DEGREE]
    low, high = max(one.low for one in ratios), max(one.high for one in ratios)
    crest = CREST_FACTOR[kind] if of_peak else (1.0, 1.0)
    return Interval(low * crest[0], high * crest[1])


@pytest.mark.parametrize("kind", INPUT_TYPES)
@pytest.mark.parametrize(
    ("name", "edge", "of_peak"),
    [
        ("forward_phase_current_a", "forward_phase", False),
        ("reverse_phase_current_a", "reverse_phase", False),
        ("forward_phase_peak_a", "forward_phase", True),
    ],
)
def test_capacitive_inputs_are_those_of_the_physics(
    kind: InputType, name: str, edge: Edge, of_peak: bool, dataset: Dataset, site: Site
) -> None:
    share = largest(kind, edge, of_peak)
    found = known(name, dataset, site, lamp(10, Interval(0.1, 0.2), "capacitive", kind))
    assert near(found, Interval(share.low, 2.0 * share.high))


def test_bulk_capacitors_by_hand(dataset: Dataset, site: Site) -> None:
    """Simulated, power with the cut: r.m.s. up to 3.6 times; the peak up to 30 times one of 3 to 5.5."""
    made = lamp(10, exact(0.1), "capacitive", "bulk_capacitor")
    assert known("forward_phase_current_a", dataset, site, made).high == pytest.approx(3.6, abs=0.01)
    assert known("forward_phase_peak_a", dataset, site, made).high == pytest.approx(30.2 * 5.5, abs=0.1)
    assert known("reverse_phase_current_a", dataset, site, made).high == pytest.approx(1.0, abs=0.02)


def test_b23_of_an_unknown_input_type_nothing_is_said_where_the_types_differ(
    dataset: Dataset, site: Site
) -> None:
    """On forward phase the three types differ by more than a factor of four, on reverse phase they do not."""
    made = lamp(3, exact(0.1), "capacitive")
    assert value("forward_phase_current_a", dataset, site, made) is None
    assert value("forward_phase_peak_a", dataset, site, made) is None
    name = "reverse_phase_current_a"
    each = [known(name, dataset, site, lamp(3, exact(0.1), "capacitive", kind)) for kind in INPUT_TYPES]
    found = known(name, dataset, site, made)
    assert near(found, Interval(min(one.low for one in each), max(one.high for one in each)))


@pytest.mark.parametrize(("factor", "kind"), [(0.95, "corrected"), (0.5, "bulk_capacitor")])
def test_b23_the_power_factor_tells_the_input_type(
    factor: float, kind: str, dataset: Dataset, site: Site
) -> None:
    stated = known("forward_phase_peak_a", dataset, site, lamp(3, exact(0.1), "capacitive", kind))
    traits: dict[str, Content] = {
        "input_current_a": exact(0.1),
        "input_character": "capacitive",
        "power_factor": exact(factor),
    }
    assert near(known("forward_phase_peak_a", dataset, site, row(1, 3, traits)), stated)


def test_b23_the_repetitive_peak_is_never_above_the_inrush(dataset: Dataset, site: Site) -> None:
    """10 drivers of 0.5 A r.m.s. would reach 132 A by the ratio; their stated inrush is 2 A each."""
    traits: dict[str, Content] = {
        "input_current_a": exact(0.5),
        "input_character": "capacitive",
        "input_type": "bulk_capacitor",
        "inrush_peak_a": exact(2.0),
        "inrush_width_us": exact(400.0),
        "inrush_test_resistance_ohm": exact(0.8),
        "inrush_test_inductance_uh": exact(100.0),
    }
    peak = known("forward_phase_peak_a", dataset, site, row(1, 10, traits))
    assert peak.high <= known("group_inrush_peak_a", dataset, site, row(1, 10, traits)).high < 30.0


@pytest.mark.parametrize("name", PHASE_CUT)
def test_currents_of_rows_add_up(name: str, dataset: Dataset, site: Site) -> None:
    rows = (lamp(3, exact(0.1), "capacitive", "corrected"), lamp(2, exact(0.3), "resistive"))
    parts = alone(dataset, site, name, *rows)
    both = known(name, dataset, site, *rows)
    assert near(both, Interval(sum(one.low for one in parts), sum(one.high for one in parts)))


@pytest.mark.parametrize("name", PHASE_CUT)
def test_an_unknown_current_or_character_is_unknown(name: str, dataset: Dataset, site: Site) -> None:
    good = lamp(1, exact(0.1), "capacitive", "corrected")
    nothing = row(2, 1, {"input_character": "capacitive", "input_type": "corrected"})
    for rows in ([nothing], [good, nothing], [good, lamp(1, exact(0.1), None, "corrected")]):
        assert value(name, dataset, site, *rows) is None


def test_a_current_beyond_all_numbers_is_unknown(dataset: Dataset, site: Site) -> None:
    made = lamp(10, exact(1.7e308), "capacitive", "corrected")
    assert [value(name, dataset, site, made) for name in PHASE_CUT] == [None] * 3


# Voltage drop


def fed(
    current_a: Interval | None, length_m: Interval | None, count: int = 1, factor: float = 1.0
) -> ScheduleRow:
    stated: dict[str, Content] = {"input_current_a": current_a, "power_factor": exact(factor)}
    return row(1, count, stated, {"cable_length_m": length_m})


def test_b29_a_power_factor_of_one_half_takes_half_of_the_drop(dataset: Dataset, site: Site) -> None:
    """10 A on 20 m of 12.1 ohm/km: 2.42 to 5.81 V in step; at 0.5 the low end is half less 0.014 V."""
    whole = known("voltage_drop_percent", dataset, site, fed(exact(10.0), exact(20.0)))
    half = known("voltage_drop_percent", dataset, site, fed(exact(10.0), exact(20.0), factor=0.5))
    beside = 10.0 * math.sqrt(0.75) * 0.08e-3
    assert half.low == pytest.approx(whole.low / 2.0 - 100.0 * beside * 20.0 / 230.0)
    assert half.high == pytest.approx(whole.high / 2.0 + 100.0 * 2.0 * beside * 20.0 / 230.0)


def test_b29_long_runs_have_a_supplement_where_the_limit_is_of_iec_60364(
    dataset: Dataset, site: Site
) -> None:
    """0.005 % for each metre beyond 100 m, 0.5 % at most; none by the NEC."""
    for length, more in ((80.0, 0.0), (150.0, 0.25), (300.0, 0.5)):
        found = known("long_run_supplement_percent", dataset, site, fed(exact(1.0), exact(length)))
        assert near(found, exact(more))
    there = replace(site, supply=dataset.tables["supplies"]["U0002"])
    assert value("long_run_supplement_percent", dataset, there, fed(exact(1.0), exact(300.0))) == exact(0.0)


def test_voltage_drop_by_hand(dataset: Dataset, site: Site) -> None:
    """12.1 ohm/km, 20 m, 2 A: 0.484 V spread at 20 degrees, 1.1616 V at the end at 70, of 230 V."""
    found = known("voltage_drop_percent", dataset, site, fed(exact(0.5), exact(20.0), 4))
    assert near(found, Interval(0.484 / 2.3, 1.1616 / 2.3))


def test_voltage_drop_takes_the_worst_ends(dataset: Dataset, site: Site) -> None:
    cable = equipment(resistance_ohm_per_km=Interval(7.41, 12.1))
    supply = equipment(voltage_v=Interval(220.0, 240.0))
    open_site = replace(site, cable=cable, supply=supply)
    found = known("voltage_drop_percent", dataset, open_site, fed(Interval(1.0, 2.0), Interval(5.0, 40.0)))
    least = 100.0 * drop_spread_v(resistance_at(7.41, 20.0), 5.0, 1.0) / 240.0
    most = 100.0 * drop_at_end_v(resistance_at(12.1, 70.0), 40.0, 2.0) / 220.0
    assert near(found, Interval(least, most))


def test_no_length_or_no_current_drops_nothing(dataset: Dataset, site: Site) -> None:
    assert value("voltage_drop_percent", dataset, site, fed(exact(0.0), exact(20.0))) == exact(0.0)
    assert value("voltage_drop_percent", dataset, site, fed(exact(1.0), exact(0.0))) == exact(0.0)


def test_voltage_drop_is_unknown_where_a_part_is(dataset: Dataset, site: Site) -> None:
    good = fed(exact(1.0), exact(20.0))
    for rows in ([fed(None, exact(20.0))], [fed(exact(1.0), None)], [good, row(2, 1)]):
        assert value("voltage_drop_percent", dataset, site, *rows) is None
    for broken in (replace(site, cable=equipment()), replace(site, supply=equipment())):
        assert value("voltage_drop_percent", dataset, broken, good) is None
    assert value("voltage_drop_percent", dataset, site, good) is not None


@pytest.mark.parametrize(("current_a", "length_m"), [(1001.0, 20.0), (1.0, 10_001.0)])
def test_voltage_drop_out_of_range_is_unknown(
    current_a: float, length_m: float, dataset: Dataset, site: Site
) -> None:
    assert value("voltage_drop_percent", dataset, site, fed(exact(current_a), exact(length_m))) is None


# Modulation of the light


def flickering(low: float, high: float | None = None) -> ScheduleRow:
    return row(1, 1, {"light_modulation_frequency_hz": Interval(low, low if high is None else high)})


@pytest.mark.parametrize(
    ("ends", "limits"),
    [
        ((100.0, 100.0), (8.0, 8.0)),
        ((120.0, 120.0), (9.6, 9.6)),
        ((89.9, 89.9), (2.2475, 2.2475)),
        ((90.0, 90.0), (7.2, 7.2)),
        ((1250.0, 1250.0), (100.0, 100.0)),
        ((1251.0, 25_000.0), (100.0, 100.0)),  # no limit: all of the light may be modulated
        ((80.0, 100.0), (2.0, 8.0)),
        ((1000.0, 3000.0), (80.0, 100.0)),
    ],
)
def test_modulation_limit(
    ends: tuple[float, float], limits: tuple[float, float], dataset: Dataset, site: Site
) -> None:
    """0.025 f below 90 Hz, 0.08 f up to 1250 Hz, none above (IEEE 1789, low risk)."""
    found = known("modulation_low_risk_percent", dataset, site, flickering(*ends))
    assert near(found, Interval(*limits))
    for end, limit in zip(ends, limits, strict=True):
        assert (modulation_limit_percent("rp1", end) or 100.0) == pytest.approx(limit)


def test_the_lowest_frequency_of_a_circuit_sets_the_limit(dataset: Dataset, site: Site) -> None:
    found = known("modulation_low_risk_percent", dataset, site, flickering(1000.0), flickering(100.0))
    assert near(found, exact(8.0))


def test_an_unknown_or_impossible_frequency_is_unknown(dataset: Dataset, site: Site) -> None:
    name = "modulation_low_risk_percent"
    assert value(name, dataset, site, row(1, 1)) is None
    assert value(name, dataset, site, flickering(100.0), row(2, 1)) is None
    assert value(name, dataset, site, flickering(0.0)) is None
    assert value(name, dataset, site, flickering(100.0, 2e6)) is None
