"""A root between two bounds."""

from __future__ import annotations

from collections.abc import Callable

MOST_STEPS = 200


def bracketed_root(function: Callable[[float], float], low: float, high: float) -> float:
    """Where a continuous function changes its sign between ``low`` and ``high``.

    Bisection with inverse quadratic steps (T. R. Chandrupatla, Advances in Engineering Software
    28 (1997) 145; from memory); ends at the spacing of the floating-point numbers. Raises
    ValueError when the function has one sign at both ends.
    """
    near, far, old = high, low, low
    at_near, at_far, at_old = function(near), function(far), function(low)
    if at_near == 0.0:
        return near
    if at_far == 0.0:
        return far
    if (at_near > 0.0) == (at_far > 0.0):
        raise ValueError(f"the function has the same sign at {low!r} and at {high!r}")
    share = 0.5
    for _ in range(MOST_STEPS):
        here = near + share * (far - near)
        at_here = function(here)
        if (at_here > 0.0) == (at_near > 0.0):
            old, at_old = near, at_near
        else:
            old, at_old, far, at_far = far, at_far, near, at_near
        near, at_near = here, at_here
        best, at_best = (near, at_near) if abs(at_near) < abs(at_far) else (far, at_far)
        width = abs(far - near)
        least = 4e-16 * abs(best)
        if at_best == 0.0 or width <= least:
            return best
        share = _share(near, far, old, at_near, at_far, at_old)
        edge = min(0.5, 0.5 * least / width)
        share = min(max(share, edge), 1.0 - edge)
    return best


def _share(near: float, far: float, old: float, at_near: float, at_far: float, at_old: float) -> float:
    """The next point between near and far: inverse quadratic where that is safe, else halfway."""
    position = (near - far) / (old - far) if old != far else 1.0
    height = (at_near - at_far) / (at_old - at_far) if at_old != at_far else 1.0
    if height**2 >= position or (1.0 - height) ** 2 >= 1.0 - position:
        return 0.5
    first = at_near / (at_far - at_near) * at_old / (at_far - at_old)
    second = (old - near) / (far - near) * at_near / (at_old - at_near) * at_far / (at_old - at_far)
    return first + second
