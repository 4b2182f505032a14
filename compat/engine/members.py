"""The rows behind a circuit or a line, each with every driver trait that is known of it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from compat.dataset.read import Dataset, Equipment
from compat.model.schedule import ScheduleRow
from compat.model.values import UNKNOWN, Content, Interval, TokenSet, Trait

SIZES = ("input_power_w", "input_current_a", "apparent_power_va")
PULSE = ("inrush_peak_a", "inrush_width_us")
PULSE_AND_TEST = (
    *PULSE,
    "inrush_test_resistance_ohm",
    "inrush_test_inductance_uh",
    "inrush_test_voltage_v",
    "inrush_pulse",
)


@dataclass(frozen=True, slots=True)
class Member:
    """One row of a schedule with every driver trait that is known of it."""

    row: ScheduleRow
    driver: Equipment | None
    traits: Mapping[str, Trait]

    @property
    def name(self) -> str:
        """What people call it: the luminaire type, else the driver."""
        return self.row.luminaire_type or (self.driver.name if self.driver else f"row {self.row.number}")


def member_of(
    row: ScheduleRow, dataset: Dataset, voltage: Content, defaults: Mapping[str, Trait] | None = None
) -> Member:
    """A row with the traits of its driver, those that it states itself, and what follows from them."""
    driver = dataset.tables["drivers"].get(row.driver_id) if row.driver_id else None
    traits = {**(defaults or {}), **_of_driver(driver, row.driver_traits), **row.driver_traits}
    if traits.get("input_current_a", UNKNOWN).content is None:
        current = current_from_power(
            traits.get("input_power_w", UNKNOWN).content, traits.get("power_factor", UNKNOWN).content, voltage
        )
        if current is not None:
            # I = P / (U * power factor): the definition of the power factor.
            traits["input_current_a"] = Trait(current, "derived", "S0003", traits["input_power_w"].origin)
    if traits.get("input_power_w", UNKNOWN).content is None:
        apparent = product_of(traits.get("input_current_a", UNKNOWN).content, voltage)
        power = product_of(apparent, traits.get("power_factor", UNKNOWN).content)
        if power is not None:
            traits["input_power_w"] = Trait(power, "derived", "S0003", traits["input_current_a"].origin)
    if traits.get("apparent_power_va", UNKNOWN).content is None:
        apparent = product_of(traits.get("input_current_a", UNKNOWN).content, voltage)
        if apparent is not None:
            traits["apparent_power_va"] = Trait(
                apparent, "derived", "S0003", traits["input_current_a"].origin
            )
    if traits.get("insulation_class", UNKNOWN).content in ("class_2", "class_3"):
        # Without a protective conductor there is no current in it.
        traits.setdefault("protective_conductor_current_ma", Trait(Interval(0.0, 0.0), "derived", "S0003"))
    methods = traits.get("methods", UNKNOWN)
    if traits.get("dimming_forbidden", UNKNOWN).content is None and isinstance(methods.content, TokenSet):
        dimming = frozenset(dataset.vocabulary.choices["method"]) - {"switched"}
        if methods.content.sure & dimming or not methods.content.possible & dimming:
            # A load that takes a dimming method may be dimmed; one that takes none may not.
            forbidden = not methods.content.sure & dimming
            traits["dimming_forbidden"] = Trait(forbidden, "derived", "S0003", methods.origin)
    return Member(row, driver, traits)


def _of_driver(driver: Equipment | None, stated: Mapping[str, Trait]) -> Mapping[str, Trait]:
    """The traits of a driver, without the sizes that no longer hold beside those that a row states.

    Power, current and apparent power hang together: 60 W stated over a lamp of 6 W and 0.03 A must
    not leave the 0.03 A standing.
    """
    if driver is None:
        return {}
    dropped: set[str] = set()
    if "power_factor" in stated:
        dropped |= {"input_current_a", "apparent_power_va"}
    if any(name in stated for name in SIZES):
        dropped |= set(SIZES)
    if any(name in stated for name in PULSE):
        # A peak on the datasheet says nothing of a generic width, nor of the source it stands for.
        dropped |= set(PULSE_AND_TEST)
    return {name: trait for name, trait in driver.traits.items() if name not in dropped}


def current_from_power(power: Content, power_factor: Content, voltage: Content) -> Interval | None:
    """Current in A of a load in W at a voltage in V; None when a value is unknown or zero."""
    if not (
        isinstance(power, Interval) and isinstance(power_factor, Interval) and isinstance(voltage, Interval)
    ):
        return None
    if power_factor.low <= 0 or voltage.low <= 0:
        return None
    low = power.low / (voltage.high * power_factor.high)
    high = power.high / (voltage.low * power_factor.low)
    return finite(low, high)


def product_of(left: Content, right: Content) -> Interval | None:
    """The product of two known quantities that are not negative."""
    if not (isinstance(left, Interval) and isinstance(right, Interval)):
        return None
    return finite(left.low * right.low, left.high * right.high)


def finite(low: float, high: float) -> Interval | None:
    """An interval of finite ends, else None."""
    return Interval(low, high) if math.isfinite(low) and math.isfinite(high) else None
