"""What changed between two editions of the dataset. ``changes.schema.json`` is made from these models."""

from __future__ import annotations

from typing import Literal, get_args

from pydantic import BaseModel, ConfigDict, Field

from compat.model.verdicts import Verdict

Part = Literal[
    "rule",
    "driver",
    "output",
    "supply",
    "breaker",
    "cable",
    "source_impedance",
    "default",
    "trait",
    "unit",
    "choice",
    "schema",
    "source",
    "file",
]
Kind = Literal[
    "removed",
    "withdrawn",
    "added",
    "reinstated",
    "promoted",
    "demoted",
    "retiring",
    "tightened",
    "loosened",
    "changed",
    "renamed",
    "re_sourced",
    "reordered",
    "cases_changed",
    "reworded",
]
Step = Literal["none", "patch", "minor", "major"]
Owner = Literal["new", "old", "program", "user"]
Level = Literal["circuit", "line", "finding", "output"]
PARTS: tuple[Part, ...] = get_args(Part)
KINDS: tuple[Kind, ...] = get_args(Kind)
STEPS: tuple[Step, ...] = get_args(Step)
LEVELS: tuple[Level, ...] = get_args(Level)


class Model(BaseModel):
    """A record without unknown fields."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class EditionStamp(Model):
    """Which edition of the dataset was compared."""

    given: str = Field(description="How it was named: a folder, a file or a git revision.")
    found_as: Literal["folder", "release", "revision"]
    commit: str | None = Field(default=None, description="The commit of a git revision, in full.")
    version: str
    sha256: str


class FieldChange(Model):
    """One field before and after; empty text where there was or is none."""

    field: str
    old: str
    new: str


class Points(Model):
    """Both versions of a rule judged on the same values: the cases of both and a fixed sample."""

    tried: int
    worse: int = Field(description="Points on which the new version gives a worse verdict.")
    better: int = Field(description="Points on which it gives a better one.")
    example: str = Field(default="", description="One point that moved, with its verdicts.")


class Change(Model):
    """One thing that changed in one way, and the version step that this takes by itself."""

    part: Part
    id: str
    name: str = ""
    kind: Kind
    step: Step
    why: str = Field(description="Why this step.")
    fields: list[FieldChange] = []
    points: Points | None = None


class VersionStep(Model):
    """The step that the changes take, against the step between the two versions."""

    needed: Step
    taken: Literal["none", "patch", "minor", "major", "back"]
    suffices: bool
    least_version: str = Field(description="The lowest version that the new edition may have.")
    because: list[str] = Field(description="What asks for the needed step.")


class Move(Model):
    """Verdicts that moved alike: the rule that decides the worse of the two, from, to, and where."""

    level: Level = Field(
        description="circuit or line: its own verdict; finding: one rule on it; output: the verdict of a "
        "circuit on an output that was not chosen."
    )
    rule: str = Field(description="Empty when no rule decided.")
    slug: str
    old: Verdict | Literal["no_finding"]
    new: Verdict | Literal["no_finding"]
    stable: bool = Field(description="Whether the rule is more than a preview.")
    count: int
    where: list[str] = Field(description="Circuits or lines, in the order of the schedule.")


class ScheduleMoves(Model):
    """What moved on one schedule; an edition that cannot judge it says why."""

    schedule: str
    sha256: str = Field(description="Of the file; empty when neither edition could read it.")
    belongs_to: Owner = Field(
        description="A reference schedule of the new or the old edition or of the program, or the user's own."
    )
    circuits: int
    lines: int
    old_refused: list[str] = []
    new_refused: list[str] = []
    moves: list[Move]


class Changes(Model):
    """The whole answer to ``compat dataset diff``."""

    changes: Literal["changes/1"] = "changes/1"
    program_version: str
    old: EditionStamp
    new: EditionStamp
    version_step: VersionStep
    counts: dict[Kind, int]
    entries: list[Change]
    schedules: list[ScheduleMoves]
