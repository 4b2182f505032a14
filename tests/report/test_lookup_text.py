"""The look-up as plain text: what must be read, at every width."""

from __future__ import annotations

import re

import pytest
from rich.cells import cell_len

from compat.report.lookup_text import render_lookup_text
from tests.report.lookup_sample import NOTHING, UP_TO, breaker, outputs, sample_lookup
from tests.report.parts import CAUTION, HOSTILE

WIDTHS = [40, 60, 80, 100, 160]


def joined(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("count", [None, 15])
def test_no_line_is_longer_than_the_width_or_ends_in_blanks(width: int, count: int | None) -> None:
    lines = render_lookup_text(sample_lookup(count), width, False).split("\n")
    assert max(map(cell_len, lines)) <= width
    assert [line for line in lines if line != line.rstrip()] == []


@pytest.mark.parametrize("width", [80, 100])
def test_one_screen(width: int) -> None:
    assert len(render_lookup_text(sample_lookup(), width, False).splitlines()) <= 55


@pytest.mark.parametrize("width", WIDTHS)
def test_says_driver_methods_values_with_their_basis_and_what_is_taken_as_given(width: int) -> None:
    text = joined(render_lookup_text(sample_lookup(), width, False))
    assert text.startswith("D0902 LED driver, 6 W, invented accepts: perhaps forward phase, DALI, switched")
    for said in (
        "load type constant-current LED driver; input power 5.5 to 6.5 W [common practice, no source]",
        "input current 0.03 A [declared by the user]",
        "inrush peak 20 A [derived]",
        "taken as given: a neutral is there where the control is mounted",
    ):
        assert said in text
    assert "stroboscopic" not in text


def test_windows_stand_by_verdict_and_method_with_what_stops_them() -> None:
    text = render_lookup_text(sample_lookup(), 100, False)
    lines = [joined(line) for line in text.splitlines()]
    heads = [line for line in lines if re.fullmatch("(works|marginal|unproven): .*", line)]
    assert heads == [
        "works: forward phase",
        "works: DALI",
        "works: switched",
        "marginal: switched",
        "unproven: a value is missing",
    ]
    assert "1 to 64 O0902 DALI, addressed 65: fails R0905" in lines
    assert "1 to 150 and more O0901 Contactor, 25 A" in lines
    assert f"3 to 14, 17 to 20 O0904 {HOSTILE}" in lines
    assert "limited by: 2: fails R0907; 15 to 16: marginal R0944; 21: fails R0905" in lines


@pytest.mark.parametrize("width", WIDTHS)
def test_each_rule_that_decides_is_told_once_with_its_sentence(width: int) -> None:
    text = joined(render_lookup_text(sample_lookup(), width, False))
    for said in (
        "R0907 (O0904, 2): The circuit draws 18 W; the output needs at least 20 W.",
        "R0944 (O0904, 15 to 16): With so many the levels do not follow each other.",
        "R0905 (O0904, 21): The circuit draws 96 W; the output carries at most 90 W.",
        "R0920 (O0905): The inrush is 20 to 160 A; the output withstands 80 A.",
    ):
        assert text.count(said) == 1
    assert text.count("The circuit draws 96 W") == 1


@pytest.mark.parametrize("width", WIDTHS)
def test_what_is_missing_is_told_with_the_outputs_that_wait_for_it(width: int) -> None:
    text = joined(render_lookup_text(sample_lookup(), width, False))
    missing = "R0921: The inrush is 20 to 160 A; the output withstands (not known)."
    assert f"{missing} On 2 outputs: O0906 Relay, 10 A; O0907 Relay, 16 A" in text


def test_many_outputs_of_one_reason_are_told_by_id_alone() -> None:
    (relay,) = [entry for entry in outputs() if entry.output == "O0906"]
    many = [relay.model_copy(update={"output": f"O{number}"}) for number in range(9)]
    text = joined(render_lookup_text(sample_lookup(outputs=many), 80, False))
    assert "On 9 outputs: O0, O1, O2, O3, O4, O5, O6, O7, O8" in text
    assert "Relay, 10 A" not in text


@pytest.mark.parametrize("width", WIDTHS)
def test_outputs_out_of_question_take_one_entry_by_reason(width: int) -> None:
    text = joined(render_lookup_text(sample_lookup(), width, False))
    assert "HAZARD: 1 output: R0901 dimming-forbidden 1 fails: 2 outputs: R0902 method-not-accepted 2" in text
    assert "O0908" not in text


def test_where_no_output_is_in_question_the_reasons_are_told_in_full() -> None:
    bad = [entry for entry in outputs() if entry.best in ("fails", "hazard")]
    text = joined(render_lookup_text(sample_lookup(outputs=bad), 80, False))
    assert text.count("R0902 (O0908): The output works by DMX; the drivers accept DALI.") == 1
    assert text.count("R0901 (O0910): A lamp is marked as not dimmable, and the output dims.") == 1
    assert "limited by" not in text


def test_with_a_count_each_output_says_what_that_many_give() -> None:
    text = render_lookup_text(sample_lookup(15), 100, False)
    lines = [joined(line) for line in text.splitlines()]
    assert "With 15 drivers, of 10 outputs: 3 works, 1 marginal, 1 unproven, 3 fails, 2 HAZARD" in lines
    assert "counts with 15 output limited by" in lines
    assert "1 to 64 works O0902 DALI, addressed 65: fails R0905" in lines
    assert "1 to 5 fails O0905 Den �[31mred�[0mtxet R0920" in lines
    assert "1 to 9 HAZARD O0907 Relay, 16 A R0921" in lines


@pytest.mark.parametrize("width", WIDTHS)
def test_breakers_by_rating_and_curve_with_what_binds_and_the_source(width: int) -> None:
    text = render_lookup_text(sample_lookup(), width, False)
    lines = [joined(line) for line in text.splitlines()]
    at = lines.index("curve B C D")
    assert lines[at + 1 : at + 3] == ["6 A 0 36* >150", "10 A 22 60*"]
    for said in (
        "Most on one breaker, behind a supply of 0.1 to 0.5 Ω and 100 to 800 µH (common practice,",
        "* the steady current decides; elsewhere the inrush.",
    ):
        assert said in joined(text)


def test_without_breakers_there_is_no_table() -> None:
    assert "Most on one breaker" not in render_lookup_text(sample_lookup(breakers=[]), 80, False)


@pytest.mark.parametrize("width", WIDTHS)
def test_questions_cautions_and_version_end_the_answer(width: int) -> None:
    text = joined(render_lookup_text(sample_lookup(), width, False))
    ask = "1. What is the lowest stable light level of each driver? Look in: the dimming range of the"
    assert f"--trait NAME=VALUE {ask} datasheet. At worst: fails (R0925). dim_floor_percent" in text
    assert "Caution: A lamp can burn. A contact can weld shut. Follow the local codes" in text
    stamp, digest = text.rsplit(" sha256 ", 1)
    assert stamp.endswith(f"Caution: {CAUTION} compat 0.1.0, dataset 1.4.2 (rule/1)")
    assert digest.replace(" ", "") == sample_lookup().dataset.sha256


def test_nothing_on_offer_and_nothing_known_still_reads_well() -> None:
    text = render_lookup_text(sample_lookup(driver=None, **NOTHING), 80, False)
    assert text.startswith("LED driver, 6 W, invented\n  accepts: not known\n")
    assert "Caution:" in text
    assert "With 8 drivers, of 0 outputs: none" in render_lookup_text(sample_lookup(8, **NOTHING), 80, False)


def test_piped_text_has_no_control_character_and_colour_adds_only_escapes() -> None:
    plain = render_lookup_text(sample_lookup(15), 80, False)
    coloured = render_lookup_text(sample_lookup(15), 80, True)
    assert {c for c in plain if ord(c) < 32} == {"\n"}
    assert "\u202e" not in plain
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == plain
    assert coloured != plain


def test_own_marks_stay_within_ascii_when_asked() -> None:
    lookup = sample_lookup(breakers=[breaker("B", 10, None, 12)])
    assert "≤12" in render_lookup_text(lookup, 60, False)
    plain = render_lookup_text(lookup, 60, False, ascii_only=True)
    assert "<=12" in plain
    assert {c for c in plain if not c.isascii()} <= set("Ωµ�")


def test_very_many_windows_stand_on_a_line_of_their_own() -> None:
    (gaps,) = [entry for entry in outputs() if entry.output == "O0904"]
    model = gaps.ranges[0]
    pieces = [
        model.model_copy(
            update={"first": number, "last": number, "verdict": "works" if number % 2 else "fails"}
        )
        for number in range(1, UP_TO)
    ]
    lookup = sample_lookup(outputs=[gaps.model_copy(update={"ranges": pieces})])
    text = render_lookup_text(lookup, 60, False)
    assert "counts: 1, 3, 5, 7" in joined(text)
    assert max(map(cell_len, text.splitlines())) <= 60
