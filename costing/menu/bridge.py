"""Why the margin moved: volume, mix, price and cost, in parts that add up to the difference exactly.

With q sold, p net price, c cost and m = p - c of every item, before 0 and after 1; Q the sum of q, s = q / Q, and the
mean margin m̄ = Σ q m / Q:

    volume  (Q1 - Q0) m̄0        mix  Q1 Σ (s1 - s0) m0        price  Σ q1 (p1 - p0)        cost  -Σ q1 (c1 - c0)

The base: mix at the margins before (Laspeyres), price and cost at the amounts after (Paasche). Of cost, what exchange
rates did stands apart where it is known: at the foreign prices before. An item that stands on one side only has no
other price to be compared with: what it earned is a line of its own, and volume and mix are of the others.

Figures are worked as fractions of the numbers as they are written, so that nothing is lost in adding up.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from costing.book.money import digits, rounded
from costing.menu.figures import Number, exact
from costing.tongue import say

Code = Literal["volume", "mix", "price", "rate", "cost", "new", "dropped"]
Walked = Literal["before", "dropped", "mix", "price", "rate", "cost", "new"]
CODES: tuple[Code, ...] = ("volume", "mix", "price", "rate", "cost", "new", "dropped")
NIL = Fraction(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sale:
    """One item of one side: how many were sold, net price and cost of one. ``at_rate``, of the side before alone, is
    what one would have cost then at the exchange rates after (None: not known, and no part of its own). Without
    ``complete`` the cost is only "at least"."""

    key: str
    name: str
    sold: Number
    price: Number
    cost: Number
    at_rate: Number | None = None
    complete: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of the difference, in all or of one item; ``money`` is exact."""

    code: Code
    money: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemParts:
    """What one item did to each part; they add up to the difference of its margin, and over items to the bridge. Its
    volume is its share before of what all sold more; its mix what it sold beyond that, at its margin before."""

    key: str
    name: str
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PourStep:
    """Pour cost after a step, as a fraction of net sales; None where nothing was taken."""

    code: Walked
    at: Fraction | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """The bridge as it is printed: ``before`` and the parts add up to ``after``, to the last digit."""

    before: Decimal
    parts: tuple[tuple[Code, Decimal], ...]
    after: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Bridge:
    """From the margin ``before`` to that ``after``. ``walk`` is how pour cost went, one step after the other.
    ``doubtful`` are names of what was sold and has no whole cost on a side: it may look cheaper than it is."""

    before: Fraction
    after: Fraction
    parts: tuple[Part, ...]
    items: tuple[ItemParts, ...]
    walk: tuple[PourStep, ...]
    doubtful: tuple[str, ...] = ()

    @property
    def difference(self) -> Fraction:
        """After less before."""
        return self.after - self.before

    @property
    def points(self) -> Fraction | None:
        """What pour cost moved by, as a fraction; None where it is not known on one side."""
        first, last = self.walk[0].at, self.walk[-1].at
        return last - first if first is not None and last is not None else None

    def of(self, code: Code) -> Fraction:
        """One part, 0 where there is none."""
        return next((part.money for part in self.parts if part.code == code), NIL)


