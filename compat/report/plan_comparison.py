"""Two plans side by side: what they hold, what is built, and which circuits go elsewhere."""

from __future__ import annotations

from collections import Counter

from compat.engine.sentences import rounded
from compat.model.plan import Plan
from compat.report.plan_table import Cell, PlanTable, stamp_of
from compat.report.plan_text import HOLDS, count_text, head_text
from compat.report.states import STATES, state_by

LEFT_OUT = "left out"
NOT_THERE = "not there"
MOST_NAMED = 40
HEADS = {
    "works": "holds",
    "marginal": "holds, with a drawback",
    "unproven": "not settled",
    "fails": "does not hold",
    "hazard": "does not hold",
}


def comparison_table(names: tuple[str, str], plans: tuple[Plan, Plan]) -> PlanTable:
    """Rows of what is compared, a column for each plan; the notes name the circuits that differ."""
    columns = [_column(plan) for plan in plans]
    labels = list(dict.fromkeys(label for column in columns for label in column))
    first, second = columns
    moved = _moved(plans)
    return PlanTable(
        title="Two plans side by side",
        schedule=plans[0].schedule,
        headings=("What", *names),
        rows=[(label, first.get(label, "0"), second.get(label, "0")) for label in labels],
        summary=[f"{count_text(len(moved), 'circuit')} differ" + ("s." if len(moved) == 1 else ".")],
        left_out=[],
        notes=[
            *_reasons(names, plans),
            *moved[:MOST_NAMED],
            *([f"and {len(moved) - MOST_NAMED} more"] if moved[MOST_NAMED:] else []),
        ],
        stamp=stamp_of(plans[0]),
    )


def _column(plan: Plan) -> dict[str, Cell]:
    fit = plan.fits[0]
    states = Counter(state_by(circuit.verdict, circuit.expected) for circuit in plan.circuits)
    modules = [module for module in plan.modules if module.kind != "hub"]
    found: dict[str, Cell] = {"kind of system": plan.system_name, "verdict": HOLDS[fit.holds]}
    found |= {head.head: HEADS[head.verdict] for head in fit.heads}
    found |= {f"circuits: {state}": states[state] for state in STATES if states[state]}
    found["circuits: left out"] = len(plan.left_out)
    found["modules"] = len(modules)
    found["outputs in use"] = f"{sum(m.used for m in modules)} of {sum(m.outputs for m in modules)}"
    found["devices"] = fit.devices
    found["rail units"] = f"{sum(module.rail_units for module in plan.modules):g}"
    found["heat at full load"] = f"up to {rounded(sum(m.heat.high or 0.0 for m in plan.modules), 'W')}"
    found["DALI addresses"] = len(plan.dali)
    found["DMX universes"] = len({(place.line, place.universe) for place in plan.dmx})
    found["questions"] = len(plan.questions)
    if fit.cost is not None:
        found["cost of the parts"] = f"{fit.cost:g}"
    return found


def _reasons(names: tuple[str, str], plans: tuple[Plan, Plan]) -> list[str]:
    """The heads on which a plan does not hold, with the number."""
    return [
        f"{name}, {head.head}: {head_text(head)}."
        for name, plan in zip(names, plans, strict=True)
        for head in plan.fits[0].heads
        if head.verdict != "works"
    ]


def _moved(plans: tuple[Plan, Plan]) -> list[str]:
    """Each circuit whose state differs, or on one kind of system its output, with both."""
    one_kind = plans[0].system == plans[1].system
    before, after = (_places(plan, one_kind) for plan in plans)
    return [
        f"{name}: {before.get(name, NOT_THERE)}; then {after.get(name, NOT_THERE)}"
        for name in dict.fromkeys((*before, *after))
        if before.get(name) != after.get(name)
    ]


def _places(plan: Plan, with_output: bool) -> dict[str, str]:
    found = {}
    for one in plan.circuits:
        state = state_by(one.verdict, one.expected)
        found[one.circuit] = f"{one.output_name} ({state})" if with_output else str(state)
    return found | {one.circuit: LEFT_OUT for one in plan.left_out}
