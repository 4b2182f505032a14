"""SHA-256 sums of the files of a release, in the form that ``sha256sum --check`` reads."""

from __future__ import annotations

import hashlib
from pathlib import Path

SUMS = "SHA256SUMS"


def sums_text(folder: Path) -> str:
    """A line for each file below a folder but the sums themselves, by name."""
    files = {path.relative_to(folder).as_posix(): path for path in folder.rglob("*") if path.is_file()}
    files.pop(SUMS, None)
    return "".join(
        f"{hashlib.sha256(files[name].read_bytes()).hexdigest()}  {name}\n" for name in sorted(files)
    )
