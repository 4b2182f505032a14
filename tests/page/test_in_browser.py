"""The page in Chromium: people's first minutes, and what goes wrong on their devices."""

from __future__ import annotations

import io
import json
import sys
import time
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import compat
from compat.page.body import body_of
from compat.report.states import state_of
from tests.conftest import ROOT

if TYPE_CHECKING:
    from playwright.sync_api import Page

    Open = Callable[..., Page]

pytestmark = pytest.mark.browser
DEMO = ROOT / "datasets" / "demo" / "house.xlsx"
WIDTHS = (360, 800, 1400)
HOSTILE = "<img src=x onerror=alert(1)>"
# The heading of the watts has a slip that no list of headings knows.
SCHEDULE = f"""Circuit,Room,Luminaire type,Quantity,Dimming,Wxtt drawn,Inrush peak,Breaker
C1,{HOSTILE},"=HYPERLINK(""x"")",4,trailing edge,12,,B10
C2,Hall,Downlight,6,trailing edge,9,,B10
"""


def fits(page: Page) -> bool:
    """Whether nothing of the page is wider than the screen."""
    return bool(page.evaluate("document.documentElement.scrollWidth <= innerWidth"))


def barriers(page: Page) -> list[str]:
    """What axe finds, by its rules."""
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(page).response["violations"]
    return [f"{one['id']}: {one['nodes'][0]['html'][:120]}" for one in found]


def judge(page: Page, name: str, data: bytes) -> None:
    """Give a file to the screen that checks."""
    page.get_by_role("button", name="Check a schedule").click()
    page.locator("#app-file").set_input_files({"name": name, "mimeType": "", "buffer": data})


def label(page: Page, watts: str) -> None:
    """Write watts and dimming words, with an output to hand; then wait for the answer."""
    page.get_by_label("Input power, W").fill(watts)
    page.get_by_label("Dimming words").fill("trailing edge")
    page.get_by_label("What is to hand").select_option("O0006")
    page.wait_for_selector(".app-first")


def test_electrician_reads_counts_off_a_label_with_a_value_missing(opened: Open) -> None:
    page = opened(360)
    page.locator("#app-keep").check()
    label(page, "12")
    assert "expected to work with" in page.inner_text(".app-first")
    stated = {"--watts": "12", "--method": "trailing edge"}
    known = compat.lookup(stated=stated).answer.outputs
    shown = page.locator(".app-report .outputs").all_inner_texts()
    assert sum(one.best != "fails" and one.best != "hazard" for one in known) > 0
    assert any("O0006" in text for text in shown)
    assert "inrush" in page.inner_text(".app-report .ask").lower()
    assert fits(page)
    assert barriers(page) == []
    page.wait_for_selector(".app-last button")
    page.reload()
    page.get_by_role("button", name="12, trailing edge").click()
    page.wait_for_selector(".app-report")
    page.get_by_role("radio", name="output").check()
    page.get_by_label("Output", exact=True).select_option("O0006")
    page.wait_for_selector(".app-report #loads")
    assert fits(page)
    assert barriers(page) == []


def test_a_value_that_cannot_be_read_is_told_at_its_field(opened: Open) -> None:
    page = opened(360)
    page.get_by_label("Input power, W").fill("plenty")
    assert "Input power, W" in page.inner_text(".app-faults")
    assert "--watts" not in page.inner_text(".app-faults")


def test_specifier_mends_a_heading_answers_two_questions_and_saves(opened: Open, tmp_path: Path) -> None:
    page = opened()
    judge(page, f"{HOSTILE}.csv", SCHEDULE.encode())
    page.wait_for_selector(".app-report")
    assert page.locator("img").count() == 0
    assert HOSTILE in page.inner_text(".app-report")
    page.locator(".app-reading summary").first.click()
    page.get_by_label("Wxtt drawn is read as").select_option("input_power_w")
    page.get_by_role("button", name="Read and judge again").click()
    page.wait_for_selector(".app-questions")
    page.locator(".app-progress").wait_for(state="hidden")
    for summary in page.locator(".app-questions summary").all():
        summary.click()
    before = page.locator(".app-questions .app-field").count()
    answers = iter(("198", "264"))
    for words, answer in (("Lowest input voltage", next(answers)), ("Highest input voltage", next(answers))):
        field = page.locator(".app-questions .app-field").filter(has_text=words).first.locator("input")
        field.fill(answer)
        field.press("Tab")
    page.locator(".app-answered li").nth(1).wait_for()
    page.locator(".app-progress").wait_for(state="hidden")
    assert "What moved" in page.inner_text(".app-moved")
    assert page.locator(".app-questions .app-field").count() < before
    with page.expect_download() as download:
        page.get_by_role("button", name="Workbook").click()
    download.value.save_as(tmp_path / "checked.xlsx")
    assert zipfile.is_zipfile(tmp_path / "checked.xlsx")
    with page.expect_download() as download:
        page.get_by_role("button", name="JSON").click()
    download.value.save_as(tmp_path / "report.json")
    told = json.loads((tmp_path / "report.json").read_text(encoding="utf-8"))
    assert [one["circuit"] for one in told["circuits"]] == ["C1", "C2"]


