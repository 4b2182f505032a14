"""Pieces that the tests of the mains side share: supplies, sources, breakers and made drivers."""

from __future__ import annotations

from typing import Any

import pytest

from tests.published.published import Drivers, Figure, Surroundings, drivers, exactly

# Circuit-breakers of the dataset by curve and rated current in A.
BREAKERS = {
    "B10": "B0002",
    "B16": "B0004",
    "B20": "B0005",
    "C16": "B0011",
    "C20": "B0012",
    "D16": "B0018",
}
CABLES = {
    0.5: "C0001",
    0.75: "C0002",
    1.0: "C0003",
    1.5: "C0004",
    2.5: "C0005",
    4.0: "C0006",
    6.0: "C0007",
    10.0: "C0008",
}
SUPPLY_120_V, SUPPLY_277_V, SUPPLY_UK = "U0002", "U0004", "U0006"
REFERENCE_SOURCE = "Z0001"
RELAY = {"method": "switched", "switches_mains": True, "switching_element": "relay"}


def inrush(count: int, peak_a: float, width_us: float, ohm: float, uh: float, **traits: Any) -> Drivers:
    """Capacitive drivers with the peak and the width that were taken behind a source of R and L."""
    return drivers(
        count,
        input_character="capacitive",
        input_type="corrected",
        inrush_peak_a=peak_a,
        inrush_width_us=width_us,
        inrush_test_resistance_ohm=ohm,
        inrush_test_inductance_uh=uh,
        **traits,
    )


def behind(ohm: float, uh: float, breaker: str = "", *, strict: bool = False) -> Surroundings:
    """230 V, 50 Hz behind a source of R and L."""
    return Surroundings(
        breaker=BREAKERS.get(breaker, ""),
        traits={"source_impedance": {"resistance_ohm": ohm, "inductance_uh": uh}},
        only_standard_figures=strict,
    )


def on_cable(cable: str = "", supply: str = "", **limit: Any) -> Surroundings:
    """A cable by its id; ``limit`` holds traits of the supply."""
    return Surroundings(supply=supply, cable=cable, traits={"supply": limit} if limit else {})


def on_made_cable(ohm_per_km: float, **limit: Any) -> Surroundings:
    """A cable with so many ohms a kilometre of one conductor at 20 degrees Celsius."""
    return Surroundings(traits={"cable": {"resistance_ohm_per_km": ohm_per_km}, "supply": limit})


def drop(spread_cold_v: float, at_end_warm_v: float, nominal_v: float = 230.0, rel: float = 5e-4) -> Figure:
    """The voltage drop in %: spread along a conductor at 20 degrees up to all at its end at 70."""
    low, high = (100.0 * volts / nominal_v for volts in (spread_cold_v, at_end_warm_v))
    return Figure(pytest.approx(low, rel=rel), pytest.approx(high, rel=rel), "percent")


def amperes(figure: Any) -> Figure:
    """An exact current in A."""
    return exactly(figure, "a")


def percent(figure: Any) -> Figure:
    """An exact share in %."""
    return exactly(figure, "percent")
