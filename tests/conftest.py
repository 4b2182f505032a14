"""Shared by all tests: the dataset in the checkout and its rules, read once."""

from __future__ import annotations

from pathlib import Path

import pytest

from compat.dataset.read import Dataset, load_dataset
from compat.rulebook.rules import ParsedRule, read_rules

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture(scope="session")
def dataset() -> Dataset:
    return load_dataset(ROOT)


@pytest.fixture(scope="session")
def rules(dataset: Dataset) -> list[ParsedRule]:
    return read_rules(dataset.rules_folder, dataset.vocabulary)
