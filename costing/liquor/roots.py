"""A bracketing root finder, so that nothing here needs a numerical library at run time."""

from __future__ import annotations

from collections.abc import Callable
from math import nextafter

_ROUNDS = 200


def root(f: Callable[[float], float], low: float, high: float, *, f_low: float, f_high: float) -> float:
    """The x in [low, high] where f changes sign, to the last few bits of x.

    f_low, f_high: f at the two ends (the caller has them already); they must not have the same sign, else
    ValueError. Inverse quadratic steps where they are safe, bisection where they are not
    (Chandrupatla, Advances in Engineering Software 28 (1997) 145).
    """
    if f_low == 0.0:
        return low
    if f_high == 0.0:
        return high
    if (f_low > 0.0) == (f_high > 0.0):
        raise ValueError(f"no sign change between {low!r} and {high!r}")
    newest, other = low, high
    f_newest, f_other = f_low, f_high
    share = 0.5
    for _ in range(_ROUNDS):
        x = newest + share * (other - newest)
        fx = f(x)
        if (fx > 0.0) == (f_newest > 0.0):
            third, f_third = newest, f_newest
        else:
            third, f_third = other, f_other
            other, f_other = newest, f_newest
        newest, f_newest = x, fx
        best, f_best = (newest, f_newest) if abs(f_newest) < abs(f_other) else (other, f_other)
        if f_best == 0.0:
            return best
        width = abs(other - newest)
        grain = 2.0 * (nextafter(abs(best), float("inf")) - abs(best))
        if width <= 2.0 * grain:
            return best
        xi = (newest - other) / (third - other)
        phi = (f_newest - f_other) / (f_third - f_other)
        if phi * phi < xi and (1.0 - phi) ** 2 < 1.0 - xi:
            share = f_newest / (f_other - f_newest) * f_third / (f_other - f_third) + (
                (third - newest) / (other - newest) * f_newest / (f_third - f_newest)
            ) * (f_other / (f_third - f_other))
        else:
            share = 0.5
        edge = min(0.5, grain / width)
        share = min(1.0 - edge, max(edge, share))
    return 0.5 * (newest + other)
