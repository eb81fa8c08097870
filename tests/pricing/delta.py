"""``python -m tests.pricing.delta``: first order beside draws, for a cost over one lognormal yield.

Three ways to one figure: the delta method (mean c (1 + cv^2), standard deviation c cv, the lognormal range of that
width), the program's own draws, and 400,000 costs drawn here with the standard library alone. Exit 1 unless the delta
method lies within 5 % of these up to a cv of 0.15, and the program's draws within 2 % throughout.
"""

import random
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, prod, sqrt
from statistics import fmean, pstdev

import numpy as np

from costing.pricing.draws import draw_costs
from costing.pricing.exposure import Exposures, Node
from costing.pricing.ranges import interval
from costing.pricing.sources import Source

CVS = (0.05, 0.10, 0.15, 0.20, 0.30, 0.40)
COST, DRAWN = 10.0, 400_000
UP_TO, WITHIN, DRAWS_WITHIN = 0.15, 0.05, 0.02


@dataclass(frozen=True, slots=True)
class Way:
    """What one way says of a cost: mean, standard deviation, 5 % and 95 % points."""

    mean: float
    sd: float
    low: float
    high: float

    def off(self, other: "Way") -> float:
        """The largest relative difference of standard deviation and ends."""
        pairs = ((self.sd, other.sd), (self.low, other.low), (self.high, other.high))
        return max(abs(a / b - 1.0) for a, b in pairs)


def chain(cost: float, cvs: Sequence[float]) -> Exposures:
    """A drink that costs so much, made through tested yields of these cvs one after another."""
    sources = tuple(
        Source(key=("preparation", f"m{n}"), basis="tests", sd=cv, n=9, figure="keep", path="keep")
        for n, cv in enumerate(cvs)
    )
    nodes = {"good": Node(cost=cost)}
    for n, cv in enumerate(cvs):
        nodes[f"m{n}"] = Node(cost=cost, row={f"m{n - 1}" if n else "good": 1.0}, own={n: -cv})
    return Exposures(sources=sources, nodes=nodes, serves={"drink": Node(cost=cost, row={f"m{len(cvs) - 1}": 1.0})})


def by_delta(cost: float, cvs: Sequence[float]) -> Way:
    """The published formulas; independent steps add up as squares."""
    cv = sqrt(sum(one * one for one in cvs))
    return Way(cost * (1.0 + cv * cv), cost * cv, *interval(cost, cost * cv))


def by_draws(cost: float, cvs: Sequence[float], n: int = 10_000) -> Way:
    """The program's draws."""
    costs = draw_costs(chain(cost, cvs), n=n)[:, 0]
    low, high = np.quantile(costs, (0.05, 0.95)).tolist()
    return Way(float(costs.mean()), float(costs.std()), low, high)


def by_hand(cost: float, cvs: Sequence[float], n: int = DRAWN, seed: int = 1) -> Way:
    """Yields of mean 1, lognormal, drawn one by one."""
    rng = random.Random(seed)
    shapes = [(-log(1.0 + cv * cv) / 2.0, sqrt(log(1.0 + cv * cv))) for cv in cvs]
    costs = sorted(cost / prod(exp(rng.gauss(mu, sigma)) for mu, sigma in shapes) for _ in range(n))
    return Way(fmean(costs), pstdev(costs), costs[n // 20], costs[n - n // 20 - 1])


def main() -> int:
    """The table, and by the exit code whether it is as it should be."""
    print("   cv | sd: delta  draws  by hand | low: delta  draws  by hand | high: delta  draws  by hand | delta off")
    bad = 0
    for cv in CVS:
        delta, draws, hand = by_delta(COST, (cv,)), by_draws(COST, (cv,)), by_hand(COST, (cv,))
        off = delta.off(hand)
        print(f" {cv:.2f} | {delta.sd:9.3f} {draws.sd:6.3f} {hand.sd:8.3f} | {delta.low:10.3f} {draws.low:6.3f} "
              f"{hand.low:8.3f} | {delta.high:11.3f} {draws.high:6.3f} {hand.high:8.3f} | {off:.1%}")  # fmt: skip
        bad += (off > WITHIN and cv <= UP_TO) + (draws.off(hand) > DRAWS_WITHIN)
    print(f"{bad} beyond {WITHIN:.0%} up to a cv of {UP_TO}, or draws beyond {DRAWS_WITHIN:.0%}")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
