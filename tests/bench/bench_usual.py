"""How far usual values agree with full knowledge, printed; the floors are asserted in test_usual.py.

Run by hand: ``python -m tests.bench.bench_usual [CIRCUITS]``. Circuits are made of the dataset's drivers;
of each driver a share of what is known is taken away at random, then every rule is judged with full
knowledge, with what is left, and with usual values in the gaps. Rules that full knowledge leaves open
are not counted.
"""

from __future__ import annotations

import random
import sys
import time
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from compat.dataset.overlay import read_setting
from compat.dataset.read import Dataset, Equipment, load_dataset
from compat.engine.expected import expected_columns, expected_of
from compat.engine.gather import Circuit, CircuitValues
from compat.engine.members import Member, member_of
from compat.engine.protection import is_shared
from compat.engine.site import Site, site_of
from compat.engine.subject import Pairing
from compat.model.schedule import ScheduleRow
from compat.model.values import UNKNOWN, Interval, TokenSet, Trait
from compat.model.verdicts import VERDICTS, Verdict, worst
from compat.rulebook.rules import ParsedRule, is_of_circuit, read_rules
from compat.rulebook.truth import UNKNOWN as NOT_KNOWN
from compat.rulebook.truth import verdict_of
from compat.rulebook.usual import usual_of

SHARES = (0.3, 0.5, 0.7, 1.0)
ON_EVERY_SHEET = ("input_power_w", "methods")
WORD_FOR = {
    "integral_lamp": "Lamp E27",
    "constant_current_driver": "Downlight",
    "constant_voltage_driver": "LED strip",
    "electronic_transformer": "MR16 spotlight",
    "magnetic_transformer": "Iron-core transformer",
    "incandescent": "Halogen lamp",
    "fluorescent": "Fluorescent luminaire",
    "motor": "Fan",
}
# How often a circuit is on an output of a method that its drivers take, as people mostly put it.
FITTING = 0.75
SEED = 11
# What a verdict that was proven with less knowledge may still turn out to be with all of it.
MAY_BECOME: dict[Verdict, tuple[Verdict, ...]] = {
    "works": ("works",),
    "fails": ("fails", "hazard"),
    "hazard": ("hazard",),
}

# As a listing parts them: expected to fail, open, expected to work.
KIND: dict[Verdict, str] = {
    "works": "works",
    "marginal": "works",
    "unproven": "open",
    "fails": "fails",
    "hazard": "fails",
}


@dataclass(slots=True)
class Tally:
    """Rule truths and pairing verdicts of usual values beside those of full knowledge."""

    rules: int = 0
    rules_left: int = 0
    rules_expected: int = 0
    pairings: int = 0
    decided_left: int = 0
    same: int = 0
    same_kind: int = 0
    false_works: int = 0
    proof_broken: int = 0
    wrong: Counter[str] = field(default_factory=Counter)
    verdicts: Counter[tuple[str, str]] = field(default_factory=Counter)

    def line(self, share: float) -> str:
        """The figures in a row."""
        return (
            f"{share:4.0%} taken away: rule truths equal {self.rules_left / self.rules:6.1%} without, "
            f"{self.rules_expected / self.rules:6.1%} with usual values; verdicts of "
            f"{self.pairings} pairings: decided without {self.decided_left / self.pairings:6.1%}, "
            f"expected equal {self.same / self.pairings:6.1%}, of one kind "
            f"{self.same_kind / self.pairings:6.1%}, "
            f"works where it fails {self.false_works / self.pairings:5.2%}"
        )


def of_row(member: Member, dataset: Dataset, site: Site, columns: Mapping[str, Trait]) -> Circuit:
    """A circuit of one row."""
    values = CircuitValues((member,), columns, dataset.vocabulary, site)
    return Circuit("C1", "", (member,), None, values, dict(columns))


def rows(
    dataset: Dataset, share: float, count: int, seed: int
) -> Iterator[tuple[Equipment, ScheduleRow, ScheduleRow]]:
    """A driver of the dataset in some number, with all that is known of it and with a share taken away.

    With all taken away what a sheet mostly has is left: a word for the type, watts and methods. Gear made
    for another voltage than that of the supply is left out: nobody buys it, and no sheet would tell.
    """
    chance = random.Random(seed)
    drivers = [driver for driver in dataset.tables["drivers"].values() if _takes_230_v(driver)]
    for number in range(count):
        driver = chance.choice(drivers)
        known = {name: trait for name, trait in driver.traits.items() if trait.content is not None}
        of_sheet = share == 1.0
        left = {
            name: trait
            for name, trait in known.items()
            if chance.random() >= share or (of_sheet and name in ON_EVERY_SHEET)
        }
        text = _word_for(driver) if of_sheet else ""
        quantity = chance.choice((1, 2, 3, 4, 6, 8, 10, 12, 16, 20))
        full, part = (
            ScheduleRow(number, f"C{number}", quantity, luminaire_type=text, driver_traits=dict(traits))
            for traits in (known, left)
        )
        yield driver, full, part


