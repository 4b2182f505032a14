"""TOML files read with faults that name file and line."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Sequence
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from compat.model.faults import BadInput, Fault, did_you_mean
from compat.model.values import Origin

LARGEST_FILE_BYTES = 20_000_000
M = TypeVar("M", bound=BaseModel)


def read_text(path: Path) -> str:
    """The text of a file of ours or the user's; raises BadInput when it cannot be read."""
    try:
        if path.stat().st_size > LARGEST_FILE_BYTES:
            raise BadInput([Fault("the file is larger than 20 MB", Origin(path.name), do="Split it")])
        return path.read_text(encoding="utf-8")
    except FileNotFoundError:
        raise BadInput([Fault("there is no such file", Origin(str(path)), do="Check the path")]) from None
    except IsADirectoryError:
        raise BadInput([Fault("this is a folder", Origin(str(path)), do="Name a file")]) from None
    except (OSError, UnicodeDecodeError) as error:
        raise BadInput(
            [Fault(f"the file cannot be read: {error}", Origin(str(path)), "UTF-8 text is expected")]
        ) from None


def read_toml(path: Path) -> dict[str, Any]:
    """The file as data, TOML or by its suffix JSON; raises BadInput with the line of a fault."""
    if path.suffix.lower() == ".json":
        return _read_json(path)
    try:
        return tomllib.loads(read_text(path))
    except tomllib.TOMLDecodeError as error:
        found = re.search(r"\(at line (\d+), column \d+\)", str(error))
        line = int(found[1]) if found else None
        what = re.sub(r" \(at .*", "", str(error))
        raise BadInput(
            [Fault(f"this is not TOML: {what}", Origin(path.name, line=line), do="Mend the line")]
        ) from None
    except RecursionError:
        raise BadInput([Fault("the file is nested too deeply", Origin(path.name))]) from None


def _read_json(path: Path) -> dict[str, Any]:
    try:
        data = json.loads(read_text(path))
    except json.JSONDecodeError as error:
        where = Origin(path.name, line=error.lineno)
        raise BadInput([Fault(f"this is not JSON: {error.msg}", where, do="Mend the line")]) from None
    except RecursionError:
        raise BadInput([Fault("the file is nested too deeply", Origin(path.name))]) from None
    if not isinstance(data, dict):
        raise BadInput(
            [Fault("the file holds no object", Origin(path.name), "Allowed: an object with 'schema'")]
        )
    return data


def validated(model: type[M], data: dict[str, Any], path: Path, *within: str | int) -> M:
    """Data as a model; raises BadInput with one fault for each field that does not fit.

    ``within`` leads to the data inside the file, such as ``"driver", 2`` for the third entry.
    """
    try:
        return model.model_validate(data)
    except ValidationError as error:
        text = path.read_text(encoding="utf-8")
        faults = [_fault(model, dict(problem), path, text, within) for problem in error.errors()]
        raise BadInput(faults) from None


def line_of(text: str, *keys: str | int) -> int | None:
    """The line on which the last of some keys is written, each sought after the one before.

    A number after a key stands for the entry of that place among ``[[key]]``; what follows is
    sought in that entry only.
    """
    lines = text.splitlines()
    start, stop = 0, len(lines)
    found: int | None = None
    for place, key in enumerate(keys):
        if isinstance(key, int):
            heading = re.compile(rf"^\s*\[\[\s*([\w.]+\.)?{re.escape(str(keys[place - 1]))}\s*\]\]")
            heads = [number for number in range(start, stop) if heading.search(lines[number])]
            if key < len(heads):
                start, stop = heads[key], heads[key + 1] if key + 1 < len(heads) else stop
                found = start + 1
            continue
        bare = re.escape(key)
        pattern = re.compile(
            rf"^\s*(\[+\s*)?([\w.]+\.)?[\"']?{bare}[\"']?\s*(\]|=|:)|(=|\[|,|^)\s*[\"']{bare}[\"']"
        )
        for number in range(start, stop):
            if pattern.search(lines[number]):
                found, start = number + 1, number
                break
    return found


def _fault(
    model: type[BaseModel], problem: dict[str, Any], path: Path, text: str, within: Sequence[str | int]
) -> Fault:
    location = [*within, *problem["loc"]]
    key = ".".join(map(str, location))
    where = Origin(path.name, line=line_of(text, *location), key=key)
    last, message = str(location[-1]), str(problem["msg"])
    if problem["type"] == "missing":
        return Fault(f"'{last}' is missing", where, do="Add it")
    if problem["type"] == "extra_forbidden":
        known = [field.alias or name for name, field in model.model_fields.items()]
        return Fault(f"'{last}' is no field of this file", where, do=did_you_mean(last, known))
    given = repr(problem.get("input"))
    return Fault(f"{given[:80]} is not allowed", where, message[:1].upper() + message[1:])
