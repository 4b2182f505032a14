"""What follows for a line from what is stated of it, in place of a default that would contradict it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from compat.dataset.consequences import with_plain_types
from compat.model.values import UNKNOWN, Content, Interval, TokenSet, Trait

DERIVED = "S0003"
# An open pair of gear that gives the current itself rises to this; a course that measured it.
PULLED_UP_V = Interval(10.0, 11.0)
COURSE_0_10_V = "S0014"
Traits = Mapping[str, Trait]


def derive(said: Traits, defaults: Traits, drivers: int) -> dict[str, Trait]:
    """The traits of a line that follow from ``said``, what is stated of it, by name.

    ``defaults`` hold where nothing follows; ``drivers`` is the number of drivers on the line.
    """
    found: dict[str, Trait] = {}
    rules: tuple[Callable[[Traits, Traits, int], dict[str, Trait]], ...] = (
        _lengths, _control_devices, _segments, _pulled_up, _plain_white, _plain_types,
        _colour_types, _class_2, _wired_like_the_mains,
    )  # fmt: skip
    for rule in rules:
        found.update(rule(said, defaults, drivers))
    return found


def _content(traits: Traits, name: str) -> Content:
    return traits.get(name, UNKNOWN).content


def _interval(traits: Traits, name: str) -> Interval | None:
    content = _content(traits, name)
    return content if isinstance(content, Interval) else None


def _derived(low: float, high: float) -> Trait:
    return Trait(Interval(min(low, high), high), "derived", DERIVED)


def _lengths(said: Traits, defaults: Traits, _: int) -> dict[str, Trait]:
    """Two devices are no farther apart than all cable, nor than twice the way to the farther one.

    The farthest device is at least half the farthest pair away from wherever the control stands.
    """
    total = _interval(said, "total_cable_m")
    pair, reach = _interval(said, "farthest_pair_m"), _interval(said, "length_to_farthest_m")
    found: dict[str, Trait] = {}
    if "farthest_pair_m" not in said and (reach or total):
        ends = [2.0 * reach.high] if reach else []
        most = min([*ends, total.high] if total else ends)
        found["farthest_pair_m"] = _derived(reach.low if reach else _least(defaults, "farthest_pair_m"), most)
    farther = pair or total
    if "length_to_farthest_m" not in said and farther:
        least = pair.low / 2.0 if pair else _least(defaults, "length_to_farthest_m")
        found["length_to_farthest_m"] = _derived(least, farther.high)
    return found


def _least(defaults: Traits, name: str) -> float:
    usual = _interval(defaults, name)
    return usual.low if usual else 0.0


def _control_devices(said: Traits, defaults: Traits, _: int) -> dict[str, Trait]:
    """Where there are control devices, neither their number nor their current is taken to be none."""
    names = ("dali_control_device_addresses", "dali_control_device_current_ma")
    found: dict[str, Trait] = {}
    for stated, other in (names, names[::-1]):
        known = _interval(said, stated)
        if stated in said and other not in said and (known is None or known.high > 0):
            found[other] = UNKNOWN
    return found


def _segments(said: Traits, defaults: Traits, drivers: int) -> dict[str, Trait]:
    """Every universe is a segment of its own, and each splitter in a row adds at least one."""
    if "segments" in said:
        return {}
    universes = _interval(said, "dmx_universes") or _interval(defaults, "dmx_universes")
    splitters = _interval(said, "splitters_in_row") or _interval(defaults, "splitters_in_row")
    if universes is None or splitters is None or (universes.high <= 1 and splitters.high == 0):
        return {}
    least = universes.low + splitters.low
    # Of a splitter nobody has counted the outputs of, each may feed a driver.
    most = universes.high if splitters.high == 0 else max(least, universes.high + drivers)
    return {"segments": _derived(least, most)}


def _pulled_up(said: Traits, _: Traits, __: int) -> dict[str, Trait]:
    """A control that sinks sets no voltage at full: it lets go, and the gear pulls the pair up."""
    if "output_full_v" in said or _content(said, "output_direction") != "sinks":
        return {}
    return {"output_full_v": Trait(PULLED_UP_V, "measured", COURSE_0_10_V)}


def _plain_white(said: Traits, _: Traits, __: int) -> dict[str, Trait]:
    """Gear of one fixed colour follows the level; no controller has to command its colour."""
    stated = said.get("colours_commanded", UNKNOWN)
    if not isinstance(stated.content, TokenSet):
        return {}
    tokens = TokenSet(stated.content.sure | {"none"}, stated.content.possible | {"none"})
    return {"colours_commanded": replace(stated, content=tokens)}


def _plain_types(said: Traits, _: Traits, __: int) -> dict[str, Trait]:
    """Types that need no commands of their own are commanded by every controller."""
    stated = said.get("dali_device_types_commanded", UNKNOWN)
    if not isinstance(stated.content, TokenSet):
        return {}
    return {"dali_device_types_commanded": replace(stated, content=with_plain_types(stated.content))}


def _colour_types(said: Traits, _: Traits, __: int) -> dict[str, Trait]:
    """Gear of other types has no colour type; type 8 commands tunable white by Tc and colours by RGBWAF."""
    stated = said.get("dali_colour_types_commanded", UNKNOWN)
    if isinstance(stated.content, TokenSet):
        tokens = TokenSet(stated.content.sure | {"none"}, stated.content.possible | {"none"})
        return {"dali_colour_types_commanded": replace(stated, content=tokens)}
    types, colours = (_content(said, name) for name in ("dali_device_types_commanded", "colours_commanded"))
    if not (isinstance(types, TokenSet) and isinstance(colours, TokenSet)) or "type_8" not in types.sure:
        return {}
    by_colour = {"tunable_white": "tc", "rgb": "rgbwaf", "rgbw": "rgbwaf", "multi": "rgbwaf"}
    sure, possible = (
        frozenset({"none", *(by_colour[colour] for colour in tokens if colour in by_colour)})
        for tokens in (colours.sure, colours.possible)
    )
    return {"dali_colour_types_commanded": Trait(TokenSet(sure, possible), "derived", DERIVED)}


def _class_2(said: Traits, _: Traits, __: int) -> dict[str, Trait]:
    """Class 2 wiring is what is stated to be so; an analogue pair of it is wired as safe to touch."""
    if _content(said, "nec_class_2") is not True:
        return {"nec_class_2": Trait(False, "derived", DERIVED)}
    return {} if "wired_as_selv" in said else {"wired_as_selv": said["nec_class_2"]}


def _wired_like_the_mains(said: Traits, _: Traits, __: int) -> dict[str, Trait]:
    """A pair of the usual installation, as the report tells, is wired like the mains: so is its cable."""
    wiring = said.get("wired_as_selv", UNKNOWN)
    if wiring.basis != "usual" or wiring.content is not False or "mains_rated_cable" in said:
        return {}
    return {"mains_rated_cable": replace(wiring, content=True)}
