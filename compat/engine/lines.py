"""Control lines: the circuits that share one, its traits, and what the rules say of it as a whole."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from compat.dataset.overlay import Setting
from compat.dataset.read import Dataset
from compat.engine.aggregate import joined_values
from compat.engine.findings import Judged, judged_worst_first
from compat.engine.gather import Circuit, label_of, with_column
from compat.engine.line_computed import compute_line
from compat.engine.line_members import REFUSING, accepting, refusing_drivers
from compat.engine.line_outputs import counted
from compat.engine.line_stated import stated_traits
from compat.engine.members import Member
from compat.engine.site import Site
from compat.engine.subject import Pairing
from compat.model.values import Content, Trait
from compat.rulebook.rules import ParsedRule
from compat.rulebook.usual import Usual, with_usual


@dataclass(frozen=True, slots=True)
class Line:
    """Circuits on one control line. ``values`` holds contents by full trait name, ``column_traits``
    what is stated for the whole line by bare name. ``proposed`` when the tool chose the circuits.
    """

    id: str
    circuits: tuple[Circuit, ...]
    members: tuple[Member, ...]
    values: dict[str, Content] = field(default_factory=dict)
    column_traits: dict[str, Trait] = field(default_factory=dict)
    proposed: bool = False

    @property
    def kind(self) -> str | None:
        """The kind of line, a word of the list ``line_kind``; None when it is not known."""
        kind = self.values.get("line.kind")
        return kind if isinstance(kind, str) else None


def gather_line(
    label: str,
    circuits: Sequence[Circuit],
    dataset: Dataset,
    stated: Mapping[str, Trait],
    defaults: Mapping[str, Trait],
    proposed: bool = False,
    usual: Usual | None = None,
) -> Line:
    """Some circuits, at least one, taken as one line; ``stated`` goes before ``defaults``.

    With ``usual`` what is usual of a line stands in its gaps, for the expected verdict.
    """
    everyone = tuple(member for circuit in circuits for member in circuit.members)
    columns = stated_traits(circuits, stated, defaults, dataset)
    if usual is not None:
        columns, _ = with_usual(columns, dataset.vocabulary, usual, subject="line")
    # A rule of one method says nothing of gear of another, which is told by itself.
    members = accepting(everyone, columns["kind"].content) or everyone
    values = joined_values("line", members, dataset.vocabulary)
    values.update({f"line.{name}": trait.content for name, trait in columns.items()})
    values.update(compute_line(values, members))
    values.update(counted(circuits, stated, dataset))
    values[REFUSING] = refusing_drivers(everyone, columns["kind"].content)
    return Line(label, tuple(circuits), everyone, values, columns, proposed)


# What a line states for all its circuits, and the column of a circuit that asks for the same.
STATED_FOR_CIRCUITS = {
    "wired_as_selv": "control_pair_selv",
    "separated_from_mains": "control_pair_separated",
}
# Wiring that is taken to be good where nobody states it: what the report then says, by kind of line.
TAKEN_AS_GOOD = {
    ("dmx_segment", "terminated"): "its far end is taken to have a terminator",
    ("dmx_segment", "passive_branches"): "it is taken to branch at splitters only",
}


def with_line_columns(circuits: Iterable[Circuit], setting: Setting) -> list[Circuit]:
    """The circuits with what the project states for their line in the columns that no row fills."""
    by_project = {name: trait for name, trait in setting.line_defaults.items() if trait.basis == "declared"}
    found = []
    for circuit in circuits:
        label = label_of(circuit, "line")
        of_line = {**by_project, **setting.lines.get(label, {})} if label else {}
        for name, column in STATED_FOR_CIRCUITS.items():
            by_row = any(column in member.row.circuit_traits for member in circuit.members)
            if name in of_line and not by_row:
                circuit = with_column(circuit, column, of_line[name])
        found.append(circuit)
    return found


def taken_as_good(line: Line) -> str | None:
    """What the report says of wiring that nobody states and the defaults take as good; None for nothing."""
    told = [
        sentence
        for (kind, name), sentence in TAKEN_AS_GOOD.items()
        if kind == line.values.get("line.kind") and line.column_traits[name].basis == "common_practice"
    ]
    return f"Nobody states the wiring of line {line.id}: {', and '.join(told)}." if told else None


def is_of_line(rule: ParsedRule) -> bool:
    """Whether a rule is about a control line as a whole."""
    return rule.rule.scope == "bus"


def judge_line(
    line: Line, rules: Iterable[ParsedRule], site: Site, dataset: Dataset, brief: bool = False
) -> list[Judged]:
    """The findings of the rules about lines, worst first; without those that do not apply.

    ``brief`` is as of :func:`findings.judge`. Where no driver of the line accepts its method, that is all
    there is to say.
    """
    return judged_on(Pairing.of(line, None, site, dataset), rules, brief)


def judged_on(pairing: Pairing, rules: Iterable[ParsedRule], brief: bool = False) -> list[Judged]:
    """:func:`judge_line` of a line that is laid out as a pairing already."""
    line = pairing.circuit.circuit
    assert isinstance(line, Line)
    nobody = not accepting(line.members, line.kind)
    asked = (rule for rule in rules if is_of_line(rule) and (REFUSING in rule.names or not nobody))
    return judged_worst_first(asked, pairing, brief)
