"""Target 9: float64 costs against rational numbers, and every cent through ``costing.book.money``."""

import math
import random
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import numpy as np

from costing.book.money import rounded
from costing.ledger import levels
from tests.benchmarks import baselines
from tests.benchmarks.engine import Bench
from tests.benchmarks.result import Result, faster, figure
from tests.benchmarks.timing import paired

DRINKS = 60_000


@dataclass(frozen=True, slots=True)
class Cents:
    """Of so many simple drinks: exact ties at half a cent, and wrong cents by three ways of rounding."""

    drinks: int
    ties: int
    ours: int
    naive: int
    builtin: int


def simple_drinks(count: int, seed: int = 9) -> Iterator[list[tuple[str, str, str]]]:
    """Drinks of 1 to 3 lines (price of a pack, litres in it, litres poured), as texts."""
    rng = random.Random(seed)
    for _ in range(count):
        yield [
            (f"{rng.randint(300, 9_999) / 100:.2f}", rng.choice(("0.5", "0.7", "0.75", "1", "1.5", "4.5")),
             rng.choice(("0.005", "0.0075", "0.01", "0.015", "0.02", "0.0225", "0.025", "0.03", "0.04", "0.045",
                         "0.05", "0.06")))
            for _ in range(rng.randint(1, 3))
        ]  # fmt: skip


def count_cents(count: int) -> Cents:
    """Cost each drink in floats and in rational numbers and compare the cents."""
    ties = ours = naive = builtin = 0
    for drink in simple_drinks(count):
        cost = sum(float(price) / float(pack) * float(pour) for price, pack, pour in drink)
        exact = sum((Fraction(price) / Fraction(pack) * Fraction(pour) for price, pack, pour in drink), Fraction(0))
        right = baselines.half_up_exact(exact, 2)
        ties += (exact * 100) % 1 == Fraction(1, 2)
        ours += rounded(cost, 2) != right
        naive += math.floor(cost * 100 + 0.5) != int(right * 100)
        builtin += Decimal(repr(round(cost, 2))).quantize(Decimal("0.01"), ROUND_HALF_UP) != right
    return Cents(count, ties, ours, naive, builtin)


def exact_money(bench: Bench) -> list[Result]:
    """9: the largest relative error of any cost, and wrong cents of 60,000."""
    arrays = bench.arrays
    exact = baselines.roll_up_exact(bench.book, bench.book.prices)
    costs = np.asarray(levels.total_costs(arrays, arrays.prices)).tolist()
    worst = max(abs(Fraction(costs[arrays.index[name]]) / value - 1) for name, value in exact.items())
    cents = count_cents(DRINKS)
    note = (f"{cents.ties} exact ties; floor(x + 0.5) gives {cents.naive} wrong, round() {cents.builtin}")  # fmt: skip
    out = [
        figure("9", f"largest relative error of {len(exact):,} costs", "Fraction", float(worst), "", 1e-14),
        figure("9", f"wrong cents of {cents.drinks:,} drinks", "Fraction, half up", cents.ours, "", 0.0, note),
    ]
    if bench.size == "bar":
        times = paired(
            lambda: baselines.roll_up_exact(bench.book, bench.book.prices),
            lambda: baselines.roll_up(bench.book, bench.book.prices),
        )
        out.append(faster("-", "B, for scale", "the same in Fraction", times, None))
    return out
