"""What the house knows of selling: what was sold, what a till's buttons mean and how its files are read, how the menu
is judged, and what might be changed.

Frozen records like those of ``records.py``, whose ``KINDS`` names them all.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from costing.book.buying import LARGEST, Columns

Left = Literal["", "not named", "money key", "modifier", "total", "before it was made", "other"]
"""Why rows of a till are in no count: "" for rows that wait for somebody to say what they are."""
RowFlag = Literal["sold", "given", "before it was made", "wasted", "refunded"]
"""What a row is by its mark."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SoldAt:
    """How many of a serve brought ``each``: the all-in price of one as it was paid, after any discount."""

    each: Decimal
    count: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Sold:
    """How many of one serve were sold, on one menu where that is known ("" where it is not).

    ``count`` are those that were paid for and stayed paid (what the mix and popularity stand on), ``net`` what they
    brought without tax and service that is passed on (None where only counts are known). ``given`` were served on the
    house or to staff, ``wasted`` taken back after they were made, ``refunded`` made, served and paid back: these three
    cost and bring nothing. ``prices`` are what one was paid at, largest count first; ``days`` the business days on
    which any was sold (0 where that is not known).
    """

    serve: str
    count: Decimal
    menu: str = ""
    net: Decimal | None = None
    given: Decimal = Decimal(0)
    wasted: Decimal = Decimal(0)
    refunded: Decimal = Decimal(0)
    prices: tuple[SoldAt, ...] = ()
    days: int = 0

    @property
    def made(self) -> Decimal:
        """How many were made: what usage stands on."""
        return self.count + self.given + self.wasted + self.refunded


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftRows:
    """Rows of one button that are in no count: its text and code, how many rows, what they add up to, and why. Rows
    whose reason is "" wait; ``net`` is money without tax as in ``Sold``.

    So that they can be counted once somebody says what the button is: ``flag`` is what they are, ``prices`` what one
    was paid at, largest count first (below zero where they take back), and ``days`` the business days on which any was
    sold. Rows of one button that would be counted in different ways stand apart.
    """

    text: str
    rows: int
    code: str = ""
    count: Decimal = Decimal(0)
    net: Decimal = Decimal(0)
    reason: Left = ""
    flag: RowFlag = "sold"
    prices: tuple[SoldAt, ...] = ()
    days: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class SalesPeriod:
    """What was sold from a day to another, both in it: the mix that "a month at the current mix" stands on.

    Of a file: its name, the SHA-256 of its rows and period, and what became of its rows:
    ``read`` = ``mapped`` + ``ignored`` + ``unmapped``. ``left`` says which are in no count, and why. A typed period has
    none of these.
    """

    id: str
    since: date
    until: date
    sold: tuple[Sold, ...]
    source: str = ""
    file: str = ""
    digest: str = ""
    grain: Literal["", "line", "check", "hour", "day", "period"] = ""
    outlet: str = ""
    read: int = 0
    mapped: int = 0
    ignored: int = 0
    unmapped: int = 0
    left: tuple[LeftRows, ...] = ()
    note: str = ""

    def __post_init__(self) -> None:
        if self.until < self.since:
            raise ValueError(f"the last day {self.until} lies before the first day {self.since}")
        if self.read != self.mapped + self.ignored + self.unmapped:
            raise ValueError(
                f"of {self.read} rows read, {self.mapped} counted, {self.ignored} ignored and {self.unmapped} waiting "
                "do not make the whole"
            )

    @property
    def days(self) -> int:
        """Days in it."""
        return (self.until - self.since).days + 1


