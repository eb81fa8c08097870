"""The days of a file's periods: as somebody says, as the file says, or as its rows are; whole, or cut."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.till.plan_record import SalesSaid, Split
from costing.supply.till.record import TillLines, TillRow


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """First and last day, None where nobody knows; what is asked and noted of it."""

    since: date | None = None
    until: date | None = None
    doubts: tuple[Doubt, ...] = ()
    asked: tuple[Doubt, ...] = ()


def span_of(lines: TillLines, rows: Sequence[TillRow], said: SalesSaid) -> Span:
    """The days of ``rows``. Where neither somebody nor the file says them, from the first calendar day to the last
    business day: the night before the first day is in the file, and belongs to no other."""
    calendar = [row.calendar for row in rows if row.calendar is not None]
    days = [row.day for row in rows if row.day is not None]
    since = said.since or lines.since or min(calendar, default=None)
    until = said.until or lines.until or max(days, default=None)
    if since is None or until is None:
        return Span(asked=(doubt("sales-no-period"),))
    if until < since and (said.until is None and lines.until is None):
        until = since
    if until < since:
        return Span(asked=(doubt("sales-backward", "", since=since, until=until),))
    night = [row for row in rows if row.day is not None and row.day < since and _inside(row.calendar, since, until)]
    at = {row.n for row in night}
    out = [row.n for row in rows if row.day is not None and not _inside(row.day, since, until) and row.n not in at]
    doubts = [doubt("sales-night-before", "day", since=since, count=len(night))] if night else []
    undated = sum(row.day is None for row in rows)
    if undated and days:
        doubts.append(doubt("sales-undated", "day", count=undated))
    asked = []
    if out:
        shown = ", ".join(map(str, out[:8])) + (", …" if len(out) > 8 else "")
        asked.append(doubt("sales-outside", "day", since=since, until=until, count=len(out), rows=shown))
    if said.split and undated:
        asked.append(doubt("sales-split-days", "day", count=undated))
    return Span(since=since, until=until, doubts=tuple(doubts), asked=tuple(asked))


def _inside(day: date | None, since: date, until: date) -> bool:
    return day is not None and since <= day <= until


def pieces(since: date, until: date, split: Split) -> list[tuple[date, date]]:
    """The periods from ``since`` to ``until``: one, or cut after every Sunday or last day of a month."""
    if not split:
        return [(since, until)]
    out = []
    start = since
    while start <= until:
        if split == "week":
            end = start + timedelta(days=6 - start.weekday())
        else:
            after = date(start.year + start.month // 12, start.month % 12 + 1, 1)
            end = after - timedelta(days=1)
        out.append((start, min(end, until)))
        start = end + timedelta(days=1)
    return out
