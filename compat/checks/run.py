"""All checks in one go."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from compat.checks import (
    alias_tables,
    applicability,
    ask_for,
    basis,
    case_results,
    cases_present,
    citations,
    contradictions,
    entry_citations,
    exceptions,
    file_names,
    ids,
    intervals,
    mentions,
    published_schemas,
    review_dates,
    slots,
    support,
    unused_sources,
    vocabulary,
    withdrawal,
)
from compat.checks.material import Material, read_material, read_overlay
from compat.dataset.toml_files import files_read_once
from compat.model.checks import READABLE
from compat.model.faults import BadInput, Fault


class CheckModule(Protocol):
    """The shape of a check."""

    NAME: str
    SCOPE: str
    SENTENCE: str

    def check(self, material: Material) -> Iterator[Fault]:
        """The breaches found."""


CHECKS: Sequence[CheckModule] = (
    published_schemas,
    vocabulary,
    alias_tables,
    ids,
    file_names,
    citations,
    support,
    entry_citations,
    unused_sources,
    mentions,
    intervals,
    review_dates,
    basis,
    slots,
    ask_for,
    cases_present,
    case_results,
    applicability,
    contradictions,
    withdrawal,
    exceptions,
)


@dataclass(frozen=True, slots=True)
class Breach:
    """A fault and the name of the check that found it."""

    check: str
    fault: Fault


def check_dataset(root: Path | None) -> list[Breach]:
    """Every breach in a dataset folder, by check and then by place; empty when all is well.

    Faults that an exception lets pass are left out; an exception that lets nothing pass is a fault.
    """
    with files_read_once():
        try:
            material = read_material(root)
        except BadInput as error:
            return [Breach(READABLE, fault) for fault in error.faults]
        breaches = [Breach(READABLE, fault) for fault in material.unreadable]
        for module in CHECKS:
            breaches += [Breach(module.NAME, fault) for fault in module.check(material)]
        return _without_exceptions(material, breaches)


def checks_of_tables() -> list[CheckModule]:
    """The checks that look at entries of tables, the user's own among them."""
    return [module for module in CHECKS if module.SCOPE == "table"]


def check_overlay(root: Path | None, drivers: Path | None, outputs: Path | None) -> list[Breach]:
    """Every breach in the user's own equipment, held against a dataset; empty when all is well."""
    with files_read_once():
        try:
            material = read_overlay(root, drivers, outputs)
        except BadInput as error:
            return [Breach(READABLE, fault) for fault in error.faults]
        modules = checks_of_tables()
        return [Breach(module.NAME, fault) for module in modules for fault in module.check(material)]


def _without_exceptions(material: Material, breaches: list[Breach]) -> list[Breach]:
    needed: set[int] = set()
    kept: list[Breach] = []
    for breach in breaches:
        matching = {
            place
            for place, entry in enumerate(material.exceptions)
            if breach.check not in (READABLE, exceptions.NAME)
            and exceptions.lets_pass(entry, breach.check, breach.fault)
        }
        needed |= matching
        if not matching:
            kept.append(breach)
    unneeded = [place for place in range(len(material.exceptions)) if place not in needed]
    return kept + [Breach(exceptions.NAME, exceptions.unneeded(material, place)) for place in unneeded]
