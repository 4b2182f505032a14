"""Editions by name: folders, releases, and git revisions of a temporary repository."""

from __future__ import annotations

import io
import os
import subprocess
import tarfile
from pathlib import Path

import pytest

from compat.dataset.read import PARTS
from compat.model.faults import BadInput
from compat.release.archive import unpacked, write_files
from compat.release.build import build_release
from compat.release.diff import dataset_changes
from compat.release.find_edition import find_edition
from tests.checks.parts import MINIMUM, NEUTRAL
from tests.release.diff.editions import BEFORE, Editions, swap, told, version

AUTHOR = {
    "GIT_AUTHOR_NAME": "Made",
    "GIT_AUTHOR_EMAIL": "made@example.org",
    "GIT_COMMITTER_NAME": "Made",
    "GIT_COMMITTER_EMAIL": "made@example.org",
    "GIT_CONFIG_GLOBAL": os.devnull,
    "GIT_CONFIG_SYSTEM": os.devnull,
}
TIGHTER = swap(MINIMUM, 'at_least = "output.min_load_w"', 'at_least = "output.min_load_w * 1.5"')


def git(folder: Path, *arguments: str) -> str:
    done = subprocess.run(
        ["git", "-C", str(folder), *arguments],
        check=True,
        capture_output=True,
        text=True,
        env={**os.environ, **AUTHOR},
    )
    return done.stdout.strip()


def committed(folder: Path, tag: str) -> str:
    """Commit everything and give the commit a tag; the commit's name."""
    git(folder, "add", "--all")
    git(folder, "commit", "--quiet", "--message", tag)
    git(folder, "tag", tag)
    return git(folder, "rev-parse", "HEAD")


@pytest.fixture
def checkout(editions: Editions) -> Path:
    """A repository of two commits: 1.4.2, and 1.5.0 with a limit that is tighter."""
    root = editions.new
    git(root, "init", "--quiet", "--initial-branch=main")
    committed(root, "first")
    TIGHTER(root)
    version("1.5.0")(root)
    committed(root, "second")
    return root


def test_two_tags_are_compared(checkout: Path) -> None:
    changes = dataset_changes("first", "second", checkout, [])
    assert told(changes) == [("rule", "R0007", "tightened", "minor")]
    assert (changes.old.version, changes.new.version) == (BEFORE, "1.5.0")
    assert (changes.old.found_as, changes.old.commit) == ("revision", git(checkout, "rev-parse", "first"))
    assert (changes.version_step.needed, changes.version_step.suffices) == ("minor", True)


def test_a_revision_is_compared_with_the_folder_as_it_is(checkout: Path) -> None:
    swap(NEUTRAL, 'status = "stable"', 'status = "retiring"')(checkout)
    changes = dataset_changes("HEAD", str(checkout), checkout, [])
    assert told(changes) == [("rule", "R0033", "retiring", "patch")]
    assert (changes.new.found_as, changes.new.commit) == ("folder", None)
    assert (changes.version_step.needed, changes.version_step.suffices) == ("patch", False)


def test_a_folder_and_its_revision_are_one_edition(checkout: Path) -> None:
    changes = dataset_changes("HEAD", str(checkout), checkout, [])
    assert changes.entries == []
    assert changes.old.sha256 == changes.new.sha256
    assert changes.version_step.needed == "none"


def test_a_dataset_in_a_part_of_a_repository_is_found(editions: Editions) -> None:
    top = editions.new.parent
    git(top, "init", "--quiet", "--initial-branch=main")
    committed(top, "first")
    TIGHTER(editions.new)
    changes = dataset_changes("HEAD", str(editions.new), editions.new, [])
    assert told(changes) == [("rule", "R0007", "tightened", "minor")]
    assert changes.version_step.needed == "minor"


@pytest.fixture
def canary(tmp_path: Path) -> Path:
    """A file that is there once a command of somebody's settings has run."""
    return tmp_path / "canary"


