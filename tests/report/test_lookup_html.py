"""The look-up as a page: whole, safe with any name, needing nothing from outside, for a phone."""

from __future__ import annotations

import re
from importlib.resources import files
from itertools import pairwise

import pytest

from compat.model.verdicts import VERDICTS
from compat.report.lookup_html import render_lookup_html
from tests.report.lookup_sample import NOTHING, QUESTION, outputs, sample_lookup
from tests.report.parts import CAUTION, HOSTILE
from tests.report.test_colours import OKABE_ITO
from tests.report.test_html import Page


@pytest.fixture(scope="module", params=[None, 15])
def text(request: pytest.FixtureRequest) -> str:
    return render_lookup_html(sample_lookup(request.param))


@pytest.fixture(scope="module")
def page(text: str) -> Page:
    return Page(text)


def test_tags_pair_and_ids_are_given_once(page: Page) -> None:
    assert page.faults == []
    ids = [attributes["id"] for _, attributes in page.elements if "id" in attributes]
    assert len(ids) == len(set(ids))
    named = [
        word for _, a in page.elements if "aria-labelledby" in a for word in str(a["aria-labelledby"]).split()
    ]
    assert len(named) > 10
    assert set(named) <= set(ids)


def test_nothing_is_fetched_nothing_runs_and_nothing_is_linked(text: str, page: Page) -> None:
    assert not re.search(r"https?://|//[a-z]|url\(|@import|@font-face|javascript:", text, re.IGNORECASE)
    names = {name for name, _ in page.elements}
    assert not names & {"script", "img", "link", "iframe", "object", "form", "base", "a"}
    attributes = {name for _, found in page.elements for name in found}
    assert not [name for name in attributes if name.startswith("on")]
    assert attributes.isdisjoint({"src", "srcset", "style", "action", "href"})
    policies = [a["content"] for a in page.all("meta") if a.get("http-equiv") == "Content-Security-Policy"]
    assert policies == ["default-src 'none'; style-src 'unsafe-inline'"]
    assert page.all("meta")[1]["name"] == "viewport"


def test_hostile_names_are_shown_as_text(text: str, page: Page) -> None:
    assert "<script" not in text
    assert HOSTILE in page.words()
    assert {c for c in text if ord(c) < 32} == {"\n"}
    assert "\u202e" not in text


def test_headings_go_down_by_one_level(page: Page) -> None:
    levels = [int(name[1]) for name, _ in page.elements if re.fullmatch("h[1-6]", name)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_every_output_in_question_has_its_picture_and_the_counts_in_words(page: Page) -> None:
    pictures = [a for a in page.all("svg") if a.get("role") == "img"]
    # Seven outputs, of which two are alike at every count and share one picture.
    assert len(pictures) == 6
    words = page.words()
    said = "1 to 2: fails; 3 to 14: works; 15 to 16: marginal; 17 to 20: works; 21 to 40: fails; 41 and more"
    assert f"{said}: hazard." in words
    assert "DALI, addressed O0902 DALI, addressed, larger O0903 1 to 64" in words
    for output in outputs():
        assert output.output in words


def test_figures_stand_at_the_ends_of_the_windows(text: str) -> None:
    drawing = next(part for part in text.split("<article")[1:] if "O0902" in part)
    assert re.findall(r"<text [^>]*>(.*?)</text>", drawing) == ["1", "64", "65"]


def test_segments_differ_by_more_than_colour(text: str) -> None:
    drawing = next(part for part in text.split("<article")[1:] if "O0904" in part)
    found = re.findall(r'<rect class="(\w+)"[^>]*height="(\d+)"/>', drawing)
    assert [verdict for verdict, _ in found] == ["fails", "works", "marginal", "works", "fails", "hazard"]
    heights = {verdict: int(height) for verdict, height in found}
    assert heights["works"] > heights["marginal"] > heights["fails"]
    assert set(re.findall(r"<b>([\d a-z]+)</b> <span class=\"badge (\w+)", drawing)) >= {
        ("2", "fails"),
        ("15 to 16", "marginal"),
        ("41 and more", "hazard"),
    }


def test_a_badge_has_the_word_and_a_mark_of_its_own(text: str) -> None:
    badges = re.findall(r'<span class="badge (\w+)"><svg[^>]*>(.*?)</svg>\s*(\w+)</span>', text, re.DOTALL)
    assert len(badges) == text.count('class="badge')
    assert all(style == word for style, _, word in badges)
    marks = {word: drawing for _, drawing, word in badges}
    assert set(marks) == set(VERDICTS)
    assert len(set(marks.values())) == len(VERDICTS)


def test_says_reasons_breakers_questions_cautions_and_where_values_come_from(page: Page) -> None:
    words = page.words()
    for said in (
        "2 fails The circuit draws 18 W; the output needs at least 20 W. R0907",
        "The inrush is 20 to 160 A; the output withstands (not known). R0921",
        "2 method not accepted R0902. On O0908: The output works by DMX; the drivers accept DALI.",
        "O0909 DMX, 24 slots",
        "Rated Curve B Curve C Curve D 6 A 0 36* >150 10 A 22 60*",
        "Behind a supply of 0.1 to 0.5 Ω and 100 to 800 µH (common practice, no source).",
        f"{QUESTION.ask} Look in: {QUESTION.where_to_find}. At worst it fails (R0925).",
        "input power 5.5 to 6.5 W common practice, no source; S0911",
        "stroboscopic visibility SVM 0.3",
        "a neutral is there where the control is mounted",
        "Caution. A lamp can burn. A contact can weld shut. Follow the local codes",
        f"Caution. {CAUTION}",
        "compat 0.1.0, dataset 1.4.2 (rule/1)",
        "9f2c" * 16,
    ):
        assert said in words


def test_a_count_is_answered_for_every_output_in_question() -> None:
    words = Page(render_lookup_html(sample_lookup(15))).words()
    assert words.count("with 15") == 6
    assert "With 15 drivers, of 10 outputs: 3 works 1 marginal 1 unproven 3 fails 2 hazard" in words
    assert "with 15" not in Page(render_lookup_html(sample_lookup())).words()


def test_nothing_on_offer_says_so() -> None:
    page = Page(render_lookup_html(sample_lookup(driver=None, **NOTHING)))
    assert page.faults == []
    assert "accepts: not known" in page.words()
    assert "No output on offer is shown to take this driver." in page.words()
    assert "None is known." in page.words()
    assert page.all("table") == []


def test_the_same_look_up_gives_the_same_bytes() -> None:
    assert render_lookup_html(sample_lookup(8)).encode() == render_lookup_html(sample_lookup(8)).encode()


def test_its_own_style_adds_no_colour_of_its_own() -> None:
    css = files("compat.report").joinpath("templates/lookup.css").read_text(encoding="utf-8")
    assert set(re.findall(r"#[0-9a-f]{6}", css)) <= OKABE_ITO
    assert "@media print" in css
