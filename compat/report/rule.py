"""One rule for people: question, formula, limit, sources, cases, caution."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Sequence

from compat.dataset.read import Dataset
from compat.model.rule import Case, Citation, Rule
from compat.model.values import BASIS_TEXT
from compat.rulebook.rules import ParsedRule

RELATION = {"at_most": "must be at most", "at_least": "must be at least"}


def render_rule_text(
    rule: ParsedRule, cases: Sequence[Case], dataset: Dataset, width: int, colour: bool
) -> str:
    """The rule on a page of ``width`` columns; headings are bold when ``colour``."""
    data = rule.rule
    width = max(40, min(width, 100))
    lines = [_strong(f"{data.id} {data.slug}", colour), *_wrapped(data.title, width), ""]
    lines += _status(data, width)
    lines += [_strong("Question", colour), *_wrapped(data.question, width, "  "), ""]
    lines += [_strong("Rule", colour), *_formula(rule, width), ""]
    lines += [_strong("Values it uses", colour)]
    for name in rule.names:
        trait = dataset.vocabulary.traits[name]
        unit = dataset.vocabulary.unit_symbol(trait.unit)
        lines += _wrapped(f"{name}: {trait.meaning}{f' [{unit}]' if unit else ''}", width, "  ")
    lines += ["", _strong("What to do about it", colour)]
    for remedy in data.remedies:
        lines += _wrapped(f"- {remedy}", width, "  ")
    if data.ask_for:
        lines += ["", _strong("What to ask when it is not known", colour)]
        for name, question in data.ask_for.items():
            lines += _wrapped(f"- {question} ({name})", width, "  ")
    lines += ["", _strong("Sources", colour)]
    for citation in data.sources:
        lines += _wrapped(f"- {citation_text(citation, dataset)}", width, "  ")
    lines += ["", _strong(f"Cases ({len(cases)})", colour)]
    for case in cases:
        origin = f" [from {case.from_source}]" if case.from_source else ""
        lines += _wrapped(f"- {case.expect}: {case.name}{origin}", width, "  ")
    if data.note:
        lines += ["", _strong("Note", colour), *_wrapped(data.note, width, "  ")]
    if data.caution:
        lines += ["", _strong("Caution", colour), *_wrapped(data.caution, width, "  ")]
    lines += ["", f"dataset {dataset.version} ({data.schema_})", f"sha256 {dataset.sha256}"]
    return "\n".join(lines) + "\n"


def render_rule_json(rule: ParsedRule, cases: Sequence[Case], dataset: Dataset) -> str:
    """The rule and its cases as they stand in their files, with the dataset's version."""
    content = {
        "dataset": {"version": dataset.version, "sha256": dataset.sha256},
        "rule": rule.rule.model_dump(by_alias=True, exclude_defaults=True),
        "cases": [case.model_dump(exclude_defaults=True) for case in cases],
    }
    return json.dumps(content, indent=2, ensure_ascii=False) + "\n"


def citation_text(citation: Citation, dataset: Dataset) -> str:
    """A citation on one line: which text, which part, what it supports, how sure."""
    source = dataset.sources.get(citation.source)
    name = source.short if source else citation.source
    edition = f" ({citation.edition})" if citation.edition else ""
    locator = f", {citation.locator}" if citation.locator else ""
    read_as = (
        {"second_hand": ", second hand", "memory": ", from memory"}.get(source.read_as, "") if source else ""
    )
    basis = BASIS_TEXT[citation.basis]
    supports = ", ".join(citation.supports)
    return f"{citation.source} {name}{edition}{locator}: supports {supports}; {basis}{read_as}"


def _status(data: Rule, width: int) -> list[str]:
    """What to know of a rule that is not simply in force."""
    if data.status == "stable":
        return []
    followed = f" Followed by {', '.join(data.superseded_by)}." if data.superseded_by else ""
    because = f": {data.withdrawn_because}" if data.withdrawn_because else "."
    return [*_wrapped(f"This rule is {data.status}{because}{followed}", width), ""]


def _formula(rule: ParsedRule, width: int) -> list[str]:
    data = rule.rule
    lines = _wrapped(f"applies when: {data.applies}", width, "  ")
    if data.requires:
        lines += _wrapped(f"requires: {data.requires}", width, "  ")
    else:
        relation = "at_most" if data.at_most else "at_least"
        lines += _wrapped(f"{data.demand} {RELATION[relation]} {data.at_most or data.at_least}", width, "  ")
    return [*lines, *_wrapped(f"if it is broken: {data.breach}", width, "  ")]


def _wrapped(text: str, width: int, indent: str = "") -> list[str]:
    follow = indent + ("  " if text.startswith("- ") else "")
    return textwrap.wrap(text, width, initial_indent=indent, subsequent_indent=follow, break_long_words=False)


def _strong(text: str, colour: bool) -> str:
    return f"\x1b[1m{text}\x1b[0m" if colour else text
