"""The parsed dataset kept between runs: the same as read anew, and never used when in doubt."""

from __future__ import annotations

import hashlib
import io
import os
import pickle
import shutil
from pathlib import Path

import pytest

from compat.dataset.read import load_dataset
from compat.model.faults import BadInput
from compat.model.values import Interval
from compat.rulebook import kept
from compat.rulebook.kept import KEY_BYTES, SWITCH, Opened, cache_file, key_of_root, opened, opened_kept
from compat.rulebook.rules import rule_files
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

    monkeypatch.setattr(kept, "load_dataset", counted)
    return found


def rename(root: Path, name: str) -> None:
    file = next(path for path in (root / "datasets/drivers").glob("*.toml") if DRIVER in path.read_text())
    text = file.read_text(encoding="utf-8")
    old = text.split(f'id = "{DRIVER}"', 1)[1].split('name = "', 1)[1].split('"', 1)[0]
    file.write_text(text.replace(old, name), encoding="utf-8")


def test_what_is_kept_equals_what_is_read(cache: Path, root: Path, reads: list[Path]) -> None:
    first, second = opened_kept(root), opened_kept(root)
    assert reads == [root]
    assert second is not first
    assert second == first == opened(load_dataset(root))
    assert second.dataset.vocabulary.bits == first.dataset.vocabulary.bits
    file = cache_file(root)
    assert file is not None
    assert file.is_relative_to(cache)
    assert file.stat().st_mode & 0o077 == 0
    assert [path.name for path in file.parent.iterdir()] == [file.name]


def test_a_changed_file_is_read_anew(cache: Path, root: Path, reads: list[Path]) -> None:
    opened_kept(root)
    rename(root, "Another name")
    assert opened_kept(root).dataset.tables["drivers"][DRIVER].name == "Another name"
    assert len(reads) == 2
    opened_kept(root)
    assert len(reads) == 2


def test_a_broken_file_is_told_though_an_older_state_is_kept(cache: Path, root: Path) -> None:
    opened_kept(root)
    next(rule_files(root / "rules")).write_text("no = [", encoding="utf-8")
    with pytest.raises(BadInput):
        opened_kept(root)


def test_the_key_is_of_every_rule_table_and_source_file(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = key_of_root(root)
    assert len(before) == KEY_BYTES
    assert key_of_root(root) == before
    cases = next((root / "rules/load").glob("*.cases.toml"))
    cases.write_text(cases.read_text(encoding="utf-8") + "# more\n", encoding="utf-8")
    changed = key_of_root(root)
    assert changed != before
    package = tmp_path / "package"
    for part in kept.CODE:
        shutil.copytree(ROOT / "compat" / part, package / part)
    monkeypatch.setattr(kept, "__file__", str(package / "rulebook" / "kept.py"))
    copied = key_of_root(root)
    os.utime(package / "physics" / "inrush.py", ns=(1, 1))
    assert key_of_root(root) != copied


@pytest.mark.parametrize("harm", ["cut", "flipped", "empty", "other content", "other user may write"])
def test_a_doubtful_cache_is_left_aside(harm: str, cache: Path, root: Path, reads: list[Path]) -> None:
    expected = opened_kept(root)
    file = cache_file(root)
    assert file is not None
    data = file.read_bytes()
    if harm == "cut":
        file.write_bytes(data[: len(data) // 2])
    elif harm == "flipped":
        file.write_bytes(data[:-9] + bytes([data[-9] ^ 1]) + data[-8:])
    elif harm == "empty":
        file.write_bytes(b"")
    elif harm == "other content":
        other = pickle.dumps("no dataset")
        file.write_bytes(data[:KEY_BYTES] + hashlib.sha256(other).digest() + other)
    else:
        file.chmod(0o666)
    assert opened_kept(root) == expected
    assert len(reads) == 2


class Runs:
    """Unpacked without care, this makes a file."""

    def __init__(self, mark: Path) -> None:
        self.mark = mark

    def __reduce__(self) -> tuple[object, ...]:
        return Path.touch, (self.mark,)


@pytest.mark.parametrize("hidden", [False, True])
def test_what_runs_something_when_unpacked_is_not_unpacked(
    hidden: bool, cache: Path, root: Path, reads: list[Path], tmp_path: Path
) -> None:
    expected = opened_kept(root)
    file = cache_file(root)
    assert file is not None
    mark = tmp_path / "ran"
    harm: object = Runs(mark)
    hiding = Opened(expected.dataset, [harm], expected.standing, expected.relations)  # type: ignore[list-item]
    bad = pickle.dumps(hiding if hidden else harm)
    file.write_bytes(file.read_bytes()[:KEY_BYTES] + hashlib.sha256(bad).digest() + bad)
    assert opened_kept(root) == expected
    assert len(reads) == 2
    assert not mark.exists()
    pickle.loads(bad)
    assert mark.exists()


@pytest.mark.parametrize(
    "name",
    [
        "builtins eval",
        "os system",
        "subprocess Popen",
        "pathlib Path.touch",
        "compat.cli.app run",
        "compat.rulebook.kept opened",
        "compat.rulebook.kept pickle.Unpickler",
        "compat.rulebook.kept Path",
    ],
)
def test_nothing_but_own_data_classes_and_paths_is_made(name: str) -> None:
    with pytest.raises(pickle.UnpicklingError, match="not kept"):
        kept._Unpacker(io.BytesIO()).find_class(*name.split())
    assert kept._Unpacker(io.BytesIO()).find_class("compat.model.values", "Interval") is Interval


def test_without_a_place_or_when_switched_off_nothing_is_kept(
    cache: Path, root: Path, reads: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    cache.write_text("a file where the folder should be")
    assert isinstance(opened_kept(root), Opened)
    assert cache.is_file()
    monkeypatch.setenv(SWITCH, "off")
    assert cache_file(root) is None
    assert isinstance(opened_kept(root), Opened)
    assert len(reads) == 2
