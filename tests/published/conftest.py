"""What the rules say on every trial of a test file, checked in one go."""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from compat.dataset.read import Dataset
from compat.engine import breaker_of_circuit, computed, inrush_of_circuit
from compat.engine.breaker_of_circuit import Likely
from compat.engine.site import Site, quantity
from compat.model.values import Interval
from compat.rulebook.rules import ParsedRule
from tests.published.running import ToldByTrial, told_of


def crest_of_nominal(site: Site) -> Interval | None:
    """The crest of the nominal supply alone."""
    nominal = quantity(site.supply.traits, "voltage_v")
    return nominal and Interval(math.sqrt(2.0) * nominal.low, math.sqrt(2.0) * nominal.high)


@contextmanager
def plain_physics() -> Iterator[None]:
    """The published figures are of pure inputs at the nominal supply, and of the sure ends alone.

    So what the engine adds to be sure (highest supply, hidden choke, lower low ends) is left away, and the
    breaker rule looks at the sure ends whatever is likely. ``test_likely_counts`` looks at the likely ones.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(inrush_of_circuit, "LOW_END", 1.0)
        patch.setattr(inrush_of_circuit, "LOW_WIDTH", 1.0)
        patch.setattr(inrush_of_circuit, "hidden_choke", lambda count: (1.0, 1.0))
        patch.setattr(inrush_of_circuit, "_crests", crest_of_nominal)
        patch.setattr(computed, "likely_of", lambda *around: Likely(1.0, 1e-6))
        patch.setattr(computed, "surely_held_count", lambda *around: 0.0)
        assert breaker_of_circuit.LIKELY_MARGIN < 1.0
        yield


@pytest.fixture(scope="module")
def told(request: pytest.FixtureRequest, dataset: Dataset, rules: list[ParsedRule]) -> ToldByTrial:
    if getattr(request.module, "AS_THE_ENGINE_HAS_IT", False):
        return told_of(request.module.VALUES, dataset, rules)
    with plain_physics():
        return told_of(request.module.VALUES, dataset, rules)
