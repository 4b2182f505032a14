"""Records: plain frozen dataclasses that data from outside is checked against and written from.

The library that checks and writes them is loaded where that is done and not before, since a look-up
does neither. Methods and settings have the names that library gives them on its own models.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import fields, replace
from typing import TYPE_CHECKING, Any, ClassVar, Self

if TYPE_CHECKING:
    from pydantic import GetCoreSchemaHandler, TypeAdapter


# For the schema, which does not tell of itself what a list or table left out stands for.
NONE_LISTED: dict[str, Any] = {"json_schema_extra": {"default": []}}
NONE_NAMED: dict[str, Any] = {"json_schema_extra": {"default": {}}}


class Limits:
    """What a text, number or list inside an annotation must keep to, such as ``min_length=1``."""

    def __init__(self, **limits: Any) -> None:
        self.limits = limits

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> Any:
        from typing import Annotated

        from pydantic import Field

        return handler.generate_schema(Annotated[source, Field(**self.limits)])


def check_finite(*figures: float | None) -> None:
    """Raises ValueError for a figure that is no finite number, which no report may show."""
    for figure in figures:
        if figure is not None and not math.isfinite(figure):
            raise ValueError(f"{figure!r} is no finite number")


class Record:
    """A record without unknown fields and without numbers that are not finite."""

    __slots__ = ()
    __pydantic_config__: ClassVar[dict[str, Any]] = {"extra": "forbid", "allow_inf_nan": False}

    @classmethod
    def model_validate(cls, data: Any) -> Self:
        """The record in some data. Raises pydantic.ValidationError."""
        made: Self = _adapter(cls).validate_python(data)
        return made

    @classmethod
    def model_validate_json(cls, text: str | bytes) -> Self:
        """The record in a JSON text. Raises pydantic.ValidationError."""
        made: Self = _adapter(cls).validate_json(text)
        return made

    @classmethod
    def model_json_schema(cls, by_alias: bool = True, mode: Any = "validation") -> dict[str, Any]:
        """The JSON Schema of the record."""
        return _adapter(cls).json_schema(by_alias=by_alias, mode=mode)

    @classmethod
    def names(cls) -> tuple[str, ...]:
        """The fields in their order."""
        return tuple(field.name for field in fields(cls))  # type: ignore[arg-type]

    @classmethod
    def written_names(cls) -> tuple[str, ...]:
        """The fields as files write them, in their order."""
        return tuple(field.metadata.get("alias", field.name) for field in fields(cls))  # type: ignore[arg-type]

    def model_copy(self, update: Mapping[str, Any]) -> Self:
        """The record with some fields replaced; nothing is checked."""
        return replace(self, **update)  # type: ignore[type-var]

    def model_dump(
        self, mode: Any = "python", by_alias: bool = False, exclude_defaults: bool = False
    ) -> dict[str, Any]:
        """The record as plain data."""
        found: dict[str, Any] = _adapter(type(self)).dump_python(
            self, mode=mode, by_alias=by_alias, exclude_defaults=exclude_defaults
        )
        return found

    def model_dump_json(self, indent: int | None = None) -> str:
        """The record as JSON."""
        return json.dumps(self.model_dump(mode="json"), indent=indent, ensure_ascii=False)


_ADAPTERS: dict[type, TypeAdapter[Any]] = {}


def _adapter(record: type) -> TypeAdapter[Any]:
    """The library's form of a record, made once."""
    if record not in _ADAPTERS:
        from pydantic import TypeAdapter

        _ADAPTERS[record] = TypeAdapter(record)
    return _ADAPTERS[record]
