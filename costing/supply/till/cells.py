"""Columns of figures and of days: one decimal mark and one order of day and month a column, or a question."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from typing import Literal

from costing.book.buying import LARGEST
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.table import DayCell, Figure, Unworked
from costing.supply.columns.days import Order, order_changed, order_of, read_day
from costing.supply.packs.marks import column_mark, mark_by_products
from costing.supply.packs.numbers import read_number
from costing.supply.till.stamps import minutes_of, split_stamp

NOTHING = frozenset({"", "-", "–", "—"})
"""Cells that hold no figure; a dash stands for none in many reports."""
DecimalMark = Literal["", ".", ","]


_TIMES = re.compile(r"(?:[x×] ?(?=[-\d]))?([-−]?[\d.,]*\d)(?: ?[x×])?", re.IGNORECASE)


def without_times(cell: str) -> str:
    """ "2x", "2 x" and "x2" are 2; every other cell as it is."""
    if "x" not in cell.lower() and "×" not in cell:
        return cell
    found = _TIMES.fullmatch(cell.strip())
    return found[1] if found is not None else cell


@dataclass(slots=True)
class FigureColumn:
    """Values by row; doubts of single cells by row, and what is asked of the whole column. ``mark`` is the decimal mark
    that its own cells fixed, "" where none did, and ``shown`` the first of them that did."""

    values: list[Decimal | None]
    odd: dict[int, Doubt] = field(default_factory=dict)
    asked: tuple[Doubt, ...] = ()
    mark: DecimalMark = ""
    shown: str = ""


def figure_column(
    cells: Sequence[str], role: str, rows: Sequence[int], said: DecimalMark, kept: DecimalMark,
    beside: Sequence[tuple[str, str, str]] = (),
) -> FigureColumn:  # fmt: skip
    """A column as figures. The mark is that of its own cells over all rows; where they leave it open, what somebody
    ``said``, what comes out in ``beside`` (quantity x price = money), or what was ``kept`` of the same till; else it is
    asked. ``rows`` are the rows' numbers, for the sentences."""
    cells = [without_times(cell) for cell in cells] if role == "qty" else cells
    vote = column_mark(cell for cell in cells if cell.strip() not in NOTHING)
    mark: DecimalMark = _mark(vote.mark)
    if vote.why == "contradiction":
        one, other = (_first(cells, rows, text) for text in (vote.seen[0], vote.seen[-1]))
        return FigureColumn(
            [None] * len(cells),
            asked=(doubt("sales-decimal-mixed", role, one=one[0], at=one[1], other=other[0], there=other[1]),),
        )
    decimal = mark or None
    if not mark and vote.ambiguous:
        found = _mark(mark_by_products(beside).mark) if beside and not said else ""
        mark = found
        decimal = said or found or kept or None
        if decimal is None:
            i = next(i for i, cell in enumerate(cells) if read_number(cell).state == "ambiguous")
            two = read_number(cells[i]).readings
            return FigureColumn(
                [None] * len(cells),
                asked=(doubt("sales-decimal-open", role, value=cells[i], n=rows[i], one=two[0], other=two[-1]),),
            )
    out = FigureColumn([], mark=mark, shown=vote.seen[0].strip() if vote.seen else "")
    for i, cell in enumerate(cells):
        value, odd = _figure(cell, role, decimal)
        out.values.append(value)
        if odd is not None:
            out.odd[i] = odd
    return out


def _mark(mark: str | None) -> DecimalMark:
    return "." if mark == "." else "," if mark == "," else ""


def _first(cells: Sequence[str], rows: Sequence[int], text: str) -> tuple[str, int]:
    return text, rows[next(i for i, cell in enumerate(cells) if cell == text)]


def _figure(cell: str, role: str, decimal: str | None) -> tuple[Decimal | None, Doubt | None]:
    plain = cell.strip()
    if isinstance(cell, Unworked):
        return None, doubt("formula-no-value", role, value=cell)
    if plain in NOTHING:
        return None, None
    if isinstance(cell, DayCell):
        return None, doubt("sales-figure-unread", role, value=plain)
    number = read_number(Figure(plain) if isinstance(cell, Figure) else plain, decimal)
    if number.value is None or number.percent or abs(number.value) >= LARGEST:
        return None, doubt("sales-figure-unread", role, value=plain)
    return number.value, None


