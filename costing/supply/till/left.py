"""Rows that are in no count, gathered by button and reason, so that they can be counted later without the file.

Rows of a button are kept apart by what they would do: those that were paid for, those that brought nothing, and those
that take back, so that each can still be counted as what it is.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from costing.book.selling import Left, LeftRows, RowFlag
from costing.supply.till.counting import NET_PLACES, Portion, tidy
from costing.supply.till.prices import ZERO


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOne:
    """One row that is in no count. ``net`` is None where the file has no money."""

    code: str
    text: str
    reason: Left
    qty: Decimal = ZERO
    net: Decimal | None = None
    flag: RowFlag = "sold"


def _way(one: LeftOne) -> int:
    """0 paid for, 1 brought nothing, 2 takes back."""
    if one.reason in ("total", "before it was made"):
        return 0
    if one.net is not None and not one.net:
        return 1
    return 2 if one.qty < 0 and one.flag != "before it was made" else 0


def left_rows(rows: Iterable[LeftOne]) -> tuple[LeftRows, ...]:
    """Rows by button and reason, those that wait first, the most first."""
    sums: dict[tuple[str, str, Left, int], tuple[str, int, Decimal, Decimal]] = {}
    for one in rows:
        key = one.code, " ".join(one.text.casefold().split()), one.reason, _way(one)
        text, n, count, net = sums.get(key, (one.text, 0, ZERO, ZERO))
        sums[key] = min(text, one.text), n + 1, count + one.qty, net + (one.net or ZERO)
    made = [
        (LeftRows(text=text, code=code, rows=n, count=tidy(count), net=tidy(net, NET_PLACES), reason=reason), way)
        for (code, _, reason, way), (text, n, count, net) in sums.items()
    ]
    made.sort(key=lambda pair: (pair[0].reason != "", pair[0].reason, -pair[0].rows, pair[0].code, pair[0].text,
                                pair[1]))  # fmt: skip
    return tuple(one for one, _ in made)


def flag_of(left: LeftRows, money: bool) -> RowFlag:
    """What rows that waited are by the signs of what they add up to; ``money`` says whether their file had any."""
    if left.count > 0 and money and not left.net:
        return "given"
    return "refunded" if left.count < 0 else "sold"


def portions_of(left: LeftRows, parts: Iterable[tuple[str, str, Decimal, Decimal]], money: bool) -> list[Portion]:
    """What rows that waited sell, by (serve, menu, how many of it, share of the money). What one was paid at is not
    kept of them."""
    return [
        Portion(
            serve=serve, menu=menu, qty=left.count * many, net=left.net * share if money else None,
            paid=None, flag=flag_of(left, money), day=None,
        )
        for serve, menu, many, share in parts
    ]  # fmt: skip
