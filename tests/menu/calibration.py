"""Whether a chance of 80 % is right 80 times of 100: ``python -m tests.menu.calibration [HOUSES]``.

Houses are made up with what they really are known: true shares of what guests choose, true costs. Each sells so many
drinks by those shares, is judged by its counts alone, and every stated chance of every class is put beside the truth.

Three kinds of house: as the method supposes (shares from a flat Dirichlet; half of them with costs that are not sure);
with guests who choose more evenly than it supposes (Dirichlet 6); and with weeks that differ, so that counts scatter
more than a multinomial sample does, which the method does not know.
"""

import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from costing.menu.engineer import CLASSES, engineer, klass_of
from costing.menu.sure import posterior

Floats = NDArray[np.float64]
EDGES = (0.0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 1.0)
WEEKS, SWING = 8, 0.25
"""Weeks of a house whose weeks differ, and how far a drink's share swings from week to week (as a fraction)."""
SURE = 0.9


@dataclass(frozen=True, slots=True)
class Stated:
    """Chances that were stated, one a drink and class, whether each was right, and the same of classes called sure."""

    chances: Floats
    right: NDArray[np.bool_]
    sure: NDArray[np.bool_]


def flat(rng: np.random.Generator, n: int, total: int) -> tuple[Floats, Floats]:
    """(true shares, counts) as the method supposes."""
    shares = rng.dirichlet(np.ones(n))
    return shares, rng.multinomial(total, shares).astype(float)


def even(rng: np.random.Generator, n: int, total: int) -> tuple[Floats, Floats]:
    """The same, with shares nearer to each other."""
    shares = rng.dirichlet(np.full(n, 6.0))
    return shares, rng.multinomial(total, shares).astype(float)


def swinging(rng: np.random.Generator, n: int, total: int) -> tuple[Floats, Floats]:
    """The same as flat, with weeks that differ."""
    shares = rng.dirichlet(np.ones(n))
    counts = np.zeros(n)
    for _ in range(WEEKS):
        week = shares * rng.gamma(1.0 / SWING**2, SWING**2, n)
        counts += rng.multinomial(total // WEEKS, week / week.sum())
    return shares, counts


House = Callable[[np.random.Generator, int, int], tuple[Floats, Floats]]


def state(house: House, houses: int, draws: int = 4000, seed: int = 6) -> Stated:
    """Judge so many houses and keep every chance beside the truth."""
    rng = np.random.default_rng(seed)
    chances: list[float] = []
    right: list[bool] = []
    sure: list[bool] = []
    for k in range(houses):
        n, total = int(rng.integers(4, 17)), int(rng.choice((80, 240, 720, 2400)))
        shares, counts = house(rng, n, total)
        prices, costs = rng.uniform(9.0, 15.0, n), rng.uniform(1.0, 4.0, n)
        sds = costs * rng.uniform(0.02, 0.15, n) if k % 2 else np.zeros(n)
        margins = prices - (costs + sds * rng.standard_normal(n))
        mean = float(shares @ margins)
        truth = [klass_of(bool(s >= 0.7 / n), bool(m >= mean)) for s, m in zip(shares, margins, strict=True)]
        items = [(str(i), counts[i], costs[i], prices[i]) for i in range(n)]
        found = posterior(items, sds=list(sds), draws=draws, seed=k)
        if found is None:
            continue
        for i, (spot, row) in enumerate(zip(found.spots, engineer(items), strict=True)):
            if spot is None or row.klass is None:
                continue
            for klass in CLASSES:
                chances.append(spot.chances[klass])
                right.append(truth[i] == klass)
                sure.append(klass == row.klass and spot.chances[klass] >= SURE)
    return Stated(np.array(chances), np.array(right), np.array(sure))


def table(stated: Stated, edges: Sequence[float] = EDGES) -> list[tuple[float, float, float, float, float, int]]:
    """(from, to, mean chance stated, how often right, standard error of that, n) of each bin."""
    place = np.clip(np.digitize(stated.chances, edges) - 1, 0, len(edges) - 2)
    rows = []
    for b in range(len(edges) - 1):
        here = place == b
        n = int(here.sum())
        if n:
            often = float(stated.right[here].mean())
            error = (often * (1.0 - often) / n) ** 0.5
            rows.append((edges[b], edges[b + 1], float(stated.chances[here].mean()), often, error, n))
    return rows


def text(name: str, stated: Stated) -> str:
    """The reliability table, and how often what was called sure was right."""
    lines = [name, "stated        mean     right    +-        n"]
    lines += [
        f"{low:4.2f} to {high:4.2f}  {mean:6.3f}  {often:7.3f}  {error:5.3f}  {n:7d}"
        for low, high, mean, often, error, n in table(stated)
    ]
    called = stated.right[stated.sure]
    lines.append(
        f"called sure: {len(called)} of {len(stated.chances) // len(CLASSES)} drinks, right {called.mean():.4f}, "
        f"stated {stated.chances[stated.sure].mean():.4f}"
    )
    return "\n".join(lines)


def main(houses: int) -> None:
    """Print the tables."""
    for name, house in (("as supposed", flat), ("guests choose more evenly", even), ("weeks differ", swinging)):
        sys.stdout.write(f"{text(f'{name}, {houses} houses', state(house, houses))}\n\n")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3000)
