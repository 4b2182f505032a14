"""A small copy of the dataset to break, and faults as the user reads them."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from compat.model.faults import BadInput
from tests.conftest import ROOT

SOURCE_ID = re.compile(r"S[0-9]{4}")


def copied_dataset(folder: Path) -> Path:
    """Rules, schemas and tables in a folder of their own, without the demo."""
    for part in ("rules", "schemas", "datasets"):
        shutil.copytree(ROOT / part, folder / part, ignore=shutil.ignore_patterns("demo", "__pycache__"))
    return folder


def drop_uncited_sources(root: Path) -> None:
    """Take out the references that nothing cites any more after other files have gone."""
    files = sorted((root / "datasets" / "sources").glob("*.toml"))
    others = [path for path in root.rglob("*.toml") if path not in files]
    cited = set(SOURCE_ID.findall("".join(path.read_text(encoding="utf-8") for path in others)))
    for path in files:
        head, *blocks = path.read_text(encoding="utf-8").split("[[source]]\n")
        kept = [block for block in blocks if block[6:11] in cited | {"S0001", "S0002", "S0003"}]
        if kept:
            path.write_text("[[source]]\n".join([head, *kept]), encoding="utf-8")
        else:
            path.unlink()


@contextmanager
def restored(folder: Path) -> Iterator[Path]:
    """A folder to change; afterwards every file in it is as it was."""
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    yield folder
    for path in [path for path in folder.rglob("*") if path.is_file() and path not in before]:
        path.unlink()
    for path, content in before.items():
        if not path.exists() or path.read_bytes() != content:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)


def replaced(path: Path, old: str, new: str) -> Path:
    """Change a text in a file; the text must be there."""
    text = path.read_text(encoding="utf-8")
    assert old in text, f"{path.name} has no {old!r}"
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    return path


def faults_of(read: Callable[[], object]) -> list[str]:
    """The sentences of the BadInput that a reading must raise."""
    with pytest.raises(BadInput) as caught:
        read()
    sentences = [fault.sentence() for fault in caught.value.faults]
    assert all(sentence.isprintable() and sentence.endswith(".") for sentence in sentences)
    return sentences
