"""Suppliers compared: what each would charge for the usable amount that is needed, and why one is dearer."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from costing.book.book import View
from costing.book.problem import Problem, problem
from costing.book.records import Quote, Supplier
from costing.ledger.prices import UnitPrice, landed, price_of_quote
from costing.ledger.reckon import Reckoning
from costing.supply.buying.breaks import Best, best_packs, free_packs, paid_for, price_at, tiers, whole_packs
from costing.supply.buying.money import in_house_money
from costing.supply.buying.record import NOTHING, Bought, Landed
from costing.supply.buying.usable import Usable, parts_of, usable


def compare(
    reckoning: Reckoning,
    good: str,
    need: Decimal,
    *,
    rest: Decimal | Mapping[str, Decimal] = NOTHING,
    part: str | None = None,
    share: Decimal | None = None,
) -> tuple[Landed, ...]:
    """Every supplier's quote in force for a good, the cheapest a usable unit first; what cannot count stands last.

    ``need`` is base units that can be used, once trimmed: tests of ``part`` say how much of a pack that is, unless a
    ``share`` does (1 for the good as it is bought). ``rest`` is what the rest of the same order comes to, in the
    house's money, with tax in it as it is in the supplier's prices, for all suppliers or by supplier: freight is shared
    over the order by value, and the least order is met by more of this good where the rest does not. Freight is taxed
    like the quote. KeyError for an unknown good; ValueError for a need, a rest or a share that cannot be, and where
    tests are of several parts and none is chosen.
    """
    view = reckoning.view
    if good not in view.goods:
        raise KeyError(good)
    if not need > 0:
        raise ValueError(f"a need of {need} must be above 0")
    if share is not None and not 0 < share <= 1:
        raise ValueError(f"the usable share {share} must lie above 0 to 1")
    out = []
    for quote in view.offers(good):
        found = rest if isinstance(rest, Decimal) else rest.get(quote.supplier, NOTHING)
        if found < 0:
            raise ValueError(f"the rest of an order cannot come to {found}")
        held = Usable(share=share, of="said") if share else usable(view.book, good, quote.supplier, part)
        out.append(_landed(reckoning, quote, need, found, held))
    return tuple(sorted(out, key=_rank))


def _rank(offer: Landed) -> tuple[bool, Decimal, str]:
    return offer.bought is None, offer.per_unit or NOTHING, offer.quote.id


def _landed(reckoning: Reckoning, quote: Quote, need: Decimal, rest: Decimal, held: Usable) -> Landed:
    view, where = reckoning.view, f"quote/{quote.id}"
    unit = reckoning.units.get(quote.good)
    if unit is None:
        return Landed(quote=quote, bought=None, problems=(problem("no-source", where, source=quote.good),))
    price = price_of_quote(view, quote, unit)
    if isinstance(price, Problem):
        return Landed(quote=quote, bought=None, problems=(price,))
    if not 0 < held.share <= 1:
        odd = problem("out-of-range", f"good/{quote.good}", figure="yield", value=float(held.share), low=0, high=1)
        return Landed(quote=quote, bought=None, problems=(odd,))
    order = _order(view, quote)
    if isinstance(order, Problem):
        return Landed(quote=quote, bought=None, problems=(order,))
    return _worked_out(view, price, order, need, rest, held)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Order:
    """A supplier's terms for an order in the house's money."""

    freight: Decimal = NOTHING
    free_from: Decimal | None = None
    minimum: Decimal = NOTHING
    rebate: Decimal = NOTHING


def _order(view: View, quote: Quote) -> _Order | Problem:
    who = view.suppliers.get(quote.supplier)
    if who is None:
        return _Order()
    if not (who.freight or who.minimum):
        return _Order(rebate=who.rebate or NOTHING)
    one = in_house_money(view, Decimal(1), who.currency, f"supplier/{who.id}")
    if isinstance(one, Problem):
        return one
    return _terms_of(who, one.worth)


def _terms_of(who: Supplier, worth: Decimal) -> _Order:
    return _Order(
        freight=(who.freight or NOTHING) * worth,
        free_from=None if who.free_from is None else who.free_from * worth,
        minimum=(who.minimum or NOTHING) * worth,
        rebate=who.rebate or NOTHING,
    )


def _worked_out(view: View, price: UnitPrice, order: _Order, need: Decimal, rest: Decimal, held: Usable) -> Landed:
    quote, where, worth = price.quote, f"quote/{price.quote.id}", price.rate
    content = Decimal(f"{price.content:.12g}")  # what a float adds beyond twelve digits is noise
    in_packs = need / (content * held.share)
    packs = _to_minimum(quote, paid_for(quote, in_packs), order.minimum - rest, worth)
    if packs is None:
        return Landed(quote=quote, bought=None, problems=(problem("price-nothing", where),))
    free, at, factor = free_packs(quote.free, packs), price_at(quote, packs), _tax_factor(view, quote)
    value = packs * at * worth
    freight = NOTHING if order.free_from is not None and value + rest >= order.free_from else order.freight
    shared = freight * (value / (value + rest)) if value + rest else freight
    bought = Bought(
        packs=packs,
        free=free,
        least=paid_for(replace(quote, minimum=None), in_packs),
        price=at,
        worth=worth,
        content=content,
        assumed=price.assumed,
        usable=held,
        need=need,
        asked=(packs + free) * quote.price * worth,
        break_off=packs * (at - quote.price) * worth,
        free_off=-free * quote.price * worth,
        tax=(value + shared) * (factor - 1),
        charges=(packs + free) * worth * sum((c.amount for c in quote.charges), NOTHING),
        freight=shared,
        order_freight=freight,
        deposit=(packs + free) * worth * (quote.deposit or NOTHING),
        rebate=value * factor * order.rebate,
        best=_best(view, quote, packs, worth),
    )
    odd = (problem("rebate-above-price", where, "warning", good=quote.good),) if bought.total < 0 else ()
    return Landed(quote=quote, bought=bought, problems=odd)


def _best(view: View, quote: Quote, packs: int, worth: Decimal) -> Best | None:
    try:
        return best_packs(replace(quote, minimum=Decimal(packs)), Decimal(packs), view.terms, worth)
    except ValueError:
        return None


def _tax_factor(view: View, quote: Quote) -> Decimal:
    """What recoverable tax in a price, or tax that is not recovered beside it, makes of it."""
    return landed(replace(quote, free=None, charges=()), view.terms)[1]


def _to_minimum(quote: Quote, least: int, value: Decimal, worth: Decimal) -> int | None:
    """The fewest packs, from ``least`` on, that come to a ``value`` of the house's money as the supplier asks it; None
    where no number does."""
    for tier in tiers(quote):
        first = max(least, tier.first)
        if value > 0:
            if tier.price <= 0:
                continue
            first = max(first, whole_packs(value / (tier.price * worth)))
        if tier.last is None or first <= tier.last:
            return first
    return None


__all__ = ["Best", "Bought", "Landed", "Usable", "best_packs", "compare", "parts_of"]
