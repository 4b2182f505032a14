"""The HTML page: whole, safe with any name, needing nothing from outside, and readable to all."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from importlib.resources import files
from itertools import pairwise

import pytest

from compat.model.verdicts import VERDICTS
from compat.report.html import render_html
from compat.report.questions import questions_by_subject
from tests.report.parts import CAUTION, HAZARD_CAUTION, HOSTILE
from tests.report.sample import circuit, long_report, report_of, sample_report

VOID = {"meta", "br", "col", "img", "link", "input", "hr"}
SVG_EMPTY = {"rect", "line", "path", "circle"}
NBSP = "\N{NO-BREAK SPACE}"


class Page(HTMLParser):
    """Elements, attributes and text of a page; ``faults`` lists tags that do not pair."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.faults: list[str] = []
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.text: list[str] = []
        self.feed(text)
        self.close()
        self.faults += self.open

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in SVG_EMPTY:
            self.faults.append(f"<{tag}/>")

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.faults.append(f"</{tag}>")

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] != "style":
            self.text.append(data)

    def words(self) -> str:
        return " ".join("".join(self.text).replace(NBSP, " ").split())

    def all(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.elements if name == tag]


@pytest.fixture(scope="module")
def page() -> Page:
    return Page(render_html(sample_report()))


def test_tags_pair(page: Page) -> None:
    assert page.faults == []
    assert {"html", "head", "main", "footer", "svg", "table"} <= {name for name, _ in page.elements}


def test_every_reference_is_to_an_element_of_the_page(page: Page) -> None:
    ids = [attributes["id"] for _, attributes in page.elements if "id" in attributes]
    assert len(ids) == len(set(ids))
    references = [attributes["href"] for _, attributes in page.elements if "href" in attributes]
    assert len(references) > 10
    assert {f"#{name}" for name in ids} >= set(references)
    named = [
        word for _, a in page.elements if "aria-labelledby" in a for word in str(a["aria-labelledby"]).split()
    ]
    assert named
    assert set(named) <= set(ids)


def test_nothing_is_fetched_and_nothing_runs(page: Page) -> None:
    text = render_html(sample_report())
    assert not re.search(r"https?://|//[a-z]|url\(|@import|@font-face|javascript:", text, re.IGNORECASE)
    names = {name for name, _ in page.elements}
    assert not names & {"script", "img", "link", "iframe", "object", "form", "base"}
    attributes = {name for _, found in page.elements for name in found}
    assert not [name for name in attributes if name.startswith("on")]
    assert attributes.isdisjoint({"src", "srcset", "style", "action"})
    policies = [a["content"] for a in page.all("meta") if a.get("http-equiv") == "Content-Security-Policy"]
    assert policies == ["default-src 'none'; style-src 'unsafe-inline'"]


def test_hostile_names_are_shown_as_text(page: Page) -> None:
    text = render_html(sample_report())
    assert "<script" not in text
    assert "&lt;script&gt;" in text
    assert "onerror=alert(1)&gt;" in text
    assert HOSTILE in page.words()
    assert "{{ 7 * 7 }}" in page.words()
    assert {c for c in text if ord(c) < 32} == {"\n"}
    assert "\u202e" not in text


