"""What the figures of one driver come to: levels and fades, how bright a level looks, energy, heat, laws."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from compat.engine.gather import Circuit
from compat.engine.site import quantity
from compat.model.figures import amount_text, number_text
from compat.model.values import UNKNOWN, Interval, TokenSet, Trait
from compat.physics.control_levels import (
    EXTENDED_MULTIPLIERS_S,
    Curve,
    cie_lightness,
    dali_level,
    dali_light_percent,
    extended_fade_s,
    fade_rate_per_s,
    fade_time_s,
    measured_percent,
    nearest_fade_s,
    perceived_percent,
)
from compat.physics.light_source_law import greatest_on_mode_power_w
from compat.physics.light_waveform import LightFlicker, svm

HOURS_A_YEAR = 8760.0
# Voltage across a triac or transistor that conducts: common practice, no source.
ON_STATE_V = Interval(1.0, 1.5)
SVM_LIMIT = 0.4  # Regulation (EU) 2019/2020, Annex II, Table 4
CODES = range(1, 16)
CURVES: tuple[Curve, ...] = ("logarithmic", "linear")


@dataclass(frozen=True, slots=True)
class Asked:
    """What a reader wants told: light in %, a fade in s, a measured waveform of the light."""

    light_percent: float | None = None
    fade_s: float | None = None
    waveform: LightFlicker | None = None


NOTHING_ASKED = Asked()


def arithmetic(circuit: Circuit, asked: Asked = NOTHING_ASKED, *, counted: bool = False) -> list[str]:
    """The sentences on the drivers of a circuit of one row; ``counted`` when so many were asked about."""
    (member,) = circuit.members
    traits, count = member.traits, member.row.quantity
    current_a = circuit.values["circuit.input_current_a"]
    methods = traits.get("methods", UNKNOWN).content
    sure = methods.sure if isinstance(methods, TokenSet) else frozenset[str]()
    found: list[str] = []
    if asked.light_percent is not None:
        found += _light(asked.light_percent, "dali" in sure)
    if asked.fade_s is not None:
        found += _fade(asked.fade_s, quantity(traits, "dali_lowest_level"))
    if counted:
        found += _standby(quantity(traits, "standby_power_w"), count)
    if counted and isinstance(current_a, Interval) and sure & {"forward_phase", "reverse_phase"}:
        heat = amount_text(ON_STATE_V.low * current_a.low, ON_STATE_V.high * current_a.high, "W", 2)
        found.append(
            f"Heat in a dimmer panel: {heat} from the phase cut of {_of(count)}, at 1 to 1.5 V across what "
            "conducts (common practice, no source)."
        )
    if counted:
        found += _passive(quantity(traits, "control_current_ma"), count, traits)
    found += _mirek(traits)
    found += _law(traits)
    found += _flicker(traits, asked.waveform)
    return found


def _short(number: float) -> str:
    return number_text(number, 3)


def _of(count: int) -> str:
    return "one driver" if count == 1 else f"{count} drivers"


def _light(percent: float, by_dali: bool) -> Iterator[str]:
    light = number_text(percent)
    if by_dali:
        yield f"{light} % of the light is DALI level {' and '.join(_level(percent, one) for one in CURVES)}."
    looks, lightness = _short(perceived_percent(percent)), _short(cie_lightness(percent))
    yield f"{light} % of the light looks like {looks} % by the square law; its CIE lightness is {lightness}."
    measured = _short(measured_percent(percent))
    yield f"To look like {light} % it has to be {measured} % of the light, by the square law."


def _level(percent: float, curve: Curve) -> str:
    level = dali_level(percent, curve)
    exact = _short(dali_light_percent(level, curve)) if level else "0"
    return f"{level} ({exact} %) on the {curve} curve"


def _fade(seconds: float, lowest: Interval | None) -> Iterator[str]:
    by_code = nearest_fade_s(seconds, extended=False)
    code = next((code for code in CODES if fade_time_s(code) == by_code), 0)
    told = f"A fade of {number_text(seconds)} s is fade time code {code} ({_short(by_code)} s)"
    exact = nearest_fade_s(seconds, extended=True)
    pairs = (
        (base, unit)
        for unit in EXTENDED_MULTIPLIERS_S
        for base in range(1, 17)
        if extended_fade_s(base, unit) == exact
    )
    pair = next(pairs, None)
    if pair is not None:
        told += f"; version 2 gear also takes an extended fade of {pair[0]} times {number_text(pair[1])} s"
    yield f"{told}."
    if seconds > 0:
        levels = 254.0 - (lowest.low if lowest else 1.0)
        rate = min(CODES, key=lambda code: abs(levels / fade_rate_per_s(code) - seconds))
        taken, each = (_short(one) for one in (levels / fade_rate_per_s(rate), fade_rate_per_s(rate)))
        yield (
            f"Held up or down, fade rate code {rate} takes {taken} s from the lowest level to full "
            f"({each} levels a second)."
        )


def _standby(power: Interval | None, count: int) -> Iterator[str]:
    if power is None or power.high <= 0:
        return
    energy = [HOURS_A_YEAR / 1000.0 * count * end for end in (power.low, power.high)]
    yield f"Standby of {_of(count)}, all year: {amount_text(energy[0], energy[1], 'kWh', 2)}."


def _passive(each: Interval | None, count: int, traits: Mapping[str, Trait]) -> Iterator[str]:
    """The resistance of a passive control at two voltages: Ohm's law with the current of all drivers."""
    sources = traits.get("control_current_direction", UNKNOWN).content == "sources"
    if each is None or each.low <= 0 or not sources:
        return
    at = [
        f"{amount_text(1000.0 * volts / (count * each.high), 1000.0 * volts / (count * each.low), 'Ω', 3)} "
        f"at {number_text(volts)} V"
        for volts in (1.0, 5.0)
    ]
    yield f"A passive control of {_of(count)} is {' and '.join(at)}."


