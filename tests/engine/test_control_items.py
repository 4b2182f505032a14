"""Control, false passes: each fault that readings of the rules found, as a case through the engine."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from compat.dataset.read import Dataset
from compat.model.values import Content, Interval, TokenSet
from compat.physics import control_levels
from compat.rulebook.rules import ParsedRule
from tests.engine.made import exact
from tests.engine.made_controls import ANALOG, DALI, checked, of_line, on, report_of, verdicts
from tests.engine.test_lines import line_of, row


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


@pytest.mark.parametrize(("output", "verdict"), [("O0031", "works"), ("O0033", "fails"), ("O0071", "fails")])
def test_a12_an_unstated_threshold_is_bounded_by_what_is_usual(
    output: str, verdict: str, dataset: Dataset, rules: list[ParsedRule]
) -> None:
    gear = row(1, "A", 4, {**ANALOG, "off_by_control_signal": True}, wanted_off_by_control=True)
    (circuit,) = report_of(dataset, rules, on(output, gear)).circuits
    assert verdicts(circuit)["off-threshold-not-reached"] == verdict
