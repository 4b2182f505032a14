"""Two editions of the dataset compared: what changed, what moved, and the version step it takes.

MAJOR when an id, a field, a unit or an outcome's meaning changes or a rule goes without successor;
MINOR when any stable verdict can move; PATCH when none does. Versions are those of Semantic
Versioning 2.0.0 (semver.org), without its pre-release and build parts.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Literal

from compat import __version__
from compat.dataset.read import PARTS as FOLDERS
from compat.dataset.toml_files import read_toml
from compat.model.changes import (
    KINDS,
    PARTS,
    STEPS,
    Change,
    Changes,
    EditionStamp,
    Kind,
    ScheduleMoves,
    Step,
    VersionStep,
)
from compat.release.edition import Edition, read_edition
from compat.release.find_edition import FoundEdition, find_edition
from compat.release.rule_changes import rule_changes
from compat.release.schema_changes import schema_changes
from compat.release.table_changes import default_changes, source_changes, table_changes
from compat.release.verdict_moves import ScheduleInputs, reference_moves, schedule_moves
from compat.release.vocabulary_changes import vocabulary_changes

Triple = tuple[int, int, int]
PACKAGE = "datasets/datapackage.json"
DEMO = "datasets/demo/"
SUFFIXES = (".toml", ".csv", ".json")


def dataset_changes(
    old: str, new: str, checkout: Path = Path(), work: Sequence[ScheduleInputs] | None = None
) -> Changes:
    """The changes from ``old`` to ``new``: folders, releases or git revisions of ``checkout``.

    ``work`` are the schedules on which verdicts are compared; None stands for the reference
    schedules. The same input gives the same answer. Raises BadInput.
    """
    with find_edition(old, checkout) as before, find_edition(new, checkout) as after:
        return changes_between(before, after, work)


def changes_between(
    before: FoundEdition, after: FoundEdition, work: Sequence[ScheduleInputs] | None = None
) -> Changes:
    """The changes between two editions that lie in folders; see ``dataset_changes``."""
    old, new = read_edition(before.root, before.given), read_edition(after.root, after.given)
    entries = sorted(_entries(old, new) or _file_changes(before.root, after.root), key=_order)
    given = None if work is None else [schedule_moves(one, old, new) for one in work]
    schedules = reference_moves(old, new) if given is None else given
    counts = Counter(change.kind for change in entries)
    return Changes(
        program_version=__version__,
        old=_stamp(before, old),
        new=_stamp(after, new),
        version_step=version_step(old.dataset.version, new.dataset.version, entries, schedules),
        counts={kind: counts[kind] for kind in KINDS if counts[kind]},
        entries=entries,
        schedules=schedules,
    )


def _entries(old: Edition, new: Edition) -> list[Change]:
    return [
        *rule_changes(old, new),
        *table_changes(old, new),
        *source_changes(old, new),
        *default_changes(old, new),
        *vocabulary_changes(old.dataset, new.dataset),
        *schema_changes(old.dataset.root / "schemas", new.dataset.root / "schemas"),
    ]


def _order(change: Change) -> tuple[int, int, int, str]:
    """By part, then kind, then the greater step, then id."""
    return PARTS.index(change.part), KINDS.index(change.kind), -STEPS.index(change.step), change.id


def _stamp(found: FoundEdition, edition: Edition) -> EditionStamp:
    dataset = edition.dataset
    return EditionStamp(
        given=found.given,
        found_as=found.found_as,
        commit=found.commit,
        version=dataset.version,
        sha256=dataset.sha256,
    )


def _file_changes(old: Path, new: Path) -> Iterator[Change]:
    """Files whose bytes differ though nothing that is read from them does, such as comments.

    The hash of the dataset differs with them, and two editions of one version must have one hash. The
    demo and the version itself are left out.
    """
    before, after = _files(old), _files(new)
    for name in sorted({*before, *after}):
        if name in before and name in after and _same(before[name], after[name], name):
            continue
        kind: Kind = "added" if name not in before else "removed" if name not in after else "changed"
        why = "its text differs, and nothing that is read from it"
        yield Change(part="file", id=name, kind=kind, step="patch", why=why)


def _files(root: Path) -> dict[str, Path]:
    paths = (path for folder in FOLDERS for path in (root / folder).rglob("*"))
    named = {path.relative_to(root).as_posix(): path for path in paths if path.suffix in SUFFIXES}
    return {name: path for name, path in named.items() if path.is_file() and not name.startswith(DEMO)}


def _same(old: Path, new: Path, name: str) -> bool:
    if name == PACKAGE:
        return {**read_toml(old), "version": ""} == {**read_toml(new), "version": ""}
    return old.read_bytes() == new.read_bytes()


def version_step(
    old: str, new: str, changes: Sequence[Change], schedules: Iterable[ScheduleMoves]
) -> VersionStep:
    """The needed step against the taken one, for two versions of three numbers."""
    before, after = _parsed(old), _parsed(new)
    moved = [schedule.schedule for schedule in schedules if any(move.stable for move in schedule.moves)]
    needed = greatest([change.step for change in changes] + ["minor" for _ in moved])
    taken = step_taken(before, after)
    because = [
        f"{change.part.replace('_', ' ')} {change.id} {change.kind.replace('_', ' ')}"
        for change in changes
        if change.step == needed
    ]
    if needed == "minor":
        because += [f"verdicts moved on {schedule}" for schedule in moved]
    return VersionStep(
        needed=needed,
        taken=taken,
        suffices=taken != "back" and STEPS.index(taken) >= STEPS.index(needed),
        least_version=stepped(before, needed),
        because=because if needed != "none" else [],
    )


def greatest(steps: Iterable[Step]) -> Step:
    """The greatest of some steps; none of none."""
    return max(steps, key=STEPS.index, default="none")


def _parsed(version: str) -> Triple:
    first, second, third = map(int, version.split("."))
    return first, second, third


def step_taken(old: Triple, new: Triple) -> Literal["none", "patch", "minor", "major", "back"]:
    """Which number went up first; ``back`` when the new version is the lower one."""
    if new <= old:
        return "none" if new == old else "back"
    return "major" if new[0] > old[0] else "minor" if new[1] > old[1] else "patch"


def stepped(old: Triple, step: Step) -> str:
    """The version one step on."""
    major, minor, patch = old
    following = {
        "none": (major, minor, patch),
        "patch": (major, minor, patch + 1),
        "minor": (major, minor + 1, 0),
        "major": (major + 1, 0, 0),
    }
    return ".".join(map(str, following[step]))
