"""The HTML page: whole, safe with any name, needing nothing from outside, and readable to all."""

from __future__ import annotations

import base64
import hashlib
import re
from html.parser import HTMLParser
from importlib.resources import files
from itertools import pairwise

import pytest

from compat import api
from compat.dataset.read import data_root
from compat.model.verdicts import VERDICTS
from compat.report.html import render_html
from compat.report.inrush_curve import BOTTOM, LEFT, RIGHT, TOP, inrush_curve
from compat.report.one_line import one_line
from tests.report.parts import CAUTION, HAZARD_CAUTION, HOSTILE
from tests.report.sample import circuit, long_report, report_of, sample_report

VOID = {"meta", "br", "col", "img", "link", "input", "hr"}
SVG_EMPTY = {"rect", "line", "path", "circle", "use"}
DEMO = data_root() / "datasets" / "demo"
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
        if self.open and self.open[-1] not in ("style", "script"):
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


def test_nothing_is_fetched_and_only_the_filters_run(page: Page) -> None:
    text = render_html(sample_report())
    assert not re.search(r"https?://|//[a-z]|url\(|@import|@font-face|javascript:", text, re.IGNORECASE)
    names = {name for name, _ in page.elements}
    assert not names & {"img", "link", "iframe", "object", "form", "base"}
    assert page.all("script") == [{}]
    attributes = {name for _, found in page.elements for name in found}
    assert not [name for name in attributes if name.startswith("on")]
    assert attributes.isdisjoint({"src", "srcset", "style", "action"})
    script = text[text.index("<script>") + len("<script>") : text.index("</script>")]
    allowed = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    policies = [a["content"] for a in page.all("meta") if a.get("http-equiv") == "Content-Security-Policy"]
    assert policies == [f"default-src 'none'; style-src 'unsafe-inline'; script-src 'sha256-{allowed}'"]


def test_without_the_script_all_is_there_and_the_filters_are_hidden(page: Page) -> None:
    text = render_html(sample_report())
    assert '<div class="filters" id="filters" hidden>' in text
    assert page.all("details")
    assert not [found for name, found in page.elements if name == "details" and "hidden" in found]


def test_hostile_names_are_shown_as_text(page: Page) -> None:
    text = render_html(sample_report())
    assert text.count("<script") == 1
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


def test_pictures_say_in_words_what_they_show(page: Page) -> None:
    pictures = [a for a in page.all("svg") if a.get("role") == "img"]
    marks = [a for a in page.all("svg") if a.get("aria-hidden") == "true"]
    bars = [a for a in pictures if "aria-labelledby" in a]
    assert len(pictures) + len(marks) == len(page.all("svg"))
    assert len(page.all("desc")) == len(bars) == len(page.all("title")) - 1 == 9
    assert all(a.get("aria-label") for a in pictures if "aria-labelledby" not in a)
    assert "Load 12 W; window of the output from 3 W, rated load not known." in page.words()


def test_a_badge_always_has_a_word_and_the_mark_of_its_verdict() -> None:
    text = render_html(sample_report())
    pattern = r'<span class="badge (\w+)"><svg aria-hidden="true"><use href="#m-(\w+)"/></svg>([\w ]+)</span>'
    badges = re.findall(pattern, text)
    assert {style for style, _, _ in badges} == set(VERDICTS)
    assert all(style == mark for style, mark, _ in badges)
    marks = dict(re.findall(r'<symbol id="m-(\w+)"[^>]*>(.*?)</symbol>', text))
    assert set(marks) == set(VERDICTS)
    assert len(set(marks.values())) == len(VERDICTS)


