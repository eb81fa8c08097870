"""Packs of one quote: what a pack costs at a number of them, what comes free, and how many cost least.

Packs are whole: a supplier sells no half one, and a need is rounded up. Free packs come only with each full lot that is
paid, so eleven paid at "1 free with 10" bring one.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from math import ceil, floor

from costing.book.records import FreeGoods, Quote, Terms
from costing.ledger.prices import landed

TIE = Decimal("1e-9")
"""A need within this share of a whole number of packs is that number: the noise of a division buys no pack."""
MOST_SEARCHED = 100_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Tier:
    """From ``first`` packs to ``last`` (None: and all above) a pack costs ``price``, as the supplier asks it."""

    first: int
    last: int | None
    price: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Best:
    """The paid ``packs`` that cost least of all that cover a need, beside the least that cover it (``needed``): each
    with its total in the house's money, landed."""

    packs: int
    total: Decimal
    needed: int
    needed_total: Decimal

    @property
    def saves(self) -> Decimal:
        """What buying more than is needed takes off; nothing where it takes nothing off."""
        return self.needed_total - self.total


def whole_packs(need: Decimal) -> int:
    """Packs for a need in packs, rounded up."""
    return ceil(need - abs(need) * TIE)


def tiers(quote: Quote) -> tuple[Tier, ...]:
    """Prices of a pack by the number of packs, from 1 on without a gap. Of two breaks at one number the later holds."""
    begins: dict[int, Decimal] = {1: quote.price}
    for step in sorted(quote.breaks, key=lambda b: b.packs):
        begins[max(1, ceil(step.packs))] = step.price
    firsts = sorted(begins)
    lasts = [n - 1 for n in firsts[1:]]
    return tuple(
        Tier(first=n, last=last, price=begins[n]) for n, last in zip(firsts, [*lasts, None], strict=True)
    )  # fmt: skip


def price_at(quote: Quote, packs: int) -> Decimal:
    """What one pack costs, as the supplier asks it, when so many are bought."""
    return next(t.price for t in reversed(tiers(quote)) if t.first <= max(1, packs))


def free_packs(free: FreeGoods | None, paid: int) -> Decimal:
    """Packs that come free with so many paid ones: with full lots only."""
    return Decimal(0) if free is None else floor(paid / free.paid) * free.free


def paid_for(quote: Quote, need: Decimal) -> int:
    """The least whole packs to pay for so that, with what comes free, ``need`` packs are there; at least the quote's
    minimum, and one."""
    least = max(1, whole_packs(quote.minimum or Decimal(0)))
    high = max(least, whole_packs(need))
    wanted = need - abs(need) * TIE
    low = least
    while low < high:  # what comes never falls with what is paid
        middle = (low + high) // 2
        if middle + free_packs(quote.free, middle) >= wanted:
            high = middle
        else:
            low = middle + 1
    return low


def total_of(quote: Quote, packs: int, terms: Terms | None = None, worth: Decimal = Decimal(1)) -> Decimal:
    """The house's money for so many paid packs and what comes free with them: price at the break, recoverable tax out,
    charges on every pack that comes."""
    factor, charges = _rates(quote, terms, worth)
    return _total(quote, packs, factor, charges)


def _rates(quote: Quote, terms: Terms | None, worth: Decimal) -> tuple[Decimal, Decimal]:
    _, factor = landed(replace(quote, free=None), terms, worth)
    return factor, worth * sum((c.amount for c in quote.charges), Decimal(0))


def _total(quote: Quote, packs: int, factor: Decimal, charges: Decimal) -> Decimal:
    return packs * price_at(quote, packs) * factor + (packs + free_packs(quote.free, packs)) * charges


def best_packs(quote: Quote, need: Decimal, terms: Terms | None = None, worth: Decimal = Decimal(1)) -> Best:
    """The number of packs that cover a ``need`` in packs for the least money; of equals, the fewest.

    Within one price more packs cost more, so it is the least that is needed or the first of a later break, the one
    exception being rebates on free packs. ValueError for a need of nothing or less, and where rebates come to more than
    the price, so that no number is best.
    """
    if need <= 0:
        raise ValueError(f"a need of {need} packs must be above 0")
    factor, charges = _rates(quote, terms, worth)
    first = paid_for(quote, need)
    lots = Decimal(1) if quote.free is None else 1 + quote.free.free / quote.free.paid
    open_tiers = [t for t in tiers(quote) if t.last is None or t.last >= first]
    if min(t.price for t in open_tiers) * factor + charges * lots < 0:
        raise ValueError(
            f"the rebates of quote {quote.id!r} come to more than its price, so no number of packs is best"
        )
    needed = _total(quote, first, factor, charges)
    best, packs = needed, first
    for n in _candidates(quote, first, charges):
        best, packs = min((best, packs), (_total(quote, n, factor, charges), n))
    return Best(packs=packs, total=best, needed=first, needed_total=needed)


def _candidates(quote: Quote, first: int, charges: Decimal) -> Iterator[int]:
    """Numbers of packs among which the least total is."""
    span = 1
    if charges < 0 and quote.free is not None and quote.free.free > 0:
        # free packs each bring a rebate, so the total falls at every lot; it repeats after this many packs
        span = quote.free.paid.as_integer_ratio()[0]
        if span > MOST_SEARCHED:
            raise ValueError(f"free goods with {quote.free.paid} paid packs and a rebate cannot be searched")
    for tier in tiers(quote):
        if tier.last is None or tier.last >= first:
            start = max(first, tier.first)
            end = start + span if tier.last is None else min(start + span, tier.last + 1)
            yield from range(start, end)
