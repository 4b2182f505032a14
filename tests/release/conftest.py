"""One release of the whole dataset, built once from a copy that nothing changes meanwhile."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from compat.release.build import build_release
from tests.dataset.parts import copied_dataset


@pytest.fixture(scope="session")
def source(made_once: Callable[[str, Callable[[Path], object]], Path]) -> Path:
    return made_once("source", copied_dataset)


@pytest.fixture(scope="session")
def release(source: Path, made_once: Callable[[str, Callable[[Path], object]], Path]) -> Path:
    (built,) = made_once("releases", lambda folder: build_release(source, folder)).iterdir()
    return built