def _mirek(traits: Mapping[str, Trait]) -> Iterator[str]:
    """Colour temperatures as DALI type 8 has them: a million divided by kelvins."""
    ends = [quantity(traits, f"colour_{end}_k") for end in ("warmest", "coolest")]
    kelvin = [end.low for end in ends if end is not None and end.is_exact() and end.low > 0]
    if len(kelvin) == len(ends):
        warm, cool = (number_text(float(round(1e6 / end))) for end in kelvin)
        yield f"From {number_text(kelvin[0])} K to {number_text(kelvin[1])} K is {warm} to {cool} mirek."


def _law(traits: Mapping[str, Trait]) -> Iterator[str]:
    flux = quantity(traits, "luminous_flux_lumen")
    if flux is None or traits.get("load_type", UNKNOWN).content != "integral_lamp":
        return
    limit = greatest_on_mode_power_w(flux, quantity(traits, "colour_rendering_index"))
    lamp, least, most = amount_text(flux.low, flux.high, "lm"), *map(_short, (limit.low, limit.high))
    yield (
        f"European law allows a lamp of {lamp} to take {least} W; up to {most} W "
        "where it is directional, connected or renders colours better."
    )


def _flicker(traits: Mapping[str, Trait], waveform: LightFlicker | None) -> Iterator[str]:
    if waveform is not None:
        yield (
            f"Waveform: modulation {_short(waveform.modulation_percent)} %, SVM "
            f"{_short(waveform.svm)}; European law allows SVM {SVM_LIMIT} at full output."
        )
    stated = {name: trait for name, trait in traits.items() if trait.basis == "declared"}
    depth, hertz = (quantity(stated, f"light_modulation_{name}") for name in ("percent", "frequency_hz"))
    if depth is not None and hertz is not None and hertz.low > 0:
        ends = [svm([(f, d / 100.0)]) for d in (depth.low, depth.high) for f in (hertz.low, hertz.high)]
        yield (
            f"Were the modulation a sine, SVM would be {amount_text(min(ends), max(ends), '', 2)}; "
            f"European law allows {SVM_LIMIT} at full output."
        )
