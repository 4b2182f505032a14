"""Reading ``rules/exceptions.toml``."""

from __future__ import annotations

from pathlib import Path

from compat.dataset.toml_files import read_toml, validated
from compat.model.exceptions import ExceptionEntry, ExceptionsFile

EXCEPTIONS_FILE = "exceptions.toml"


def read_exceptions(rules_folder: Path) -> tuple[ExceptionEntry, ...]:
    """The exceptions of a rules folder, none without the file. Raises BadInput."""
    path = rules_folder / EXCEPTIONS_FILE
    if not path.is_file():
        return ()
    return tuple(validated(ExceptionsFile, read_toml(path), path).exception)
