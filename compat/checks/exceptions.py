"""Exceptions name a check, have not run out, and are still needed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from compat.checks.exceptions_file import EXCEPTIONS_FILE
from compat.checks.material import Material
from compat.dataset.toml_files import line_of, read_text
from compat.model.exceptions import ExceptionEntry
from compat.model.faults import Fault, did_you_mean
from compat.model.values import Origin

NAME = "exceptions"
SCOPE = "dataset"
SENTENCE = "every exception names a check, has not run out and still lets a fault pass"


def check(material: Material) -> Iterator[Fault]:
    """Faults of the exceptions themselves; whether each is needed is told by :func:`unneeded`."""
    today = material.dated()
    for place, entry in enumerate(material.exceptions):
        if today is not None and date.fromisoformat(entry.until) < today:
            what = f"the exception held until {entry.until}; the dataset is of {today.isoformat()}"
            yield Fault(what, _at(material, place, "until"), do="Mend what it lets pass, or say why it stays")


def of_no_check(material: Material, names: Sequence[str]) -> Iterator[Fault]:
    """Exceptions from a check that is not among ``names``."""
    for place, entry in enumerate(material.exceptions):
        if entry.check not in names:
            what = f"there is no check '{entry.check}' from which to except"
            yield Fault(what, _at(material, place, "check"), do=did_you_mean(entry.check, names))


def lets_pass(entry: ExceptionEntry, check_name: str, fault: Fault) -> bool:
    """Whether an exception is about a fault."""
    about = (entry.check, entry.place) == (check_name, fault.where.file)
    return about and entry.says in fault.sentence()


def unneeded(material: Material, place: int) -> Fault:
    """The fault of an exception that lets nothing pass."""
    entry = material.exceptions[place]
    what = f"unnecessary exception: the check {entry.check} finds no such fault in {entry.place}"
    return Fault(what, _at(material, place), do="Remove it")


def _at(material: Material, place: int, *keys: str) -> Origin:
    text = read_text(material.dataset.rules_folder / EXCEPTIONS_FILE)
    return Origin(EXCEPTIONS_FILE, line=line_of(text, "exception", place, *keys))
