"""``python -m tests.pricing.coverage [houses]``: whether ranges of 90 % hold the next cost in nine of ten houses.

Each house has one to three preparations in a row, each with a lognormal yield of its own that nobody knows: what is
known is three to twelve logged batches or yield tests of it, a recipe that is a little off, and a price that walks at
random. Its range is reckoned from those records by the program; then the next batches and the next price are drawn from
the truth, and the cost is worked out by hand. Exit 1 unless the ranges hold it in 87 to 93 %.
"""

import random
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from math import exp, sqrt

from costing.book.book import Book
from costing.book.fact import parse_fact
from costing.book.records import (
    BatchLog,
    Good,
    House,
    Input,
    LoggedStage,
    Preparation,
    Quote,
    Record,
    Serve,
    ServeVersion,
    Stage,
    Terms,
    Version,
    YieldTest,
)
from costing.edits.trials import write_mean
from costing.ledger import reckon
from costing.pricing.exposure import exposures
from costing.pricing.ranges import Range, ranges
from costing.pricing.sources import HORIZON

HOUSES, SEED = 1_000, 6
LEAST, MOST = 0.87, 0.93
DAY = date(2026, 6, 1)
LINE, BESIDE = 0.05, 0.03
"""kg of the last preparation and of a bought spirit in the drink."""
SPIRIT = 22.0
"""Money for 1 kg of that spirit."""


@dataclass(frozen=True, slots=True)
class Truth:
    """What the house does not know: median and logarithmic standard deviation of each yield, and of the price's step
    over the horizon; ``price`` is the last one."""

    yields: tuple[tuple[float, float], ...]
    price: float
    step: float

    def next_cost(self, rng: random.Random) -> float:
        """The next drink's cost."""
        money = self.price * exp(rng.gauss(0.0, self.step))
        for median, sd in self.yields:
            money /= median * exp(rng.gauss(0.0, sd))
        return LINE * money + BESIDE * SPIRIT


@dataclass(frozen=True, slots=True)
class Case:
    """One house: how many sources its cost has, the fewest that any of them is known by, its range, the next cost."""

    sources: int
    fewest: int
    found: Range
    cost: float

    @property
    def held(self) -> bool:
        """Whether the range holds it."""
        return self.found.low <= self.cost <= self.found.high


def _drawn(rng: random.Random, median: float, sd: float, n: int) -> list[float]:
    return [round(median * exp(rng.gauss(0.0, sd)), 4) for _ in range(n)]


def _prices(rng: random.Random, n: int, step: float) -> list[float]:
    """``n`` steps of a price, one each 28 days."""
    out = [round(rng.uniform(8.0, 40.0), 2)]
    for _ in range(n):
        out.append(round(out[-1] * exp(rng.gauss(0.0, step)), 2))
    return out


