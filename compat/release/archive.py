"""The last release as a small archive inside the dataset, so that a comparison finds it without tags."""

from __future__ import annotations

import hashlib
import io
import tarfile
from collections.abc import Iterable, Iterator
from pathlib import Path, PurePosixPath

from compat.dataset.find import NAME
from compat.dataset.read import PARTS, load_dataset
from compat.model.faults import BadInput, Fault
from compat.model.files import write_atomically
from compat.model.values import Origin

FOLDER = Path("datasets", "releases")
SUMS = "SHA256SUMS"
LARGEST_UNPACKED_BYTES = 50_000_000


def archive_release(release: Path, root: Path) -> Path:
    """Put the source files of a release into ``datasets/releases`` of a dataset, in place of an earlier one.

    Returns the archive. Raises BadInput where the folder cannot be written.
    """
    packed = io.BytesIO()
    with tarfile.open(fileobj=packed, mode="w:xz", preset=9, format=tarfile.USTAR_FORMAT) as files:
        for path in sorted(path for part in PARTS for path in (release / part).rglob("*") if path.is_file()):
            content = path.read_bytes()
            member = tarfile.TarInfo(path.relative_to(release).as_posix())
            member.size = len(content)
            files.addfile(member, io.BytesIO(content))
    folder = root / FOLDER
    file = folder / _name(load_dataset(release).version)
    try:
        folder.mkdir(exist_ok=True)
        write_atomically(file, packed.getvalue())
        write_atomically(folder / SUMS, f"{_sum(packed.getvalue())}  {file.name}\n".encode())
        for other in set(folder.glob(f"{NAME}-*.tar.xz")) - {file}:
            other.unlink()
    except OSError as error:
        what = f"the archive cannot be written: {error.strerror or error}"
        raise BadInput([Fault(what, Origin(FOLDER.as_posix()), do="Free the folder")]) from error
    return file


def archived_files(root: Path, version: str) -> Iterator[tuple[str, bytes]] | None:
    """Name and content of the files of the release archived in a dataset; None when it is another or none.

    Raises BadInput when the archive has another checksum than the file beside it says.
    """
    file = root / FOLDER / _name(version)
    if not file.is_file():
        return None
    content, sums = file.read_bytes(), file.with_name(SUMS)
    if not sums.is_file() or f"{_sum(content)}  {file.name}" not in sums.read_text("utf-8").splitlines():
        what = f"the archive does not have the checksum that {SUMS} says"
        raise BadInput([Fault(what, Origin(f"{FOLDER.as_posix()}/{file.name}"), do="Get it anew")])
    return unpacked(content, file.name)


def unpacked(archive: bytes, name: str) -> Iterator[tuple[str, bytes]]:
    """Name and content of the ordinary files of a tar archive; links are left out. Raises BadInput."""
    total = 0
    try:
        with tarfile.open(fileobj=io.BytesIO(archive)) as files:
            for member in files:
                total += member.size
                if total > LARGEST_UNPACKED_BYTES:
                    raise BadInput([Fault("the archive holds more than 50 MB", Origin(name))])
                content = files.extractfile(member) if member.isfile() else None
                if content is not None:
                    yield member.name, content.read()
    except (tarfile.TarError, EOFError, OSError) as error:
        raise BadInput([Fault(f"the archive cannot be read: {error}", Origin(name))]) from error


def write_files(files: Iterable[tuple[str, bytes]], folder: Path) -> None:
    """Write files below a folder; a name that leads out of it is left out."""
    for name, content in files:
        path = PurePosixPath(name)
        if path.is_absolute() or ".." in path.parts:
            continue
        target = folder.joinpath(*path.parts)
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content)


def _name(version: str) -> str:
    return f"{NAME}-{version}.tar.xz"


def _sum(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
