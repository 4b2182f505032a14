"""The small house, with its dataset copied once."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.parts import OUTPUTS, House, rules_of_three


@pytest.fixture(scope="session")
def small_dataset(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return rules_of_three(tmp_path_factory.mktemp("three-rules"))


@pytest.fixture
def house(tmp_path: Path, small_dataset: Path) -> House:
    outputs = tmp_path / "own-outputs.toml"
    outputs.write_text(OUTPUTS, encoding="utf-8")
    return House(tmp_path, small_dataset, outputs)