def house(rng: random.Random) -> tuple[Book, Truth, list[int]]:
    """A house, the truth about it, and how many batches, tests and price steps its sources are known by."""
    known: list[int] = []
    records: list[Record] = [
        House(id="house", name="House", currency="EUR", terms=(Terms(since=date(2025, 1, 1)),)),
        Good(id="pear", name="Pear", kind="fruit", base="kg",
             makeup=(("water", parse_fact("84 %")), ("solubles", parse_fact("12 %")))),
        Good(id="spirit", name="Spirit", kind="spirit", base="kg", makeup=(("abv", parse_fact("40 %")),)),
        Quote(id="q", good="spirit", supplier="s", content=parse_fact("1 kg"), price=Decimal(str(SPIRIT)),
              currency="EUR", since=date(2025, 1, 1)),
    ]  # fmt: skip
    step = rng.uniform(0.01, 0.06) if rng.random() < 0.6 else 0.0
    prices = _prices(rng, rng.randint(3, 12) if step else 0, step)
    known += [len(prices) - 1] if step else []
    for n, price in enumerate(reversed(prices)):
        since = DAY - timedelta(days=HORIZON * n)
        records.append(Quote(id=f"p{n}", good="pear", supplier="s", content=parse_fact("1 kg"),
                             price=Decimal(str(price)), currency="EUR", since=since))  # fmt: skip
    yields: list[tuple[float, float]] = []
    tested = False
    for place in range(rng.randint(1, 3)):
        median, sd, n = rng.uniform(0.5, 0.75), rng.uniform(0.02, 0.11), rng.randint(3, 12)
        yields.append((median, sd))
        known.append(n)
        shares = _drawn(rng, median, sd, n)
        keep = round(100.0 * median * rng.uniform(0.97, 1.03), 1)
        stage = Stage(id="a", kind="cut", facts=(("keep", parse_fact(f"{keep} %")),), adds=(
            Input(source=f"m{place - 1}" if place else "pear", amount=parse_fact("1 kg")),))  # fmt: skip
        versions = (Version(since=date(2025, 1, 1), stages=(stage,)),)
        records.append(Preparation(id=f"m{place}", name=f"m{place}", base="kg", versions=versions))
        tests = place == 0 and rng.random() < 0.5
        tested = tested or tests
        records += _tests(shares) if tests else _logs(f"m{place}", shares)
    adds = (Input(source=f"m{len(yields) - 1}", amount=parse_fact(f"{LINE} kg")),
            Input(source="spirit", amount=parse_fact(f"{BESIDE} kg")))  # fmt: skip
    build = ServeVersion(since=date(2025, 1, 1), build=Stage(id="build", kind="build", adds=adds))
    book = Book.of([*records, Serve(id="drink", name="Drink", versions=(build,))])
    if tested:
        book = book.with_changes(write_mean(book, "pear", "flesh", "m0", "a", date(2025, 1, 1)).changes)
    return book, Truth(tuple(yields), prices[-1], step), known


def _tests(shares: Sequence[float]) -> Iterator[YieldTest]:
    for n, share in enumerate(shares):
        yield YieldTest(id=f"t{n}", good="pear", day=DAY, gross=parse_fact("1 kg"), kept=parse_fact(f"{share} kg"),
                        part="flesh")  # fmt: skip


def _logs(made: str, shares: Sequence[float]) -> Iterator[BatchLog]:
    for n, share in enumerate(shares):
        stage = LoggedStage(stage="a", readings=(("out.mass", parse_fact(f"{share} kg")),))
        yield BatchLog(id=f"{made}{n}", preparation=made, day=DAY, stages=(stage,))


def cases(houses: int, seed: int = SEED) -> Iterator[Case]:
    """So many houses, each reckoned and then drawn once more."""
    rng = random.Random(seed)
    for _ in range(houses):
        book, truth, known = house(rng)
        found = ranges(exposures(reckon(book.on(DAY)))).serves["drink"]
        if found is None:
            raise ValueError("a house whose figures are all known has a range")
        yield Case(len(known), min(known), found, truth.next_cost(rng))


def main(argv: Sequence[str]) -> int:
    """Count, print, and say by the exit code whether nine of ten were held."""
    done = list(cases(int(argv[0]) if argv else HOUSES))
    held = sum(case.held for case in done) / len(done)
    below = sum(case.cost < case.found.low for case in done) / len(done)
    error = sqrt(held * (1.0 - held) / len(done))
    print(f"{len(done):,} houses: held {held:.1%} +- {error:.1%}, below {below:.1%}, above {1.0 - held - below:.1%}")
    for name, part in (("sources", "sources"), ("fewest seen", "fewest")):
        for value in sorted({getattr(case, part) for case in done}):
            group = [case for case in done if getattr(case, part) == value]
            print(f"  {name} {value:>2}: {sum(c.held for c in group) / len(group):.1%} of {len(group)}")
    simulated = [case for case in done if case.found.method == "simulation"]
    if simulated:
        print(f"  by simulation: {sum(c.held for c in simulated) / len(simulated):.1%} of {len(simulated)}")
    return 0 if LEAST <= held <= MOST else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
