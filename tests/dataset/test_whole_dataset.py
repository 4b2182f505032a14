"""The dataset as a whole: what it holds, its hash, and what a broken one says."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from compat.dataset.read import Dataset, data_root, hash_of, load_dataset
from compat.model.equipment import SUBJECT_OF
from compat.model.values import TokenSet
from tests.conftest import ROOT
from tests.dataset.parts import copied_dataset, faults_of, replaced, restored


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the dataset that the tests of this file change one after another, and put back."""
    return copied_dataset(tmp_path_factory.mktemp("dataset"))


@pytest.fixture
def broken(copy: Path) -> Iterator[Path]:
    with restored(copy) as folder:
        yield folder


def test_the_dataset_that_comes_with_the_program(dataset: Dataset) -> None:
    assert data_root() == ROOT
    assert set(dataset.tables) == set(SUBJECT_OF)
    assert all(len(entries) >= 5 for entries in dataset.tables.values())
    assert len(dataset.sources) > 20
    assert dataset.rules_folder == ROOT / "rules"
    assert dataset.sha256 == hash_of(ROOT)
    assert "sha256" not in repr(dataset)


def test_every_value_of_the_tables_has_basis_and_place(dataset: Dataset) -> None:
    for table in dataset.tables.values():
        for entry in table.values():
            for name, trait in entry.traits.items():
                assert trait.origin is not None
                assert trait.origin.key == f"{entry.id} {name}"
                assert (trait.basis == "memory") == (trait.recalled is not None), (entry.id, name)
                if isinstance(trait.content, TokenSet):
                    assert trait.content.sure <= trait.content.possible


def test_a_value_from_memory_stands_in_the_dataset_and_is_not_known(dataset: Dataset) -> None:
    recalled = [
        (entry.id, name)
        for table in dataset.tables.values()
        for entry in table.values()
        for name, trait in entry.traits.items()
        if trait.basis == "memory" and trait.content is None
    ]
    assert recalled, "the tables have such values, and this test must see them"


def test_the_hash_is_the_same_for_the_same_bytes(copy: Path) -> None:
    assert hash_of(copy) == hash_of(ROOT)


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("rules/load/load-below-minimum.toml", 'breach = "fails"', 'breach = "marginal"'),
        ("rules/load/load-below-minimum.cases.toml", 'schema = "cases/1"', '# a note\nschema = "cases/1"'),
        ("datasets/drivers/integral-lamps.toml", "input_power_w = [5.5, 6.5]", "input_power_w = [5.5, 6.6]"),
        ("datasets/vocabulary/units.csv", "ma,mA,current,0.001", "ma,mA,current,0.002"),
        ("datasets/defaults.toml", "wanted_colour_control = false", "wanted_colour_control = true"),
        ("datasets/datapackage.json", "lighting-control", "lighting--control"),
        ("datasets/sources/equipment.toml", "Inrush estimate", "Inrush estimate 2"),
    ],
)
def test_the_hash_changes_with_what_decides_verdicts(file: str, old: str, new: str, broken: Path) -> None:
    before = hash_of(broken)
    replaced(broken / file, old, new)
    assert hash_of(broken) != before


def test_the_hash_changes_with_the_name_of_a_file_and_with_a_new_file(broken: Path) -> None:
    before = hash_of(broken)
    path = broken / "rules" / "load" / "load-below-minimum.toml"
    moved = path.rename(path.with_name("renamed.toml"))
    renamed = hash_of(broken)
    moved.rename(path)
    (broken / "rules" / "load" / "more.toml").write_text("")
    assert len({before, renamed, hash_of(broken)}) == 3


def test_the_hash_does_not_change_with_the_demo_or_the_schemas(broken: Path) -> None:
    before = hash_of(broken)
    demo = broken / "datasets" / "demo"
    demo.mkdir()
    (demo / "house.toml").write_text("name = 1\n")
    (demo / "house.csv").write_text("a\n")
    (broken / "schemas" / "more.toml").write_text("a = 1\n")
    (broken / "datasets" / "notes.txt").write_text("not read\n")
    assert hash_of(broken) == before


BROKEN = {
    "no rules folder": (
        lambda root: (root / "rules").rename(root / "gone"),
        "this is no rules dataset. A folder with rules/",
    ),
    "no traits": (
        lambda root: (root / "datasets/vocabulary/traits.csv").unlink(),
        "traits.csv: there is no such file",
    ),
    "no version": (
        lambda root: replaced(root / "datasets/datapackage.json", '"version"', '"edition"'),
        "datapackage.json: the version is missing",
    ),
    "broken data package": (
        lambda root: replaced(root / "datasets/datapackage.json", "{", "["),
        "datapackage.json, line 2: this is not JSON",
    ),
    "no data package": (
        lambda root: (root / "datasets/datapackage.json").unlink(),
        "datapackage.json: there is no such file",
    ),
    "broken table": (
        lambda root: replaced(root / "datasets/outputs/dali.toml", "[[output]]", "[[output]"),
        "dali.toml, line",
    ),
    "faulty value": (
        lambda root: replaced(root / "datasets/outputs/dali.toml", 'method = "dali"', 'method = "dall"'),
        "'dall' is not a word of the list 'method'",
    ),
    "broken sources": (
        lambda root: replaced(root / "datasets/sources/rules.toml", "[[source]]", "[source]"),
        "rules.toml, line",
    ),
    "faulty source": (
        lambda root: replaced(root / "datasets/sources/rules.toml", 'kind = "practice"', 'kind = "rumour"'),
        "rules.toml, line 9, source.0.kind: 'rumour' is not allowed",
    ),
    "wrong schema of sources": (
        lambda root: replaced(root / "datasets/sources/rules.toml", "sources/1", "sources/9"),
        "schema is 'sources/9'. Allowed: schema = \"sources/1\"",
    ),
    "source given twice": (
        lambda root: replaced(root / "datasets/sources/rules.toml", 'id = "S0002"', 'id = "S0001"'),
        "the source S0001 is given twice",
    ),
}


@pytest.mark.parametrize(("breaking", "sentence"), BROKEN.values(), ids=BROKEN)
def test_a_broken_dataset(breaking: Callable[[Path], object], sentence: str, broken: Path) -> None:
    breaking(broken)
    found = faults_of(lambda: load_dataset(broken))
    assert any(sentence in line for line in found), found


def test_all_faults_of_all_tables_are_told_at_once(broken: Path) -> None:
    replaced(broken / "datasets" / "outputs" / "dali.toml", 'method = "dali"', 'method = "dall"')
    replaced(broken / "datasets" / "outputs" / "dmx.toml", 'method = "dmx"', 'method = "dmy"')
    replaced(broken / "datasets" / "sources" / "rules.toml", 'id = "S0002"', 'id = "S0001"')
    files = [line.split(",")[0].split(":")[0] for line in faults_of(lambda: load_dataset(broken))]
    assert files == ["dali.toml", "dmx.toml", "rules.toml"]


def test_a_folder_that_is_no_dataset(tmp_path: Path) -> None:
    (found,) = faults_of(lambda: load_dataset(tmp_path / "none"))
    assert found.startswith(
        f"{tmp_path}/none: this is no rules dataset. A folder with rules/, schemas/ and datasets/"
    )
