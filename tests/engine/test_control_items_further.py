"""Control, crying wolf and missing rules: each fault that readings of the rules found, as a case."""

from __future__ import annotations

from dataclasses import replace

import pytest

from compat.dataset.read import Dataset
from compat.engine.members import member_of
from compat.model.schedule import ScheduleRow
from compat.model.values import Content, Interval, TokenSet
from compat.rulebook.rules import ParsedRule
from tests.engine.made import exact
from tests.engine.made_controls import ANALOG, DALI, checked, of_line, on, report_of, verdicts
from tests.engine.test_lines import line_of, row


@pytest.mark.parametrize(
    ("reaches", "whole", "much"),
    [
        (8.5, "marginal", "works"),
        (9.4, "marginal", "works"),
        (6.0, "marginal", "fails"),
        (10.0, "works", "works"),
    ],
)
def test_b30_most_of_full_output_is_marginal_and_little_fails(
    reaches: float, whole: str, much: str, dataset: Dataset, rules: list[ParsedRule]
) -> None:
    stated: dict[str, Content] = {"output_direction": "sources", "output_full_v": exact(reaches)}
    found = of_line(dataset, rules, row(1, "A", 4, ANALOG), **stated)
    assert found["pair-full-output-not-reached"] == whole
    assert found["pair-much-of-full-output-missing"] == much


def test_b30_gear_pulls_a_sinking_control_up(dataset: Dataset) -> None:
    line = line_of(dataset, row(1, "A", 4, ANALOG), output_direction="sinks")
    assert line.values["line.output_full_v"] == Interval(10, 11)


def test_b30_a_rise_of_millivolts_gives_no_verdict(dataset: Dataset, rules: list[ParsedRule]) -> None:
    wire: dict[str, Content] = {
        "cable_resistance_ohm_per_km": exact(12.1),
        "conductor_temperature_celsius": exact(20),
        "length_to_farthest_m": exact(80),
        "wanted_dim_floor_percent": exact(1),
    }
    assert "pair-lowest-level-above-wanted" not in of_line(dataset, rules, row(1, "A", 4, ANALOG), **wire)


def test_b30_segments_follow_from_splitters_and_universes(dataset: Dataset) -> None:
    dmx: dict[str, Content] = {"methods": TokenSet.exactly("dmx", "switched"), "dmx_slots": exact(3)}
    line = line_of(dataset, row(1, "A", 40, dmx), dmx_universes=exact(2), splitters_in_row=exact(0))
    assert line.values["line.segments"] == exact(2)
    split = line_of(dataset, row(1, "A", 40, dmx), dmx_universes=exact(1), splitters_in_row=exact(1))
    assert split.values["line.segments"] == Interval(2, 41)


def test_b30_plain_white_gear_needs_no_colour_command(dataset: Dataset, rules: list[ParsedRule]) -> None:
    rows = (
        row(1, "A", 4, {**DALI, "colour": "none"}),
        row(2, "B", 4, {**DALI, "colour": "tunable_white"}, wanted_colour_control=True),
    )
    found = of_line(dataset, rules, *rows, colours_commanded=TokenSet.exactly("tunable_white"))
    assert found["line-colours-not-commanded"] == "works"


def test_b30_what_the_standard_fixes_of_plain_dali_gear(dataset: Dataset) -> None:
    line = line_of(dataset, row(1, "A", 10, DALI))
    assert line.values["line.dali_integrated_supply_ma"] == exact(0)
    assert line.values["line.dali_current_ma"] == Interval(0, 20)
    assert line.values["line.dimming_curves"] == TokenSet.exactly("logarithmic")


def test_b30_long_cable_is_silent_where_the_computed_drop_holds(
    dataset: Dataset, rules: list[ParsedRule]
) -> None:
    stated: dict[str, Content] = {
        "dali_supply_max_ma": exact(100),
        "cable_cross_section_mm2": exact(1),
        "conductor_temperature_celsius": exact(20),
        "farthest_pair_m": exact(240),
        "total_cable_m": exact(420),
    }
    found = of_line(dataset, rules, row(1, "A", 10, DALI), **stated)
    assert found["dali-line-voltage-drop-above-2-v"] == "works"
    assert "dali-line-total-cable-above-300-m" not in found
    assert "dali-line-cross-section-small-for-length" not in found


