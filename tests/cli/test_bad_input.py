"""Unusable input: a sentence for each fault on the error stream, exit code 2, and nothing is written."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.parts import DEMO, Ended, House, called, started
from tests.dataset.parts import replaced

Arguments = Callable[[House], list[str | Path]]


def file(house: House, name: str, text: str | bytes) -> Path:
    path = house.folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def check(house: House, *more: str | Path) -> list[str | Path]:
    return ["check", house.schedule("works"), *house.options(), *more]


def project(house: House, text: str) -> list[str | Path]:
    return check(house, "--project", file(house, "project.toml", 'schema = "project/1"\n' + text))


def drivers(house: House, text: str, name: str = "drivers.toml") -> list[str | Path]:
    return check(house, "--drivers", file(house, name, text))


DRIVER = 'schema = "drivers/1"\n[[driver]]\nid = "A"\nname = "Lamp"\n[driver.traits]\n'
# What is given, and the beginning of the sentence that is told.
BAD: dict[str, tuple[Arguments, str]] = {
    "missing schedule": (lambda h: ["check", h.folder / "hose.csv"], "hose.csv: there is no such file."),
    "missing schedule with a neighbour": (
        lambda h: [*check(h)[:1], h.folder / "hous.csv"],
        "hous.csv: there is no such file. Nearest: house.csv.",
    ),
    "schedule of a wrong kind": (
        lambda h: ["check", file(h, "house.pdf", "%PDF")],
        "house.pdf: the file is a PDF, which holds a picture of a table and not the table. Allowed: .xlsx",
    ),
    "schedule without a kind": (
        lambda h: ["check", file(h, "house", "a")],
        "house: the name ends in nothing",
    ),
    "folder as schedule": (lambda h: ["check", h.folder], "{name}: this is a folder, not a file."),
    "this folder as schedule": (lambda h: ["check", "."], ".: this is a folder, not a file."),
    "root as schedule": (lambda h: ["check", "/"], "/: this is a folder, not a file."),
    "empty schedule": (lambda h: ["check", file(h, "house.csv", "")], "house.csv: the file is empty."),
    "device as schedule": (lambda h: ["check", "/dev/null"], "null: this is not an ordinary file."),
    "name too long": (lambda h: ["check", "a" * 300 + ".csv"], "aaaaa"),
    "not a workbook": (lambda h: ["check", file(h, "house.xlsx", "Circuit,Quantity\n")], "house.xlsx: "),
    "sheet of a text file": (lambda h: check(h, "--sheet", "x"), "house.csv: a .csv file has no sheets."),
    "quantity that is none": (
        lambda h: ["check", file(h, "house.csv", "Circuit,Quantity\nA1,many\n")],
        "house.csv, line 2, column Quantity: ",
    ),
    "unknown driver": (
        lambda h: ["check", file(h, "house.csv", "Circuit,Quantity,Driver\nA1,1,D9999\n")],
        "house.csv, line 2, column Driver: there is no driver 'D9999'",
    ),
    "missing project": (lambda h: check(h, "--project", "none.toml"), "none.toml: there is no such file."),
    "unknown supply": (
        lambda h: project(h, 'supply = "U9999"\n'),
        "project.toml, line 2: 'U9999' is not in the table of supplies.",
    ),
    "unknown output on offer": (
        lambda h: project(h, '[offer]\noutputs = ["X1", "X11"]\n'),
        "project.toml, line 3: 'X11' is not in the table of outputs. Nearest: X1.",
    ),
    "unknown breaker": (
        lambda h: project(h, 'breaker = "B"\n'),
        "project.toml, line 2: 'B' is not in the table",
    ),
    "unknown field of a project": (
        lambda h: project(h, 'supplly = "U0001"\n'),
        "project.toml, line 2, supplly: 'supplly' is no field of this file. Nearest: supply",
    ),
    "broken project": (lambda h: project(h, "supply = U0001\n"), "project.toml, line 2: this is not TOML"),
    "broken own drivers": (lambda h: drivers(h, DRIVER + "a = \n"), "drivers.toml, line 6: this is not TOML"),
    "faulty own drivers": (
        lambda h: drivers(h, DRIVER + "input_power_w = [6, 5]\n"),
        "drivers.toml, line 6: A input_power_w: the low end 6 is above the high end 5.",
    ),
    "own drivers in broken JSON": (
        lambda h: drivers(h, '{"schema": }', "drivers.json"),
        "drivers.json, line 1: this is not JSON",
    ),
    "outputs given as drivers": (
        lambda h: check(h, "--drivers", h.outputs),
        "own-outputs.toml, line 1: schema is 'outputs/1'. Allowed: schema = \"drivers/1\".",
    ),
    "missing own outputs": (
        lambda h: ["check", DEMO, "--outputs", "none.toml"],
        "none.toml: there is no such file",
    ),
    "missing dataset": (
        lambda h: ["check", h.schedule("works"), "--dataset", h.folder / "none"],
        "{folder}/none: there is no such folder. A folder with rules/, schemas/ and datasets/",
    ),
    "dataset that is a file": (
        lambda h: ["check", h.schedule("works"), "--dataset", h.outputs],
        "{folder}/own-outputs.toml: this is a file, no rules dataset. A folder with rules/",
    ),
    "unknown rule": (
        lambda h: ["explain", "R9999"],
        "rules: there is no rule 'R9999'. An id such as R0001, or a slug.",
    ),
    "rule with a slip": (
        lambda h: ["explain", "load-below-minimun"],
        "rules: there is no rule 'load-below-minimun'. An id such as R0001, or a slug. Nearest: load-below",
    ),
    "schedule explained without a circuit": (
        lambda h: ["explain", h.schedule("works")],
        "rules: there is no rule '{folder}/house.csv'. An id such as R0001, or a slug. To explain a circuit",
    ),
    "unknown circuit": (
        lambda h: ["explain", h.schedule("works", "fails"), "--circuit", "F12", *h.options()],
        "house.csv: there is no circuit 'F12' in the schedule. Nearest: F1.",
    ),
    "circuit like no other": (
        lambda h: ["explain", h.schedule("works", "fails"), "--circuit", "kitchen", *h.options()],
        "house.csv: there is no circuit 'kitchen' in the schedule. There are: W1, F1.",
    ),
    "circuit of a missing schedule": (
        lambda h: ["explain", "none.csv", "--circuit", "F1"],
        "none.csv: there is no such file.",
    ),
    "answer into a missing folder": (
        lambda h: check(h, "--output", h.folder / "none" / "a.txt"),
        "a.txt: the folder for this file does not exist. Make it first.",
    ),
    "answer into a folder": (
        lambda h: check(h, "--output", h.folder),
        "{name}: this is a folder and cannot be written. Give a file name.",
    ),
    "template over a file": (
        lambda h: ["template", "--output", h.schedule("works"), "--format", "csv"],
        "{folder}/house.csv: the file is already there. Use --output or --overwrite.",
    ),
    "dataset that is not there": (
        lambda h: ["dataset", "show", h.folder / "none"],
        "{folder}/none: there is no such folder.",
    ),
    "schemas of no dataset": (
        lambda h: ["dataset", "schemas", h.folder / "none"],
        "{folder}/none/datasets/vocabulary/units.csv: there is no such file.",
    ),
}


@pytest.mark.parametrize(("arguments", "sentence"), BAD.values(), ids=BAD)
def test_bad_input_is_told_in_a_sentence(
    arguments: Arguments, sentence: str, house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(house.folder)
    given = arguments(house)
    before = contents(house.folder)
    found = called(*given)
    assert (found.code, found.out) == (2, "")
    expected = sentence.format(folder=house.folder, name=house.folder.name)
    lines = found.err.splitlines()
    assert any(line.startswith(expected) for line in lines), found.err
    assert all(line.isprintable() and line.endswith(".") for line in lines)
    assert contents(house.folder) == before


def contents(folder: Path) -> dict[Path, bytes]:
    return {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_every_fault_has_a_line_of_its_own(house: House) -> None:
    rows = "A1,many,D0001,-5\nA2,1,D9999,x\n"
    path = file(house, "house.csv", "Circuit,Quantity,Driver,Input power (W)\n" + rows)
    found = called("check", path)
    assert found.code == 2
    assert len(found.err.splitlines()) == 2
    assert found.err.isascii()


USAGE: dict[str, tuple[list[str], str]] = {
    "no command": ([], "Usage"),
    "unknown command": (["chekc"], "No such command 'chekc'"),
    "no schedule": (["check"], "Missing argument"),
    "unknown option": (["check", "a.csv", "--fromat", "json"], "No such option: --fromat"),
    "unknown format": (["check", "a.csv", "--format", "yaml"], "yaml"),
    "unknown verdict": (["check", "a.csv", "--fail-on", "often"], "often"),
    "two schedules": (["check", "a.csv", "b.csv"], "unexpected extra argument"),
    "circuit and line": (["explain", "a.csv", "--circuit", "A", "--line", "B"], "not both"),
}


@pytest.mark.parametrize(("arguments", "words"), USAGE.values(), ids=USAGE)
def test_wrong_usage(arguments: list[str], words: str) -> None:
    found = called(*arguments)
    assert found.code == 2
    assert words in found.out + found.err
    assert "Traceback" not in found.err


@pytest.mark.parametrize(
    "name",
    [
        "missing schedule",
        "unknown circuit",
        "unknown rule",
        "unknown output on offer",
        "missing dataset",
    ],
)
def test_a_process_of_its_own_says_the_same(name: str, house: House) -> None:
    arguments, _ = BAD[name]
    given = arguments(house)
    run = started(*given, cwd=house.folder)
    inside: Ended = called(*given)
    assert (run.returncode, run.stdout, run.stderr) == (2, "", inside.err)


BROKEN_DATASET = {
    "broken rule": (
        "rules/switching/neutral-missing.toml",
        'breach = "fails"',
        "breach = fails",
        "neutral-missing.toml, line 9: this is not TOML",
    ),
    "hostile rule": (
        "rules/switching/neutral-missing.toml",
        'requires = "circuit.neutral_at_control"',
        "requires = \"__import__('os').system('true')\"",
        "neutral-missing.toml, line 8: requires cannot be read: the character",
    ),
    "broken table": (
        "datasets/drivers/dmx-drivers.toml",
        "[[driver]]",
        "[[driver]",
        "dmx-drivers.toml, line",
    ),
    "broken vocabulary": (
        "datasets/vocabulary/traits.csv",
        "driver,input_power_w,quantity,w,",
        "driver,input_power_w,quantity,watt,",
        "traits.csv, line",
    ),
    "unknown default": ("datasets/defaults.toml", 'supply = "U0001"', 'supply = "U9"', "defaults.toml, line"),
    "broken data package": ("datasets/datapackage.json", "{", "", "datapackage.json, line"),
}


@pytest.mark.parametrize(("name", "old", "new", "sentence"), BROKEN_DATASET.values(), ids=BROKEN_DATASET)
def test_a_broken_dataset(name: str, old: str, new: str, sentence: str, house: House) -> None:
    root = Path(shutil.copytree(house.dataset, house.folder / "broken"))
    replaced(root / name, old, new)
    found = called("check", house.schedule("works"), "--dataset", root)
    assert (found.code, found.out) == (2, "")
    assert found.err.startswith(sentence)


def test_a_dataset_without_rules_proves_nothing(house: House) -> None:
    """Without rules every circuit would work, so it is refused."""
    root = Path(shutil.copytree(house.dataset, house.folder / "empty"))
    for path in (root / "rules").rglob("*.toml"):
        path.unlink()
    found = called("check", house.schedule("hazard"), "--dataset", root, "--outputs", house.outputs)
    assert (found.code, found.out) == (2, "")
    assert found.err == f"{root}/rules: the folder holds no rule in force.\n"