def test_says_the_numbers_the_places_and_what_to_do(page: Page) -> None:
    words = page.words()
    for said in (
        "The circuit draws 11 to 13 W; the output needs at least 20 W.",
        "11 to 13 W, limit at least 20 W, 45 % short.",
        "load: 11 to 13 W sheet Circuits, cell F7; declared by the user",
        "Nothing on offer helps; put more luminaires on the circuit, or choose an output",
        "O0905 Relay channel, 10 A: works",
        "1 × L1 on no output",
        "S0911 Invented handbook of circuits, 2020",
        f"Caution. {HAZARD_CAUTION}",
        f"Caution. {CAUTION}",
        "compat 0.1.0, dataset 1.4.2 (rule/1)",
        "9f2c" * 16,
    ):
        assert said in words


def test_the_first_screen_says_what_to_change_then_what_to_ask_then_what_is_in_doubt() -> None:
    text = render_html(api.check(DEMO / "house.xlsx").report)
    places = [text.index(f'<h2 id="{name}">') for name in ("change", "questions", "doubt", "buy", "map")]
    assert places == sorted(places)
    assert text.index('class="counts"') < places[0]
    assert text[places[0] : places[1]].count('<li><span><span class="badge') == 11


def test_circuits_are_closed_and_linked_from_what_is_to_change() -> None:
    report = sample_report()
    text = render_html(report)
    assert " open>" not in text
    change = text[text.index('id="change"') : text.index('id="circuits"')]
    for number, told in enumerate(report.circuits, 1):
        assert (f'href="#c{number}"' in change.split("<table")[0]) == (told.verdict != "works")
        assert f'<details class="circuit{"" if told.verdict == "works" else " act"}" id="c{number}"' in text


def test_the_map_has_a_letter_for_each_circuit_on_each_output() -> None:
    report = sample_report()
    text = render_html(report)
    start = text.index('<table class="map">')
    table = text[start : text.index("</table>", start)]
    cells = re.findall(r'<td class="(\w)( on)?">(\w)</td>', table)
    judged = sum(len(one.other_outputs) + (one.output is not None) for one in report.circuits)
    assert len(cells) == judged
    assert all(style == letter for style, _, letter in cells)
    assert sum(bool(on) for _, on, _ in cells) == sum(one.output is not None for one in report.circuits)


def test_the_page_of_the_demo_is_small_enough() -> None:
    assert len(render_html(api.check(DEMO / "house.xlsx").report).encode()) < 600_000


def test_the_inrush_is_drawn_where_it_decides() -> None:
    """The pulse lies where the sentence says: its top above what the breaker holds at its width."""
    report = api.check(DEMO / "house.xlsx").report
    curves = {one.circuit: inrush_curve(one, report) for one in report.circuits}
    assert {name for name, curve in curves.items() if curve} == {"X09", "X10"}
    curve = curves["X09"]
    assert curve is not None
    x, y, width, height = curve.box
    assert LEFT <= x <= x + width <= RIGHT
    assert TOP <= y <= y + height <= BOTTOM
    assert curve.said.startswith("Inrush 110 to 1236 A; the breaker surely holds up to 143 A")
    assert render_html(report).count('class="curve"') == 2


def test_the_diagram_marks_where_the_fault_is() -> None:
    report = api.check(DEMO / "house.xlsx").report
    drawn = {one.circuit: one_line(one, report) for one in report.circuits}
    assert (drawn["X09"].fault, drawn["G10"].fault, drawn["W02"].fault) == ("breaker", "output", "luminaires")
    assert drawn["X09"].breaker == "C16"
    assert {one.circuit for one in report.circuits if one.verdict == "works"} == {
        name for name, diagram in drawn.items() if diagram.fault is None
    }


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
    sheets = (files("compat.report").joinpath(f"templates/{name}.css") for name in ("report", "check"))
    css, own = (sheet.read_text(encoding="utf-8") for sheet in sheets)
    printed = css[css.rindex("@media print") :]
    assert ".circuit.act:not([open]) .body { display: block; }" in own[own.rindex("@media print") :]
    assert "details::details-content { content-visibility: visible; block-size: auto; }" in printed
    assert ".folded { display: none; }" in printed
    assert ".circuit:not([open]) .body { display: none; }" in printed
    assert "size: A4" in css
