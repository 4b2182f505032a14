"""One driver looked up: what may control it, from how many to how many, and what breakers carry."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from compat import __version__
from compat.dataset.overlay import Setting
from compat.dataset.read import Dataset, Equipment
from compat.engine.breaker_counts import breaker_counts
from compat.engine.counts import CountJoin
from compat.engine.findings import because, judge
from compat.engine.gather import Circuit, gather_rows, of_counts, with_column
from compat.engine.join import verdict_and_place
from compat.engine.protection import is_shared
from compat.engine.questions import questions_for
from compat.engine.site import Site, site_of
from compat.engine.subject import CircuitSubject, OutputSubject, Pairing
from compat.model.cautions import STANDING_CAUTION
from compat.model.lookup import Bound, CountRange, Lookup, OutputCounts
from compat.model.report import DatasetStamp, Input, Question
from compat.model.schedule import ScheduleRow
from compat.model.values import UNKNOWN, Interval, TokenSet, Trait
from compat.model.verdicts import RANK, VERDICTS, worst
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import YES

COUNTS_UP_TO = 150
# What an electrician who stands before the box is taken to have; told with the answer.
ASSUMED: dict[str, tuple[Trait, str]] = {
    "wanted_dim_floor_percent": (Trait(Interval(100.0, 100.0)), ""),
    "neutral_at_control": (Trait(True), "a neutral is there where the control is mounted"),
    "neutral_shared": (Trait(False), "the circuit has a neutral of its own"),
    "protective_conductor_present": (Trait(True), "a protective conductor is run with the circuit"),
    "multiwire_common_disconnection": (Trait(False), ""),
    "gang_sides": (Trait(Interval(0.0, 0.0)), "no other dimmer touches the control in its box"),
    "control_pair_selv": (Trait(False), "a control pair is wired like mains wiring"),
}


# The circuits of 1, 2, 3 ... drivers, wanted dimmed and switched; and the outputs on offer.
Series = Mapping[str, Sequence[CircuitSubject]]
Offer = Mapping[str, OutputSubject]


@dataclass(frozen=True, slots=True)
class Looker:
    """What a look-up needs; ``look`` gives the answer."""

    dataset: Dataset
    rules: Sequence[ParsedRule]
    setting: Setting

    def look(self, driver: Equipment, count: int | None = None, up_to: int = COUNTS_UP_TO) -> Lookup:
        """The answer for a driver; with a count also the verdicts for that many."""
        up_to = max(up_to, count or 1)
        site = site_of(self.setting)
        dimmed = of_counts(self._circuit(driver, site), up_to, self.dataset, site)
        switched = [with_column(circuit, "wanted_control", Trait("switched")) for circuit in dimmed]
        circuits = {
            wanted: [CircuitSubject(self.dataset, circuit, site) for circuit in series]
            for wanted, series in (("dimmed", dimmed), ("switched", switched))
        }
        on_offer = {name: OutputSubject(self.dataset, output) for name, output in self.setting.offer.items()}
        outputs = list(self._outputs(circuits, on_offer, count))
        first = circuits["dimmed"][0]
        return Lookup(
            program_version=__version__,
            dataset=DatasetStamp(version=self.dataset.version, sha256=self.dataset.sha256),
            driver=driver.id or None,
            driver_name=driver.name,
            methods=self._methods(driver),
            traits=list(self._traits(first)),
            count=count,
            counts_up_to=up_to,
            outputs=outputs,
            breakers=breaker_counts(dimmed, site, self.dataset),
            source=[
                *first.inputs("source_impedance.resistance_ohm"),
                *first.inputs("source_impedance.inductance_uh"),
            ],
            assumptions=[text for _, text in ASSUMED.values() if text],
            questions=self._questions(circuits, on_offer, outputs),
            cautions=self._cautions(outputs),
            caution=STANDING_CAUTION,
        )

    def _circuit(self, driver: Equipment, site: Site) -> Circuit:
        traits = {name: trait for name, (trait, _) in ASSUMED.items()} | {"wanted_control": Trait("dimmed")}
        row = ScheduleRow(
            1, driver.name, 1, "", driver.name, driver.id or None, driver_traits={**driver.traits}
        )
        return gather_rows(
            driver.name, [row], self.dataset, site, {**self.setting.circuit_defaults, **traits}
        )

    def _outputs(self, circuits: Series, offer: Offer, count: int | None) -> Iterator[OutputCounts]:
        rules = [rule for rule in self.rules if not is_shared(rule) and rule.rule.scope != "bus"]
        joins = {wanted: CountJoin(series, rules) for wanted, series in circuits.items()}
        ranked = []
        for output in offer.values():
            join = joins[_wanted(output)]
            ranked.append(_Column(output, join.keys(output), join.series, rules).counts(count))
        yield from sorted(ranked, key=lambda entry: (RANK[entry.best], -(entry.most or 0)))

    def _methods(self, driver: Equipment) -> list[str]:
        content = driver.traits.get("methods", UNKNOWN).content
        symbols = self.dataset.vocabulary.choices["method"]
        if not isinstance(content, TokenSet):
            return []
        return [
            symbol if token in content.sure else f"perhaps {symbol}"
            for token, symbol in symbols.items()
            if token in content.possible
        ]

    def _traits(self, first: CircuitSubject) -> Iterator[Input]:
        for trait in self.dataset.vocabulary.of_subject("driver"):
            known = first.circuit.members[0].traits.get(trait.name, UNKNOWN)
            if known.content is not None or known.recalled is not None:
                yield first.written(trait, known, trait.label)

    def _questions(self, circuits: Series, offer: Offer, outputs: Sequence[OutputCounts]) -> list[Question]:
        """What to ask the maker: open values of the driver on the outputs that are not out of question."""
        merged: dict[str, Question] = {}
        of_one = [rule for rule in self.rules if rule.rule.scope != "bus"]
        shared = [rule for rule in of_one if is_shared(rule)]
        for entry in outputs:
            if RANK[entry.best] > RANK["unproven"]:
                continue
            output = offer[entry.output]
            # At a count with the best verdict: with fewer, another rule may leave nothing to ask.
            best = next(one.first for one in entry.ranges if one.verdict == entry.best)
            pairing = Pairing(circuits[_wanted(output)][best - 1], output)
            # Only where the output is unproven does a rule about it ask.
            asking = of_one if entry.best == "unproven" else shared
            # A rule that holds asks nothing, so its finding need not be made.
            judged = [
                found for rule in asking if pairing.code(rule) != YES and (found := judge(rule, pairing))
            ]
            verdict = worst([entry.best, *(found.finding.verdict for found in judged)])
            for question in questions_for(judged, verdict, pairing):
                if question.name.startswith("driver.") and question.name not in merged:
                    merged[question.name] = question
                elif question.name in merged:
                    rules = list(dict.fromkeys([*merged[question.name].rules, *question.rules]))
                    merged[question.name] = merged[question.name].model_copy(update={"rules": rules})
        return sorted(
            merged.values(), key=lambda question: (-RANK[question.could_become], -len(question.rules))
        )

    def _cautions(self, outputs: Sequence[OutputCounts]) -> list[str]:
        hazards = {entry.rule for output in outputs for entry in output.ranges if entry.verdict == "hazard"}
        return list(dict.fromkeys(rule.rule.caution for rule in self.rules if rule.rule.id in hazards))


@dataclass(frozen=True, slots=True)
class _Column:
    """The keys of one output over the counts 1, 2, 3 ..."""

    output: OutputSubject
    keys: Sequence[int]
    circuits: Sequence[CircuitSubject]
    rules: Sequence[ParsedRule]

    def counts(self, count: int | None) -> OutputCounts:
        """The picture of this output."""
        ranges = [
            self._range(list(members)) for _, members in groupby(range(len(self.keys)), self.keys.__getitem__)
        ]
        working = [number for number, key in enumerate(self.keys, start=1) if key == 0]
        least, most = (working[0], working[-1]) if working else (None, None)
        output = self.output.output
        assert output is not None
        return OutputCounts(
            output=output.id,
            name=output.name,
            method=self.output.text("output.method"),
            best=min((entry.verdict for entry in ranges), key=VERDICTS.index),
            least=least,
            most=most,
            gaps=bool(working) and len(working) != working[-1] - working[0] + 1,
            open_ended=most == len(self.keys),
            least_bound=self._bound(least - 2) if least and least > 1 else None,
            most_bound=self._bound(most) if most and most < len(self.keys) else None,
            ranges=ranges,
            at_count=self._range([count - 1]) if count else None,
        )

    def _range(self, members: Sequence[int]) -> CountRange:
        verdict, place = verdict_and_place(self.keys[members[0]])
        rule = self.rules[place] if place is not None else None
        return CountRange(
            first=members[0] + 1,
            last=members[-1] + 1,
            verdict=verdict,
            rule=rule.rule.id if rule else None,
            slug=rule.rule.slug if rule else None,
            because=because(rule, Pairing(self.circuits[members[0]], self.output)) if rule else "",
        )

    def _bound(self, index: int) -> Bound:
        outside = self._range([index])
        assert outside.rule is not None
        assert outside.slug is not None
        return Bound(
            count=outside.first,
            verdict=outside.verdict,
            rule=outside.rule,
            slug=outside.slug,
            because=outside.because,
        )


def _wanted(output: OutputSubject) -> str:
    return "switched" if output.content("output.method") == "switched" else "dimmed"
