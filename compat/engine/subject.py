"""One subject of the rules: a circuit or a line at its site, or an output. Its values by name, and where
each came from. A :class:`Pairing` lays a circuit on an output.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from compat.dataset.read import Dataset, Equipment
from compat.engine.gather import Circuit, Member
from compat.engine.site import Site
from compat.engine.supply_of_rows import around
from compat.model.figures import amount_text
from compat.model.report import Input, Place
from compat.model.values import UNKNOWN, Content, Interval, Origin, TokenSet, Trait
from compat.model.vocabulary import TraitDefinition, Vocabulary
from compat.rulebook import truth
from compat.rulebook.clauses import Clause, ClauseSide, side_of
from compat.rulebook.evaluator import Evaluator
from compat.rulebook.nodes import Node, QuantityNode, TruthNode
from compat.rulebook.rules import ParsedRule

if TYPE_CHECKING:
    from compat.engine.lines import Line

GATHERED = ("circuit", "line")
OUTPUT_PREFIX = "output."
AGREE = "circuit.stated_values_agree"


@dataclass(slots=True)
class Subject:
    """Values by full trait name, evaluated and written; each is made once, when it is asked for."""

    dataset: Dataset
    evaluator: Evaluator = field(init=False)
    _inputs: dict[str, list[Input]] = field(init=False, default_factory=dict)
    _texts: dict[str, str] = field(init=False, default_factory=dict)
    _sides: dict[int, ClauseSide] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        self.evaluator = Evaluator(self.content, self.dataset.vocabulary.bit_of)

    def share(self, other: Subject) -> None:
        """Take over what another subject with the same values has evaluated and written."""
        self.evaluator, self._texts, self._sides = other.evaluator, other._texts, other._sides

    def content(self, name: str) -> Content:
        """The value of a trait by full name; None when it is not known."""
        return self.trait(name).content

    def trait(self, name: str) -> Trait:
        """The stated trait of a full name; UNKNOWN when there is none."""
        raise NotImplementedError

    def text(self, name: str) -> str:
        """The value as people read it."""
        if name not in self._texts:
            trait = self.dataset.vocabulary.traits[name]
            self._texts[name] = content_text(self.content(name), trait, self.dataset.vocabulary)
        return self._texts[name]

    def inputs(self, name: str) -> list[Input]:
        """The written values behind a trait: one for each row it is gathered from, or just one."""
        if name not in self._inputs:
            self._inputs[name] = list(self._written(name))
        return self._inputs[name]

    def _written(self, name: str) -> Iterator[Input]:
        definition = self.dataset.vocabulary.traits[name]
        yield self.written(definition, self.trait(name), definition.label)

    def written(self, definition: TraitDefinition, trait: Trait, label: str) -> Input:
        """A written value as the report shows it."""
        text = content_text(trait.content, definition, self.dataset.vocabulary)
        if trait.recalled is not None:
            recalled = content_text(trait.recalled, definition, self.dataset.vocabulary)
            text = f"not known ({recalled} from memory, not used)"
        stated = trait.content is not None or trait.recalled is not None
        return Input(
            name=definition.full_name,
            label=label,
            text=text,
            basis=trait.basis if stated else None,
            source=trait.source,
            place=place_of(trait.origin),
        )

    def side(self, clause: Clause) -> ClauseSide:
        """What this subject gives to a clause: the circuit's demand, or the output's allowance."""
        found = self._sides.get(id(clause))
        if found is None:
            # The rules keep their clauses alive, so that an identity cannot pass to another.
            found = self._sides[id(clause)] = self._side(clause)
        return found

    def _side(self, clause: Clause) -> ClauseSide:
        return clause.demand(self.evaluator)


@dataclass(slots=True)
class OutputSubject(Subject):
    """An output, or none."""

    output: Equipment | None

    def trait(self, name: str) -> Trait:
        """The stated trait of a full name; UNKNOWN when there is none."""
        return self.output.traits.get(name.removeprefix(OUTPUT_PREFIX), UNKNOWN) if self.output else UNKNOWN

    def _side(self, clause: Clause) -> ClauseSide:
        return clause.allowance(self.evaluator)


@dataclass(slots=True)
class CircuitSubject(Subject):
    """A circuit or a line, with the supply and protective devices around it."""

    circuit: Circuit | Line
    site: Site

    def __post_init__(self) -> None:
        """Takes the supply that the rows are rated for, where the site has several."""
        Subject.__post_init__(self)
        self.site = around(self.site, (member.row for member in self.circuit.members), self.dataset)

    def content(self, name: str) -> Content:
        """The value of a trait by full name; None when it is not known."""
        if name.startswith(("circuit.", "line.")):
            return self.circuit.values.get(name)
        return self.trait(name).content

    def trait(self, name: str) -> Trait:
        """The stated trait of a full name; UNKNOWN when there is none."""
        subject, short = name.split(".", 1)
        traits: Mapping[str, Trait] = (
            self.circuit.column_traits if subject in GATHERED else self.site.traits(subject)
        )
        return traits.get(short, UNKNOWN)

    def _written(self, name: str) -> Iterator[Input]:
        definition = self.dataset.vocabulary.traits[name]
        if definition.subject not in GATHERED or definition.gather in ("column", "line"):
            yield self.written(definition, self.trait(name), definition.label)
        elif name == AGREE:
            yield from self._in_conflict()
        elif needed := self._needed(definition):
            for part in needed:
                yield from self.inputs(part)
        elif definition.gathered_from:
            source = self.dataset.vocabulary.traits[definition.gathered_from]
            for member in self.circuit.members:
                label = f"{source.label}, {member.row.quantity} × {member.name}"
                yield self.written(source, member.traits.get(source.name, UNKNOWN), label)
        else:
            for member in self.circuit.members:
                yield Input(
                    name="quantity",
                    label=f"quantity of {member.name}",
                    text=str(member.row.quantity),
                    basis="declared",
                    place=place_of(member.row.origins.get("quantity")),
                )

    def _in_conflict(self) -> Iterator[Input]:
        """The stated values that cannot all be true, each with its cell."""
        for member in self.circuit.members:
            for conflict in member.contradictions:
                for name, trait in conflict.values.items():
                    if definition := self.dataset.vocabulary.traits.get(name):
                        yield self.written(definition, trait, f"{definition.label}, {member.name}")

    def _needed(self, definition: TraitDefinition) -> list[str]:
        """The traits that a computed trait of a line is made of, by full name; none for others."""
        if definition.subject != "line" or definition.gather != "computed":
            return []
        from compat.engine.line_computed import NEEDS

        return [f"line.{name}" for name in NEEDS[definition.name]]

    def open_parts(self, name: str) -> list[TraitDefinition]:
        """The traits stated for the whole line whose silence leaves a computed one open."""
        traits = self.dataset.vocabulary.traits
        parts = [traits[part] for part in self._needed(traits[name]) if is_open(self.content(part))]
        return [part for part in parts if part.gather == "line"]

    def members_without(self, name: str) -> list[Member]:
        """The rows whose silence leaves a gathered trait open."""
        definition = self.dataset.vocabulary.traits[name]
        sources = [self.dataset.vocabulary.traits[part].gathered_from for part in self._needed(definition)]
        names = [source.split(".", 1)[1] for source in sources or [definition.gathered_from] if source]
        return [
            member
            for member in self.circuit.members
            if any(is_open(member.traits.get(trait, UNKNOWN).content) for trait in names)
        ]


@dataclass(slots=True)
class Pairing:
    """A circuit on an output, or on none yet; a line by itself."""

    circuit: CircuitSubject
    output: OutputSubject

    @classmethod
    def of(cls, circuit: Circuit | Line, output: Equipment | None, site: Site, dataset: Dataset) -> Pairing:
        """The pairing of a circuit or line with an output at a site."""
        nowhere = _nowhere(dataset) if output is None else OutputSubject(dataset, output)
        return cls(CircuitSubject(dataset, circuit, site), nowhere)

    @property
    def dataset(self) -> Dataset:
        """The dataset that both subjects are read by."""
        return self.circuit.dataset

    def subject_of(self, name: str) -> Subject:
        """The subject that has a trait."""
        return self.output if name.startswith(OUTPUT_PREFIX) else self.circuit

    def content(self, name: str) -> Content:
        """The value of a trait by full name."""
        return self.subject_of(name).content(name)

    def text(self, name: str) -> str:
        """The value as people read it."""
        return self.subject_of(name).text(name)

    def inputs(self, name: str) -> list[Input]:
        """The written values behind a trait."""
        return self.subject_of(name).inputs(name)

    def code(self, rule: ParsedRule) -> int:
        """The truth value of a rule: the least of its clauses."""
        return self._least(rule.clauses)

    def applies(self, rule: ParsedRule) -> int:
        """The truth value of a rule's condition of use."""
        return self._least(rule.applies_clauses)

    def quantity(self, node: QuantityNode) -> Interval | None:
        """The interval of a demand or a limit."""
        return self._evaluator(node).quantity(node)

    def missing(self, rule: ParsedRule) -> list[str]:
        """The traits whose being unknown leaves a rule unknown, in the rule's order."""
        found: set[str] = set()
        for clause in rule.clauses:
            if self.clause_code(clause) == truth.UNKNOWN:
                for node in clause.parts():
                    found.update(self._evaluator(node).missing(node))
        return [name for name in rule.names if name in found]

    def clause_code(self, clause: Clause) -> int:
        """The truth value of one clause."""
        return clause.code(self.circuit.side(clause), self.output.side(clause), self.mixed)

    def _least(self, clauses: tuple[Clause, ...]) -> int:
        code = truth.YES
        for clause in clauses:
            code = truth.both(code, self.clause_code(clause))
        return code

    def mixed(self, node: TruthNode) -> int:
        """The truth value of a part that needs both subjects."""
        return Evaluator(self.content, self.dataset.vocabulary.bit_of).truth(node)

    def _evaluator(self, node: Node) -> Evaluator:
        side = side_of(node)
        if side == "both":
            return Evaluator(self.content, self.dataset.vocabulary.bit_of)
        return (self.output if side == "output" else self.circuit).evaluator


