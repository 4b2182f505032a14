"""How a circuit gets its traits from its rows, and what of it is not known."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

import compat
from compat.dataset.read import Dataset
from compat.engine.gather import Circuit, gather_circuits
from compat.model.schedule import Schedule, ScheduleRow
from compat.model.values import Content, Interval, TokenSet, Trait
from tests.engine.made import circuit, exact, perhaps, row, site

EVERY = "every word of the list"


def values(dataset: Dataset, *rows: tuple[int, dict[str, Content]]) -> dict[str, Content]:
    made = circuit(
        dataset, *(row(place, count, traits) for place, (count, traits) in enumerate(rows, start=2))
    )
    return {name.removeprefix("circuit."): value for name, value in made.values.items()}


QUANTITIES = [
    # trait of the driver, trait of the circuit, rows as (quantity, value), what the circuit has
    ("input_power_w", "input_power_w", [(3, Interval(9, 11)), (2, exact(5))], Interval(37, 43)),
    ("input_power_w", "input_power_w", [(1, exact(0.1)), (2, exact(0.1))], exact(0.1 * 3)),
    ("input_power_w", "input_power_w", [(3, Interval(9, 11)), (2, None)], None),
    ("input_power_w", "input_power_w", [(3, None)], None),
    ("input_power_w", "input_power_w", [(1, exact(0))], exact(0)),
    ("dali_addresses", "dali_addresses", [(60, exact(1)), (5, exact(2))], exact(70)),
    ("dim_floor_percent", "dim_floor_percent", [(3, Interval(1, 5)), (9, Interval(2, 3))], Interval(2, 5)),
    ("dim_floor_percent", "dim_floor_percent", [(3, Interval(1, 5)), (9, None)], None),
    ("input_voltage_min_v", "input_voltage_min_v", [(1, exact(198)), (1, exact(207))], exact(207)),
    ("input_voltage_max_v", "input_voltage_max_v", [(1, exact(264)), (1, exact(253))], exact(253)),
    (
        "input_voltage_max_v",
        "input_voltage_max_v",
        [(1, Interval(240, 260)), (1, Interval(250, 255))],
        Interval(240, 255),
    ),
    ("input_voltage_max_v", "input_voltage_max_v", [(1, exact(264)), (1, None)], None),
    ("inrush_peak_a", "inrush_peak_a", [(3, Interval(10, 12)), (2, Interval(20, 25))], Interval(20, 86)),
    ("inrush_peak_a", "inrush_peak_a", [(1, Interval(10, 12))], Interval(10, 12)),
    ("inrush_peak_a", "inrush_peak_a", [(3, Interval(10, 12)), (2, None)], None),
]


@pytest.mark.parametrize(("of", "into", "rows", "expected"), QUANTITIES)
def test_quantities(
    of: str, into: str, rows: list[tuple[int, Content]], expected: Content, dataset: Dataset
) -> None:
    """Sums count every driver; the least, the greatest and the largest single one look at types only."""
    found = values(dataset, *((count, {of: value}) for count, value in rows))[into]
    if isinstance(expected, Interval):
        assert isinstance(found, Interval)
        assert math.isclose(found.low, expected.low, rel_tol=1e-12, abs_tol=1e-12)
        assert math.isclose(found.high, expected.high, rel_tol=1e-12, abs_tol=1e-12)
    else:
        assert found is None


def test_a_sum_beyond_all_numbers_is_not_known(dataset: Dataset) -> None:
    assert values(dataset, (2, {"input_power_w": exact(1.7e308)}))["input_power_w"] is None


SETS: list[tuple[str, str, list[Content], Content]] = [
    ("load_type", "load_types", ["motor", "incandescent"], perhaps("motor", "incandescent")),
    ("load_type", "load_types", ["motor", "motor"], perhaps("motor")),
    ("load_type", "load_types", ["motor", None], EVERY),
    ("methods", "methods", [perhaps("dali", "switched"), perhaps("dali", "dmx")], perhaps("dali")),
    ("methods", "methods", [perhaps("dali"), perhaps("dmx")], perhaps()),
    (
        "methods",
        "methods",
        [perhaps("dali", maybe=("dmx",)), perhaps("dmx", "dali")],
        perhaps("dali", maybe=("dmx",)),
    ),
    ("methods", "methods", [perhaps("dali", "dmx"), None], perhaps(maybe=("dali", "dmx"))),
    ("methods", "methods", [perhaps("dali")], perhaps("dali")),
]


@pytest.mark.parametrize(("of", "into", "contents", "expected"), SETS)
def test_sets(of: str, into: str, contents: list[Content], expected: Content, dataset: Dataset) -> None:
    """``some`` joins what any row has, ``every`` keeps what all rows have; an unknown row opens the set."""
    found = values(dataset, *((1, {of: content}) for content in contents))[into]
    if expected == EVERY:
        known = {content for content in contents if isinstance(content, str)}
        every = frozenset(dataset.vocabulary.choices[dataset.vocabulary.traits[f"driver.{of}"].choices])
        assert found == TokenSet(frozenset(known), every)
    else:
        assert found == expected


YES_NO = [
    ("off_by_control_signal", [True, True], True),
    ("off_by_control_signal", [True, False], False),
    ("off_by_control_signal", [True, None], None),
    ("off_by_control_signal", [False, None], False),
    ("off_by_control_signal", [None], None),
    ("emergency", [False, False], False),
    ("emergency", [True, False], True),
    ("emergency", [True, None], True),
    ("emergency", [False, None], None),
    ("emergency", [None, None], None),
]


@pytest.mark.parametrize(("name", "contents", "expected"), YES_NO)
def test_yes_or_no(name: str, contents: list[Content], expected: bool | None, dataset: Dataset) -> None:
    """``all`` is settled by one no, ``any`` by one yes; otherwise an unknown row leaves it open."""
    assert values(dataset, *((1, {name: content}) for content in contents))[name] is expected


def types(dataset: Dataset, *rows: ScheduleRow) -> Content:
    return circuit(dataset, *rows).values["circuit.driver_types"]


def test_driver_types(dataset: Dataset) -> None:
    """Different drivers are surely different types; rows that may be alike leave a range."""
    power = {"input_power_w": exact(5.0)}
    assert types(dataset, row(2, 4, driver_id="D0001")) == exact(1)
    assert types(dataset, row(2, 4, driver_id="D0001"), row(3, 1, driver_id="D0001")) == exact(1)
    assert types(dataset, row(2, 4, driver_id="D0001"), row(3, 1, driver_id="D0002")) == exact(2)
    assert types(dataset, row(2, 4, driver_id="D0001"), row(3, 1, power, driver_id="D0001")) == Interval(1, 2)
    assert types(dataset, row(2, 4, luminaire_type="A"), row(3, 1, luminaire_type="A")) == exact(1)
    assert types(dataset, row(2, 4, luminaire_type="A"), row(3, 1, luminaire_type="B")) == Interval(1, 2)
    assert types(dataset, row(2, 4), row(3, 4)) == Interval(1, 2)
    assert types(dataset, row(2, 4, driver_id="D0001"), row(3, 4), row(4, 1, driver_id="D0002")) == Interval(
        2, 3
    )


def test_driver_count_is_exact(dataset: Dataset) -> None:
    assert values(dataset, (3, {}), (4, {}))["driver_count"] == exact(7)


def test_columns_come_from_the_first_row_that_states_them_and_then_from_the_defaults(
    dataset: Dataset,
) -> None:
    stated = row(3, 1, column={"wanted_control": "dimmed"})
    made = circuit(
        dataset, row(2, 1), stated, defaults={"wanted_control": "switched", "neutral_at_control": True}
    )
    assert made.values["circuit.wanted_control"] == "dimmed"
    assert made.column_traits["wanted_control"] is stated.circuit_traits["wanted_control"]
    assert made.values["circuit.neutral_at_control"] is True
    assert made.values["circuit.wanted_colour_control"] is None
    assert made.column_traits["wanted_colour_control"] == Trait(None)


def test_a_row_goes_before_the_entry_of_its_driver(dataset: Dataset) -> None:
    entry = dataset.tables["drivers"]["D0001"].traits
    made = circuit(dataset, row(2, 1, {"dim_floor_percent": exact(1.0)}, driver_id="D0001"))
    assert made.values["circuit.dim_floor_percent"] == exact(1.0)
    assert made.values["circuit.input_power_w"] == entry["input_power_w"].content


def test_a_size_that_a_row_states_puts_the_other_sizes_of_the_entry_aside(dataset: Dataset) -> None:
    """60 W stated over a lamp of 6 W must not be judged by the current of 6 W."""
    entry = dataset.tables["drivers"]["D0001"].traits
    factor = entry["power_factor"].content
    assert isinstance(factor, Interval)
    by_power = circuit(dataset, row(2, 10, {"input_power_w": exact(60.0)}, driver_id="D0001")).values
    current = by_power["circuit.input_current_a"]
    assert isinstance(current, Interval)
    assert current.low == pytest.approx(10 * (60.0 / (230.0 * factor.high)), rel=1e-12)
    assert current.high == pytest.approx(10 * (60.0 / (230.0 * factor.low)), rel=1e-12)
    by_current = circuit(dataset, row(2, 10, {"input_current_a": exact(0.5)}, driver_id="D0001")).values
    power = by_current["circuit.input_power_w"]
    assert isinstance(power, Interval)
    assert power.low == pytest.approx(10 * 230 * 0.5 * factor.low)
    assert power.high == pytest.approx(10 * 230 * 0.5 * factor.high)
    unknown_factor = {"input_power_w": exact(60.0), "power_factor": None}
    made = circuit(dataset, row(2, 1, unknown_factor, driver_id="D0001"))
    assert made.values["circuit.input_current_a"] is None
    by_factor = circuit(dataset, row(2, 1, {"power_factor": exact(0.5)}, driver_id="D0001")).values
    current = by_factor["circuit.input_current_a"]
    assert isinstance(current, Interval)
    assert current.high == pytest.approx(6.5 / (230 * 0.5))


def test_current_follows_from_power_and_power_factor(dataset: Dataset) -> None:
    """I = P / (U times the power factor), with the supply's own voltage; never from a part of it."""
    sizes: dict[str, Content] = {"input_power_w": Interval(46.0, 69.0), "power_factor": Interval(0.5, 1.0)}
    current = values(dataset, (2, sizes))["input_current_a"]
    assert isinstance(current, Interval)
    assert (current.low, current.high) == (pytest.approx(0.4, rel=1e-12), pytest.approx(1.2, rel=1e-12))
    assert current.low <= 0.4
    assert current.high >= 1.2
    assert values(dataset, (1, {**sizes, "power_factor": None}))["input_current_a"] is None
    assert values(dataset, (1, {**sizes, "power_factor": Interval(0.0, 1.0)}))["input_current_a"] is None
    assert values(dataset, (1, {**sizes, "input_current_a": exact(0.3)}))["input_current_a"] == exact(0.3)


