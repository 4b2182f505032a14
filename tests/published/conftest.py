"""What the rules say on every trial of a test file, checked in one go."""

from __future__ import annotations

import pytest

from compat.dataset.read import Dataset
from compat.rulebook.rules import ParsedRule
from tests.published.running import ToldByTrial, told_of


@pytest.fixture(scope="module")
def told(request: pytest.FixtureRequest, dataset: Dataset, rules: list[ParsedRule]) -> ToldByTrial:
    return told_of(request.module.VALUES, dataset, rules)
