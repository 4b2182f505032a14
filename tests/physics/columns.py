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
