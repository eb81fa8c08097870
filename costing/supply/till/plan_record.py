"""A till's file against the book, as data: what becomes of every row, what each button means, and what is asked."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from costing.book.buying import Columns
from costing.book.selling import Button, Left, RowFlag, SalesPeriod, Till
from costing.supply.arriving.doubt import Doubt
from costing.supply.columns.days import Order
from costing.supply.till.cells import DecimalMark
from costing.supply.till.judge import Fate, RowFate
from costing.supply.till.marks import MarkSeen
from costing.supply.till.meanings import Suggested
from costing.supply.till.record import TillLines
from costing.supply.till.tax import TaxBasis

Split = Literal["", "week", "month"]
__all__ = ["ButtonSeen", "Fate", "RowFate", "SalesPlan", "SalesSaid", "Split", "Suggested"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SalesSaid:
    """What somebody answered about a file.

    ``encoding``, ``delimiter``, ``sheet`` and ``columns`` settle how it is read, ``till`` (id) by which till, or the
    ``name`` of a new one; ``decimal`` and ``days`` how figures and days are written, ``tax`` what its net has inside,
    ``day_ends`` the hour until which the night belongs to the day before, ``flags`` what marks mean. ``since`` and
    ``until`` are its days, ``split`` makes a period of every week (Monday to Sunday) or month, ``outlet`` counts only
    one. ``buttons`` are confirmed meanings (their ids are given when they are taken), ``leave`` numbers of rows that
    are left out by hand.
    """

    encoding: str | None = None
    delimiter: str | None = None
    sheet: str = ""
    columns: Columns | None = None
    till: str = ""
    name: str = ""
    decimal: DecimalMark = ""
    days: Order = ""
    tax: Literal["", "ex", "inc"] = ""
    day_ends: int | None = None
    flags: tuple[tuple[str, RowFlag], ...] = ()
    since: date | None = None
    until: date | None = None
    split: Split = ""
    outlet: str = ""
    buttons: tuple[Button, ...] = ()
    leave: frozenset[int] = frozenset()


NOTHING_SAID = SalesSaid()


@dataclass(frozen=True, slots=True, kw_only=True)
class ButtonSeen:
    """One button of the file. ``rows`` bear it, ``count`` and ``net`` is what they add up to (net None: no money).

    ``state``: "known" to the book or confirmed just now, "sure" by the very name of a drink, "left" out for
    ``reason``, "waiting" with what it may mean in ``suggested``, the nearest first. ``each`` is what most of it was
    paid at, all in.
    """

    code: str
    text: str
    rows: int
    count: Decimal
    net: Decimal | None
    state: Literal["known", "sure", "left", "waiting"]
    button: Button | None = None
    reason: Left = ""
    each: Decimal | None = None
    category: str = ""
    suggested: tuple[Suggested, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SalesPlan:
    """Everything of one file, as of ``day``. Nothing of it may be written while there is something ``asked``.

    ``fates`` are those of every row read; ``periods`` what would be written, each beside what it ``replaces``.
    ``buttons`` is every button that the file prints, ``new_buttons`` those to be remembered. ``till`` is how the file
    was read, ``old_till`` the one it was known by; ``marks`` what the marks of rows mean, ``tax`` what the money has
    inside.
    """

    lines: TillLines
    day: date
    fates: tuple[RowFate, ...]
    periods: tuple[SalesPeriod, ...] = ()
    replaces: tuple[SalesPeriod | None, ...] = ()
    buttons: tuple[ButtonSeen, ...] = ()
    new_buttons: tuple[Button, ...] = ()
    till: Till | None = None
    old_till: Till | None = None
    marks: tuple[MarkSeen, ...] = ()
    tax: TaxBasis = TaxBasis()
    doubts: tuple[Doubt, ...] = ()
    asked: tuple[Doubt, ...] = ()

    @property
    def read(self) -> int:
        """Rows read: always the three fates together."""
        return len(self.fates)

    def count(self, fate: Fate) -> int:
        """Rows of one fate."""
        return sum(one.fate == fate for one in self.fates)

    @property
    def same(self) -> bool:
        """Whether the book has every period of the file already, just as it would be written."""
        return bool(self.periods) and all(
            old is not None and new == old for new, old in zip(self.periods, self.replaces, strict=True)
        )

    @property
    def waiting(self) -> Iterator[ButtonSeen]:
        """Buttons that nobody has said the meaning of."""
        return (button for button in self.buttons if button.state == "waiting")