def test_demo_by_keyboard_alone_is_the_report_of_the_command(opened: Open) -> None:
    page = opened(800)

    def tab_to(name: str) -> None:
        for _ in range(60):
            page.keyboard.press("Tab")
            if page.evaluate("document.activeElement.textContent") == name:
                return page.keyboard.press("Enter")
        raise AssertionError(name)

    tab_to("Check a schedule")
    tab_to("Try the invented demo house")
    page.wait_for_selector(".app-report")
    result = compat.check(DEMO)
    of_page = page.evaluate("document.querySelector('.app-report').textContent")
    page.evaluate(
        "html => { window.other = document.createElement('div'); window.other.innerHTML = html; }",
        body_of(result.to_html()),
    )
    told = page.locator("#told").inner_text()
    assert of_page.replace(told, "", 1) == page.evaluate("window.other.textContent")
    assert told == f"{len(result.report.circuits)} of {len(result.report.circuits)}"
    assert barriers(page) == []
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 800})
        assert fits(page), width
    states = {one.circuit: state_of(one) for one in result.report.circuits}
    assert page.evaluate("document.querySelectorAll('.app-report [data-state]').length") >= len(states)


def test_search_finds_a_rule_and_shows_it(opened: Open) -> None:
    page = opened(360)
    page.get_by_role("button", name="Search").click()
    page.get_by_label("Words").fill("inrush")
    page.get_by_role("button", name="releases breaker").or_(page.locator(".app-found button")).first.click()
    assert "R0" in page.inner_text(".app-text")
    assert fits(page)
    assert barriers(page) == []


def test_without_a_network_after_the_first_visit(opened: Open) -> None:
    page = opened(360)
    page.evaluate("navigator.serviceWorker.ready.then(() => null)")
    page.context.set_offline(True)
    page.reload()
    page.wait_for_selector(".app-form")
    label(page, "12")
    assert "Reverse phase" in page.inner_text(".app-first")


def test_a_file_that_cannot_be_read_is_a_sentence_and_the_next_one_is_judged(opened: Open) -> None:
    page = opened()
    judge(page, "broken.xlsx", b"PK\x03\x04 this is no workbook")
    page.wait_for_selector(".app-faults")
    assert "broken.xlsx" in page.inner_text(".app-faults")
    page.locator("#app-file").set_input_files({"name": "s.csv", "mimeType": "", "buffer": SCHEDULE.encode()})
    page.wait_for_selector(".app-report")


def test_a_workbook_of_50_mb_is_judged(opened: Open, tmp_path: Path) -> None:
    data = io.BytesIO(DEMO.read_bytes())
    with zipfile.ZipFile(data, "a", zipfile.ZIP_STORED) as book:
        book.writestr("xl/media/image1.png", b"\0" * 50_000_000)
    (tmp_path / "large.xlsx").write_bytes(data.getvalue())
    page = opened()
    page.get_by_role("button", name="Check a schedule").click()
    page.locator("#app-file").set_input_files(tmp_path / "large.xlsx")
    page.wait_for_selector(".app-report, .app-faults")
    assert "70 circuits" in page.inner_text(".app-reading") or page.inner_text(".app-faults")


@pytest.mark.parametrize(
    ("script", "told"),
    [
        ("Object.defineProperty(window, 'localStorage', {get() { throw Error('no'); }});", "does not let"),
        ("Storage.prototype.setItem = (key) => { if (key !== 'compat-keep') throw new Error('full'); };"
         "Storage.prototype.getItem = () => 'yes';", "no room left"),
    ],
)  # fmt: skip
def test_storage_forbidden_or_full_is_told_and_nothing_is_lost(opened: Open, script: str, told: str) -> None:
    page = opened(360, script)
    page.locator("#app-keep").click()
    label(page, "12")
    page.locator("#app-kept").filter(has_text=told).wait_for()
    assert "expected to work with" in page.inner_text(".app-first")


def test_two_pages_keep_the_look_ups_of_both_and_a_closed_one_loses_nothing(opened: Open) -> None:
    first = opened(360)
    first.locator("#app-keep").check()
    second = first.context.new_page()
    second.goto(first.url)
    second.wait_for_selector(".app-form")
    label(first, "12")
    label(second, "15")
    for page in (first, second):
        page.wait_for_selector(".app-last button")
    first.get_by_role("button", name="Check a schedule").click()
    first.get_by_role("button", name="Try the invented demo house").click()
    first.wait_for_selector(".app-progress button")
    first.close()
    second.reload()
    second.wait_for_selector(".app-last button")
    assert second.locator(".app-last button").all_inner_texts() == ["15, trailing edge", "12, trailing edge"]


def test_a_check_is_stopped_and_taken_up_again(opened: Open) -> None:
    page = opened()
    page.get_by_role("button", name="Check a schedule").click()
    page.get_by_role("button", name="Try the invented demo house").click()
    page.get_by_text("judging 70 circuits").wait_for()
    page.get_by_role("button", name="Stop").click()
    page.get_by_role("button", name="Judge it again").click()
    page.wait_for_selector(".app-report, .app-faults")
    assert page.locator(".app-faults").count() == 0


def test_times_and_memory(opened: Open) -> None:
    """Printed with ``-s``, never asserted but for an answer being there."""
    began = time.monotonic()
    page = opened(360)
    label(page, "12")
    looked = time.monotonic() - began
    page.get_by_role("button", name="Check a schedule").click()
    page.get_by_role("button", name="Try the invented demo house").click()
    page.wait_for_selector(".app-report #circuits")
    judged = time.monotonic() - began
    sys.stdout.write(f"\nfirst look-up {looked:.1f} s, the demo's report {judged:.1f} s after opening\n")
    assert page.locator(".app-report").count() == 1
