"""The equipment of a release: a wide table for each subject, and all traits in one long table."""

from __future__ import annotations

from collections.abc import Iterator

from compat.dataset.read import Dataset, Equipment
from compat.model.equipment import SUBJECT_OF, Entry
from compat.model.values import UNKNOWN, Content, Interval, TokenSet
from compat.model.vocabulary import TraitDefinition
from compat.release.edition import locators_of, written_entries
from compat.release.table import Cell, Column, Table, or_none, text, words

MEANING = {
    "drivers": "Drivers (control gear and lamps with their traits), one row each; generic, no products",
    "outputs": "Outputs that may control a circuit, one row each; generic, no products",
    "supplies": "Supplies: voltage, frequency and what the installation gives, one row each",
    "breakers": "Circuit breakers by curve and rating, one row each",
    "cables": "Cables by cross-section, one row each",
    "source_impedances": "Impedances of the supply at the board, one row each",
}
HEAD = (
    text("id", "The id, given once and never used again"),
    text("slug", "The name for addresses"),
    text("name", "The name for people"),
    text("note", "What else to know"),
    text("checked_on", "The day on which the entry was last gone through, year-month-day"),
)
LONG = (
    text("table", "The table that holds the entry"),
    text("entry", "The id of the entry"),
    text("trait", "The name of the trait, as in the vocabulary"),
    text("kind", "quantity, choice, yes_no or set"),
    text("unit", "The unit of low and high"),
    Column("low", "number", "Low end of a quantity; equal to high when it is exact"),
    Column("high", "number", "High end of a quantity"),
    text("word", "The word of a choice"),
    Column("yes_no", "yes_no", "The answer of a yes or no"),
    words("words", "What a set surely holds"),
    words("words_possible", "What a set may hold"),
    Column("recalled", "yes_no", "Whether it is only remembered: shown, and never decides anything"),
    text("basis", "standard, derived, measured, common_practice, memory or declared"),
    text("source", "The id of the source"),
    text("locator", "Which part of the source, or how it was worked out"),
)


def equipment_tables(dataset: Dataset) -> Iterator[Table]:
    """The wide tables, then the long one. A quantity of a wide table takes two columns, low and high."""
    long_rows: list[tuple[Cell, ...]] = []
    for name, subject in SUBJECT_OF.items():
        definitions = list(dataset.vocabulary.of_subject(subject))
        written = written_entries(dataset.root, name)
        columns = [*HEAD, *(column for trait in definitions for column in _wide_columns(trait, dataset))]
        rows = []
        for entry in sorted(dataset.tables[name].values(), key=lambda entry: entry.id):
            more = written[entry.id]
            head: list[Cell] = [entry.id, or_none(more.slug), entry.name]
            head += [or_none(entry.note), or_none(more.checked_on)]
            rows.append((*head, *_wide_cells(entry, definitions, dataset)))
            long_rows += _long_rows(name, entry, definitions, more, dataset)
        yield Table(name, MEANING[name], tuple(columns), tuple(rows), ("id",))
    meaning = "Every known trait of every entry, one row each, with where it is from"
    yield Table("traits", meaning, LONG, tuple(long_rows), ("table", "entry", "trait"))


def _wide_columns(trait: TraitDefinition, dataset: Dataset) -> Iterator[Column]:
    name, meaning = trait.name, trait.meaning[:1].upper() + trait.meaning[1:]
    symbol = dataset.vocabulary.unit_symbol(trait.unit)
    unit = f", in {symbol}" if symbol else ""
    if trait.kind == "quantity":
        yield Column(f"{name}_low", "number", f"{meaning}{unit}: low end")
        yield Column(f"{name}_high", "number", f"{meaning}{unit}: high end")
    elif trait.kind == "set":
        yield words(name, f"{meaning}: what is sure")
        yield words(f"{name}_possible", f"{meaning}: what is possible")
    else:
        yield Column(name, "yes_no" if trait.kind == "yes_no" else "text", meaning)
    yield text(f"{name}_basis", f"How sure it is: {trait.label}")
    yield text(f"{name}_source", f"The id of the source: {trait.label}")


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
    table: str, entry: Equipment, definitions: list[TraitDefinition], more: Entry, dataset: Dataset
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
        head = (table, entry.id, definition.name, definition.kind, or_none(definition.unit))
        cited = (trait.basis, or_none(trait.source), locators.get(definition.name))
        yield (*head, *cells, trait.content is None, *cited)
