"""The user's own drivers and outputs laid over the dataset, from a spreadsheet or a dataset file."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from pathlib import Path

from compat.dataset.overlay import with_own_equipment
from compat.dataset.read import Dataset, read_table

LIST_SUFFIXES: tuple[str, ...] = (".xlsx", ".xlsm", ".xls", ".ods", ".csv", ".tsv")


@dataclass(frozen=True, slots=True)
class LaidOver:
    """A dataset with own equipment, its ``ids`` (None without a file), and ``notes`` on what was not read."""

    dataset: Dataset
    ids: Collection[str] | None = None
    notes: tuple[str, ...] = ()


def is_list(path: Path) -> bool:
    """Whether a file of equipment is a spreadsheet, by its suffix; TOML and JSON are files of the dataset."""
    return path.suffix.lower() in LIST_SUFFIXES


def with_own(dataset: Dataset, table: str, path: Path | None) -> LaidOver:
    """The dataset with the ``drivers`` or ``outputs`` of a file added, or in place of those with their id.

    Raises BadInput.
    """
    if path is None:
        return LaidOver(dataset)
    if not is_list(path):
        laid = with_own_equipment(dataset, table, path)
        return LaidOver(laid, list(read_table(path, table, dataset.vocabulary)))
    from compat.intake.equipment_list import read_equipment_list

    own = read_equipment_list(path, table, dataset.vocabulary)
    tables = {**dataset.tables, table: {**dataset.tables[table], **own.entries}}
    return LaidOver(replace(dataset, tables=tables), list(own.entries), own.notes)
