"""A plan as plain text: which kind of system and why, what it cannot do, what is built, what is left out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from compat.engine.sentences import rounded
from compat.model.figures import number_text
from compat.model.plan import FitFinding, HeadFit, LeftOut, Plan, SystemFit
from compat.report.lines import SOFT, STRONG, STYLE, Line, line, listed
from compat.report.page import LEAST_WIDTH, render_lines
from compat.report.states import IN_DOUBT, STATES, state_by

HOLDS = {"yes": "holds it", "no": "does not hold it", "open": "not settled"}
HOLDS_STYLE = {"yes": STYLE["works"], "no": STYLE["fails"], "open": STYLE["unproven"]}
MOST_NAMED = 8
MOST_QUESTIONS = 12
MOST_KINDS = 3


def render_plan(plan: Plan, width: int, colour: bool) -> str:
    """The plan in lines of at most ``width`` cells (40 up)."""
    return render_lines(_lines(plan), max(width, LEAST_WIDTH), colour)


def _lines(plan: Plan) -> Iterator[Line]:
    circuits = len(plan.circuits) + len(plan.left_out)
    best = plan.fits[0]
    yield line((plan.schedule, STRONG), f": {count_text(circuits, 'circuit')}")
    yield line((plan.system_name, STRONG), f": {_answer(plan)} {best.summary}")
    yield line()
    yield from _heads(best)
    yield from _built(plan)
    yield from _in_doubt(plan)
    yield from _left_out(plan.left_out)
    yield from _not_planned(plan)
    yield from _others(plan)
    asked = [_question(question.ask, question.kinds, len(plan.fits)) for question in plan.questions]
    if asked:
        yield line()
        yield from listed("Ask: an answer can change the choice", asked[:MOST_QUESTIONS], 0)
        if len(asked) > MOST_QUESTIONS:
            yield line(f"and {len(asked) - MOST_QUESTIONS} more, in --format json", indent=2)
    yield line()
    yield line(best.later_changes, lead=("Later changes: ", STRONG))
    for note in plan.notes:
        yield line(note, lead=("Note: ", STRONG))
    yield from (line(caution, lead=("Caution: ", STRONG)) for caution in plan.cautions)
    stamp = f"dataset {plan.dataset.version} ({plan.dataset.rule_schema}), sha256 {plan.dataset.sha256}"
    yield line((f"compat {plan.program_version}, {stamp}", SOFT))


def _answer(plan: Plan) -> str:
    best = plan.fits[0]
    if best.holds == "yes":
        smallest = len(plan.fits) > 1 and best.scale == min(f.scale for f in plan.fits if f.holds == "yes")
        return "the smallest kind that holds the house." if smallest else "it holds the house."
    if best.holds == "open":
        asked = len(plan.questions)
        return f"nothing known stands against it; {count_text(asked, 'answer')} {_is(asked)} missing."
    if len(plan.fits) == 1:
        return "it does not hold the house."
    return "no kind holds the whole house; this one comes nearest."


def _is(count: int) -> str:
    return "is" if count == 1 else "are"


def _heads(fit: SystemFit) -> Iterator[Line]:
    for head in fit.heads:
        yield line(head_text(head), lead=(f"{head.head}: ".ljust(16), STYLE[head.verdict]))
    if fit.lost:
        yield from listed("What it lacks", fit.lost, 0)
        yield from listed("What would have to change", fit.changes, 0)
    if fit.tips_over:
        yield line(f"{', '.join(fit.tips_over)}.", lead=("It holds so many more: ", STRONG))
    if fit.cost is not None:
        yield line(f"{number_text(fit.cost, 6)} at your prices.", lead=("Cost of the parts: ", STRONG))


def head_text(head: HeadFit) -> str:
    """How a kind holds the house on one head, in a few words with the number."""
    return "; ".join(_head_texts(head))


def _head_texts(head: HeadFit) -> list[str]:
    """Each broken rule of a head; else what binds, and how many answers it waits for."""
    broken = [finding for finding in head.findings if finding.verdict in ("fails", "hazard", "marginal")]
    if broken:
        return [_with_parts(finding) for finding in broken]
    missing = sum(1 for finding in head.findings if finding.verdict == "unproven")
    waits = [f"{count_text(missing, 'answer')} missing"] if missing else []
    binding = head.binding
    if binding is None or binding.demand is None or binding.verdict == "unproven":
        return waits or ["holds"]
    return [_with_parts(binding), *waits]


def _with_parts(finding: FitFinding) -> str:
    """``103 devices counted, 100 held: 61 circuits, 34 wall controls``."""
    parts = ", ".join(
        f"{part.count} {part.label.removesuffix('s') if part.count == 1 else part.label}"
        for part in finding.parts
    )
    if finding.verdict == "works" and finding.demand and finding.limit:
        told = f"{finding.demand.text} {finding.label}, {finding.limit.text} held"
    else:
        told = finding.because.rstrip(".")
    return f"{told}: {parts}" if parts else told


def _built(plan: Plan) -> Iterator[Line]:
    yield line()
    sorts = Counter((module.name, module.outputs) for module in plan.modules)
    yield line(("What is built", STRONG))
    for (name, _), count in sorts.items():
        yield line(f"{count} × {name}", indent=2)
    counted = [module for module in plan.modules if module.kind != "hub"]
    outputs, used = sum(m.outputs for m in counted), sum(m.used for m in counted)
    bound = plan.modules_at_least
    least = "no fewer are possible" if bound == len(counted) else f"at least {bound} are needed"
    yield line(
        f"{count_text(len(counted), 'module')} ({least} on these outputs), {used} of {outputs} outputs used.",
        indent=2,
    )
    for panel in plan.panels if any(module.rail_units for module in plan.modules) else ():
        if not panel.rail_units:
            continue
        free = "" if panel.rail_units_free is None else f", {panel.rail_units_free:g} free"
        units = f"{panel.rail_units:g} rail units{free}"
        heat = f"up to {rounded(panel.heat.high or 0.0, 'W')} of heat at full load"
        holding = sum(1 for module in counted if module.panel == panel.panel)
        told = f"{count_text(holding, 'module')}, {units}, {heat}"
        yield line(told, indent=2, lead=(f"{panel.panel}: ", STRONG))
    if len(plan.phases) > 1:
        told = ", ".join(
            f"{phase.phase} up to {rounded(phase.current.high or 0.0, 'A')}" for phase in plan.phases
        )
        yield line(told, indent=2, lead=("phases: ", STRONG))
    for one in plan.lines:
        unit = "universe" if one.kind.startswith("DMX") else "address"
        many = f"{one.used} {unit}{'' if one.used == 1 else 's' if unit == 'universe' else 'es'}"
        told = f"{one.kind}, {count_text(len(one.circuits), 'circuit')}, {many}"
        yield line(told, indent=2, lead=(f"line {one.line}: ", STRONG))
    states = Counter(state_by(circuit.verdict, circuit.expected) for circuit in plan.circuits)
    yield line(", ".join(f"{states[state]} {state}" for state in STATES if state in states), indent=2)


def _in_doubt(plan: Plan) -> Iterator[Line]:
    """What has a place and is not known to work there."""
    doubtful = [c for c in plan.circuits if state_by(c.verdict, c.expected) in IN_DOUBT]
    lines = [one for one in plan.lines if one.verdict not in (None, "works")]
    told = [
        f"{state}: {', '.join(c.circuit for c in doubtful if state_by(c.verdict, c.expected) == state)}"
        for state in IN_DOUBT
        if any(state_by(c.verdict, c.expected) == state for c in doubtful)
    ]
    told += [f"line {one.line}: {state_by(one.verdict, None)}" for one in lines if one.verdict]
    if told:
        yield line()
        yield from listed("Placed, but look at these: a check tells why", told, 0)


def _left_out(left_out: list[LeftOut]) -> Iterator[Line]:
    other = [entry for entry in left_out if entry.any_kind]
    none = [entry for entry in left_out if not entry.any_kind]
    for heading, entries in (
        ("Left out: another kind holds these", other),
        ("Left out: no kind holds these; mend the schedule first, as a check says", none),
    ):
        if entries:
            yield line()
            told = [f"{entry.circuit} {entry.room}: {entry.reason}" for entry in entries]
            yield from listed(heading, told, 0, STYLE["fails"])


def _not_planned(plan: Plan) -> Iterator[Line]:
    if plan.not_planned:
        yield line()
        told = [
            f"{entry.circuit} {entry.room}: {entry.quantity} × {entry.luminaire_type}: {entry.reason}"
            for entry in plan.not_planned
        ]
        yield from listed("Without an address", told, 0, STYLE["fails"])


def _others(plan: Plan) -> Iterator[Line]:
    if len(plan.fits) < 2:
        return
    yield line()
    yield line(("All kinds, best first", STRONG))
    for fit in plan.fits:
        parts = [(f"{fit.name}: ", STRONG), (HOLDS[fit.holds], HOLDS_STYLE[fit.holds])]
        why = next(
            (finding for head in fit.heads for finding in head.findings if finding.verdict == "fails"), None
        )
        told = f"; {_with_parts(why)}" if why else ""
        left = f"; left out: {_named(fit.circuits_left_out)}" if fit.circuits_left_out else ""
        yield line(*parts, f"{told}{left}.", indent=2, hang=4, lead=f"{fit.rank}. ")


def _named(names: list[str]) -> str:
    shown = ", ".join(names[:MOST_NAMED])
    return f"{shown} and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else shown


def _question(ask: str, kinds: list[str], of: int) -> str:
    return ask if len(kinds) > MOST_KINDS or len(kinds) == of else f"{ask} ({', '.join(kinds)})"


def count_text(count: int, noun: str) -> str:
    """``1 circuit``, ``2 circuits``."""
    return f"{count} {noun}{'' if count == 1 else 's'}"
