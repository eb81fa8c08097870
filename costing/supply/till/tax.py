"""What the money columns of a file have inside: tested by arithmetic over all rows, and never taken from a word alone.

Gross - discount - tax - service = net says that net is without tax and service; gross - discount = net that they are
in it, or in neither. What the house keeps follows ``pricing.levies.net_of``: a service that it keeps is part of net.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from itertools import combinations
from typing import Literal

from costing.book.levies import Levy
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.columns.amounts import places_of
from costing.supply.till.prices import ZERO, HousePrices
from costing.supply.till.record import TillRow

Basis = Literal["ex", "inc", ""]
Formula = Literal["", "all", "tax", "discount", "paid", "same"]
"""What comes out: gross less discount, tax and service is net; less discount and tax; less discount alone; net and tax
and service is what was paid; gross itself is net."""
HOLDS = Decimal("0.98")
"""Share of rows from which a formula is that of the file."""
NEAR = Decimal("0.002")
"""How far two shares of what was paid may lie apart, as a share: both stand on rounded figures."""
EVIDENCE = 3
"""Rows that must be at a printed price before it says anything, and times the rows that say otherwise."""
Printed = Callable[[TillRow], tuple[Decimal, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class TaxBasis:
    """``basis`` of the net column: "ex" without tax and service, "inc" with both, "" where there is no money.

    ``formula`` held in ``holds`` of ``of`` rows that could tell. The house's net of a row without tax is ``factor``
    times the column where the row is taxed, and the column of service too where the house keeps it
    (``keeps_service``).
    """

    basis: Basis = ""
    how: Literal["", "said", "kept", "sums", "words", "prices", "taken"] = ""
    formula: Formula = ""
    holds: int = 0
    of: int = 0
    factor: Decimal = Decimal(1)
    keeps_service: bool = False
    doubts: tuple[Doubt, ...] = ()
    asked: tuple[Doubt, ...] = ()


def tax_basis(
    rows: Sequence[TillRow], prices: HousePrices, first: date, *, said: Basis = "", kept: Basis = "",
    words: Basis = "", printed: Printed = lambda row: (),
) -> TaxBasis:  # fmt: skip
    """The basis of a file. ``said`` is somebody's answer and wins; ``kept`` what the till was read with before, and a
    doubt where sums say otherwise; ``words`` what a heading says by naming tax; ``printed`` the all-in prices that the
    drink of a row, where that is sure, has on the menus of its day. ``first`` stands in for the day of undated rows."""
    if not any(row.amount is not None for row in rows):
        return TaxBasis()
    formula, holds, of = formula_of(rows)
    found = _by_sums(rows, formula, of, prices, first)
    against: tuple[Doubt, ...] = ()
    if said:
        basis, how = said, "said"
        against = (doubt("sales-tax-against", "net", holds=holds, of=of),) if found and found != said else ()
    elif found:
        basis, how = found, "sums"
        if kept and kept != found:
            return TaxBasis(formula=formula, holds=holds, of=of, asked=(doubt("sales-tax-changed", "net"),))
    elif kept:
        basis, how = kept, "kept"
    else:
        return _without_sums(rows, formula, (holds, of), prices, first, words, printed)
    made = TaxBasis(basis=basis, how=how, formula=formula, holds=holds, of=of)  # type: ignore[arg-type]
    made = _kept_share(made, rows, prices, first)
    return replace(made, doubts=(*made.doubts, *against, *_off(rows, formula, of - holds)))


def _off(rows: Sequence[TillRow], formula: Formula, count: int) -> tuple[Doubt, ...]:
    """The rows that the formula of the file does not hold in."""
    if not formula or not count:
        return ()
    _, terms, rest = next(one for one in _FORMULAS if one[0] == formula)
    off = [row.n for row in rows if (left := rest(row)) is not None and abs(left) > _slack(rows) * terms]
    return (doubt("sales-sums-off", "net", count=len(off), rows=", ".join(map(str, off[:8]))),)


def _slack(rows: Sequence[TillRow]) -> Decimal:
    """Half of the last place that the money of a file shows."""
    places = max((places_of(v) for row in rows for v in (row.net, row.gross, row.tax) if v is not None), default=2)
    return Decimal(5).scaleb(-places - 1)


def formula_of(rows: Sequence[TillRow]) -> tuple[Formula, int, int]:
    """(the formula that most rows bear out, how many do, of how many); ("", ...) where fewer than 98 % do."""
    slack = _slack(rows)
    best: tuple[Formula, int, int] = ("", 0, 0)
    for name, terms, rest in _FORMULAS:
        told = holds = 0
        for row in rows:
            left = rest(row)
            if left is not None:
                told += 1
                holds += abs(left) <= slack * terms
        if told and holds >= HOLDS * told and holds > best[1]:
            best = name, holds, told
        elif not best[0] and holds > best[1]:
            best = "", holds, told
    return best


def _or_zero(value: Decimal | None) -> Decimal:
    return ZERO if value is None else value


def _all(row: TillRow) -> Decimal | None:
    if row.gross is None or row.net is None:
        return None
    return row.gross - _or_zero(row.discount) - _or_zero(row.tax) - _or_zero(row.service) - row.net


def _less_tax(row: TillRow) -> Decimal | None:
    return None if row.gross is None or row.net is None else row.gross - _or_zero(row.discount) - (
        _or_zero(row.tax)
    ) - row.net  # fmt: skip


def _less_discount(row: TillRow) -> Decimal | None:
    return None if row.gross is None or row.net is None else row.gross - _or_zero(row.discount) - row.net


def _paid(row: TillRow) -> Decimal | None:
    if row.paid is None or row.net is None:
        return None
    return row.net + _or_zero(row.tax) + _or_zero(row.service) - row.paid


def _gross_less_all(row: TillRow) -> Decimal | None:
    if row.gross is None or row.net is None or row.discount is None:
        return None
    return row.gross - _or_zero(row.tax) - _or_zero(row.service) - row.net


_FORMULAS: tuple[tuple[Formula, int, Callable[[TillRow], Decimal | None]], ...] = (
    ("all", 5, _all), ("paid", 4, _paid), ("tax", 4, _less_tax), ("discount", 3, _less_discount),
    ("same", 4, _gross_less_all),
)  # fmt: skip


def _taxed(rows: Iterable[TillRow]) -> list[TillRow]:
    return [row for row in rows if row.amount and (row.tax or row.service)]


def _by_sums(rows: Sequence[TillRow], formula: Formula, of: int, prices: HousePrices, first: date) -> Basis:
    """What the sums of a file with a column of tax prove."""
    taxed = _taxed(rows)
    if not taxed or (of and not formula):
        return ""
    if formula in ("all", "paid", "same", "tax"):
        return "ex"
    # gross less discount is net, or there is one column of money, and tax stands beside it: on top or inside, by rates
    net = sum((abs(row.amount or ZERO) for row in taxed), ZERO)
    beside = sum((abs(_or_zero(row.tax) + _or_zero(row.service)) for row in taxed), ZERO)
    on_top = inside = ZERO
    for row in taxed:
        whole, _, _ = shares(prices.levies(row.day or first))
        amount = abs(row.amount or ZERO)
        on_top += amount * (whole - 1)
        inside += amount * (whole - 1) / whole
    if net and on_top and abs(beside - on_top) <= NEAR * net * 2:
        return "ex"
    if net and inside and abs(beside - inside) <= NEAR * net * 2:
        return "inc"
    return ""


def shares(levies: Sequence[Levy]) -> tuple[Decimal, Decimal, tuple[Decimal, ...]]:
    """Of a bare price of 1: (all-in, what the house keeps, each levy)."""
    running = kept = Decimal(1)
    parts = []
    for levy in levies:
        part = levy.rate * (running if levy.on == "running" else 1)
        parts.append(part)
        running += part
        kept += part if levy.kept else 0
    return running, kept, tuple(parts)


def _without_sums(
    rows: Sequence[TillRow], formula: Formula, seen: tuple[int, int], prices: HousePrices, first: date, words: Basis,
    printed: Printed,
) -> TaxBasis:  # fmt: skip
    """No column of tax that would tell: the heading's words, then printed prices, then gross less discount."""
    holds, of = seen
    about = {"formula": formula, "holds": holds, "of": of}
    whole = {shares(prices.levies(row.day or first))[0] for row in rows[:1]}
    if whole == {Decimal(1)}:
        return TaxBasis(basis="ex", how="sums", **about)  # type: ignore[arg-type]
    inc, ex = _evidence(rows, prices, first, printed)
    told: Basis = "inc" if inc >= EVIDENCE and inc >= EVIDENCE * ex else "ex" if ex >= EVIDENCE * max(1, inc) else ""
    if words and told and words != told:
        asked = doubt("sales-tax-prices", "net", inc=inc, ex=ex)
        return TaxBasis(asked=(asked,), **about)  # type: ignore[arg-type]
    if words or told:
        how = "words" if words else "prices"
        return TaxBasis(basis=words or told, how=how, **about)  # type: ignore[arg-type]
    if formula in ("discount", "all") and not _taxed(rows) and any(row.gross is not None for row in rows):
        taken = doubt("sales-tax-taken", "net", holds=holds, of=of)
        return TaxBasis(basis="inc", how="taken", doubts=(taken,), **about)  # type: ignore[arg-type]
    return TaxBasis(asked=(doubt("sales-tax-open", "net", holds=holds, of=of),), **about)  # type: ignore[arg-type]


