"""What ``compat dataset check`` gives back; ``checks.schema.json`` is made from these models."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

Scope = Literal["rule", "table", "dataset"]

READABLE = "readable"


class Model(BaseModel):
    """A record without unknown fields."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


class CheckNote(Model):
    """One check that was run."""

    name: str
    scope: Scope
    sentence: str = Field(description="What must hold.")
    faults: int


class FaultNote(Model):
    """One fault. ``path`` leads to the file from the folder in which the command was given."""

    check: str
    path: str
    line: int | None
    key: str | None
    what: str
    allowed: str
    do: str
    sentence: str = Field(description="The fault on one line, as the text form prints it.")


class ChecksReport(Model):
    """The whole answer to ``compat dataset check``, without a time, so that equal input gives equal bytes."""

    checks: Literal["checks/1"] = "checks/1"
    program_version: str
    dataset_version: str | None = Field(description="None when the dataset cannot be read.")
    checked: list[CheckNote]
    faults: list[FaultNote]

    def all_well(self) -> str:
        """The line that is told when there is no fault; that files can be read is no check of its own."""
        return f"all well: {sum(note.name != READABLE for note in self.checked)} checks"
