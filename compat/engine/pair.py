"""One circuit on one output at a site, or one line: its values by name, and where each came from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from compat.dataset.read import Dataset, Equipment
from compat.engine.gather import Circuit, Member
from compat.engine.site import Site
from compat.model.figures import amount_text
from compat.model.report import Input, Place
from compat.model.values import UNKNOWN, Content, Interval, Origin, TokenSet, Trait
from compat.model.vocabulary import TraitDefinition, Vocabulary
from compat.rulebook.reference import Evaluation

if TYPE_CHECKING:
    from compat.engine.lines import Line

GATHERED = ("circuit", "line")


@dataclass(slots=True)
class Pair:
    """Evaluates rules on a circuit, an output (or none) and the site; or on a line and the site."""

    circuit: Circuit | Line
    output: Equipment | None
    site: Site
    dataset: Dataset
    evaluation: Evaluation = field(init=False)
    _inputs: dict[str, list[Input]] = field(default_factory=dict)
    _texts: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.evaluation = Evaluation(self.content, self.dataset.vocabulary.bit_of)

    def content(self, name: str) -> Content:
        """The value of a trait by full name."""
        subject, trait = name.split(".", 1)
        if subject in GATHERED:
            return self.circuit.values.get(name)
        return self._equipment_traits(subject).get(trait, UNKNOWN).content

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
        if definition.subject not in GATHERED:
            trait = self._equipment_traits(definition.subject).get(definition.name, UNKNOWN)
            yield self.written(definition, trait, definition.label)
        elif definition.gather in ("column", "line"):
            yield self.written(definition, self.circuit.column_traits[definition.name], definition.label)
        elif needed := self._needed(definition):
            for name in needed:
                yield from self.inputs(name)
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

    def _equipment_traits(self, subject: str) -> Mapping[str, Trait]:
        if subject == "output":
            return self.output.traits if self.output else {}
        return self.site.traits(subject)

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


def is_open(content: Content) -> bool:
    """Whether a value is unknown, in whole or in part."""
    return content is None or (isinstance(content, TokenSet) and content.sure != content.possible)


def place_of(origin: Origin | None) -> Place | None:
    """An origin as the report writes it."""
    if origin is None:
        return None
    return Place(file=origin.file, sheet=origin.sheet, cell=origin.cell, line=origin.line, key=origin.key)


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
