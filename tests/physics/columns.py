"""Values spread over their ranges."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

ROWS = 100_000


def spread(generator: np.random.Generator, low: float, high: float, count: int = ROWS) -> NDArray[np.float64]:
    """Values spread evenly over the decades from ``low`` to ``high``, both ends among them."""
    values = 10.0 ** generator.uniform(np.log10(low), np.log10(high), count)
    values[:: count // 7] = low
    values[1 :: count // 7] = high
    return np.asarray(values)


def assert_unknown_stays_unknown(query: StagedQuery, good: Mapping[str, float]) -> None:
    """A NULL, NaN, infinite or negative input never gives a value in an output that needs it.

    An output that is known for the good row must be NULL (or ``cannot_tell``) for some bad input,
    and each bad input must take some output away.
    """
    full = one_row(query, **good)
    for name in query.inputs:
        for bad in (None, float("nan"), float("inf"), float("-inf"), -1e300):
            found = one_row(query, **{**good, name: bad})
            lost = [role for role in full if full[role] is not None and found[role] != full[role]]
            assert lost, f"{name} = {bad!r} changes nothing"
            assert all(found[role] in (None, "cannot_tell") for role in lost), (name, bad, found)
