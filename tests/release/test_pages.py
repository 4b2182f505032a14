"""A page for each rule and each method, as Markdown and in one HTML page without network or script."""

from __future__ import annotations

import base64
import hashlib
import html
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from compat.dataset.read import Dataset
from compat.release.page_formats import escaped, markdown_files, pages_html
from compat.release.pages import Page, Section
from compat.rulebook.rules import ParsedRule, cases_file, read_cases


@pytest.fixture(scope="module")
def offline(release: Path) -> str:
    return (release / "pages" / "index.html").read_text(encoding="utf-8")


def test_each_rule_has_its_page_with_all_it_says(
    release: Path, rules: list[ParsedRule], dataset: Dataset
) -> None:
    for rule in rules:
        data = rule.rule
        page = (release / "pages" / "rules" / f"{data.id}.md").read_text(encoding="utf-8")
        said = [data.title, data.question, data.because, *data.remedies, data.caution, data.note]
        said += [*data.ask_for.values(), *(case.name for case in read_cases(cases_file(rule.file)).case)]
        said += [dataset.sources[citation.source].short for citation in data.sources]
        for text in filter(None, said):
            assert escaped(text) in page, (data.id, text)
        for formula in filter(None, (data.applies, data.demand, data.at_most, data.at_least, data.requires)):
            assert formula in page
        assert f"Status: {data.status}" in page
        assert dataset.version in page


def test_a_withdrawn_rule_keeps_its_page_with_the_reason_and_what_follows(release: Path) -> None:
    pages = [path.read_text(encoding="utf-8") for path in (release / "pages" / "rules").glob("*.md")]
    withdrawn = [page for page in pages if "Status: withdrawn" in page]
    assert withdrawn
    assert all("Withdrawn because: " in page for page in withdrawn)
    followed = [page for page in withdrawn if "Followed by" in page]
    for page in followed:
        follower = re.search(r"\[Followed by (R\d{4})\]\(\.\./rules/\1\.md\)", page)
        assert follower is not None
        assert "Follows R" in (release / "pages" / "rules" / f"{follower[1]}.md").read_text(encoding="utf-8")


def test_each_method_has_its_page(release: Path, dataset: Dataset) -> None:
    for method in dataset.vocabulary.choices["method"]:
        page = (release / "pages" / "methods" / f"{method}.md").read_text(encoding="utf-8")
        for output in dataset.tables["outputs"].values():
            entry = f"- {output.id} {escaped(output.name)}\n"
            assert (entry in page) == (output.traits["method"].content == method)


def test_a_method_page_names_rules_that_name_it_and_no_others(release: Path) -> None:
    page = (release / "pages" / "methods" / "dali.md").read_text(encoding="utf-8")
    assert "[R0019]" in page, "addresses on a DALI line"
    assert "[R0005]" not in page, "a magnetic transformer on a reverse-phase output"


def test_every_link_of_the_markdown_leads_to_a_page(release: Path) -> None:
    count = 0
    for path in (release / "pages").rglob("*.md"):
        for target in re.findall(r"\]\(([^)]+)\)", path.read_text(encoding="utf-8")):
            assert (path.parent / target).resolve().is_file(), (path, target)
            count += 1
    assert count > 250


class Parsed(HTMLParser):
    """Ids, targets of links, and whatever would be fetched."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.targets: list[str] = []
        self.fetched: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if name == "id" and value:
                self.ids.append(value)
            if name == "href" and value:
                self.targets.append(value)
            if name in ("src", "srcset", "action", "data") or tag in ("link", "iframe", "object"):
                self.fetched.append(f"{tag} {name}={value}")
            assert not name.startswith("on"), "the policy of the page forbids such handlers"


def test_the_html_page_has_every_page_and_fetches_nothing(
    offline: str, rules: list[ParsedRule], dataset: Dataset
) -> None:
    parsed = Parsed(offline)
    assert parsed.fetched == []
    assert len(set(parsed.ids)) == len(parsed.ids)
    assert {rule.rule.id for rule in rules} | set(dataset.vocabulary.choices["method"]) <= set(parsed.ids)
    assert {target.removeprefix("#") for target in parsed.targets} <= set(parsed.ids)


def test_only_the_script_of_the_page_may_run(offline: str) -> None:
    [script] = re.findall(r"<script>(.*?)</script>", offline, re.DOTALL)
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    [policy] = re.findall(r'Content-Security-Policy" content="([^"]*)"', offline)
    assert f"script-src 'sha256-{digest}'" in html.unescape(policy)
    assert "default-src 'none'" in html.unescape(policy)
    assert "fetch" not in script
    assert "http" not in script


def test_without_a_script_it_is_a_plain_list(offline: str, rules: list[ParsedRule]) -> None:
    """The search field stays hidden, and no entry is."""
    assert re.search(r'<div class="search"[^>]* hidden>', offline)
    assert not re.search(r"<details[^>]* hidden", offline)
    assert offline.count('<details class="entry"') >= len(rules)


def made(text: str) -> list[Page]:
    sections = (Section("Question", "text", (text,)), Section("Formula", "code", (text,)))
    return [Page("R9999", "rule", text, text, text, sections)]


@pytest.mark.parametrize(
    "text",
    ["<script>alert(1)</script>", "a [link](http://x.test)", "# head", "*bold* _it_ `code` | ~x~", "&lt;"],
)
def test_text_of_a_rule_stays_text(text: str) -> None:
    page = pages_html(made(text), "stamp")
    assert page.count("<script>") == 1
    assert html.escape(text, quote=False) in page
    markdown = markdown_files(made(text), "stamp")["rules/R9999.md"]
    for line in markdown.splitlines():
        if not line.startswith(("    ", "# ", "## ")):
            assert not re.search(r"(?<!\\)[<`*_\[|~]", line), line
