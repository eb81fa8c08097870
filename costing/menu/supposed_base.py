"""What every kind of supposed change shares: what it came to, the figure it moves to, and how a thing is looked up."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TypeVar

from costing.book.book import View
from costing.book.buying import LARGEST
from costing.book.change import Change
from costing.book.selling import Supposed
from costing.tongue import say

T = TypeVar("T")
MOST = 18
"""Decimals that a moved figure is kept to: what a record can hold beside nine digits."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """What one supposed change came to: the thing's ``name``, its figure ``before`` and ``after`` in ``unit`` (None for
    the many prices of a supplier, of which ``count`` says how many moved, and for what is sold), and the record before
    and after. ``until`` is the day from which another figure stands in the book, which the change does not reach."""

    supposed: Supposed
    name: str
    unit: str = ""
    before: Decimal | None = None
    after: Decimal | None = None
    changes: tuple[Change, ...] = ()
    count: int = 1
    until: date | None = None


def moved(before: Decimal, supposed: Supposed) -> Decimal:
    """The figure after the change: as it was said, or worked out to 18 decimals, with as many decimals as it needs and
    no fewer than the figure before has. ValueError from a thousand million on."""
    if supposed.how == "to":
        return supposed.value
    value = before * (1 + supposed.value)
    if abs(value) >= LARGEST:
        raise ValueError(say("{before} cannot become {value}: it must stay below 1,000,000,000", before=f"{before:f}",
                             value=f"{value:f}"))  # fmt: skip
    least, short = _decimals(before), value.normalize()
    return round(value, min(max(least, _decimals(short)), MOST))


def _decimals(value: Decimal) -> int:
    exponent = value.as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def known(records: Mapping[str, T], ident: str, what: str) -> T:
    """The record. ValueError where there is none of that id (any more)."""
    found = records.get(ident)
    if found is None:
        raise ValueError(say("there is no {what} “{id}” any more: take the change out, or choose another", what=what,
                             id=ident))  # fmt: skip
    return found


def following(view: View, days: Iterable[date]) -> date | None:
    """The first of some days that lies behind the view's."""
    return min((day for day in days if day > view.day), default=None)


def unless_same(change: Change) -> tuple[Change, ...]:
    """The change, if it is one."""
    return () if change.before == change.after else (change,)