@pytest.mark.parametrize(
    ("methods", "forbidden"),
    [
        (perhaps("dali"), False),
        (perhaps("switched"), True),
        (perhaps("switched", maybe=("dali",)), None),
        (perhaps("dali", maybe=("dmx",)), False),
        (None, None),
    ],
)
def test_what_takes_no_dimming_method_must_not_be_dimmed(
    methods: Content, forbidden: bool | None, dataset: Dataset
) -> None:
    assert values(dataset, (1, {"methods": methods}))["dimming_forbidden"] is forbidden
    stated = values(dataset, (1, {"methods": methods, "dimming_forbidden": True}))
    assert stated["dimming_forbidden"] is True


# Of figures that no row states these say that there is nothing to compare, or a limit of a standard.
NOT_OF_THE_SITE = {
    "connected_load_share", "connected_least_share", "led_current_share", "protective_current_bound_ma",
}  # fmt: skip


def test_computed_traits_are_not_joined_from_rows(dataset: Dataset) -> None:
    """Without cable, breaker and source there is nothing to compute them from: they are not known."""
    peak: dict[str, Content] = {"inrush_peak_a": exact(10.0), "inrush_width_us": exact(200.0)}
    found = values(dataset, (3, peak))
    computed = [t.name for t in dataset.vocabulary.of_subject("circuit") if t.gather == "computed"]
    assert len(computed) >= 10
    for name in computed:
        definition = dataset.vocabulary.traits[f"circuit.{name}"]
        if "phase" not in name and definition.kind == "quantity" and name not in NOT_OF_THE_SITE:
            assert found.get(name) is None, name


