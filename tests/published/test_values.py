"""The published values of the folder ``values``, a file for each source, held against the rules."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.published.published import AnyTrial, Figure, all_trials, label
from tests.published.rows import FOLDER, figure_of, values_of
from tests.published.running import ToldByTrial, differences

VALUES = tuple(value for path in sorted(FOLDER.glob("*.toml")) for value in values_of(path))


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []


@pytest.mark.parametrize(
    ("text", "expected", "other"),
    [
        ("150 w", Figure(150.0, 150.0, "w"), Figure(150.0, 150.000001, "w")),
        ("10 to 20 w", Figure(10.0, 20.0, "w"), Figure(10.0, 10.0, "w")),
        ("? ma", Figure(None, None, "ma"), Figure(0.0, 0.0, "ma")),
        ("~67.9 a", Figure(67.90001, 67.89999, "a"), Figure(67.9, 67.901, "a")),
        ("~67.9+-0.05 a", Figure(67.86, 67.94, "a"), Figure(67.84, 67.9, "a")),
        ("~100+-1% to inf w", Figure(100.9, float("inf"), "w"), Figure(101.1, float("inf"), "w")),
        ("[-1.5, 1e3] to ~-2+-0.1 c", Figure(0.0, -2.05, "c"), Figure(1001.0, -2.0, "c")),
    ],
)
def test_a_figure_is_read_as_it_is_meant(text: str, expected: Figure, other: Figure) -> None:
    assert figure_of(text) == expected
    assert figure_of(text) != other


def test_a_row_fills_its_form(tmp_path: Path) -> None:
    path = tmp_path / "source.toml"
    path.write_text(
        """
        source = "S"
        confidence = "derived"
        [form.two]
        rule = "r"
        output = { method = "dmx" }
        drivers = [{ input_power_w = 5 }, {}]
        columns = ["name", "drivers.1.quantity", "around.traits.supply.voltage_v", "verdict", "limit"]
        [form.bare]
        rule = "r"
        columns = ["name", "given.circuit.input_power_w", "verdict", "demand"]
        [[value]]
        id = "X"
        states = "s"
        locator = "l"
        rows = [["two", "n", 3, 230, "does_not_apply", ""], ["bare", "m", 7, "works", "[1, 2] w"]]
        """,
        encoding="utf-8",
    )
    ((scheduled, bare),) = (value.trials for value in values_of(path))
    assert [(row.quantity, row.traits) for row in scheduled.drivers] == [(1, {"input_power_w": 5}), (3, {})]
    assert (scheduled.verdict, scheduled.limit) == (None, None)
    assert scheduled.around.traits == {"supply": {"voltage_v": 230}}
    assert (bare.given, bare.demand) == ({"circuit.input_power_w": 7}, Figure(1.0, 2.0, "w"))
