"""A scale from figures to points, with round figures to mark on it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor

FINEST = -9
"""Powers of ten: no step is finer than this one."""
TICKS = 7
"""Marks at the most."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """``low`` to ``high`` in figures lie at ``start`` to ``end`` in points; ``end`` may lie above ``start``."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Where a figure lies."""
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)

    @property
    def scale(self) -> float:
        """Points for one: below 0 where it runs upwards."""
        return (self.end - self.start) / (self.high - self.low)


def span(
    points: Sequence[float], reaches: Sequence[tuple[float, float]], *, from_zero: bool, pad: float = 0.04
) -> tuple[float, float]:
    """(low, high) of an axis that holds all points, and of each reach (low, high) what lies within a third of their
    span beyond them, or within the reach of half of all: one wide ellipse must not press everything else together.
    ``from_zero`` begins at 0 where nothing lies below it and that costs less than two fifths of the room."""
    least, most = min(points), max(points)
    usual = sorted(high - low for low, high in reaches)[len(reaches) // 2] / 2 if reaches else 0.0
    beyond = max((most - least) / 3, usual)
    low = min([least, *(max(end, least - beyond) for end, _ in reaches)])
    high = max([most, *(min(end, most + beyond) for _, end in reaches)])
    if high - low <= 1e-9 * max(abs(high), abs(low)):
        room = 0.1 * abs(high) or 1.0
        low, high = low - room, high + room
    room = pad * (high - low)
    low, high = low - room, high + room
    if from_zero and least >= 0.0:
        low = 0.0 if low < 0.4 * high else max(0.0, low)
    return low, high


def ticks(
    axis: Axis, said: Callable[[float], str], *, room: Callable[[str], float], whole: bool = False
) -> list[tuple[float, str]]:
    """Round figures on an axis with their words, at most seven, no two in the same words and none so near the next that
    their ``room`` in points would overlap. ``whole`` has none between whole numbers."""
    steps = (s * 10.0**n for n in range(0 if whole else FINEST, 16) for s in (1, 2, 5))
    for step in steps:
        first, last = ceil(axis.low / step - 1e-9), floor(axis.high / step + 1e-9)
        if last - first >= TICKS:
            continue
        found = [(n * step, said(n * step)) for n in range(first, last + 1)]
        words = [text for _, text in found]
        clear = all(
            abs(axis.at(b) - axis.at(a)) >= (room(one) + room(two)) / 2 for (a, one), (b, two) in pairwise(found)
        )
        if len(set(words)) == len(words) and clear:
            return found
    return []
