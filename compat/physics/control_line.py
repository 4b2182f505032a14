"""Voltage and time on a shared control line: analogue pair, DALI line, DMX segment.

Plain numbers in the units of their names; lengths run one way, the current goes out and comes back.
Which end of an interval to put in is the caller's affair: every function here moves one way only in
each of its inputs. Timing is that of IEC 62386-101 and ANSI E1.11, both read second hand.
"""

from __future__ import annotations

from compat.physics.cable import Rule, control_line_rise_v, drop_at_end_v, resistance_at
from compat.physics.ranges import Range, check_all

RANGES = {
    "control_voltage_v": Range(0.0, 20.0),
    "lowest_level_percent": Range(0.0, 100.0),
    "full_output_v": Range(1.0, 20.0, low_allowed=False),
    "rise_v": Range(0.0, 1000.0),
    "driver_count": Range(1.0, 10_000.0),
    "current_a": Range(0.0, 10.0),
    "bit_count": Range(1.0, 64.0),
    "address_count": Range(0.0, 1_000_000.0),
    "settling_ms": Range(0.0, 100.0),
    "slot_count": Range(0.0, 512.0),
    "break_us": Range(88.0, 1e6),
    "mark_after_break_us": Range(4.0, 1e6),
}
LOWEST_LEVEL_V = 1.0
DALI_BIT_RATE_HZ = 1200.0
# Settling time before a forward frame of priority 1, ms: IEC 62386-101:2022 8.3.2, second hand.
SETTLING_MS = (13.5, 14.7)
SETTLING_MIDDLE_MS = 14.1
DMX_SLOT_US = 44.0
SHORTEST_BREAK_US = 92.0
SHORTEST_MARK_US = 12.0
SHORTEST_BREAK_TO_BREAK_US = 1204.0


def rise_lumped_v(
    resistance_20_ohm_per_km: float,
    temperature_celsius: float,
    length_m: float,
    current_a: float,
    rule: Rule = "iec_60228",
) -> float:
    """Rise in volts at the far end with all drivers there: 2 R l I, the worst place.

    Ohm/km of one wire at 20 degC, wire at -40 to 150 degC, metres up to 10,000, amperes of all
    drivers up to 10. 25 drivers of 2 mA at 100 m of 1.5 mm2, 20 degC: 0.121 V. Raises ValueError.
    Source: derived (Ohm's law); confidence as the resistance.
    """
    return control_line_rise_v(
        resistance_at(resistance_20_ohm_per_km, temperature_celsius, rule), length_m, current_a
    )


def rise_spread_v(
    resistance_20_ohm_per_km: float,
    temperature_celsius: float,
    length_m: float,
    current_a: float,
    driver_count: float,
    rule: Rule = "iec_60228",
) -> float:
    """Rise in volts at the last of N equal drivers at equal pitch: 2 R l I (N + 1)/(2 N).

    As ``rise_lumped_v`` with 1 to 10,000 drivers; one driver alone is at the end. 25 drivers of
    2 mA at 100 m of 0.5 mm2: 0.1872 V. Raises ValueError. Source: derived.
    """
    check_all(RANGES, driver_count=driver_count)
    share = (driver_count + 1.0) / (2.0 * driver_count)
    return rise_lumped_v(resistance_20_ohm_per_km, temperature_celsius, length_m, current_a, rule) * share


def linear_level_percent(
    control_voltage_v: float, lowest_level_percent: float, full_output_v: float = 10.0
) -> float:
    """Light in % of a driver whose level is a straight line from 1 V to its full-output voltage.

    Volts 0 to 20, lowest level 0 to 100 %, full output above 1 V up to 20 V (8, 9 or 10 V in use);
    outside the line the level is held. An assumption: IEC 60929 Annex E does not fix the curve
    (second hand). 5 V, 1 %, full at 8 V: 57.57 %. Raises ValueError. Source: derived.
    """
    check_all(
        RANGES,
        control_voltage_v=control_voltage_v,
        lowest_level_percent=lowest_level_percent,
        full_output_v=full_output_v,
    )
    share = (control_voltage_v - LOWEST_LEVEL_V) / (full_output_v - LOWEST_LEVEL_V)
    return lowest_level_percent + (100.0 - lowest_level_percent) * min(1.0, max(0.0, share))


