"""What rows sell, drink by drink: paid for, given, wasted, refunded; never the amount without its sign."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from costing.book.money import rounded
from costing.book.selling import RowFlag, Sold, SoldAt
from costing.supply.till.prices import ZERO

NET_PLACES = 4
"""Decimal places to which the net of a period is kept where it is worked out and not printed."""


@dataclass(slots=True, kw_only=True)
class Portion:
    """What one row does to one drink. ``qty`` is signed as printed; ``net`` and ``paid`` are None where the file has no
    money. ``flag`` is what the row is by its mark. Of many rows at once ``prices`` says (what one was paid at, how
    many) in place of ``paid``."""

    serve: str
    menu: str
    qty: Decimal
    net: Decimal | None
    paid: Decimal | None
    flag: RowFlag
    day: date | None
    prices: tuple[tuple[Decimal, Decimal], ...] = ()

    def part(self, share: Decimal) -> "Portion":
        """A share of it."""
        return Portion(
            serve=self.serve, menu=self.menu, qty=self.qty * share, flag=self.flag, day=self.day,
            net=None if self.net is None else self.net * share, paid=None if self.paid is None else self.paid * share,
        )  # fmt: skip


@dataclass(slots=True)
class Tally:
    """Counts of one drink on one menu."""

    places: int = 2
    count: Decimal = ZERO
    net: Decimal | None = None
    given: Decimal = ZERO
    wasted: Decimal = ZERO
    refunded: Decimal = ZERO
    prices: dict[Decimal, Decimal] = field(default_factory=dict)
    days: set[date] = field(default_factory=set)

    def add(self, one: Portion) -> None:
        """One portion. What brings nothing was given, unless its mark says that it was wasted or refunded; below zero
        without a mark it was refunded; a mark on a row below zero turns what was sold into what it says."""
        flag: RowFlag = one.flag
        if one.net is not None and not one.net and not one.paid and not one.prices:
            self._free(flag, one.qty)
            return
        if flag == "sold" and one.qty < 0:
            flag = "refunded"
        if flag == "given" and one.net is None:
            self.given += one.qty
        elif flag in ("wasted", "refunded") and one.qty > 0 and one.net is None:
            self._free(flag, one.qty)
        else:
            self._sell(one)
            if one.qty < 0 and flag != "before it was made":
                self._free(flag, -one.qty)

    def _free(self, flag: RowFlag, qty: Decimal) -> None:
        if flag == "wasted":
            self.wasted += qty
        elif flag == "refunded":
            self.refunded += qty
        else:
            self.given += qty

    def _sell(self, one: Portion) -> None:
        self.count += one.qty
        if one.net is not None:
            self.net = (self.net or ZERO) + one.net
        paid = ((one.paid / one.qty, one.qty),) if one.paid is not None and one.qty else one.prices
        for price, many in paid:
            each = rounded(price, self.places)
            self.prices[each] = self.prices.get(each, ZERO) + many
        if one.day is not None and one.qty > 0:
            self.days.add(one.day)

    def sold(self, serve: str, menu: str, money: bool) -> Sold:
        """As a record. ``money`` says whether the file has any."""
        prices = sorted(((each, n) for each, n in self.prices.items() if n > 0), key=lambda pair: (-pair[1], pair[0]))
        net = self.net if self.net is not None else ZERO if money else None
        return Sold(
            serve=serve, menu=menu, count=tidy(self.count), net=None if net is None else tidy(net, NET_PLACES),
            given=tidy(self.given), wasted=tidy(self.wasted), refunded=tidy(self.refunded), days=len(self.days),
            prices=tuple(SoldAt(each=each, count=tidy(n)) for each, n in prices),
        )  # fmt: skip


def tidy(value: Decimal, places: int = 6) -> Decimal:
    """A figure in plain digits: whole numbers without a point, others rounded to ``places``."""
    out = rounded(value, places)
    return Decimal(int(out)) if out == out.to_integral_value() else out.normalize()


def tallied(portions: Iterable[Portion], money: bool, places: int) -> tuple[Sold, ...]:
    """What portions make together, by drink and menu."""
    out: dict[tuple[str, str], Tally] = {}
    for one in portions:
        out.setdefault((one.serve, one.menu), Tally(places)).add(one)
    made = (tally.sold(serve, menu, money) for (serve, menu), tally in sorted(out.items()))
    return tuple(one for one in made if one.count or one.made or one.net)
