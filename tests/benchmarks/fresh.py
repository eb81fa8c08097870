"""A child of the benchmarks: one day of one book reckoned in a process that has never reckoned.

Prints one JSON object: milliseconds of CPU of the first reckoning, the median of the following ones (each on a new
view, as after an edit), and of one new quote price carried to every cost in three ways.
"""

import gc
import json
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from statistics import median

from costing.book import Book
from costing.book.change import Change, put
from costing.book.records import Quote
from costing.ledger.costs import Cost, cost_of, roll_up
from costing.ledger.prices import price_goods
from costing.ledger.reckon import Reckoning, reckon
from costing.ledger.rows import Carried
from costing.store import read_json


def last_day(book: Book) -> date:
    """The day the newest quote begins: everything the book knows is in force by then."""
    return max(quote.since for quote in book.all(Quote).values())


def milliseconds(call: Callable[[], object], rounds: int) -> float:
    """Median CPU milliseconds of this thread."""
    times = []
    for _ in range(rounds):
        began = time.thread_time()
        call()
        times.append(time.thread_time() - began)
    return median(times) * 1e3


def dearer(reckoning: Reckoning) -> tuple[str, Change]:
    """A tenth more for the good that most outputs and serves hold directly."""
    rows = [c.row for c in reckoning.direct.values()] + [s.carried.row for s in reckoning.serves.values()]
    good = max(reckoning.prices, key=lambda name: sum(name in row for row in rows))
    quote = reckoning.prices[good].quote
    return good, put("quote", replace(quote, price=quote.price * Decimal("1.1")), quote)


def by_rows(reckoning: Reckoning, good: str, per_base: float) -> tuple[dict[str, Cost], dict[str, Cost]]:
    """Every unit cost and every serve's cost after one price, over the ledger's own rows."""
    layers = {name: g.layer for name, g in reckoning.view.goods.items()}
    prices = {name: price.per_base for name, price in reckoning.prices.items()} | {good: per_base}
    costs = roll_up(reckoning.direct, {name: (layer, prices.get(name)) for name, layer in layers.items()})
    return costs, {name: cost_of(line.carried.row, costs) for name, line in reckoning.serves.items()}


def measure(path: Path) -> dict[str, float | str]:
    """All figures of one book, as the heading says."""
    book = read_json(path)
    day = last_day(book)
    gc.collect()
    gc.disable()
    began = time.thread_time()
    reckoning = reckon(book.on(day))
    cold = (time.thread_time() - began) * 1e3
    warm = milliseconds(lambda: reckon(book.on(day)), 9)
    good, change = dearer(reckoning)
    after = book.with_changes([change])
    edited = milliseconds(lambda: reckon(book.with_changes([change]).on(day)), 9)

    def from_quote() -> object:
        prices, _ = price_goods(after.on(day), {g: reckoning.units[g] for g in reckoning.view.goods})
        return by_rows(reckoning, good, prices[good].per_base)

    per_base = reckoning.prices[good].per_base * 1.1
    rows = milliseconds(lambda: by_rows(reckoning, good, per_base), 51)
    quoted = milliseconds(from_quote, 51)

    from costing.ledger import levels  # late: the reckonings above must not pay for numpy

    direct = {**reckoning.direct, **{f"serve {name}": Carried(s.carried.row) for name, s in reckoning.serves.items()}}
    goods = {name: (g.layer, reckoning.prices[name].per_base if name in reckoning.prices else None)
             for name, g in reckoning.view.goods.items()}  # fmt: skip
    arrays = levels.compiled(direct, goods)
    new = arrays.prices.copy()
    new[arrays.index[good]] = per_base
    passed = milliseconds(lambda: levels.unit_costs(arrays, new), 51)
    costs, _ = by_rows(reckoning, good, per_base)
    whole = reckon(after.on(day)).costs
    apart = max(abs(costs[name].making - c.making) / c.making for name, c in whole.items() if c.making)
    return {
        "book": path.name, "day": day.isoformat(), "goods": len(goods), "outputs": len(reckoning.direct),
        "serves": len(reckoning.serves), "problems": len(reckoning.problems), "cold": cold, "warm": warm,
        "edited": edited, "rows": rows, "quoted": quoted, "arrays": passed, "apart": apart,
    }  # fmt: skip


if __name__ == "__main__":
    print(json.dumps(measure(Path(sys.argv[1]))))
