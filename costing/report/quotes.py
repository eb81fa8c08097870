"""All quotes as data: those in force on the day beside one another, and the history of every one there is."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from costing.book.problem import Problem
from costing.book.records import Layer, Quote
from costing.ledger.prices import UnitPrice, price_of_quote
from costing.ledger.reckon import Reckoning


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteRow:
    """One quote. ``tax`` is "off", "on" or "" as in ``PriceRow``; ``landed``, ``content`` and ``unit_cost`` are by the
    house's terms of the day and None where it cannot count: ``reason`` says why. ``costs`` marks the quote that the
    good is costed by, ``today`` one that is in force on the day."""

    good: str
    name: str
    layer: Layer
    base: str
    supplier: str
    quote: str
    since: date
    until: date | None
    pack: str
    price: Decimal
    currency: str
    tax: str
    tax_rate: Decimal
    paid: Decimal
    free: Decimal
    rate: Decimal
    charges: tuple[tuple[str, Decimal], ...]
    landed: Decimal | None
    content: float | None
    unit_cost: float | None
    reason: Problem | None
    costs: bool
    today: bool
    came_from: str
    """The file or letter the quote came in by, as the house noted it."""


def quote_rows(reckoning: Reckoning, names: Mapping[str, str]) -> tuple[QuoteRow, ...]:
    """Every quote of the book for a good that is there, by good, supplier and day, the oldest first."""
    view = reckoning.view
    today = {q.id for good in view.goods for q in view.offers(good)}
    found = [q for q in view.book.all(Quote).values() if q.good in view.goods]
    suppliers = {s.id: s.name for s in view.suppliers.values()}
    found.sort(key=lambda q: (names[q.good].casefold(), q.good, suppliers.get(q.supplier, q.supplier), q.since, q.id))
    return tuple(_row(reckoning, q, names[q.good], q.id in today) for q in found)


def _row(reckoning: Reckoning, quote: Quote, name: str, today: bool) -> QuoteRow:
    view = reckoning.view
    good, unit = view.goods[quote.good], reckoning.units.get(quote.good)
    price = price_of_quote(view, quote, unit) if unit is not None else None
    counts = price if isinstance(price, UnitPrice) else None
    supplier, chosen = view.suppliers.get(quote.supplier), reckoning.prices.get(quote.good)
    recovers = view.terms.recovers_tax if view.terms else True
    tax = {("inc", True): "off", ("ex", False): "on"}.get((quote.tax, recovers), "")
    return QuoteRow(
        good=quote.good,
        name=name,
        layer=good.layer,
        base=good.base,
        supplier=supplier.name if supplier else quote.supplier,
        quote=quote.id,
        since=quote.since,
        until=quote.until,
        pack=pack_words(quote),
        price=quote.price,
        currency=quote.currency,
        tax=tax if quote.tax_rate else "",
        tax_rate=quote.tax_rate or Decimal(0),
        paid=quote.free.paid if quote.free else Decimal(1),
        free=quote.free.free if quote.free else Decimal(0),
        rate=counts.rate if counts else Decimal(1),
        charges=tuple((c.name, c.amount) for c in quote.charges),
        landed=counts.money if counts else None,
        content=counts.content if counts else None,
        unit_cost=counts.per_base if counts else None,
        reason=price if isinstance(price, Problem) else None,
        costs=chosen is not None and chosen.quote.id == quote.id,
        today=today,
        came_from=quote.source,
    )


def pack_words(quote: Quote) -> str:
    """ "12 × 0.7 l"."""
    return " × ".join([*(str(n) for n in quote.levels), quote.content.text.strip()])
