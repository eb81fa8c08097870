"""Foreign money in the house's, by the rate that holds on the day."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from costing.book.book import View
from costing.book.problem import Problem, problem


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseMoney:
    """``amount`` in the house's ``currency``, never rounded: one of the foreign currency is ``worth`` that much since
    the day ``since``, as ``source`` says. The house's own money is worth 1 and has no day."""

    amount: Decimal
    currency: str
    worth: Decimal = Decimal(1)
    since: date | None = None
    source: str = ""


def in_house_money(view: View, amount: Decimal, currency: str, where: str = "house") -> HouseMoney | Problem:
    """An amount in the house's money on the day of the view; "" is the house's own currency. A Problem, at ``where``,
    when nobody said what the other currency is worth by then, or the house has no currency."""
    own = view.book.house.currency if view.book.house is not None else ""
    if not own:
        return problem("no-currency", where)
    if currency in ("", own):
        return HouseMoney(amount=amount, currency=own)
    rate = view.rates.get(currency)
    if rate is None:
        return problem("foreign-currency", where, currency=currency, house=own)
    return HouseMoney(amount=amount * rate.worth, currency=own, worth=rate.worth, since=rate.since, source=rate.source)
