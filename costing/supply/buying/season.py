"""How the price of a fresh good goes with the year, and how far it usually moves, from its own dated quotes.

The seasonal index is that of classical decomposition by ratios to a moving average: monthly means, each over the
centred mean of twelve months (thirteen, the outer two at half weight), averaged by month of the year and brought to a
mean of 1. It needs two years. With one year a month is set against that year's mean, which takes a trend for a season:
the method is said beside the figures. A price of which nothing new was heard stays in force, so ``quotes`` says how
many there were.
"""

from calendar import monthrange
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from math import expm1, fsum
from typing import Literal

from costing.book.book import Book
from costing.book.money import rounded
from costing.book.records import Good, GoodKind
from costing.supply.buying.past import DAY, Step, past_moves, price_steps, quotes_of

FRESH: frozenset[GoodKind] = frozenset({"fruit", "herb", "juice", "dairy", "egg", "garnish"})
YEAR = 12
LEAST_MONTHS = 9
"""Months of a year below which no season is said: three quarters of it, by judgement."""
LEAST_QUOTES = 4
"""Quotes below which no season is said: one a quarter, by judgement."""
LEAST_MOVES = 4
QUANTILE = 0.95
Method = Literal["moving", "year", ""]
Why = Literal["", "few-months", "few-quotes"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """The twelve factors of a good, January first, whose mean is 1; None for a month nothing is known of.

    ``method`` is "moving" where two years stand behind it, "year" for one, and "" where nothing is said: ``why`` then
    says why not. ``means`` are (first day of the month, money per base unit), ``quotes`` how many prices they rest on.
    """

    good: str
    method: Method
    index: tuple[float | None, ...]
    means: tuple[tuple[date, float], ...]
    quotes: int
    why: Why = ""

    def at(self, day: date) -> float | None:
        """The factor of a day's month."""
        return self.index[day.month - 1]


def season(book: Book, good: str, day: date) -> Season:
    """The season of any good, as it is known on a day. KeyError for an unknown good.

    A month counts where a price was in force on at least half of its days.
    """
    steps = price_steps(book, good, day)
    means = monthly_means(steps, day)
    quotes = sum(q.since <= day for q in quotes_of(book, good))
    method: Method = ""
    index: tuple[float | None, ...] = (None,) * YEAR
    why: Why = "few-quotes" if quotes < LEAST_QUOTES else ""
    if not why:
        moving = ratios_to_moving(means)
        found = moving if moving is not None else ratios_to_year(means)
        if found is None:
            why = "few-months"
        else:
            index, method = found, "moving" if moving is not None else "year"
    dated = tuple((date(n // YEAR, n % YEAR + 1, 1), mean) for n, mean in means.items())
    return Season(good=good, method=method, index=index, means=dated, quotes=quotes, why=why)


def seasons(book: Book, day: date, kinds: Iterable[GoodKind] = FRESH) -> tuple[Season, ...]:
    """The season of every good of some kinds, said or not, by id."""
    wanted = frozenset(kinds)
    return tuple(season(book, g.id, day) for g in book.all(Good).values() if g.kind in wanted)


def monthly_means(steps: Sequence[Step], last: date) -> dict[int, float]:
    """By month (year * 12 + month - 1): the mean over its days of the price in force, up to ``last``."""
    days: dict[int, int] = {}
    money: dict[int, list[float]] = {}
    if not steps:
        return {}
    ends = [day - DAY for day, _ in steps[1:]] + [last]
    for (since, price), until in zip(steps, ends, strict=True):
        if price is None:
            continue
        for n in range(_month(since), _month(until) + 1):
            first, end = _bounds(n)
            held = (min(end, until) - max(first, since)).days + 1
            days[n] = days.get(n, 0) + held
            money.setdefault(n, []).append(price * held)
    return {n: fsum(money[n]) / days[n] for n in sorted(days) if 2 * days[n] >= _bounds(n)[1].day}


def _month(day: date) -> int:
    return day.year * YEAR + day.month - 1


def _bounds(month: int) -> tuple[date, date]:
    year, at = month // YEAR, month % YEAR + 1
    return date(year, at, 1), date(year, at, monthrange(year, at)[1])


def ratios_to_moving(means: Mapping[int, float]) -> tuple[float, ...] | None:
    """Twelve factors from two years or more of months; None where a month of the year has no full window around it."""
    if len(means) < 2 * YEAR:
        return None
    ratios: dict[int, list[float]] = {}
    half = YEAR // 2
    for n, mean in means.items():
        window = [means.get(n + k) for k in range(-half, half + 1)]
        known = [x for x in window if x is not None]
        if len(known) == len(window):
            trend = (fsum(known) - (known[0] + known[-1]) / 2) / YEAR
            ratios.setdefault(n % YEAR, []).append(mean / trend)
    if len(ratios) < YEAR:
        return None
    averages = [fsum(ratios[at]) / len(ratios[at]) for at in range(YEAR)]
    whole = fsum(averages) / YEAR
    return tuple(a / whole for a in averages)


def ratios_to_year(means: Mapping[int, float]) -> tuple[float | None, ...] | None:
    """Factors of the latest twelve months over their own mean; None with fewer than ``LEAST_MONTHS`` of them."""
    if not means:
        return None
    last = max(means)
    year = {n % YEAR: mean for n, mean in means.items() if n > last - YEAR}
    if len(year) < LEAST_MONTHS:
        return None
    whole = fsum(year.values()) / len(year)
    return tuple(year[at] / whole if at in year else None for at in range(YEAR))


def width(book: Book, good: str) -> Decimal | None:
    """How far this good's price usually moves from one quote of a supplier to the next, as a share: 0.25 is a quarter
    up, or down to the inverse of that.

    exp(q) - 1, q being the 95 % quantile (linear between order statistics) of |log(after / before)| of its own past
    moves; to a tenth of a percent. None with fewer than four moves. A slip that was put right by a later quote counts
    as two moves, so whoever holds prices by this should bound it.
    """
    moves = sorted(abs(move) for move in past_moves(book, good))
    if len(moves) < LEAST_MOVES:
        return None
    at = (len(moves) - 1) * QUANTILE
    low = int(at)
    high = min(low + 1, len(moves) - 1)
    return rounded(expm1(moves[low] + (at - low) * (moves[high] - moves[low])), 3)
