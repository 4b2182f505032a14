"""The program run inside the test, as from a shell: arguments in, exit code and both streams out."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

from compat.cli.app import run

HOUSE = Path(__file__).parents[2] / "datasets" / "demo"


@dataclass(frozen=True, slots=True)
class Done:
    """What a run left behind."""

    code: int
    out: str
    err: str


class Program:
    """Runs commands; the terminal is 80 columns wide and the streams are captured."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
        self._monkeypatch, self._capsys = monkeypatch, capsys

    def __call__(self, *arguments: str | Path) -> Done:
        self._monkeypatch.setattr(sys, "argv", ["compat", *map(str, arguments)])
        with pytest.raises(SystemExit) as ended:
            run()
        captured = self._capsys.readouterr()
        return Done(int(ended.value.code or 0), captured.out, captured.err)
