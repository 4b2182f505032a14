"""The documentation as a folder that is opened from a file: rules, methods, functions, every sentence."""

from __future__ import annotations

import inspect
from collections.abc import Iterator, Sequence
from pathlib import Path

from compat.dataset.read import Dataset
from compat.model.files import write_atomically
from compat.release.page_formats import markdown_files, pages_html
from compat.release.pages import Page, Section, pages_of
from compat.rulebook.rules import ParsedRule


def write_documentation(dataset: Dataset, rules: Sequence[ParsedRule], api: object, folder: Path) -> Path:
    """Write ``index.html`` and the same pages as Markdown into ``folder``; the page that opens first.

    ``api`` is the module whose public functions are told. Raises BadInput, OSError.
    """
    pages = [*pages_of(dataset, rules), *function_pages(api), *sentence_pages(rules)]
    stamp = f"Dataset {dataset.version} (rule/1), SHA-256 {dataset.sha256}"
    index = folder / "index.html"
    texts = {"index.html": pages_html(pages, stamp), **markdown_files(pages, stamp)}
    for name, text in texts.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        write_atomically(folder / name, text.encode())
    return index


def function_pages(api: object) -> list[Page]:
    """A page for each public function of the module, and for each class of results with its methods."""
    found = []
    for name, member in vars(api).items():
        is_public = not name.startswith("_") and getattr(member, "__module__", "").startswith("compat.")
        if is_public and inspect.isfunction(member):
            found.append(_function_page(name, member))
        elif is_public and inspect.isclass(member) and name.endswith(("Result", "Comparison", "Explanation")):
            found.append(_class_page(name, member))
    return found


def _function_page(name: str, member: object) -> Page:
    return Page(f"python-{name}", "function", name, _title(member), "Python", _said(member, name))


def _class_page(name: str, member: type) -> Page:
    sections = [Section("What it is", "text", _paragraphs(member))]
    for method, found in vars(member).items():
        told = found.fget if isinstance(found, property) else found
        if not method.startswith("_") and inspect.isfunction(told):
            call = method if isinstance(found, property) else f"{method}{_signature(told)}"
            sections.append(Section(call, "text", _paragraphs(told)))
    return Page(f"python-{name}", "function", name, _title(member), "Python", tuple(sections))


def _said(member: object, name: str) -> tuple[Section, ...]:
    call = f"compat.{name}{_signature(member)}"
    return Section("Call", "code", (call,)), Section("What it does", "text", _paragraphs(member))


def _signature(member: object) -> str:
    return str(inspect.signature(member)).replace("'", "") if callable(member) else ""


def _paragraphs(member: object) -> tuple[str, ...]:
    text = (inspect.getdoc(member) or "").replace("``", "").replace(":meth:", "").replace("`", "")
    return tuple(" ".join(part.split()) for part in text.split("\n\n") if part.strip())


def _title(member: object) -> str:
    return next(iter(_paragraphs(member)), "").split(". ")[0].rstrip(".") + "."


def sentence_pages(rules: Sequence[ParsedRule]) -> list[Page]:
    """Every sentence of every rule, a page for each family, to be read through in one go."""
    families: dict[str, list[Section]] = {}
    for rule in sorted(rules, key=lambda rule: rule.rule.id):
        section = Section(f"{rule.rule.id} {rule.rule.slug}", "list", tuple(_sentences(rule)))
        families.setdefault(rule.family, []).append(section)
    return [
        Page(f"sentences-{name}", "sentences", name, "Every sentence of its rules.", name, tuple(sections))
        for name, sections in families.items()
    ]


def _sentences(rule: ParsedRule) -> Iterator[str]:
    data = rule.rule
    yield from (data.title, data.question, data.because, *data.because_by.values())
    yield from (*data.remedies, *data.ask_for.values(), *filter(None, (data.caution, data.note)))
