"""The range that a cost lies in, as far as the figures under it are known: 90 of 100 such drinks or batches do.

Up to a relative standard deviation of a fifth by first order (the delta method): the moves that sources make add up as
squares, and the range is the lognormal one of that width, which cannot fall below nothing. Beyond it the range is the
5 % and 95 % points of costs drawn through the whole web. It stands about the cost as printed or, where a preparation
was logged, about what its batches cost on average, and always holds the cost as printed.

Where a preparation was logged once or twice, no deviation can be told: the range then holds what was seen, from the
least to the most, added as squares to what is known of the rest.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import exp, log, sqrt
from statistics import NormalDist
from typing import TYPE_CHECKING, Literal

from costing.book.change import Key
from costing.book.levies import Levy, Policy, PricePoints
from costing.book.money import exact
from costing.pricing.doubts import LEAST_TESTS, NORMAL_95, Basis
from costing.pricing.draws import DRAWS, SEED, draw_costs
from costing.pricing.exposure import LEAST, Exposures
from costing.pricing.menu import PricedServe
from costing.pricing.sources import Source
from costing.pricing.suggest import suggest

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

FIRST_ORDER = 0.20
"""The relative standard deviation up to which first order stands."""
Method = Literal["first order", "simulation", "seen"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """One thing that a range stands on: the record and the figure in it ("" for a preparation's batches or a good's
    price), the standard deviation it gives the cost of one, in money, and what that is known by. Of batches that were
    only seen (``n`` below three), 1.645 of ``money`` are half of what they lie apart."""

    key: Key
    figure: str
    money: float
    basis: Basis
    n: int = 0

    @property
    def few(self) -> bool:
        """Whether it is batches that were only seen."""
        return self.basis == "batches" and self.n < LEAST_TESTS


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """``low`` to ``high`` hold 90 %, or what was seen; ``cost`` is as printed; ``causes`` are the largest first.

    ``middle`` is the cost that half lie below, ``sd`` the standard deviation of its logarithm, both without what was
    only seen.
    """

    cost: float
    low: float
    high: float
    causes: tuple[Cause, ...]
    method: Method
    middle: float
    sd: float

    @property
    def basis(self) -> Basis:
        """What its largest cause is known by."""
        return self.causes[0].basis

    @property
    def n(self) -> int:
        """How often its largest cause was seen: batches, tests or steps of a price; 0 where it is assumed."""
        return self.causes[0].n

    @property
    def assumed(self) -> bool:
        """Whether any of it stands on the house's assumption of how far an assumed figure may be off."""
        return any(cause.basis == "assumed" for cause in self.causes)

    @property
    def seen(self) -> bool:
        """Whether any of it stands on fewer than three batches, which tell no deviation."""
        return any(cause.few for cause in self.causes)

    def crosses(self, limit: float) -> bool:
        """Whether a limit of cost lies inside: what is true of the cost need not be of the next drink."""
        return self.low < limit < self.high


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranges:
    """Ranges of a day by id, of drinks and of outputs a unit; None where none can be told: a component has no price,
    nothing under it is known to vary, it cannot be costed where a figure is off, or rebates may leave it no cost."""

    serves: Mapping[str, Range | None]
    made: Mapping[str, Range | None]


def interval(cost: float, sd: float) -> tuple[float, float]:
    """(5 %, 95 %) of a lognormal cost whose median is ``cost`` and whose relative standard deviation is sd / cost.
    ValueError for a cost of nothing or less."""
    if cost <= 0.0:
        raise ValueError(f"a cost of {cost} has no range: it must be above 0")
    width = NORMAL_95 * sqrt(log(1.0 + (sd / cost) ** 2))
    return cost * exp(-width), cost * exp(width)


def ranges(found: Exposures, *, n: int = DRAWS, seed: int = SEED) -> Ranges:
    """The range of every drink and output of a web; ``n`` draws for those that vary too widely for first order."""
    keys: list[Key] = [("serve", s) for s in found.serves]
    keys += [("", name) for name, node in found.nodes.items() if node.row]
    known = {key: _first_order(found, key) for key in keys}
    wide = [key for key, one in known.items() if one is not None and one.method == "simulation"]
    if wide:
        drawn = draw_costs(found, [i for kind, i in wide if kind], made=[i for kind, i in wide if not kind], n=n,
                           seed=seed)  # fmt: skip
        for column, key in enumerate(wide):
            one = known[key]
            if one is not None:
                known[key] = _drawn(found, key, one, drawn[:, column])
    return Ranges(serves={i: one for (kind, i), one in known.items() if kind},
                  made={i: one for (kind, i), one in known.items() if not kind})  # fmt: skip


