"""Suppliers beside one another, as data: each offer worked out for whole packs of one order, part by part.

What goes beyond the need is stock: it is paid for, shown apart as money tied up, and no cost of a unit. So is a
deposit, which comes back.
"""

from dataclasses import dataclass
from decimal import Decimal

from costing.book.problem import Problem
from costing.book.records import Quote
from costing.supply.buying.breaks import TIE, Best
from costing.supply.buying.usable import Usable

NOTHING = Decimal(0)
PARTS = ("asked", "break_off", "free_off", "tax", "charges", "freight")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """One offer worked out. Money is the house's, never rounded; amounts are base units of the good.

    ``packs`` are paid for at ``price`` each (in the quote's currency, of which one is ``worth`` that much) and
    ``free`` come with them; ``content`` is in one pack (``assumed`` where a bridge to it is), ``usable`` says how much
    of that can be used. ``least`` packs would cover the need: there are more where the quote's minimum or the
    supplier's least order asks for them.

    The parts of the total: ``asked`` every pack that comes at the first price; ``break_off`` what a price break and
    ``free_off`` what free packs take off; ``tax`` what is not recovered (or, below nothing, what is); ``charges`` those
    of the packs; ``freight`` this good's share of the order's. Beside it: ``stock`` usable units beyond the need and
    ``tied_up`` the money in them, ``deposit`` that stands until the packs go back, ``rebate`` that comes back if the
    year's turnover reaches what was agreed, and ``best`` the number of packs of least total, which a break may put
    above ``packs``; freight is not in it. None where rebates leave no number that is best.
    """

    packs: int
    free: Decimal
    least: int
    price: Decimal
    worth: Decimal
    content: Decimal
    assumed: bool
    usable: Usable
    need: Decimal
    asked: Decimal
    break_off: Decimal
    free_off: Decimal
    tax: Decimal
    charges: Decimal
    freight: Decimal
    order_freight: Decimal
    deposit: Decimal
    rebate: Decimal
    best: Best | None

    @property
    def total(self) -> Decimal:
        """Cost of all that comes."""
        return self.asked + self.break_off + self.free_off + self.tax + self.charges + self.freight

    @property
    def amount(self) -> Decimal:
        """Usable base units of all that comes."""
        return (self.packs + self.free) * self.content * self.usable.share

    @property
    def per_unit(self) -> Decimal:
        """Cost of a usable base unit."""
        return self.total / self.amount

    @property
    def trimmed(self) -> Decimal:
        """Of that, what lies in the part that cannot be used."""
        return self.per_unit * (1 - self.usable.share)

    @property
    def stock(self) -> Decimal:
        """Usable base units beyond the need."""
        over = self.amount - self.need
        return over if over > self.need * TIE else NOTHING

    @property
    def tied_up(self) -> Decimal:
        """Money in the stock."""
        return self.stock * self.per_unit

    @property
    def parts(self) -> tuple[tuple[str, Decimal], ...]:
        """(name, money for a usable base unit) of every part; they add up to ``per_unit``."""
        each: dict[str, Decimal] = {name: getattr(self, name) for name in PARTS}
        return tuple((name, money / self.amount if money else NOTHING) for name, money in each.items())


@dataclass(frozen=True, slots=True, kw_only=True)
class Landed:
    """A supplier's quote and what it comes to; ``bought`` is None where it cannot count, and ``problems`` say why. A
    problem beside a ``bought`` only warns."""

    quote: Quote
    bought: Bought | None
    problems: tuple[Problem, ...] = ()

    @property
    def supplier(self) -> str:
        """The supplier's id, "" for nobody named."""
        return self.quote.supplier

    @property
    def per_unit(self) -> Decimal | None:
        """Cost of a usable base unit; None where it cannot count."""
        return None if self.bought is None else self.bought.per_unit
