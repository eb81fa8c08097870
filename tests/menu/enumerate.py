"""Random small menus, and every choice of their prices counted through: what the mixed-integer program is held against.

Nothing here comes from ``costing.menu``'s own search: price points are counted from 0 in steps, net sales are whole
numbers of cents times drinks, and the need is a Fraction.
"""

import random
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import ceil

import numpy as np
import numpy.typing as npt

from costing.book.levies import Levy, PricePoints
from costing.menu.reprice_record import Aim, Family, Goal, Limits, Pair, PriceRow

D = Decimal
LEVIES = (Levy("Service", D("0.10")), Levy("Tax", D("0.09"), on="running"))
MULTIPLIER = Fraction(1199, 1000)
"""Service of 10 %, and tax of 9 % on the running total: 1.10 x 1.09."""
STEP = 50
"""Cents between two price points."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One repricing to do."""

    rows: tuple[PriceRow, ...]
    aim: Aim
    limits: Limits
    pairs: tuple[Pair, ...]
    goal: Goal
    points: PricePoints = PricePoints(D("0.50"))


def random_case(rng: random.Random, most: int = 6) -> Case:
    """An invented menu of up to so many serves: prices on and off the points, few and many sold, some never sold, some
    held, some bounded, size orders that stand and that do not; often an aim that one choice meets to the last digit."""
    count = rng.randint(1, most)
    rows = tuple(_random_row(rng, n) for n in range(count))
    if not any(row.sold for row in rows):
        rows = (replace(rows[0], sold=D(7)), *rows[1:])
    keys = [row.key for row in rows]
    price = {row.key: row.price for row in rows}
    pairs = tuple(
        (a, b) for a in keys for b in keys if a != b and rng.random() < (0.2 if price[a] >= price[b] else 0.02)
    )
    limits = Limits(
        rise=rng.choice([None, None, D("0.05"), D("0.10"), D("0.15"), D("0.25")]),
        rise_money=rng.choice([None, None, None, D("0.75"), D("1.00")]),
        at_most=rng.choice([None, None, rng.randint(0, count), rng.randint(1, count)]),
        reductions=rng.random() < 0.7,
        within=rng.randint(1, 3),
    )
    cost = sum((row.sold * row.cost for row in rows), D(0))
    net = sum((row.sold * row.net(row.price) for row in rows), D(0))
    lift = D(rng.randint(-2, 10)) / 100
    if rng.random() < 0.4:  # a sum that some prices on the points come to exactly
        ups = [rng.randint(0, limits.within) * D(STEP) / 100 for _ in rows]
        wanted = sum((row.sold * row.net(row.price + up) for row, up in zip(rows, ups, strict=True)), D(0))
    else:
        wanted = net * (1 + lift)
    kind = rng.choice(["pour_cost", "margin"])
    if kind == "pour_cost" and 0 < cost <= wanted:
        aim = Aim(kind="pour_cost", value=cost / wanted)
    else:
        aim = Aim(kind="margin", value=wanted - cost)
    return Case(rows=rows, aim=aim, limits=limits, pairs=pairs, goal=rng.choice(["smallest", "fewest"]))


