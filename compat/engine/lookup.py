"""One driver looked up: what may control it, from how many to how many, and what breakers carry."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from compat import __version__
from compat.dataset.overlay import Setting
from compat.dataset.read import Dataset, Equipment
from compat.engine.arithmetic import NOTHING_ASKED, Asked, arithmetic
from compat.engine.breaker_counts import breaker_counts
from compat.engine.counts import CountJoin
from compat.engine.findings import because, judge
from compat.engine.gather import Circuit, gather_rows, of_counts, with_column
from compat.engine.join import verdict_and_place
from compat.engine.protection import DEVICES
from compat.engine.questions import questions_for
from compat.engine.site import Site, site_of, usual_site_of
from compat.engine.subject import CircuitSubject, OutputSubject, Pairing
from compat.model.cautions import STANDING_CAUTION
from compat.model.lookup import Bound, CountPicture, CountRange, Lookup, OutputCounts
from compat.model.report import DatasetStamp, Input, Question
from compat.model.schedule import ScheduleRow
from compat.model.values import UNKNOWN, TokenSet, Trait
from compat.model.verdicts import RANK, VERDICTS, worst
from compat.rulebook.rules import ParsedRule, is_of_circuit
from compat.rulebook.truth import YES

COUNTS_UP_TO = 150
# The circuits of 1, 2, 3 ... drivers, wanted dimmed and switched; and the outputs on offer.
Series = Mapping[str, Sequence[CircuitSubject]]
Offer = Mapping[str, OutputSubject]


@dataclass(frozen=True, slots=True)
class Looker:
    """What a look-up needs; ``look`` gives the answer.

    A count is judged as a check judges a schedule of one circuit of so many: same rules, protective
    devices included, same things taken as given.
    """

    dataset: Dataset
    rules: Sequence[ParsedRule]
    setting: Setting

    def look(
        self,
        driver: Equipment,
        count: int | None = None,
        up_to: int = COUNTS_UP_TO,
        stated: Mapping[str, Trait] | None = None,
        asked: Asked = NOTHING_ASKED,
    ) -> Lookup:
        """The answer for a driver, ``stated`` in place of its own traits; with a count also the verdicts
        for that many, and what its figures come to.
        """
        up_to = max(up_to, count or 1)
        site = site_of(self.setting)
        row = self.row_of(driver, stated or {})
        proven = self.series(row, up_to, site)
        usual = self.series(row, up_to, usual_site_of(self.setting, self.dataset))
        offer = {name: OutputSubject(self.dataset, output) for name, output in self.setting.offer.items()}
        outputs = list(self._outputs(proven, usual, offer, count))
        first = proven["dimmed"][0]
        known, filled = (
            [one.circuit for one in series["dimmed"] if isinstance(one.circuit, Circuit)]
            for series in (proven, usual)
        )
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
            breakers=breaker_counts(known, filled, site, self.dataset, self.rules),
            source=[
                *first.inputs("source_impedance.resistance_ohm"),
                *first.inputs("source_impedance.inductance_uh"),
            ],
            assumptions=list(self.setting.assumptions),
            questions=self._questions(proven, offer, outputs),
            cautions=self._cautions(outputs),
            caution=STANDING_CAUTION,
            arithmetic=arithmetic(known[(count or 1) - 1], asked, counted=count is not None),
        )

    def counts_on(self, driver: Equipment, output: Equipment, up_to: int) -> OutputCounts:
        """How many of a driver one output takes."""
        site, row = site_of(self.setting), self.row_of(driver, {})
        usual = usual_site_of(self.setting, self.dataset)
        proven, expected = self.series(row, up_to, site), self.series(row, up_to, usual)
        offer = {output.id: OutputSubject(self.dataset, output)}
        return next(self._outputs(proven, expected, offer, None))

    def row_of(self, driver: Equipment, stated: Mapping[str, Trait]) -> ScheduleRow:
        """The row that a schedule would have for one of the driver."""
        known = self.dataset.tables["drivers"].get(driver.id) is driver
        traits = dict(stated) if known else {**driver.traits, **stated}
        return ScheduleRow(
            1, driver.name, 1, "", driver.name, driver.id if known else None, driver_traits=traits
        )

    def series(self, row: ScheduleRow, up_to: int, site: Site) -> Series:
        """Circuits of 1, 2, 3 ... drivers at a site, each alone behind its protective devices."""
        given = {**self.setting.circuit_defaults, "wanted_control": Trait("dimmed")}
        given |= {f"{device}_members_known": Trait(True) for device in DEVICES}
        single = gather_rows(row.circuit, [row], self.dataset, site, given)
        dimmed = of_counts(single, up_to, self.dataset, site)
        switched = [with_column(circuit, "wanted_control", Trait("switched")) for circuit in dimmed]
        return {
            "dimmed": [CircuitSubject(self.dataset, circuit, site) for circuit in dimmed],
            "switched": [CircuitSubject(self.dataset, circuit, site) for circuit in switched],
        }

    def _outputs(
        self, proven: Series, usual: Series, offer: Offer, count: int | None
    ) -> Iterator[OutputCounts]:
        rules = [rule for rule in self.rules if is_of_circuit(rule)]
        found = dict(self._pictures(proven, offer, rules, count))
        open_offer = {
            name: output
            for name, output in offer.items()
            if any(entry.verdict == "unproven" for entry in found[name].ranges)
        }
        filled = dict(self._pictures(usual, open_offer, rules, count))
        ranked = []
        for name, output in offer.items():
            picture, expected = found[name], filled.get(name)
            ranked.append(
                OutputCounts(
                    output=name,
                    name=output.output.name if output.output else name,
                    method=output.text("output.method"),
                    expected=expected,
                    **{field: getattr(picture, field) for field in CountPicture.names()},
                )
            )
        yield from sorted(ranked, key=_usefulness)

    def _pictures(
        self, circuits: Series, offer: Offer, rules: Sequence[ParsedRule], count: int | None
    ) -> Iterator[tuple[str, CountPicture]]:
        """What each output on offer takes of the counts."""
        for wanted, series in circuits.items():
            names = [name for name, output in offer.items() if _wanted(output) == wanted]
            outputs = [offer[name] for name in names]
            keys = CountJoin(series, rules).keys(outputs) if outputs else []
            for name, output, of_output in zip(names, outputs, keys, strict=True):
                yield name, _Column(output, of_output, series, rules).picture(count)

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
        of_one = [rule for rule in self.rules if is_of_circuit(rule)]
        for entry in outputs:
            if RANK[entry.best] > RANK["unproven"]:
                continue
            output = offer[entry.output]
            # At a count with the best verdict: with fewer, another rule may leave nothing to ask.
            best = next(one.first for one in entry.ranges if one.verdict == entry.best)
            pairing = Pairing(circuits[_wanted(output)][best - 1], output)
            asking = of_one
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
        told = [entry for output in outputs for entry in output.ranges]
        hazards = {entry.rule for entry in told if entry.verdict == "hazard"}
        return list(dict.fromkeys(rule.rule.caution for rule in self.rules if rule.rule.id in hazards))


@dataclass(frozen=True, slots=True)
class _Column:
    """The keys of one output over the counts 1, 2, 3 ..."""

    output: OutputSubject
    keys: Sequence[int]
    circuits: Sequence[CircuitSubject]
    rules: Sequence[ParsedRule]

    def picture(self, count: int | None) -> CountPicture:
        """The picture of this output."""
        ranges = [
            self._range(list(members)) for _, members in groupby(range(len(self.keys)), self.keys.__getitem__)
        ]
        working = [number for number, key in enumerate(self.keys, start=1) if key == 0]
        least, most = (working[0], working[-1]) if working else (None, None)
        return CountPicture(
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


def _usefulness(entry: OutputCounts) -> tuple[int, int, int]:
    """Best proven verdict first, then the best expected one, then the largest count."""
    told = entry.told
    return RANK[entry.best], RANK[told.best], -(told.most or 0)


def _wanted(output: OutputSubject) -> str:
    return "switched" if output.content("output.method") == "switched" else "dimmed"