@dataclass(frozen=True, slots=True, kw_only=True)
class ButtonPart:
    """One serve that a button sells, how many of it, from which ``menu`` ("": not said), and its ``share`` of what the
    button brings (None: by what each is printed at, or all of it where it is the only one)."""

    serve: str
    count: Decimal = Decimal(1)
    menu: str = ""
    share: Decimal | None = None

    def __post_init__(self) -> None:
        if not 0 < self.count < LARGEST:
            raise ValueError(f"a button that sells {self.count} of a drink sells none")
        if self.share is not None and not 0 <= self.share <= 1:
            raise ValueError(f"a share of {self.share} of what a button brings must lie from 0 to 1 (0.5 is half)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Button:
    """What a till's button means, as somebody confirmed it on a day. ``text`` is as it is printed there.

    ``sort`` "sale": it sells its ``parts`` (several for a set at one price; what is added to a drink is sold for
    itself). "instead": under a drink it makes it another one, its one part. "left": it is in no count, for ``reason``.
    """

    id: str
    text: str
    since: date
    code: str = ""
    sort: Literal["sale", "instead", "left"] = "sale"
    parts: tuple[ButtonPart, ...] = ()
    reason: Left = ""
    note: str = ""

    def __post_init__(self) -> None:
        if self.sort == "left" and (self.parts or not self.reason):
            raise ValueError(f"a button that is left out ({self.text}) needs a reason and sells nothing")
        if self.sort != "left" and not self.parts:
            raise ValueError(f"the button {self.text} must say which drink it means")
        if self.sort == "instead" and len(self.parts) != 1:
            raise ValueError(f"the button {self.text} can make a drink one other, not {len(self.parts)}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Till:
    """How the files of one till are read, as they were the last time somebody said so.

    ``day_ends`` is the hour (0 to 12) until which what is sold belongs to the day before; ``flags`` say what the marks
    of its rows mean (("C", "given")). ``tax`` of ``columns`` says what its net column has inside.
    """

    id: str
    name: str
    columns: Columns
    since: date
    day_ends: int = 5
    flags: tuple[tuple[str, RowFlag], ...] = ()
    note: str = ""

    def __post_init__(self) -> None:
        if not 0 <= self.day_ends <= 12:
            raise ValueError(f"a business day that ends at {self.day_ends} o'clock must end from 0 to 12")


@dataclass(frozen=True, slots=True, kw_only=True)
class Judging:
    """How the menu is judged. ``cut`` is the share of an equal share of the mix from which a drink is popular (0.7 as
    published); ``tie`` says whether exactly as much counts as "high" or "low"; ``unsold`` whether drinks of which none
    was sold are counted among the n; ``variable`` is what varies with sales besides cost, as a share of net sales (for
    the goal value); ``sure`` the chance from which a class is called sure."""

    cut: Decimal = Decimal("0.7")
    tie: Literal["high", "low"] = "high"
    unsold: Literal["counted", "left out"] = "counted"
    variable: Decimal = Decimal("0.3")
    sure: Decimal = Decimal("0.9")

    def __post_init__(self) -> None:
        for name, value, low, high in (
            ("cut", self.cut, Decimal(0), Decimal(2)),
            ("variable", self.variable, Decimal(0), Decimal("0.99")),
            ("sure", self.sure, Decimal("0.5"), Decimal("0.999")),
        ):
            if not low <= value <= high:
                raise ValueError(f"the {name} {value} must lie from {low} to {high} (0.7 is 70 %)")


ChangeSort = Literal[
    "price", "supplier", "levy", "figure", "dose", "labour", "volume", "rate", "menu price",
]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Supposed:
    """One thing that a scenario supposes.

    ======== ========================= ========================= ===========================================
    sort     target                    part                      value
    ======== ========================= ========================= ===========================================
    price    good                                                of the pack of its standing quote
    supplier supplier                                            (only "by")
    levy     its name in the terms                               its rate (0.19)
    figure   preparation               stage/fact                in the fact's own unit
    dose     serve                     source in its build       in the amount's own unit
    labour   good of the labour hour                             of its standing quote
             ("" for the house's)
    volume   serve ("" for all)                                  sold in the period
    rate     currency                                            worth of one of it in the house's money
    menu     menu                      serve                     all-in price
    price
    ======== ========================= ========================= ===========================================

    ``how`` "to" sets it there; "by" changes it by that fraction (0.1: a tenth up).
    """

    sort: ChangeSort
    target: str
    value: Decimal
    part: str = ""
    how: Literal["by", "to"] = "by"

    def __post_init__(self) -> None:
        if self.how == "by" and not -1 <= self.value <= 100:
            raise ValueError(f"a change by {self.value} must lie from -1 to 100 (0.1 is a tenth up)")
        if self.how == "to" and not 0 <= self.value < LARGEST:
            raise ValueError(f"a figure of {self.value} must not be below 0")
        if self.sort == "supplier" and self.how == "to":
            raise ValueError("all prices of a supplier can change by a share, not to one figure")


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario:
    """A named set of changes that may be laid over the book, which it never touches until somebody applies it."""

    id: str
    name: str
    supposed: tuple[Supposed, ...]
    since: date
    note: str = ""
