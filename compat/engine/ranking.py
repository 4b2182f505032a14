"""Which output to propose: best verdict, accepted method, fitting size, order of the offer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from compat.dataset.read import Equipment
from compat.engine.gather import Circuit
from compat.model.figures import amount_text
from compat.model.report import Amount, LoadBar
from compat.model.values import UNKNOWN, Interval, TokenSet
from compat.model.verdicts import RANK, Verdict

# Share of its rated load that a proposed output may take before a larger one is preferred.
# Common practice, no source: the 80 % that is usual for spare capacity.
COMFORTABLE_SHARE = 0.8
PHASE_CUT = ("forward_phase", "reverse_phase")


@dataclass(frozen=True, slots=True, order=True)
class Preference:
    """Sorts outputs for a circuit, best first."""

    verdict_rank: int
    method_refused: bool
    tight: bool
    rated_load_w: float
    place_in_offer: int


def window(circuit: Circuit, output: Equipment) -> tuple[float | None, float | None]:
    """The least and the greatest load in W that the output surely takes from this circuit."""
    least = output.traits.get("min_load_w", UNKNOWN).content
    rated = output.traits.get("max_load_w", UNKNOWN).content
    low = least.high if isinstance(least, Interval) else None
    high = rated.low if isinstance(rated, Interval) else None
    characters = circuit.values.get("circuit.input_characters")
    if high is not None and isinstance(characters, TokenSet) and "capacitive" in characters.possible:
        share = output.traits.get("capacitive_share", UNKNOWN).content
        high = high * share.low if isinstance(share, Interval) else None
    return low, high


def preference(verdict: Verdict, circuit: Circuit, output: Equipment, place_in_offer: int) -> Preference:
    """How much an output is to be preferred; less is better."""
    _, high = window(circuit, output)
    load = circuit.values.get("circuit.input_power_w")
    tight = isinstance(load, Interval) and high is not None and load.high > COMFORTABLE_SHARE * high
    rated = output.traits.get("max_load_w", UNKNOWN).content
    rated_load = rated.high if isinstance(rated, Interval) else 0.0
    methods = circuit.values.get("circuit.methods")
    method = output.traits.get("method", UNKNOWN).content
    refused = isinstance(methods, TokenSet) and method not in methods.possible
    return Preference(RANK[verdict], refused, tight, rated_load, place_in_offer)


def ranked(verdicts: Mapping[str, Verdict], circuit: Circuit, offer: Mapping[str, Equipment]) -> list[str]:
    """The ids of the outputs on offer, best first."""
    places = {output: place for place, output in enumerate(offer)}
    return sorted(
        verdicts, key=lambda output: preference(verdicts[output], circuit, offer[output], places[output])
    )


def load_bar(circuit: Circuit, output: Equipment) -> LoadBar | None:
    """The load against the window of the output, for drawing; None for an output that carries no load."""
    carries = output.traits.get("switches_mains", UNKNOWN).content
    if carries is False and output.traits.get("method", UNKNOWN).content not in PHASE_CUT:
        return None
    load = circuit.values.get("circuit.input_power_w")
    low, high = (load.low, load.high) if isinstance(load, Interval) else (None, None)
    window_low, window_high = window(circuit, output)
    amount = Amount(low=low, high=high, unit="w", text=amount_text(low, high, "W"))
    return LoadBar(load=amount, window_low_w=window_low, window_high_w=window_high)