def test_every_way_of_gathering_is_known(dataset: Dataset) -> None:
    ways = {trait.gather for trait in dataset.vocabulary.of_subject("circuit")}
    joined = {"sum", "greatest", "least", "largest_to_sum", "some", "every", "all", "any", "count", "types"}
    assert ways == joined | {"column", "computed"}
    found = set(values(dataset, (1, {})))
    for trait in dataset.vocabulary.of_subject("circuit"):
        assert trait.name in found or trait.gather == "computed"


def test_circuits_are_in_the_order_of_their_first_rows(dataset: Dataset) -> None:
    rows = [
        ScheduleRow(n, name, 1, room=room) for n, name, room in ((2, "B", ""), (3, "A", "x"), (4, "B", "y"))
    ]
    found = gather_circuits(Schedule("made.csv", "", tuple(rows)), dataset, site(dataset).supply, {})
    assert [(entry.id, entry.room, len(entry.members)) for entry in found] == [("B", "y", 2), ("A", "x", 1)]
    assert gather_circuits(Schedule("made.csv", "", ()), dataset, site(dataset).supply, {}) == []


def test_the_output_is_that_of_any_row(dataset: Dataset) -> None:
    assert circuit(dataset, row(2, 1), row(3, 1, output_id="O0001")).output_id == "O0001"
    assert circuit(dataset, row(2, 1)).output_id is None


