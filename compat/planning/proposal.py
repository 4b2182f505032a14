"""Lines proposed for a schedule that names none: circuits packed by the limits of the rules, then judged."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from compat.engine.check import Check
from compat.engine.gather import Circuit
from compat.engine.line_stated import KIND_OF_METHOD
from compat.engine.site import quantity
from compat.model.figures import amount_text, digits_to_tell_apart, number_text
from compat.model.report import Report
from compat.model.schedule import Schedule
from compat.model.values import UNKNOWN, TokenSet
from compat.model.verdicts import RANK
from compat.physics.dmx_universes import UNIVERSE_SLOTS
from compat.planning.dmx_patch import slot_window, slots_taken
from compat.planning.packer import Capacity, Excess, Item, Packing, pack
from compat.planning.rule_capacities import RuleCapacity, capacities

SPARE_SHARE, SPARE = 0.2, "20 %"  # common practice, no source
# An analogue pair has one control, so all that hangs on it is one circuit.
ONE_CIRCUIT_KINDS = ("analog_pair",)
MOST_NAMED = 10
CIRCUITS, SLOTS = "circuits", "DMX slots of its output"


def with_proposed_lines(check: Check, schedule: Schedule, report: Report) -> Report:
    """The report with lines proposed for the circuits whose output is on a line, judged by the rules.

    Nothing is proposed when a circuit of the schedule names a line. What a circuit takes is reckoned with
    usual values where it is not known. The answer is the same on every run and for every order of the
    rows; the notes say how far it may be from the best.
    """
    if any(row.line for row in schedule.rows):
        return report
    usual, circuits = check.usual_circuits(schedule), check.circuits(schedule)
    outputs = line_outputs(check, report)
    # A circuit of which nobody says how it is dimmed has no line, whatever output it might have.
    outputs = {
        one.id: outputs[one.id]
        for one in usual
        if one.id in outputs and (one.output_id or _takes(check, one, outputs[one.id]))
    }
    by_name, known = (
        {one.id: replace(one, output_id=outputs[one.id]) for one in found if one.id in outputs}
        for found in (usual, circuits)
    )
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
    lines = [
        check.report_line(
            check.line(label, [known[name] for name in names], proposed=True),
            check.line(label, [by_name[name] for name in names], usual=True),
        )
        for label, names in ((f"L{number}", names) for number, (_, names) in enumerate(packing.bins, 1))
    ]
    return report.model_copy(
        update={"lines": lines, "notes": [*report.notes, *_notes(packing, of_output, known)]}
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


def _takes(check: Check, circuit: Circuit, output: str) -> bool:
    """Whether every driver is known or expected to accept the method of an output."""
    methods = circuit.values["circuit.methods"]
    return isinstance(methods, TokenSet) and _method(check, output) in methods.sure


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
    _of_values: dict[int, dict[str, float]] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        check, self.kind = self.check, KIND_OF_METHOD[_method(self.check, self.output)]
        self.window = slot_window(self.output, check.dataset)
        self.rules = {}
        if self.kind not in ONE_CIRCUIT_KINDS:
            line = check.line("", self.circuits)
            self.rules = capacities(line, check.rules, check.site, check.dataset)

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
            yield Item(circuit.id, self.output, self.weights(circuit), circuit.room)

    def weights(self, circuit: Circuit) -> dict[str, float]:
        """What a circuit takes of each limit at the most; NaN where it is not known."""
        # Circuits that state the same share their values; the kind keeps its circuits alive.
        key = id(circuit.values)
        if key not in self._of_values:
            self._of_values[key] = self._weights(circuit)
        return self._of_values[key]

    def _weights(self, circuit: Circuit) -> dict[str, float]:
        weights = {CIRCUITS: 1.0}
        if self.window < UNIVERSE_SLOTS:
            weights[SLOTS] = slots_taken(circuit, self.window)
        if self.rules:
            alone = self.check.line("", [circuit])
            weights |= {rule: capacity.weight(alone) for rule, capacity in self.rules.items()}
        return weights

    def is_open(self, circuit: Circuit) -> bool:
        """Whether something that a circuit takes is not known."""
        return any(math.isnan(weight) for weight in self.weights(circuit).values())

    def words(self, excess: Excess) -> str:
        """What a circuit needs beside what a line holds, as a sentence of its own."""
        if excess.limit is None or excess.capacity is None:
            return "No limit of such a line is known."
        vocabulary = self.check.dataset.vocabulary
        rule = self.rules.get(excess.capacity)
        label = rule.label(vocabulary) if rule else excess.capacity
        if excess.weight is None:
            return f"Not known: {label}."
        weight, most = excess.weight, excess.limit.most
        digits = digits_to_tell_apart(weight, most)
        limit = amount_text(most, most, rule.unit_symbol(vocabulary) if rule else "", digits)
        return f"It needs {number_text(weight, digits)} of {limit} ({label})."


def _notes(packing: Packing, kinds: Mapping[str, LineKind], known: Mapping[str, Circuit]) -> list[str]:
    """What is proposed, how far it may be from the best, and what is on no line.

    ``known`` are the circuits without usual values.
    """
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
    in_bin = {name: kinds[output] for output, names in packing.bins for name in names}
    placed = [name for name, circuit in known.items() if name in in_bin and in_bin[name].is_open(circuit)]
    if placed:
        more = f" and {len(placed) - MOST_NAMED} more" if len(placed) > MOST_NAMED else ""
        notes.append(f"Placed by usual values, which are no proof: {', '.join(placed[:MOST_NAMED])}{more}.")
    for excess in packing.without_spare:
        what = of_circuit[excess.name].words(excess)
        notes.append(f"Circuit {excess.name} has a line of its own, without {SPARE} spare. {what}")
    for excess in packing.left_out:
        notes.append(f"Circuit {excess.name} is on no proposed line. {of_circuit[excess.name].words(excess)}")
    return notes
