"""Random schedules with known truth: nothing is lost, nothing is added, no figure is misread."""

from __future__ import annotations

from pathlib import Path

import pytest

from compat.model.values import Interval
from tests.intake.files import read, write_csv
from tests.messy.generated import schedule


@pytest.mark.parametrize("seed", range(150))
def test_what_is_read_is_what_was_written(tmp_path: Path, seed: int) -> None:
    text, lines = schedule(seed)
    rows = read(write_csv(tmp_path / "h.csv", text)).rows
    assert [(row.circuit, row.luminaire_type, row.quantity) for row in rows] == [
        (line.circuit, line.kind, line.quantity) for line in lines
    ]
    assert [row.room for row in rows] == [line.room for line in lines]
    for row, line in zip(rows, lines, strict=True):
        watts = row.driver_traits["input_power_w"].content
        assert isinstance(watts, Interval)
        assert watts.low - 0.01 <= line.watts <= watts.high + 0.01
