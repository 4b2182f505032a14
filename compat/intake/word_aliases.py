"""Other words of the trade for the values of choice lists. Common practice, no source.

Only words with one meaning are here. A word that leaves the meaning open is refused, with the list
of what is allowed; ``mains dimmable`` alone is kept, as a method of which the edge is not known.
"""

from __future__ import annotations

# Dimmed by its mains supply, but which edge the text does not say.
EDGE_NOT_NAMED: tuple[str, ...] = (
    "mains dimmable",
    "mains dimming",
    "phase",
    "phase cut",
    "phase control",
    "triac",
)

ALIASES: dict[str, dict[str, str]] = {
    "method": {
        "leading edge": "forward_phase",
        "leading": "forward_phase",
        "trailing edge": "reverse_phase",
        "trailing": "reverse_phase",
        "1-10 V": "analog_0_10v",
        "0-10 V": "analog_0_10v",
        "analogue": "analog_0_10v",
        "analog": "analog_0_10v",
        "analogue 0-10 V": "analog_0_10v",
        "analogue 1-10 V": "analog_0_10v",
        "DALI": "dali",
        "DALI-2": "dali",
        "DMX512": "dmx",
        "DMX512-A": "dmx",
        "on-off": "switched",
        "relay": "switched",
        "switch": "switched",
        "switching": "switched",
        "switched only": "switched",
        "non-dim": "switched",
        "non-dimmable": "switched",
        "non-dimming": "switched",
        "not dimmable": "switched",
        "not dimmed": "switched",
        "undimmed": "switched",
        "no dimming": "switched",
    },
    "load_type": {
        "LED lamp": "integral_lamp",
        "LED bulb": "integral_lamp",
        "retrofit LED lamp": "integral_lamp",
        "retrofit LED": "integral_lamp",
        "integral LED": "integral_lamp",
        "constant current": "constant_current_driver",
        "constant current driver": "constant_current_driver",
        "CC driver": "constant_current_driver",
        "CC": "constant_current_driver",
        "constant voltage": "constant_voltage_driver",
        "constant voltage driver": "constant_voltage_driver",
        "CV driver": "constant_voltage_driver",
        "CV": "constant_voltage_driver",
        "electronic low-voltage transformer": "electronic_transformer",
        "iron-core transformer": "magnetic_transformer",
        "wire-wound transformer": "magnetic_transformer",
        "toroidal transformer": "magnetic_transformer",
        "filament lamp": "incandescent",
        "tungsten": "incandescent",
        "GLS": "incandescent",
        "mains halogen": "incandescent",
        "compact fluorescent": "fluorescent",
        "CFL": "fluorescent",
        "fluorescent tube": "fluorescent",
        "fan": "motor",
    },
    "current_direction": {
        "source": "sources",
        "sourcing": "sources",
        "current-sourcing": "sources",
        "sink": "sinks",
        "sinking": "sinks",
        "current-sinking": "sinks",
    },
    "insulation": {"basic": "basic"},
    "device_type": {
        f"{word}{digit}": f"type_{digit}"
        for digit in ("0", "1", "4", "5", "6", "7", "8")
        for word in ("DT", "device type ", "type ", "")
    },
    "colour": {
        "fixed white": "none",
        "static white": "none",
        "single colour": "none",
        "TW": "tunable_white",
        "tuneable white": "tunable_white",
        "RGB+W": "rgbw",
    },
    "wanted_control": {
        "dim": "dimmed",
        "dimming": "dimmed",
        "dimmable": "dimmed",
        "switch": "switched",
        "on/off": "switched",
        "on/off only": "switched",
        "not dimmed": "switched",
        "non-dim": "switched",
        "undimmed": "switched",
    },
}
