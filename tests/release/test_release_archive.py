"""The last release archived in the dataset: found by its version without tags and without git."""

from __future__ import annotations

import io
import shutil
import tarfile
from pathlib import Path

import pytest

from compat.dataset.read import PARTS
from compat.model.faults import BadInput
from compat.release.archive import FOLDER, SUMS, archive_release, unpacked, write_files
from compat.release.diff import dataset_changes
from compat.release.find_edition import find_edition
from tests.checks.parts import MINIMUM
from tests.cli.parts import called
from tests.conftest import ROOT
from tests.dataset.parts import replaced
from tests.release.diff.editions import version

VERSION = "0.1.0"


@pytest.fixture
def unpacked_source(tmp_path: Path) -> Path:
    """The dataset as it lies in an unpacked archive of the source: no repository around it."""
    root = tmp_path / "source"
    for part in PARTS:
        shutil.copytree(ROOT / part, root / part)
    return root


@pytest.fixture
def without_git(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")


@pytest.mark.parametrize("name", [VERSION, f"v{VERSION}"])
def test_the_archived_release_is_found_by_its_version(
    name: str, unpacked_source: Path, without_git: None
) -> None:
    with find_edition(name, unpacked_source) as edition:
        assert (edition.found_as, edition.commit) == ("release", None)
        assert all((edition.root / part).is_dir() for part in PARTS)
    assert not edition.root.exists()


def test_the_command_of_the_readme_works_in_an_unpacked_archive(
    unpacked_source: Path, without_git: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    command = f"compat dataset diff v{VERSION} ."
    assert command in (ROOT / "README.md").read_text(encoding="utf-8")
    monkeypatch.chdir(unpacked_source)
    ended = called(*command.split()[1:])
    assert ended.code in (0, 1), ended.err
    assert f"v{VERSION}" in ended.out


def test_a_release_is_archived_in_place_of_an_earlier_one(
    release: Path, unpacked_source: Path, tmp_path: Path
) -> None:
    folder = unpacked_source / FOLDER
    [first] = folder.glob("*.tar.xz")
    newer = tmp_path / "newer"
    shutil.copytree(release, newer)
    version("7.1.0")(newer)
    second = archive_release(newer, unpacked_source)
    assert sorted(path.name for path in folder.iterdir()) == sorted([SUMS, second.name])
    assert first.name not in (folder / SUMS).read_text(encoding="utf-8")
    changes = dataset_changes("7.1.0", str(newer), unpacked_source, [])
    assert changes.entries == []
    assert changes.old.sha256 == changes.new.sha256
    content = second.read_bytes()
    archive_release(newer, unpacked_source)
    assert second.read_bytes() == content


def test_a_change_since_the_archived_release_is_told(release: Path, unpacked_source: Path) -> None:
    archive_release(release, unpacked_source)
    shutil.rmtree(unpacked_source / "rules")
    shutil.copytree(release / "rules", unpacked_source / "rules")
    replaced(
        unpacked_source / MINIMUM, 'at_least = "output.min_load_w"', 'at_least = "output.min_load_w * 2"'
    )
    changes = dataset_changes(f"v{VERSION}", str(unpacked_source), unpacked_source, [])
    assert ("R0007", "tightened") in [(change.id, change.kind) for change in changes.entries]


@pytest.mark.parametrize("harm", ["archive", "sums", "no sums"])
def test_an_archive_with_another_checksum_is_refused(harm: str, release: Path, unpacked_source: Path) -> None:
    file = archive_release(release, unpacked_source)
    sums = file.with_name(SUMS)
    if harm == "archive":
        file.write_bytes(file.read_bytes()[:-1] + b"x")
    elif harm == "sums":
        sums.write_text("0" * 64 + f"  {file.name}\n", encoding="utf-8")
    else:
        sums.unlink()
    with pytest.raises(BadInput) as caught:
        dataset_changes(VERSION, str(release), unpacked_source, [])
    assert caught.value.faults[0].sentence() == (
        f"datasets/releases/{file.name}: the archive does not have the checksum that SHA256SUMS says. "
        "Get it anew."
    )


def test_a_damaged_archive_and_one_that_is_too_large_are_sentences(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(BadInput, match="the archive cannot be read"):
        write_files(unpacked(b"no archive", "made"), tmp_path)
    made = io.BytesIO()
    with tarfile.open(fileobj=made, mode="w:xz") as files:
        member = tarfile.TarInfo("rules/large.toml")
        member.size = 1000
        files.addfile(member, io.BytesIO(bytes(1000)))
    monkeypatch.setattr("compat.release.archive.LARGEST_UNPACKED_BYTES", 999)
    with pytest.raises(BadInput, match="the archive holds more than 50 MB"):
        write_files(unpacked(made.getvalue(), "made"), tmp_path)


def test_what_the_dataset_archives_is_of_the_version_that_the_readme_names() -> None:
    """And it is small: git keeps every edition of it for good."""
    [file] = (ROOT / FOLDER).glob("*.tar.xz")
    assert file.name.endswith(f"-{VERSION}.tar.xz")
    assert file.stat().st_size < 200_000


def test_the_command_builds_and_archives(unpacked_source: Path, tmp_path: Path) -> None:
    for file in (unpacked_source / FOLDER).iterdir():
        file.unlink()
    ended = called("dataset", "build", unpacked_source, "--output", tmp_path / "out", "--archive")
    assert ended.code == 0, ended.err
    [archive] = (unpacked_source / FOLDER).glob("*.tar.xz")
    assert f"archived: {archive}" in ended.out
    changes = dataset_changes(VERSION, str(unpacked_source), unpacked_source, [])
    assert changes.entries == []
    assert changes.old.found_as == "release"


def test_an_archive_that_cannot_be_written_is_a_sentence(release: Path, unpacked_source: Path) -> None:
    shutil.rmtree(unpacked_source / FOLDER)
    (unpacked_source / FOLDER).write_text("a file where the folder should be", encoding="utf-8")
    with pytest.raises(BadInput, match="the archive cannot be written"):
        archive_release(release, unpacked_source)
