"""Rows of stored periods that wait, counted once somebody says what their button means: the file is not needed again.

What is kept of rows that wait is how many, how much they brought and which way they went; what one was paid at, and on
which days, is in the file alone, so a count that comes from here has neither.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal

from costing.book.selling import Button, Left, LeftRows, SalesPeriod, Sold
from costing.supply.till.counting import NET_PLACES, tallied, tidy
from costing.supply.till.left import portions_of
from costing.supply.till.prices import ZERO
from costing.supply.till.record import plain_text


def means(button: Button, code: str, text: str) -> bool:
    """Whether a button is the one of rows with this code and text: the same both, or the same text where one of the two
    has no code."""
    same = plain_text(button.text) == plain_text(text)
    return same and (button.code == code or not button.code or not code) and bool(text or code)


def waits_for(period: SalesPeriod, button: Button, was: Left = "") -> tuple[LeftRows, ...]:
    """Rows of a period that wait for a button; with ``was`` those too that it left out for this reason until now."""
    return tuple(left for left in period.left if left.reason in ("", was) and means(button, left.code, left.text))


def counted_with(period: SalesPeriod, button: Button, shares: Sequence[Decimal], was: Left = "") -> SalesPeriod:
    """The period with the rows of ``button`` counted, ``shares`` of their money by its parts; the same one where none
    waits. A button that is left out moves them among those that are left."""
    found = waits_for(period, button, was)
    if not found:
        return period
    rows = sum(left.rows for left in found)
    waited = sum(left.rows for left in found if not left.reason)
    rest = tuple(left for left in period.left if left not in found)
    before = {"unmapped": period.unmapped - waited, "ignored": period.ignored - (rows - waited)}
    if button.sort == "left":
        moved = tuple(replace(left, reason=button.reason) for left in found)
        return replace(
            period, left=_ordered((*rest, *moved)), unmapped=before["unmapped"], ignored=before["ignored"] + rows
        )
    money = any(one.net is not None for one in period.sold) or any(left.net for left in period.left)
    parts = [(part.serve, part.menu, part.count, share) for part, share in zip(button.parts, shares, strict=True)]
    portions = (one for left in found for one in portions_of(left, parts, money))
    sold = _together((*period.sold, *tallied(portions, money, 2)))
    return replace(
        period, sold=sold, left=rest, mapped=period.mapped + rows, unmapped=before["unmapped"],
        ignored=before["ignored"],
    )  # fmt: skip


def waiting_again(period: SalesPeriod, button: Button) -> SalesPeriod:
    """The period with rows that a button left out waiting again."""
    found = [left for left in period.left if left.reason == button.reason and means(button, left.code, left.text)]
    rows = sum(left.rows for left in found)
    if not rows or button.sort != "left":
        return period
    moved = tuple(replace(left, reason="") if left in found else left for left in period.left)
    return replace(period, left=_ordered(moved), unmapped=period.unmapped + rows, ignored=period.ignored - rows)


def _ordered(left: Iterable[LeftRows]) -> tuple[LeftRows, ...]:
    return tuple(sorted(left, key=lambda one: (one.reason != "", one.reason, -one.rows, one.code, one.text)))


def _together(sold: Iterable[Sold]) -> tuple[Sold, ...]:
    """Counts of one drink on one menu as one."""
    out: dict[tuple[str, str], Sold] = {}
    for one in sold:
        old = out.get((one.serve, one.menu))
        if old is None:
            out[one.serve, one.menu] = one
            continue
        nets = [net for net in (old.net, one.net) if net is not None]
        out[one.serve, one.menu] = replace(
            old, count=tidy(old.count + one.count), given=tidy(old.given + one.given),
            net=tidy(sum(nets, ZERO), NET_PLACES) if nets else None,
            wasted=tidy(old.wasted + one.wasted), refunded=tidy(old.refunded + one.refunded),
        )  # fmt: skip
    return tuple(out[key] for key in sorted(out))
