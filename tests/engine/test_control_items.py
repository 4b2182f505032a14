"""Control: each fault that readings of the rules against the trade found, as a case through the engine."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from compat.dataset.overlay import read_setting
from compat.dataset.read import Dataset
from compat.engine.check import Check
from compat.engine.lines import judge_line
from compat.engine.members import member_of
from compat.model.report import CircuitReport, Report
from compat.model.schedule import Schedule, ScheduleRow
from compat.model.values import Content, Interval, TokenSet, Trait
from compat.physics import control_levels
from compat.rulebook.rules import ParsedRule
from tests.engine.made import exact
from tests.engine.made_lines import site_of
from tests.engine.test_lines import line_of, row

STATED: dict[str, Content] = {
    "wanted_control": "dimmed",
    "wanted_dim_floor_percent": exact(10),
    "wanted_off_by_control": True,
    "wanted_colour_control": False,
    "wanted_individual_control": False,
    "neutral_at_control": True,
    "control_pair_selv": False,
}


def checked(
    dataset: Dataset, rules: list[ParsedRule], driver: str, output: str, count: int = 4, **stated: Content
) -> CircuitReport:
    """One circuit of some drivers of the dataset on an output."""
    wishes = {name: Trait(content) for name, content in {**STATED, **stated}.items()}
    of_circuit = ScheduleRow(
        1, "A", count, luminaire_type="T", driver_id=driver, output_id=output, circuit_traits=wishes
    )
    return report_of(dataset, rules, of_circuit).circuits[0]


def report_of(dataset: Dataset, rules: list[ParsedRule], *rows: ScheduleRow) -> Report:
    return Check(dataset, rules, read_setting(dataset, None, None)).report(Schedule("a.csv", "", rows))


def verdicts(report: CircuitReport) -> dict[str, str]:
    return {finding.slug: finding.verdict for finding in report.findings}


def of_line(
    dataset: Dataset, rules: list[ParsedRule], *rows: ScheduleRow, **stated: Content
) -> dict[str, str]:
    judged = judge_line(line_of(dataset, *rows, **stated), rules, site_of(dataset), dataset)
    return {entry.finding.slug: entry.finding.verdict for entry in judged}


DALI: dict[str, Content] = {
    "methods": TokenSet.exactly("dali", "switched"),
    "dali_addresses": exact(1),
    "dali_device_type": "type_6",
}
ANALOG: dict[str, Content] = {
    "methods": TokenSet.exactly("analog_0_10v", "switched"),
    "control_current_ma": exact(1),
    "control_current_direction": "sources",
    "control_full_output_v": exact(10),
    "control_insulation": "selv",
    "dim_floor_percent": exact(1),
}


def on(output: str, made: ScheduleRow) -> ScheduleRow:
    from dataclasses import replace

    return replace(made, output_id=output)


def test_a11_two_channel_gear_by_broadcast_has_no_colour(dataset: Dataset, rules: list[ParsedRule]) -> None:
    found = verdicts(checked(dataset, rules, "D0038", "O0046", wanted_colour_control=True))
    assert found["colour-by-broadcast-without-type-8"] == "fails"
    found = verdicts(checked(dataset, rules, "D0039", "O0046", wanted_colour_control=True))
    assert found["colour-by-broadcast-without-type-8"] == "works"


def test_a12_off_by_signal_below_what_the_control_reaches(dataset: Dataset, rules: list[ParsedRule]) -> None:
    assert verdicts(checked(dataset, rules, "D0045", "O0033"))["off-threshold-not-reached"] == "fails"
    assert verdicts(checked(dataset, rules, "D0045", "O0031"))["off-threshold-not-reached"] == "works"
    assert "off-threshold-not-reached" not in verdicts(checked(dataset, rules, "D0045", "O0029"))


def test_a13_the_largest_footprint_and_not_the_average(dataset: Dataset, rules: list[ParsedRule]) -> None:
    traits: dict[str, Content] = {"methods": TokenSet.exactly("dmx", "switched")}
    rows = [
        on("O0048", row(n, "A", quantity, {**traits, "dmx_slots": exact(slots)}))
        for n, (quantity, slots) in enumerate([(11, 1), (1, 8)], 1)
    ]
    (circuit,) = report_of(dataset, rules, *rows).circuits
    assert verdicts(circuit)["footprint-above-slots"] == "fails"


@pytest.mark.parametrize(
    ("driver", "floor", "verdict"),
    [("D0057", 0.2, "works"), ("D0055", 0.2, "marginal"), ("D0055", 1.0, "works")],
)
def test_a13_bits_and_curve_decide_the_lowest_step(
    driver: str, floor: float, verdict: str, dataset: Dataset, rules: list[ParsedRule]
) -> None:
    found = verdicts(checked(dataset, rules, driver, "O0047", wanted_dim_floor_percent=exact(floor)))
    assert found["level-steps-visible"] == verdict
    assert "output-floor-above-wanted" not in found


def test_a14_control_devices_without_their_current_are_not_nothing(
    dataset: Dataset, rules: list[ParsedRule]
) -> None:
    supply: dict[str, Content] = {"dali_supply_guaranteed_ma": exact(250)}
    one = row(1, "A", 10, DALI)
    slug = "dali-line-current-above-guaranteed"
    assert of_line(dataset, rules, one, **supply, dali_control_device_addresses=exact(8))[slug] == "unproven"
    assert (
        of_line(dataset, rules, one, **supply, dali_control_device_addresses=exact(0),
                dali_control_device_current_ma=exact(0))[slug] == "works"
    )  # fmt: skip


def test_a14_wiring_taken_as_good_is_told(dataset: Dataset, rules: list[ParsedRule]) -> None:
    dmx: dict[str, Content] = {"methods": TokenSet.exactly("dmx", "switched"), "dmx_slots": exact(3)}
    report = report_of(dataset, rules, row(1, "A", 4, dmx))
    (told,) = [note for note in report.notes if "Nobody states the wiring of line L1" in note]
    assert "terminator" in told
    assert "splitters only" in told


def test_a15_a_line_takes_what_its_output_states(dataset: Dataset, rules: list[ParsedRule]) -> None:
    line = line_of(dataset, on("O0038", row(1, "A", 4, ANALOG)))
    content = {name: trait.content for name, trait in line.column_traits.items()}
    assert content["output_direction"] == "sinks"
    assert content["output_insulation"] == "selv"
    assert content["control_current_max_ma"] == exact(30)
    assert content["switches_mains"] is True
    bus = line_of(dataset, on("O0044", row(1, "A", 4, DALI)))
    assert bus.values["line.dali_addressing"] == "addressed"
    assert bus.values["line.dali_supply_guaranteed_ma"] == exact(240)
    assert bus.values["line.dali_supply_max_ma"] == Interval(240, 250)
    nothing: dict[str, Content] = {
        "dali_control_device_addresses": exact(0),
        "dali_control_device_current_ma": exact(0),
    }
    found = of_line(dataset, rules, on("O0044", row(1, "A", 4, DALI)), **nothing)
    assert found["dali-line-current-above-guaranteed"] == "works"


def test_a15_contradictions_are_findings(dataset: Dataset, rules: list[ParsedRule]) -> None:
    broadcast = on("O0040", row(1, "A", 4, DALI))
    found = of_line(dataset, rules, broadcast, dali_addressing="addressed")
    assert found["dali-line-addressing-contradicted"] == "fails"
    two = (on("O0041", row(1, "A", 4, DALI)), on("O0042", row(2, "B", 4, DALI)))
    assert of_line(dataset, rules, *two)["line-several-controllers"] == "unproven"
    assert of_line(dataset, rules, *two, controllers_may_share=False)["line-several-controllers"] == "fails"
    pair = (on("O0031", row(1, "A", 4, ANALOG)), on("O0035", row(2, "B", 4, ANALOG)))
    assert of_line(dataset, rules, *pair)["pair-controls-of-both-directions"] == "fails"


def test_a16_fades_go_by_the_version_of_the_gear(dataset: Dataset, rules: list[ParsedRule]) -> None:
    slug, wanted = "dali-line-fade-above-version-1-longest", exact(300)
    gear = row(1, "A", 4, {**DALI, "dali_version": "version_2"})
    assert slug not in of_line(dataset, rules, gear, dali_version="version_1", fade_time_wanted_s=wanted)
    gear = row(1, "A", 4, {**DALI, "dali_version": "version_1"})
    assert of_line(dataset, rules, gear, dali_version="version_2", fade_time_wanted_s=wanted)[slug] == "fails"


def test_a16_limits_of_the_fades_are_those_of_the_codes(rules: list[ParsedRule]) -> None:
    text = {rule.rule.slug: rule.rule.at_most or rule.rule.at_least for rule in rules}
    longest, shortest = control_levels.fade_time_s(15), control_levels.fade_time_s(1)
    assert text["dali-line-fade-above-version-1-longest"] == f"s({longest:.2f})"
    assert text["dali-line-fade-below-version-1-shortest"] == f"s({shortest:.3f})"
    assert text["dali-line-fade-above-longest"] == f"s({control_levels.extended_fade_s(16, 60.0):g})"


def test_a17_safe_pairs_are_kept_apart_from_the_mains(dataset: Dataset, rules: list[ParsedRule]) -> None:
    slug = "pair-not-separated-from-mains"
    beside = checked(dataset, rules, "D0045", "O0030", control_pair_selv=True, control_pair_separated=False)
    assert verdicts(beside)[slug] == "hazard"
    silent = checked(dataset, rules, "D0045", "O0030", control_pair_selv=True)
    assert verdicts(silent)[slug] == "unproven"
    assert slug not in verdicts(checked(dataset, rules, "D0045", "O0030"))


def test_a17_dali_as_class_2_is_no_hazard_by_a_european_rule(
    dataset: Dataset, rules: list[ParsedRule]
) -> None:
    marked = on("O0074", row(1, "A", 4, {**DALI, "control_insulation": "selv"}))
    stated: Mapping[str, Content] = {
        "nec_class_2": True, "separated_from_mains": True, "wired_as_selv": True, "mains_rated_cable": False,
    }  # fmt: skip
    found = of_line(dataset, rules, marked, **stated)
    assert "hazard" not in found.values()
    assert found["dali-line-class-2-with-basic-gear"] == "works"
    basic = on("O0074", row(1, "A", 4, {**DALI, "control_insulation": "basic"}))
    assert of_line(dataset, rules, basic, **stated)["dali-line-class-2-with-basic-gear"] == "hazard"
    # Terminals marked for class 2 are safe without the code as well; unmarked ones are not.
    unsaid = {**stated, "nec_class_2": False}
    assert of_line(dataset, rules, marked, **unsaid)["dali-line-wired-as-selv"] == "works"
    assert of_line(dataset, rules, basic, **unsaid)["dali-line-wired-as-selv"] == "hazard"
    silent = row(1, "A", 4, DALI)
    assert of_line(dataset, rules, silent, **unsaid)["dali-line-wired-as-selv"] == "hazard"


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
    from dataclasses import replace

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
    assert of_line(dataset, rules, *warm)["line-dim-to-warm-beside-others"] == "marginal"


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


@pytest.mark.parametrize(
    ("output", "verdict"), [("O0031", "works"), ("O0033", "fails"), ("O0071", "marginal")]
)
def test_a12_an_unstated_threshold_is_bounded_by_what_is_usual(
    output: str, verdict: str, dataset: Dataset, rules: list[ParsedRule]
) -> None:
    gear = row(1, "A", 4, {**ANALOG, "off_by_control_signal": True}, wanted_off_by_control=True)
    (circuit,) = report_of(dataset, rules, on(output, gear)).circuits
    assert verdicts(circuit)["off-threshold-not-reached"] == verdict