def _first_order(found: Exposures, key: Key) -> Range | None:
    """The range by first order; one that varies too widely is marked as of simulation, its ends not yet right."""
    cost = (found.serves if key[0] else found.nodes)[key[1]].cost
    middle = found.middles[key]
    if key in found.untold or key in found.incomplete or min(cost, middle, found.ends[0][key]) <= 0.0:
        return None
    sources, moves = found.sources, found.moves[key]
    causes = sorted(
        (_cause(sources[k], abs(money) / middle * cost) for k, money in moves.items()
         if abs(money) > LEAST * middle or (sources[k].basis == "batches" and sources[k].seen is None)),
        key=lambda cause: -cause.money,
    )  # fmt: skip
    if not causes:
        return None
    sd = together(_moves(found, key))
    low, high = _with_seen(found, key, middle, interval(middle, sd * middle))
    only_seen = all(cause.few for cause in causes)
    method: Method = "seen" if only_seen else "simulation" if sd > FIRST_ORDER else "first order"
    return Range(cost=cost, low=min(low, cost), high=max(high, cost), middle=middle, sd=sqrt(log(1.0 + sd * sd)),
                 method=method, causes=tuple(causes))  # fmt: skip


def _cause(source: Source, money: float) -> Cause:
    return Cause(key=source.key, figure=source.figure, money=money, basis=source.basis, n=source.n)


def together(moves: Iterable[tuple[float, float]]) -> float:
    """The standard deviation of a sum of independent moves, each (standard deviation, how many times wider that is for
    being known by few).

    Squares add up, without what each was widened by; of this the largest is added once. All of it would count a small
    number of batches again and again where many sources meet, whose errors make good for each other: with effective
    degrees of freedom (JCGM 100:2008, G.4) the range would be narrower still, but could narrow where a doubt grows.
    """
    squares, most = 0.0, 0.0
    for sd, widening in moves:
        plain = (sd / widening) ** 2
        squares += plain
        most = max(most, sd * sd - plain)
    return sqrt(squares + most)


def _with_seen(found: Exposures, key: Key, middle: float, ends: tuple[float, float]) -> tuple[float, float]:
    """Ends widened, as squares of logarithms, by what batches that were only seen lie below and above the middle."""
    least, most = (min(found.ends[0][key], middle), max(found.ends[1][key], middle))
    low = sqrt(log(middle / ends[0]) ** 2 + log(middle / least) ** 2)
    high = sqrt(log(ends[1] / middle) ** 2 + log(most / middle) ** 2)
    return middle * exp(-low), middle * exp(high)


def _drawn(found: Exposures, key: Key, one: Range, costs: "NDArray[np.float64]") -> Range | None:
    """A range by what was drawn of it; what its sources were widened by counts as in ``together``."""
    import numpy as np  # noqa: PLC0415

    if costs.min() <= 0.0:
        return None
    low, middle, high = np.quantile(costs, (0.05, 0.5, 0.95)).tolist()
    moves = _moves(found, key)
    share = together(moves) / sqrt(sum(sd * sd for sd, _ in moves))
    low, high = middle * (low / middle) ** share, middle * (high / middle) ** share
    return replace(
        one,
        low=min(low, one.cost, found.ends[0][key]),
        high=max(high, one.cost, found.ends[1][key]),
        middle=middle,
        sd=share * float(np.log(costs).std()),
    )


def _moves(found: Exposures, key: Key) -> list[tuple[float, float]]:
    """Relative moves of what tells a deviation, with how far each was widened."""
    middle = found.middles[key]
    return [(money / middle, found.sources[k].widening) for k, money in found.moves[key].items()
            if found.sources[k].seen is None]  # fmt: skip


def allowed(net: float, policy: Policy) -> float:
    """What a drink may cost at a net price, for its target to be met."""
    value = float(policy.value)
    return {"pour_cost": net * value, "margin": net - value, "multiplier": net / value}[policy.kind]


def chance_missed(found: Range | None, limit: float) -> float | None:
    """The chance, 0 to 1, that one costs more than a target allows it (``allowed``); None where no range is known, or
    one of batches that were only seen, which tell no chance."""
    if found is None or found.seen:
        return None
    if limit <= 0.0:
        return 1.0
    over = log(found.middle / limit)
    return NormalDist().cdf(over / found.sd) if found.sd > 0.0 else float(over > 0.0)


def share_missed(costs: "NDArray[np.float64]", most: Sequence[float]) -> "NDArray[np.float64]":
    """The share of draws (n, drinks) in which each drink costs more than its target allows, (drinks,). ValueError where
    there is not one limit for each."""
    import numpy as np  # noqa: PLC0415

    limits = np.asarray(most, dtype=np.float64)
    if limits.shape != costs.shape[1:]:
        raise ValueError(f"limits of shape {limits.shape} are not one for each of {costs.shape[1:]} drinks")
    return np.asarray((costs > limits).mean(axis=0), dtype=np.float64)


def crosses_target(priced: PricedServe, found: Range | None) -> bool:
    """Whether the printed price meets the target at one end of the range and misses it at the other."""
    if found is None or priced.price is None or not priced.cost.complete:
        return False
    return found.crosses(allowed(float(priced.price.net), priced.policy))


def crosses_point(priced: PricedServe, found: Range | None, levies: Sequence[Levy], points: PricePoints) -> bool:
    """Whether the target asks for one price point at one end of the range and for another at the other."""
    if found is None or not priced.cost.complete:
        return False
    asked = {suggest(exact(end), priced.policy, levies, points).at.all_in for end in (found.low, found.high)}
    return len(asked) > 1