def _evidence(rows: Sequence[TillRow], prices: HousePrices, first: date, printed: Printed) -> tuple[int, int]:
    """(rows whose money is the printed price, rows whose money is what the house keeps of it)."""
    inc = ex = 0
    for row in rows:
        amount = row.amount
        if not amount or not row.qty or row.qty <= 0 or row.discount or row.flag:
            continue
        each = amount / row.qty
        asked = printed(row)
        slack = Decimal("0.006") / row.qty + Decimal("0.0001")
        inc += any(abs(each - price) <= slack for price in asked)
        ex += any(abs(each - prices.net(price, row.day or first)) <= slack for price in asked)
    return inc, ex


def _kept_share(made: TaxBasis, rows: Sequence[TillRow], prices: HousePrices, first: date) -> TaxBasis:
    """The house's net beside the file's: which taxes and services the file took out, and which of them the house
    keeps."""
    if made.basis != "ex":
        return made
    return _with_share(made, _taxed(rows), prices, first)


def _with_share(made: TaxBasis, taxed: list[TillRow], prices: HousePrices, first: date) -> TaxBasis:
    stated = sum((row.amount or ZERO for row in taxed), ZERO)
    paid = sum((paid_by(row, made.formula) or ZERO for row in taxed), ZERO)
    levies = prices.levies(next((row.day for row in taxed if row.day), first))
    if not taxed or not levies or not paid or not stated:
        return made
    by_day = [(shares(prices.levies(row.day or first)), paid_by(row, made.formula) or ZERO) for row in taxed]
    service = any(row.service for row in taxed)
    kept = sum((amount * keeps / whole for (whole, keeps, _), amount in by_day), ZERO)
    if _near(stated, kept, paid):
        return made
    for size in range(len(levies), 0, -1):
        for out in combinations(range(len(levies)), size):
            left = sum(
                (amount * (whole - sum(parts[i] for i in out if i < len(parts))) / whole
                 for (whole, _, parts), amount in by_day), ZERO,
            )  # fmt: skip
            if _near(stated, left, paid):
                return _scaled(made, size == len(levies) and service, kept / left)
    house = kept / paid
    note = doubt("sales-rates-differ", "net", file=_percent(stated / paid), house=_percent(house))
    return _scaled(made, any(levy.kept for levy in levies) and service, Decimal(1), note)


