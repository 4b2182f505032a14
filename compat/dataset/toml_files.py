"""TOML and JSON files read with faults that name file and line."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar, cast

# Not tomllib: it is several times slower, and a key of very many parts takes all the memory there is.
import tomli

from compat.model.faults import BadInput, Fault, did_you_mean, shown
from compat.model.files import open_ordinary
from compat.model.record import Record
from compat.model.values import Origin

if TYPE_CHECKING:
    from pydantic import BaseModel

    from compat.dataset.positions import Positions

LARGEST_FILE_BYTES = 20_000_000
# No figure of the trade has so many digits; Python takes very long over such numbers.
TOO_MANY_DIGITS = re.compile(r"[0-9A-Fa-f_]{200}")
M = TypeVar("M", bound="BaseModel | Record")


@dataclass(frozen=True)
class Document:
    """A file as data, with the line of every key and list entry in it."""

    path: Path
    text: str
    data: dict[str, Any]

    @cached_property
    def _positions(self) -> Positions:
        # Most files have no fault, and then nobody asks where anything stands.
        from compat.dataset.positions import Positions

        return Positions(self.text, _is_json(self.path))

    def line(self, *steps: str | int) -> int | None:
        """The line of the last of some steps into the data that is there, such as ``"driver", 2, "id"``."""
        return self._positions.line(*steps)

    def where(self, *steps: str | int, key: str | None = None) -> Origin:
        """The place of a step in the file, as faults name it; ``key`` is told beside the line."""
        return Origin(self.path.name, line=self.line(*steps), key=key)


_texts: ContextVar[dict[Path, str] | None] = ContextVar("_texts", default=None)
_documents: ContextVar[dict[Path, Document] | None] = ContextVar("_documents", default=None)


@contextmanager
def files_read_once() -> Iterator[None]:
    """Within this block every file is read and parsed once; what is read must not be changed."""
    texts, documents = _texts.set({}), _documents.set({})
    try:
        yield
    finally:
        _texts.reset(texts)
        _documents.reset(documents)


def read_text(path: Path) -> str:
    """The text of a file of ours or the user's; raises BadInput when it cannot be read."""
    known = _texts.get()
    if known is None:
        return _read_text(path)
    if path not in known:
        known[path] = _read_text(path)
    return known[path]


def read_document(path: Path) -> Document:
    """A file with its data and their places, TOML or by its suffix JSON.

    Raises BadInput with the line of a fault; a key given twice is one.
    """
    known = _documents.get()
    if known is None:
        return _read_document(path)
    if path not in known:
        known[path] = _read_document(path)
    return known[path]


def read_toml(path: Path) -> dict[str, Any]:
    """The data of :func:`read_document`."""
    return read_document(path).data


def _is_json(path: Path) -> bool:
    return path.suffix.lower() == ".json"


def _read_text(path: Path) -> str:
    try:
        with open_ordinary(path) as file:
            content = file.read(LARGEST_FILE_BYTES + 1)
        if len(content) > LARGEST_FILE_BYTES:
            raise BadInput([Fault("the file is larger than 20 MB", Origin(path.name), do="Split it")])
        return content.decode("utf-8").replace("\r\n", "\n")
    except FileNotFoundError:
        raise BadInput([Fault("there is no such file", Origin(str(path)), do="Check the path")]) from None
    except IsADirectoryError:
        raise BadInput([Fault("this is a folder", Origin(str(path)), do="Name a file")]) from None
    except (OSError, UnicodeDecodeError) as error:
        reason = getattr(error, "strerror", None) or error
        raise BadInput(
            [Fault(f"the file cannot be read: {reason}", Origin(str(path)), "UTF-8 text is expected")]
        ) from None


def _read_document(path: Path) -> Document:
    text = read_text(path)
    endless = TOO_MANY_DIGITS.search(text)
    if endless is not None:
        line = text.count("\n", 0, endless.start()) + 1
        what = "a number here has 200 digits or more"
        raise BadInput([Fault(what, Origin(path.name, line=line), "Numbers up to 1e9 are allowed")])
    try:
        return _parsed_json(text, path) if _is_json(path) else Document(path, text, tomli.loads(text))
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


def _parsed_json(text: str, path: Path) -> Document:
    is_doubled = False

    def made(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        nonlocal is_doubled
        content = dict(pairs)
        is_doubled = is_doubled or len(content) < len(pairs)
        return content

    try:
        data = json.loads(text, object_pairs_hook=made)
    except json.JSONDecodeError as error:
        where = Origin(path.name, line=error.lineno)
        raise BadInput([Fault(f"this is not JSON: {error.msg}", where, do="Mend the line")]) from None
    if is_doubled:
        from compat.dataset.positions import Positions

        doubled = Positions(text, True).doubled
        wheres = [
            (f"the key {shown(key)} is given twice", Origin(path.name, line=line)) for key, line in doubled
        ]
        raise BadInput([Fault(what, where, do="Keep one of them") for what, where in wheres])
    if not isinstance(data, dict):
        raise BadInput(
            [Fault("the file holds no object", Origin(path.name), "Allowed: an object with 'schema'")]
        )
    return Document(path, text, data)


def validated(model: type[M], data: dict[str, Any], document: Document, *within: str | int) -> M:
    """Data as a model; raises BadInput with one fault for each field that does not fit.

    ``within`` leads to the data inside the document, such as ``"driver", 2`` for the third entry.
    """
    try:
        made: Any = model.model_validate(data)
        return cast(M, made)
    except ValueError as error:
        from pydantic import ValidationError

        if not isinstance(error, ValidationError):
            raise
        faults = [_fault(model, dict(problem), document, within) for problem in error.errors()]
        raise BadInput(faults) from None


def _fault(
    model: type[M], problem: dict[str, Any], document: Document, within: tuple[str | int, ...]
) -> Fault:
    location = (*within, *problem["loc"])
    where = document.where(*location, key=".".join(map(str, location)))
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
