"""Exceptions to the checks of the dataset: a fault that is known, why, and until when."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, field_validator


class ExceptionEntry(BaseModel):
    """One fault that is let pass: ``place`` is the file, ``says`` a part of the fault's sentence."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    check: Annotated[str, Field(min_length=1, max_length=60, description="Name of the check.")]
    place: Annotated[str, Field(min_length=1, max_length=200, description="File, as the fault tells it.")]
    says: Annotated[str, Field(max_length=200, description="Part of the sentence of the fault.")] = ""
    reason: Annotated[str, Field(min_length=10, max_length=600, description="Why it is let pass.")]
    until: Annotated[
        str,
        Field(pattern=r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$", description="Last date of the dataset it holds for."),
    ]

    @field_validator("until")
    @classmethod
    def _is_a_day(cls, value: str) -> str:
        date.fromisoformat(value)
        return value


class ExceptionsFile(BaseModel):
    """``rules/exceptions.toml``."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    schema_: Literal["exceptions/1"] = Field(alias="schema")
    exception: list[ExceptionEntry] = []