def test_b30_idle_drop_follows_consumption(dataset: Dataset) -> None:
    stated: dict[str, Content] = {
        "dali_supply_max_ma": exact(250),
        "dali_control_device_current_ma": exact(0),
        "cable_resistance_ohm_per_km": exact(12.1),
        "conductor_temperature_celsius": exact(20),
        "length_to_farthest_m": exact(100),
    }
    line = line_of(dataset, row(1, "A", 10, {**DALI, "dali_current_ma": exact(2)}), **stated)
    assert line.values["line.dali_idle_drop_v"] == exact(pytest.approx(2 * 1.21 * 0.02))
    assert line.values["line.dali_voltage_drop_v"] == exact(pytest.approx(2 * 1.21 * 0.25))


def test_b30_most_possible_packets_prove_nothing(dataset: Dataset, rules: list[ParsedRule]) -> None:
    dmx: dict[str, Content] = {"methods": TokenSet.exactly("dmx", "switched"), "dmx_slots": exact(3)}
    found = of_line(dataset, rules, row(1, "A", 4, dmx), dmx_refresh_wanted_hz=exact(40))
    assert found["dmx-line-refresh-below-wanted"] == "works"
    assert found["dmx-line-refresh-not-shown"] == "unproven"


@pytest.mark.parametrize("output", [f"O{number:04d}" for number in range(29, 39)])
def test_b31_dali_gear_on_0_10_v_outputs_is_simply_not_accepted(
    output: str, dataset: Dataset, rules: list[ParsedRule]
) -> None:
    told = checked(dataset, rules, "D0034", output, control_pair_selv=None)
    control = {rule.rule.slug for rule in rules if rule.family in ("analog", "dali", "dmx", "method")}
    against = {
        slug: verdict for slug, verdict in verdicts(told).items() if slug in control and verdict != "works"
    }
    assert against == {"method-not-accepted": "fails"}


def test_d36_a_pair_over_two_breakers_cannot_be_made_dead_by_one(
    dataset: Dataset, rules: list[ParsedRule]
) -> None:

    basic = {**ANALOG, "control_insulation": "basic"}
    rows = [replace(row(n, f"C{n}", 4, basic), breaker=f"B{n}") for n in (1, 2)]
    assert of_line(dataset, rules, *rows)["pair-over-several-breakers"] == "marginal"
    assert of_line(dataset, rules, rows[0])["pair-over-several-breakers"] == "works"


def test_d39_colour_types_curves_and_versions(dataset: Dataset, rules: list[ParsedRule]) -> None:
    rgbw = on("O0046", row(1, "A", 4, {**DALI, "dali_device_type": "type_8", "dali_colour_type": "rgbwaf"},
                           wanted_colour_control=True))  # fmt: skip
    assert of_line(dataset, rules, rgbw)["dali-line-colour-type-not-commanded"] == "fails"
    one = row(1, "A", 4, {**DALI, "dali_version": "version_1"})
    assert (
        of_line(dataset, rules, one, control_curve="logarithmic")["line-control-curve-doubled"] == "marginal"
    )
    found = of_line(dataset, rules, one, dali_version="version_2")
    assert found["dali-line-version-1-gear-on-version-2"] == "marginal"
    warm = (row(1, "A", 4, {**DALI, "colour": "dim_to_warm"}), row(2, "B", 4, {**DALI, "colour": "none"}))
    slug = "line-dim-to-warm-beside-others"
    assert of_line(dataset, rules, *warm, dali_addressing="broadcast")[slug] == "marginal"
    # By address each kind has groups of its own.
    assert slug not in of_line(dataset, rules, *warm, dali_addressing="addressed")


