"""Other words of the trade for the columns of a schedule. Common practice, no source.

The unit in brackets, as in ``Inrush (mA)``, is not part of these; it is read apart. A word that
could mean two columns is left out: ``No.`` may be an item number, ``Zone`` a room or a circuit,
``Current`` the current of the LEDs, ``Voltage`` the one of a strip.
"""

from __future__ import annotations

_SPELLINGS: dict[str, str] = {
    "circuit": (
        "circuit ref; circuit reference; circuit no; circuit number; circuit id; circuit "
        "name; cct; cct ref; cct no"
    ),
    "room": "room name; location; area",
    "rcd": "rcd ref; residual current device; residual-current device; rccb; rcbo; gfci",
    "breaker": "breaker ref; circuit breaker; circuit-breaker; protective device; mcb; way",
    "line": "control line; DALI line; DALI bus; DMX line; bus; control pair; line ref",
    "luminaire_type": (
        "luminaire; luminaire ref; luminaire reference; luminaire code; fitting; fitting "
        "type; light fitting; fixture; fixture type; type; type of luminaire"
    ),
    "quantity": (
        "qty; count; pcs; no off; quantity of luminaires; number of luminaires; no of "
        "luminaires; number of fittings; no of fittings"
    ),
    "driver": "driver id; driver ref; control gear; control gear id",
    "output": "output id; output ref; control output",
    "load_type": "type of load; lamp type; gear type; driver type",
    "methods": (
        "methods; method; control; control method; control type; dim method; dimming; dimming "
        "method; dimming type; dim type"
    ),
    "input_power_w": (
        "watts; w; w each; watts each; wattage; power; power each; load; load each; w per "
        "fitting; watts per fitting"
    ),
    "standby_power_w": "standby; standby watts",
    "input_current_a": "mains current",
    "power_factor": "pf",
    "inrush_peak_a": "inrush; inrush current; peak inrush; peak inrush current",
    "inrush_width_us": "inrush time; inrush duration; inrush pulse width; pulse width",
    "dim_floor_percent": (
        "min dim level; minimum dim level; lowest dim level; min level; minimum level; lowest level"
    ),
    "control_current_ma": "0-10 V current; 1-10 V current",
    "control_current_direction": "control current direction",
    "control_insulation": "control terminal insulation",
    "dali_device_type": "DALI type; device type",
    "dali_current_ma": "DALI current",
    "colour": "color",
    "dmx_slots": "DMX channels; DMX footprint",
    "dimming_forbidden": "not dimmable; non-dimmable",
    "wanted_control": "wanted control; dimmed or switched; dim or switch",
    "wanted_dim_floor_percent": "wanted dim floor; dim to; dim down to",
    "wanted_individual_control": "individual control",
    "neutral_at_control": "neutral; neutral at switch; neutral present",
    "control_pair_selv": "control pair SELV; SELV control pair",
    "input_voltage": "mains voltage; supply voltage",
    "input_frequency": "mains frequency; supply frequency; frequency",
}

ALIASES: dict[str, tuple[str, ...]] = {
    name: tuple(spellings.split("; ")) for name, spellings in _SPELLINGS.items()
}

# Columns that people keep for themselves.
IGNORED: tuple[str, ...] = ("note", "notes", "remark", "remarks", "comment", "comments")

# Sums over a row or a circuit: the check makes its own. Left out with a note.
_TOTALS = (
    "total; total w; total watts; total load; total power; total wattage; load total; "
    "circuit load; sum; sum w"
)
TOTALS: tuple[str, ...] = tuple(_TOTALS.split("; "))

# A row that starts with one of these adds up the rows above it.
TOTAL_ROWS: tuple[str, ...] = ("total", "totals", "sub-total", "subtotal", "grand total", "sum")
