"""A parsed dataset as lines of JSON, and back.

The first line holds all but the traits of equipment and of usual classes, which have a line for each
entry and are read when they are first asked for: a command looks at few entries. Flat records are rows of
their fields, and of the parts of all trees those that are equal are stored once. Values come back without
a check of their own, since the file that holds them is checked as a whole.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any, TypeVar

from compat.dataset.overlay import ParsedProject
from compat.dataset.read import Dataset, Equipment
from compat.model.project import FromFaultCurrent, FromTransformer, Offer, Project, UsualState
from compat.model.relation import Relation, RelationCase, RelationSource
from compat.model.rule import Citation, Rule
from compat.model.source import Source
from compat.model.usual import UsualClass, UsualSupply
from compat.model.values import Content, Interval, Origin, TokenSet, Trait
from compat.model.vocabulary import TraitDefinition, Unit, Vocabulary
from compat.rulebook.relations import ParsedRelation
from compat.rulebook.rules import ParsedRule
from compat.rulebook.stored_trees import StoredTrees, nodes_of
from compat.rulebook.usual import ParsedClass, Usual

T = TypeVar("T")
IMPEDANCES: dict[str, type] = {made.__name__: made for made in (FromFaultCurrent, FromTransformer)}


@dataclass(frozen=True, slots=True)
class LoadedDataset:
    """A dataset, its rules in force in telling order, what holds without a project file, the relations
    between its traits, and what is usual.
    """

    dataset: Dataset
    rules: list[ParsedRule]
    defaults: ParsedProject
    relations: tuple[ParsedRelation, ...]
    usual: Usual


def to_lines(loaded: LoadedDataset) -> list[str]:
    """A loaded dataset as lines; paths are those below its folder.

    Raises TypeError or ValueError for a value that JSON does not have.
    """
    dataset, trees, lines = loaded.dataset, StoredTrees(), []
    vocabulary, root = dataset.vocabulary, dataset.root
    tables: dict[str, list[list[Any]]] = {}
    for table, entries in dataset.tables.items():
        rows = tables[table] = []
        for entry in entries.values():
            origins = {trait.origin.file for trait in entry.traits.values() if trait.origin}
            rows.append([entry.id, entry.name, entry.invented, entry.note, *(origins or {""})])
            lines.append(_line(entry.traits))
    lines += [_line(entry.figures) for entry in loaded.usual.classes]
    first = {
        "version": dataset.version,
        "sha256": dataset.sha256,
        "units": [_row(unit) for unit in vocabulary.units.values()],
        "choices": vocabulary.choices,
        "traits": [_row(trait) for trait in vocabulary.traits.values()],
        "sources": [_row(source) for source in dataset.sources.values()],
        "tables": tables,
        "defaults": _defaults(loaded.defaults),
        "rules": [
            [
                [*_row(rule.rule)[:-1], [_row(citation) for citation in rule.rule.sources]],
                rule.family,
                rule.file.relative_to(root).as_posix(),
                *(trees.place(tree) for tree in (rule.applies, rule.test, rule.demand, rule.limit)),
            ]
            for rule in loaded.rules
        ],
        "relations": [_relation_row(relation, root, trees) for relation in loaded.relations],
        "usual": [
            [_row(entry.written), entry.file.relative_to(root).as_posix(), trees.place(entry.applies)]
            for entry in loaded.usual.classes
        ],
        "usual_supplies": [_row(supply) for supply in loaded.usual.supplies],
        "measures": [[measure.powers, measure.factor] for measure in trees.measures],
        "nodes": trees.rows,
    }
    return [_json(first), *lines]


def from_lines(lines: Sequence[bytes], root: Path) -> LoadedDataset:
    """The loaded dataset of a folder from its lines.

    Raises KeyError, IndexError, ValueError, TypeError or AttributeError where they are of another form.
    """
    data, later = json.loads(lines[0]), iter(lines[1:])
    unit, trait, source = _maker(Unit), _maker(TraitDefinition), _maker(Source)
    definitions = [trait([*row[:-1], tuple(row[-1])]) for row in data["traits"]]
    units = [unit(row) for row in data["units"]]
    vocabulary = Vocabulary(
        {definition.full_name: definition for definition in definitions},
        {made.name: made for made in units},
        data["choices"],
    )
    sources = {made.id: made for made in map(source, data["sources"])}
    tables = {
        table: {
            identity: Equipment(identity, name, StoredTraits(next(later), file, identity), invented, note)
            for identity, name, invented, note, file in rows
        }
        for table, rows in data["tables"].items()
    }
    dataset = Dataset(root, vocabulary, tables, sources, data["version"], data["sha256"])
    made = nodes_of(data)
    return LoadedDataset(
        dataset,
        _rules(data, root, made),
        _defaults_of(data["defaults"]),
        _relations(data, root, made),
        _usual(data, root, made, later),
    )


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def _row(record: Any) -> list[Any]:
    return [getattr(record, field.name) for field in fields(record)]


def _maker(made: type[T]) -> Callable[[list[Any]], T]:
    """Makes a record of a row of its fields, several times as fast as its own constructor."""
    setters = [made.__dict__[field.name].__set__ for field in fields(made)]  # type: ignore[arg-type]
    new = made.__new__

    def make(row: list[Any]) -> T:
        record = new(made)
        for put, value in zip(setters, row, strict=True):
            put(record, value)
        return record

    return make


def _line(traits: Mapping[str, Trait]) -> str:
    """The traits of an entry without their places, which follow from its file and id."""
    return _json(
        {
            name: [_content(trait.content), trait.basis, trait.source, _content(trait.recalled)]
            for name, trait in traits.items()
        }
    )


def _content(content: Content) -> Any:
    if isinstance(content, Interval):
        return [content.low, content.high]
    if isinstance(content, TokenSet):
        return {"sure": sorted(content.sure), "possible": sorted(content.possible)}
    return content


def _content_of(stored: Any) -> Content:
    if stored.__class__ is list:
        low, high = stored
        return Interval(low, high)
    if stored.__class__ is dict:
        sure = frozenset(stored["sure"])
        possible = frozenset(stored["possible"])
        return TokenSet(sure, sure if sure == possible else possible)
    return stored  # type: ignore[no-any-return]


def _traits(traits: Mapping[str, Trait]) -> dict[str, list[Any]]:
    return {
        name: [
            _content(trait.content),
            trait.basis,
            trait.source,
            _row(trait.origin) if trait.origin else None,
            _content(trait.recalled),
        ]
        for name, trait in traits.items()
    }


def _traits_of(stored: Mapping[str, list[Any]]) -> dict[str, Trait]:
    return {
        name: Trait(
            _content_of(content), basis, source, Origin(*origin) if origin else None, _content_of(recalled)
        )
        for name, (content, basis, source, origin, recalled) in stored.items()
    }


class StoredTraits(Mapping[str, Trait]):
    """The traits of an entry, read from their line when they are first asked for."""

    __slots__ = ("_file", "_identity", "_line", "_traits")

    def __init__(self, line: bytes, file: str, identity: str) -> None:
        self._line, self._file, self._identity = line, file, identity
        self._traits: dict[str, Trait] | None = None

    def _read(self) -> dict[str, Trait]:
        if self._traits is None:
            file, lead = self._file, f"{self._identity} "
            self._traits = {
                name: Trait(
                    _content_of(content),
                    basis,
                    source,
                    Origin(file, key=lead + name),
                    None if recalled is None else _content_of(recalled),
                )
                for name, (content, basis, source, recalled) in json.loads(self._line).items()
            }
        return self._traits

    def __getitem__(self, name: str) -> Trait:
        return self._read()[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._read())

    def __len__(self) -> int:
        return len(self._read())

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Mapping):
            return NotImplemented
        return self._read() == dict(other)

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        return repr(self._read())


def _defaults(defaults: ParsedProject) -> dict[str, Any]:
    project = {field.name: getattr(defaults.project, field.name) for field in fields(Project)}
    source = defaults.project.source
    return {
        "project": {
            **project,
            "offer": defaults.project.offer.outputs,
            "usual_installation_is": [_row(state) for state in defaults.project.usual_installation_is],
            "source": [type(source).__name__, _row(source)] if source else None,
        },
        "overrides": {subject: _traits(traits) for subject, traits in defaults.overrides.items()},
        "circuit_defaults": _traits(defaults.circuit_defaults),
        "lines": {label: _traits(traits) for label, traits in defaults.lines.items()},
        "line_defaults": _traits(defaults.line_defaults),
        "driver_defaults": _traits(defaults.driver_defaults),
        "usual_installation": _traits(defaults.usual_installation),
    }


def _defaults_of(stored: Mapping[str, Any]) -> ParsedProject:
    project = {**stored["project"], "offer": Offer(outputs=stored["project"]["offer"])}
    project["usual_installation_is"] = [_maker(UsualState)(row) for row in project["usual_installation_is"]]
    if project["source"]:
        name, row = project["source"]
        values = [tuple(value) if isinstance(value, list) else value for value in row]
        project["source"] = _maker(IMPEDANCES[name])(values)
    return ParsedProject(
        Project(**project),
        {subject: _traits_of(traits) for subject, traits in stored["overrides"].items()},
        _traits_of(stored["circuit_defaults"]),
        {label: _traits_of(traits) for label, traits in stored["lines"].items()},
        _traits_of(stored["line_defaults"]),
        _traits_of(stored["driver_defaults"]),
        _traits_of(stored["usual_installation"]),
    )


def _rules(data: Mapping[str, Any], root: Path, made: Sequence[Any]) -> list[ParsedRule]:
    rule, citation = _maker(Rule), _maker(Citation)
    rules = []
    for row, family, file, applies, test, demand, limit in data["rules"]:
        row[-1] = [citation(cited) for cited in row[-1]]
        rules.append(
            ParsedRule(
                rule(row),
                family,
                root / file,
                made[applies],
                made[test],
                None if demand is None else made[demand],
                None if limit is None else made[limit],
            )
        )
    return rules


def _relation_row(parsed: ParsedRelation, root: Path, trees: StoredTrees) -> list[Any]:
    *plain, sources, cases = _row(parsed.relation)
    return [
        [*plain, [_row(source) for source in sources], [_row(case) for case in cases]],
        parsed.file.relative_to(root).as_posix(),
        *map(trees.place, (parsed.applies, parsed.unless, parsed.holds, parsed.condition)),
        parsed.names,
    ]


def _relations(data: Mapping[str, Any], root: Path, made: Sequence[Any]) -> tuple[ParsedRelation, ...]:
    relation, source, case = _maker(Relation), _maker(RelationSource), _maker(RelationCase)
    parsed = _maker(ParsedRelation)
    relations = []
    for (*plain, sources, cases), file, *trees, names in data["relations"]:
        written = relation([*plain, list(map(source, sources)), list(map(case, cases))])
        relations.append(parsed([written, root / file, *(made[place] for place in trees), tuple(names)]))
    return tuple(relations)


def _usual(data: Mapping[str, Any], root: Path, made: Sequence[Any], later: Iterator[bytes]) -> Usual:
    written, supply, classes = _maker(UsualClass), _maker(UsualSupply), []
    for row, name, applies in data["usual"]:
        entry, file = written(row), root / name
        classes.append(
            ParsedClass(entry, file, made[applies], StoredTraits(next(later), file.name, entry.id))
        )
    return Usual(tuple(classes), tuple(map(supply, data["usual_supplies"])))
