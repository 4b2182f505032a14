"""Plain text: what must be read, at every width, on a terminal and in a pipe."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest
from rich.cells import cell_len

from compat.model.report import Change
from compat.model.vocabulary import read_vocabulary
from compat.report.answer import ranges_text
from compat.report.states import STATES
from compat.report.text import render_text
from compat.report.words import METHOD_TEXT, better_outputs, clean
from tests.report.parts import CAUTION, HAZARD_CAUTION, HOSTILE, INRUSH, NOT_DIMMABLE, output
from tests.report.sample import circuit, long_report, report_of, sample_report

WIDTHS = [40, 60, 80, 100, 120, 200, 240]


def joined(text: str) -> str:
    """The words in one line, so that a check does not depend on where lines break."""
    return " ".join(text.split())


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("details", [True, False])
def test_no_line_is_longer_than_the_width_or_ends_in_blanks(width: int, details: bool) -> None:
    lines = render_text(sample_report(), width, False, details).split("\n")
    assert max(map(cell_len, lines)) <= width
    assert [line for line in lines if line != line.rstrip()] == []


@pytest.mark.parametrize("width", WIDTHS)
def test_summary_first_then_the_hazard(width: int) -> None:
    lines = render_text(sample_report(), width, False, False).splitlines()
    assert lines[0] == "house-by-the-mill.xlsx: 11 circuits"
    counts = "circuits: 1 HAZARD, 2 fails, 4 doubtful, 1 marginal, 3 works"
    assert joined("\n".join(lines[1:4])).startswith(counts)
    pattern = rf"^({'|'.join(STATES)}|Works) [C<(]"
    states = [found[1] for line in lines if (found := re.match(pattern, line))]
    assert states == ["HAZARD", "fails", "fails", *["doubtful"] * 4, "marginal", "Works"]


def test_circuits_that_work_take_a_few_lines_together() -> None:
    lines = render_text(long_report(300), 100, False, False).splitlines()
    assert len(lines) < 60
    assert any(line.startswith("Works (300): ") for line in lines)


@pytest.mark.parametrize("width", WIDTHS)
def test_a_circuit_that_fails_is_told_with_rule_numbers_cells_and_remedy(width: int) -> None:
    text = joined(render_text(sample_report(), width, False, True))
    for said in (
        "fails R0907 load-below-minimum: Load below the minimum of the output",
        "The circuit draws 11 to 13 W; the output needs at least 20 W.",
        "demand 11 to 13 W; limit at least 20 W; margin 45 % short",
        "from load: 11 to 13 W [sheet Circuits, cell F7; declared by the user]",
        "common practice, no source; S0911]",
        "- Put more luminaires on the circuit, or choose an output with a lower minimum load.",
        "O0905 Relay channel, 10 A: Which inrush peak does the output withstand",
        "Look in: the load table of the datasheet. At worst: HAZARD (R0920).",
        "Other outputs: no other output on offer does better",
        "Other outputs - works O0905 Relay channel, 10 A (switched)",
        f"Caution: {HAZARD_CAUTION}",
    ):
        assert said in text
    assert "limit at most not known" not in text


@pytest.mark.parametrize("details", [True, False])
@pytest.mark.parametrize("width", WIDTHS)
def test_ends_with_caution_version_and_hash(width: int, details: bool) -> None:
    text = joined(render_text(sample_report(), width, False, details))
    tail = text[text.rindex(CAUTION[:20]) :]
    comma = "" if details else ","
    assert tail.startswith(f"{CAUTION} compat 0.1.0, dataset 1.4.2 (rule/1){comma} sha256")
    assert tail.replace(" ", "").endswith("9f2c" * (16 if details else 4))


def test_without_details_the_caution_of_a_hazard_stays_and_the_findings_go() -> None:
    text = joined(render_text(sample_report(), 80, False, False))
    assert HAZARD_CAUTION in text.split("HAZARD C04")[1].split(" fails ")[0]
    assert "demand 11 to 13 W" not in text
    assert "The circuit draws 11 to 13 W; the output needs at least 20 W." in text


@pytest.mark.parametrize("width", WIDTHS)
def test_beside_each_reason_stands_what_would_be_needed(width: int) -> None:
    text = joined(render_text(sample_report(), width, False, False))
    for said in (
        "the output dims by forward phase. Nothing on offer helps; choose a switched output.",
        "at least 20 W. Nothing on offer helps; put more luminaires on the circuit, or choose",
        "carries at most 150 W. Nothing on offer helps; divide the circuit over two outputs.",
    ):
        assert said in text
    assert "Choose an output with a higher rated load." not in text


def test_a_judged_change_is_told_with_what_comes_of_it() -> None:
    switch = Change(kind="switch_only", text="long", verdict="works", output="O0905")
    split = Change(kind="split", text="Split it into 2 circuits of 5.", verdict="unproven", expected="works")
    told = circuit("C1", "", [("L1", 10, "Lamp")], [NOT_DIMMABLE], others=[output("O0905", "works")])
    for change, said in (
        (switch, "Do not dim it: use the relay channel, 10 A (O0905)."),
        (split, "Split it into 2 circuits of 5: then expected to work."),
    ):
        made = report_of([told.model_copy(update={"changes": [change]})], {"hazard": 1})
        assert said in joined(render_text(made, 100, False, False))
        assert f"What to change - {said}" in joined(render_text(made, 100, False, True))


def test_circuits_with_one_reason_are_told_once() -> None:
    one, two = (circuit(name, "", [("L1", 1, "Lamp")], [NOT_DIMMABLE]) for name in ("C1", "C2"))
    text = joined(render_text(report_of([one, two], {"hazard": 2}), 100, False, False))
    assert "HAZARD C1; C2: " in text
    assert text.count(NOT_DIMMABLE.because) == 1


def test_ranges_of_names() -> None:
    assert ranges_text(["G01", "G02", "G03", "G05", "G06", "F01", "x", "G9", "G10"]) == (
        "G01 to G03, G05, G06, F01, x, G9, G10"
    )


def test_details_tell_only_the_outputs_that_do_better_and_at_most_six() -> None:
    others = [output("O0905", "works"), *[output("O0908", "marginal")] * 7, output("O0903", "fails")]
    told = circuit("C1", "", [("L1", 1, "Lamp")], [INRUSH], on="O0905", others=others)
    text = render_text(report_of([told], {"unproven": 1}), 100, False, True)
    after = text[text.index("Other outputs") :]
    assert after.count("- works") == 1
    assert after.count("- marginal") == 5
    assert "and 2 more" in after
    assert "- fails" not in after


def test_every_output_is_better_than_none() -> None:
    others = [output("O0908", "hazard"), output("O0905", "fails")]
    told = circuit("C1", "", [("L1", 1, "Lamp")], [], on=None, chosen_by="none", others=others)
    assert better_outputs(told) == others[::-1]


def test_a_figure_keeps_its_unit_on_its_line() -> None:
    for width in range(40, 120):
        text = render_text(sample_report(), width, False, True)
        assert not [line for line in text.splitlines() if line.split()[:1] in (["W"], ["%"], ["A;"])]


def test_piped_text_has_no_control_character_and_colour_adds_only_escapes() -> None:
    plain = render_text(sample_report(), 100, False, True)
    coloured = render_text(sample_report(), 100, True, True)
    assert {c for c in plain if ord(c) < 32} == {"\n"}
    assert "\u202e" not in plain
    assert "\x1b[" in coloured
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == plain
    assert "[bold]{{ 7 * 7 }}" not in plain
    assert HOSTILE in plain


def test_ascii_marks_only_when_asked() -> None:
    names = "日本間�"
    plain = render_text(sample_report(), 80, False, True, ascii_only=True)
    assert {c for c in plain if not c.isascii()} <= set(names)
    assert "█" in render_text(sample_report(), 80, False, True)


def test_an_empty_schedule_still_has_its_caution() -> None:
    text = render_text(report_of([], {}), 80, False, True)
    assert text.startswith("house-by-the-mill.xlsx: 0 circuits\n")
    assert "Caution: This report compares stated values only." in text


def test_the_same_report_gives_the_same_text_whatever_the_terminal(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    before = render_text(sample_report(), 90, True, True)
    for name, value in (
        ("NO_COLOR", "1"),
        ("COLUMNS", "20"),
        ("TERM", "dumb"),
        ("FORCE_COLOR", "1"),
    ):
        monkeypatch.setenv(name, value)
    assert render_text(sample_report(), 90, True, True) == before


def test_clean_leaves_one_printable_line() -> None:
    assert clean("a\tb\n c\x07\u202ed") == "a b c�d"


def test_every_method_of_the_vocabulary_has_its_trade_word() -> None:
    folder = Path(__file__).parents[2] / "datasets" / "vocabulary"
    methods = read_vocabulary(folder).choices["method"]
    assert set(methods) <= set(METHOD_TEXT)
    assert METHOD_TEXT["reverse_phase"] == METHOD_TEXT[methods["reverse_phase"]] == "trailing edge"


def test_the_libraries_of_a_format_are_loaded_only_when_it_is_made() -> None:
    code = (
        "import sys, compat.report.text, compat.report.explain, compat.report.html, compat.report.json\n"
        "print(sorted({'rich', 'jinja2'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"
