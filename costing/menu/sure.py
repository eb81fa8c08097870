"""How sure a class is: counts are a sample, and costs have a range.

What guests choose is multinomial. With a flat prior (one serve of each drink before anything was sold) the shares that
may lie behind the counts are Dirichlet(counts + 1); margins vary by a standard deviation a drink, or by draws of all
costs together, which keep what moves them together. In each draw the weighted margin cut is reckoned anew, and the
chance of a class is the share of draws in which the drink is in it. Only shares vary: sales of one period are taken to
be a fair sample of what guests choose, so a feast or a sold-out evening is no part of this doubt.

The sales needed are judged by popularity alone: the share behind a drink is then Beta(pN + 1, (1 - p)N + n - 1).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import cos, log, pi, sin, sqrt
from typing import TYPE_CHECKING

from costing.menu.engineer import CLASSES, Klass
from costing.menu.figures import Given, ItemRow, Number, Tie, Unsold, in_set, known_cut, read_items

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Bools = NDArray[np.bool_]

DRAWS = 20_000
SEED = 1982
NORMAL_975 = 1.959963984540054
"""97.5 % quantile of the standard normal distribution."""
SAME = 1e-12
"""Margins within this share of the greatest one are equal: a mean of equals is not exactly equal in float64."""
MOST_SALES = 10_000_000
"""Beyond this nobody waits: a drink so near the cut is not told from it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """90 of 100 draws lie from ``low`` to ``high``."""

    low: float
    mean: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """Where one drink may lie: the chance of each class, and mean, variances and covariance of how many are sold (of
    the same total) and of its margin in money."""

    chances: Mapping[Klass, float]
    draws: int
    sold: float
    margin: float
    sold_var: float
    margin_var: float
    cov: float

    def error(self, klass: Klass) -> float:
        """Standard error of a chance, from the number of draws."""
        p = self.chances[klass]
        return sqrt(p * (1.0 - p) / self.draws)

    def outline(self, chance: float = 0.9, points: int = 48) -> tuple[tuple[float, float], ...]:
        """(sold, margin) around the ellipse that holds ``chance`` of a normal spread; flat where a side is sure."""
        reach = sqrt(-2.0 * log(1.0 - chance))
        along = sqrt(self.sold_var)
        lean = self.cov / along if along > 0.0 else 0.0
        across = sqrt(max(0.0, self.margin_var - lean * lean))
        turns = (2.0 * pi * k / points for k in range(points))
        return tuple(
            (self.sold + reach * along * cos(t), self.margin + reach * (lean * cos(t) + across * sin(t))) for t in turns
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Posterior:
    """A set as it may be: a spot for each row (None for one that is not counted), and the margin cut's band."""

    spots: tuple[Spot | None, ...]
    margin_cut: Band
    draws: int


def posterior(
    items: Iterable[ItemRow], cut: Number = 0.7, tie: Tie = "high", unsold: Unsold = "counted", *,
    sds: Sequence[float] | None = None, costs: "Floats | None" = None, draws: int = DRAWS, seed: int = SEED,
) -> Posterior | None:  # fmt: skip
    """The chances of every row of one set; None where nothing was sold.

    ``sds`` are standard deviations of the costs in money, by row (taken as independent); ``costs`` are draws of the
    costs instead, shape (any number, rows), used over and over where there are fewer than ``draws``. ValueError where
    both are given, where a shape does not fit, or a figure is not finite or a deviation below 0.
    """
    import numpy as np  # noqa: PLC0415  the terminal starts without it

    rows = read_items(items)
    inside = [i for i, counted in enumerate(in_set(rows, unsold)) if counted]
    if not any(row.sold for row in rows):
        return None
    # drawn in an order of their own, so that the order of a menu moves no chance
    inside.sort(key=lambda i: (rows[i].sold, rows[i].margin, rows[i].name, rows[i].price))
    rng = np.random.default_rng(seed)
    counted = [rows[i] for i in inside]
    counts = np.array([float(r.sold) for r in counted])
    shares = rng.standard_gamma(counts + 1.0, size=(draws, len(counted)))
    shares /= shares.sum(axis=1, keepdims=True)
    margins = _margins(rows, counted, inside, sds, costs, draws, rng)
    mean = (shares * margins).sum(axis=1)
    spots: list[Spot | None] = [None] * len(rows)
    popular = shares >= float(known_cut(cut)) / len(counted)
    earns = _earns(margins, mean, tie)
    sold = shares * counts.sum()
    for place, i in enumerate(inside):
        spots[i] = _spot(popular[:, place], earns[:, place], sold[:, place], margins[:, place])
    low, high = np.quantile(mean, (0.05, 0.95))
    return Posterior(
        spots=tuple(spots), margin_cut=Band(low=float(low), mean=float(mean.mean()), high=float(high)), draws=draws
    )


def _margins(
    rows: Sequence[Given], counted: Sequence[Given], inside: Sequence[int], sds: Sequence[float] | None,
    costs: "Floats | None", draws: int, rng: "np.random.Generator",
) -> "Floats":  # fmt: skip
    """Margins by draw and counted row."""
    import numpy as np  # noqa: PLC0415

    sure = np.array([float(r.margin) for r in counted])
    if sds is not None and costs is not None:
        raise ValueError("give deviations of costs or draws of them, not both")
    if costs is not None:
        drawn = np.asarray(costs, dtype=np.float64)
        if drawn.ndim != 2 or drawn.shape[0] == 0 or drawn.shape[1] != len(rows) or not np.isfinite(drawn).all():
            raise ValueError(f"draws of costs of shape {drawn.shape} must be finite and fit {len(rows)} rows")
        prices = np.array([float(r.price) for r in counted])
        return np.asarray(prices - drawn[np.arange(draws) % drawn.shape[0]][:, inside])
    if sds is None:
        return np.broadcast_to(sure, (draws, len(counted)))
    spread = np.asarray(sds, dtype=np.float64)
    if spread.shape != (len(rows),) or not np.isfinite(spread).all() or (spread < 0.0).any():
        raise ValueError(f"deviations of costs must be 0 or more, and one for each of the {len(rows)} rows")
    return np.asarray(sure + spread[inside] * rng.standard_normal((draws, len(counted))))


def _earns(margins: "Floats", mean: "Floats", tie: Tie) -> "Bools":
    """Margins at or above the mean of their draw, as the tie rule has it."""
    import numpy as np  # noqa: PLC0415

    above = margins - mean[:, None]
    slack = SAME * float(np.abs(margins).max(initial=0.0))
    return np.asarray(above >= -slack if tie == "high" else above > slack)


def _spot(popular: "Bools", earns: "Bools", sold: "Floats", margin: "Floats") -> Spot:
    draws = len(popular)
    both = int((popular & earns).sum())
    often, much = int(popular.sum()), int(earns.sum())
    counts = both, often - both, much - both, draws - often - much + both
    a, b = sold - sold.mean(), margin - margin[0]  # a margin that never varies has a variance of 0, and not 1e-30
    b -= b.mean()
    return Spot(
        chances={klass: count / draws for klass, count in zip(CLASSES, counts, strict=True)}, draws=draws,
        sold=float(sold.mean()), margin=float(margin.mean()),
        sold_var=float((a * a).mean()), margin_var=float((b * b).mean()), cov=float((a * b).mean()),
    )  # fmt: skip


def wilson(count: float, total: float, z: float = NORMAL_975) -> tuple[float, float]:
    """Interval of a share (Wilson 1927), 95 % by default; (0, 1) where nothing was sold. ValueError for a count that
    is not from 0 to the total."""
    if not 0.0 <= count <= total:
        raise ValueError(f"{count} of {total} is no share")
    if total == 0.0:
        return 0.0, 1.0
    p, part = count / total, z * z / total
    middle = (p + part / 2.0) / (1.0 + part)
    half = z / (1.0 + part) * sqrt(p * (1.0 - p) / total + part / (4.0 * total))
    return max(0.0, middle - half), min(1.0, middle + half)


def sales_needed(share: float, cut: float, n: int, chance: float = 0.9) -> int | None:
    """How many the whole set of ``n`` drinks must have sold, so that a drink with this share of them is told from the
    cut (a share, too) with ``chance`` from there on. None where MOST_SALES do not tell.

    The smallest N from which P(Beta(pN + 1, (1 - p)N + n - 1) lies on the side of the cut that p does) >= chance; near
    enough z^2 p(1 - p) / (p - q)^2, with z the normal quantile of the chance, once a few of it were sold.
    """
    import numpy as np  # noqa: PLC0415
    from scipy.special import betainc  # noqa: PLC0415

    if n < 2:
        return 0

    def told(sales: "Floats") -> "Floats":
        below = betainc(share * sales + 1.0, (1.0 - share) * sales + n - 1.0, min(cut, 1.0))
        return np.asarray(1.0 - below if share >= cut else below)

    grid = np.unique(np.round(np.geomspace(1.0, MOST_SALES, 240)))
    short = np.flatnonzero(told(grid) < chance)
    if not len(short):
        return 0
    if short[-1] == len(grid) - 1:
        return None
    low, high = int(grid[short[-1]]), int(grid[short[-1] + 1])
    while high - low > 1:
        middle = (low + high) // 2
        if told(np.array([float(middle)]))[0] < chance:
            low = middle
        else:
            high = middle
    return high


def enough(cut: float, n: int, chance: float = 0.9) -> int:
    """How many a whole set must have sold before anything in it is judged: with fewer, not even a drink half a cut away
    from the cut (to either side) is told from it."""
    away = (0.5 * cut, min(1.0, 1.5 * cut))
    return max(sales_needed(share, cut, n, chance) or 0 for share in away)
