"""18: a menu of 60 serves with 12 price points each priced to an overall pour cost, exactly.

Beside it the plain way that a bar has: every price up by one price point, again and again. It takes no time, so what is
set against it is money: the sum of all changes of printed prices. Seconds are CPU time, the worst of the menus.
"""

import time
from decimal import Decimal
from random import Random

from costing.book.levies import Levy, PricePoints
from costing.menu.reprice import reprice
from costing.menu.reprice_record import Aim, Goal, Limits, Pair, PriceRow
from tests.benchmarks.result import Result, figure, wrong

SERVES, POINTS, MENUS = 60, 12, 12
MOST_S = 5.0
LEVIES = (Levy("Service", Decimal("0.10")), Levy("Tax", Decimal("0.09"), on="running"))


def menu(rng: Random, serves: int = SERVES) -> tuple[list[PriceRow], list[Pair]]:
    """An invented menu: some prices held, some bounded, some drinks that nobody buys, and a size order or eight."""
    rows = []
    for n in range(serves):
        price = Decimal(rng.randint(14, 48)) / 2
        rows.append(PriceRow(
            key=f"k{n:03}", name=f"Serve {n}", cost=(price * rng.randint(12, 32) / 100).quantize(Decimal("0.0001")),
            sold=Decimal(rng.choice([0, rng.randint(1, 40), rng.randint(1, 600), rng.randint(1, 600)])), price=price,
            levies=LEVIES, held=rng.random() < 0.1,
            most=price + Decimal(rng.randint(1, 6)) / 2 if rng.random() < 0.2 else None,
        ))  # fmt: skip
    drawn = [rng.sample(rows, 2) for _ in range(8)]
    return rows, [(a.key, b.key) if a.price >= b.price else (b.key, a.key) for a, b in drawn]


def whole_menu() -> list[Result]:
    """The worst of some menus under different limits, and the money of change against the plain way."""
    worst, saved, met, far = 0.0, list[float](), 0, 0
    goals: tuple[Goal, Goal] = ("smallest", "fewest")
    for seed in range(MENUS):
        rng = Random(seed)
        rows, pairs = menu(rng)
        cost = sum((row.cost * row.sold for row in rows), Decimal(0))
        net = sum((row.net(row.price) * row.sold for row in rows), Decimal(0))
        for goal in goals:
            for rise, at_most in ((Decimal("0.15"), None), (Decimal("0.10"), 15), (None, None)):
                limits = Limits(rise=rise, at_most=at_most, reductions=False, within=POINTS - 1)
                aim = Aim(kind="pour_cost", value=cost / net * rng.randint(86, 99) / 100)
                began = time.process_time()
                found = reprice(rows, aim, points=PricePoints(), limits=limits, order=pairs, goal=goal, seconds=60.0)
                worst = max(worst, time.process_time() - began)
                if not found.proven:
                    return [wrong("18", "repricing that was not proven", 1.0)]
                met, far = met + found.met, far + (not found.met)
                if found.met and found.everything.met and rise is not None:
                    saved.append(float(found.change / found.everything.change))
    note = f"{met} met, {far} out of reach and told why"
    what = f"{SERVES} serves x {POINTS} price points, the worst of {met + far}"
    middle = sorted(saved)[len(saved) // 2]
    return [
        figure("18", what, "CPU", worst, " s", MOST_S, note),
        figure("18", "money of change, median", "every price up a point at a time", middle, "x", 1.0),
    ]
