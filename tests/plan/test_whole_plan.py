"""A plan as a whole: what a designer would choose, limits kept, everything placed once, the same every run.

The choice for each house was written down with its reasons before the program was asked.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from compat import api
from compat.dataset.read import Dataset
from compat.dataset.systems import SystemKind, chosen_systems, read_systems
from compat.engine.check import Check
from compat.model.needs import Needs, PanelPlace, Sensor, WallControl
from compat.model.plan import Plan
from compat.model.schedule import Schedule
from compat.planning.whole_plan import plan_house
from tests.conftest import ROOT

HOUSES = Path(__file__).parent / "houses"
DEMO = ROOT / "datasets" / "demo" / "house.csv"
KINDS = (
    "stand-alone-dimmers", "radio-modules", "radio-switch-boxes", "dali-controller", "distributed-modules",
    "central-panels", "dali-and-phase", "wired-core-and-radio",
)  # fmt: skip


@pytest.fixture(scope="module")
def villa() -> tuple[Check, Schedule]:
    return api.open_schedule(HOUSES / "villa.csv", api.Inputs())


@pytest.fixture(scope="module")
def demo() -> tuple[Check, Schedule]:
    return api.open_schedule(DEMO, api.Inputs())


@pytest.mark.parametrize(
    ("schedule", "system", "why"),
    [
        (
            HOUSES / "flat.csv",
            "radio-modules",
            "The flat is finished, so no new cables; no neutral in the boxes, so no dimmers there; scenes, a "
            "sunset clock and a lived-in look rule out dimmers that stand alone. 28 circuits, 12 wall "
            "controls, 2 sensors and the hub are 43 devices of 100. The owner changes things, and adds some.",
        ),
        (
            HOUSES / "villa.csv",
            "central-panels",
            "A new build with a plant room, so cables go where they are wanted. Phase cut, relays and 0-10 V "
            "only, so no DALI lines to program. 110 circuits, 34 wall controls are too many for one radio "
            "hub.",
        ),
        (
            DEMO,
            "dali-and-phase",
            "The house has phase cut, relays, 0-10 V, DALI lines and DMX: only panels with all of these hold "
            "it, and nothing in it asks for radio besides.",
        ),
    ],
)
def test_the_choice_of_a_designer(schedule: Path, system: str, why: str) -> None:
    plan = api.plan(schedule).plan
    assert plan.system == system, why
    assert plan.fits[0].holds == "yes"
    assert plan.questions == []


def test_the_flat_is_counted_as_a_designer_does() -> None:
    fit = api.plan(HOUSES / "flat.csv", system="radio-modules").plan.fits[0]
    devices = next(f for f in fit.heads[0].findings if f.slug == "devices-above-system")
    assert [(part.count, part.label) for part in devices.parts] == [
        (28, "circuits"), (12, "wall controls"), (2, "sensors"), (1, "hub"),
    ]  # fmt: skip
    assert devices.demand is not None
    assert devices.demand.high == 43
    assert devices.spare == 57


def test_devices_past_the_limit_are_told_with_their_parts(villa: tuple[Check, Schedule]) -> None:
    check, schedule = villa
    needs = Needs(wall_control_count=34, sensors=[Sensor(room="Hall")] * 7, shades=[])
    plan = plan_house(check, schedule, chosen_systems(check.dataset, "radio-modules"), needs)
    told = api.PlanResult(plan).to_text()
    assert "152 devices are counted; the system holds 100: 110 circuits, 34 wall controls, 7" in told
    assert plan.fits[0].holds == "no"


def limits_of(plan: Plan, kinds: list[SystemKind]) -> Iterator[str]:
    """What is broken of the limits of modules, panels, slots and addresses."""
    for module in plan.modules:
        on = [circuit for circuit in plan.circuits if circuit.module == module.module and not circuit.line]
        current = sum(circuit.current.high or 0.0 for circuit in on)
        if module.most_current_a is not None and current > module.most_current_a + 1e-9:
            yield f"{module.module} carries {current}"
        if module.used > module.outputs:
            yield f"{module.module} has {module.used} outputs in use"
    for panel in plan.panels:
        if panel.rail_units_free is not None and panel.rail_units_free < 0:
            yield f"{panel.panel} is too small"
    outputs = Counter((c.module, c.output_number) for c in plan.circuits if not c.line)
    yield from (f"{place} is used twice" for place, count in outputs.items() if count > 1)
    addresses = Counter((one.line, one.short_address) for one in plan.dali)
    yield from (f"{place} is given twice" for place, count in addresses.items() if count > 1)
    slots = Counter(
        (one.line, one.universe, slot)
        for one in plan.dmx
        for slot in range(one.start_address, one.end_address + 1)
    )
    yield from (f"slot {place} is used twice" for place, count in slots.items() if count > 1)
    known = {output for kind in kinds for module in kind.file.modules for output in module.outputs}
    yield from (f"{c.circuit} is on {c.output}" for c in plan.circuits if c.output not in known)


@pytest.mark.parametrize("kind", KINDS)
def test_no_limit_is_exceeded_and_every_circuit_is_placed_once(
    kind: str, demo: tuple[Check, Schedule], dataset: Dataset
) -> None:
    check, schedule = demo
    needs = check.setting.project.needs
    assert needs is not None
    plan = plan_house(check, schedule, chosen_systems(dataset, kind), needs)
    assert list(limits_of(plan, chosen_systems(dataset, kind))) == []
    names = [one.circuit for one in (*plan.circuits, *plan.left_out)]
    assert sorted(names) == sorted({row.circuit for row in schedule.rows})
    for circuit in plan.circuits:
        assert circuit.verdict in ("works", "marginal") or circuit.expected in ("works", "marginal")


def test_the_kinds_of_the_dataset_are_all_there(dataset: Dataset) -> None:
    assert {kind.file.slug for kind in read_systems(dataset)} == set(KINDS)


def test_the_order_of_the_rows_changes_nothing(villa: tuple[Check, Schedule]) -> None:
    check, schedule = villa
    needs = check.setting.project.needs
    assert needs is not None
    rows = list(schedule.rows)
    random.Random(1).shuffle(rows)
    kinds = chosen_systems(check.dataset, "central-panels")
    first, second = (
        plan_house(check, one, kinds, needs) for one in (schedule, replace(schedule, rows=tuple(rows)))
    )
    assert places(first) == places(second)
    assert [module.current for module in first.modules] == [module.current for module in second.modules]


def places(plan: Plan) -> dict[str, tuple[str, int, str, str]]:
    return {c.circuit: (c.module, c.output_number, c.panel, c.phase) for c in plan.circuits}


def test_two_runs_give_the_same_bytes() -> None:
    first, second = (api.plan(HOUSES / "flat.csv").to_json() for _ in range(2))
    assert first == second


def test_a_need_that_is_not_known_is_asked_and_never_a_pass(villa: tuple[Check, Schedule]) -> None:
    check, schedule = villa
    kinds = chosen_systems(check.dataset, "radio-modules")
    small = replace(schedule, rows=schedule.rows[:20])
    needs = Needs(wall_controls=[], sensors=[], shades=[], conditions=[], scene_count=0, clocks=[])
    plan = plan_house(check, small, kinds, needs)
    assert plan.fits[0].holds == "open"
    asked = [question.ask for question in plan.questions]
    assert any("farthest room" in ask for ask in asked)
    assert any("new build" in ask for ask in asked)
    assert not any("scenes" in ask and "How many" in ask for ask in asked)


def test_modules_go_in_the_panel_places_or_are_told(villa: tuple[Check, Schedule]) -> None:
    check, schedule = villa
    kinds = chosen_systems(check.dataset, "central-panels")
    sizes = {"A": 130.0, "B": 100.0, "C": 80.0}
    panels = [PanelPlace(name=name, rail_units=size) for name, size in sizes.items()]
    plan = plan_house(check, schedule, kinds, Needs(panels=panels, wall_controls=[]))
    for panel in plan.panels:
        assert panel.rail_units <= sizes[panel.panel]
    assert all(module.panel for module in plan.modules)
    one_less = plan_house(check, schedule, kinds, Needs(panels=panels[:2], wall_controls=[]))
    told = {f.slug for head in one_less.fits[0].heads for f in head.findings if f.verdict == "fails"}
    assert "rail-units-above-panels" in told
    assert any(not module.panel for module in one_less.modules)


def test_rooms_go_to_the_place_that_serves_them(villa: tuple[Check, Schedule]) -> None:
    check, schedule = villa
    rooms = sorted({row.room for row in schedule.rows})
    panels = [
        PanelPlace(name="Ground", rail_units=300, rooms=rooms[::2]),
        PanelPlace(name="First", rail_units=300, rooms=rooms[1::2]),
    ]
    kinds = chosen_systems(check.dataset, "central-panels")
    plan = plan_house(check, schedule, kinds, Needs(panels=panels, wall_controls=[WallControl(name="K1")]))
    served = {room: place.name for place in panels for room in place.rooms}
    assert all(served[circuit.room] == circuit.panel for circuit in plan.circuits)


def test_phases_carry_about_the_same(villa: tuple[Check, Schedule]) -> None:
    check, schedule = villa
    plan = plan_house(check, schedule, chosen_systems(check.dataset, "central-panels"), Needs(phases=3))
    loads = [phase.current.high or 0.0 for phase in plan.phases]
    largest = max(module.current.high or 0.0 for module in plan.modules if module.phase)
    assert len(loads) == 3
    # No phase is above the least loaded one by more than the last module that it got.
    assert max(loads) - min(loads) <= largest + 1e-9
