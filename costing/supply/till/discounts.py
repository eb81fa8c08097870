"""Discounts that a till prints as what they take off (-3.00): turned round, as every other till prints them."""

from collections.abc import Sequence
from dataclasses import replace

from costing.supply.till.record import TillRow
from costing.supply.till.roles import MONEY
from costing.supply.till.tax import formula_of


def discounts_taken_off(rows: Sequence[TillRow]) -> tuple[TillRow, ...]:
    """The rows with discounts that have the sign of what they are taken from. A column whose every discount has the
    other sign is turned round, unless its sums hold in more rows as it is printed (then they are surcharges)."""
    told = [row.gross * row.discount for row in rows if row.gross and row.discount]
    if not told or any(sign > 0 for sign in told):
        return tuple(rows)
    turned = tuple(_turned(row) for row in rows)
    return tuple(rows) if formula_of(rows)[1] > formula_of(turned)[1] else turned


def _turned(row: TillRow) -> TillRow:
    if not row.discount:
        return row
    off = -row.discount
    by_gross = row.gross is not None and all(row.figure(role) is None for role in MONEY if role != "gross")
    amount = row.gross - off if by_gross and row.gross is not None else row.amount
    return replace(row, discount=off, amount=amount)
