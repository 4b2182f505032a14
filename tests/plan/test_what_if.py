"""What if: two plans side by side, another driver for a type, a kind of the user's own, prices."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from compat import api
from compat.dataset.systems import chosen_systems
from compat.model.faults import BadInput
from compat.model.needs import Needs
from compat.model.values import Interval, Trait
from compat.planning.assignment import OUTPUTS, spare_items
from compat.planning.packer import Capacity, Item, pack
from compat.planning.swap import swapped
from compat.planning.whole_plan import plan_house
from tests.conftest import ROOT

FLAT = Path(__file__).parent / "houses" / "flat.csv"
OWN_KIND = ROOT / "schemas" / "examples" / "valid" / "system.toml"


def test_two_kinds_side_by_side_name_what_differs() -> None:
    one, two = (api.plan(FLAT, system=kind).plan for kind in ("radio-modules", "central-panels"))
    text = api.PlanComparison(("A", "B"), (one, two)).to_text()
    assert "B, installation: It needs new cables; the house is finished and its circuits stay." in text
    lines = [line.split() for line in text.splitlines()]
    assert ["modules", "28", str(sum(module.kind != "hub" for module in two.modules))] in lines
    same = api.PlanComparison(("A", "B"), (one, one)).to_text()
    assert "0 circuits differ." in same


def test_a_plan_of_another_date_is_read_back_equal(tmp_path: Path) -> None:
    plan = api.plan(FLAT, system="radio-modules")
    path = tmp_path / "earlier.json"
    path.write_text(plan.to_json(), encoding="utf-8")
    assert api.is_plan(path)
    assert api.read_plan(path) == plan.plan


def test_a_type_is_swapped_in_all_its_rows_and_nowhere_else() -> None:
    check, schedule = api.open_schedule(FLAT, api.Inputs())
    found = swapped(schedule, "downlight=D0018", check.dataset, None)
    for before, after in zip(schedule.rows, found.rows, strict=True):
        expected = "D0018" if before.luminaire_type == "Downlight" else before.driver_id
        assert (after.driver_id, after.quantity) == (expected, before.quantity)
    plan = api.plan(FLAT, system="radio-modules", swap="Downlight=D0018").plan
    downlights = {row.circuit for row in schedule.rows if row.luminaire_type == "Downlight"}
    assert {entry.circuit for entry in plan.left_out} == downlights  # D0018 is not dimmable


@pytest.mark.parametrize("swap", ["Downlight", "=D0018", "Chandelier=D0018", "Downlight=nothing of the kind"])
def test_a_swap_that_is_unclear_is_refused(swap: str) -> None:
    check, schedule = api.open_schedule(FLAT, api.Inputs())
    with pytest.raises(BadInput):
        swapped(schedule, swap, check.dataset, None)


def test_a_kind_of_the_users_own() -> None:
    plan = api.plan(FLAT, system=str(OWN_KIND)).plan
    assert plan.system == "example-panel"
    assert {module.kind for module in plan.modules} == {"dimmer-4", "hub"}
    # A03 is only switched, by a driver that no dimmer may feed; the kind has no relay.
    assert "A03" in {entry.circuit for entry in plan.left_out}


def test_the_limit_of_devices_decides_at_its_edge() -> None:
    """43 devices: 28 circuits, 12 wall controls, 2 sensors and the hub, counted by hand."""
    check, schedule = api.open_schedule(FLAT, api.Inputs())
    (kind,) = chosen_systems(check.dataset, "radio-modules")
    needs = check.setting.project.needs
    assert needs is not None
    for limit, verdict in ((43.0, "works"), (42.0, "fails")):
        held = Trait(Interval(limit, limit), "declared")
        own = replace(kind, traits={**kind.traits, "devices_per_hub": held})
        plan = plan_house(check, schedule, [own], needs)
        found = next(f for f in plan.fits[0].heads[0].findings if f.slug == "devices-above-system")
        assert found.verdict == verdict


def test_cost_is_told_only_where_every_part_has_a_price() -> None:
    check, schedule = api.open_schedule(FLAT, api.Inputs())
    needs = check.setting.project.needs
    assert needs is not None
    kinds = chosen_systems(check.dataset, "radio-modules")
    prices = {"radio-dimmer": 50.0, "radio-switch": 40.0, "wall_control": 30.0, "sensor": 20.0, "hub": 100.0}
    full = plan_house(check, schedule, kinds, replace(needs, prices=prices))
    assert full.fits[0].cost == 23 * 50 + 5 * 40 + 12 * 30 + 2 * 20 + 100
    del prices["sensor"]
    assert plan_house(check, schedule, kinds, replace(needs, prices=prices)).fits[0].cost is None
    assert plan_house(check, schedule, kinds, Needs()).fits[0].cost is None


@pytest.mark.parametrize(
    ("circuits", "spare", "each", "modules"),
    [
        (47, 0.20, 8, 8),  # 56.4 outputs; derived, 20 % is common practice, no source
        (48, 0.25, 8, 8),  # 60 outputs in 8, of which 7 would hold 56
        (40, 0.25, 10, 5),  # 50 outputs fill five of ten
        (41, 0.25, 10, 6),
    ],
)
def test_spare_outputs_are_counted_over_all_modules(
    circuits: int, spare: float, each: int, modules: int
) -> None:
    items = [Item(f"c{n}", "m", {OUTPUTS: 1.0}) for n in range(circuits)]
    items += [
        replace(item, weights={OUTPUTS: item.weights[OUTPUTS]}) for item in spare_items(items, "m", spare)
    ]
    packing = pack(items, {"m": {OUTPUTS: Capacity(each)}})
    assert len(packing.bins) == packing.lower_bound == modules
    assert modules == math.ceil(circuits * (1 + spare) / each - 1e-9)
