"""The periods that a file makes, and what they take the place of."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from hashlib import sha256

from costing.book.book import Book
from costing.book.selling import SalesPeriod
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.ids import take_id
from costing.supply.till.counting import tallied
from costing.supply.till.judge import Judged, Money
from costing.supply.till.left import LeftOne, left_rows
from costing.supply.till.marks import MarkSeen, resolved
from costing.supply.till.plan_record import SalesSaid
from costing.supply.till.record import TillLeft, TillLines, TillRow, plain_text
from costing.tongue import say

Piece = tuple[date, date]
_SINGLE = ("outlet", "by hand")
"""Why single rows are left out, whatever their button means: they are kept without it, so that no meaning that it gets
later counts them."""


def outlet_of(lines: TillLines, said: SalesSaid) -> str:
    """Whose sales a file is of: the outlet that is said, or the only one it names."""
    return said.outlet or (lines.outlets[0] if len(lines.outlets) == 1 else "")


def periods_of(
    book: Book, lines: TillLines, made: Judged, marks: Mapping[str, MarkSeen], money: Money, cut: Sequence[Piece], *,
    outlet: str, places: int, past: Iterable[str],
) -> tuple[tuple[SalesPeriod, ...], tuple[SalesPeriod | None, ...], list[Doubt]]:  # fmt: skip
    """(the periods of the file by ``cut``, what each takes the place of, what is doubted of it). A period takes the
    place of the one of the same days and outlet; one that overlaps another way is a doubt "sales-overlap"."""
    taken = {ident for _, ident in book.records} | set(past)
    doubts: list[Doubt] = []
    periods, replaces = [], []
    inside = _by_piece(lines, cut)
    has_money = any(money(row) is not None for row in lines.rows)
    for at, (since, until) in enumerate(cut):
        rows, left = inside[at]
        old, other = _known(book, since, until, outlet)
        if other is not None:
            days = _days(other.since, other.until)
            doubts.append(doubt("sales-overlap", "", since=since, until=until, other=days,
                                file=other.file or other.source or other.id))  # fmt: skip
        ident = old.id if old is not None else take_id(
            f"sales {since.isoformat()} {until.isoformat()} {outlet}", taken, fallback="sales"
        )  # fmt: skip
        period = _period(
            lines, made, marks, money, rows, left, ident=ident, days=(since, until), outlet=outlet,
            places=places, note=old.note if old is not None else "", has_money=has_money,
        )  # fmt: skip
        if old is not None and old != period:
            doubts.append(doubt("sales-replaces", "", since=since, until=until, file=old.file or old.source or old.id))
        periods.append(period)
        replaces.append(old)
    if periods and all(old == new for old, new in zip(replaces, periods, strict=True)):
        doubts.append(doubt("sales-digest", "", since=periods[0].since, until=periods[-1].until))
    return tuple(periods), tuple(replaces), doubts


def _days(since: date, until: date) -> str:
    return say("{since} to {until}", since=since.isoformat(), until=until.isoformat())


def _known(book: Book, since: date, until: date, outlet: str) -> tuple[SalesPeriod | None, SalesPeriod | None]:
    """(the period that this one takes the place of, the first other one that it overlaps)."""
    old = other = None
    for period in book.all(SalesPeriod).values():
        if period.until < since or until < period.since:
            continue
        if period.outlet and outlet and plain_text(period.outlet) != plain_text(outlet):
            continue  # two outlets may sell on one day
        same = (period.since, period.until) == (since, until)
        if same and (plain_text(period.outlet) == plain_text(outlet) or not period.file) and old is None:
            old = period
        else:
            other = other or period
    return old, other


def _by_piece(lines: TillLines, cut: Sequence[Piece]) -> list[tuple[list[int], list[TillLeft]]]:
    """For every piece: (indices of its rows, the rows that sell nothing). A row that has no day goes with the row above
    it, one of a day outside with the nearest piece."""
    out: list[tuple[list[int], list[TillLeft]]] = [([], []) for _ in cut]
    left = {one.n: one for one in lines.left}
    at_row = {row.n: at for at, row in enumerate(lines.rows)}
    now = 0
    for n in sorted((*left, *at_row)):
        if n in left:
            out[now][1].append(left[n])
            continue
        day = lines.rows[at_row[n]].day
        now = now if day is None else _piece_of(day, cut)
        out[now][0].append(at_row[n])
    return out


def _piece_of(day: date, cut: Sequence[Piece]) -> int:
    """The piece of a day; the first or last one for a day before or after them all."""
    return next((at for at, (_, until) in enumerate(cut) if day <= until), len(cut) - 1)


def _period(
    lines: TillLines, made: Judged, marks: Mapping[str, MarkSeen], money: Money, rows: Sequence[int],
    others: Sequence[TillLeft], *, ident: str, days: Piece, outlet: str, places: int, note: str, has_money: bool,
) -> SalesPeriod:  # fmt: skip
    fates = [made.fates[at] for at in rows]
    left = []
    for at, fate in zip(rows, fates, strict=True):
        if fate.fate == "counted":
            continue
        row = lines.rows[at]
        pair = money(row)
        single = fate.why in _SINGLE
        left.append(
            LeftOne(
                code="" if single else row.code, text="" if single else row.text, reason=fate.reason,
                qty=row.qty or Decimal(0),
                net=pair[0] if pair is not None else None, paid=pair[1] if pair is not None else None,
                flag=resolved(row, marks) or "sold", day=row.day,
            )
        )  # fmt: skip
    left += [LeftOne(code="", text="", reason="total" if one.why == "total" else "other") for one in others]
    counted = sum(fate.fate == "counted" for fate in fates)
    waiting = sum(fate.fate == "waiting" for fate in fates)
    portions = (one for at in rows for one in made.portions[at])
    return SalesPeriod(
        id=ident, since=days[0], until=days[1], sold=tallied(portions, has_money, places), file=lines.name,
        digest=digest_of((lines.rows[at] for at in rows), days, outlet), grain=lines.grain, outlet=outlet,
        read=len(rows) + len(others), mapped=counted, unmapped=waiting,
        ignored=len(rows) - counted - waiting + len(others),
        left=left_rows(left, places), note=note,
    )  # fmt: skip


def digest_of(rows: Iterable[TillRow], days: Piece, outlet: str) -> str:
    """The SHA-256 of what rows say, in any order, and of the period: the same export has the same digest."""
    said = sorted(_line(row) for row in rows)
    head = f"{days[0].isoformat()}|{days[1].isoformat()}|{outlet}"
    return sha256("\n".join([head, *said]).encode("utf-8", "surrogatepass")).hexdigest()


def _line(row: TillRow) -> str:
    figures = (row.qty, row.price, row.gross, row.discount, row.net, row.service, row.tax, row.paid)
    texts = (row.outlet, row.code, row.text, row.parent, row.line, row.check, row.flag, row.reason)
    shown = ("" if value is None else f"{value.normalize():f}" for value in figures)
    day = row.day.isoformat() if row.day is not None else ""
    return "|".join((day, str(row.minutes or ""), *texts, *shown))