def _random_row(rng: random.Random, n: int) -> PriceRow:
    price = D(rng.randint(8, 48)) / 2 if rng.random() < 0.85 else D(rng.randint(400, 2400)) / 100
    least = price - D(rng.choice([-1, 0, 1, 2, 3, 4, 5])) / 2 if rng.random() < 0.2 else None
    most = price + D(rng.choice([-1, 0, 1, 2, 3, 4, 5])) / 2 if rng.random() < 0.25 else None
    if least is not None and most is not None and most < least:
        least = None
    return PriceRow(
        key=f"k{n}", name=f"Serve {n}", cost=(price * rng.randint(12, 34) / 100).quantize(D("0.0001")),
        sold=D(rng.choice([0, rng.randint(1, 30), rng.randint(1, 600)])), price=price, levies=LEVIES,
        held=rng.random() < 0.15, least=None if least is None else max(least, D(0)), most=most,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """What enumeration finds: whether any choice keeps the limits, the most net sales of these, the (change in money,
    number of changes) of the best of those that bring enough (None: none does), and the most net sales of its equals.
    """

    possible: bool
    most: Fraction | None
    best: tuple[Decimal, int] | None
    best_net: Fraction | None
    choices: int


def count_through(case: Case, lifted: Family | None = None) -> Counted:
    """Every choice of prices, with one kind of limit lifted where that is asked."""
    listed = [_cents(row, case, lifted) for row in case.rows]
    if any(not cents for cents in listed):
        return Counted(possible=False, most=None, best=None, best_net=None, choices=0)
    grids: list[npt.NDArray[np.int64]] = [
        g.ravel() for g in np.meshgrid(*[np.asarray(c, dtype=np.int64) for c in listed], indexing="ij")
    ]
    now = [int(row.price * 100) for row in case.rows]
    change = sum((np.abs(g - p) for g, p in zip(grids, now, strict=True)), np.zeros_like(grids[0]))
    number = sum(((g != p).astype(np.int64) for g, p in zip(grids, now, strict=True)), np.zeros_like(grids[0]))
    sales = sum((g * int(row.sold) for g, row in zip(grids, case.rows, strict=True)), np.zeros_like(grids[0]))
    keeps = np.ones(len(change), dtype=bool)
    if case.limits.at_most is not None and lifted != "number":
        keeps &= number <= case.limits.at_most
    by = {row.key: n for n, row in enumerate(case.rows)}
    for a, b in case.pairs if lifted != "order" else ():
        larger, smaller = case.rows[by[a]], case.rows[by[b]]
        if not (larger.held and smaller.held and larger.price < smaller.price):
            keeps &= grids[by[a]] >= grids[by[b]]
    if not keeps.any():
        return Counted(possible=False, most=None, best=None, best_net=None, choices=len(change))
    most = Fraction(int(sales[keeps].max()), 100) / MULTIPLIER
    meets = keeps & (sales >= _need(case))
    best, best_net = None, None
    if meets.any():
        first, second = (change, number) if case.goal == "smallest" else (number, change)
        least = int(first[meets].min())
        behind = int(second[meets & (first == least)].min())
        cents, moved = (least, behind) if case.goal == "smallest" else (behind, least)
        best = D(cents) / 100, moved
        equals = meets & (first == least) & (second == behind)
        best_net = Fraction(int(sales[equals].max()), 100) / MULTIPLIER
    return Counted(possible=True, most=most, best=best, best_net=best_net, choices=len(change))


def _need(case: Case) -> int:
    """Cents of printed prices times drinks that are needed, with the slack of 1e-9 a drink."""
    cost = sum((Fraction(row.sold) * Fraction(row.cost) for row in case.rows), Fraction(0))
    value = Fraction(case.aim.value)
    needed = cost / value if case.aim.kind == "pour_cost" else cost + value
    slack = Fraction(1, 10**9) * sum((Fraction(row.sold) for row in case.rows), Fraction(0))
    return ceil((needed - slack) * MULTIPLIER * 100)


def _cents(row: PriceRow, case: Case, lifted: Family | None) -> list[int]:
    """The prices a line may take, in cents."""
    now = int(row.price * 100)
    if row.held and lifted != "held":
        return [now]
    limits = case.limits
    points = range(0, now + (limits.within + 2) * STEP, STEP)
    up = [p for p in points if p > now][: limits.within]
    down = [p for p in points if 0 < p < now][-limits.within :]
    out = []
    for cents in (*down, now, *up):
        price = D(cents) / 100
        rise = price - row.price
        if lifted != "rise" and (
            (limits.rise is not None and rise > limits.rise * row.price)
            or (limits.rise_money is not None and rise > limits.rise_money)
        ):
            continue
        if lifted != "bounds" and (
            (row.least is not None and price < row.least) or (row.most is not None and price > row.most)
        ):
            continue
        if rise < 0 and not limits.reductions and lifted != "reductions":
            continue
        out.append(cents)
    return out
