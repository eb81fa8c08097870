"""What looks odd of a file as a whole, though every row of it can be read: prices far from those that are printed, one
row twice, days between which nothing was sold, decimal marks that differ from column to column."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal
from itertools import pairwise

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.till.prices import ZERO, HousePrices
from costing.supply.till.record import TillRow
from costing.supply.till.roles import TillRole
from costing.supply.till.tax import EVIDENCE, Printed

FAR = 3
"""Times the highest printed price of a drink, or parts of the lowest, from which what was paid for one looks wrong."""
LONGEST_GAP = 14
"""Days in a row without a sale up to which a house was only closed."""
_SHOWN = 8
Money = Callable[[TillRow], tuple[Decimal, Decimal] | None]


def odd_of(rows: Sequence[TillRow], money: Money, printed: Printed, prices: HousePrices, first: date) -> list[Doubt]:
    """What is doubted of the rows that are counted."""
    return [*_far(rows, money, printed), *_of_one(rows, printed, prices, first), *_twice(rows), *_gap(rows)]


def _named(rows: Sequence[TillRow]) -> str:
    return ", ".join(str(row.n) for row in rows[:_SHOWN]) + (", …" if len(rows) > _SHOWN else "")


def _plain(rows: Sequence[TillRow]) -> Iterator[TillRow]:
    """Rows that sell something at its whole price, as far as they say."""
    return (row for row in rows if row.qty and row.qty > 0 and row.amount and row.amount > 0 and not row.flag)


def _far(rows: Sequence[TillRow], money: Money, printed: Printed) -> Iterator[Doubt]:
    far = []
    for row in _plain(rows):
        asked, pair = printed(row), money(row)
        if not asked or pair is None or not row.qty:
            continue
        each = pair[1] / row.qty
        if each > FAR * max(asked) or (not row.discount and each * FAR < min(asked)):
            far.append((row, each, asked[0]))
    if far:
        _, each, asks = far[0]
        yield doubt("sales-price-far", "net", count=len(far), rows=_named([row for row, _, _ in far]),
                    each=f"{each:.2f}", printed=asks)  # fmt: skip


def _of_one(rows: Sequence[TillRow], printed: Printed, prices: HousePrices, first: date) -> Iterator[Doubt]:
    """Whether the money of rows that sell several is the printed price of one."""
    of_one, of_all = [], 0
    for row in _plain(rows):
        amount, qty = row.amount or ZERO, row.qty or ZERO
        if qty < 2 or row.discount:
            continue
        asked = [worth for price in printed(row) for worth in (price, prices.net(price, row.day or first))]
        slack = Decimal("0.006")
        if any(abs(amount - price) <= slack for price in asked):
            of_one.append(row)
        of_all += any(abs(amount / qty - price) <= slack for price in asked)
    if len(of_one) >= EVIDENCE and len(of_one) > of_all:
        yield doubt("sales-money-of-one", "net", count=len(of_one), rows=_named(of_one))


def _twice(rows: Sequence[TillRow]) -> Iterator[Doubt]:
    """Lines of checks that stand in the file more than once."""
    seen: set[tuple[object, ...]] = set()
    again = []
    for row in rows:
        if not (row.check and row.line):
            continue
        at = row.outlet, row.check, row.line, row.day, row.minutes
        said = (*at, row.code, row.text, row.qty, row.amount, row.flag)
        if said in seen:
            again.append(row)
        seen.add(said)
    if again:
        yield doubt("sales-twice", "line", count=len(again), rows=_named(again))


def _gap(rows: Sequence[TillRow]) -> Iterator[Doubt]:
    days = sorted({row.day for row in rows if row.day is not None})
    widest = max(pairwise(days), key=lambda two: two[1] - two[0], default=None)
    if widest is not None and (widest[1] - widest[0]).days > LONGEST_GAP:
        yield doubt("sales-gap", "day", since=widest[0], until=widest[1])


def marks_apart(marks: Mapping[TillRole, tuple[str, str]]) -> Iterator[Doubt]:
    """Columns whose own cells fix different decimal marks: (mark, a cell that shows it) by role."""
    shown = dict(reversed([pair for pair in marks.values() if pair[0]]))
    if len(shown) > 1:
        one, other = list(shown.values())[:2]
        yield doubt("sales-marks-differ", "qty", one=one, other=other)