def _nowhere(dataset: Dataset) -> OutputSubject:
    """No output, evaluated once for a dataset."""
    known = _NOWHERE.get(id(dataset))
    if known is None:
        # The subject holds its dataset, so that its identity cannot pass to another.
        _NOWHERE.clear()
        known = _NOWHERE[id(dataset)] = OutputSubject(dataset, None)
    return known


_NOWHERE: dict[int, OutputSubject] = {}


def is_open(content: Content) -> bool:
    """Whether a value is unknown, in whole or in part."""
    return content is None or (isinstance(content, TokenSet) and content.sure != content.possible)


def place_of(origin: Origin | None) -> Place | None:
    """An origin as the report writes it."""
    if origin is None:
        return None
    return Place(file=origin.file, sheet=origin.sheet, cell=origin.cell, line=origin.line, key=origin.key)


def _is_commanded(definition: TraitDefinition) -> bool:
    return definition.subject == "output" or definition.name.endswith("_commanded")


def content_text(content: Content, definition: TraitDefinition, vocabulary: Vocabulary) -> str:
    """A value as people read it: ``38 to 42 W``, ``yes``, ``forward phase or reverse phase``."""
    if content is None:
        return "not known"
    if isinstance(content, Interval):
        return amount_text(content.low, content.high, vocabulary.unit_symbol(definition.unit))
    if isinstance(content, bool):
        return "yes" if content else "no"
    if isinstance(content, str):
        return vocabulary.symbol(content, definition.choices)
    order = vocabulary.values_of(definition)
    if _is_commanded(definition) and len(content.sure) > 1:
        # That a control needs no command for plain gear is no news beside what it commands.
        order = tuple(token for token in order if token != "none")
    sure = [vocabulary.symbol(token, definition.choices) for token in order if token in content.sure]
    open_ = [
        vocabulary.symbol(token, definition.choices)
        for token in order
        if token in content.possible and token not in content.sure
    ]
    if len(content.possible) == len(order) and not sure:
        return "not known"
    parts = [", ".join(sure)] if sure else []
    return " and ".join([*parts, f"perhaps {', '.join(open_)}"]) if open_ else (parts[0] if parts else "none")
