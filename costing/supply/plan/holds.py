"""When an arriving price waits for somebody to look at it: by how far it moves, and by what that move looks like.

How wide is wide goes by the kind of good: what a distiller asks hardly moves, lettuce does. The shipped widths are the
house's to change (``House.holds``), and what is fresh and has a year of prices goes by its own past. Two shapes of move
are always held, however wide a good may swing: near 10, 100 or 1000 (a lost decimal mark), and near what the pack holds
(the price of a bottle for that of a case).
"""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from math import prod

from costing.book.book import Book
from costing.book.records import Good
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.buying.season import width as own_width

WIDTHS: Mapping[str, Decimal] = {
    kind: Decimal(share)
    for share, kinds in (
        ("0.10", "spirit liqueur"),
        ("0.12", "wine beer"),
        ("0.15", "gas water consumable labour energy machine"),
        ("0.20", "dry sugar acid"),
        ("0.25", "dairy egg juice garnish ice other"),
        ("0.60", "fruit herb"),
    )
    for kind in kinds.split()
}
"""The share by which a price may rise, or fall to its inverse, before it is held: common practice, no source."""
FRESH = frozenset({"fruit", "herb", "juice", "dairy", "egg", "garnish"})
NARROWEST, WIDEST = Decimal("0.15"), Decimal("1.0")
"""Bounds of a width that a fresh good's own past gives."""
SLIPS = (Decimal(10), Decimal(100), Decimal(1000))
NEAR = Decimal("1.12")
"""A ratio within this factor of a slip, or of the pack, is taken for one."""
TAX_NEAR = Decimal("0.003")


def width_of(book: Book, good: Good) -> Decimal:
    """The share a price of this good may move by: the house's for its kind, else a fresh good's own, else as
    shipped."""
    said = dict(book.house.holds) if book.house else {}
    if good.kind in said:
        return Decimal(said[good.kind])
    own = own_width(book, good.id) if good.kind in FRESH else None
    if own is not None:
        return min(max(own, NARROWEST), WIDEST)
    return WIDTHS.get(good.kind, Decimal("0.25"))


def jump(ratio: Decimal, width: Decimal, counts: Sequence[Decimal], rates: Sequence[Decimal]) -> Doubt | None:
    """Why a price that is ``ratio`` times the last one for the same amount is held; None where it may pass.

    ``counts`` are what the packs before and now hold (``packs_of``), ``rates`` the tax rates that may have slipped in.
    """
    if ratio <= 0:
        return doubt("price-nothing", "price")
    for slip in SLIPS:
        if _near(ratio, slip) or _near(1 / ratio, slip):
            return doubt("looks-like-slip", "price", times=told(ratio), slip=slip)
    for count in counts:
        if _near(ratio, count) or _near(1 / ratio, count):
            return doubt("looks-like-pack", "price", times=told(ratio), count=count)
    for rate in rates:
        if rate and (abs(ratio / (1 + rate) - 1) <= TAX_NEAR or abs(ratio * (1 + rate) - 1) <= TAX_NEAR):
            return doubt("looks-like-tax", "price", times=told(ratio), rate=f"{(rate * 100).normalize():f} %")
    if not 1 / (1 + width) <= ratio <= 1 + width:
        return doubt("price-moves", "price", times=told(ratio), width=f"{(width * 100).normalize():f} %")
    return None


def packs_of(*packs: Sequence[int]) -> tuple[Decimal, ...]:
    """What the price of one may have been taken for the price of, or the other way round: each level of each pack
    that is above one, and what it holds in all."""
    counts = {n for levels in packs for n in (*levels, prod(levels)) if n > 1}
    return tuple(Decimal(n) for n in sorted(counts))


def _near(ratio: Decimal, of: Decimal) -> bool:
    return of / NEAR <= ratio <= of * NEAR


def told(ratio: Decimal) -> str:
    """A ratio as it is said: 6.2, 0.17, 1.08."""
    return f"{ratio:.0f}" if ratio >= 20 else f"{ratio:.2f}" if ratio >= Decimal("0.05") else f"{ratio:.4f}"
