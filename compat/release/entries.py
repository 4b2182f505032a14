"""The equipment of a release: a wide table for each subject, and all traits in one long table."""

from __future__ import annotations

from collections.abc import Iterator

from compat.dataset.read import Dataset, Equipment
from compat.model.equipment import SUBJECT_OF, Entry
from compat.model.values import UNKNOWN, Content, Interval, TokenSet
from compat.model.vocabulary import TraitDefinition
from compat.release.edition import locators_of, written_entries
from compat.release.table import Cell, Column, Table, columns_of, or_none, table


def equipment_tables(dataset: Dataset) -> Iterator[Table]:
    """The wide tables, then the long one. A quantity of a wide table takes two columns, low and high."""
    long_rows: list[tuple[Cell, ...]] = []
    for name, subject in SUBJECT_OF.items():
        definitions = list(dataset.vocabulary.of_subject(subject))
        written = written_entries(dataset.root, name)
        columns = [
            *columns_of("equipment"),
            *(column for trait in definitions for column in _wide_columns(trait, dataset)),
        ]
        rows = []
        for entry in sorted(dataset.tables[name].values(), key=lambda entry: entry.id):
            more = written[entry.id]
            head: list[Cell] = [entry.id, or_none(more.slug), entry.name]
            head += [or_none(entry.note), or_none(more.checked_on)]
            rows.append((*head, *_wide_cells(entry, definitions, dataset)))
            long_rows += _long_rows(name, entry, definitions, more, dataset)
        yield table(name, rows, "id", columns=tuple(columns))
    yield table("traits", long_rows, "table", "entry", "trait")


def _wide_columns(trait: TraitDefinition, dataset: Dataset) -> Iterator[Column]:
    name, meaning = trait.name, trait.meaning[:1].upper() + trait.meaning[1:]
    symbol = dataset.vocabulary.unit_symbol(trait.unit)
    unit = f", in {symbol}" if symbol else ""
    if trait.kind == "quantity":
        yield Column(f"{name}_low", "number", f"{meaning}{unit}: low end")
        yield Column(f"{name}_high", "number", f"{meaning}{unit}: high end")
    elif trait.kind == "set":
        yield Column(name, "words", f"{meaning}: what is sure")
        yield Column(f"{name}_possible", "words", f"{meaning}: what is possible")
    else:
        yield Column(name, "yes_no" if trait.kind == "yes_no" else "text", meaning)
    yield Column(f"{name}_basis", "text", f"How sure it is: {trait.label}")
    yield Column(f"{name}_source", "text", f"The id of the source: {trait.label}")


def _wide_cells(entry: Equipment, definitions: list[TraitDefinition], dataset: Dataset) -> Iterator[Cell]:
    for definition in definitions:
        trait = entry.traits.get(definition.name, UNKNOWN)
        cells = _cells(trait.content, definition, dataset)
        yield from cells
        known = trait.content is not None or trait.recalled is not None
        yield trait.basis if known else None
        yield trait.source if known else None


def _cells(content: Content, definition: TraitDefinition, dataset: Dataset) -> tuple[Cell, ...]:
    if isinstance(content, Interval):
        return content.low, content.high
    if isinstance(content, TokenSet):
        order = dataset.vocabulary.values_of(definition)
        sure = [word for word in order if word in content.sure]
        return sure, [word for word in order if word in content.possible]
    return (content, None)[: 2 if definition.kind in ("quantity", "set") else 1]


def _long_rows(
    name: str, entry: Equipment, definitions: list[TraitDefinition], more: Entry, dataset: Dataset
) -> Iterator[tuple[Cell, ...]]:
    locators = locators_of(more)
    for definition in definitions:
        trait = entry.traits.get(definition.name, UNKNOWN)
        content = trait.recalled if trait.content is None else trait.content
        if content is None:
            continue
        values: dict[str, tuple[Cell, ...]] = {"quantity": (None, None), "set": (None, None)}
        values |= {
            "choice": (None,),
            "yes_no": (None,),
            definition.kind: _cells(content, definition, dataset),
        }
        cells = (*values["quantity"], *values["choice"], *values["yes_no"], *values["set"])
        head = (name, entry.id, definition.name, definition.kind, or_none(definition.unit))
        cited = (trait.basis, or_none(trait.source), locators.get(definition.name))
        yield (*head, *cells, trait.content is None, *cited)
