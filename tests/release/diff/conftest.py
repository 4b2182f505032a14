"""Two editions of a small dataset to compare."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.checks.parts import small_dataset
from tests.release.diff.editions import Editions, copied


@pytest.fixture(scope="session")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return small_dataset(tmp_path_factory.mktemp("small"))


@pytest.fixture
def editions(small: Path, tmp_path: Path) -> Editions:
    return copied(small, tmp_path)
