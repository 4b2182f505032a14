"""The dataset cache: the same as read anew, and never used or written when in doubt."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from compat.dataset.overlay import read_setting
from compat.dataset.read import data_root, load_dataset
from compat.model.faults import BadInput
from compat.model.project import FromTransformer
from compat.model.values import TokenSet, Trait
from compat.rulebook import dataset_cache
from compat.rulebook.dataset_cache import (
    CODE,
    PREBUILT,
    SWITCH,
    cache_file,
    key_of,
    load,
    load_cached,
    stored_bytes,
)
from compat.rulebook.rules import read_rules, rule_files
from compat.rulebook.stored_form import LoadedDataset, from_lines, to_lines
from tests.conftest import ROOT

DRIVER = "D0001"


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.delenv(SWITCH, raising=False)
    return tmp_path / "cache"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A dataset that may be changed."""
    for part in ("rules", "schemas", "datasets"):
        shutil.copytree(ROOT / part, tmp_path / "root" / part)
    return tmp_path / "root"


@pytest.fixture
def reads(monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """The folders that were read from their files."""
    found: list[Path] = []

    def counted(folder: Path) -> object:
        found.append(folder)
        return load_dataset(folder)

    monkeypatch.setattr(dataset_cache, "load_dataset", counted)
    return found


def file_of(root: Path) -> Path:
    file = cache_file(root)
    assert file is not None
    return file


def rename(root: Path, name: str) -> None:
    file = next(path for path in (root / "datasets/drivers").glob("*.toml") if DRIVER in path.read_text())
    text = file.read_text(encoding="utf-8")
    old = text.split(f'id = "{DRIVER}"', 1)[1].split('name = "', 1)[1].split('"', 1)[0]
    file.write_text(text.replace(old, name), encoding="utf-8")


def test_what_is_stored_equals_what_is_read(cache: Path, root: Path, reads: list[Path]) -> None:
    first, second = load_cached(root), load_cached(root)
    assert reads == [root]
    assert second is not first
    assert second == first == load(load_dataset(root))
    assert second.dataset.vocabulary.bits == first.dataset.vocabulary.bits
    assert second.dataset.sha256 == first.dataset.sha256
    assert [(rule.names, rule.condition) for rule in second.rules] == [
        (rule.names, rule.condition) for rule in first.rules
    ]
    for table, entries in first.dataset.tables.items():
        for name, entry in entries.items():
            again = second.dataset.tables[table][name]
            assert list(again.traits.items()) == list(entry.traits.items())
            assert len(again.traits) == len(entry.traits)
    assert read_setting(second.dataset, None, None, second.defaults) == read_setting(
        first.dataset, None, None
    )
    file = file_of(root)
    assert file.is_relative_to(cache)
    assert file.stat().st_mode & 0o077 == 0
    assert [path.name for path in file.parent.iterdir()] == [file.name]


def test_withdrawn_rules_and_unusual_values_come_back(root: Path) -> None:
    dataset = load_dataset(root)
    known = load(dataset)
    rules = read_rules(dataset.rules_folder, dataset.vocabulary, withdrawn=True)
    source = FromTransformer(
        transformer_rated_power_va=1e5,
        transformer_voltage_v=230.0,
        transformer_short_circuit_percent=(4.0, 6.0),
        transformer_load_loss_w=1100.0,
    )
    perhaps = TokenSet(frozenset({"switched"}), frozenset({"switched", "dali"}))
    defaults = replace(
        known.defaults,
        project=replace(known.defaults.project, source=source),
        lines={
            "L 1": {"closed_ring": Trait(True), "methods": Trait(perhaps), "none": Trait(None, recalled="x")}
        },
    )
    made = replace(known, rules=rules, defaults=defaults)
    lines = "\n".join(to_lines(made)).encode().split(b"\n")
    assert from_lines(lines, dataset.root) == made


def test_the_dataset_that_came_with_the_program_comes_back() -> None:
    """Else each run would read every file anew."""
    root = data_root()
    known = load(load_dataset(root))
    assert known.relations
    assert known.usual.classes
    stored = stored_bytes(known, "key")
    assert stored is not None
    assert from_lines(stored.partition(b"\n")[2].split(b"\n"), root) == known


def test_what_would_not_come_back_is_not_stored(root: Path) -> None:
    known = load(load_dataset(root))
    for odd in (Trait(("a", "tuple")), Trait(float("nan"))):  # type: ignore[arg-type]
        defaults = replace(known.defaults, line_defaults={"x": odd})
        assert stored_bytes(replace(known, defaults=defaults), "key") is None


def test_a_changed_file_is_read_anew(cache: Path, root: Path, reads: list[Path]) -> None:
    load_cached(root)
    rename(root, "Another name")
    assert load_cached(root).dataset.tables["drivers"][DRIVER].name == "Another name"
    assert len(reads) == 2
    load_cached(root)
    assert len(reads) == 2


def test_a_broken_file_is_told_though_an_older_state_is_stored(cache: Path, root: Path) -> None:
    load_cached(root)
    next(rule_files(root / "rules")).write_text("no = [", encoding="utf-8")
    with pytest.raises(BadInput):
        load_cached(root)


def test_the_key_is_of_every_rule_table_and_source_file(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = key_of(root)
    assert len(before) == 64
    assert key_of(root) == before
    cases = next((root / "rules/load").glob("*.cases.toml"))
    cases.write_text(cases.read_text(encoding="utf-8") + "# more\n", encoding="utf-8")
    changed = key_of(root)
    assert changed != before
    package = tmp_path / "package"
    for part in CODE:
        shutil.copytree(ROOT / "compat" / part, package / part)
    monkeypatch.setattr(dataset_cache, "__file__", str(package / "rulebook" / "dataset_cache.py"))
    assert key_of(root) == changed
    for part in CODE:
        seen = key_of(root)
        with next((package / part).glob("*.py")).open("a", encoding="utf-8") as file:
            file.write("\n")
        assert key_of(root) != seen


def test_the_key_is_the_same_wherever_the_dataset_lies(root: Path, tmp_path: Path) -> None:
    """So that what is stored in a wheel is of use where it is installed."""
    shutil.copytree(root, tmp_path / "elsewhere")
    assert key_of(tmp_path / "elsewhere") == key_of(root) == key_of(ROOT)


HARMS = ["cut", "flipped", "empty", "other form", "no lines", "others may write", "folder others may write"]
HARMS += ["link", "folder is a link", "a pipe"]


@pytest.mark.parametrize("harm", HARMS)
def test_a_doubtful_cache_is_left_aside(
    harm: str, cache: Path, root: Path, reads: list[Path], tmp_path: Path
) -> None:
    expected = load_cached(root)
    file = file_of(root)
    data = file.read_bytes()
    if harm == "cut":
        file.write_bytes(data[: len(data) // 2])
    elif harm == "flipped":
        file.write_bytes(data[:-9] + bytes([data[-9] ^ 1]) + data[-8:])
    elif harm == "empty":
        file.write_bytes(b"")
    elif harm in ("other form", "no lines"):
        other = json.dumps({"version": "0.1.0"}).encode() if harm == "other form" else b""
        file.write_bytes(f"{key_of(root)} {hashlib.sha256(other).hexdigest()}\n".encode() + other)
    elif harm == "others may write":
        file.chmod(0o666)
    elif harm == "folder others may write":
        file.parent.chmod(0o777)
    elif harm == "link":
        file.rename(tmp_path / "target")
        file.symlink_to(tmp_path / "target")
    elif harm == "folder is a link":
        file.parent.rename(tmp_path / "target")
        file.parent.symlink_to(tmp_path / "target", target_is_directory=True)
    else:
        file.unlink()
        os.mkfifo(file, 0o600)
    assert load_cached(root) == expected
    assert len(reads) == 2


def test_what_another_user_owns_is_neither_used_nor_overwritten(
    cache: Path, root: Path, reads: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    load_cached(root)
    file = file_of(root)
    before = file.read_bytes()
    rename(root, "Another name")
    monkeypatch.setattr(os, "getuid", lambda: file.stat().st_uid + 1)
    assert load_cached(root).dataset.tables["drivers"][DRIVER].name == "Another name"
    assert [path.name for path in file.parent.iterdir()] == [file.name]
    assert file.read_bytes() == before


def test_a_link_planted_in_a_shared_cache_folder_loses_nothing(
    cache: Path, root: Path, tmp_path: Path, reads: list[Path]
) -> None:
    """As another user could plant: the folder, or a file in it, leads to something of ours."""
    precious = tmp_path / "precious"
    precious.mkdir()
    cache.mkdir()
    cache.chmod(0o1777)
    file = file_of(root)
    file.parent.symlink_to(precious, target_is_directory=True)
    load_cached(root)
    assert list(precious.iterdir()) == []
    file.parent.unlink()
    file.parent.mkdir(mode=0o700)
    letter = tmp_path / "letter"
    letter.write_text("dear all", encoding="utf-8")
    file.symlink_to(letter)
    load_cached(root)
    assert letter.read_text(encoding="utf-8") == "dear all"
    assert not file.is_symlink()  # the link made way for a file of our own
    assert len(reads) == 2


def test_without_a_place_or_when_switched_off_nothing_is_stored(
    cache: Path, root: Path, reads: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    cache.write_text("a file where the folder should be")
    assert isinstance(load_cached(root), LoadedDataset)
    assert cache.is_file()
    cache.unlink()
    monkeypatch.setenv(SWITCH, "off")
    data = stored_bytes(load(load_dataset(root)), key_of(root))
    assert data is not None
    (root / PREBUILT).write_bytes(data)
    assert isinstance(load_cached(root), LoadedDataset)
    assert len(reads) == 2
    assert not cache.exists()


def test_the_prebuilt_form_is_used_until_a_byte_differs(cache: Path, root: Path, reads: list[Path]) -> None:
    expected = load(load_dataset(root))
    data = stored_bytes(expected, key_of(root))
    assert data is not None
    (root / PREBUILT).write_bytes(data)
    assert load_cached(root) == expected
    assert reads == []
    assert not cache.exists()
    (root / PREBUILT).write_bytes(data[:-2] + b" }")
    assert load_cached(root) == expected
    assert reads == [root]
    (root / PREBUILT).write_bytes(data)
    rename(root, "Another name")
    assert load_cached(root).dataset.tables["drivers"][DRIVER].name == "Another name"
    assert len(reads) == 2
    load_cached(root)  # from the user's cache folder, with the older prebuilt form still there
    assert len(reads) == 2
