"""The source impedance of a project from what people have: a fault current, or transformer and cable."""

from __future__ import annotations

from collections.abc import Mapping

from compat.model.faults import BadInput, Fault
from compat.model.project import FromFaultCurrent, FromTransformer
from compat.model.values import UNKNOWN, Interval, Origin, Trait
from compat.physics.cable import resistance_at
from compat.physics.inrush_circuit import SourceRange
from compat.physics.source_impedance import (
    source_of_cable,
    source_of_fault_current,
    source_of_transformer,
    sources_in_series,
)

# Inductance of an installation cable, out and back, in µH/m: 0.08 mΩ/m a conductor at 50 Hz,
# IEC 60364-5-52 Annex G, from memory; it only widens the interval.
CABLE_INDUCTANCE_UH_PER_M = Interval(0.5, 0.7)
COLD_AND_WARM_CELSIUS = (5.0, 70.0)


def impedance_traits(
    source: FromFaultCurrent | FromTransformer,
    supply: Mapping[str, Trait],
    cable: Mapping[str, Trait],
    origin: Origin,
) -> dict[str, Trait]:
    """The traits of the source impedance; raises BadInput where the figures do not fit together."""
    try:
        found = _impedance(source, supply, cable)
    except ValueError as error:
        raise BadInput([Fault(f"the source cannot be computed: {error}", origin)]) from None
    inductance = Interval(found.inductance_h.low * 1e6, found.inductance_h.high * 1e6)
    return {
        "resistance_ohm": Trait(found.resistance_ohm, "derived", "S0003", origin),
        "inductance_uh": Trait(inductance, "derived", "S0003", origin),
    }


def _impedance(
    source: FromFaultCurrent | FromTransformer, supply: Mapping[str, Trait], cable: Mapping[str, Trait]
) -> SourceRange:
    voltage = supply.get("voltage_v", UNKNOWN).content
    frequency = supply.get("frequency_hz", UNKNOWN).content
    if not isinstance(voltage, Interval) or not isinstance(frequency, Interval):
        raise ValueError("voltage and frequency of the supply must be known")
    if isinstance(source, FromFaultCurrent):
        return source_of_fault_current(
            voltage.high,
            _interval(source.prospective_fault_current_a),
            _interval(source.reactance_ratio),
            frequency.low,
        )
    parts = [
        source_of_transformer(
            source.transformer_rated_power_va,
            source.transformer_voltage_v,
            _interval(source.transformer_short_circuit_percent),
            _interval(source.transformer_load_loss_w),
            frequency.low,
        )
    ]
    if source.cable_length_m is not None:
        resistance = cable.get("resistance_ohm_per_km", UNKNOWN).content
        if not isinstance(resistance, Interval):
            raise ValueError("the resistance of the cable must be known")
        cold, warm = COLD_AND_WARM_CELSIUS
        loop = Interval(2 * resistance_at(resistance.low, cold), 2 * resistance_at(resistance.high, warm))
        parts.append(source_of_cable(_interval(source.cable_length_m), loop, CABLE_INDUCTANCE_UH_PER_M))
    return sources_in_series(parts)


def _interval(value: float | tuple[float, float]) -> Interval:
    low, high = value if isinstance(value, tuple) else (value, value)
    if low > high:
        raise ValueError(f"the low end {low:g} is above the high end {high:g}")
    return Interval(float(low), float(high))
