"""Rows that are in no count, gathered by button and reason, so that they can be counted later without the file.

Rows of a button are kept apart by what they would do: by what they are, and by the signs of how many they are and of
what they brought. So each group is counted, or asked about, as every row in it would be.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from typing import Literal

from costing.book.money import rounded
from costing.book.selling import Left, LeftRows, RowFlag, SoldAt
from costing.supply.till.counting import NET_PLACES, Portion, tidy
from costing.supply.till.prices import ZERO
from costing.supply.till.record import plain_text

WAITING_PLACES = 8
"""Decimal places of the net of rows that wait: more than a count is kept to, so that counting them later rounds
once."""
_NEVER_COUNTED: tuple[Left, ...] = ("total", "before it was made")
"""Reasons of single rows, whatever their button means."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOne:
    """One row that is in no count. ``net`` and ``paid`` are None where the file has no money."""

    code: str
    text: str
    reason: Left
    qty: Decimal = ZERO
    net: Decimal | None = None
    paid: Decimal | None = None
    flag: RowFlag = "sold"
    day: date | None = None


@dataclass(slots=True)
class _Group:
    text: str
    rows: int = 0
    count: Decimal = ZERO
    net: Decimal = ZERO
    prices: dict[Decimal, Decimal] = field(default_factory=dict)
    days: set[date] = field(default_factory=set)


Key = tuple[str, str, Left, RowFlag, int, int]


def _key(code: str, text: str, reason: Left, flag: RowFlag, count: Decimal, net: Decimal) -> Key:
    signs = (0, 0) if reason in _NEVER_COUNTED else (_sign(count), _sign(net))
    return code, plain_text(text), reason, flag, *signs


def _sign(value: Decimal) -> int:
    return (value > 0) - (value < 0)


def _free(one: LeftOne) -> bool:
    return one.net is not None and not one.net and not one.paid


def _as_counted(one: LeftOne) -> LeftOne:
    """A row with the sign and as what it would be counted (``Tally.add``): what brought nothing was given, what takes
    back without a mark was refunded, and what was given at a price was sold."""
    qty, flag = one.qty, one.flag
    if flag != "sold" and one.net is not None and qty > 0 > one.net:
        qty = -qty
    if flag == "sold" and qty and _free(one):
        flag = "given"
    elif flag == "sold" and qty < 0:
        flag = "refunded"
    elif flag == "given" and qty > 0 and one.net is not None and not _free(one):
        flag = "sold"
    return replace(one, qty=qty, flag=flag)


def left_rows(rows: Iterable[LeftOne], places: int = 2) -> tuple[LeftRows, ...]:
    """Rows by button, reason and what they would do, those that wait first, the most first; prices to ``places``
    decimals."""
    groups: dict[Key, _Group] = {}
    for one in map(_as_counted, rows):
        key = _key(one.code, one.text, one.reason, one.flag, one.qty, one.net or ZERO)
        group = groups.setdefault(key, _Group(one.text))
        group.text = min(group.text, one.text)
        group.rows += 1
        group.count += one.qty
        group.net += one.net or ZERO
        if one.reason in _NEVER_COUNTED:
            continue
        if one.paid is not None and one.qty and not _free(one):
            each = rounded(one.paid / one.qty, places)
            group.prices[each] = group.prices.get(each, ZERO) + one.qty
        if one.flag == "sold" and one.qty > 0 and one.day is not None:
            group.days.add(one.day)
    made = (
        LeftRows(text=group.text, code=key[0], rows=group.rows, count=group.count, net=group.net, reason=key[2],
                 flag=key[3], prices=_prices(group.prices), days=len(group.days))
        for key, group in groups.items()
    )  # fmt: skip
    return _ordered(map(_tidied, made))


def _prices(prices: dict[Decimal, Decimal]) -> tuple[SoldAt, ...]:
    ordered = sorted(prices.items(), key=lambda pair: (-abs(pair[1]), pair[0]))
    return tuple(SoldAt(each=each, count=tidy(n)) for each, n in ordered)


def _tidied(left: LeftRows) -> LeftRows:
    return replace(left, count=tidy(left.count), net=tidy(left.net, NET_PLACES if left.reason else WAITING_PLACES))


def _ordered(left: Iterable[LeftRows]) -> tuple[LeftRows, ...]:
    return tuple(sorted(left, key=lambda one: (one.reason != "", one.reason, -one.rows, one.code, one.text, one.flag,
                                               one.count, one.net)))  # fmt: skip


def gathered(left: Iterable[LeftRows]) -> tuple[LeftRows, ...]:
    """Groups some of which got another reason, as ``left_rows`` would have made them."""
    out: dict[Key, LeftRows] = {}
    for given in left:
        one = replace(given, prices=(), days=0) if given.reason in _NEVER_COUNTED else given
        key = _key(one.code, one.text, one.reason, one.flag, one.count, one.net)
        old = out.get(key)
        out[key] = one if old is None else _joined(old, one)
    return _ordered(map(_tidied, out.values()))


def _joined(one: LeftRows, other: LeftRows) -> LeftRows:
    prices: dict[Decimal, Decimal] = {}
    for at in (*one.prices, *other.prices):
        prices[at.each] = prices.get(at.each, ZERO) + at.count
    days = 0 if one.days and other.days else one.days or other.days  # how many in both together nobody knows
    return replace(
        one, text=min(one.text, other.text), rows=one.rows + other.rows, count=one.count + other.count,
        net=one.net + other.net, prices=_prices(prices), days=days,
    )  # fmt: skip


def fate_of(left: LeftRows) -> Literal["counted", "void", "waits"]:
    """What becomes of rows once their button sells a drink: they are counted, were taken back before they were made,
    or go on waiting, because an import would ask about them: they contradict themselves, or bring money and do not say
    how many they are."""
    count, net = left.count, left.net
    if count > 0 > net or count < 0 < net:
        return "waits"
    if left.flag == "before it was made" and count >= 0:
        return "void"
    if net and (not count or (left.flag in ("wasted", "refunded") and count > 0)):
        return "waits"
    return "counted"


def portion_of(left: LeftRows, serve: str, menu: str, many: Decimal, share: Decimal, *, money: bool) -> Portion:
    """What rows that waited do to one drink of which their button sells ``many`` for a ``share`` of its money."""
    unsaid = left.flag == "sold" and not left.net and not left.prices  # of what brought nothing it is said by the flag
    return Portion(
        serve=serve, menu=menu, qty=left.count * many, net=left.net * share if money and not unsaid else None,
        paid=None, flag=left.flag, day=None,
        prices=tuple((at.each * share / many, at.count * many) for at in left.prices),
    )  # fmt: skip
