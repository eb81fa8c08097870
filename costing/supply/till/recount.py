"""Rows of stored periods that wait, counted once somebody says what their button means: the file is not needed again.

They are counted as an import would have counted them. What hangs on the rows around them, a drink that is made another
one or what stands inside a set, is in the file alone; and where a drink is sold by several buttons, on how many days it
was sold is known only where one of them sold it on every day.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal

from costing.book.selling import Button, Left, LeftRows, SalesPeriod, Sold
from costing.supply.till.counting import Tally
from costing.supply.till.left import fate_of, gathered, portion_of
from costing.supply.till.record import plain_text

Parts = Sequence[tuple[str, str, Decimal, Decimal]]
"""(serve, menu, how many of it, its share of the money)."""


def means(button: Button, code: str, text: str) -> bool:
    """Whether a button is the one of rows with this code and text: the same both, or the same text where one of the two
    has no code."""
    same = plain_text(button.text) == plain_text(text)
    return same and (button.code == code or not button.code or not code) and bool(text or code)


def waits_for(period: SalesPeriod, button: Button, was: Left = "") -> tuple[LeftRows, ...]:
    """Rows of a period that wait for a button; with ``was`` those too that it left out for this reason until now."""
    return tuple(left for left in period.left if left.reason in ("", was) and means(button, left.code, left.text))


def counted_with(
    period: SalesPeriod, button: Button, shares: Sequence[Decimal], was: Left = "", places: int = 2
) -> SalesPeriod:
    """The period with the rows of ``button`` counted, ``shares`` of their money by its parts; the same one where none
    waits. A button that is left out moves them among those that are left. Prices to ``places`` decimals."""
    found = waits_for(period, button, was)
    if not found:
        return period
    if button.sort == "left":
        moved = tuple(replace(left, reason=button.reason) for left in found)
        return _with(period, found, moved, period.sold)
    money = any(one.net is not None for one in period.sold) or any(left.net for left in period.left)
    parts = [(part.serve, part.menu, part.count, share) for part, share in zip(button.parts, shares, strict=True)]
    counted = [left for left in found if fate_of(left) == "counted"]
    rest = tuple(replace(left, reason=_reason(left)) for left in found if left not in counted)
    return _with(period, found, rest, _sold(period, counted, parts, money=money, places=places))


def _reason(left: LeftRows) -> Left:
    return "before it was made" if fate_of(left) == "void" else ""


def _with(
    period: SalesPeriod, found: Sequence[LeftRows], now: Sequence[LeftRows], sold: tuple[Sold, ...]
) -> SalesPeriod:
    """The period with the rows ``found`` replaced by those that are still in no count, the others being in ``sold``."""
    was_rows, was_waiting = _rows(found), _rows(left for left in found if not left.reason)
    rows, waiting = _rows(now), _rows(left for left in now if not left.reason)
    return replace(
        period, sold=sold, left=gathered((*(left for left in period.left if left not in found), *now)),
        mapped=period.mapped + was_rows - rows, unmapped=period.unmapped - was_waiting + waiting,
        ignored=period.ignored - (was_rows - was_waiting) + (rows - waiting),
    )  # fmt: skip


def _rows(left: Iterable[LeftRows]) -> int:
    return sum(one.rows for one in left)


def waiting_again(period: SalesPeriod, button: Button) -> SalesPeriod:
    """The period with rows that a button left out waiting again."""
    if button.sort != "left":
        return period
    found = [left for left in period.left if left.reason == button.reason and means(button, left.code, left.text)]
    return _with(period, found, [replace(left, reason="") for left in found], period.sold) if found else period


def _sold(
    period: SalesPeriod, counted: Sequence[LeftRows], parts: Parts, *, money: bool, places: int
) -> tuple[Sold, ...]:
    """What the period sold with ``counted`` in it."""
    out = {(one.serve, one.menu): one for one in period.sold}
    for serve, menu, many, share in parts:
        old = out.get((serve, menu))
        tally = Tally(places) if old is None else _tally(old, places)
        days = old.days if old is not None else 0
        dated = old is None or bool(old.days) or old.count <= 0
        for left in counted:
            tally.add(portion_of(left, serve, menu, many, share, money=money))
            if left.flag == "sold" and left.count > 0:
                dated, days = dated and bool(left.days), _union(days, left.days, period.days)
                dated = dated and bool(days)
        one = tally.sold(serve, menu, money)
        out[serve, menu] = replace(one, days=days if dated else 0)
    return tuple(one for _, one in sorted(out.items()) if one.count or one.made or one.net)


def _tally(old: Sold, places: int) -> Tally:
    return Tally(
        places, count=old.count, net=old.net, given=old.given, wasted=old.wasted, refunded=old.refunded,
        prices={at.each: at.count for at in old.prices},
    )  # fmt: skip


def _union(one: int, other: int, whole: int) -> int:
    """On how many of ``whole`` days either was sold; 0 where that cannot be told."""
    if not one or not other:
        return one or other
    return max(one, other) if max(one, other) >= whole else 0
