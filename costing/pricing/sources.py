"""What makes costs doubtful, as sources that are independent of each other: a preparation's logged batches, the history
of a good's price, and figures that were tested or assumed (``costing.pricing.doubts``).

Batches are costed as they were made, at today's prices and by today's recipe, so that only what was made of what went
in tells them apart. A price is taken to walk at random, its steps lognormal and without a drift.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import log, sqrt

from costing.book.change import Key
from costing.book.records import BatchLog, Layer, Quote
from costing.ledger.batches import as_made
from costing.ledger.costs import cost_of
from costing.ledger.prices import UnitPrice, price_of_quote
from costing.ledger.reckon import Reckoning
from costing.pricing.doubts import LEAST_TESTS, NORMAL_95, Basis, next_one, widened

HORIZON = 28
"""Days ahead that a price is looked at: four weeks."""
LEAST_CHANGES = 3
"""Steps of a price below which no volatility is told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One thing that moves costs: the record it stands at and the figure in it ("" for a preparation's batches and a
    good's price), what it is known by, and how often that was seen.

    ``sd`` is relative: of a figure, of that figure; of batches and a price, that of the logarithm of the money that
    passes them. What it moves, and how far, is in ``costing.pricing.exposure``. ``middle`` is the logarithm of what
    batches cost on average over the recipe as printed. Fewer than three batches tell no deviation: ``seen`` are then
    the least and the most, as logarithms over the recipe's, whose own 0 is among them, and 1.645 of ``sd`` half of what
    lies between.
    ``freedom``: the degrees of freedom that ``sd`` was widened for as Student's t is (0: it was not).
    """

    key: Key
    basis: Basis
    sd: float
    figure: str = ""
    path: str = ""
    n: int = 0
    freedom: int = 0
    middle: float = 0.0
    seen: tuple[float, float] | None = None

    @property
    def name(self) -> str:
        """What tells it from every other source, the same in every book."""
        return "/".join((*self.key, self.basis, self.path))

    @property
    def widening(self) -> float:
        """How many times wider ``sd`` is for being known by so few."""
        return widened(self.freedom) if self.freedom else 1.0


def batch_sources(reckoning: Reckoning, made: Iterable[str], layers: Sequence[Layer]) -> Iterator[Source]:
    """One source for each of these preparations that was logged as it is made today."""
    logs: dict[str, list[BatchLog]] = {ident: [] for ident in made if ident in reckoning.ledgers}
    view = reckoning.view
    for batch in view.book.all(BatchLog).values():
        ident = batch.preparation
        if ident in logs and batch.state == "made" and view.preparations[ident][1].since <= batch.day <= view.day:
            logs[ident].append(batch)  # by another recipe it costs another thing
    for ident, batches in logs.items():
        whole = reckoning.costs.get(ident)
        standard = whole.of(layers) if whole is not None and whole.complete else 0.0
        found = [c for batch in batches if (c := _batch_cost(reckoning, batch, layers)) is not None]
        if standard > 0.0 and found:
            yield _of_batches(ident, [log(c / standard) for c in found])


def _of_batches(made: str, over: Sequence[float]) -> Source:
    """The source that batches make whose costs are ``over`` the recipe's, as logarithms."""
    n, key = len(over), ("preparation", made)
    if n < LEAST_TESTS:
        least, most = min(0.0, *over), max(0.0, *over)
        return Source(key=key, basis="batches", n=n, sd=(most - least) / 2.0 / NORMAL_95, seen=(least, most))
    middle = sum(over) / n
    scatter = sqrt(sum((x - middle) ** 2 for x in over) / (n - 1))
    return Source(key=key, basis="batches", n=n, freedom=n - 1, sd=next_one(scatter, n), middle=middle)


def _batch_cost(reckoning: Reckoning, batch: BatchLog, layers: Sequence[Layer]) -> float | None:
    """What a unit of a batch as it was made costs at today's prices; None where a figure of it does not stand."""
    ledger = as_made(reckoning, batch).ledger
    output = ledger.outputs.get(batch.preparation)
    if output is None or any(p.code in ("impossible", "log-left-out") or p.level == "error" for p in ledger.problems):
        return None
    cost = cost_of(output.direct.row, reckoning.costs)
    return cost.of(layers) if cost.complete and cost.of(layers) > 0.0 else None


def price_sources(
    reckoning: Reckoning, goods: Iterable[str], layers: Sequence[Layer], horizon: int = HORIZON
) -> Iterator[Source]:
    """One source for each of these goods whose price has a history that moved. ValueError for a horizon below 0."""
    if horizon < 0:
        raise ValueError(f"a horizon of {horizon} days must not be negative")
    view = reckoning.view
    wanted = {g for g in goods if g in reckoning.prices and g in view.goods and view.goods[g].layer in layers}
    quotes: dict[str, list[Quote]] = {}
    for quote in view.book.all(Quote).values():
        if quote.good in wanted and quote.since <= view.day:
            quotes.setdefault(quote.good, []).append(quote)
    for good in sorted(quotes):
        daily, n = volatility(_steps(reckoning, quotes[good]))
        if daily > 0.0:
            sd = daily * sqrt(horizon) * widened(n)
            yield Source(key=("good", good), basis="prices", n=n, freedom=n, sd=sd)


def volatility(steps: Iterable[tuple[float, int]]) -> tuple[float, int]:
    """(standard deviation of the logarithm of a price over one day, steps it is known by); 0 for fewer than three.

    ``steps`` are (logarithm of the price over the one before, days between). The squares of the steps are added up over
    the days that they took (realised variance), so that a correction a day later does not count as a year of them.
    """
    found = [(r, days) for r, days in steps if days > 0]
    if len(found) < LEAST_CHANGES:
        return 0.0, len(found)
    return sqrt(sum(r * r for r, _ in found) / sum(days for _, days in found)), len(found)


def _steps(reckoning: Reckoning, quotes: Iterable[Quote]) -> Iterator[tuple[float, int]]:
    """Steps of one good's price from quote to quote of the same supplier, at the exchange rate and by the tax rules of
    the day of the reckoning."""
    by_supplier: dict[str, list[Quote]] = {}
    for quote in sorted(quotes, key=lambda q: (q.since, q.id)):
        by_supplier.setdefault(quote.supplier, []).append(quote)
    for history in by_supplier.values():
        before: tuple[Quote, float] | None = None
        for n, quote in enumerate(history):
            if n + 1 < len(history) and history[n + 1].since == quote.since:
                continue  # the later of one day's stands
            found = price_of_quote(reckoning.view, quote, reckoning.units[quote.good])
            if not isinstance(found, UnitPrice) or found.money <= 0:
                before = None
                continue
            if before is not None:
                yield log(found.per_base / before[1]), (quote.since - before[0].since).days
            before = quote, found.per_base
