"""TOML files read with faults that name file and line."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar, cast

# Not tomllib: it is several times slower, and a key of very many parts takes all the memory there is.
import tomli

from compat.model.faults import BadInput, Fault, did_you_mean, shown
from compat.model.record import Record
from compat.model.values import Origin

if TYPE_CHECKING:
    from pydantic import BaseModel

LARGEST_FILE_BYTES = 20_000_000
# No figure of the trade has so many digits; Python takes very long over such numbers.
TOO_MANY_DIGITS = re.compile(r"[0-9A-Fa-f_]{200}")
M = TypeVar("M", bound="BaseModel | Record")
_texts: ContextVar[dict[Path, str] | None] = ContextVar("_texts", default=None)
_data: ContextVar[dict[Path, dict[str, Any]] | None] = ContextVar("_data", default=None)


@contextmanager
def files_read_once() -> Iterator[None]:
    """Within this block every file is read and parsed once; what is read must not be changed."""
    texts, data = _texts.set({}), _data.set({})
    try:
        yield
    finally:
        _texts.reset(texts)
        _data.reset(data)


def read_text(path: Path) -> str:
    """The text of a file of ours or the user's; raises BadInput when it cannot be read."""
    kept = _texts.get()
    if kept is None:
        return _read_text(path)
    if path not in kept:
        kept[path] = _read_text(path)
    return kept[path]


def read_toml(path: Path) -> dict[str, Any]:
    """The file as data, TOML or by its suffix JSON; raises BadInput with the line of a fault."""
    kept = _data.get()
    if kept is None:
        return _read_data(path)
    if path not in kept:
        kept[path] = _read_data(path)
    return kept[path]


def _read_text(path: Path) -> str:
    try:
        if path.exists() and not (path.is_file() or path.is_dir()):
            do = "Copy it to an ordinary file first"
            raise BadInput([Fault("this is not an ordinary file", Origin(str(path)), do=do)])
        with path.open("rb") as file:
            content = file.read(LARGEST_FILE_BYTES + 1)
        if len(content) > LARGEST_FILE_BYTES:
            raise BadInput([Fault("the file is larger than 20 MB", Origin(path.name), do="Split it")])
        return content.decode("utf-8").replace("\r\n", "\n")
    except FileNotFoundError:
        raise BadInput([Fault("there is no such file", Origin(str(path)), do="Check the path")]) from None
    except IsADirectoryError:
        raise BadInput([Fault("this is a folder", Origin(str(path)), do="Name a file")]) from None
    except (OSError, UnicodeDecodeError) as error:
        raise BadInput(
            [Fault(f"the file cannot be read: {error}", Origin(str(path)), "UTF-8 text is expected")]
        ) from None


def _read_data(path: Path) -> dict[str, Any]:
    text = read_text(path)
    endless = TOO_MANY_DIGITS.search(text)
    if endless is not None:
        line = text.count("\n", 0, endless.start()) + 1
        what = "a number here has 200 digits or more"
        raise BadInput([Fault(what, Origin(path.name, line=line), "Numbers up to 1e9 are allowed")])
    try:
        return _parsed_json(text, path) if path.suffix.lower() == ".json" else tomli.loads(text)
    except tomli.TOMLDecodeError as error:
        found = re.search(r"\(at line (\d+), column \d+\)", str(error))
        line = int(found[1]) if found else text.count("\n") + 1
        what = re.sub(r" \(at .*", "", str(error))
        raise BadInput(
            [Fault(f"this is not TOML: {what}", Origin(path.name, line=line), do="Mend the line")]
        ) from None
    except RecursionError:
        raise BadInput([Fault("the file is nested too deeply", Origin(path.name))]) from None
    except ValueError as error:
        # Such as a date that is none.
        raise BadInput([Fault(f"a value cannot be read: {error}", Origin(path.name))]) from None


def _parsed_json(text: str, path: Path) -> dict[str, Any]:
    try:
        data = json.loads(text)
    except json.JSONDecodeError as error:
        where = Origin(path.name, line=error.lineno)
        raise BadInput([Fault(f"this is not JSON: {error.msg}", where, do="Mend the line")]) from None
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
        made: Any = model.model_validate(data)
        return cast(M, made)
    except ValueError as error:
        from pydantic import ValidationError

        if not isinstance(error, ValidationError):
            raise
        text = read_text(path)
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
    model: type[M],
    problem: dict[str, Any],
    path: Path,
    text: str,
    within: Sequence[str | int],
) -> Fault:
    location = [*within, *problem["loc"]]
    key = ".".join(map(str, location))
    where = Origin(path.name, line=line_of(text, *location), key=key)
    last, message = str(location[-1]), str(problem["msg"])
    if problem["type"] == "missing":
        return Fault(f"'{last}' is missing", where, do="Add it")
    if problem["type"] in ("extra_forbidden", "unexpected_keyword_argument"):
        if issubclass(model, Record):
            known = list(model.written_names())
        else:
            fields = cast("type[BaseModel]", model).model_fields
            known = [field.alias or name for name, field in fields.items()]
        return Fault(f"'{last}' is no field of this file", where, do=did_you_mean(last, known))
    given = shown(problem.get("input"))
    return Fault(f"{given[:80]} is not allowed", where, message[:1].upper() + message[1:])
