"""17: 10,000 draws of a whole menu of 1,500 drinks, against a plain loop that does the same draw by draw.

The group's book with 600 prices and 400 preparations that vary. The plain way draws each factor with the standard
library and costs every recipe again by recursion; it is run on a part of the draws and said so. That both cost alike is
checked first, draw by draw, on the program's own factors. Seconds are CPU time.
"""

import random
import time
from collections.abc import Mapping
from math import exp

from costing.pricing.draws import DRAWS, draw_costs
from costing.pricing.exposure import Exposures, Node
from costing.pricing.sources import Source
from tests.benchmarks.data import Written, written
from tests.benchmarks.engine import apart
from tests.benchmarks.result import Result, figure, wrong

PRICES, BATCHES, PRICE_SD, BATCH_SD = 600, 400, 0.05, 0.08
PART = 20
MOST_S = 1.0
CLOSE = 1e-12


def web(book: Written, seed: int = 17) -> Exposures:
    """A book's rows with prices and batches that vary, drawn by lot."""
    rng = random.Random(seed)
    drinks = set(book.drinks)
    goods = rng.sample(sorted(book.prices), min(PRICES, len(book.prices)))
    made = [name for name in book.items if name not in drinks]
    varying = rng.sample(made, min(BATCHES, len(made)))
    sources = [Source(key=("good", good), basis="prices", sd=PRICE_SD, n=12) for good in goods]
    sources += [Source(key=("preparation", name), basis="batches", sd=BATCH_SD, n=8) for name in varying]
    own = {source.key[1]: {k: source.sd} for k, source in enumerate(sources)}
    costs, direct = dict(book.prices), book.direct()
    for name, carried in direct.items():
        costs[name] = sum(amount * costs[source] for source, amount in carried.row.items())
    nodes = {good: Node(cost=price, own=own.get(good, {})) for good, price in book.prices.items()}
    nodes |= {name: Node(cost=costs[name], row=direct[name].row, own=own.get(name, {})) for name in made}
    serves = {name: Node(cost=costs[name], row=direct[name].row) for name in book.drinks}
    return Exposures(sources=tuple(sources), nodes=nodes, serves=serves)


def plain(found: Exposures, factors: Mapping[str, float]) -> list[float]:
    """One draw of every drink, as a careful person writes it first: recursion with a memo."""
    memo: dict[str, float] = {}

    def cost(name: str) -> float:
        known = memo.get(name)
        if known is None:
            node = found.nodes[name]
            known = node.cost if not node.row else 0.0
            for source, amount in node.row.items():
                known += amount * cost(source)
            memo[name] = known = known * factors.get(name, 1.0)
        return known

    return [sum(amount * cost(source) for source, amount in node.row.items()) for node in found.serves.values()]


def plain_seconds(found: Exposures, part: int = PART, n: int = DRAWS) -> float:
    """CPU seconds of the plain way for all draws, from a part of them."""
    rng = random.Random(3)
    began = time.process_time()
    for _ in range(part):
        plain(found, {s.key[1]: exp(rng.gauss(0.0, s.sd)) for s in found.sources})
    return (time.process_time() - began) * n / part


def agreement(found: Exposures, n: int = 3) -> float:
    """The largest relative difference between the two ways on the same factors: those of each source, drawn alone."""
    alone = Exposures(
        sources=found.sources,
        nodes={s.key[1]: Node(cost=1.0, own={k: s.sd}) for k, s in enumerate(found.sources)},
        serves={},
    )
    names = [source.key[1] for source in found.sources]
    factors, drawn = draw_costs(alone, made=names, n=n), draw_costs(found, n=n)
    return max(
        apart(plain(found, dict(zip(names, factors[draw].tolist(), strict=True))), drawn[draw].tolist())
        for draw in range(n)
    )


def many_draws() -> list[Result]:
    """The seconds, and the ratio."""
    found = web(written("group"))
    what = f"{DRAWS:,} draws of {len(found.serves):,} drinks"
    off = agreement(found)
    if off > CLOSE:
        return [wrong("17", what, off)]
    times = []
    for _ in range(5):
        began = time.process_time()
        draw_costs(found)
        times.append(time.process_time() - began)
    ours, slow = sorted(times)[2], plain_seconds(found)
    against = "random.gauss, recursion with a memo, one draw at a time"
    note = f"{PRICES} prices and {BATCHES} batches vary; the plain way measured on {PART} draws; agrees to {off:.1e}"
    ratio = Result(target="17", what=f"{what}, ratio", against=against, verdict="no floor", gate=slow / ours,
                   baseline_ms=slow * 1e3, engine_ms=ours * 1e3, note=note)  # fmt: skip
    return [figure("17", what, "CPU", ours, " s", MOST_S), ratio]
