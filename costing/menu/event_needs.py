"""What an event asks of the stillroom and the cellar: whole batches, the hours in them, and goods in whole packs."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from math import ceil

from costing.ledger.reckon import Reckoning
from costing.menu.batch_rows import batch_rows, machines_of, people_of, serve_row
from costing.menu.batches_mix import WHOLE, all_needs, in_turn, whole_batches


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchesOf:
    """Whole batches of a preparation, and what of it is needed and given, in base units."""

    preparation: str
    count: int
    needed: float
    given: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ToBuy:
    """A good: base units needed, whole packs of the quote that costs it (no fewer than are sold at least), and their
    money; ``packs`` and ``money`` are None where nobody quotes it."""

    good: str
    needed: float
    packs: int | None
    money: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class EventNeeds:
    """``hours`` are by resource, for whole batches and for machines at the bar; nothing in stock is taken off."""

    batches: tuple[BatchesOf, ...]
    hours: Mapping[str, float]
    shopping: tuple[ToBuy, ...]

    @property
    def to_spend(self) -> Decimal:
        """Money of the packs, at least where a good has no price."""
        return sum((line.money for line in self.shopping if line.money is not None), Decimal(0))


def event_needs(reckoning: Reckoning, counts: Mapping[str, float]) -> EventNeeds:
    """What so many of each drink (by serve id) need. Batches are of the size the recipe stands at."""
    rows, people, machines = batch_rows(reckoning), people_of(reckoning), machines_of(reckoning)
    batches = [row.batch for row in rows.values()]
    needs: dict[str, float] = {}
    goods: dict[str, float] = {}
    hours: dict[str, float] = {}
    for serve, count in counts.items():
        made, bought = serve_row(reckoning, serve)
        for source, each in made.items():
            needs[source] = needs.get(source, 0.0) + count * each
        for good, each in bought.items():
            if good not in people:
                into = hours if good in machines else goods
                into[good] = into.get(good, 0.0) + count * each
    runs = whole_batches(batches, needs)
    taken = all_needs(in_turn(batches), needs, runs)
    for ident, row in rows.items():
        for source, amount in row.goods.items():
            goods[source] = goods.get(source, 0.0) + runs[ident] * amount
        for key, amount in row.batch.hours.items():
            hours[key] = hours.get(key, 0.0) + runs[ident] * amount
    made_of = tuple(
        BatchesOf(preparation=ident, count=runs[ident], needed=taken.get(ident, 0.0),
                  given=runs[ident] * row.batch.makes.get(ident, 0.0))
        for ident, row in rows.items() if runs[ident]
    )  # fmt: skip
    materials = {g.id for g in reckoning.view.goods.values() if g.layer == "materials"}
    shopping = tuple(_to_buy(reckoning, good, goods[good]) for good in sorted(goods.keys() & materials) if goods[good])
    return EventNeeds(batches=made_of, hours={k: h for k, h in hours.items() if h}, shopping=shopping)


def _to_buy(reckoning: Reckoning, good: str, needed: float) -> ToBuy:
    price = reckoning.prices.get(good)
    if price is None:
        return ToBuy(good=good, needed=needed, packs=None, money=None)
    packs = max(0, ceil(needed / price.content - WHOLE))
    least = price.quote.minimum
    if packs and least is not None:
        packs = max(packs, int(least.to_integral_value(ROUND_CEILING)))
    return ToBuy(good=good, needed=needed, packs=packs, money=packs * price.money)
