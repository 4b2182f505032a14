"""A luminaire's description read for what it surely says; whatever is in doubt is left out.

Watts, kind of load, mains voltage and frequency, power factor, dimming method: each only when the description
gives one and nothing beside it makes it doubtful. ``2700K``, ``IP65``, ``36°`` and model numbers say nothing.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Callable, Iterator, Mapping

from compat.intake.alias_tables import (
    COMPARISON,
    HALOGEN,
    HEDGE,
    LOW_VOLTAGE_BASE,
    MAINS_BASE,
    NOT_KNOWN,
    SEVERAL,
    STRIP,
    fold_word,
    meanings,
    words_of,
)
from compat.intake.cells import Unreadable, clean
from compat.intake.figure_grammar import normal
from compat.intake.numbers import Figures
from compat.intake.units import UnitTable
from compat.model.values import Content, Interval, TokenSet
from compat.model.vocabulary import Vocabulary

_CLAUSES = re.compile(r"[;\n()\[\]|]|, | [-–] ")
_TOKENS = re.compile(r"[^\s,;:()\[\]|]+")
LONGEST_PHRASE = 6
_NUMBER = r"[0-9]{1,5}(?:[.,][0-9]{1,3})?"
_START = r"(?<![\w.,/~<>≤≥°#+-])"
_WATTS = re.compile(
    rf"{_START}(?:(?P<count>[0-9]{{1,2}}) ?[x×*] ?)?(?P<watts>{_NUMBER}(?: ?- ?{_NUMBER})?) ?"
    r"(?:W|[Ww]atts?)(?![\w/?°-]| ?[x×*] ?[0-9])"
)
_SEVERAL = re.compile(
    r"(?<![\w.,])[0-9]{1,3} ?(?:[x×] ?(?=[A-Za-z])|[- ]?(?:lamp|head|light|spot|flamm|flg|luci))",
    re.IGNORECASE,
)
# A figure that is compared with another, and pieces counted before it: '2 no. 7 W'.
_COMPARED = re.compile(
    rf"[=≈~≤<≥>] ?{_NUMBER} ?W|[0-9] ?(?:nos?|off|stk|st|pcs|nr|uds?|pz)\.? ?{_NUMBER} ?W", re.IGNORECASE
)
_PER_METRE = re.compile(rf"{_START}({_NUMBER}) ?W ?/ ?m(?!\w)")
_LENGTH = re.compile(rf"{_START}({_NUMBER}) ?(?:m|metres?|meters?)(?![\w/²])")
_VOLTS = re.compile(rf"{_START}([0-9]{{1,3}}(?: ?[-/] ?[0-9]{{2,3}})?) ?[Vv](?: ?(AC|DC|~|=))?(?![\w/])")
_HERTZ = re.compile(rf"{_START}([0-9]{{2}}(?: ?[-/] ?[0-9]{{2}})?) ?Hz(?!\w)", re.IGNORECASE)
_MILLIAMPERE = re.compile(rf"{_START}([0-9]{{2,4}}) ?mA(?!\w)")
_POWER_FACTOR = re.compile(r"\bPF ?[:=]? ?((?:[>≥] ?)?0?[.,][0-9]{1,3})(?![\w%])", re.IGNORECASE)
_DEVICE_TYPE = re.compile(r"\bDT ?([0-8])\b", re.IGNORECASE)
# Sizes such as '1200 L x 300 W x 75 H', in which W is a width.
_SIZE = r"[0-9.,]+ ?(?:mm|cm)? ?[LWHDlwhd]"
_SIZES = re.compile(rf"[0-9.,]+ ?(?:mm|cm)? ?[LHDlhd] ?[x×] ?{_SIZE}(?: ?[x×] ?[0-9.,]+ ?\w*)?"
                    rf"|{_SIZE} ?[x×] ?[0-9.,]+ ?(?:mm|cm)? ?[LHDlhd](?: ?[x×] ?[0-9.,]+ ?\w*)?")  # fmt: skip
_WIDTH = re.compile(r" ?(?:wide|width|deep|high|long)\b", re.IGNORECASE)
# Below this a voltage is that of LEDs behind a driver or of low-voltage lamps.
LOWEST_MAINS_V, HIGHEST_MAINS_V = 100, 480
STRIP_VOLTAGES_V = (5.0, 12.0, 24.0, 36.0, 48.0)
# Voltage of LEDs, watts over amperes: where it lies here, the current is that of the LEDs, not of the mains.
# 60 V direct voltage without load is the limit of IEC 60598-1, 8.2.3 (second hand).
LED_VOLTS = (2.0, 60.0)
# Words that name a method in a column of methods and may mean something else in a description.
LOOSE = frozenset(
    map(fold_word, ("mains", "phase", "fase", "fas", "line voltage", "leading", "trailing", "switch", "relay",
                    "fixed", "switching", "recorte", "abschnitt", "anschnitt", "aansnijding", "afsnijding",
                    "analog", "analogue", "rotary dimmer", "wall dimmer", "brytare", "relais", "schalten",
                    "fixed output", "contactor", "2-wire", "two-wire"))
)  # fmt: skip
SHORTEST_WORD = 3
# What a word that says 'not dimmable' holds in one of the languages.
DIMMABLE_STEMS = ("dim", "grad", "regul", "daemp", "atenu", "variab", "regol")
# Words for a kind of load that are also said of luminaires or of something else.
LOOSE_KINDS = frozenset(
    map(fold_word, ("integral driver", "LED lamp integral driver", "ll", "tl", "ks", "inc",
                    "wound transformer", "VMC", "elv transformer", "extractor", "current driven"))
)  # fmt: skip


class DescriptionReader:
    """Reads descriptions with the words of a vocabulary."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self._vocabulary = vocabulary
        self._units = UnitTable(vocabulary)

    def read(self, text: str) -> dict[str, Content]:
        """Trait of a driver and content of what the description surely says, in the order of reading."""
        clauses = [_Clause(part) for part in _CLAUSES.split(normal(clean(text))) if part.strip()]
        kept = [clause for clause in clauses if not clause.is_hedged]
        found: dict[str, Content] = {}
        volts = self._voltages(kept)
        watts = self._watts(kept)
        if kind := self._load_type(kept, volts, watts):
            found["load_type"] = kind
        if watts is not None:
            found["input_power_w"] = watts
        found |= self._strip(kept)
        found |= self._methods(clauses, kept)
        found |= self._mains(volts, kept)
        if len(factors := _all(_POWER_FACTOR, kept)) == 1:
            found |= self._figure("power_factor", factors[0])
        return {name: value for name, value in found.items() if f"driver.{name}" in self._vocabulary.traits}

    def _watts(self, clauses: list[_Clause]) -> Interval | None:
        """The watts of one luminaire when every figure in watts says the same; not those of a metre."""
        if _all(_PER_METRE, clauses):
            return None
        if any(clause.has_several for clause in clauses):
            return None
        values: set[Interval] = set()
        for clause in clauses:
            for match in _WATTS.finditer(clause.plain):
                if clause.compares or _WIDTH.match(clause.plain, match.end()):
                    continue
                text = f"{match['count']} x {match['watts']} W" if match["count"] else f"{match['watts']} W"
                stated = self._figure("input_power_w", text).get("input_power_w")
                if not isinstance(stated, Interval):
                    return None
                values.add(stated)
        return values.pop() if len(values) == 1 else None

    def _strip(self, clauses: list[_Clause]) -> dict[str, Content]:
        """The watts a metre and the length of a strip, each when it is said once."""
        found: dict[str, Content] = {}
        per_metre, lengths = set(_all(_PER_METRE, clauses)), set(_all(_LENGTH, clauses))
        if len(per_metre) == 1:
            found |= self._figure("led_strip_w_per_m", f"{per_metre.pop()} W/m")
            if len(lengths) == 1:
                found |= self._figure("led_strip_length_m", f"{lengths.pop()} m")
        return found

    def _voltages(self, clauses: list[_Clause]) -> list[tuple[Interval, str]]:
        """Each voltage with AC, DC or nothing behind it."""
        found: list[tuple[Interval, str]] = []
        for clause in clauses:
            for match in _VOLTS.finditer(clause.without_methods):
                value = self._figure("input_voltage_min_v", match[1]).get("input_voltage_min_v")
                if isinstance(value, Interval):
                    found.append((value, (match[2] or "").upper()))
        return list(dict.fromkeys(found))

    def _mains(self, volts: list[tuple[Interval, str]], clauses: list[_Clause]) -> dict[str, Content]:
        found: dict[str, Content] = {}
        if len(volts) == 1:
            value, kind = volts[0]
            if kind not in ("DC", "=") and value.low >= LOWEST_MAINS_V and value.high <= HIGHEST_MAINS_V:
                found["input_voltage_min_v"] = Interval(value.low, value.low)
                found["input_voltage_max_v"] = Interval(value.high, value.high)
        if len(hertz := set(_all(_HERTZ, clauses))) == 1:
            stated = self._figure("input_frequency_min_hz", hertz.pop()).get("input_frequency_min_hz")
            if isinstance(stated, Interval):
                found["input_frequency_min_hz"] = Interval(stated.low, stated.low)
                found["input_frequency_max_hz"] = Interval(stated.high, stated.high)
        return found

    def _methods(self, clauses: list[_Clause], kept: list[_Clause]) -> dict[str, Content]:
        """The methods named, unless a clause in doubt names one too."""
        named = [meaning for clause in kept for meaning in clause.methods]
        if not named or any(clause.methods for clause in clauses if clause not in kept):
            return {}
        sure = frozenset({"switched"}.union(*(meaning.sure for meaning in named)))
        if sure == {"switched"} and len({meaning.possible for meaning in named}) > 1:
            return {}
        possible = sure.union(*(meaning.possible for meaning in named))
        found: dict[str, Content] = {"methods": TokenSet(sure, possible)}
        types = _all(_DEVICE_TYPE, kept)
        device = self._vocabulary.traits.get("driver.dali_device_type")
        if device and "dali" in sure and len(set(types)) == 1:
            token = f"type_{types[0]}"
            if token in self._vocabulary.values_of(device):
                found["dali_device_type"] = token
        return found

    def _load_type(
        self, clauses: list[_Clause], volts: list[tuple[Interval, str]], watts: Interval | None
    ) -> str | None:
        words = {word for clause in clauses if not clause.compares for word in clause.words}
        kinds = {kind for clause in clauses if not clause.compares for kind in clause.load_types}
        is_led = any(word.startswith("led") for word in words) or "integral_lamp" in kinds
        low_voltage = words & words_of(LOW_VOLTAGE_BASE)
        if words & words_of(MAINS_BASE) and (is_led or words & words_of(HALOGEN)):
            kinds.add("integral_lamp" if is_led else "incandescent")
        if is_led:
            kinds -= {"fluorescent", "incandescent"}
        small = [value.low for value, _ in volts if value.is_exact() and value.low in STRIP_VOLTAGES_V]
        if low_voltage or small:
            kinds.discard("integral_lamp")
        if words & words_of(STRIP) and small:
            kinds.add("constant_voltage_driver")
        if watts is not None and self._feeds_leds(clauses, watts):
            kinds.add("constant_current_driver")
        known = self._vocabulary.choices.get("load_type", {})
        return next(iter(kinds)) if len(kinds) == 1 and kinds <= known.keys() else None

    def _feeds_leds(self, clauses: list[_Clause], watts: Interval) -> bool:
        """Whether a current in mA cannot be that of the mains: the watts would need far less voltage."""
        currents = set(_all(_MILLIAMPERE, clauses))
        if len(currents) != 1:
            return False
        ampere = int(currents.pop()) / 1000
        return ampere > 0 and LED_VOLTS[0] <= watts.low / ampere and watts.high / ampere <= LED_VOLTS[1]

    def _figure(self, name: str, text: str) -> dict[str, Content]:
        trait = self._vocabulary.traits.get(f"driver.{name}")
        try:
            value = Figures(trait, self._units, trait.unit).interval(text) if trait else None
        except Unreadable:
            return {}
        return {} if value is None else {name: value}


