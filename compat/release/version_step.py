"""The step that changes take in the dataset's version, and whether the versions take it.

MAJOR when an id, a field, a unit or an outcome's meaning changes or a rule goes without successor;
MINOR when any stable verdict can move; PATCH when none does. Versions are those of Semantic
Versioning 2.0.0 (semver.org), without its pre-release and build parts.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Literal

from compat.model.changes import STEPS, Change, ScheduleMoves, Step, VersionStep
from compat.model.faults import BadInput, Fault
from compat.model.values import Origin

VERSION = re.compile(r"(0|[1-9][0-9]{0,8})\.(0|[1-9][0-9]{0,8})\.(0|[1-9][0-9]{0,8})")
Triple = tuple[int, int, int]


def version_step(
    old: str, new: str, changes: Sequence[Change], schedules: Iterable[ScheduleMoves]
) -> VersionStep:
    """The needed step against the taken one. Raises BadInput for a version of another form."""
    faults = [fault for version in (old, new) if (fault := version_fault(version))]
    if faults:
        raise BadInput(faults)
    moved = [schedule.schedule for schedule in schedules if any(move.stable for move in schedule.moves)]
    needed = greatest([change.step for change in changes] + ["minor" for _ in moved])
    taken = step_taken(parsed(old), parsed(new))
    because = [
        f"{change.part.replace('_', ' ')} {change.id} {change.kind.replace('_', ' ')}"
        for change in changes
        if change.step == needed
    ]
    if needed == "minor":
        because += [f"verdicts moved on {schedule}" for schedule in moved]
    suffices = taken != "back" and STEPS.index(taken) >= STEPS.index(needed)
    return VersionStep(
        needed=needed,
        taken=taken,
        suffices=suffices,
        least_version=stepped(parsed(old), needed),
        because=because if needed != "none" else [],
    )


def greatest(steps: Iterable[Step]) -> Step:
    """The greatest of some steps; none of none."""
    return max(steps, key=STEPS.index, default="none")


def version_fault(version: str) -> Fault | None:
    """What is wrong with the form of a version, if anything."""
    if VERSION.fullmatch(version):
        return None
    allowed = "Allowed: three numbers as in 1.4.0"
    return Fault(f"the version is {version[:40]!r}", Origin("datapackage.json", key="version"), allowed)


def parsed(version: str) -> Triple:
    """A version as three numbers."""
    first, second, third = version.split(".")
    return int(first), int(second), int(third)


def step_taken(old: Triple, new: Triple) -> Literal["none", "patch", "minor", "major", "back"]:
    """Which number went up first; ``back`` when the new version is the lower one."""
    if new < old:
        return "back"
    for place, step in enumerate(("major", "minor", "patch")):
        if new[place] > old[place]:
            return step  # type: ignore[return-value]
    return "none"


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
