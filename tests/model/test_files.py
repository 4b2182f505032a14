"""Writing a file whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from compat.model.faults import BadInput
from compat.model.files import write_atomically


def test_a_new_file_and_one_that_is_replaced(tmp_path: Path) -> None:
    path = tmp_path / "report.txt"
    write_atomically(path, b"one")
    assert path.read_bytes() == b"one"
    path.chmod(0o640)
    write_atomically(path, b"two")
    assert path.read_bytes() == b"two"
    assert path.stat().st_mode & 0o777 == 0o640
    assert list(tmp_path.iterdir()) == [path]


def test_a_new_file_gets_the_usual_permissions(tmp_path: Path) -> None:
    usual = tmp_path / "usual"
    usual.write_bytes(b"")
    write_atomically(tmp_path / "ours", b"")
    assert (tmp_path / "ours").stat().st_mode == usual.stat().st_mode


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    target, link = tmp_path / "target", tmp_path / "link"
    target.write_bytes(b"old")
    link.symlink_to(target)
    write_atomically(link, b"new")
    assert link.is_symlink()
    assert target.read_bytes() == b"new"


def test_what_fails_leaves_the_old_file_and_no_rest(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "report.txt"
    path.write_bytes(b"old")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(BadInput, match=r"report.txt: the file cannot be written: No space left on device"):
        write_atomically(path, b"new")
    assert path.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [path]


def test_folders_and_devices_are_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="this is a folder and cannot be written"):
        write_atomically(tmp_path, b"")
    with pytest.raises(BadInput, match="this is not an ordinary file and cannot be written"):
        write_atomically(Path(os.devnull), b"")
    with pytest.raises(BadInput, match="the folder for this file does not exist"):
        write_atomically(tmp_path / "no" / "file", b"")
    assert list(tmp_path.iterdir()) == []


def test_a_long_name_is_written(tmp_path: Path) -> None:
    path = tmp_path / ("n" * 250)
    write_atomically(path, b"long")
    assert path.read_bytes() == b"long"