@dataclass(slots=True)
class DayColumn:
    """Business days, calendar days and minutes by row; doubts of single cells by row, what is asked of the column, and
    how its days are ordered. ``zoned`` counts stamps with a time zone, ``moved`` rows that belong to the day before,
    ``ahead`` rows of days to come."""

    days: list[date | None]
    calendar: list[date | None]
    minutes: list[int | None]
    odd: dict[int, Doubt] = field(default_factory=dict)
    asked: tuple[Doubt, ...] = ()
    order: Order = ""
    zoned: int = 0
    moved: int = 0
    ahead: int = 0


def day_column(
    cells: Sequence[str], times: Sequence[str], rows: Sequence[int], *, today: date, said: Order, kept: Order,
    business: bool, day_ends: int,
) -> DayColumn:  # fmt: skip
    """Days of a column (and of a column of times beside it). A stamp before ``day_ends`` o'clock belongs to the day
    before, unless the column is one of ``business`` days.

    One layout a column: two of them, or two orders, are refused with both rows named. Text is never compared as text.
    """
    parts = [split_stamp(cell) for cell in cells]
    texts = [day for day, _, _ in parts]
    stamped = [minutes_of(time) if time else None for _, time, _ in parts]
    if not any(stamped):  # a sheet stores a day alone as midnight
        stamped = [None] * len(cells)
    minutes = [
        minutes_of(times[i]) if times and times[i].strip() else stamped[i] for i in range(len(cells))
    ]  # fmt: skip
    out = DayColumn([None] * len(cells), [None] * len(cells), minutes, zoned=sum(bool(zone) for _, _, zone in parts))
    out.order, out.asked = _order(texts, rows, said, kept)
    if out.asked:
        return out
    for i, text in enumerate(texts):
        if not text.strip():
            continue
        read = read_day(text, out.order, today, "day")
        day = read.day
        if day is None:
            out.odd[i] = read.doubts[0]
        else:
            out.ahead += day > today
            at = minutes[i]
            night = not business and at is not None and at < day_ends * 60
            out.calendar[i] = day
            out.days[i] = day - timedelta(days=1) if night else day
            out.moved += night
        if times and times[i].strip() and minutes[i] is None and not business:
            out.odd.setdefault(i, doubt("sales-time-unread", "time", value=times[i].strip()))
    return out


def _order(texts: Sequence[str], rows: Sequence[int], said: Order, kept: Order) -> tuple[Order, tuple[Doubt, ...]]:
    layouts: dict[str, int] = {}
    for i, text in enumerate(texts):
        layout = _layout(text)
        if layout:
            layouts.setdefault(layout, i)
    if len(layouts) > 1:
        one, other = list(layouts.values())[:2]
        return "", (_mixed(texts, rows, one, other),)
    order, unsure = order_of(texts)
    if unsure is not None and unsure.code == "day-mixed":
        seen = dict(unsure.values)
        at = [next(i for i, text in enumerate(texts) if text == seen[name]) for name in ("one", "other")]
        return "", (_mixed(texts, rows, *at),)
    if unsure is not None:
        chosen = said or kept
        return chosen, () if chosen in ("dmy", "mdy") else (Doubt(unsure.code, "day", unsure.values),)
    if kept in ("dmy", "mdy") and order in ("dmy", "mdy") and order != kept and not said:
        return "", (order_changed(order, "day"),)
    if said in ("dmy", "mdy") and order in ("dmy", "mdy") and order != said:
        return "", (order_changed(order, "day"),)
    return order or said or kept, ()


def _layout(text: str) -> str:
    """How a day is written; "" for what is none."""
    plain = text.strip()
    if isinstance(text, DayCell):
        return "stored"
    if isinstance(text, Figure) or not any(ch.isdigit() for ch in plain):
        return ""
    shape = "".join("9" if ch.isdigit() else "a" if ch.isalpha() else ch for ch in plain)
    if shape.startswith("9999") and len(shape) >= 8 and shape[4] in "-/.":
        return "year first"
    for sign in "/.-":
        if shape.count(sign) == 2 and not any(ch.isalpha() for ch in plain):
            return sign
    return "named" if any(ch.isalpha() for ch in plain) and read_day(plain, "dmy", date(2090, 1, 1)).day else ""


def _mixed(texts: Sequence[str], rows: Sequence[int], one: int, other: int) -> Doubt:
    return doubt(
        "sales-days-mixed", "day", one=texts[one].strip(), at=rows[one], other=texts[other].strip(), there=rows[other]
    )
