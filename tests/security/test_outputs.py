"""What a run may never do to the files of its user: replace what it reads, leave a part, or wait for ever."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from compat.cli import app
from compat.model.files import write_atomically
from tests.conftest import ROOT

DEMO = ROOT / "datasets" / "demo"
PROGRAM = "from compat.cli.app import main; main()"
ENVIRONMENT = {**os.environ, "PYTHONPATH": str(ROOT)}


def run(*arguments: str | Path, code: str = PROGRAM) -> subprocess.CompletedProcess[str]:
    """A run of the program as a process of its own."""
    command = [sys.executable, "-c", code, *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, env=ENVIRONMENT, timeout=60, check=False)


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The files that commands read: a schedule with its project file beside, own equipment, a dataset."""
    folder = tmp_path_factory.mktemp("inputs")
    for name in ("office.csv", "office.toml"):
        shutil.copy(DEMO / name, folder / name)
    for table in ("drivers.toml", "outputs.toml"):
        shutil.copy(DEMO / "overlay" / table, folder / table)
    shutil.copy(DEMO / "house.toml", folder / "project.toml")
    for part in ("rules", "schemas", "datasets"):
        shutil.copytree(ROOT / part, folder / "set" / part, ignore=shutil.ignore_patterns("demo", "releases"))
    return folder


OWN = ("--drivers", "drivers.toml", "--outputs", "outputs.toml")
PROJECT = ("--project", "project.toml")
WORDS = "set/datasets/vocabulary/units.csv"
INPUTS = {
    ("check", "office.csv", *OWN): ("office.csv", "office.toml", "drivers.toml", "outputs.toml"),
    ("check", "office.csv", *PROJECT, "--dataset", "set"): ("project.toml", WORDS),
    ("explain", "office.csv", "--circuit", "A", *OWN): ("office.csv", "office.toml", "drivers.toml"),
    ("explain", "R0001", "--dataset", "set"): (WORDS,),
    ("lookup", "D0002", *OWN, *PROJECT): ("drivers.toml", "outputs.toml", "project.toml"),
    ("lookup", "D0002", "--dataset", "set"): ("set/datasets/datapackage.json",),
    ("list", "drivers", *OWN): ("drivers.toml", "outputs.toml"),
    ("plan", "office.csv", "--table", "dmx", *OWN): ("office.csv", "office.toml", "drivers.toml"),
    ("plan", "office.csv", "--table", "dali", *PROJECT): ("office.csv", "project.toml"),
    ("dataset", "check", *OWN): ("drivers.toml", "outputs.toml"),
    ("dataset", "check", "set"): ("set/schemas/rule.schema.json",),
    ("dataset", "diff", "set", "set", "--schedule", "office.csv", *OWN): ("office.csv", "office.toml", WORDS),
    ("template", "--overwrite", "--dataset", "set"): (WORDS,),
}


@pytest.mark.parametrize("command", INPUTS, ids=" ".join)
def test_an_answer_never_takes_the_place_of_what_is_read(
    command: tuple[str, ...], place: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """By the identity of the file: a hard link of another name is the same file."""
    monkeypatch.chdir(place)
    for name in INPUTS[command]:
        file, link = place / name, place / "another-name"
        os.link(file, link)
        before = file.read_bytes()
        for target in (file, link):
            monkeypatch.setattr(sys, "argv", ["compat", *command, "--output", str(target)])
            with pytest.raises(SystemExit) as ended:
                app.run()
            assert ended.value.code == 2
            assert "would replace this file" in capsys.readouterr().err
        link.unlink()
        assert file.read_bytes() == before


def test_every_command_with_an_output_is_in_the_table() -> None:
    folder = ROOT / "compat" / "cli"
    with_output = {
        path.stem for path in folder.glob("*.py") if "OutputOption = None" in path.read_text("utf-8")
    }
    named = {"_".join(words[: 1 + (words[0] == "dataset")]) for words in INPUTS}
    assert with_output <= named


WRITES = """
import os, signal, sys
from pathlib import Path
from compat.cli import app, common

def stopped():
    os.fsync = lambda _: os.kill(os.getpid(), signal.{signal})
    try:
        common.give("answer", Path(sys.argv[1]))
    except KeyboardInterrupt:
        sys.exit(3)

app.run = stopped
app.main()
"""


@pytest.mark.parametrize("name", ["SIGTERM", "SIGINT", "SIGHUP"])
def test_a_signal_in_a_write_leaves_nothing_behind(name: str, tmp_path: Path) -> None:
    target = tmp_path / "answer.txt"
    target.write_text("old")
    done = run(target, code=WRITES.replace("{signal}", name))
    assert done.returncode == 3, done
    assert "Traceback" not in done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["answer.txt"]
    assert target.read_text() == "old"


WAITS = f"""
import time
import compat.api as api

def wait(*_, **__):
    print("on", flush=True)
    time.sleep(30)

api.check = wait
{PROGRAM}
"""


def test_an_end_while_it_works_says_so() -> None:
    command = [sys.executable, "-c", WAITS, "check", "x.csv"]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=ENVIRONMENT
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "on\n"
        process.send_signal(signal.SIGTERM)
        _, told = process.communicate(timeout=20)
    assert (process.returncode, told) == (3, "stopped\n")


@pytest.mark.parametrize(
    "fault",
    ["MemoryError()", "RecursionError('deep')", "TypeError('x')", "OSError(11, 'no more')", "KeyError(1)"],
)
def test_a_fault_of_the_program_has_an_exit_code_of_its_own(fault: str) -> None:
    code = f"import compat.api as a\ndef broken(*_, **__): raise {fault}\na.check = broken\n{PROGRAM}"
    done = run("check", "x.csv", code=code)
    assert (done.returncode, done.stdout) == (70, "")
    assert done.stderr.startswith("compat has a fault of its own (")
    assert done.stderr.count("\n") == 1
    assert "please report it" in done.stderr


def test_a_fault_at_the_very_start_is_told_alike() -> None:
    done = run(code=f"from compat.cli import app\napp._prepare_streams = 3\n{PROGRAM}")
    assert done.returncode == 70
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(
    "option", ["schedule", "--drivers", "--outputs", "--project", "--dataset", "--since"]
)
def test_a_pipe_or_a_device_is_refused_and_not_waited_for(option: str, tmp_path: Path, place: Path) -> None:
    pipe = tmp_path / ("pipe.csv" if option == "schedule" else "pipe.toml")
    os.mkfifo(pipe)
    for file in (pipe, Path("/dev/zero")):
        files = [file] if option == "schedule" else [place / "office.csv", option, file]
        done = run("check", *files)
        assert (done.returncode, done.stdout) == (2, ""), done
        assert "Traceback" not in done.stderr


@pytest.mark.parametrize("name", ["rules/load/pipe.toml", "datasets/drivers/pipe.toml", "datasets/pipe.csv"])
def test_a_pipe_inside_a_dataset_is_refused(name: str, place: Path) -> None:
    pipe = place / "set" / name
    os.mkfifo(pipe)
    done = run("check", place / "office.csv", "--dataset", place / "set")
    pipe.unlink()
    assert done.returncode == 2, done
    assert "not an ordinary file" in done.stderr


def test_writing_keeps_a_link_and_its_permissions(tmp_path: Path) -> None:
    target = tmp_path / "real"
    target.write_text("old")
    target.chmod(0o640)
    (tmp_path / "link").symlink_to(target)
    write_atomically(tmp_path / "link", b"new")
    assert target.read_bytes() == b"new"
    assert target.stat().st_mode & 0o777 == 0o640
    assert (tmp_path / "link").is_symlink()