def _scaled(made: TaxBasis, by_column: bool, factor: Decimal, *notes: Doubt) -> TaxBasis:
    return replace(made, doubts=notes, factor=Decimal(1) if by_column else factor, keeps_service=by_column)


def _near(one: Decimal, other: Decimal, paid: Decimal) -> bool:
    return abs(one - other) <= NEAR * abs(paid)


def _percent(share: Decimal) -> str:
    return f"{(share * 100).quantize(Decimal('0.1'))} %"


def paid_by(row: TillRow, formula: Formula) -> Decimal | None:
    """What was paid for a row with everything in it, as the columns of a file without tax in its net say; None where
    they do not."""
    if row.paid is not None:
        return row.paid
    if formula in ("all", "tax") and row.gross is not None:
        return row.gross - _or_zero(row.discount)
    if formula == "same" and row.gross is not None:
        return row.gross
    if row.net is not None and (row.tax is not None or row.service is not None):
        return row.net + _or_zero(row.tax) + _or_zero(row.service)
    return None


def money_of(row: TillRow, basis: TaxBasis, prices: HousePrices, first: date) -> tuple[Decimal, Decimal] | None:
    """(what the house keeps, what was paid all in) of a row; None where there is no money."""
    amount = row.amount
    if amount is None or not basis.basis:
        return None
    day = row.day or first
    if basis.basis == "inc":
        return prices.net(amount, day), amount
    taxed = row.tax or row.service
    net = amount * (basis.factor if taxed else 1) + (_or_zero(row.service) if basis.keeps_service else ZERO)
    bare = row.service and row.tax is None and row.paid is None  # service alone does not say what the tax on it was
    paid = None if bare else paid_by(row, basis.formula)
    return net, paid if paid is not None else prices.all_in(net, day)
