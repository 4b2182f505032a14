"""What a project file states of control lines, and where it says so."""

from __future__ import annotations

from pathlib import Path

import pytest

from compat.dataset.overlay import Setting, read_setting
from compat.dataset.read import Dataset
from compat.model.faults import BadInput
from compat.model.values import Interval, TokenSet

TEXT = """schema = "project/1"
[lines.L1]
kind = "dali_line"
closed_ring = true
length_to_farthest_m = [40, 60]

[lines."L 2"]
closed_ring = false
dali_device_types_commanded = ["type_6", "type_8"]

[line_defaults]
terminated = false
"""


def setting(folder: Path, text: str, dataset: Dataset) -> Setting:
    path = folder / "house.toml"
    path.write_text(text, encoding="utf-8")
    return read_setting(dataset, path, None)


def test_lines_are_read_with_their_places(tmp_path: Path, dataset: Dataset) -> None:
    found = setting(tmp_path, TEXT, dataset)
    assert list(found.lines) == ["L1", "L 2"]
    ring = found.lines["L1"]["closed_ring"]
    assert (ring.content, ring.basis) == (True, "declared")
    assert ring.origin is not None
    assert ring.origin.text() == "house.toml, line 4, lines.L1.closed_ring"
    other = found.lines["L 2"]["closed_ring"].origin
    assert other is not None
    assert other.line == 8
    assert found.lines["L1"]["length_to_farthest_m"].content == Interval(40.0, 60.0)
    assert found.lines["L 2"]["dali_device_types_commanded"].content == TokenSet.exactly("type_6", "type_8")


def test_defaults_of_the_project_go_before_those_of_the_dataset(tmp_path: Path, dataset: Dataset) -> None:
    standing = read_setting(dataset, None, None).line_defaults
    assert standing["terminated"].basis == "common_practice"
    found = setting(tmp_path, TEXT, dataset).line_defaults
    assert (found["terminated"].content, found["terminated"].basis) == (False, "declared")
    assert found["segments"] == standing["segments"]


@pytest.mark.parametrize(
    ("key", "sentence"),
    [
        ("closed_rng = true", "'closed_rng' cannot be set here. Nearest: closed_ring"),
        ("dali_voltage_drop_v = 1", "'dali_voltage_drop_v' cannot be set here"),
        ("control_current_ma = 1", "'control_current_ma' cannot be set here"),
        ("closed_ring = 3", "closed_ring: 3 is not allowed"),
        ("length_to_farthest_m = [9, 2]", "the low end 9 is above the high end 2"),
        ('kind = "token_ring"', "'token_ring' is not a word of the list 'line_kind'"),
    ],
)
def test_what_misfits_is_told_with_its_line(
    key: str, sentence: str, tmp_path: Path, dataset: Dataset
) -> None:
    with pytest.raises(BadInput) as caught:
        setting(tmp_path, f'schema = "project/1"\n[lines.L1]\n{key}\n', dataset)
    (fault,) = caught.value.faults
    assert sentence in fault.sentence()
    assert fault.where.line == 3