@pytest.mark.parametrize(
    ("driver", "level", "seen"), [("D0034", 85, 10.0), ("D0033", 1, 3.162), ("D0036", 126, 17.32)]
)
def test_41_lowest_level_of_dali_gear_and_how_bright_it_looks(
    driver: str, level: float, seen: float, dataset: Dataset
) -> None:
    made = ScheduleRow(1, "A", 1, driver_id=driver)
    traits = member_of(made, dataset, exact(230)).traits
    assert traits["dali_lowest_level"].content == exact(level)
    assert traits["dim_floor_seen_percent"].content == exact(pytest.approx(seen, abs=1e-2))


def test_41_a_stated_physical_minimum_level_gives_the_dim_floor(dataset: Dataset) -> None:
    made = row(1, "A", 1, {**DALI, "dali_lowest_level": exact(170)})
    assert member_of(made, dataset, exact(230)).traits["dim_floor_percent"].content == exact(
        pytest.approx(10.091, abs=1e-3)
    )


def test_d39_whites_wanted_beyond_gear_or_controller(dataset: Dataset, rules: list[ParsedRule]) -> None:
    gear = row(1, "A", 4, {**DALI, "colour_warmest_k": exact(2700), "colour_coolest_k": exact(6500)})
    wanted: dict[str, Content] = {"wanted_warmest_k": exact(2200), "wanted_coolest_k": exact(5000)}
    control: dict[str, Content] = {"commanded_warmest_k": exact(2000), "commanded_coolest_k": exact(6500)}
    found = of_line(dataset, rules, gear, **wanted, **control)
    assert found["line-colour-range-of-gear-too-small"] == "fails"
    assert found["line-colour-range-of-control-too-small"] == "works"


def test_beyond_the_list_a_dali_pair_run_as_selv_without_a_line(
    dataset: Dataset, rules: list[ParsedRule]
) -> None:
    told = checked(dataset, rules, "D0034", "O0072", control_pair_selv=True)
    assert verdicts(told)["dali-pair-run-as-selv"] == "hazard"
    assert "dali-pair-run-as-selv" not in verdicts(checked(dataset, rules, "D0034", "O0072"))


def test_beyond_the_list_circuits_of_a_dmx_line_take_slots_of_their_own(
    dataset: Dataset, rules: list[ParsedRule]
) -> None:
    dmx: dict[str, Content] = {"methods": TokenSet.exactly("dmx", "switched"), "dmx_slots": exact(4)}
    rows = [row(n, f"C{n}", 3, dmx, wanted_individual_control=False) for n in range(1, 131)]
    stated: dict[str, Content] = {"dmx_universes": exact(1)}
    assert of_line(dataset, rules, *rows, **stated)["dmx-line-zones-above-universes"] == "fails"
    assert of_line(dataset, rules, *rows[:128], **stated)["dmx-line-zones-above-universes"] == "works"


def test_beyond_the_list_the_driver_that_takes_most_and_not_the_average(
    dataset: Dataset, rules: list[ParsedRule]
) -> None:
    rows = [
        on("O0072", row(n, "A", quantity, {**DALI, "dali_current_ma": exact(each)}))
        for n, (quantity, each) in enumerate([(9, 1), (1, 5)], 1)
    ]
    (circuit,) = report_of(dataset, rules, *rows).circuits
    assert verdicts(circuit)["gear-current-above-standard-limit"] == "marginal"


def test_b31_a_pair_says_nothing_of_dali_gear_but_that_it_is_not_accepted(
    dataset: Dataset, rules: list[ParsedRule]
) -> None:
    gear: dict[str, Content] = {**DALI, "control_insulation": "basic"}
    alone = of_line(dataset, rules, on("O0030", row(1, "A", 4, gear)), wired_as_selv=True)
    assert alone == {"line-method-not-accepted": "fails"}
    mixed = (on("O0030", row(1, "A", 4, gear)), on("O0030", row(2, "B", 4, ANALOG)))
    found = of_line(dataset, rules, *mixed, wired_as_selv=True, separated_from_mains=True)
    assert found["line-method-not-accepted"] == "fails"
    assert "hazard" not in found.values()
