"""Which output to propose: best verdict, accepted method, fitting size, order of the offer."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from compat.engine.gather import Circuit
from compat.engine.subject import CircuitSubject, OutputSubject, Pairing
from compat.model.figures import amount_text
from compat.model.report import Amount, LoadBar
from compat.model.schedule import MAINS_DIMMING, PlannedLoad
from compat.model.values import Content, Interval, TokenSet
from compat.model.verdicts import RANK, Verdict
from compat.rulebook import nodes
from compat.rulebook.clauses import Clause, Comparison
from compat.rulebook.evaluator import Evaluator
from compat.rulebook.nodes import QuantityNode
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import NO, YES

# Share of its rated load that a proposed output may take before a larger one is preferred.
# Common practice, no source: the 80 % that is usual for spare capacity.
COMFORTABLE_SHARE = 0.8
# Gear for 220 to 240 V goes up to 264 V, that for 120 to 277 V up to 305 V. Common practice, no source.
MOST_ABOVE_SUPPLY = 1.2
LOAD = "circuit.input_power_w"
CAPACITIVE, OTHER = "circuit.capacitive_power_w", "circuit.other_power_w"


@dataclass(frozen=True, slots=True, order=True)
class Preference:
    """Sorts outputs for a circuit, best first."""

    verdict_rank: int
    expected_rank: int
    method_refused: bool
    for_other_supplies: bool
    tight: bool
    rated_load_w: float
    place_in_offer: int


@dataclass(frozen=True, slots=True)
class LoadWindow:
    """The least and the greatest load in W that an output surely takes from a circuit, by the rules.

    An end is None where no rule limits it or its limit is not known.
    """

    low: float | None
    high: float | None


def on_plan(subject: CircuitSubject, offer: Mapping[str, OutputSubject]) -> Mapping[str, OutputSubject]:
    """The outputs on offer of the control that is planned for a circuit; all where none of them is.

    One that is made for the supply stands in before one that is not. Where its watts are written beside a
    phase-cut control, only dimmers stand in for it that are too small or large enough for this load as it is.
    """
    circuit = subject.circuit
    assert isinstance(circuit, Circuit)
    planned, load = circuit.planned, circuit.planned_load
    if planned is None:
        return offer
    kept = {name: one for name, one in offer.items() if one.content("output.method") in planned}
    kept = {name: one for name, one in kept.items() if _is_for_supply(subject, one)} or kept
    if load is not None and planned <= MAINS_DIMMING:
        for is_so in (_is_marked_alike, _is_as_large, _needs_as_much):
            kept = {name: one for name, one in kept.items() if is_so(circuit, load, one)} or kept
    return kept or offer


def _is_for_supply(circuit: CircuitSubject, output: OutputSubject) -> bool:
    """Whether the supply lies in what an output is made for, as far as that is known."""
    voltage = circuit.content("supply.voltage_v")
    low, high = (output.content(f"output.input_voltage_{end}_v") for end in ("min", "max"))
    if not (isinstance(voltage, Interval) and isinstance(low, Interval) and isinstance(high, Interval)):
        return True
    return low.low <= voltage.high and voltage.low <= high.high


def _led_share(output: OutputSubject) -> Interval | None:
    share = output.content("output.capacitive_share")
    return share if isinstance(share, Interval) else None


def _power(circuit: Circuit) -> Interval | None:
    power = circuit.values.get(LOAD)
    return power if isinstance(power, Interval) else None


def _is_marked_alike(circuit: Circuit, load: PlannedLoad, output: OutputSubject) -> bool:
    """A leading-edge dimmer of which no LED load is told has a rating for filament lamps only."""
    if load.of_led:
        return _led_share(output) is not None
    kinds = circuit.values.get("circuit.load_types")
    if isinstance(kinds, TokenSet) and kinds.possible <= {"incandescent"}:
        return True
    return output.content("output.method") != "forward_phase" or _led_share(output) is None


def _is_as_large(circuit: Circuit, load: PlannedLoad, output: OutputSubject) -> bool:
    """Whether an output is too small for the load, or large enough, as the planned one is."""
    rated, share, power = output.content("output.max_load_w"), _led_share(output), _power(circuit)
    if not isinstance(rated, Interval) or power is None:
        return False
    most = rated.high * (share.high if load.of_led and share else 1.0)
    return (most >= power.high) == (load.most_w >= power.high)


def _needs_as_much(circuit: Circuit, load: PlannedLoad, output: OutputSubject) -> bool:
    """Whether the load is too small for an output, or enough, as for the planned one."""
    least, power = output.content("output.min_load_w"), _power(circuit)
    if not isinstance(least, Interval) or power is None:
        return False
    return (least.high <= power.low) == (load.least_w <= power.low)


def _known(ends: Sequence[float | None], pick: Callable[[Iterable[float]], float]) -> float | None:
    """The tightest of some ends; None where there is none or one is not known."""
    known = [end for end in ends if end is not None]
    return pick(known) if known and len(known) == len(ends) else None


def _rated_load_w(circuit: CircuitSubject, output: OutputSubject) -> float:
    """The size of an output in W, of a contact rated in A at the supply in use; 0 when not known."""
    rated, current = output.content("output.max_load_w"), output.content("output.max_current_a")
    if isinstance(rated, Interval):
        return rated.high
    voltage = circuit.content("supply.voltage_v")
    if isinstance(current, Interval) and isinstance(voltage, Interval):
        return current.high * voltage.high
    return 0.0


def _is_for_other_supplies(circuit: CircuitSubject, output: OutputSubject) -> bool:
    """Whether an output is made for far higher supplies as well, as gear of other countries is."""
    voltage, most = circuit.content("supply.voltage_v"), output.content("output.input_voltage_max_v")
    if not isinstance(voltage, Interval) or not isinstance(most, Interval):
        return False
    return most.high > MOST_ABOVE_SUPPLY * voltage.high


def _asks(node: QuantityNode | None, name: str) -> bool:
    return isinstance(node, nodes.QuantityName) and node.name == name


def _with(values: Mapping[str, Content], otherwise: Callable[[str], Content], name: str) -> Content:
    return values[name] if name in values else otherwise(name)


class LoadLimits:
    """The clauses of the rules that compare the load of a circuit with what an output allows."""

    def __init__(self, rules: Sequence[ParsedRule]) -> None:
        self._clauses: list[tuple[Clause, int, Comparison]] = [
            (clause, place, part)
            for rule in rules
            for clause in rule.clauses
            for place, part in enumerate(clause.comparisons)
            if isinstance(part.demand, nodes.QuantityName) and part.demand.name == LOAD and not part.negated
        ]
        self._last: CircuitSubject | None = None
        self._kept: dict[int, tuple[OutputSubject, tuple[bool, bool, bool, float]]] = {}
        self._shares = [rule for rule in rules if _asks(rule.demand, CAPACITIVE) and rule.rule.at_most]

    def window(self, circuit: CircuitSubject, output: OutputSubject) -> LoadWindow | None:
        """The window of an output for a circuit; None where no rule limits the load in W."""
        ends: dict[bool, list[Interval | None]] = {True: [], False: []}
        for clause, place, part in self._clauses:
            allowance = output.side(clause)
            if allowance.holds != YES and circuit.side(clause).holds != YES:
                value = allowance.values[place]
                ends[part.demand_is_left].append(value if isinstance(value, Interval) else None)
        ends[True] += self._most_beside_others(circuit, output)
        if not ends[True] and not ends[False]:
            return None
        most = [None if end is None else end.low for end in ends[True]]
        least = [None if end is None else end.high for end in ends[False]]
        return LoadWindow(_known(least, max), _known(most, min))

    def _most_beside_others(self, circuit: CircuitSubject, output: OutputSubject) -> list[Interval | None]:
        """The whole load at which rules about its capacitive part stop, beside the other load there is."""
        found: list[Interval | None] = []
        pairing = Pairing(circuit, output)
        other = circuit.content(OTHER)
        for rule in self._shares:
            if rule.limit is None or pairing.applies(rule) == NO:
                continue
            least = Interval(other.low, other.low) if isinstance(other, Interval) else Interval(0.0, 0.0)
            at_least = Evaluator(
                partial(_with, {OTHER: least}, pairing.content), circuit.dataset.vocabulary.bit_of
            ).quantity(rule.limit)
            found.append(
                None
                if at_least is None
                else Interval(max(at_least.low, 0.0) + least.low, max(at_least.high, 0.0) + least.low)
            )
        return found

    def ranked(
        self,
        verdicts: Mapping[str, Verdict],
        expected: Mapping[str, Verdict],
        circuit: CircuitSubject,
        offer: Mapping[str, OutputSubject],
    ) -> list[str]:
        """The ids of the outputs on offer, best first; of unproven ones the best expected."""
        places = {output: place for place, output in enumerate(offer)}

        def preference(output: str) -> Preference:
            suits = self._suits(circuit, offer[output])
            return Preference(RANK[verdicts[output]], RANK[expected[output]], *suits, places[output])

        return sorted(verdicts, key=preference)

    def _suits(self, circuit: CircuitSubject, output: OutputSubject) -> tuple[bool, bool, bool, float]:
        """The parts of a preference that verdicts do not move; kept for the circuit asked for last."""
        if self._last is not circuit:
            self._last, self._kept = circuit, {}
        if id(output) not in self._kept:
            window = self.window(circuit, output)
            load = circuit.content(LOAD)
            high = window.high if window else None
            tight = isinstance(load, Interval) and high is not None and load.high > COMFORTABLE_SHARE * high
            method, accepted = output.content("output.method"), circuit.content("circuit.methods")
            refused = isinstance(accepted, TokenSet) and method not in accepted.possible
            elsewhere = _is_for_other_supplies(circuit, output)
            # The output is kept beside it so that its identity cannot pass to another.
            self._kept[id(output)] = output, (refused, elsewhere, tight, _rated_load_w(circuit, output))
        return self._kept[id(output)][1]

    def bar(self, circuit: CircuitSubject, output: OutputSubject) -> LoadBar | None:
        """The load against the window of the output, for drawing; None where nothing limits it in W."""
        window = self.window(circuit, output)
        if window is None:
            return None
        load = circuit.content(LOAD)
        low, high = (load.low, load.high) if isinstance(load, Interval) else (None, None)
        amount = Amount(low=low, high=high, unit="w", text=amount_text(low, high, "W"))
        return LoadBar(load=amount, window_low_w=window.low, window_high_w=window.high)
