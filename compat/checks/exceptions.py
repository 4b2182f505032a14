"""Exceptions name a check, have not run out, and are still needed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from compat.checks.context import EXCEPTIONS_FILE, CheckContext, check
from compat.dataset.toml_files import read_document
from compat.model.exceptions import ExceptionEntry
from compat.model.faults import Fault, did_you_mean
from compat.model.values import Origin

NAME = "exceptions"


@check(NAME, "dataset", "every exception names a check, has not run out and still lets a fault pass")
def exceptions(context: CheckContext) -> Iterator[Fault]:
    """Faults of the exceptions themselves; whether each is needed is told by :func:`unneeded`."""
    today = context.dated()
    for place, entry in enumerate(context.exceptions):
        if today is not None and date.fromisoformat(entry.until) < today:
            what = f"the exception held until {entry.until}; the dataset is of {today.isoformat()}"
            yield Fault(what, _at(context, place, "until"), do="Mend what it lets pass, or say why it stays")


def of_no_check(context: CheckContext, names: Sequence[str]) -> Iterator[Fault]:
    """Exceptions from a check that is not among ``names``."""
    for place, entry in enumerate(context.exceptions):
        if entry.check not in names:
            what = f"there is no check '{entry.check}' from which to except"
            yield Fault(what, _at(context, place, "check"), do=did_you_mean(entry.check, names))


def lets_pass(entry: ExceptionEntry, check_name: str, fault: Fault) -> bool:
    """Whether an exception is about a fault."""
    about = (entry.check, entry.place) == (check_name, fault.where.file)
    return about and entry.says in fault.sentence()


def unneeded(context: CheckContext, place: int) -> Fault:
    """The fault of an exception that lets nothing pass."""
    entry = context.exceptions[place]
    what = f"unnecessary exception: the check {entry.check} finds no such fault in {entry.place}"
    return Fault(what, _at(context, place), do="Remove it")


def _at(context: CheckContext, place: int, *steps: str) -> Origin:
    return read_document(context.dataset.rules_folder / EXCEPTIONS_FILE).where("exception", place, *steps)
