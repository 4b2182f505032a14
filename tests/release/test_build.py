"""A release folder: complete, the same twice, usable as a dataset, and never in the way of anything."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import pytest

from compat.dataset.read import Dataset, load_dataset
from compat.release.build import SUMS, build_release
from compat.rulebook.rules import ParsedRule, cases_file, read_cases
from tests.cli.parts import called, started
from tests.conftest import ROOT
from tests.dataset.parts import copied_dataset, faults_of, replaced

NAME = "lighting-control-compatibility"


def files_of(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_two_builds_are_equal_byte_for_byte(release: Path, source: Path, tmp_path: Path) -> None:
    """The other build is a process of its own, with another order of hashes, in another folder."""
    ended = started("dataset", "build", source, "--output", tmp_path / "b", env={"PYTHONHASHSEED": "4711"})
    assert ended.returncode == 0, ended.stderr
    ours, other = files_of(release), files_of(tmp_path / "b" / release.name)
    assert sorted(ours) == sorted(other)
    assert [name for name in ours if ours[name] != other[name]] == []


def test_it_says_its_version_in_its_name_and_leaves_nothing_beside_it(
    release: Path, dataset: Dataset
) -> None:
    assert release.name == f"{NAME}-{dataset.version}"
    assert [path.name for path in release.parent.iterdir()] == [release.name]


def test_every_part_is_there(release: Path) -> None:
    names = set(files_of(release))
    wanted = {f"{NAME}.duckdb", "rules.json", "datapackage.json", "LICENSE-DATA", "RELEASE-NOTES.md", SUMS}
    wanted |= {"pages/index.html", "pages/README.md", "parquet/drivers.parquet", "csv/traits.csv"}
    assert wanted <= names
    assert not [name for name in names if "demo" in name or name.endswith((".py", ".xlsx"))]


def test_no_path_of_this_machine_is_in_it(release: Path, source: Path) -> None:
    for name, content in files_of(release).items():
        for place in (str(ROOT), str(source), str(release.parent)):
            assert place.encode() not in content, name


def test_the_sums_are_those_of_the_files(release: Path) -> None:
    files = files_of(release)
    lines = files.pop(SUMS).decode().splitlines()
    sums = {line[66:]: line[:64] for line in lines}
    assert sums == {name: hashlib.sha256(content).hexdigest() for name, content in files.items()}


def test_a_release_is_a_dataset_with_the_same_hash(release: Path, source: Path) -> None:
    again, dataset = load_dataset(release), load_dataset(source)
    assert (again.version, again.sha256) == (dataset.version, dataset.sha256)
    assert again.tables == dataset.tables


def test_rules_json_has_every_rule_with_cases_and_history(release: Path, rules: list[ParsedRule]) -> None:
    found = {rule["id"]: rule for rule in json.loads((release / "rules.json").read_text())["rules"]}
    assert {rule.rule.id for rule in rules} < set(found)
    for rule in rules:
        entry = found[rule.rule.id]
        assert entry["title"] == rule.rule.title
        assert entry["history"]["status"] == rule.rule.status
        assert len(entry["cases"]) == len(read_cases(cases_file(rule.file)).case)
    withdrawn = [rule for rule in found.values() if rule["history"]["status"] == "withdrawn"]
    assert all(rule["history"]["withdrawn_because"] for rule in withdrawn)
    assert withdrawn


def test_what_is_there_is_not_replaced_unasked(tmp_path: Path, release: Path, source: Path) -> None:
    place = tmp_path / release.name
    place.mkdir()
    (place / "mine.txt").write_text("mine")
    assert faults_of(lambda: build_release(source, tmp_path)) == [
        f"{release.name}: this release is already there. Use --output or --overwrite."
    ]
    assert faults_of(lambda: build_release(source, tmp_path, overwrite=True)) == [
        f"{release.name}: what is there is no release, so it is not replaced. "
        "Move it away, or choose another --output."
    ]
    assert (place / "mine.txt").read_text() == "mine"


def test_an_earlier_release_is_replaced_when_asked(tmp_path: Path, release: Path, source: Path) -> None:
    made = build_release(source, tmp_path)
    (made / "old.txt").write_text("old")
    assert build_release(source, tmp_path, overwrite=True) == made
    assert files_of(made) == files_of(release)
    assert [path.name for path in tmp_path.iterdir()] == [made.name]


@pytest.fixture
def broken(tmp_path: Path) -> Path:
    (tmp_path / "set").mkdir()
    return copied_dataset(tmp_path / "set")


@pytest.mark.parametrize(
    ("file", "old", "new", "told"),
    [
        (
            "rules/load/load-below-minimum.toml",
            'question = "Is there enough load for this dimmer or electronic switch?"',
            'question = "?"',
            "load/load-below-minimum.toml, line 5: R0007: question explains nothing",
        ),
        (
            "rules/load/load-below-minimum.toml",
            'source = "S0045"',
            'source = "S0999"',
            "R0007: the source S0999 is not described in datasets/sources",
        ),
        (
            "datasets/vocabulary/choices.csv",
            'method,dmx,DMX,"DMX512-A, ANSI E1.11"',
            "method,dmx,DMX,",
            "choices.csv, method dmx: the method has no meaning. Write the column meaning.",
        ),
    ],
)
def test_a_rule_or_method_without_full_documentation_is_not_built(
    broken: Path, tmp_path: Path, file: str, old: str, new: str, told: str
) -> None:
    replaced(broken / file, old, new)
    sentences = faults_of(lambda: build_release(broken, tmp_path / "out"))
    assert any(told in sentence for sentence in sentences), sentences
    assert not (tmp_path / "out").exists()


def test_a_link_in_the_dataset_is_not_followed(broken: Path, tmp_path: Path) -> None:
    (tmp_path / "secret.toml").write_text('secret = "kept"')
    (broken / "rules" / "secret.toml").symlink_to(tmp_path / "secret.toml")
    [sentence] = faults_of(lambda: build_release(broken, tmp_path / "out"))
    assert sentence.startswith("rules/secret.toml: this is a link")
    assert list((tmp_path / "out").iterdir()) == []


def test_a_rule_without_cases_is_not_built(broken: Path, tmp_path: Path) -> None:
    (broken / "rules/load/load-below-minimum.cases.toml").unlink()
    [sentence] = faults_of(lambda: build_release(broken, tmp_path / "out"))
    assert "R0007: the rule has no cases. Write load/load-below-minimum.cases.toml" in sentence


def test_the_command_refuses_a_dataset_with_faults(broken: Path, tmp_path: Path) -> None:
    replaced(broken / "rules/load/load-below-minimum.toml", 'basis = "standard"', 'basis = "hearsay"')
    ended = called("dataset", "build", broken, "--output", tmp_path / "out")
    assert ended.code == 2
    assert "load-below-minimum.toml" in ended.err
    assert ended.err.endswith("nothing is built\n")
    assert not (tmp_path / "out").exists()


def test_a_place_that_cannot_be_written_is_told(tmp_path: Path, source: Path) -> None:
    (tmp_path / "file").write_text("")
    [sentence] = faults_of(lambda: build_release(source, tmp_path / "file"))
    assert "the release cannot be written" in sentence
