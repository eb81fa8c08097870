"""Rows of a till's export, each figure with the text it was read from, and what was seen of the file as a whole."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from costing.book.buying import Columns
from costing.supply.arriving.doubt import Doubt
from costing.supply.till.roles import TillRole

Grain = Literal["", "line", "check", "hour", "day", "period"]
Why = Literal["hidden", "heading-again", "page", "note", "group", "total"]
"""Why a row below the heading sells nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TillRow:
    """One row. ``n`` is its place in the table, from 1; ``raw`` the texts as they came, by role.

    ``day`` is the business day, ``calendar`` the day it is printed under (None: no column says); ``minutes`` since
    midnight. ``qty`` is None where its cell is empty. Money is None where no column has it, or its cell is empty;
    ``amount`` is what was left after discount: the net column, else what was paid, else gross less discount.
    ``doubts`` are figures and days that cannot be read: such a row counts nowhere.
    """

    n: int
    raw: tuple[tuple[str, str], ...] = ()
    day: date | None = None
    calendar: date | None = None
    minutes: int | None = None
    outlet: str = ""
    code: str = ""
    text: str = ""
    category: str = ""
    parent: str = ""
    line: str = ""
    check: str = ""
    server: str = ""
    qty: Decimal | None = None
    price: Decimal | None = None
    gross: Decimal | None = None
    discount: Decimal | None = None
    net: Decimal | None = None
    service: Decimal | None = None
    tax: Decimal | None = None
    paid: Decimal | None = None
    amount: Decimal | None = None
    flag: str = ""
    reason: str = ""
    doubts: tuple[Doubt, ...] = ()

    def said(self, role: str) -> str:
        """The text as it came, "" where there was none."""
        return next((text for name, text in self.raw if name == role), "")

    def figure(self, role: TillRole) -> Decimal | None:
        """A figure by the role of its column."""
        value = getattr(self, role)
        return value if isinstance(value, Decimal) else None

    @property
    def button(self) -> tuple[str, str]:
        """What tells one button from another: its code, and its text but for case and spaces."""
        return self.code, plain_text(self.text)


def plain_text(text: str) -> str:
    """A text but for case and spaces."""
    return " ".join(text.casefold().split())


@dataclass(frozen=True, slots=True, kw_only=True)
class TillLeft:
    """A row below the heading that sells nothing, and why."""

    n: int
    text: str
    why: Why


@dataclass(frozen=True, slots=True, kw_only=True)
class TotalSeen:
    """A total of the file beside the sum of the rows it stands for: (role, as printed, as added up) where the two are
    not the same, and which columns agree."""

    n: int
    text: str
    agrees: tuple[TillRole, ...] = ()
    differs: tuple[tuple[TillRole, Decimal, Decimal], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TillLines:
    """Everything one file says. Rows read = ``rows`` + ``left``; what stands above the heading is not read, nor are
    empty rows.

    ``asked`` is what nothing can be counted before; ``doubts`` are to be looked at. ``since`` and ``until`` are the
    days that the file itself says it is of, in its own ``stated`` words.
    """

    name: str
    columns: Columns
    rows: tuple[TillRow, ...]
    left: tuple[TillLeft, ...] = ()
    totals: tuple[TotalSeen, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    asked: tuple[Doubt, ...] = ()
    since: date | None = None
    until: date | None = None
    stated: str = ""
    grain: Grain = ""
    outlets: tuple[str, ...] = ()
    moved: int = 0
    """Rows of the night that were counted to the day before."""

    @property
    def read(self) -> int:
        """Rows read."""
        return len(self.rows) + len(self.left)
