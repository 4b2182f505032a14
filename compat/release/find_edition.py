"""OLD and NEW of a comparison: folders, releases, the archived last release, or git revisions."""

from __future__ import annotations

import os
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from compat.dataset.find import dataset_folder
from compat.dataset.read import PARTS, VERSION, data_root
from compat.model.faults import BadInput, Fault
from compat.model.values import Origin
from compat.release.archive import archived_files, write_files
from compat.release.package import RULES

LARGEST_REVISION_BYTES = 200_000_000
ORDINARY_FILES = ("100644", "100755")
# What git sets for its hooks, which may run us, would lead away from the checkout that is named.
OF_ANOTHER_CHECKOUT = ["GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE", "GIT_PREFIX", "GIT_COMMON_DIR"]
OF_ANOTHER_CHECKOUT += ["GIT_NAMESPACE", "GIT_OBJECT_DIRECTORY", "GIT_ALTERNATE_OBJECT_DIRECTORIES"]
# Objects are read as they are stored here: none is fetched, which could run a command that the
# checkout's own settings name, and none is taken in place of another.
PLAINLY = {"GIT_NO_LAZY_FETCH": "1", "GIT_ALLOW_PROTOCOL": "", "GIT_NO_REPLACE_OBJECTS": "1"}
FORMS = (
    "A folder with rules/, schemas/ and datasets/, a release or its version, or a git revision is expected"
)


@dataclass(frozen=True, slots=True)
class FoundEdition:
    """Where an edition lies for now, and how it was found."""

    given: str
    root: Path
    found_as: Literal["folder", "release", "revision"]
    commit: str | None = None


@contextmanager
def find_edition(given: str, checkout: Path) -> Iterator[FoundEdition]:
    """An edition by name; what is unpacked is gone afterwards. Raises BadInput.

    A folder of that name comes first, or the folder of a release that holds a file of that name; then
    the version of the release archived in ``datasets/releases`` of the checkout or the program, which may
    have a v in front; then that of a release at hand; then a revision of the git checkout.
    """
    found = _folder(Path(given)) if given else None
    files = None if found else _archived_release(given, checkout)
    found = found or (None if files else _release_at_hand(given))
    if found is not None:
        dataset_folder(found)  # refuses files that this program cannot read
        yield FoundEdition(given, found, "release" if (found / RULES).is_file() else "folder")
        return
    with tempfile.TemporaryDirectory(prefix="compat-") as folder:
        commit = None
        if files is None:
            commit = commit_of(given, checkout)
            files = revision_files(commit, given, checkout)
        write_files(files, Path(folder))
        dataset_folder(Path(folder))
        yield FoundEdition(given, Path(folder), "revision" if commit else "release", commit)


def _folder(path: Path) -> Path | None:
    """The dataset that a path names, None when there is nothing by this name. Raises BadInput."""
    try:
        if not path.exists():
            return None
    except (OSError, ValueError):
        return None
    folder = path if path.is_dir() else path.parent
    if not all((folder / part).is_dir() for part in PARTS):
        what = (
            "this folder holds no rules dataset"
            if path.is_dir()
            else "no rules dataset lies beside this file"
        )
        raise BadInput([Fault(what, Origin(str(path)), FORMS)])
    return folder


def _release_at_hand(given: str) -> Path | None:
    if not VERSION.fullmatch(given):
        return None
    try:
        return dataset_folder(Path(given))
    except BadInput as error:
        # One that is there and cannot be read is told; for one that is not there, git is asked.
        if any("at hand" in fault.what for fault in error.faults):
            return None
        raise


def _archived_release(given: str, checkout: Path) -> Iterator[tuple[str, bytes]] | None:
    version = given.removeprefix("v")
    if VERSION.fullmatch(version):
        for root in (checkout, data_root()):
            files = archived_files(root, version)
            if files is not None:
                return files
    return None


def commit_of(given: str, checkout: Path) -> str:
    """The full name of the commit that a revision means. Raises BadInput."""
    if not checkout.is_dir():
        raise BadInput([Fault("there is no such folder", Origin(str(checkout)), do="Check --checkout")])
    found = _git(checkout, "rev-parse", "--verify", "--quiet", "--end-of-options", f"{given}^{{commit}}")
    if found.returncode != 0:
        inside = _git(checkout, "rev-parse", "--is-inside-work-tree")
        what = (
            "there is neither such a folder, nor a release of this version at hand, nor such a git revision"
        )
        if inside.returncode != 0:
            what = "there is no such folder, and the checkout is no git repository to find a revision in"
        raise BadInput([Fault(what, Origin(given), FORMS, "Check the name, and --checkout for a revision")])
    return found.stdout.decode("ascii", "replace").strip()


def revision_files(commit: str, given: str, checkout: Path) -> Iterator[tuple[str, bytes]]:
    """Name and content of the dataset's ordinary files at a commit, as git stores them. Raises BadInput."""
    # From inside the checkout's folder, so that a dataset in a part of a repository is found as well.
    listed = _git(checkout, "ls-tree", "-r", "-z", "--long", commit, "--", *PARTS)
    rows = (row.split("\t", 1) for row in listed.stdout.decode("utf-8", "surrogateescape").split("\0") if row)
    entries = [(*head.split(), name) for head, name in rows]
    files = [(name, blob, size) for mode, _, blob, size, name in entries if mode in ORDINARY_FILES]
    if listed.returncode != 0 or not files:
        raise BadInput([Fault("this revision holds no rules dataset", Origin(given), FORMS)])
    if sum(int(size) for _, _, size in files if size.isdigit()) > LARGEST_REVISION_BYTES:
        raise BadInput([Fault("the revision is larger than 200 MB", Origin(given))])
    asked = "".join(f"{blob}\n" for _, blob, _ in files).encode()
    content, at = _git(checkout, "cat-file", "--batch", asked=asked).stdout, 0
    for name, blob, size in files:
        # Each comes as a line with its name, kind and size, then its bytes and a line break.
        head = f"{blob} blob {size}\n".encode()
        if not content.startswith(head, at):
            what = "a file of this revision is not in the repository"
            raise BadInput([Fault(what, Origin(f"{given}, {name}"), do="Fetch it with git first")])
        at += len(head)
        yield name, content[at : at + int(size)]
        at += int(size) + 1


def _git(checkout: Path, *arguments: str, asked: bytes = b"") -> subprocess.CompletedProcess[bytes]:
    try:
        return subprocess.run(
            ["git", "-C", str(checkout), *arguments],
            input=asked,
            capture_output=True,
            check=False,
            env={n: value for n, value in os.environ.items() if n not in OF_ANOTHER_CHECKOUT} | PLAINLY,
        )
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        what = f"git cannot be asked for a revision: {reason}"
        raise BadInput([Fault(what, Origin("git"), do="Install git, or name folders")]) from error
