"""The pages of a release, one for each rule and each method, before they become Markdown or HTML."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from compat.dataset.read import Dataset, Equipment
from compat.model.rule import Rule
from compat.release.methods import Method, methods_of
from compat.report.rule import RELATION, citation_text
from compat.rulebook.rules import ParsedRule, cases_file, read_cases

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
    kind: Literal["rule", "method"]
    mark: str
    title: str
    group: str
    sections: tuple[Section, ...]


def pages_of(dataset: Dataset, rules: Sequence[ParsedRule]) -> list[Page]:
    """The methods in the order of their list, then the rules by id. Raises BadInput."""
    methods = methods_of(dataset, rules)
    ordered = sorted(rules, key=lambda rule: rule.rule.id)
    return [
        *(_method_page(method) for method in methods),
        *(_rule_page(rule, ordered, methods, dataset) for rule in ordered),
    ]


def _method_page(method: Method) -> Page:
    meaning = method.meaning[:1].upper() + method.meaning[1:] + "."
    sections = [
        Section("As data", "code", (method.name,)),
        _listed("Rules that name it", (_rule_link(rule.rule) for rule in method.rules)),
        _listed("Outputs that work by it", map(_entry, method.outputs)),
        _listed("Drivers that accept it", map(_entry, method.accept)),
        _listed("Drivers of which it is not known", map(_entry, method.may_accept)),
    ]
    shown = tuple(section for section in sections if section.items)
    return Page(method.name, "method", method.symbol, meaning, "method", shown)


def _rule_page(
    rule: ParsedRule, rules: Sequence[ParsedRule], methods: Sequence[Method], dataset: Dataset
) -> Page:
    data = rule.rule
    sections = [
        Section("Caution", "caution", tuple(filter(None, (data.caution,)))),
        Section("Question", "text", (data.question,)),
        Section("Formula", "code", tuple(_formula(data))),
        _listed("Values it uses", _values(rule, dataset)),
        Section("What a finding says", "text", (data.because,)),
        _listed("What to do about a breach", data.remedies),
        _listed("What to ask when it is not known", _questions(data)),
        _listed("Sources", (citation_text(citation, dataset) for citation in data.sources)),
        _listed("Cases", _cases(rule)),
        _listed("Methods it names", (Link(m.name, m.symbol) for m in methods if rule in m.rules)),
        Section("Note", "text", tuple(filter(None, (data.note,)))),
        Section("History", "list", tuple(_history(data, rules))),
    ]
    shown = tuple(section for section in sections if section.items)
    return Page(data.id, "rule", f"{data.id} {data.slug}", data.title, rule.family, shown)


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


def _questions(data: Rule) -> Iterator[str]:
    return (f"{name}: {question}" for name, question in data.ask_for.items())


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
