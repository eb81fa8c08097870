"""What becomes of every row: it is counted, left out for a reason, or waits until somebody says what its button is."""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Literal

from costing.book.selling import Button, ButtonPart, Left, RowFlag
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.till.counting import Portion
from costing.supply.till.marks import MarkSeen, resolved
from costing.supply.till.meanings import Meanings
from costing.supply.till.prices import ZERO, HousePrices
from costing.supply.till.record import TillRow
from costing.supply.till.words import sales_doubt_text

Fate = Literal["counted", "ignored", "waiting"]
Money = Callable[[TillRow], tuple[Decimal, Decimal] | None]
_SHOWN = 8
"""Rows named in one sentence."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RowFate:
    """``why`` is a key of ``words.WHY_WORDS`` for a row that is ignored, or the code of a doubt for one that waits
    because of what stands in it ("" where only its button is not known)."""

    n: int
    fate: Fate
    reason: Left = ""
    why: str = ""


@dataclass(slots=True)
class Judged:
    """Fates by row, in the order of the rows, and what each counted row sells."""

    fates: list[RowFate]
    portions: list[list[Portion]]
    asked: list[Doubt] = field(default_factory=list)
    doubts: list[Doubt] = field(default_factory=list)


@dataclass(slots=True, kw_only=True)
class _Judge:
    meanings: Meanings
    marks: Mapping[str, MarkSeen]
    money: Money
    prices: HousePrices
    first: date
    leave: Collection[int]
    outlet: str
    notes: dict[tuple[str, str], list[int]] = field(default_factory=dict)
    asks: dict[tuple[str, str], list[int]] = field(default_factory=dict)
    told: dict[tuple[str, str], dict[str, object]] = field(default_factory=dict)
    fates: list[RowFate] = field(default_factory=list)
    portions: list[list[Portion]] = field(default_factory=list)
    over: dict[tuple[str, str, date | None], int | None] = field(default_factory=dict)
    named: dict[tuple[str, str, str], list[int]] = field(default_factory=dict)
    left: dict[int, Decimal] = field(default_factory=dict)

    def note(self, code: str, row: TillRow, key: str = "", **values: object) -> None:
        self.notes.setdefault((code, key), []).append(row.n)
        self.told[code, key] = values

    def ask(self, code: str, row: TillRow, key: str = "", **values: object) -> RowFate:
        self.asks.setdefault((code, key), []).append(row.n)
        self.told[code, key] = values
        return RowFate(n=row.n, fate="waiting", why=code)


def judged(
    rows: Sequence[TillRow], meanings: Meanings, marks: Mapping[str, MarkSeen], money: Money, prices: HousePrices, *,
    first: date, leave: Collection[int] = (), outlet: str = "",
) -> Judged:  # fmt: skip
    """Every row with its fate. ``leave`` are rows that somebody leaves out by their number, ``outlet`` the one that is
    counted ("" for all); ``first`` stands in for the day of undated rows."""
    judge = _Judge(meanings=meanings, marks=marks, money=money, prices=prices, first=first, leave=leave, outlet=outlet)
    for at, row in enumerate(rows):
        judge.portions.append([])
        judge.fates.append(_fate(judge, rows, at, row))
    out = Judged(judge.fates, judge.portions)
    for mark in marks.values():
        if not mark.flag:
            out.asked.append(doubt("sales-mark-unknown", "flag", mark=mark.mark, count=mark.rows))
    for found, where in ((judge.asks, out.asked), (judge.notes, out.doubts)):
        for (code, key), at_rows in found.items():
            shown = ", ".join(map(str, at_rows[:_SHOWN])) + (", …" if len(at_rows) > _SHOWN else "")
            where.append(doubt(code, "", **{"count": len(at_rows), "rows": shown, **judge.told[code, key]}))
    return out


def _fate(judge: _Judge, rows: Sequence[TillRow], at: int, row: TillRow) -> RowFate:
    if row.n in judge.leave:
        return RowFate(n=row.n, fate="ignored", reason="other", why="by hand")
    if judge.outlet and row.outlet != judge.outlet:
        return RowFate(n=row.n, fate="ignored", reason="other", why="outlet")
    if row.doubts:
        why = sales_doubt_text(row.doubts[0])
        return judge.ask("sales-row-unread", row, why, why=why)
    flag = resolved(row, judge.marks)
    if not flag:
        return RowFate(n=row.n, fate="waiting", why="sales-mark-unknown")
    meaning = judge.meanings.of(row.code, row.text)
    button = meaning.button
    if button is None and meaning.sure:
        button = Button(id="", text=row.text, code=row.code, since=judge.first, parts=(ButtonPart(serve=meaning.sure),))
    parent = _parent(judge, rows, row)
    if button is None or button.sort == "sale":
        _stands(judge, at, row)
    if button is None:
        return _unknown(judge, rows, row, flag, parent)
    if button.sort == "left":
        return RowFate(n=row.n, fate="ignored", reason=button.reason, why="left")
    if button.sort == "instead":
        return _instead(judge, rows, row, button, parent)
    return _sale(judge, rows, at, row, button, flag, parent)


def _unknown(judge: _Judge, rows: Sequence[TillRow], row: TillRow, flag: RowFlag, parent: int | None) -> RowFate:
    """A row of a button that nobody has said the meaning of. It waits, unless it could never be counted."""
    if row.amount is None and row.gross:
        return _net_empty(judge, row)
    money = judge.money(row)
    void = flag == "before it was made" and (row.qty or ZERO) >= 0
    if not void and _inside(judge, rows, row, money[0] if money is not None else None, parent):
        return RowFate(n=row.n, fate="ignored", reason="modifier", why="inside")
    if row.qty is None:
        judge.note("sales-qty-open", row)
    return RowFate(n=row.n, fate="waiting")


def _net_empty(judge: _Judge, row: TillRow) -> RowFate:
    why = sales_doubt_text(doubt("sales-net-empty", "net", gross=row.gross))
    return judge.ask("sales-row-unread", row, why, why=why)


def _inside(judge: _Judge, rows: Sequence[TillRow], row: TillRow, net: Decimal | None, parent: int | None) -> bool:
    """Whether a row stands inside a set that is counted, and brings nothing of its own."""
    return bool(row.parent and not net and parent is not None and len(_parts_of(judge, rows[parent])) > 1)


def _stands(judge: _Judge, at: int, row: TillRow) -> None:
    """A row that may have modifiers under it: by its place, and by every name that they may call it."""
    if row.parent:
        return
    judge.over[row.outlet, row.check, row.day] = at
    for name in {row.line, row.code, row.text.casefold()} - {""}:
        judge.named.setdefault((row.outlet, row.check, name), []).append(at)


def _parent(judge: _Judge, rows: Sequence[TillRow], row: TillRow) -> int | None:
    """The row that a modifier belongs to: the one that its parent column names in the same check, else the last one
    before it in the same check and day. None where there is none."""
    if row.parent:
        named = judge.named.get((row.outlet, row.check, row.parent)) or (
            judge.named.get((row.outlet, row.check, row.parent.casefold()))
        )
        same_day = [at for at in named or () if rows[at].day == row.day]
        if same_day:
            return same_day[-1]
    return judge.over.get((row.outlet, row.check, row.day))


def _signed(judge: _Judge, row: TillRow, flag: RowFlag) -> tuple[Decimal, tuple[Decimal, Decimal] | None] | RowFate:
    """(how many, what they bring) with one sign; a fate where the two contradict each other."""
    if row.qty is None:
        return judge.ask("sales-qty-missing", row)
    money = judge.money(row)
    if row.amount is None and row.gross:
        return _net_empty(judge, row)
    net, qty = (money[0] if money is not None else ZERO), row.qty
    if qty > 0 > net and flag != "sold":
        qty = qty.copy_negate()  # a till that prints how many were taken back without a sign, and their money with one
    elif qty > 0 > net or qty < 0 < net:
        return judge.ask("sales-sign", row, qty=row.qty, net=net)
    return qty, money


def _sale(
    judge: _Judge, rows: Sequence[TillRow], at: int, row: TillRow, button: Button, flag: RowFlag, parent: int | None
) -> RowFate:
    signed = _signed(judge, row, flag)
    if isinstance(signed, RowFate):
        return signed
    qty, money = signed
    net, paid = money if money is not None else (None, None)
    if flag == "before it was made" and qty >= 0:
        return RowFate(n=row.n, fate="ignored", reason="before it was made", why="void")
    if flag in ("wasted", "refunded") and qty > 0 and net:
        return judge.ask("sales-flag-paid", row, row.flag, mark=row.flag)
    if _inside(judge, rows, row, net, parent):
        return RowFate(n=row.n, fate="ignored", reason="modifier", why="inside")
    _notes(judge, row, flag, qty, net)
    shares = _shares(judge, row, button)
    if isinstance(shares, RowFate):
        return shares
    judge.portions[at] = [
        Portion(
            serve=part.serve, menu=part.menu, qty=qty * part.count, flag=flag, day=row.day,
            net=None if net is None else net * share, paid=None if paid is None else paid * share,
        )
        for part, share in zip(button.parts, shares, strict=True)
    ]  # fmt: skip
    judge.left[at] = Decimal(1)
    return RowFate(n=row.n, fate="counted")


def _notes(judge: _Judge, row: TillRow, flag: RowFlag, qty: Decimal, net: Decimal | None) -> None:
    """What is read out of a row and not printed in it."""
    if net is None:
        return
    if flag == "sold" and qty < 0:
        judge.note("sales-refund-unmarked", row)
    elif flag == "sold" and qty > 0 and not net:
        judge.note("sales-price-zero", row)
    elif flag == "given" and qty > 0 and net:
        judge.note("sales-given-paid", row)


def _parts_of(judge: _Judge, row: TillRow) -> tuple[ButtonPart, ...]:
    button = judge.meanings.of(row.code, row.text).button
    return button.parts if button is not None else ()


def _shares(judge: _Judge, row: TillRow, button: Button) -> list[Decimal] | RowFate:
    """What share of its money each part of a button brings: as said, the rest by printed prices."""
    shares = button_shares(button, judge.prices, row.day or judge.first)
    if isinstance(shares, Doubt):
        return judge.ask(shares.code, row, button.text, **dict(shares.values))
    return shares


def button_shares(button: Button, prices: HousePrices, day: date) -> list[Decimal] | Doubt:
    """The shares of the parts of a button, which make 1: as said, and what these leave by what the others are printed
    at. A doubt where a price is missing, or where they do not make 1."""
    parts = button.parts
    if len(parts) == 1:
        return [Decimal(1)]
    said = sum((part.share for part in parts if part.share is not None), ZERO)
    open_parts = [part for part in parts if part.share is None]
    if said > 1 or (not open_parts and said != 1):
        return doubt("sales-combo-shares", "", text=button.text, sum=said)
    worth: dict[int, Decimal] = {}
    for part in open_parts:
        price = prices.printed(part.serve, part.menu, day)
        if not price:
            return doubt("sales-combo-price", "", text=button.text, serve=part.serve)
        worth[id(part)] = price * part.count
    whole = sum(worth.values(), ZERO)
    return [part.share if part.share is not None else (1 - said) * worth[id(part)] / whole for part in parts]


def _instead(judge: _Judge, rows: Sequence[TillRow], row: TillRow, button: Button, parent: int | None) -> RowFate:
    """A modifier that makes the drink above it another one: that many of it, with their share of the money, and what
    the modifier itself brings."""
    under = judge.portions[parent] if parent is not None else []
    first = under[0] if under else None
    if parent is None or first is None or len(_parts_of(judge, rows[parent])) > 1 or not first.qty:
        judge.note("sales-instead-alone", row, button.text, text=button.text)
        return RowFate(n=row.n, fate="waiting", why="sales-instead-alone")
    money = judge.money(row)
    qty = first.qty if row.qty is None else row.qty
    share = qty / rows_qty(rows[parent])
    left = judge.left.get(parent, Decimal(1))
    if not 0 < share <= left:
        return judge.ask("sales-instead-more", row, button.text, text=button.text)
    part, whole = button.parts[0], judge.portions[parent]
    made = whole[0].part(share / left)
    whole[0] = whole[0].part((left - share) / left)
    made.serve, made.menu = part.serve, part.menu or made.menu
    made.qty *= part.count
    if money is not None and made.net is not None and made.paid is not None:
        made.net, made.paid = made.net + money[0], made.paid + money[1]
    whole.append(made)
    judge.left[parent] = left - share
    return RowFate(n=row.n, fate="counted")


def rows_qty(row: TillRow) -> Decimal:
    """How many a row sells, as printed."""
    return row.qty if row.qty is not None else ZERO
