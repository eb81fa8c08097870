"""From a supplier's quote to money per base unit of a good, landed and with recoverable tax left out."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from costing.book.book import View
from costing.book.money import to_float
from costing.book.problem import Problem, problem
from costing.book.records import Quote, Terms
from costing.ledger.unit import Unbridged, Unit, amount_in_base


@dataclass(frozen=True, slots=True)
class UnitPrice:
    """``money`` for one pack as it lands, ``content`` base units in it, and their quotient per base unit."""

    good: str
    quote: Quote
    money: Decimal
    content: float

    @property
    def per_base(self) -> float:
        """Money per base unit, never rounded."""
        return to_float(self.money) / self.content


def landed(quote: Quote, terms: Terms | None) -> tuple[Decimal, Decimal]:
    """What one pack lands at: (money, factor); money = price * factor + charges.

    The factor takes free goods and tax in: recoverable tax inside a price is taken off, tax that is not
    recovered is put on where the quote states it without.
    """
    factor = Decimal(1)
    if quote.free is not None:
        factor *= quote.free.paid / (quote.free.paid + quote.free.free)
    recovers = terms.recovers_tax if terms else True
    rate = quote.tax_rate or Decimal(0)
    if quote.tax == "inc" and recovers:
        factor /= 1 + rate
    elif quote.tax == "ex" and not recovers:
        factor *= 1 + rate
    return quote.price * factor + sum((c.amount for c in quote.charges), Decimal(0)), factor


def price_goods(view: View, units: Mapping[str, Unit]) -> tuple[dict[str, UnitPrice], tuple[Problem, ...]]:
    """The price of every good that has one today, and what keeps a quote from counting."""
    currency = view.book.house.currency if view.book.house else ""
    out: dict[str, UnitPrice] = {}
    problems: list[Problem] = []
    for good, unit in units.items():
        quote = view.quote_of(good)
        if quote is None:
            continue
        where = f"quote/{quote.id}"
        if quote.currency != currency:
            problems.append(problem("foreign-currency", where, currency=quote.currency, house=currency))
            continue
        if quote.tax == "unknown":
            problems.append(problem("tax-unknown", where, good=good))
            continue
        try:
            content = amount_in_base(quote.content, unit, view.measures)
        except Unbridged as gap:
            problems.append(problem(gap.code, where, good=good, **gap.detail))
            continue
        for count in quote.levels:
            content *= count
        out[good] = UnitPrice(good, quote, landed(quote, view.terms)[0], content)
    return out, tuple(problems)
