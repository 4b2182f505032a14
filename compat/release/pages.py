"""The pages of a release, one for each rule and each method, before they become Markdown or HTML.

And what a rule or a method must say of itself before it is published.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from compat.dataset.read import Dataset, Equipment
from compat.dataset.toml_files import read_document
from compat.model.faults import BadInput, Fault
from compat.model.rule import Rule
from compat.model.values import Origin, TokenSet
from compat.report.rule import RELATION, citation_text
from compat.rulebook.rules import ParsedRule, cases_file, read_cases

METHODS = "method"
# Fewer letters than this are no sentence that explains anything.
SHORTEST = 12
Style = Literal["text", "list", "code", "caution"]


@dataclass(frozen=True, slots=True)
class Link:
    """A page that another page names: ``text`` is shown, then ``note``."""

    page: str
    text: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """A part of a page. ``items`` are paragraphs, list entries, or lines of a formula."""

    heading: str
    style: Style
    items: tuple[str | Link, ...]


@dataclass(frozen=True, slots=True)
class Page:
    """``name`` is that of the file and of the place in the HTML page; ``mark`` stands before the title."""

    name: str
    kind: Literal["rule", "method", "function", "sentences"]
    mark: str
    title: str
    group: str
    sections: tuple[Section, ...]


def pages_of(dataset: Dataset, rules: Sequence[ParsedRule]) -> list[Page]:
    """The methods in the order of their list, then the rules by id. Raises BadInput."""
    ordered = sorted(rules, key=lambda rule: rule.rule.id)
    meanings = _method_meanings(dataset)
    methods = dataset.vocabulary.choices[METHODS]
    naming = {name: [rule for rule in ordered if _names(rule, name)] for name in methods}
    return [
        *(_method_page(name, meanings[name], naming[name], dataset) for name in methods),
        *(_rule_page(rule, ordered, [m for m in methods if rule in naming[m]], dataset) for rule in ordered),
    ]


def _method_page(name: str, meaning: str, rules: Sequence[ParsedRule], dataset: Dataset) -> Page:
    accept, may_accept = [], []
    for driver in _by_id(dataset, "drivers"):
        methods = driver.traits["methods"].content if "methods" in driver.traits else None
        if not isinstance(methods, TokenSet) or name in methods.possible - methods.sure:
            may_accept.append(driver)
        elif name in methods.sure:
            accept.append(driver)
    outputs = [
        output
        for output in _by_id(dataset, "outputs")
        if "method" in output.traits and output.traits["method"].content == name
    ]
    sections = [
        Section("As data", "code", (name,)),
        _listed("Rules that name it", (_rule_link(rule.rule) for rule in rules)),
        _listed("Outputs that work by it", map(_entry, outputs)),
        _listed("Drivers that accept it", map(_entry, accept)),
        _listed("Drivers of which it is not known", map(_entry, may_accept)),
    ]
    symbol, sentence = dataset.vocabulary.choices[METHODS][name], f"{meaning[:1].upper()}{meaning[1:]}."
    return Page(name, "method", symbol, sentence, "method", _shown(sections))


def _by_id(dataset: Dataset, table: str) -> list[Equipment]:
    return sorted(dataset.tables[table].values(), key=lambda entry: entry.id)


def _rule_page(
    rule: ParsedRule, rules: Sequence[ParsedRule], methods: Sequence[str], dataset: Dataset
) -> Page:
    data, symbols = rule.rule, dataset.vocabulary.choices[METHODS]
    sections = [
        Section("Caution", "caution", tuple(filter(None, (data.caution,)))),
        Section("Question", "text", (data.question,)),
        Section("Formula", "code", tuple(_formula(data))),
        _listed("Values it uses", _values(rule, dataset)),
        Section("What a finding says", "text", (data.because, *data.because_by.values())),
        _listed("What to do about a breach", data.remedies),
        _listed(
            "What to ask when it is not known",
            (f"{name}: {question}" for name, question in data.ask_for.items()),
        ),
        _listed("Sources", (citation_text(citation, dataset) for citation in data.sources)),
        _listed("Cases", _cases(rule)),
        _listed("Methods it names", (Link(method, symbols[method]) for method in methods)),
        Section("Note", "text", tuple(filter(None, (data.note,)))),
        Section("History", "list", tuple(_history(data, rules))),
    ]
    return Page(data.id, "rule", f"{data.id} {data.slug}", data.title, rule.family, _shown(sections))


def _shown(sections: Iterable[Section]) -> tuple[Section, ...]:
    return tuple(section for section in sections if section.items)


def _formula(data: Rule) -> Iterator[str]:
    yield f"applies when: {data.applies}"
    if data.requires:
        yield f"requires: {data.requires}"
    else:
        relation = "at_most" if data.at_most else "at_least"
        yield f"{data.demand} {RELATION[relation]} {data.at_most or data.at_least}"
    yield f"if it is broken: {data.breach}"


def _values(rule: ParsedRule, dataset: Dataset) -> Iterator[str]:
    for name in rule.names:
        trait = dataset.vocabulary.traits[name]
        unit = dataset.vocabulary.unit_symbol(trait.unit)
        yield f"{name}: {trait.meaning}{f' [{unit}]' if unit else ''}"


def _cases(rule: ParsedRule) -> Iterator[str]:
    for case in read_cases(cases_file(rule.file)).case:
        origin = f" (typed from {case.from_source})" if case.from_source else ""
        gap = f" Known gap: {case.known_gap}" if case.known_gap else ""
        yield f"{case.expect.replace('_', ' ')}: {case.name}{origin}{gap}"


def _history(data: Rule, rules: Sequence[ParsedRule]) -> Iterator[str | Link]:
    yield f"Since {data.since}" if data.since else "Since the first release"
    yield f"Status: {data.status}"
    if data.withdrawn_because:
        yield f"Withdrawn because: {data.withdrawn_because}"
    by_id = {rule.rule.id: rule.rule for rule in rules}
    for follower in data.superseded_by:
        yield _rule_link(by_id[follower], "Followed by") if follower in by_id else f"Followed by {follower}"
    for other in by_id.values():
        if data.id in other.superseded_by:
            yield _rule_link(other, "Follows")


def _rule_link(data: Rule, lead: str = "") -> Link:
    return Link(data.id, f"{lead} {data.id}".strip(), data.title)


def _entry(entry: Equipment) -> str:
    return f"{entry.id} {entry.name}"


def _listed(heading: str, items: Iterable[str | Link]) -> Section:
    return Section(heading, "list", tuple(items))


def _method_meanings(dataset: Dataset) -> dict[str, str]:
    """The meaning of each method, from the list of words."""
    path = dataset.root / "datasets" / "vocabulary" / "choices.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return {row["value"]: row["meaning"] for row in csv.DictReader(file) if row["list"] == METHODS}


def _names(rule: ParsedRule, word: str) -> bool:
    """Whether a live rule has the word of a method in its formula."""
    data = rule.rule
    formula = (data.applies, data.demand, data.at_most, data.at_least, data.requires)
    # A word after a point is the end of a trait's name, not a method.
    pattern = re.compile(rf"(?<![\w.]){re.escape(word)}(?!\w)")
    return data.status != "withdrawn" and any(map(pattern.search, formula))


def check_documentation(dataset: Dataset, rules: Sequence[ParsedRule]) -> None:
    """Raises BadInput with one fault for everything that a page would lack."""
    faults = []
    for rule in rules:
        place = f"{rule.family}/{rule.file.name}"
        for what, steps, do in _lacking(rule, dataset):
            where = Origin(place, line=read_document(rule.file).line(*steps))
            faults.append(Fault(f"{rule.rule.id}: {what}", where, do=do))
        try:
            if cases_file(rule.file).is_file():
                read_cases(cases_file(rule.file))
        except BadInput as error:
            faults += error.faults
    meanings = _method_meanings(dataset)
    for method in dataset.vocabulary.choices[METHODS]:
        if len(meanings.get(method, "")) < SHORTEST:
            where = Origin("choices.csv", key=f"{METHODS} {method}")
            faults.append(Fault("the method has no meaning", where, do="Write the column meaning"))
    if faults:
        raise BadInput(faults)


def _lacking(rule: ParsedRule, dataset: Dataset) -> Iterator[tuple[str, tuple[str | int, ...], str]]:
    """What a rule lacks, the key in its file, and what to do."""
    data, beside = rule.rule, cases_file(rule.file)
    for key in ("title", "question", "because"):
        if len(getattr(data, key).strip()) < SHORTEST:
            yield f"{key} explains nothing", (key,), f"Write {key} as a sentence"
    if not all(remedy.strip() for remedy in data.remedies):
        yield "a remedy is empty", ("remedies",), "Say what to do, or take it out"
    if data.breach == "hazard" and not data.caution.strip():
        yield "a hazard has no caution", ("breach",), "Add caution"
    if data.status == "withdrawn" and not data.withdrawn_because.strip():
        yield "it is not said why the rule was withdrawn", ("status",), "Add withdrawn_because"
    for place, citation in enumerate(data.sources):
        if citation.source not in dataset.sources:
            what = f"the source {citation.source} is not described in datasets/sources"
            yield what, ("sources", place, "source"), "Describe it there"
    if not beside.is_file():
        yield "the rule has no cases", ("id",), f"Write {rule.family}/{beside.name}"
