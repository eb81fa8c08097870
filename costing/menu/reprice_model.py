"""The choice of prices as a mixed-integer program: one binary for each price that each line may take.

Solved with ``scipy.optimize.milp`` (HiGHS, branch and cut). What is kept least comes in order: each figure is brought
to its least, then held there while the next one is. One weighted sum of both would do it in one solve, but weights wide
enough to keep the order leave the bound so loose that 60 lines took up to a minute, where two solves take 0.1 s.

The solver counts in floats and forgives 1e-6; the words "is met" are never its own. Its one inexact row, net sales, is
asked a little too little, and every answer is checked in Decimal: one that misses is forbidden by name (a cut through
that one choice of prices) and the solve goes on. So no answer is taken that Decimal refutes, and none that it allows is
passed over.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import gcd, inf, isfinite
from time import monotonic
from typing import Any, Literal
from zlib import crc32

from costing.menu.reprice_record import Pair, PriceRow
from costing.pricing.suggest import SLACK

Figure = Literal["change", "number", "net", "lots"]
"""What is brought to its least: the sum of changes, their number, net sales taken negative, and lots drawn by key and
price, so that equals are told apart and the same lines give the same answer in any order."""
SCALE = 1e4
"""The largest figure in the row of net sales: a forgiven 1e-6 is then 1e-10 of the largest single gain."""
WHOLE = 10**6
"""Net sales among equals are compared to a millionth of the largest single gain, in whole numbers."""
LOTS = 2**20


@dataclass(frozen=True, slots=True, kw_only=True)
class Choosing:
    """Lines, the prices that each may take, and what must hold of all. ``needed`` is net sales (None: nothing)."""

    rows: Sequence[PriceRow]
    choices: Sequence[Sequence[Decimal]]
    pairs: Sequence[Pair] = ()
    at_most: int | None = None
    needed: Decimal | None = None

    def holds(self, prices: Sequence[Decimal]) -> bool:
        """Whether these prices keep everything, in Decimal; net sales with the slack of 1e-9 a drink that every target
        of the house has, because costs are computed in float64."""
        at = {row.key: price for row, price in zip(self.rows, prices, strict=True)}
        moved = sum(row.price != price for row, price in zip(self.rows, prices, strict=True))
        return (
            all(price in listed for price, listed in zip(prices, self.choices, strict=True))
            and all(at[larger] >= at[smaller] for larger, smaller in self.pairs)
            and (self.at_most is None or moved <= self.at_most)
            and (self.needed is None or net_sales(self.rows, prices) >= enough(self.rows, self.needed))
        )


def net_sales(rows: Sequence[PriceRow], prices: Sequence[Decimal]) -> Decimal:
    """What all drinks sold leave the house at these prices."""
    return sum((row.sold * row.net(price) for row, price in zip(rows, prices, strict=True)), Decimal(0))


def enough(rows: Sequence[PriceRow], needed: Decimal) -> Decimal:
    """Net sales from which ``needed`` counts as reached."""
    return needed - SLACK * sum((row.sold for row in rows), Decimal(0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """``prices`` line by line; ``proven`` are the figures that were proven least, in order; ``gap`` is how much less
    the first that was not might be, in its own unit (None: not known)."""

    prices: tuple[Decimal, ...]
    proven: tuple[Figure, ...]
    gap: Decimal | None = None


class TimeUp(Exception):
    """The time ended before any choice was found."""


def choose(choosing: Choosing, figures: Sequence[Figure], until: float) -> Chosen | None:
    """Prices with each figure at its least, the first first; None where nothing keeps everything. ``until`` is on the
    clock of ``time.monotonic``. TimeUp where the time ends before any are found."""
    if any(not listed for listed in choosing.choices):
        return None
    model = _Model(choosing)
    best: Chosen | None = None
    for figure in figures:
        cost, unit = model.figure(figure)
        found = model.least(cost, until)
        if found is None:
            if best is None and not model.late:
                return None
            if best is None:
                raise TimeUp
            return best
        prices, value, bound = found
        proven = best.proven if best is not None else ()
        if bound < value:
            gap = unit * (value - bound) if best is None or not best.gap else best.gap
            return Chosen(prices=prices, proven=proven, gap=gap)
        best = Chosen(prices=prices, proven=(*proven, figure))
        model.keep(cost, value)
    return best


def most_net(choosing: Choosing, until: float) -> tuple[Decimal, ...] | None:
    """The prices that bring the most; None where nothing keeps everything. TimeUp as in ``choose``."""
    if any(not listed for listed in choosing.choices):
        return None
    if not choosing.pairs and choosing.at_most is None:
        return tuple(listed[-1] for listed in choosing.choices)
    model = _Model(choosing)
    found = model.least([-g for g in model.gains], until)
    if found is None and model.late:
        raise TimeUp
    return None if found is None else found[0]


class _Model:
    """The program of one choosing: its rows, and what is added to them on the way."""

    def __init__(self, choosing: Choosing) -> None:
        self.choosing = choosing
        self.starts = [0]
        for listed in choosing.choices:
            self.starts.append(self.starts[-1] + len(listed))
        self.late = False
        self._rows: list[tuple[dict[int, float], float, float]] = []
        exact = [r.sold * (r.net(p) - r.net(r.price)) for r, p in self._each()]
        widest = max((abs(g) for g in exact), default=Decimal(0)) or Decimal(1)
        self.exact, self.widest = exact, widest
        self.gains = [float(g / widest) * SCALE for g in exact]
        for n in range(len(choosing.rows)):
            self._add(dict.fromkeys(range(self.starts[n], self.starts[n + 1]), 1.0), 1.0, 1.0)
        self._needs()
        self._ordered()
        if choosing.at_most is not None:
            moves = {k: 1.0 for k, (r, p) in enumerate(self._each()) if p != r.price}
            self._add(moves, -inf, float(choosing.at_most))

    def _each(self) -> list[tuple[PriceRow, Decimal]]:
        both = zip(self.choosing.rows, self.choosing.choices, strict=True)
        return [(row, price) for row, listed in both for price in listed]

    def _add(self, row: dict[int, float], low: float, high: float) -> None:
        self._rows.append((row, low, high))

    def _needs(self) -> None:
        rows, needed = self.choosing.rows, self.choosing.needed
        if needed is None:
            return
        now = net_sales(rows, [row.price for row in rows])
        wanted = float((enough(rows, needed) - now) / self.widest) * SCALE
        self._add({k: g for k, g in enumerate(self.gains) if g}, wanted, inf)

    def _ordered(self) -> None:
        """A larger serve is at least as dear: whenever the smaller one costs so much or more, so does the larger. One
        row a price, of ones only: tighter than one row of prices, and exact."""
        index = {row.key: n for n, row in enumerate(self.choosing.rows)}
        for larger, smaller in self.choosing.pairs:
            a, b = index[larger], index[smaller]
            for price in self.choosing.choices[b]:
                row: dict[int, float] = {}
                for n, sign in ((a, 1.0), (b, -1.0)):
                    for k, p in enumerate(self.choosing.choices[n], self.starts[n]):
                        if p >= price:
                            row[k] = sign
                self._add(row, 0.0, inf)

    def figure(self, figure: Figure) -> tuple[list[float], Decimal]:
        """(whole numbers of a figure by binary, what one of them is worth)."""
        if figure == "change":
            return _whole([abs(p - r.price) for r, p in self._each()])
        if figure == "number":
            return [float(p != r.price) for r, p in self._each()], Decimal(1)
        if figure == "net":
            unit = self.widest / WHOLE
            return [-float(round(g / unit)) for g in self.exact], unit
        return [float(crc32(f"{r.key}\t{p.normalize():f}".encode()) % LOTS) for r, p in self._each()], Decimal(1)

    def keep(self, cost: Sequence[float], value: int) -> None:
        """Hold a figure of whole numbers at its least; half of one keeps floats out of the way."""
        self._add({k: c for k, c in enumerate(cost) if c}, -inf, value + 0.5)

    def least(self, cost: Sequence[float], until: float) -> tuple[tuple[Decimal, ...], int, int] | None:
        """(prices, their figure, the least it can be) of the least that Decimal agrees with; None where there is none,
        or ``late`` where none was found in time."""
        while True:
            left = until - monotonic()
            result = _solve(cost, self._rows, left) if left > 0 else None
            if result is None or (result.x is None and result.status == 1):
                self.late = True
                return None
            if result.x is None:
                if result.status != 2:
                    raise ArithmeticError(f"the solver gave up: {result.message}")
                return None
            picked = [
                max(range(a, b), key=lambda k: (result.x[k], -k))
                for a, b in zip(self.starts, self.starts[1:], strict=False)
            ]
            each = self._each()
            prices = tuple(each[k][1] for k in picked)
            if self.choosing.holds(prices):
                value = round(sum(cost[k] for k in picked))
                bound = value if result.status == 0 else _up(result.mip_dual_bound, value)
                return prices, value, bound
            self._add(dict.fromkeys(picked, 1.0), -inf, len(picked) - 1.0)  # not this one: Decimal refutes it


def _up(bound: float | None, value: int) -> int:
    """The least whole number that a bound of floats allows, at most ``value``."""
    if bound is None or not isfinite(bound):
        return min(0, value)
    whole = round(bound)
    return min(value, whole if whole >= bound - 1e-6 else whole + 1)


def _whole(values: Sequence[Decimal]) -> tuple[list[float], Decimal]:
    """Amounts as whole numbers of the largest unit that measures them all, and that unit."""
    places = max((-int(v.normalize().as_tuple().exponent) for v in values if v), default=0)
    unit = Decimal(1).scaleb(-places)
    counts = [int(v / unit) for v in values]
    shared = gcd(*counts) or 1
    return [float(c // shared) for c in counts], unit * shared


def _solve(cost: Sequence[float], rows: Sequence[tuple[dict[int, float], float, float]], seconds: float) -> Any:
    import numpy as np  # noqa: PLC0415
    from scipy.optimize import Bounds, LinearConstraint, milp  # noqa: PLC0415
    from scipy.sparse import csr_array  # noqa: PLC0415

    at = [(n, k, value) for n, (row, _, _) in enumerate(rows) for k, value in row.items()]
    down, across, values = zip(*at, strict=True)
    shape = (len(rows), len(cost))
    matrix = csr_array((np.asarray(values), (np.asarray(down), np.asarray(across))), shape=shape)
    limits = LinearConstraint(matrix, [low for _, low, _ in rows], [high for _, _, high in rows])
    return milp(
        np.asarray(cost), constraints=limits, integrality=np.ones(len(cost)), bounds=Bounds(0, 1),
        options={"mip_rel_gap": 0.0, "time_limit": seconds},
    )  # fmt: skip


__all__ = ["Choosing", "Chosen", "Figure", "TimeUp", "choose", "enough", "most_net", "net_sales"]
