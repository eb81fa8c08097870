"""Juices: what fruit can give at most, what they weigh, what a centrifuge pulls."""

from __future__ import annotations

from collections.abc import Mapping
from math import pi, sqrt
from types import MappingProxyType

from costing.liquor.guards import not_negative, within
from costing.liquor.infusion import Solid

_US_FLUID_OUNCE = 29.5735295625  # mL
# kg/L, from USDA SR28: grams in a portion of one US fluid ounce.
JUICE_DENSITY: Mapping[str, float] = MappingProxyType(
    {name: grams / _US_FLUID_OUNCE for name, grams in (("lemon", 30.5), ("orange", 31.0), ("pineapple", 31.3))}
)
"""kg/L of lemon, orange and pineapple juice (USDA SR28, weight of one US fluid ounce)."""

_STANDARD_GRAVITY = 9.80665
_G_PER_MM_RPM2 = (2.0 * pi / 60.0) ** 2 / 1000.0 / _STANDARD_GRAVITY


def juice_bound(solid: Solid, edible: float = 1.0) -> float:
    """The most juice in kg that a fruit can give: its water and everything that dissolves in it.

    solid: the fruit; edible: share of it (0..1) that is not peel or stone, 1 when `solid` is trimmed already.
    A yield above this is a weighing error.
    """
    within("edible share", edible, 0.0, 1.0)
    return edible * (solid.water + solid.solubles)


def rcf(r_mm: float, rpm: float) -> float:
    """Relative centrifugal force (multiples of gravity) at r_mm millimetres from the axis and rpm turns a minute."""
    not_negative("radius in mm", r_mm)
    not_negative("turns a minute", rpm)
    return _G_PER_MM_RPM2 * r_mm * rpm * rpm


def rpm_for_rcf(r_mm: float, force: float) -> float:
    """Turns a minute that give `force` times gravity at r_mm millimetres (above 0); the inverse of `rcf`.

    Never run a rotor above what is printed on it.
    """
    if not 0.0 < r_mm < float("inf"):
        raise ValueError(f"radius in mm is {r_mm!r}; accepted range above 0 and finite")
    not_negative("relative centrifugal force", force)
    return sqrt(force / (_G_PER_MM_RPM2 * r_mm))
