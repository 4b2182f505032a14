"""A check as papers for issue."""

from __future__ import annotations

import re
import sys
from dataclasses import replace
from pathlib import Path

import pytest

import compat
from compat.model.faults import BadInput
from compat.report.pdf import render_pdf
from compat.report.states import TO_CHANGE, counts_text

HOUSE = Path("datasets/demo/house.xlsx")


@pytest.fixture(scope="module")
def result() -> compat.CheckResult:
    return compat.check(HOUSE)


def test_two_runs_give_the_same_bytes(result: compat.CheckResult) -> None:
    first = result.to_pdf()
    assert first == result.to_pdf()
    assert first.startswith(b"%PDF-")
    pages = len(re.findall(rb"/Type\s*/Page\b", first))
    assert 5 <= pages <= 15
    assert any(count for state, count in counts_text(result.report) if state in TO_CHANGE)


def test_a_name_is_never_markup(result: compat.CheckResult) -> None:
    hostile = '#read("/etc/passwd") = heading $x$ \\ `raw` ]#panic()'
    circuits = [replace(one, room=hostile, circuit=hostile) for one in result.report.circuits[:3]]
    made = render_pdf(replace(result.report, circuits=circuits, lines=[], enquiries=[], kinds=[]))
    assert made.startswith(b"%PDF-")


def test_without_the_library_it_says_what_to_install(
    result: compat.CheckResult, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "typst", None)
    with pytest.raises(BadInput) as raised:
        result.to_pdf()
    assert "[pdf]" in raised.value.faults[0].do
