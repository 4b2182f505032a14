"""Which outputs of a kind of system hold each circuit, by the verdicts that a check gives."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from compat.dataset.systems import SystemKind, read_systems
from compat.engine.check import Check
from compat.engine.findings import because
from compat.engine.gather import Circuit
from compat.engine.join import verdict_and_place
from compat.engine.ranking import LoadLimits, LoadWindow
from compat.engine.subject import OutputSubject, Pairing
from compat.engine.verdicts import Verdicts
from compat.model.plan import LeftOut
from compat.model.schedule import Schedule
from compat.model.system import ModuleKind
from compat.model.values import Interval, TokenSet, Trait
from compat.model.verdicts import Verdict
from compat.rulebook.rules import ParsedRule

HELD = ("works", "marginal")


@dataclass(frozen=True, slots=True)
class Choice:
    """An output of a module for a circuit; ``tier`` is 0 where it works, and more the less sure it is."""

    module: ModuleKind
    output: str
    tier: int


@dataclass(frozen=True, slots=True)
class Judgement:
    """All circuits of a schedule on all outputs that any kind has."""

    check: Check
    circuits: Sequence[Circuit]
    proven: Verdicts
    expected: Verdicts
    outputs: Mapping[str, OutputSubject]
    limits: LoadLimits
    rules: Sequence[ParsedRule]

    @classmethod
    def of(cls, check: Check, schedule: Schedule, kinds: Sequence[SystemKind], in_boxes: bool) -> Judgement:
        """Judge each circuit on each output once; ``in_boxes`` of wall switches as the schedule has them."""
        schedule = schedule if in_boxes else _at_the_source(schedule)
        circuits = check.circuits(schedule)
        known = [*kinds, *read_systems(check.dataset)]
        names = {output for kind in known for module in kind.file.modules for output in module.outputs}
        table = check.dataset.tables["outputs"]
        outputs = {name: OutputSubject(check.dataset, table[name]) for name in sorted(names)}
        proven, expected = check.footings(schedule, circuits, outputs)
        rules = check.circuit_rules
        return cls(check, circuits, proven, expected, outputs, LoadLimits(rules), rules)

    def tier(self, place: int, output: str) -> int | None:
        """0 for works, 1 for expected to work, 2 for marginal, 3 for expected marginal; None for the rest."""
        verdict, expected = self.verdicts(place, output)
        if verdict in HELD:
            return 2 * HELD.index(verdict)
        return 1 + 2 * HELD.index(expected) if expected in HELD else None

    def verdicts(self, place: int, output: str) -> tuple[Verdict, Verdict | None]:
        """The verdict, and what is expected where it is unproven."""
        verdict = self.proven.all_of(place)[output]
        return verdict, self.expected.all_of(place)[output] if verdict == "unproven" else None

    def is_held_by_any(self, place: int) -> bool:
        """Whether an output of any kind that is known holds the circuit."""
        return any(self.tier(place, output) is not None for output in self.outputs)

    def quantity(self, place: int, name: str) -> Interval | None:
        """A quantity of a circuit: what is known of it, else what is usual."""
        for verdicts in (self.proven, self.expected):
            content = verdicts.subjects[place].content(name)
            if isinstance(content, Interval):
                return content
        return None

    def window(self, place: int, output: str) -> LoadWindow | None:
        """The load window of an output for a circuit."""
        return self.limits.window(self.expected.subjects[place], self.outputs[output])

    def assumed(self, place: int, output: str) -> list[str]:
        """The usual values on which an expected verdict rests, each as a text."""
        pairing = Pairing(self.proven.subjects[place], self.outputs[output])
        usual = Pairing(self.expected.subjects[place], self.outputs[output])
        names = dict.fromkeys(name for rule in self.rules for name in pairing.missing(rule))
        told = (f"{one.label}: {one.text}" for name in names for one in usual.inputs(name))
        return list(dict.fromkeys(told))

    def left_out(self, place: int, kind: SystemKind) -> LeftOut:
        """Why no output of a kind holds a circuit: what stands against the best of them."""
        circuit = self.circuits[place]
        names = sorted({output for module in kind.file.modules for output in module.outputs})
        names = [name for name in names if self._may_serve(place, name)] or names
        proven, likely = self.proven.all_of(place), self.expected.all_of(place)
        offer = {name: self.outputs[name] for name in names}
        verdicts = {name: proven[name] for name in names}
        best = self.limits.ranked(verdicts, likely, self.proven.subjects[place], offer)[0]
        verdict, expected = self.verdicts(place, best)
        side = self.expected if verdict == "unproven" and expected != "unproven" else self.proven
        _, at = verdict_and_place(side.keys[place][best])
        told = (
            because(self.rules[at], Pairing(side.subjects[place], self.outputs[best]))
            if at is not None
            else ""
        )
        shared = [found.finding.because for found in side.shared(place) if found.finding.verdict not in HELD]
        return LeftOut(
            circuit=circuit.id,
            room=circuit.room,
            luminaires=names_of(circuit),
            reason=next((text for text in (told, *shared) if text), "No output of the kind holds it."),
            verdict=expected if verdict == "unproven" and expected else verdict,
            any_kind=self.is_held_by_any(place),
        )

    def _may_serve(self, place: int, output: str) -> bool:
        """Whether an output is of the supply, and of a method that is wanted and may be accepted."""
        method = self.outputs[output].content("output.method")
        methods = self.proven.subjects[place].content("circuit.methods")
        voltage = self.proven.subjects[place].content("supply.voltage_v")
        rated = self.outputs[output].content("output.input_voltage_max_v")
        if isinstance(voltage, Interval) and isinstance(rated, Interval) and rated.high < voltage.low:
            return False
        accepted = not isinstance(methods, TokenSet) or method in methods.possible
        return accepted and (method == "switched") == self.is_switched(place)

    def is_switched(self, place: int) -> bool:
        """Whether the circuit is only to be switched, by its row or by what is usual of its luminaires."""
        return self.expected.subjects[place].content("circuit.wanted_control") == "switched"


def _at_the_source(schedule: Schedule) -> Schedule:
    """The schedule with each output in a panel or at the load, where there is a neutral and no ganging."""
    there = {"neutral_at_control": Trait(True, "derived"), "gang_sides": Trait(Interval(0.0, 0.0), "derived")}
    rows = (replace(row, circuit_traits={**row.circuit_traits, **there}) for row in schedule.rows)
    return replace(schedule, rows=tuple(rows))


def names_of(circuit: Circuit) -> list[str]:
    """The luminaires of a circuit as ``6 × Downlight``."""
    return [f"{member.row.quantity} × {member.name}" for member in circuit.members]


def choose(judgement: Judgement, kind: SystemKind) -> dict[int, Choice]:
    """A module and output for each circuit that the kind holds, by its place in the schedule.

    The output that the schedule names goes first where the kind has it. Then the surest verdict; what is only
    switched goes on a relay; of the rest, modules of many outputs and those that serve most circuits, so that
    there are few.
    """
    open_choices: dict[int, dict[str, Choice]] = {}
    for place, circuit in enumerate(judgement.circuits):
        found = list(_choices(judgement, kind, place))
        named = [choice for choice in found if choice.output == circuit.output_id]
        if found:
            best = min(choice.tier for choice in named or found)
            equal = [choice for choice in named or found if choice.tier == best]
            if judgement.is_switched(place):
                equal = [choice for choice in equal if _only_switches(judgement, choice)] or equal
            open_choices[place] = {}
            for choice in equal:
                open_choices[place].setdefault(choice.module.id, choice)
    order = {module.id: number for number, module in enumerate(kind.file.modules)}
    sizes = {module.id: module.output_count for module in kind.file.modules}
    chosen: dict[int, Choice] = {}
    while open_choices:
        served = Counter(module for choices in open_choices.values() for module in choices)
        most = max(served, key=lambda module: (sizes[module], served[module], -order[module]))
        for place in [place for place, choices in open_choices.items() if most in choices]:
            chosen[place] = open_choices.pop(place)[most]
    return dict(sorted(chosen.items()))


def _choices(judgement: Judgement, kind: SystemKind, place: int) -> list[Choice]:
    """Every output of the kind that holds a circuit, with those of a module in the order of ranking."""
    found = []
    for module in kind.file.modules:
        tiers = {output: judgement.tier(place, output) for output in module.outputs}
        held = {output: tier for output, tier in tiers.items() if tier is not None}
        if held:
            proven, expected = judgement.proven.all_of(place), judgement.expected.all_of(place)
            ranked = judgement.limits.ranked(
                {output: proven[output] for output in held},
                expected,
                judgement.proven.subjects[place],
                {output: judgement.outputs[output] for output in held},
            )
            found += [Choice(module, output, held[output]) for output in ranked]
    return found


def _only_switches(judgement: Judgement, choice: Choice) -> bool:
    return judgement.outputs[choice.output].content("output.method") == "switched"
