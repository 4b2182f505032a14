"""The pages of a release as Markdown, one file a page, and as one HTML page that works offline."""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from importlib.resources import files

from compat.release.pages import Link, Page, Section
from compat.report.template import template

FOLDER = {"rule": "rules", "method": "methods", "function": "python", "sentences": "sentences"}
HEADING = {"method": "Methods", "function": "Functions for Python", "sentences": "Every sentence, by family"}
INDEX = "README.md"
SPECIAL = re.compile(r"([\\`*_\[\]<>#|~])")


def markdown_files(pages: Sequence[Page], stamp: str) -> dict[str, str]:
    """File name below the folder of pages -> text. ``stamp`` says which release it is."""
    kinds = {page.name: page.kind for page in pages}
    texts = {path_of(page): _page(page, kinds, stamp) for page in pages}
    return {INDEX: _index(pages, stamp), **texts}


def path_of(page: Page) -> str:
    """The file of a page below the folder of pages."""
    return f"{FOLDER[page.kind]}/{page.name}.md"


def _index(pages: Sequence[Page], stamp: str) -> str:
    lines = ["# Rules and methods", "", escaped(stamp), ""]
    for heading, members in _grouped(pages).items():
        lines += [f"## {escaped(heading)}", ""]
        lines += [f"- [{escaped(page.mark)}]({path_of(page)}): {escaped(page.title)}" for page in members]
        lines.append("")
    return "\n".join(lines)


def _grouped(pages: Sequence[Page]) -> dict[str, list[Page]]:
    """The pages by heading, in their order."""
    groups: dict[str, list[Page]] = {}
    for page in pages:
        heading = HEADING.get(page.kind) or f"Rules: {page.group}"
        groups.setdefault(heading, []).append(page)
    return groups


def _page(page: Page, kinds: Mapping[str, str], stamp: str) -> str:
    lines = [f"# {escaped(page.mark)}", "", escaped(page.title), ""]
    for section in page.sections:
        lines += [f"## {escaped(section.heading)}", "", *_body(section, kinds), ""]
    return "\n".join([*lines, "---", "", escaped(stamp), ""])


def _body(section: Section, kinds: Mapping[str, str]) -> Iterable[str]:
    texts = [_item(item, kinds) for item in section.items]
    if section.style == "code":
        return [f"    {line}" for line in map(str, section.items)]
    if section.style == "caution":
        return _apart(f"> **{text}**" for text in texts)
    return [f"- {text}" for text in texts] if section.style == "list" else _apart(texts)


def _apart(texts: Iterable[str]) -> Iterator[str]:
    for number, text in enumerate(texts):
        yield from ([""] if number else [])
        yield text


def _item(item: str | Link, kinds: Mapping[str, str]) -> str:
    if isinstance(item, str):
        return escaped(item)
    note = f": {escaped(item.note)}" if item.note else ""
    return f"[{escaped(item.text)}](../{FOLDER[kinds[item.page]]}/{item.page}.md){note}"


def escaped(text: str) -> str:
    """Text as it stands, with nothing in it that Markdown or HTML would take for its own."""
    one_line = " ".join(text.split())
    return SPECIAL.sub(r"\\\1", one_line.replace("&", "&amp;"))


def pages_html(pages: Sequence[Page], stamp: str) -> str:
    """The page; the same bytes for the same pages. Only this script may run on it, by its hash."""
    # Hides what does not hold every word that is typed. Without a script the page is a plain list, and
    # the field, which would do nothing, stays hidden.
    script = (files("compat.report") / "templates" / "pages.js").read_text(encoding="utf-8")
    return template("pages.html.j2").render(
        groups=_grouped(pages),
        stamp=stamp,
        script=script,
        script_hash=base64.b64encode(hashlib.sha256(script.encode()).digest()).decode(),
        is_link=lambda item: isinstance(item, Link),
    )
