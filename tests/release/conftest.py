"""One release of the whole dataset, built once from a copy that nothing changes meanwhile."""

from __future__ import annotations

from pathlib import Path

import pytest

from compat.release.build import build_release
from tests.dataset.parts import copied_dataset


@pytest.fixture(scope="session")
def source(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return copied_dataset(tmp_path_factory.mktemp("source"))


@pytest.fixture(scope="session")
def release(source: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build_release(source, tmp_path_factory.mktemp("releases"))