class _Clause:
    """A part of a description between brackets, semicolons and the like, with the words found in it."""

    def __init__(self, text: str) -> None:
        self.plain = _SIZES.sub(" ", text)
        self.methods: list[TokenSet] = []
        self.load_types: set[str] = set()
        self.words: set[str] = set()
        rest = self.plain
        for phrase in phrases_in(self.plain):
            folded = fold_word(phrase)
            if meaning := _methods().get(folded):
                self.methods.append(meaning)
                rest = rest.replace(phrase, " ", 1)
            else:
                self.words.add(folded)
                if kind := _kinds().get(folded):
                    self.load_types |= kind.sure if len(folded) > 2 or phrase.isupper() else set()
        self.without_methods = rest
        doubtful = "?" in text or any(fold_word(word) in words_of(NOT_KNOWN) for word in rest.split())
        # '12 x E14 4 W' has not 4 W together.
        self.has_several = bool(self.words & words_of(SEVERAL)) or _SEVERAL.search(self.plain) is not None
        self.is_hedged = bool(self.words & words_of(HEDGE)) or doubtful
        self.compares = bool(self.words & words_of(COMPARISON)) or _COMPARED.search(rest) is not None


def read_description(text: str, vocabulary: Vocabulary) -> dict[str, Content]:
    """Trait of a driver and content of what a description surely says; see ``DescriptionReader``."""
    return DescriptionReader(vocabulary).read(text)


