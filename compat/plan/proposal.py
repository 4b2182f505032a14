"""Lines proposed for a schedule that names none: circuits packed by the limits of the rules, then judged."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from compat.engine.check import Check
from compat.engine.gather import Circuit, label_of
from compat.engine.line_report import report_line
from compat.engine.line_stated import KIND_OF_METHOD
from compat.engine.lines import Line, gather_line
from compat.engine.site import quantity, site_of
from compat.model.figures import amount_text, digits_to_tell_apart, number_text
from compat.model.report import Report
from compat.model.values import UNKNOWN, Trait
from compat.model.verdicts import RANK
from compat.physics.dmx_universes import UNIVERSE_SLOTS
from compat.plan.dmx_patch import slot_window, slots_taken
from compat.plan.packer import Capacity, Excess, Item, Packing, pack
from compat.plan.rule_capacities import RuleCapacity, capacities

SPARE_SHARE, SPARE = 0.2, "20 %"  # common practice, no source
# An analogue pair has one control, so all that hangs on it is one circuit.
ONE_CIRCUIT_KINDS = ("analog_pair",)
CIRCUITS, SLOTS = "circuits", "DMX slots of its output"
# What a line has from the output that commands it, where the project does not state it.
FROM_OUTPUT = {
    "dali_supply_guaranteed_ma": "dali_supply_current_ma",
    "dali_addressing": "dali_addressing",
    "dali_device_types_commanded": "dali_device_types",
    "colours_commanded": "colours",
    "control_current_max_ma": "control_current_max_ma",
    "output_direction": "control_current_direction",
    "output_full_v": "control_full_output_v",
    "output_insulation": "control_insulation",
    "switches_mains": "switches_mains",
}


def with_proposed_lines(check: Check, circuits: Sequence[Circuit], report: Report) -> Report:
    """The report with lines proposed for the circuits whose output is on a line, judged by the rules.

    Nothing is proposed when a circuit of the schedule names a line. The answer is the same on every
    run and for every order of the rows; the notes say how far it may be from the best.
    """
    if any(label_of(circuit, "line") for circuit in circuits):
        return report
    outputs = line_outputs(check, report)
    by_name = {circuit.id: circuit for circuit in circuits if circuit.id in outputs}
    if not by_name:
        return report
    sharing: dict[str, list[Circuit]] = {}
    for name, circuit in by_name.items():
        sharing.setdefault(outputs[name], []).append(circuit)
    kinds = [LineKind(check, output, sharing[output]) for output in sorted(sharing)]
    kinds.sort(key=lambda kind: (kind.kind in ONE_CIRCUIT_KINDS, kind.kind))
    packing = pack(
        (item for kind in kinds for item in kind.items()),
        {kind.output: limits for kind in kinds if (limits := kind.limits())},
    )
    of_output = {kind.output: kind for kind in kinds}
    site = site_of(check.setting)
    lines = [
        of_output[output].line(f"L{number}", [by_name[name] for name in names])
        for number, (output, names) in enumerate(packing.bins, 1)
    ]
    return report.model_copy(
        update={
            "lines": [report_line(line, check.rules, site, check.dataset) for line in lines],
            "notes": [*report.notes, *_notes(packing, of_output)],
        }
    )


def line_outputs(check: Check, report: Report) -> dict[str, str]:
    """The output for the line of each circuit whose output is on a line: the one that the schedule names,
    else of the outputs on offer that serve the circuit best one that serves many others as well.

    Among equal ones the trade takes addresses before broadcast, a strong bus supply, and many slots.
    """
    found: dict[str, str] = {}
    open_choices: dict[str, dict[str, set[str]]] = {}
    for circuit in report.circuits:
        if circuit.output is None or (method := _method(check, circuit.output.output)) not in KIND_OF_METHOD:
            continue
        if circuit.chosen_by == "schedule" or KIND_OF_METHOD[method] in ONE_CIRCUIT_KINDS:
            found[circuit.circuit] = circuit.output.output
            continue
        outputs = [circuit.output, *circuit.other_outputs]
        ranks = {one.output: RANK[one.verdict] for one in outputs if _method(check, one.output) == method}
        best = {output for output, rank in ranks.items() if rank == min(ranks.values())}
        open_choices.setdefault(method, {})[circuit.circuit] = best
    for choices in open_choices.values():
        while choices:
            served = Counter(output for best in choices.values() for output in best)
            chosen = max(served, key=lambda output: (served[output], *_strength(check, output)))
            taken = [circuit for circuit, best in choices.items() if chosen in best]
            found |= dict.fromkeys(taken, chosen)
            choices = {circuit: best for circuit, best in choices.items() if chosen not in best}
    return found


def _method(check: Check, output: str) -> str:
    return str(check.dataset.tables["outputs"][output].traits.get("method", UNKNOWN).content)


def _strength(check: Check, output: str) -> tuple[bool, float, float, int]:
    traits = check.dataset.tables["outputs"][output].traits
    supply, slots = (quantity(traits, name) for name in ("dali_supply_current_ma", "dmx_slots"))
    return (
        traits.get("dali_addressing", UNKNOWN).content == "addressed",
        supply.low if supply else 0.0,
        slots.low if slots else 0.0,
        -list(check.setting.offer).index(output),
    )


@dataclass(slots=True)
class LineKind:
    """The circuits that may share a line, since one kind of output commands them."""

    check: Check
    output: str
    circuits: list[Circuit]
    spare_share: float = SPARE_SHARE
    kind: str = field(init=False)
    window: int = field(init=False)
    rules: dict[str, RuleCapacity] = field(init=False)

    def __post_init__(self) -> None:
        check, self.kind = self.check, KIND_OF_METHOD[_method(self.check, self.output)]
        self.window = slot_window(self.output, check.dataset)
        self.rules = {}
        if self.kind not in ONE_CIRCUIT_KINDS:
            line = self.line("", self.circuits)
            self.rules = capacities(line, check.rules, site_of(check.setting), check.dataset)

    def line(self, label: str, circuits: Sequence[Circuit]) -> Line:
        """Some of the circuits as one line of its output."""
        setting = self.check.setting
        traits = self.check.dataset.tables["outputs"][self.output].traits
        declared = {name for name, trait in setting.line_defaults.items() if trait.basis == "declared"}
        stated: dict[str, Trait] = {
            name: traits[source]
            for name, source in FROM_OUTPUT.items()
            if source in traits and name not in declared
        }
        stated |= setting.lines.get(label, {})
        return gather_line(label, circuits, self.check.dataset, stated, setting.line_defaults, proposed=True)

    def limits(self) -> dict[str, Capacity]:
        """What one line holds; nothing is kept free of what a zone has."""
        limits = {rule: Capacity(capacity.most, self.spare_share) for rule, capacity in self.rules.items()}
        if self.kind in ONE_CIRCUIT_KINDS:
            limits[CIRCUITS] = Capacity(1.0)
        if self.window < UNIVERSE_SLOTS:
            limits[SLOTS] = Capacity(self.window)
        return limits

    def items(self) -> Iterator[Item]:
        """The circuits with what each takes."""
        for circuit in self.circuits:
            weights = {CIRCUITS: 1.0, SLOTS: slots_taken(circuit, self.window)}
            if self.rules:
                alone = self.line("", [circuit])
                weights |= {rule: capacity.weight(alone) for rule, capacity in self.rules.items()}
            yield Item(circuit.id, self.output, weights, circuit.room)

    def words(self, excess: Excess) -> str:
        """What a circuit needs beside what a line holds."""
        if excess.limit is None or excess.capacity is None:
            return "no limit of such a line is known"
        vocabulary = self.check.dataset.vocabulary
        rule = self.rules.get(excess.capacity)
        label = rule.label(vocabulary) if rule else excess.capacity
        if excess.weight is None:
            return f"its {label} is not known"
        weight, most = excess.weight, excess.limit.most
        digits = digits_to_tell_apart(weight, most)
        limit = amount_text(most, most, rule.unit_symbol(vocabulary) if rule else "", digits)
        return f"needs {number_text(weight, digits)} of {limit} ({label})"


def _notes(packing: Packing, kinds: Mapping[str, LineKind]) -> list[str]:
    """What is proposed, how far it may be from the best, and what is on no line."""
    count = len(packing.bins)
    vocabulary = next(iter(kinds.values())).check.dataset.vocabulary
    proposed = [
        f"{number} × {vocabulary.symbol(kinds[output].kind, 'line_kind')} on {output}"
        for output, number in Counter(output for output, _ in packing.bins).items()
    ]
    least = packing.lower_bound
    bound = "no fewer are possible" if count == least else f"at least {least} are needed"
    notes = [
        f"The schedule names no control lines: {count} {'is' if count == 1 else 'are'} proposed "
        f"({', '.join(proposed) or 'none'}), with {SPARE} of every limit left free (common practice, no "
        f"source); on these outputs {bound}."
    ]
    of_circuit = {circuit.id: kind for kind in kinds.values() for circuit in kind.circuits}
    for excess in packing.without_spare:
        what = of_circuit[excess.name].words(excess)
        notes.append(f"Circuit {excess.name} has a line of its own: {what}: fits, without {SPARE} spare.")
    for excess in packing.left_out:
        notes.append(
            f"Circuit {excess.name} is on no proposed line: {of_circuit[excess.name].words(excess)}."
        )
    return notes
