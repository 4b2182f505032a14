"""``--dataset``: a folder, a release or a version; what is none of them, or of another edition, is told."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest

from compat import __version__
from compat.dataset.find import dataset_folder
from compat.dataset.read import Dataset, load_dataset
from compat.engine.required_traits import ALWAYS
from tests.cli.parts import OUTPUTS, House, called, rules_of_three
from tests.conftest import ROOT
from tests.dataset.parts import faults_of, replaced

VERSION = "9.1.0"


@pytest.fixture(scope="module")
def small_dataset(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return rules_of_three(tmp_path_factory.mktemp("three-rules"))


@pytest.fixture
def house(tmp_path: Path, small_dataset: Path) -> House:
    outputs = tmp_path / "own-outputs.toml"
    outputs.write_text(OUTPUTS, encoding="utf-8")
    return House(tmp_path, small_dataset, outputs)


@pytest.fixture
def releases(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with one small release of a version of its own, named by the environment variable."""
    place = tmp_path / "releases"
    root = place / "one"
    root.mkdir(parents=True)
    rules_of_three(root)
    package = json.loads((root / "datasets" / "datapackage.json").read_text())
    replaced(root / "datasets" / "datapackage.json", package["version"], VERSION)
    monkeypatch.setenv("COMPAT_DATASETS", str(place))
    return place


def test_a_folder_is_taken_as_it_stands(releases: Path) -> None:
    assert dataset_folder(releases / "one") == releases / "one"


def test_a_version_is_sought_in_the_folders_of_the_variable(
    releases: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    assert dataset_folder(Path(VERSION)) == releases / "one"
    (tmp_path / "empty").mkdir()
    monkeypatch.setenv("COMPAT_DATASETS", f"{tmp_path / 'empty'}:{tmp_path / 'nowhere'}:{releases}")
    assert dataset_folder(Path(VERSION)) == releases / "one"


def test_the_version_of_the_program_s_own_dataset_is_always_at_hand(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("COMPAT_DATASETS", raising=False)
    own = load_dataset()
    assert load_dataset(dataset_folder(Path(own.version))).sha256 == own.sha256


def test_a_version_that_is_not_at_hand_names_those_that_are(releases: Path) -> None:
    [sentence] = faults_of(lambda: dataset_folder(Path("9.9.9")))
    assert sentence.startswith("9.9.9: no release of version 9.9.9 is at hand. At hand: ")
    assert VERSION in sentence
    assert "COMPAT_DATASETS" in sentence


@pytest.mark.parametrize("wanted", ["nowhere", "1.2", "v1.2.3", "..3", "1.2.3/x"])
def test_what_is_neither_a_folder_nor_a_version_is_told(wanted: str) -> None:
    [sentence] = faults_of(lambda: dataset_folder(Path(wanted)))
    assert "there is no such folder" in sentence
    assert "or a version such as 1.2.0" in sentence


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("lighting-control-compatibility.duckdb", "this is one file of a release"),
        ("parquet/drivers.parquet", "this is one file of a release"),
        ("rules.json", "this is a file, no rules dataset"),
    ],
)
def test_a_file_of_a_release_is_refused_with_a_sentence(
    release: Path, house: House, name: str, told: str
) -> None:
    ended = called("check", house.schedule("works"), "--dataset", release / name)
    assert ended.code == 2
    assert told in ended.err


def test_a_newer_edition_is_refused_with_the_program_that_it_needs(releases: Path, house: House) -> None:
    for path in sorted((releases / "one" / "rules").glob("*/*.toml")):
        if not path.name.endswith(".cases.toml"):
            replaced(path, '"rule/1"', '"rule/2"')
    ended = called("check", house.schedule("works"), "--dataset", VERSION)
    assert ended.code == 2
    assert ended.err == (
        f"load/load-below-minimum.toml: 3 files of the dataset {VERSION} are written by rule/2. "
        f"This program, compat {__version__}, reads rule/1. Use a newer compat, one that reads rule/2.\n"
    ).replace("load/load", "rules/load/load")


def test_an_older_edition_names_an_older_program(releases: Path) -> None:
    replaced(releases / "one" / "datasets" / "drivers" / "dmx-drivers.toml", "drivers/1", "drivers/0")
    [sentence] = faults_of(lambda: dataset_folder(Path(VERSION)))
    assert sentence == (
        f"datasets/drivers/dmx-drivers.toml: this file of the dataset {VERSION} is written by drivers/0. "
        f"This program, compat {__version__}, reads drivers/1. Use an older compat, one that reads drivers/0."
    )


@pytest.mark.parametrize(
    "command",
    [
        ["check", "SCHEDULE"],
        ["check", "SCHEDULE", "--format", "json"],
        ["check", "SCHEDULE", "--format", "html"],
        ["check", "SCHEDULE", "--details"],
        ["explain", "--circuit", "W1", "SCHEDULE"],
        ["explain", "load-below-minimum"],
        ["explain", "R0007", "--format", "json"],
        ["lookup", "D0054"],
        ["lookup", "D0054", "--format", "json"],
        ["lookup", "D0054", "--html"],
        ["plan", "SCHEDULE", "--table", "dmx"],
        ["plan", "SCHEDULE", "--table", "dmx", "--format", "html"],
        ["plan", "SCHEDULE", "--table", "dali"],
        ["plan", "SCHEDULE", "--table", "dali", "--format", "json"],
    ],
)
def test_every_report_names_the_version_and_the_hash_of_what_was_chosen(
    releases: Path, house: House, command: list[str]
) -> None:
    schedule = str(house.schedule("works"))
    arguments = [schedule if word == "SCHEDULE" else word for word in command]
    own = ["--outputs", str(house.outputs)] if command[0] != "explain" or "--circuit" in command else []
    ended = called(*arguments, "--dataset", VERSION, *own)
    assert ended.code in (0, 1), ended.err
    assert VERSION in ended.out
    # Text for people shows the first figures of the hash, which is enough to tell editions apart.
    assert load_dataset(releases / "one").sha256[:16] in "".join(ended.out.split())