def test_language_title_headings_and_skip_link(page: Page) -> None:
    assert page.all("html") == [{"lang": "en"}]
    levels = [int(name[1]) for name, _ in page.elements if re.fullmatch("h[1-6]", name)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
    assert page.all("a")[0] == {"class": "skip", "href": "#circuits"}


def test_headings_of_tables_have_a_scope(page: Page) -> None:
    scopes = [attributes.get("scope") for attributes in page.all("th")]
    assert {"col", "row"} == set(scopes)


def test_pictures_have_a_title_and_a_description(page: Page) -> None:
    pictures = [a for a in page.all("svg") if a.get("role") == "img"]
    marks = [a for a in page.all("svg") if a.get("aria-hidden") == "true"]
    assert len(pictures) == 9
    assert len(pictures) + len(marks) == len(page.all("svg"))
    assert len(page.all("desc")) == len(pictures) == len(page.all("title")) - 1
    assert "Load 12 W; window of the output from 3 W, rated load not known." in page.words()


def test_a_badge_always_has_the_word_and_a_mark_of_its_own() -> None:
    text = render_html(sample_report())
    badges = re.findall(r'<span class="badge (\w+)"><svg[^>]*>(.*?)</svg>\s*(\w+)</span>', text, re.DOTALL)
    assert len(badges) == text.count('class="badge')
    assert all(style == word for style, _, word in badges)
    marks = {word: drawing for _, drawing, word in badges}
    assert set(marks) == set(VERDICTS)
    assert len(set(marks.values())) == len(VERDICTS)


def test_says_the_numbers_the_places_and_what_to_do(page: Page) -> None:
    words = page.words()
    for said in (
        "8 of 11 circuits need attention",
        "The circuit draws 11 to 13 W; the output needs at least 20 W.",
        "at least 20 W",
        "45 % short",
        "load: 11 to 13 W sheet Circuits, cell F7; declared by the user",
        "Put more luminaires on the circuit, or choose an output with a lower minimum load.",
        "R0910 The circuit is to be dimmed; the output only switches.",
        "no load window is given",
        "1 × L1 on no output",
        "S0911 Invented handbook of circuits, 2020",
        f"Caution. {HAZARD_CAUTION}",
        f"Caution. {CAUTION}",
        "compat 0.1.0, dataset 1.4.2 (rule/1)",
        "9f2c" * 16,
    ):
        assert said in words


def test_circuits_that_do_not_work_are_open_and_linked_from_the_summary() -> None:
    report = sample_report()
    text = render_html(report)
    summary = text[text.index('id="summary"') : text.index('id="questions"')]
    for number, told in enumerate(report.circuits, 1):
        is_open = f'<details class="circuit" id="c{number}" open>' in text
        assert is_open == (told.verdict != "works")
        assert (f'href="#c{number}"' in summary) == (told.verdict != "works")


def test_other_outputs_are_all_there_and_folded() -> None:
    text = render_html(sample_report())
    folded = re.findall(r'<details class="folded">\n<summary>(.*?)</summary>(.*?)</details>', text, re.DOTALL)
    told = [len(told.other_outputs) for told in sample_report().circuits if told.other_outputs]
    assert [int(heading.split()[0]) for heading, _ in folded] == told
    assert [body.count('class="badge') for _, body in folded] == told
    assert folded[0][0] == "1 other output on offer"


def test_a_question_stands_once_for_each_subject_with_all_its_circuits() -> None:
    groups = questions_by_subject(sample_report())
    assert sorted(groups) == ["L3", "L7", "O0905 Relay channel, 10 A"]
    (asked,) = groups["L3"]
    assert [told.circuit for told in asked.circuits] == ["C06", HOSTILE]
    assert asked.rules == ["R0902", "R0903"]
    assert asked.could_become == "fails"


def test_the_same_report_gives_the_same_bytes() -> None:
    assert render_html(sample_report()).encode() == render_html(sample_report()).encode()


def test_all_works_and_empty_say_so() -> None:
    assert "Every circuit works as stated." in render_html(long_report(2))
    empty = render_html(report_of([], {}))
    assert "The schedule holds no circuit." in empty
    assert Page(empty).faults == []


def test_a_luminaire_row_without_type_or_driver_reads_well() -> None:
    bare = circuit("C1", "", [("", 3, "")], [])
    row = bare.luminaires[0].model_copy(update={"driver": None})
    report = report_of([bare.model_copy(update={"luminaires": [row]})], {"unproven": 1})
    assert "3 × driver not known" in Page(render_html(report)).words()


def test_print_opens_what_is_closed_and_leaves_out_what_is_folded() -> None:
    """On paper: every finding of a circuit that does not work; one line for a circuit that does."""
    css = files("compat.report").joinpath("templates/report.css").read_text(encoding="utf-8")
    printed = css[css.rindex("@media print") :]
    assert "details::details-content { content-visibility: visible; block-size: auto; }" in printed
    assert ".folded { display: none; }" in printed
    assert ".circuit:not([open]) .body { display: none; }" in printed
    assert "size: A4" in css