def level_error_percent(rise_v: float, lowest_level_percent: float, full_output_v: float = 10.0) -> float:
    """Light in % that a rise adds at the bottom, when the control sets 1 V; linear law assumed.

    Volts from 0; otherwise as ``linear_level_percent``. 0.36 V on a driver with 10 % lowest level:
    3.6, so it stays at 13.6 %. Raises ValueError. Source: derived.
    """
    check_all(RANGES, rise_v=rise_v)
    seen_v = min(LOWEST_LEVEL_V + rise_v, RANGES["control_voltage_v"].high)
    return linear_level_percent(seen_v, lowest_level_percent, full_output_v) - lowest_level_percent


def dali_drop_v(
    resistance_20_ohm_per_km: float,
    temperature_celsius: float,
    length_m: float,
    current_a: float,
    rule: Rule = "iec_60228",
) -> float:
    """Drop in volts on a DALI line to a device that takes ``current_a``: 2 R l I.

    The worst case is the farthest device that answers: it pulls the line low and takes all that the
    bus supplies give, at most 0.25 A. 300 m of 0.5 mm2 at 0.25 A: 5.4 V, of which 2 V are allowed.
    Units and errors as ``rise_lumped_v``. Source: derived; the 2 V are of the association's system
    guidelines (read).
    """
    check_all(RANGES, current_a=current_a)
    return drop_at_end_v(
        resistance_at(resistance_20_ohm_per_km, temperature_celsius, rule), length_m, current_a
    )


def dali_frame_ms(bit_count: float) -> float:
    """Length in ms of a frame of 8, 16 or 24 bits and its start bit at 1200 bit/s, without stop.

    16 bits: 14.17 ms. 1 to 64 bits; raises ValueError. Source: derived from the bit rate (definition).
    """
    check_all(RANGES, bit_count=bit_count)
    return (bit_count + 1.0) * 1000.0 / DALI_BIT_RATE_HZ


def dali_one_by_one_s(address_count: float, settling_ms: float = SETTLING_MIDDLE_MS) -> float:
    """Seconds to send each of some addresses one level command, one after another.

    A 16-bit frame and the settling time for each; priority 1 settles in 13.5 to 14.7 ms. 64
    addresses: 1.81 s at the middle. A colour takes several commands, so this is the least. Addresses
    from 0, settling up to 100 ms; raises ValueError. Source: derived from IEC 62386-101:2022 8.3.2
    (second hand).
    """
    check_all(RANGES, address_count=address_count, settling_ms=settling_ms)
    return address_count * (dali_frame_ms(16.0) + settling_ms) / 1000.0


def dmx_packet_us(
    slot_count: float, break_us: float = SHORTEST_BREAK_US, mark_after_break_us: float = SHORTEST_MARK_US
) -> float:
    """Length in us of a packet: break, mark after break, and 44 us for start code and each slot.

    0 to 512 slots, break from 88 us, mark from 4 us (editions differ: 92 and 12 since 2004). 512
    slots: 22,676 us. Raises ValueError. Source: ANSI E1.11, second hand.
    """
    check_all(RANGES, slot_count=slot_count, break_us=break_us, mark_after_break_us=mark_after_break_us)
    return break_us + mark_after_break_us + DMX_SLOT_US * (slot_count + 1.0)


def dmx_refresh_hz(
    slot_count: float, break_us: float = SHORTEST_BREAK_US, mark_after_break_us: float = SHORTEST_MARK_US
) -> float:
    """Most packets a second with so many slots: 512 give 44.1, 100 give 219.9, 24 and fewer 830.6.

    A break may not follow the one before within 1204 us. A controller that sends more slots than are
    used is slower. As ``dmx_packet_us``; raises ValueError.
    """
    packet = dmx_packet_us(slot_count, break_us, mark_after_break_us)
    return 1e6 / max(packet, SHORTEST_BREAK_TO_BREAK_US)
