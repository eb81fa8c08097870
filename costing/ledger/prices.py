"""From a supplier's quote to money per base unit of a good, landed and with recoverable tax left out."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from math import prod

from costing.book.book import View
from costing.book.money import to_float
from costing.book.problem import Problem, problem
from costing.book.records import Quote, Terms
from costing.ledger.unit import Unbridged, Unit, amount_in_base


@dataclass(frozen=True, slots=True)
class UnitPrice:
    """``money`` for one pack as it lands, ``content`` base units in it, and their quotient per base unit.

    ``assumed`` when what the pack holds rests on a figure nobody measured; ``rate`` is the house's money for one of the
    quote's currency.
    """

    good: str
    quote: Quote
    money: Decimal
    content: float
    assumed: bool = False
    rate: Decimal = Decimal(1)

    @property
    def per_base(self) -> float:
        """Money per base unit, never rounded."""
        return to_float(self.money) / self.content


def landed(quote: Quote, terms: Terms | None, worth: Decimal = Decimal(1)) -> tuple[Decimal, Decimal]:
    """What one pack lands at in the house's money: (money, factor); money = price * factor + charges * worth.

    The factor takes what the currency is ``worth``, free goods and tax in: recoverable tax inside a price is taken
    off, tax that is not recovered is put on where the quote states it without.
    """
    factor = worth
    if quote.free is not None:
        factor *= quote.free.paid / (quote.free.paid + quote.free.free)
    recovers = terms.recovers_tax if terms else True
    rate = quote.tax_rate or Decimal(0)
    if quote.tax == "inc" and recovers:
        factor /= 1 + rate
    elif quote.tax == "ex" and not recovers:
        factor *= 1 + rate
    return quote.price * factor + worth * sum((c.amount for c in quote.charges), Decimal(0)), factor


def price_goods(view: View, units: Mapping[str, Unit]) -> tuple[dict[str, UnitPrice], tuple[Problem, ...]]:
    """The price of every good that has one today, by the first quote that counts, and what kept others from it."""
    out: dict[str, UnitPrice] = {}
    problems: list[Problem] = []
    for good, unit in units.items():
        odd: list[Problem] = []
        for quote in view.offers(good):
            price = price_of_quote(view, quote, unit)
            if isinstance(price, UnitPrice):
                out[good] = price
                break
            odd.append(price)
        # a quote that cannot count only warns where another one costs the good
        problems += [replace(p, level="warning") for p in odd] if good in out else odd
        if good in out and out[good].money < 0:
            problems.append(problem("rebate-above-price", f"quote/{out[good].quote.id}", "warning", good=good))
    return out, tuple(problems)


def price_of_quote(view: View, quote: Quote, unit: Unit) -> UnitPrice | Problem:
    """The price that a quote makes, or why it makes none."""
    currency = view.book.house.currency if view.book.house else ""
    where = f"quote/{quote.id}"
    rate = Decimal(1)
    if quote.currency != currency:
        found = view.rates.get(quote.currency)
        if found is None:
            return problem("foreign-currency", where, currency=quote.currency, house=currency)
        rate = found.worth
    if quote.tax == "unknown":
        return problem("tax-unknown", where, good=quote.good)
    if quote.tax == "ex" and quote.tax_rate is None and view.terms is not None and not view.terms.recovers_tax:
        return problem("tax-rate-missing", where, good=quote.good)
    try:
        content = amount_in_base(quote.content, unit, view.measures)
    except Unbridged as gap:
        return problem(gap.code, where, source=quote.good, **gap.detail)
    held = content.value * prod(quote.levels)
    if held <= 0.0:
        return problem("out-of-range", where, figure="content", value=quote.content.text, low="above 0", high="1e9")
    return UnitPrice(quote.good, quote, landed(quote, view.terms, rate)[0], held, content.assumed, rate)