def test_what_git_stores_is_read_without_filters_or_attributes(checkout: Path, canary: Path) -> None:
    """A checkout's own settings and attributes neither run anything nor hide or change a file."""
    (checkout / ".gitattributes").write_text(
        "* filter=own export-subst diff=own\nrules/** export-ignore\nschemas export-ignore\n",
        encoding="utf-8",
    )
    (checkout / ".git/info").mkdir(exist_ok=True)
    (checkout / ".git/info/attributes").write_text("rules/** export-ignore\n", encoding="utf-8")
    swap(MINIMUM, 'note = "', 'note = "$Format:%H$ ')(checkout)
    committed(checkout, "third")
    for key in (
        "filter.own.smudge",
        "filter.own.process",
        "diff.own.textconv",
        "core.fsmonitor",
        "core.pager",
    ):
        git(checkout, "config", key, f"touch {canary}")
    with find_edition("third", checkout) as edition:
        stored = sorted(
            path.relative_to(edition.root) for path in (edition.root).rglob("*") if path.is_file()
        )
        assert (edition.root / MINIMUM).read_bytes() == (checkout / MINIMUM).read_bytes()
        assert b"$Format:%H$" in (edition.root / MINIMUM).read_bytes()
    parts = (path for part in PARTS for path in (checkout / part).rglob("*") if path.is_file())
    assert stored == sorted(path.relative_to(checkout) for path in parts)
    assert not canary.exists()


def test_a_file_that_is_not_stored_here_is_not_fetched(checkout: Path, canary: Path) -> None:
    """In a partial clone git would fetch it, by a command that the settings name."""
    blob = git(checkout, "rev-parse", f"second:{MINIMUM}")
    (checkout / ".git/objects" / blob[:2] / blob[2:]).unlink()
    git(checkout, "config", "core.repositoryformatversion", "1")
    git(checkout, "config", "extensions.partialClone", "origin")
    git(checkout, "config", "remote.origin.promisor", "true")
    git(checkout, "config", "remote.origin.url", f"ext::touch {canary}")
    git(checkout, "config", "protocol.ext.allow", "always")
    with pytest.raises(BadInput) as caught:
        dataset_changes("first", "second", checkout, [])
    assert caught.value.faults[0].sentence() == (
        f"second, {MINIMUM}: a file of this revision is not in the repository. Fetch it with git first."
    )
    assert not canary.exists()


def test_an_object_is_not_taken_in_place_of_another(checkout: Path) -> None:
    first, second = (git(checkout, "rev-parse", f"{name}:{MINIMUM}") for name in ("first", "second"))
    git(checkout, "replace", second, first)
    changes = dataset_changes("first", "second", checkout, [])
    assert told(changes) == [("rule", "R0007", "tightened", "minor")]


def test_links_in_a_revision_are_left_out(checkout: Path) -> None:
    (checkout / "rules" / "link.toml").symlink_to("/etc/hostname")
    committed(checkout, "third")
    with find_edition("third", checkout) as edition:
        assert (edition.root / MINIMUM).is_file()
        assert not os.path.lexists(edition.root / "rules" / "link.toml")


def test_what_is_unpacked_is_gone_afterwards(checkout: Path) -> None:
    with find_edition("first", checkout) as edition:
        assert (edition.root / MINIMUM).is_file()
    assert not edition.root.exists()


@pytest.mark.parametrize(
    "name", ["nonsense", "HEAD~9", "", "--help", "--output=made", "first:rules", "a\0b", "9.9.9"]
)
def test_a_bad_revision_is_a_sentence(name: str, checkout: Path) -> None:
    with pytest.raises(BadInput) as caught:
        dataset_changes(name, str(checkout), checkout, [])
    (fault,) = caught.value.faults
    assert fault.sentence().isprintable()
    assert "git" in fault.sentence()
    assert not (checkout / "made").exists()


def test_a_revision_without_a_dataset_is_a_sentence(tmp_path: Path) -> None:
    git(tmp_path, "init", "--quiet", "--initial-branch=main")
    (tmp_path / "note.txt").write_text("made\n", encoding="utf-8")
    committed(tmp_path, "first")
    with pytest.raises(BadInput) as caught:
        dataset_changes("first", "first", tmp_path, [])
    assert "this revision holds no rules dataset" in caught.value.faults[0].sentence()


def test_a_checkout_that_is_no_repository_is_a_sentence(editions: Editions, tmp_path: Path) -> None:
    bare = tmp_path / "bare"
    bare.mkdir()
    with pytest.raises(BadInput) as caught:
        dataset_changes("first", str(editions.new), bare, [])
    assert "no git repository" in caught.value.faults[0].sentence()


