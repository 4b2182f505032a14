"""Two small copies of the dataset, the second to be edited, and the changes between them."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from compat.model.changes import Change, Changes, FieldChange
from compat.release.diff import changes_between
from compat.release.find_edition import FoundEdition
from compat.release.verdict_moves import ScheduleInputs
from tests.dataset.parts import replaced

Edit = Callable[[Path], object]
PACKAGE = "datasets/datapackage.json"
BEFORE = "1.4.2"


@dataclass(frozen=True, slots=True)
class Editions:
    """The old and the new edition, each in a folder of its own."""

    old: Path
    new: Path

    def changes(self, work: Sequence[ScheduleInputs] = ()) -> Changes:
        """What changed, without the reference schedules: the small copies lack what those name."""
        before, after = FoundEdition("old", self.old, "folder"), FoundEdition("new", self.new, "folder")
        return changes_between(before, after, work)

    def after(self, *edits: Edit) -> Changes:
        """What changed by some edits to the new edition."""
        for edit in edits:
            edit(self.new)
        return self.changes()


def copied(small: Path, folder: Path) -> Editions:
    """Two copies of a dataset, both of version 1.4.2."""
    for name in ("old", "new"):
        shutil.copytree(small, folder / name)
        version(BEFORE)(folder / name)
    return Editions(folder / "old", folder / "new")


def version(to: str) -> Edit:
    """An edit that sets the version of the dataset."""

    def edit(root: Path) -> None:
        path = root / PACKAGE
        lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
        told = [f'  "version": "{to}",\n' if line.startswith('  "version"') else line for line in lines]
        assert sum(line.startswith('  "version"') for line in told) == 1
        path.write_text("".join(told), encoding="utf-8")

    return edit


def swap(file: str, old: str, new: str) -> Edit:
    """An edit that changes one text in one file."""
    return lambda root: replaced(root / file, old, new)


def append(file: str, text: str) -> Edit:
    """An edit that writes a text behind a file."""

    def edit(root: Path) -> None:
        with (root / file).open("a", encoding="utf-8") as out:
            out.write(text)

    return edit


def drop_line(file: str, start: str) -> Edit:
    """An edit that takes out the one line that starts with a text."""

    def edit(root: Path) -> None:
        lines = (root / file).read_text(encoding="utf-8").splitlines(keepends=True)
        kept = [line for line in lines if not line.startswith(start)]
        assert len(kept) == len(lines) - 1, f"{file} has {len(lines) - len(kept)} lines with {start!r}"
        (root / file).write_text("".join(kept), encoding="utf-8")

    return edit


def drop_entry(file: str, heading: str, identity: str) -> Edit:
    """An edit that takes an entry with its id out of a table file."""

    def edit(root: Path) -> None:
        parts = (root / file).read_text(encoding="utf-8").split(f"[[{heading}]]\n")
        kept = [part for part in parts if not part.startswith(f'id = "{identity}"')]
        assert len(kept) == len(parts) - 1
        (root / file).write_text(f"[[{heading}]]\n".join(kept), encoding="utf-8")

    return edit


def told(changes: Changes) -> list[tuple[str, str, str, str]]:
    """Every change as part, id, kind and step."""
    return [(change.part, change.id, change.kind, change.step) for change in changes.entries]


def only(changes: Changes) -> Change:
    """The one change there is."""
    (change,) = changes.entries
    return change


def field(change: Change, name: str) -> FieldChange:
    """One field of a change by its name."""
    return next(entry for entry in change.fields if entry.field == name)
