"""A measured waveform of light, read from a CSV file of two columns: seconds and light."""

from __future__ import annotations

import csv
import math
from itertools import pairwise
from pathlib import Path

from compat.model.faults import BadInput, Fault
from compat.model.values import Origin
from compat.physics.light_waveform import MOST_SAMPLES, LightFlicker, light_flicker

ALLOWED = "Two columns, seconds and light, evenly sampled over one second, from 4,000 samples up"
# By how much of the mean step one step may differ.
UNEVEN = 0.01


def read_waveform(path: Path) -> LightFlicker:
    """The flicker of the first second of a record. A first line of words is passed over. Raises BadInput."""

    def bad(what: str, line: int | None = None) -> BadInput:
        return BadInput([Fault(what, Origin(str(path), line=line), ALLOWED)])

    times: list[float] = []
    light: list[float] = []
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            for number, cells in enumerate(csv.reader(file), start=1):
                if not cells or (number == 1 and not _numbers(cells)):
                    continue
                values = _numbers(cells)
                if values is None:
                    raise bad("the line has no two numbers", number)
                times.append(values[0])
                light.append(values[1])
                if len(times) > MOST_SAMPLES + 1 or times[-1] - times[0] > 1.0 + UNEVEN:
                    break
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise bad(f"the file cannot be read: {error}") from error
    if len(times) < 2:
        raise bad("the file has no samples")
    step = (times[-1] - times[0]) / (len(times) - 1)
    steps = (after - before for before, after in pairwise(times))
    if not step > 0 or any(abs(one - step) > UNEVEN * step for one in steps):
        raise bad("the samples are not evenly apart in time")
    wanted = round(1.0 / step)
    if len(light) < wanted:
        raise bad(f"the record is {step * len(light):.3g} s long")
    try:
        return light_flicker(light[:wanted])
    except ValueError as error:
        raise bad(str(error)) from error


def _numbers(cells: list[str]) -> tuple[float, float] | None:
    try:
        first, second = float(cells[0]), float(cells[1])
    except (ValueError, IndexError):
        return None
    return (first, second) if math.isfinite(first) and math.isfinite(second) else None
