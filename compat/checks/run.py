"""All checks in one go."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from compat.checks import (
    applicability,
    ask_for,
    basis,
    case_results,
    cases_present,
    citations,
    file_names,
    ids,
    published_schemas,
    slots,
    withdrawal,
)
from compat.checks.material import Material, read_material
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
    ids,
    file_names,
    citations,
    basis,
    slots,
    ask_for,
    cases_present,
    case_results,
    applicability,
    withdrawal,
)


@dataclass(frozen=True, slots=True)
class Breach:
    """A fault and the name of the check that found it."""

    check: str
    fault: Fault


def check_dataset(root: Path | None) -> list[Breach]:
    """Every breach in a dataset folder, by check and then by place; empty when all is well."""
    try:
        material = read_material(root)
    except BadInput as error:
        return [Breach("readable", fault) for fault in error.faults]
    breaches = [Breach("readable", fault) for fault in material.unreadable]
    for module in CHECKS:
        breaches += [Breach(module.NAME, fault) for fault in module.check(material)]
    return breaches
