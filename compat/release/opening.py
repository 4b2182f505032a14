"""OLD and NEW of a comparison: folders, releases, or git revisions of a checkout."""

from __future__ import annotations

import io
import os
import subprocess
import tarfile
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Literal

from compat.dataset.find import dataset_folder
from compat.dataset.read import PARTS, VERSION
from compat.model.faults import BadInput, Fault
from compat.model.values import Origin
from compat.release.package import RULES

LARGEST_ARCHIVE_BYTES = 200_000_000
# What git sets for its hooks, which may run us: it would lead away from the checkout that is named.
OF_ANOTHER_CHECKOUT = ("GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE", "GIT_PREFIX")
FORMS = (
    "A folder with rules/, schemas/ and datasets/, a release or its version, or a git revision is expected"
)


@dataclass(frozen=True, slots=True)
class Opened:
    """Where an edition lies for now, and how it was found."""

    given: str
    root: Path
    found_as: Literal["folder", "release", "revision"]
    commit: str | None = None


@contextmanager
def opened(given: str, checkout: Path) -> Iterator[Opened]:
    """An edition by name; what is unpacked is gone afterwards. Raises BadInput.

    A folder of that name comes first, or the folder of a release that holds a file of that name;
    then the version of a release at hand; then a revision of the git checkout.
    """
    found = (_folder(Path(given)) if given else None) or _release_at_hand(given)
    if found is not None:
        dataset_folder(found)  # refuses files that this program cannot read
        yield Opened(given, found, "release" if (found / RULES).is_file() else "folder")
        return
    commit = commit_of(given, checkout)
    with tempfile.TemporaryDirectory(prefix="compat-") as folder:
        unpack(archive_of(commit, given, checkout), Path(folder), given)
        dataset_folder(Path(folder))
        yield Opened(given, Path(folder), "revision", commit)


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


def archive_of(commit: str, given: str, checkout: Path) -> bytes:
    """The dataset's folders at a commit as a tar archive. Raises BadInput."""
    # From inside the checkout's folder, so that a dataset in a part of a repository is found as well.
    made = _git(checkout, "archive", "--format=tar", commit, "--", *PARTS)
    if made.returncode != 0:
        raise BadInput([Fault("this revision holds no rules dataset", Origin(given), FORMS)])
    return made.stdout


def unpack(archive: bytes, folder: Path, given: str) -> None:
    """Write the ordinary files of an archive below a folder; links and odd names are left out."""
    total = 0
    with tarfile.open(fileobj=io.BytesIO(archive)) as files:
        for member in files:
            path = PurePosixPath(member.name)
            if not member.isfile() or path.is_absolute() or ".." in path.parts:
                continue
            total += member.size
            if total > LARGEST_ARCHIVE_BYTES:
                raise BadInput([Fault("the revision is larger than 200 MB", Origin(given))])
            content = files.extractfile(member)
            assert content is not None
            target = folder.joinpath(*path.parts)
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(content.read())


def _git(checkout: Path, *arguments: str) -> subprocess.CompletedProcess[bytes]:
    try:
        return subprocess.run(
            ["git", "-C", str(checkout), "-c", "core.autocrlf=false", *arguments],
            stdin=subprocess.DEVNULL,
            capture_output=True,
            check=False,
            env={name: value for name, value in os.environ.items() if name not in OF_ANOTHER_CHECKOUT},
        )
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        what = f"git cannot be asked for a revision: {reason}"
        raise BadInput([Fault(what, Origin("git"), do="Install git, or name folders")]) from error
