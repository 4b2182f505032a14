"""A rules dataset of three rules, a house with a circuit for each verdict, and ways to run the program."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from collections.abc import Mapping
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path

import pytest

from compat.cli.app import run as program
from tests.conftest import ROOT
from tests.dataset.parts import copied_dataset, drop_uncited_sources

DEMO = ROOT / "datasets" / "demo" / "house.csv"
RULES = ("load/load-below-minimum", "method/motor-on-phase-cut", "switching/neutral-missing")
HEAD = "Circuit,Quantity,Output,Load type,Input power (W),Neutral at control\n"
CIRCUITS = {
    "works": "W1,1,X2,incandescent,40,\n",
    "marginal": "M1,1,X2,incandescent,15-25,\n",
    "unproven": "U1,1,X2,incandescent,,\n",
    "fails": "F1,1,X1,incandescent,40,no\n",
    "hazard": "H1,1,X2,motor,40,\n",
}
OUTPUTS = """\
schema = "outputs/1"
[[output]]
id = "X1"
name = "Relay, invented"
[output.traits]
method = "switched"
switching_element = "relay"
needs_neutral = true
[[output]]
id = "X2"
name = "Dimmer, invented"
[output.traits]
method = "reverse_phase"
min_load_w = 20
needs_neutral = false
listed_load_types = ["incandescent"]
"""


@dataclass(frozen=True, slots=True)
class House:
    """Files of a small house and the options that name them."""

    folder: Path
    dataset: Path
    outputs: Path

    def schedule(self, *verdicts: str, name: str = "house.csv") -> Path:
        """A schedule with a circuit for each verdict."""
        path = self.folder / name
        path.write_text(HEAD + "".join(CIRCUITS[verdict] for verdict in verdicts), encoding="utf-8")
        return path

    def options(self) -> list[str]:
        """The options that put the small dataset and the own outputs in place."""
        return ["--dataset", str(self.dataset), "--outputs", str(self.outputs)]


def rules_of_three(folder: Path) -> Path:
    """A dataset with three rules and few drivers and outputs, which is quick to read."""
    root = copied_dataset(folder)
    for path in (root / "rules").glob("*/*.toml"):
        if f"{path.parent.name}/{path.name.split('.')[0]}" not in RULES:
            path.unlink()
    for table in ("drivers", "outputs"):
        for path in (root / "datasets" / table).glob("*.toml"):
            if not path.name.startswith("dmx"):
                path.unlink()
    for table in ("usual", "systems"):
        for path in (root / "datasets" / table).glob("*.toml"):
            path.unlink()
    drop_uncited_sources(root)
    return root


@dataclass(frozen=True, slots=True)
class Ended:
    """How a run of the program ended."""

    code: int
    out: str
    err: str


def called(*arguments: str | Path) -> Ended:
    """Run the program in this process; what it does not catch is the failure of the test."""
    out, err = io.StringIO(), io.StringIO()
    with pytest.MonkeyPatch.context() as patch, redirect_stdout(out), redirect_stderr(err):
        patch.setattr(sys, "argv", ["compat", *map(str, arguments)])
        with pytest.raises(SystemExit) as end:
            program()
    return Ended(int(end.value.code or 0), out.getvalue(), err.getvalue())


def started(
    *arguments: str | Path, cwd: Path | None = None, env: Mapping[str, str] | None = None
) -> subprocess.CompletedProcess[str]:
    """Run the program as a process of its own, with its output in pipes."""
    return subprocess.run(
        command(*arguments),
        capture_output=True,
        text=True,
        encoding="utf-8",
        cwd=cwd,
        env=environment(env),
        check=False,
    )


def command(*arguments: str | Path) -> list[str]:
    """The command line of the program, as the installed command starts it."""
    return [sys.executable, "-c", "from compat.cli.app import main; main()", *map(str, arguments)]


def environment(more: Mapping[str, str] | None = None) -> dict[str, str]:
    """The environment of a started program: ours, with the checkout to import from.

    Without PYTHONUNBUFFERED, with which Python drops what a closing pipe did not take and says nothing.
    """
    ours = {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}
    return {**ours, "PYTHONPATH": str(ROOT), **(more or {})}
