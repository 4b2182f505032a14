"""Shared by all tests: the dataset in the checkout and its rules, read once."""

from __future__ import annotations

import fcntl
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from compat.dataset.read import Dataset, load_dataset
from compat.rulebook.rules import ParsedRule, read_rules

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture(scope="session")
def made_once(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str, Callable[[Path], object]], Path]:
    """A folder by its name, filled by the first process of the test run that asks; the others wait for it."""
    shared = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        shared = shared.parent

    def folder(name: str, fill: Callable[[Path], object]) -> Path:
        made = shared / name
        with (shared / f"{name}.lock").open("w") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            if not made.exists():
                unfinished = shared / f"{name}.unfinished"
                unfinished.mkdir()
                fill(unfinished)
                unfinished.rename(made)
        return made

    return folder


@pytest.fixture(scope="session")
def dataset() -> Dataset:
    return load_dataset(ROOT)


@pytest.fixture(scope="session")
def rules(dataset: Dataset) -> list[ParsedRule]:
    return read_rules(dataset.rules_folder, dataset.vocabulary)
