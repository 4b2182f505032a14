"""What to change, each judged before it is said: another output, a split, a state of the installation,
switching only. Least change first; the changed rows are judged as if they stood in the schedule.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from compat.engine.aggregate import moves_with_quantity
from compat.engine.findings import Judged
from compat.engine.gather import Circuit, Member, gather_rows
from compat.engine.join import Allowances, RuleClauses, gravest_first, verdict_and_place
from compat.engine.protection import is_shared
from compat.engine.ranking import LoadLimits
from compat.engine.site import Site
from compat.engine.subject import CircuitSubject, OutputSubject
from compat.engine.verdicts import Verdicts
from compat.model.report import Change
from compat.model.schedule import ScheduleRow
from compat.model.values import Interval, Trait
from compat.model.verdicts import RANK, Verdict, worst
from compat.rulebook.rules import ParsedRule

MOST_PARTS = 8
MOST_CHANGES = 3


@dataclass(frozen=True, slots=True, order=True)
class Outcome:
    """What a change comes to: by what is known, and with usual values. Less is better."""

    rank: int
    expected_rank: int

    @classmethod
    def of(cls, verdict: Verdict, expected: Verdict) -> Outcome:
        """The outcome of two verdicts; the expected one counts only where the other is unproven."""
        return cls(RANK[verdict], RANK[expected] if verdict == "unproven" else RANK[verdict])

    @property
    def worth(self) -> int:
        """How bad it is for the one who buys: an unproven verdict is as bad as what is expected of it."""
        return self.expected_rank


@dataclass(slots=True)
class Changes:
    """Finds changes for circuits of one schedule. ``proven`` and ``expected`` are its two footings."""

    proven: Verdicts
    expected: Verdicts
    rules: Sequence[ParsedRule]
    offer: Mapping[str, OutputSubject]
    limits: LoadLimits
    defaults: Mapping[str, Trait]
    _ordered: list[RuleClauses] = field(init=False)
    _allowances: dict[tuple[int, ...], Allowances] = field(init=False, default_factory=dict)
    _found: dict[object, list[Change]] = field(init=False, default_factory=dict)
    _kept: dict[bool, dict[object, Member]] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        """Puts the rules in the order in which they are judged."""
        self._ordered = gravest_first(self.rules)

    def of(self, place: int, output: OutputSubject, now: Outcome, judged: Sequence[Judged]) -> list[Change]:
        """At most three changes that make a circuit better than ``now``, the least first.

        ``judged`` are its findings, worst first; ``output`` is the one it is on.
        """
        deciding = [found.rule for found in judged if RANK[found.finding.verdict] >= RANK["marginal"]]
        circuit = self.proven.circuits[place]
        # Circuits that state the same share their values; nothing told here depends on their cells.
        key = (
            id(circuit.values),
            id(self.expected.circuits[place].values),
            id(output.output),
            now,
            tuple((member.row.breaker, member.row.rcd, member.row.line) for member in circuit.members),
            tuple(rule.rule.id for rule in deciding),
            tuple(self.proven.all_of(place).values()),
            tuple(self.expected.all_of(place).values()),
        )
        if key not in self._found:
            self._found[key] = self._best(place, output, now, deciding)
        return self._found[key]

    def _best(
        self, place: int, output: OutputSubject, now: Outcome, deciding: Sequence[ParsedRule]
    ) -> list[Change]:
        found: list[Change] = []
        for change in self._candidates(place, output, deciding):
            # Of one kind the first is the least change, unless a later one does better.
            known = next((one for one in found if one.kind == change.kind), None)
            if _worth(change) < (now.worth if known is None else _worth(known)):
                found = [one for one in found if one is not known] + [change]
                if not _worth(change):
                    break
        best = min(map(_worth, found), default=0)
        return [change for change in found if _worth(change) == best][:MOST_CHANGES]

    def _candidates(
        self, place: int, output: OutputSubject, deciding: Sequence[ParsedRule]
    ) -> Iterator[Change]:
        circuit = self.proven.circuits[place]
        yield from self._states(circuit, output, deciding)
        yield from self._other_output(place, output)
        if any(self._moves(rule) for rule in deciding):
            yield from self._splits(circuit, output, deciding)
            if greatest := self._greatest_like(output):
                yield from self._splits(circuit, greatest, deciding, moved=True)
        yield from self._switch_only(place, circuit)

    def _other_output(self, place: int, now: OutputSubject) -> Iterator[Change]:
        """The best other output on offer."""
        proven, expected = self.proven.all_of(place), self.expected.all_of(place)
        order = self.limits.ranked(
            {name: proven[name] for name in self.offer}, expected, self.proven.subjects[place], self.offer
        )
        for name in order[:2]:
            output = self.offer[name].output
            assert output is not None
            if now.output is None or output.id != now.output.id:
                text = f"Put it on {output.name} ({output.id})."
                yield _change("output", text, proven[name], expected[name], output=name)
                return

    def _greatest_like(self, now: OutputSubject) -> OutputSubject | None:
        """The output on offer of the same method that is rated for the greatest load, when it is another."""

        def rated_w(output: OutputSubject) -> float:
            content = output.content("output.max_load_w")
            return content.low if isinstance(content, Interval) else 0.0

        method = now.content("output.method")
        like = [one for one in self.offer.values() if one.content("output.method") == method]
        best = max(like, key=rated_w, default=None)
        return best if best is not None and rated_w(best) > rated_w(now) else None

    def _splits(
        self,
        circuit: Circuit,
        output: OutputSubject,
        deciding: Sequence[ParsedRule],
        moved: bool = False,
    ) -> Iterator[Change]:
        """A circuit of one row in two, three ... parts on one output; ``moved`` says that it is another."""
        if len(circuit.members) != 1 or output.output is None:
            return
        row = circuit.members[0].row
        own = ", each behind a device of its own" if any(map(is_shared, deciding)) else ""
        for parts in range(2, min(MOST_PARTS, row.quantity) + 1):
            sizes = [row.quantity // parts + (place < row.quantity % parts) for place in range(parts)]
            judged = [self.judge([replace(row, quantity=size)], [output])[0] for size in sorted(set(sizes))]
            verdict, expected = worst(one[0] for one in judged), worst(one[1] for one in judged)
            on = f", each on {output.output.name} ({output.output.id})" if moved else own
            text = f"Split it into {parts} circuits of {_sizes(sizes)}{on}."
            to = {"output": output.output.id} if moved else {}
            yield _change("split", text, verdict, expected, parts=sizes, **to)

    def _switch_only(self, place: int, circuit: Circuit) -> Iterator[Change]:
        """The best output that switches, where dimming was wanted."""
        if self.expected.circuits[place].column_traits["wanted_control"].content != "dimmed":
            return
        rows = _stating(circuit, {"wanted_control": Trait("switched")})
        switching = {
            name: output
            for name, output in self.offer.items()
            if output.content("output.method") == "switched"
        }
        if not switching:
            return
        judged = dict(zip(switching, self.judge(rows, list(switching.values())), strict=True))
        verdicts = {name: one[0] for name, one in judged.items()}
        expected = {name: one[1] for name, one in judged.items()}
        name = self.limits.ranked(verdicts, expected, self.proven.subjects[place], switching)[0]
        output = self.offer[name].output
        assert output is not None
        text = f"Do without dimming: switch it from {output.name} ({output.id})."
        yield _change("switch_only", text, verdicts[name], expected[name], output=name)

    def _states(
        self, circuit: Circuit, output: OutputSubject, deciding: Sequence[ParsedRule]
    ) -> Iterator[Change]:
        """What the schedule says of the installation, said otherwise, with the first cure of the rule."""
        for rule in deciding[:2]:
            for name in rule.names:
                short = name.removeprefix("circuit.")
                stated = circuit.column_traits.get(short)
                if stated is None or not isinstance(stated.content, bool) or short.startswith("wanted_"):
                    continue
                other = {short: not stated.content}
                rows = _stating(circuit, {short: Trait(not stated.content)})
                ((verdict, expected),) = self.judge(rows, [output])
                yield _change("state", rule.rule.remedies[0], verdict, expected, states=other)

    def judge(
        self, rows: Sequence[ScheduleRow], outputs: Sequence[OutputSubject]
    ) -> list[tuple[Verdict, Verdict]]:
        """The verdicts of rows as one circuit on outputs: by what is known, and with usual values."""
        proven, expected = (self._on(footing, rows, outputs) for footing in (self.proven, self.expected))
        return list(zip(proven, expected, strict=True))

    def _on(
        self, footing: Verdicts, rows: Sequence[ScheduleRow], outputs: Sequence[OutputSubject]
    ) -> list[Verdict]:
        protection = footing.protection
        site: Site = protection.site
        # No cell is told of what is tried, so rows that state the same are made once.
        kept = self._kept.setdefault(footing is self.proven, {})
        circuit = gather_rows(rows[0].circuit, rows, protection.dataset, site, self.defaults, kept)
        subject = CircuitSubject(protection.dataset, circuit, site)
        shared = protection.verdict(circuit)
        keys = self._allowed(outputs).keys(subject)
        return [worst([verdict_and_place(key)[0], shared]) for key in keys]

    def _allowed(self, outputs: Sequence[OutputSubject]) -> Allowances:
        key = tuple(map(id, outputs))
        if key not in self._allowances:
            self._allowances[key] = Allowances(self._ordered, outputs)
        return self._allowances[key]

    def _moves(self, rule: ParsedRule) -> bool:
        traits = self.proven.protection.dataset.vocabulary.traits
        return any(
            traits[name].subject == "circuit" and moves_with_quantity(traits[name]) for name in rule.names
        )


def _change(kind: str, text: str, verdict: Verdict, expected: Verdict, **fields: object) -> Change:
    told = expected if verdict == "unproven" else None
    return Change(kind=kind, text=text, verdict=verdict, expected=told, **fields)  # type: ignore[arg-type]


def _worth(change: Change) -> int:
    return Outcome.of(change.verdict, change.expected or change.verdict).worth


def _stating(circuit: Circuit, traits: Mapping[str, Trait]) -> list[ScheduleRow]:
    """The rows of a circuit, saying something else in their columns."""
    rows = (member.row for member in circuit.members)
    return [replace(row, circuit_traits={**row.circuit_traits, **traits}) for row in rows]


def _sizes(sizes: Sequence[int]) -> str:
    """``8``; ``8, 8 and 7``; of more than three ``28 or 29``."""
    if len(set(sizes)) == 1:
        return f"{sizes[0]}"
    if len(sizes) > 3:
        return f"{sizes[-1]} or {sizes[0]}"
    return f"{', '.join(str(size) for size in sizes[:-1])} and {sizes[-1]}"
