"""Where the answer goes: pipes that close, screens with and without colour, places without room."""

from __future__ import annotations

import errno
import io
import os
import pty
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

import pytest

from compat.cli.common import say
from compat.model.faults import BadInput
from compat.model.verdicts import VERDICTS
from tests.cli.parts import DEMO, House, command, environment, started

ESCAPE = "\x1b"


def on_a_screen(arguments: list[str], env: Mapping[str, str]) -> str:
    """What the program writes when its output is a terminal of 90 columns."""
    ours, theirs = pty.openpty()
    given = {**environment({"TERM": "xterm-256color", "COLUMNS": "90", **env})}
    given = {name: value for name, value in given.items() if value or name != "NO_COLOR"}
    process = subprocess.Popen(command(*arguments), stdout=theirs, stderr=theirs, stdin=theirs, env=given)
    os.close(theirs)
    parts = []
    while True:
        try:
            part = os.read(ours, 65536)
        except OSError:  # the other end is closed
            break
        if not part:
            break
        parts.append(part)
    os.close(ours)
    process.wait()
    return b"".join(parts).decode("utf-8")


def test_in_a_pipe_there_are_no_escape_codes(house: House) -> None:
    schedule = str(house.schedule(*VERDICTS))
    for arguments in (
        ["check", schedule, *house.options(), "--details"],
        ["explain", "R0003"],
        ["check", "none.csv"],
    ):
        run = started(*arguments, env={"FORCE_COLOR": "", "TERM": "xterm-256color"})
        assert ESCAPE not in run.stdout + run.stderr


def test_on_a_screen_there_is_colour_unless_no_color_is_set(house: House) -> None:
    arguments = ["check", str(house.schedule(*VERDICTS)), *house.options()]
    coloured = on_a_screen(arguments, {"NO_COLOR": ""})
    plain = on_a_screen(arguments, {"NO_COLOR": "1"})
    assert ESCAPE in coloured
    assert ESCAPE not in plain
    assert "HAZARD" in plain
    assert max(len(line) for line in plain.splitlines()) <= 90


def test_a_file_is_without_colour_also_from_a_screen(house: House) -> None:
    target = house.folder / "answer.txt"
    arguments = ["check", str(house.schedule("hazard")), *house.options(), "--output", str(target)]
    shown = on_a_screen(arguments, {"NO_COLOR": ""})
    assert "written: " in shown
    assert ESCAPE not in target.read_text(encoding="utf-8")


def test_a_reader_that_goes_away_is_no_fault(house: House) -> None:
    """As with ``| head -1``: the run is cut short, and nothing is said about it."""
    arguments = command("check", DEMO, "--format", "json")
    process = subprocess.Popen(arguments, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=environment())
    assert process.stdout is not None
    assert process.stderr is not None
    assert process.stdout.readline() == b"{\n"
    process.stdout.close()
    said = process.stderr.read()
    process.stderr.close()
    assert (process.wait(), said) == (3, b"")


@pytest.mark.parametrize("arguments", [["dataset", "show"], ["--version"], ["explain", "R0007"]])
def test_a_reader_that_was_never_there_is_no_fault(arguments: list[str]) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    run = subprocess.run(
        command(*arguments), stdout=writing, stderr=subprocess.PIPE, env=environment(), check=False
    )
    os.close(writing)
    assert (run.returncode, run.stderr) == (3, b"")


class FullStream(io.StringIO):
    """A place without room."""

    def flush(self) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")


def test_no_room_for_the_answer_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdout", FullStream())
    with pytest.raises(BadInput) as caught:
        say("an answer\n")
    (fault,) = caught.value.faults
    assert fault.sentence() == (
        "output: the answer cannot be written: No space left on device. Use --output with another place."
    )


def test_closed_streams_are_no_fault() -> None:
    shell = ["sh", "-c", 'exec "$@" >&-', "sh", *command("--version")]
    run = subprocess.run(shell, stderr=subprocess.PIPE, env=environment(), check=False)
    assert (run.returncode, run.stderr) == (0, b"")
    shell = ["sh", "-c", 'exec "$@" 2>&-', "sh", *command("explain", "R9999")]
    assert subprocess.run(shell, stdout=subprocess.PIPE, env=environment(), check=False).returncode == 2


INTERRUPTED = """
import os, signal, sys
import compat.cli.check as check
from compat.cli.app import run

def stop(*_, **__):
    os.kill(os.getpid(), signal.SIGINT)

check.spare_inputs = stop
sys.argv = ["compat", "check", "house.csv"]
run()
"""


def test_an_interrupted_run_says_so(tmp_path: Path) -> None:
    """Ctrl-C while a command works: exit code 3 and one word, no traceback."""
    command_line = [sys.executable, "-c", INTERRUPTED]
    run = subprocess.run(
        command_line, capture_output=True, text=True, cwd=tmp_path, env=environment(), check=False
    )
    assert (run.returncode, run.stdout, run.stderr) == (3, "", "stopped\n")