def _takes_230_v(driver: Equipment) -> bool:
    highest = driver.traits["input_voltage_max_v"].content
    assert isinstance(highest, Interval)
    return highest.low >= 230.0


def _word_for(driver: Equipment) -> str:
    """What a sheet calls such gear."""
    is_emergency = driver.traits["emergency"].content is True
    return "Emergency luminaire" if is_emergency else WORD_FOR[str(driver.traits["load_type"].content)]


def tally(dataset: Dataset, rules: Sequence[ParsedRule], share: float, count: int, seed: int = SEED) -> Tally:
    """The figures of a share over a number of circuits, each on one output drawn by lot."""
    setting = read_setting(dataset, None, None)
    site, usual = site_of(setting), usual_of(dataset)
    voltage = site.supply.traits["voltage_v"].content
    chance = random.Random(seed + 1)
    outputs = list(setting.offer.values())
    result = Tally()
    for driver, full, part in rows(dataset, share, count, seed):
        taken = driver.traits["methods"].content
        assert isinstance(taken, TokenSet)
        fitting = [o for o in outputs if o.traits["method"].content in taken.possible]
        output = chance.choice(fitting if chance.random() < FITTING else outputs)
        switched = output.traits.get("method", UNKNOWN).content == "switched"
        wanted = {"wanted_control": Trait("switched" if switched else "dimmed")}
        columns, _ = expected_columns({**setting.circuit_defaults, **wanted}, dataset, voltage, usual)
        whole, left = (member_of(row, dataset, voltage) for row in (full, part))
        filled = expected_of(left, dataset, voltage, usual).member
        pairs = [
            Pairing.of(of_row(member, dataset, site, columns), output, site, dataset)
            for member in (whole, left, filled)
        ]
        _count(result, rules, pairs)
    return result


def _count(result: Tally, rules: Sequence[ParsedRule], pairs: Sequence[Pairing]) -> None:
    verdicts: list[list[Verdict]] = [[], [], []]
    for rule in rules:
        codes = [pair.code(rule) for pair in pairs]
        for found, code in zip(verdicts, codes, strict=True):
            found.append(verdict_of(code, rule.rule.breach))
        truth, left, expected = codes
        if truth == NOT_KNOWN:
            continue
        result.rules += 1
        result.rules_left += left == truth
        result.rules_expected += expected == truth
        result.wrong[rule.rule.slug] += expected != truth
    whole, left_verdict, expected_verdict = (worst(found) for found in verdicts)
    result.proof_broken += whole not in MAY_BECOME.get(left_verdict, VERDICTS)
    if whole == "unproven":
        return
    result.pairings += 1
    result.verdicts[whole, expected_verdict] += expected_verdict != whole
    result.decided_left += left_verdict != "unproven"
    result.same += expected_verdict == whole
    result.same_kind += KIND[expected_verdict] == KIND[whole]
    result.false_works += expected_verdict == "works" and whole in ("fails", "hazard")


def judged_rules(dataset: Dataset) -> list[ParsedRule]:
    """The rules on one circuit and its output."""
    return [r for r in read_rules(dataset.rules_folder, dataset.vocabulary) if is_of_circuit(r)]


def main() -> None:
    """Print the figures."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    dataset = load_dataset()
    rules = judged_rules(dataset)
    assert any(is_shared(rule) for rule in rules)
    for share in SHARES:
        start = time.process_time()
        found = tally(dataset, rules, share, count)
        seconds = time.process_time() - start
        often = ", ".join(f"{slug} {times}" for slug, times in found.wrong.most_common(9))
        sys.stdout.write(f"{found.line(share)} ({seconds:.1f} s)\n    otherwise: {often}\n")
        moved = ", ".join(f"{a} as {b} {n}" for (a, b), n in found.verdicts.most_common(9) if n)
        sys.stdout.write(f"    {moved}; proofs broken {found.proof_broken}\n")


if __name__ == "__main__":
    main()
