"""The licence of the data, which goes with every release."""

from __future__ import annotations

from importlib import metadata
from pathlib import Path

from compat.model.faults import BadInput, Fault
from compat.model.values import Origin

FILE = "LICENSE-DATA"
PROJECT = "lighting-control-compat"


def licence_text() -> str:
    """The text of CC0-1.0: of the checkout, else of the installed program. Raises BadInput."""
    beside = Path(__file__).resolve().parents[2] / FILE
    if beside.is_file():
        return beside.read_text(encoding="utf-8")
    try:
        files = metadata.files(PROJECT) or []
    except metadata.PackageNotFoundError:
        files = []
    for file in files:
        if file.name == FILE:
            return file.read_text(encoding="utf-8")
    what = "the licence of the data did not come with the program"
    raise BadInput([Fault(what, Origin(FILE), do="Install compat anew")])
