"""All checks in one go."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from compat.checks.alias_tables import alias_tables
from compat.checks.case_results import case_results
from compat.checks.context import CheckContext, DatasetCheck, read_context, read_overlay_context
from compat.checks.entries import intervals, review_dates
from compat.checks.exceptions import NAME as EXCEPTIONS
from compat.checks.exceptions import exceptions, lets_pass, of_no_check, unneeded
from compat.checks.files import dangling_ids, file_names, ids, published_schemas
from compat.checks.hazard_defaults import hazard_defaults
from compat.checks.relations import relations
from compat.checks.rule_logic import applicability, contradictions
from compat.checks.rule_parts import ask_for, cases_present, slots, withdrawal
from compat.checks.sources import basis, citations, entry_citations, support, unused_sources
from compat.checks.usual import usual_values
from compat.checks.vocabulary import vocabulary
from compat.dataset.toml_files import files_read_once
from compat.model.checks import READABLE
from compat.model.faults import BadInput, Fault

CHECKS: Sequence[DatasetCheck] = (
    published_schemas,
    vocabulary,
    alias_tables,
    ids,
    file_names,
    citations,
    support,
    entry_citations,
    unused_sources,
    dangling_ids,
    intervals,
    review_dates,
    basis,
    hazard_defaults,
    slots,
    ask_for,
    cases_present,
    case_results,
    applicability,
    contradictions,
    relations,
    usual_values,
    withdrawal,
    exceptions,
)


@dataclass(frozen=True, slots=True)
class CheckFault:
    """A fault and the name of the check that found it."""

    check: str
    fault: Fault


def check_dataset(root: Path | None) -> list[CheckFault]:
    """Every breach in a dataset folder, by check and then by place; empty when all is well.

    Faults that an exception lets pass are left out; an exception that lets nothing pass is a fault.
    """
    with files_read_once():
        try:
            context = read_context(root)
        except BadInput as error:
            return [CheckFault(READABLE, fault) for fault in error.faults]
        breaches = [CheckFault(READABLE, fault) for fault in context.unreadable]
        return _without_exceptions(context, breaches + _found(CHECKS, context))


def checks_of_tables() -> list[DatasetCheck]:
    """The checks that look at entries of tables, the user's own among them."""
    return [check for check in CHECKS if check.scope == "table"]


def check_overlay(root: Path | None, drivers: Path | None, outputs: Path | None) -> list[CheckFault]:
    """Every breach in the user's own equipment, held against a dataset; empty when all is well."""
    with files_read_once():
        try:
            context = read_overlay_context(root, drivers, outputs)
        except BadInput as error:
            return [CheckFault(READABLE, fault) for fault in error.faults]
        return _found(checks_of_tables(), context)


def _found(checks: Iterable[DatasetCheck], context: CheckContext) -> list[CheckFault]:
    return [CheckFault(check.name, fault) for check in checks for fault in check.find(context)]


def _without_exceptions(context: CheckContext, breaches: list[CheckFault]) -> list[CheckFault]:
    needed: set[int] = set()
    left: list[CheckFault] = []
    for breach in breaches:
        matching = {
            place
            for place, entry in enumerate(context.exceptions)
            if breach.check not in (READABLE, EXCEPTIONS) and lets_pass(entry, breach.check, breach.fault)
        }
        needed |= matching
        if not matching:
            left.append(breach)
    faults = list(of_no_check(context, [check.name for check in CHECKS if check.name != EXCEPTIONS]))
    places = [place for place in range(len(context.exceptions)) if place not in needed]
    faults += [unneeded(context, place) for place in places]
    return left + [CheckFault(EXCEPTIONS, fault) for fault in faults]
