"""The first five minutes of a specifier as a script: what to change, what to ask, change two circuits, what
got better; and what stands at a terminal while it works. The keeper's are in ``tests/release/diff``."""

from __future__ import annotations

import io
import json
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from compat.cli import waiting
from tests.cli.parts import command, environment
from tests.cli.program import Program

# Invented: a leading-edge dimmer, one lamp too many, a relay where dimming is wanted, an unknown lamp.
SCHEDULE = """circuit,room,luminaire_type,quantity,driver,watts,output
1,Hall,Lamp,8,D0002,,O0010
2,Study,Lamp,31,D0002,,O0008
3,Attic,Lamp,8,D0002,,O0021
4,Loft,Downlight,4,,9,O0008
"""


@pytest.fixture
def program(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Program:
    return Program(monkeypatch, capsys)


def test_the_first_five_minutes_of_a_specifier(program: Program, tmp_path: Path) -> None:
    schedule, before, ask = tmp_path / "s.csv", tmp_path / "before.json", tmp_path / "ask.xlsx"
    schedule.write_text(SCHEDULE)
    # Reads what to change, with the output to take instead.
    done = program("check", schedule)
    assert done.code == 1
    change, _, rest = done.out.partition("\nAsk")
    assert "fails 1 Hall: " in change
    assert "(O0006)" in change
    assert "Split it into 2 circuits of 16 and 15" in " ".join(change.split())
    assert "1. The installation (4)" in rest
    # Asks the maker, and keeps the report.
    assert program("check", schedule, "--questions", ask, "--format", "json", "--output", before).code == 1
    assert ask.read_bytes().startswith(b"PK")
    assert json.loads(before.read_text())["schedule"] == "s.csv"
    # Changes two circuits and sees what got better.
    schedule.write_text(SCHEDULE.replace("D0002,,O0010", "D0002,,O0008").replace("31,", "20,"))
    since = program("check", schedule, "--since", before).out
    assert since.startswith("Since before.json: 2 changes, 2 unchanged\n")
    assert since.count("better: ") == 2
    assert "better: 1 from fails to " in since
    assert "better: 2 from fails to " in since


def test_watch_judges_again_when_the_schedule_changes_and_ends_by_interrupt(tmp_path: Path) -> None:
    schedule, told = tmp_path / "s.csv", tmp_path / "told.txt"
    schedule.write_text(SCHEDULE)
    arguments = command("check", str(schedule), "--watch", "--output", str(told))
    process = subprocess.Popen(arguments, stderr=subprocess.PIPE, text=True, env=environment({}))
    try:
        assert process.stderr is not None
        assert "written" in process.stderr.readline()
        assert process.stderr.readline() == "Waiting for a change; Ctrl-C ends.\n"
        assert "fails 1 Hall" in told.read_text()
        schedule.write_text(SCHEDULE.replace("D0002,,O0010", "D0002,,O0008"))
        assert "written" in process.stderr.readline()
        assert "fails 1 Hall" not in told.read_text()
        # A schedule that cannot be read for a moment is said and waited out.
        process.stderr.readline()
        schedule.write_text("")
        assert "s.csv" in process.stderr.readline()
        assert process.poll() is None
    finally:
        process.send_signal(signal.SIGINT)
        process.communicate(timeout=20)
    assert process.returncode == 3


@pytest.mark.parametrize("is_terminal", [True, False])
def test_progress_stands_on_a_terminal_only_and_is_cleared(
    is_terminal: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    stream = io.StringIO()
    monkeypatch.setattr(stream, "isatty", lambda: is_terminal)
    monkeypatch.setattr(sys, "stderr", stream)
    monkeypatch.setattr(waiting, "QUIET_S", 0.05)
    with waiting.progress("Judging house.xlsx"):
        time.sleep(0.3)
    said = f"{waiting.ERASE_LINE}Judging house.xlsx (0 s){waiting.ERASE_LINE}"
    assert stream.getvalue() == (said if is_terminal else "")
    with waiting.progress("Too short to be said"):
        pass
    assert "Too short" not in stream.getvalue()