def describer(vocabulary: Vocabulary) -> Callable[[str], Mapping[str, Content]]:
    """A reader of descriptions that remembers what it has read, since schedules repeat."""
    return functools.lru_cache(maxsize=4096)(DescriptionReader(vocabulary).read)


def phrases_in(text: str) -> Iterator[str]:
    """The longest phrases of the tables, and the single words between them, from left to right."""
    tokens = _TOKENS.findall(text)
    place = 0
    while place < len(tokens):
        for length in range(min(LONGEST_PHRASE, len(tokens) - place), 0, -1):
            phrase = " ".join(tokens[place : place + length])
            if fold_word(phrase) in _listed():
                yield phrase
                break
        else:
            length = 1
            parts = tokens[place].split("/")
            yield from (part for part in parts if part) if len(parts) > 1 else (tokens[place],)
        place += length


def _all(pattern: re.Pattern[str], clauses: list[_Clause]) -> list[str]:
    return [str(match[1]) for clause in clauses for match in pattern.finditer(clause.plain)]


@functools.cache
def _methods() -> dict[str, TokenSet]:
    """Words of methods that mean nothing else in a description; 'switched' only as 'not dimmable'."""
    return {
        word: meaning
        for word, meaning in meanings("method").items()
        if len(word) >= SHORTEST_WORD
        and word not in LOOSE
        and (meaning.sure != {"switched"} or any(stem in word for stem in DIMMABLE_STEMS))
    }


@functools.cache
def _kinds() -> dict[str, TokenSet]:
    return {word: kind for word, kind in meanings("load_type").items() if word not in LOOSE_KINDS}


@functools.cache
def _listed() -> frozenset[str]:
    own = (MAINS_BASE, LOW_VOLTAGE_BASE, STRIP, HALOGEN, COMPARISON, HEDGE, SEVERAL)
    return frozenset().union(_methods(), _kinds(), *map(words_of, own))
