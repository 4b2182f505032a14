"""Control lines: which circuits share one, what is stated, derived and computed, what the report says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from compat.cli.common import EXIT_FINDINGS, EXIT_FINE, FailOn, exit_code
from compat.dataset.overlay import read_setting
from compat.dataset.read import Dataset
from compat.engine.check import Check
from compat.engine.gather import by_label
from compat.engine.line_report import report_line
from compat.engine.lines import Line, gather_line
from compat.engine.members import Member
from compat.intake.read import read_schedule
from compat.model.report import LineReport, Report
from compat.model.schedule import Schedule, ScheduleRow
from compat.model.values import UNKNOWN, Content, Interval, Origin, TokenSet, Trait
from compat.rulebook.rules import ParsedRule
from tests.conftest import ROOT
from tests.engine.made import exact
from tests.engine.made_lines import line_from, site_of

DALI: dict[str, Content] = {
    "methods": TokenSet.exactly("dali", "switched"),
    "dali_addresses": exact(1),
    "dali_current_ma": exact(2),
    "dali_integrated_supply_ma": exact(0),
}
SUPPLY: dict[str, Content] = {
    "dali_supply_guaranteed_ma": exact(200),
    "dali_supply_max_ma": exact(250),
    "cable_resistance_ohm_per_km": exact(12.1),
    "conductor_temperature_celsius": exact(20),
    "length_to_farthest_m": exact(300),
}


def row(
    number: int,
    circuit: str,
    quantity: int,
    traits: Mapping[str, Content],
    line: str | None = "L1",
    **more: Content,
) -> ScheduleRow:
    return ScheduleRow(
        number,
        circuit,
        quantity,
        luminaire_type=f"T{number}",
        line=line,
        driver_traits={name: Trait(value) for name, value in traits.items()},
        circuit_traits={
            name: Trait(value, origin=Origin("a.csv", line=number)) for name, value in more.items()
        },
        origins={"line": Origin("a.csv", line=number)},
    )


def line_of(dataset: Dataset, *rows: ScheduleRow, **stated: Content) -> Line:
    return line_from("L1", rows, {name: Trait(value) for name, value in stated.items()}, dataset)


def test_rows_of_all_circuits_are_joined(dataset: Dataset) -> None:
    line = line_of(dataset, row(1, "A", 10, DALI), row(2, "A", 2, DALI), row(3, "B", 30, DALI), **SUPPLY)
    assert [circuit.id for circuit in line.circuits] == ["A", "B"]
    assert line.values["line.dali_addresses"] == exact(42)
    assert line.values["line.dali_current_ma"] == exact(84)
    assert line.values["line.driver_count"] == exact(42)
    assert line.values["line.dali_supply_max_ma"] == exact(250)
    assert line.kind == "dali_line"


def test_one_unknown_row_leaves_the_sum_unknown(dataset: Dataset) -> None:
    silent = {**DALI, "dali_addresses": None}
    line = line_of(dataset, row(1, "A", 10, DALI), row(2, "B", 1, silent), **SUPPLY)
    assert line.values["line.dali_addresses"] is None
    assert line.values["line.dali_current_ma"] == exact(22)


def test_gear_that_tells_of_no_bus_supply_has_none(dataset: Dataset) -> None:
    silent = {**DALI, "dali_integrated_supply_ma": None}
    line = line_of(dataset, row(1, "A", 10, DALI), row(2, "B", 1, silent), **SUPPLY)
    assert line.values["line.dali_integrated_supply_ma"] == exact(0)


def test_gear_that_does_not_state_its_current_takes_at_most_2_ma(dataset: Dataset) -> None:
    """IEC 62386-101: control gear takes at most 2 mA from the bus."""
    silent = {**DALI, "dali_current_ma": None}
    line = line_of(dataset, row(1, "A", 10, DALI), row(2, "B", 5, silent), **SUPPLY)
    assert line.values["line.dali_current_ma"] == Interval(20.0, 30.0)


def test_circuits_without_a_label_are_on_no_line(dataset: Dataset) -> None:
    setting = read_setting(dataset, None, None)
    schedule = Schedule(
        "a.csv", "", (row(1, "A", 1, DALI), row(2, "B", 1, DALI, None), row(3, "C", 1, DALI, "L2"))
    )
    circuits = Check(dataset, [], setting).circuits(schedule)
    assert {label: [c.id for c in found] for label, found in by_label(circuits, "line").items()} == {
        "L1": ["A"],
        "L2": ["C"],
    }


ANALOG: dict[str, Content] = {"methods": TokenSet.exactly("analog_0_10v", "switched")}
EITHER: dict[str, Content] = {"methods": TokenSet.exactly("analog_0_10v", "dali", "switched")}


@pytest.mark.parametrize(
    ("rows", "kind"),
    [
        ([DALI], "dali_line"),
        ([ANALOG, EITHER], "analog_pair"),
        ([EITHER], None),
        ([DALI, ANALOG], None),
        ([DALI, {}], "dali_line"),
        ([{}], None),
        ([{"methods": TokenSet(frozenset({"switched"}), frozenset({"switched", "dali"}))}], None),
        ([{"methods": TokenSet.exactly("reverse_phase", "switched")}], None),
    ],
)
def test_kind_follows_from_the_circuits(
    rows: list[Mapping[str, Content]], kind: str | None, dataset: Dataset
) -> None:
    found = line_of(dataset, *(row(n, f"C{n}", 1, traits) for n, traits in enumerate(rows, 1)))
    assert found.kind == kind
    if kind is not None:
        assert found.column_traits["kind"].basis == "derived"


def test_a_named_output_and_the_project_go_before_the_drivers(dataset: Dataset) -> None:
    analog = next(
        o for o in dataset.tables["outputs"].values() if o.traits["method"].content == "analog_0_10v"
    )
    named = replace(row(1, "A", 1, EITHER), output_id=analog.id)
    assert line_of(dataset, named).kind == "analog_pair"
    assert line_of(dataset, named, kind="dmx_segment").kind == "dmx_segment"


def test_wishes_of_the_circuits_hold_for_their_line(dataset: Dataset) -> None:
    rows = (
        row(1, "A", 1, DALI, wanted_colour_control=True, wanted_dim_floor_percent=exact(5)),
        row(2, "B", 1, DALI, wanted_colour_control=None, wanted_dim_floor_percent=exact(5)),
    )
    line = line_of(dataset, *rows)
    assert line.values["line.wanted_colour_control"] is True
    assert line.values["line.wanted_dim_floor_percent"] == exact(5)
    assert line.values["line.wanted_individual_control"] is None
    assert line_of(dataset, *rows, wanted_dim_floor_percent=exact(1)).values[
        "line.wanted_dim_floor_percent"
    ] == exact(1)
    differing = line_of(dataset, rows[0], row(2, "B", 1, DALI, wanted_dim_floor_percent=exact(1)))
    assert differing.values["line.wanted_dim_floor_percent"] is None


def test_defaults_come_last(dataset: Dataset) -> None:
    defaults = {"wanted_dim_floor_percent": Trait(exact(100)), "closed_ring": Trait(False)}
    circuits = line_of(dataset, row(1, "A", 1, DALI, wanted_dim_floor_percent=exact(5))).circuits
    line = gather_line("L1", circuits, dataset, {"closed_ring": Trait(True)}, defaults)
    assert line.values["line.wanted_dim_floor_percent"] == exact(5)
    assert line.values["line.closed_ring"] is True


def test_resistance_follows_from_a_nominal_cross_section(dataset: Dataset) -> None:
    line = line_of(dataset, row(1, "A", 1, DALI), cable_cross_section_mm2=Interval(0.75, 1.5))
    assert line.values["line.cable_resistance_ohm_per_km"] == Interval(12.1, 24.5)
    assert line.column_traits["cable_resistance_ohm_per_km"].basis == "standard"
    between = line_of(dataset, row(1, "A", 1, DALI), cable_cross_section_mm2=exact(1.2))
    assert between.values["line.cable_resistance_ohm_per_km"] is None


def test_dali_drop_and_time(dataset: Dataset) -> None:
    line = line_of(dataset, row(1, "A", 64, DALI), **SUPPLY)
    assert line.values["line.dali_voltage_drop_v"] == exact(pytest.approx(2 * 12.1 / 1000 * 300 * 0.25))
    time = line.values["line.dali_one_by_one_s"]
    assert isinstance(time, Interval)
    assert time.low < 1.81 < time.high
    for silent in ("dali_supply_max_ma", "length_to_farthest_m", "conductor_temperature_celsius"):
        open_line = line_of(dataset, row(1, "A", 64, DALI), **{**SUPPLY, silent: None})
        assert open_line.values["line.dali_voltage_drop_v"] is None, silent


PAIR: dict[str, Content] = {
    **ANALOG,
    "control_current_ma": exact(2),
    "control_current_direction": "sources",
    "dim_floor_percent": exact(10),
    "control_full_output_v": exact(10),
}
WIRE: dict[str, Content] = {
    "cable_resistance_ohm_per_km": exact(36),
    "conductor_temperature_celsius": exact(20),
    "length_to_farthest_m": exact(100),
}


def test_voltage_rise_runs_from_spread_to_lumped(dataset: Dataset) -> None:
    line = line_of(dataset, row(1, "A", 25, PAIR), **WIRE)
    rise, error = line.values["line.voltage_rise_v"], line.values["line.level_error_percent"]
    assert isinstance(rise, Interval)
    assert isinstance(error, Interval)
    assert (rise.low, rise.high) == pytest.approx((0.1872, 0.36))
    assert (error.low, error.high) == pytest.approx((1.872, 3.6))


@pytest.mark.parametrize(("direction", "ends"), [("sinks", (0.0, 0.0)), (None, (0.0, 0.36))])
def test_only_drivers_that_source_lift_the_voltage(
    direction: str | None, ends: tuple[float, float], dataset: Dataset
) -> None:
    line = line_of(dataset, row(1, "A", 25, {**PAIR, "control_current_direction": direction}), **WIRE)
    rise = line.values["line.voltage_rise_v"]
    assert isinstance(rise, Interval)
    assert (rise.low, rise.high) == pytest.approx(ends)


def test_universes_of_a_line(dataset: Dataset) -> None:
    traits: dict[str, Content] = {"methods": TokenSet.exactly("dmx", "switched"), "dmx_slots": exact(4)}
    line = line_of(dataset, row(1, "A", 100, traits), row(2, "B", 50, traits))
    assert line.values["line.dmx_universes_needed"] == exact(2)
    assert line.values["line.dmx_slots"] == exact(600)
    assert line.values["line.dmx_refresh_hz"] == exact(pytest.approx(44.099, abs=1e-3))


def report_of(line: Line, rules: list[ParsedRule], dataset: Dataset) -> LineReport:
    return report_line(line, rules, site_of(dataset), dataset)


def test_the_report_tells_the_binding_limit_first(dataset: Dataset, rules: list[ParsedRule]) -> None:
    rows = (row(1, "A", 60, DALI), row(2, "B", 10, DALI))
    line = line_of(dataset, *rows, **SUPPLY, dali_addressing="addressed")
    report = report_of(line, rules, dataset)
    assert (report.line, report.kind, report.circuits) == ("L1", "DALI line", ["A", "B"])
    assert report.verdict == "fails"
    shares = [limit.share_percent for limit in report.limits if limit.share_percent is not None]
    assert shares == sorted(shares, reverse=True)
    addresses = next(limit for limit in report.limits if limit.label == "DALI addresses of control gear")
    assert (addresses.used.high, addresses.limit.low) == (70, 64)
    assert addresses.share_percent == pytest.approx(100 * 70 / 64)
    broken = next(finding for finding in report.findings if finding.rule == addresses.rule)
    assert broken.verdict == "fails"
    assert set(broken.remedies) <= set(report.remedies)


def test_what_counts_as_equal_fills_the_limit_and_no_more(dataset: Dataset, rules: list[ParsedRule]) -> None:
    """0.1 mA three times is a hair above 0.3 mA; the rule holds, so the share is 100 %."""
    tenth = {**DALI, "dali_current_ma": exact(0.1)}
    stated = {**SUPPLY, "dali_supply_guaranteed_ma": exact(0.3), "dali_control_device_current_ma": exact(0)}
    line = line_of(dataset, row(1, "A", 3, tenth), **stated)
    report = report_of(line, rules, dataset)
    limit = next(entry for entry in report.limits if entry.label == "guaranteed bus supply")
    assert limit.used.high is not None
    assert limit.used.high > 0.3
    assert limit.share_percent == 100
    assert next(f for f in report.findings if f.rule == limit.rule).verdict == "works"


def test_an_open_line_asks_for_what_is_open(dataset: Dataset, rules: list[ParsedRule]) -> None:
    report = report_of(
        line_of(dataset, row(1, "A", 5, DALI), **{**SUPPLY, "length_to_farthest_m": None}), rules, dataset
    )
    assert report.verdict == "unproven"
    asked = next(q for q in report.questions if q.name == "line.dali_voltage_drop_v")
    assert "length to the farthest device: the wiring plan" in asked.where_to_find
    assert asked.about == []
    open_limits = [limit for limit in report.limits if limit.share_percent is None]
    assert open_limits
    assert report.limits[-len(open_limits) :] == open_limits


def test_a_question_about_drivers_names_them(dataset: Dataset, rules: list[ParsedRule]) -> None:
    silent = {**DALI, "dali_addresses": None}
    report = report_of(
        line_of(dataset, row(1, "A", 5, DALI), row(2, "B", 5, silent), **SUPPLY), rules, dataset
    )
    asked = next(q for q in report.questions if q.name == "driver.dali_addresses")
    assert asked.about == ["T2"]


@pytest.fixture(scope="module")
def demo(dataset: Dataset, rules: list[ParsedRule]) -> Report:
    folder = ROOT / "datasets" / "demo"
    setting = read_setting(dataset, folder / "house.toml", None)
    tables = dataset.tables
    schedule = read_schedule(
        folder / "house.csv", dataset.vocabulary, tables["drivers"], tables["outputs"], None
    )
    return Check(dataset, rules, setting).report(schedule)


def test_the_demo_shows_every_kind_of_outcome(demo: Report) -> None:
    verdicts = {entry.line: entry.verdict for entry in demo.lines}
    assert {"works", "marginal", "unproven", "fails"} <= set(verdicts.values())
    assert {entry.kind for entry in demo.lines} == {"DALI line", "DMX line", "analogue pair"}
    named = {circuit.circuit for circuit in demo.circuits}
    assert all(set(entry.circuits) <= named for entry in demo.lines)
    assert not any(entry.proposed for entry in demo.lines)


def test_findings_of_a_line_say_where_values_stand(demo: Report) -> None:
    line = next(entry for entry in demo.lines if entry.line == "D1")
    places = [value.place for finding in line.findings for value in finding.inputs if value.place]
    assert any(place.key == "lines.D1.dali_supply_max_ma" and place.line for place in places)
    assert any(place.file == "defaults.toml" for place in places)


def test_lines_count_for_the_exit_code(demo: Report) -> None:
    failing = [entry for entry in demo.lines if entry.verdict == "fails"]
    alone = demo.model_copy(update={"circuits": []})
    assert exit_code(alone, FailOn.fails) == EXIT_FINDINGS
    assert exit_code(alone.model_copy(update={"lines": []}), FailOn.fails) == EXIT_FINE
    rest = [entry for entry in demo.lines if entry not in failing]
    assert exit_code(alone.model_copy(update={"lines": rest}), FailOn.fails) == EXIT_FINE
    assert exit_code(alone.model_copy(update={"lines": rest}), FailOn.marginal) == EXIT_FINDINGS


def test_a_line_that_no_circuit_is_on_is_noted(dataset: Dataset) -> None:
    setting = read_setting(dataset, ROOT / "datasets" / "demo" / "house.toml", None)
    report = Check(dataset, [], setting).report(Schedule("a.csv", "", (row(1, "A", 1, DALI, "D1"),)))
    unused = [note for note in report.notes if "no circuit is on it" in note]
    assert len(unused) == len(setting.lines) - 1
    assert not any("line D1," in note for note in unused)


def test_column_line_is_read_and_must_agree(tmp_path: object, dataset: Dataset) -> None:
    from pathlib import Path

    from compat.model.faults import BadInput

    path = Path(str(tmp_path)) / "house.csv"
    path.write_text("Circuit,Quantity,DALI line\nA,1,L1\nA,2,\nB,1,L2\n", encoding="utf-8")
    schedule = read_schedule(path, dataset.vocabulary, {}, {}, None)
    assert [r.line for r in schedule.rows] == ["L1", None, "L2"]
    path.write_text("Circuit,Quantity,Line\nA,1,L1\nA,2,L2\n", encoding="utf-8")
    with pytest.raises(BadInput, match="has the line 'L2' here and 'L1'"):
        read_schedule(path, dataset.vocabulary, {}, {}, None)


def test_a_member_without_traits_leaves_its_name(dataset: Dataset) -> None:
    line = line_of(dataset, row(1, "A", 1, {}))
    (member,) = line.members
    assert isinstance(member, Member)
    assert member.name == "T1"
    assert line.column_traits["closed_ring"] == UNKNOWN