def test_a_faulty_edition_is_told_by_its_name(checkout: Path) -> None:
    swap(NEUTRAL, 'breach = "fails"', 'breach = "breaks"')(checkout)
    committed(checkout, "third")
    with pytest.raises(BadInput) as caught:
        dataset_changes("second", "third", checkout, [])
    assert caught.value.faults[0].sentence().startswith("third, neutral-missing.toml, line 9")


def test_files_of_another_edition_of_the_schemas_are_refused(checkout: Path) -> None:
    swap(NEUTRAL, '"rule/1"', '"rule/2"')(checkout)
    committed(checkout, "third")
    with pytest.raises(BadInput) as caught:
        dataset_changes("second", "third", checkout, [])
    assert "rule/2" in caught.value.faults[0].sentence()


def test_a_folder_comes_before_a_revision_of_its_name(
    checkout: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(checkout.parent)
    git(checkout, "tag", "old")
    with find_edition("old", checkout) as edition:
        assert (edition.found_as, edition.root) == ("folder", Path("old"))


def test_a_release_is_compared_by_its_folder_or_a_file_in_it(
    source: Path, release: Path, tmp_path: Path
) -> None:
    for name in (str(release), str(release / "datapackage.json")):
        changes = dataset_changes(name, str(source), tmp_path, [])
        assert changes.old.found_as == "release"
        assert changes.entries == []
        assert changes.version_step.needed == "none"


def test_a_release_at_hand_is_found_by_its_version(
    source: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    version("7.1.3")(source)
    try:
        made = build_release(source, tmp_path)
        monkeypatch.setenv("COMPAT_DATASETS", str(tmp_path))
        with find_edition("7.1.3", tmp_path) as edition:
            assert (edition.found_as, edition.root) == ("release", made)
    finally:
        version("0.1.0")(source)


def test_a_folder_or_file_without_a_dataset_is_a_sentence(tmp_path: Path) -> None:
    note = tmp_path / "note.txt"
    note.write_text("made\n", encoding="utf-8")
    for name, told_as in ((tmp_path, "this folder holds"), (note, "lies beside this file")):
        with pytest.raises(BadInput) as caught:
            dataset_changes(str(name), str(name), tmp_path, [])
        assert told_as in caught.value.faults[0].sentence()


def test_an_archive_writes_nothing_outside_its_folder(tmp_path: Path) -> None:
    made = io.BytesIO()
    with tarfile.open(fileobj=made, mode="w") as files:
        for name in ("../outside.toml", "/outside.toml", "rules/inside.toml"):
            member = tarfile.TarInfo(name)
            member.size = 4
            files.addfile(member, io.BytesIO(b"made"))
        link = tarfile.TarInfo("rules/link.toml")
        link.type, link.linkname = tarfile.SYMTYPE, "/etc/hostname"
        files.addfile(link)
    target = tmp_path / "in"
    target.mkdir()
    write_files(unpacked(made.getvalue(), "made"), target)
    written = sorted(path.relative_to(tmp_path).as_posix() for path in tmp_path.rglob("*") if path.is_file())
    assert written == ["in/rules/inside.toml"]


def test_a_hook_of_another_repository_leads_nowhere(
    checkout: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Git names its own repository in the environment of a hook; the named checkout counts."""
    other = tmp_path / "other"
    other.mkdir()
    git(other, "init", "--quiet", "--initial-branch=main")
    with monkeypatch.context() as within:
        within.setenv("GIT_DIR", str(other / ".git"))
        changes = dataset_changes("first", "second", checkout, [])
    assert told(changes) == [("rule", "R0007", "tightened", "minor")]
    assert changes.version_step.needed == "minor"


def test_line_ends_of_a_revision_are_those_in_the_repository(checkout: Path) -> None:
    git(checkout, "config", "core.autocrlf", "true")
    changes = dataset_changes("HEAD", str(checkout), checkout, [])
    assert changes.entries == []
    assert changes.old.sha256 == changes.new.sha256
    assert changes.version_step.needed == "none"


def test_a_file_that_is_missing_is_told_without_the_place_of_unpacking(checkout: Path) -> None:
    (checkout / "datasets" / "defaults.toml").unlink()
    committed(checkout, "third")
    with pytest.raises(BadInput) as caught:
        dataset_changes("second", "third", checkout, [])
    assert caught.value.faults[0].sentence().startswith("third, datasets/defaults.toml: there is no such")