def bridge(before: Sequence[Sale], after: Sequence[Sale]) -> Bridge:
    """The bridge between two sides, matched by key. ValueError for a key that stands twice on a side, a number that is
    none, and a count below 0."""
    a, b = _read(before), _read(after)
    kept = [key for key in a if key in b]
    q0, q1 = sum((a[k].sold for k in kept), NIL), sum((b[k].sold for k in kept), NIL)
    items = [_kept(a[k], b[k], q0, q1) for k in kept]
    items += [_one(b[k], "new", b[k].earned) for k in b if k not in a]
    items += [_one(a[k], "dropped", -a[k].earned) for k in a if k not in b]
    rated = any(a[k].at_rate is not None for k in kept)
    wanted = {"volume", "mix", "price", "cost", *(("rate",) if rated else ())} | {
        part.code for item in items for part in item.parts if part.code in ("new", "dropped")
    }
    parts = tuple(
        Part(code=code, money=sum((p.money for i in items for p in i.parts if p.code == code), NIL))
        for code in CODES
        if code in wanted
    )
    return Bridge(
        before=sum((s.earned for s in a.values()), NIL), after=sum((s.earned for s in b.values()), NIL), parts=parts,
        items=tuple(items), walk=tuple(_walk(a, b, rated)),
        doubtful=tuple(dict.fromkeys(s.name for s in (*before, *after) if s.sold and not s.complete)),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Sale:
    """A sale in exact figures."""

    key: str
    name: str
    sold: Fraction
    price: Fraction
    cost: Fraction
    at_rate: Fraction | None

    @property
    def margin(self) -> Fraction:
        return self.price - self.cost

    @property
    def earned(self) -> Fraction:
        return self.sold * self.margin


def _read(sales: Iterable[Sale]) -> dict[str, _Sale]:
    out: dict[str, _Sale] = {}
    for sale in sales:
        at = exact(sale.at_rate) if sale.at_rate is not None else None
        read = _Sale(sale.key, sale.name, exact(sale.sold), exact(sale.price), exact(sale.cost), at)
        if read.sold < 0:
            raise ValueError(
                say("{name}: {value} sold cannot be, it must be 0 or more", name=sale.name, value=sale.sold)
            )
        if sale.key in out:
            raise ValueError(say("{name} stands twice on one side: add the two up first", name=sale.name))
        out[sale.key] = read
    return out


def _kept(old: _Sale, new: _Sale, q0: Fraction, q1: Fraction) -> ItemParts:
    share = old.sold / q0 if q0 else new.sold / q1 if q1 else NIL  # nothing sold before: all of it is volume
    rate = new.sold * (old.at_rate - old.cost) if old.at_rate is not None else NIL
    money: dict[Code, Fraction] = {
        "volume": (q1 - q0) * share * old.margin,
        "mix": (new.sold - old.sold - (q1 - q0) * share) * old.margin,
        "price": new.sold * (new.price - old.price),
        "rate": -rate,
        "cost": rate - new.sold * (new.cost - old.cost),
    }
    return ItemParts(key=new.key, name=new.name, parts=tuple(Part(code=c, money=m) for c, m in money.items()))


def _one(sale: _Sale, code: Code, money: Fraction) -> ItemParts:
    return ItemParts(key=sale.key, name=sale.name, parts=(Part(code=code, money=money),))


def _walk(a: Mapping[str, _Sale], b: Mapping[str, _Sale], rated: bool) -> Iterable[PourStep]:
    """Pour cost step by step: what left goes first, then mix, price, exchange rates and cost, and what is new last."""
    kept = [key for key in a if key in b]

    def at(rows: Iterable[tuple[Fraction, Fraction, Fraction]]) -> Fraction | None:
        known = tuple(rows)
        net = sum((q * p for q, p, _ in known), NIL)
        return sum((q * c for q, _, c in known), NIL) / net if net else None

    yield PourStep(code="before", at=at((s.sold, s.price, s.cost) for s in a.values()))
    if len(kept) < len(a):
        yield PourStep(code="dropped", at=at((a[k].sold, a[k].price, a[k].cost) for k in kept))
    yield PourStep(code="mix", at=at((b[k].sold, a[k].price, a[k].cost) for k in kept))
    yield PourStep(code="price", at=at((b[k].sold, b[k].price, a[k].cost) for k in kept))
    if rated:
        yield PourStep(code="rate", at=at((b[k].sold, b[k].price, _rated(a[k])) for k in kept))
    yield PourStep(code="cost", at=at((b[k].sold, b[k].price, b[k].cost) for k in kept))
    if len(kept) < len(b):
        yield PourStep(code="new", at=at((s.sold, s.price, s.cost) for s in b.values()))


def _rated(sale: _Sale) -> Fraction:
    return sale.cost if sale.at_rate is None else sale.at_rate


def printed(bridge: Bridge, currency: str) -> Printed:
    """The bridge in a currency: both margins rounded as money is, and the parts by largest remainder so that they lead
    from one to the other."""
    places = digits(currency)
    first, last = _units(bridge.before, places), _units(bridge.after, places)
    cents = _closed([part.money * 10**places for part in bridge.parts], last - first)
    return Printed(
        before=Decimal(first).scaleb(-places), after=Decimal(last).scaleb(-places),
        parts=tuple((p.code, Decimal(n).scaleb(-places)) for p, n in zip(bridge.parts, cents, strict=True)),
    )  # fmt: skip


def _units(money: Fraction, places: int) -> int:
    return int(rounded(float(money), places).scaleb(places))


def _closed(parts: Sequence[Fraction], whole: int) -> list[int]:
    """Whole numbers near the parts that add up to ``whole``: the largest remainders are rounded up first."""
    floors = [part.numerator // part.denominator for part in parts]
    order = sorted(range(len(parts)), key=lambda n: floors[n] - parts[n])
    short = whole - sum(floors)
    for k in range(abs(short)):
        floors[order[k % len(order)] if short > 0 else order[-1 - k % len(order)]] += 1 if short > 0 else -1
    return floors