def test_names_of_members(dataset: Dataset) -> None:
    made: Circuit = circuit(
        dataset, row(2, 1, luminaire_type="Spot"), row(3, 1, driver_id="D0001"), row(4, 1)
    )
    assert [member.name for member in made.members] == [
        "Spot",
        "Integral LED lamp, 6 W, either phase edge",
        "row 4",
    ]


def test_a9_a_stated_peak_leaves_no_generic_width_behind(dataset: Dataset) -> None:
    """The width of the dataset belongs to its own peak; beside a stated one the pulse is not known."""
    driver = dataset.tables["drivers"]["D0034"]
    assert driver.traits["inrush_width_us"].content is not None
    found = circuit(dataset, row(1, 3, {"inrush_peak_a": exact(30.0)}, driver_id="D0034")).members[0].traits
    assert found["inrush_peak_a"].content == exact(30.0)
    assert "inrush_width_us" not in found
    assert "inrush_test_resistance_ohm" not in found


def test_circuits_that_state_the_same_are_told_the_same_in_short_and_in_full(tmp_path: Path) -> None:
    schedule = tmp_path / "alike.csv"
    rows = [
        f"C{n},Room {n % 3},{'GU10 LED' if n % 2 else 'Fan'},{1 + n % 4},9,Trailing edge" for n in range(24)
    ]
    schedule.write_text(
        "\n".join(["Circuit,Room,Luminaire type,Quantity,Watts,Dimming", *rows]), encoding="utf-8"
    )
    brief, full = (compat.check(schedule, brief=shown).to_text() for shown in (True, False))
    assert brief == full
    assert "C23" in brief or "C22 to C23" in brief or "C0 to C23" in brief