@pytest.mark.parametrize(
    "command", [["template", "--format", "csv", "--output", "PLACE"], ["dataset", "show"]]
)
def test_the_other_commands_take_a_version_too(releases: Path, tmp_path: Path, command: list[str]) -> None:
    arguments = [str(tmp_path / "schedule.csv") if word == "PLACE" else word for word in command]
    chosen = [VERSION] if command[0] == "dataset" else ["--dataset", VERSION]
    ended = called(*arguments, *chosen)
    assert ended.code == 0, ended.out + ended.err


def test_verdicts_are_those_of_the_chosen_release(releases: Path, house: House) -> None:
    """A rule that the older release does not have cannot speak."""
    schedule = house.schedule("fails", "works")
    before = json.loads(called("check", schedule, *house.options(), "--format", "json").out)
    shutil.rmtree(releases / "one" / "rules" / "switching")
    options = ["--dataset", VERSION, "--outputs", str(house.outputs), "--format", "json"]
    after = json.loads(called("check", schedule, *options).out)
    assert before["counts"]["fails"] == 1
    assert after["counts"]["fails"] == 0
    assert after["dataset"]["version"] == VERSION


def test_the_list_of_needed_traits_is_that_of_the_code(dataset: Dataset) -> None:
    """Names of traits in the code, but for the computed ones, which the program adds by itself."""
    named: set[str] = set()
    for folder in ("engine", "planning"):
        for path in (ROOT / "compat" / folder).glob("*.py"):
            if path.name != "required_traits.py":
                found = re.findall(r"[\"']([a-z_]+\.[a-z0-9_]+)[\"']", path.read_text(encoding="utf-8"))
                named |= {name for name in found if name in dataset.vocabulary.traits}
    computed = {name for name, trait in dataset.vocabulary.traits.items() if trait.gather == "computed"}
    assert named - computed <= set(ALWAYS)
    assert set(ALWAYS) <= set(dataset.vocabulary.traits)


@pytest.mark.parametrize(
    "lacking", ["output.method", "line.kind", "line.cable_resistance_ohm_per_km", "line.control_current_ma"]
)
def test_an_older_release_without_a_trait_that_the_program_needs_is_refused(
    releases: Path, house: House, lacking: str
) -> None:
    root = releases / "one"
    subject, name = lacking.split(".")
    traits = root / "datasets" / "vocabulary" / "traits.csv"
    kept = [line for line in traits.read_text().splitlines() if not line.startswith(f"{subject},{name},")]
    traits.write_text("\n".join(kept) + "\n")
    if subject == "output":
        shutil.rmtree(root / "datasets" / "outputs")
        shutil.rmtree(root / "rules" / "switching")
        for path in (root / "rules" / "method").glob("*"):
            path.unlink()
        rule = root / "rules" / "load" / "load-below-minimum.toml"
        applies = next(line for line in rule.read_text().splitlines() if line.startswith("applies"))
        replaced(rule, applies, 'applies = "always"')
    (root / "datapackage.json").write_text('{"compat": {"program": "0.0.7"}}')
    ended = called("check", house.schedule("works"), "--dataset", VERSION)
    assert ended.code == 2
    assert ended.err == (
        f"traits.csv: the dataset {VERSION} does not know {lacking}, with which compat {__version__} "
        "reckons. Use the compat of its time, 0.0.7, or a newer dataset.\n"
    )


def test_an_older_release_without_what_came_later_still_runs(releases: Path, house: House) -> None:
    """No computed trait, no rule on it, no default: the older release knew neither."""
    root = releases / "one"
    traits = root / "datasets" / "vocabulary" / "traits.csv"
    later = (
        "circuit,group_inrush",
        "circuit,hot_restart_peak",
        "circuit,gang_sides",
        "output,share_one_side",
    )
    kept = [line for line in traits.read_text().splitlines() if not line.startswith(later)]
    assert len(kept) <= len(traits.read_text().splitlines()) - 4
    traits.write_text("\n".join(kept) + "\n")
    defaults = root / "datasets" / "defaults.toml"
    parts = defaults.read_text().split("\n\n")
    defaults.write_text("\n\n".join(part for part in parts if "gang_sides" not in part))
    for table in (root / "datasets" / "outputs").glob("*.toml"):
        table.write_text(re.sub(r"(?m)^share_one_side = .*\n", "", table.read_text()))
    options = ["--dataset", VERSION, "--outputs", str(house.outputs), "--format", "json"]
    ended = called("check", house.schedule("works", "fails"), *options)
    assert ended.code == 1, ended.err
    report = json.loads(ended.out)
    assert report["dataset"]["version"] == VERSION
    assert (report["counts"]["works"], report["counts"]["fails"]) == (1, 1)
