"""Likely counts of LED fittings on a breaker beside the charts of a trade association's guide.

The guide (2021) is known by what a member of an engineers' forum reads off its charts, second hand and
rough: 15 fittings of 10 W to 4 of 75 W on B10, 22 of 10 W to 8 of 75 W on B16, 30 of 10 W to 5 of 150 W on
C10. Its source impedance and its fittings are not known, so the counts of the classes of the dataset have to
agree within a factor of two, and in their order. The comparison is printed (``pytest -s``).
"""

from __future__ import annotations

import math
import sys
from dataclasses import replace

import pytest

from compat.dataset.overlay import read_setting
from compat.dataset.read import Dataset
from compat.engine.breaker_of_circuit import breaker_holds, breaker_holds_likely
from compat.engine.gather import gather_rows, of_counts
from compat.engine.site import site_of
from compat.model.schedule import ScheduleRow
from compat.model.values import Interval, Trait

# Breaker, watts of a fitting, count of the guide, drivers of the dataset of about these watts that have no
# input made for phase cut.
GUIDE = (
    ("B10", "B0002", 10, 15, ("D0009", "D0033")),
    ("B10", "B0002", 75, 4, ("D0025", "D0037")),
    ("B16", "B0004", 10, 22, ("D0009", "D0033")),
    ("B16", "B0004", 75, 8, ("D0025", "D0037")),
    ("C10", "B0009", 10, 30, ("D0009", "D0033")),
)
UP_TO = 80
AGREES_WITHIN = 2.0


def counts(driver: str, breaker: str, dataset: Dataset) -> tuple[int, int]:
    """The most that likely and that surely hold, in an ordinary house on 25 m of 1.5 mm2."""
    site = replace(site_of(read_setting(dataset, None, None)), breaker=dataset.tables["breakers"][breaker])
    row = ScheduleRow(1, "C1", 1, driver_id=driver)
    length = {"cable_length_m": Trait(Interval(25.0, 25.0))}
    circuits = of_counts(gather_rows("C1", [row], dataset, site, length), UP_TO, dataset, site)
    likely = [breaker_holds_likely(circuit, site) for circuit in circuits]
    surely = [breaker_holds(circuit, site) for circuit in circuits]
    return tuple(told.index(False) if False in told else UP_TO for told in (likely, surely))  # type: ignore[return-value]


@pytest.mark.parametrize(("name", "breaker", "watts", "guide", "drivers"), GUIDE)
def test_b18_likely_counts_agree_with_the_guide(
    name: str, breaker: str, watts: int, guide: int, drivers: tuple[str, ...], dataset: Dataset
) -> None:
    found = [counts(driver, breaker, dataset) for driver in drivers]
    likely = math.sqrt(math.prod(most for most, _ in found))
    told = ", ".join(
        f"{one} likely {most}, surely {sure}" for one, (most, sure) in zip(drivers, found, strict=True)
    )
    sys.stdout.write(f"\n{name}, {watts} W: guide {guide}, here {likely:.0f} ({told})\n")
    assert guide / AGREES_WITHIN <= likely <= guide * AGREES_WITHIN
    assert all(sure <= most for most, sure in found)


def test_b18_the_cable_of_the_circuit_counts(dataset: Dataset) -> None:
    """5 m and 100 m of cable do not give the same likely inrush."""
    site = site_of(read_setting(dataset, None, None))
    row = ScheduleRow(1, "C1", 10, driver_id="D0035")
    peaks = [
        gather_rows("C1", [row], dataset, site, {"cable_length_m": Trait(Interval(metres, metres))}).values[
            "circuit.likely_inrush_peak_a"
        ]
        for metres in (5.0, 100.0)
    ]
    near, far = peaks
    assert isinstance(near, Interval)
    assert isinstance(far, Interval)
    assert far.high < 0.6 * near.low


def test_b28_two_small_lamps_without_an_inrush_are_bounded_by_their_watts(dataset: Dataset) -> None:
    """Two lamps of 9 W hold on a C16; five hundred are not shown to."""
    site = replace(site_of(read_setting(dataset, None, None)), breaker=dataset.tables["breakers"]["B0011"])
    found = {}
    for count in (2, 500):
        row = ScheduleRow(1, "C1", count, driver_id="D0004")
        values = gather_rows("C1", [row], dataset, site, {}).values
        assert values["circuit.group_inrush_peak_a"] is None
        found[count] = values["circuit.likely_inrush_peak_a"], values["circuit.likely_release_peak_a"]
    told = {}
    for count, (peak, release) in found.items():
        assert isinstance(peak, Interval)
        assert isinstance(release, Interval)
        told[count] = peak.high <= 0.9 * release.low * (1 + 1e-9)
    assert told == {2: True, 500: False}


def test_17a_the_spike_of_a_filter_is_not_taken_for_the_inrush(dataset: Dataset) -> None:
    """40 W with 33 ohm, 33 uF and a filter of 470 nF, stated as 27.7 A and 15 us: 1.8 uF at most."""
    site = site_of(read_setting(dataset, None, None))
    traits = {
        "input_character": Trait("capacitive"),
        "input_type": Trait("bulk_capacitor"),
        "input_power_w": Trait(Interval(40.0, 40.0)),
        "inrush_peak_a": Trait(Interval(27.7, 27.7)),
        "inrush_width_us": Trait(Interval(15.0, 15.0)),
    }
    values = gather_rows("C1", [ScheduleRow(1, "C1", 40, driver_traits=traits)], dataset, site, {}).values
    assert values["circuit.inrush_pulse_short"] is True
    assert values["circuit.group_inrush_peak_a"] is None
    assert values["circuit.likely_inrush_peak_a"] is None
