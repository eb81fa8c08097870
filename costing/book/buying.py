"""What the house knows of buying: how each supplier's files are read, what arrived, was ordered, delivered and is owed.

Frozen records like those of ``records.py``, whose ``KINDS`` names them all. Files themselves are not kept: an
``ImportedFile`` has the hash of one and what became of its lines.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from costing.book.fact import Fact

LARGEST = Decimal("1e9")
Basis = Literal["ex", "inc", "unknown"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Alias:
    """A supplier's words for a good, as somebody confirmed them on a day. ``text`` is as it came."""

    id: str
    supplier: str
    text: str
    good: str
    since: date
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """One column of a supplier's list: what it means, where it stood and the heading it had."""

    role: str
    column: int
    header: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """How a table is read. ``header_at`` is the row of the heading, from 0, and ``header_rows`` how many it has (0 for
    none). ``decimal`` and ``days`` are "" where each file decides anew; ``per`` is what the price is asked for where
    the heading cannot say; rows that the sheet hides are left out unless ``hidden`` is "take"."""

    uses: tuple[Use, ...]
    header_at: int = 0
    header_rows: int = 1
    width: int = 0
    decimal: Literal["", ".", ","] = ""
    days: Literal["", "dmy", "mdy", "ymd"] = ""
    tax: Basis = "unknown"
    rate: Decimal | None = None
    currency: str = ""
    per: Literal["", "pack", "each", "kg", "l"] = ""
    hidden: Literal["leave", "take"] = "leave"
    sheet: str = ""
    delimiter: str = ""
    encoding: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnMap:
    """How a supplier's list was read the last time somebody said so; a file that no longer fits it is stopped."""

    id: str
    supplier: str
    columns: Columns
    since: date
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportedFile:
    """A file that arrived: its name, the SHA-256 of its bytes, and what became of its lines.

    ``read`` = ``imported`` + ``held`` + ``ignored``. ``taken`` are the numbers of
    those that were imported ("1-40,42"), ``held_lines`` the lines that still wait, as they came, so
    that nothing is lost when the file is.
    """

    id: str
    name: str
    digest: str
    day: date
    supplier: str = ""
    shape: str = ""
    kind: str = "list"
    number: str = ""
    read: int = 0
    imported: int = 0
    held: int = 0
    ignored: int = 0
    taken: str = ""
    held_lines: tuple[str, ...] = ()
    note: str = ""

    def __post_init__(self) -> None:
        if self.read != self.imported + self.held + self.ignored:
            raise ValueError(
                f"of {self.read} lines read, {self.imported} imported, {self.held} held and {self.ignored} ignored "
                "do not make the whole"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine:
    """``packs`` of one good asked for, at the ``price`` agreed for a pack (None: the quote of the day)."""

    good: str
    packs: Decimal
    levels: tuple[int, ...] = ()
    content: Fact | None = None
    price: Decimal | None = None
    note: str = ""

    def __post_init__(self) -> None:
        if not 0 < self.packs < LARGEST:
            raise ValueError(f"an order of {self.packs} packs must be of more than none")


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What the house asked a supplier for. ``number`` is what an invoice answers to."""

    id: str
    supplier: str
    day: date
    lines: tuple[OrderLine, ...]
    number: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PurchaseLine:
    """``packs`` of a good as delivered and billed, at ``price`` a pack, ``net`` for the line; negative on a credit.

    ``quote`` is the one that held, ``agreed`` the price it asked and ``ordered`` the packs that were ordered, as they
    stood when this was posted. ``delivered`` differs from ``packs`` where fewer came than were billed.
    """

    good: str
    packs: Decimal
    content: Fact
    price: Decimal
    net: Decimal
    levels: tuple[int, ...] = ()
    delivered: Decimal | None = None
    quote: str = ""
    agreed: Decimal | None = None
    ordered: Decimal | None = None
    row: str = ""
    note: str = ""

    @property
    def received(self) -> Decimal:
        """Packs that came."""
        return self.packs if self.delivered is None else self.delivered


@dataclass(frozen=True, slots=True, kw_only=True)
class PurchaseCharge:
    """Money on an invoice that buys no ingredient: freight, a deposit, what went back, money back for turnover."""

    name: str
    amount: Decimal
    sort: Literal["charge", "deposit", "return", "rebate"] = "charge"
    row: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """One invoice or credit note as posted. ``file`` is the ImportedFile it came in, ``corrects`` the number of the
    invoice that a credit is about. All money without recoverable tax, in ``currency``."""

    id: str
    supplier: str
    day: date
    currency: str
    lines: tuple[PurchaseLine, ...] = ()
    charges: tuple[PurchaseCharge, ...] = ()
    kind: Literal["invoice", "credit"] = "invoice"
    number: str = ""
    order: str = ""
    corrects: str = ""
    file: str = ""
    note: str = ""


ClaimSort = Literal["price", "quantity", "credit", "deposit", "rebate", "other"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Settlement:
    """Part of a claim that a credit note paid: ``purchase`` is that credit, or "" for money that came otherwise."""

    amount: Decimal
    day: date
    purchase: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """Money a supplier owes the house, and why: billed above what was agreed ("price"), billed and not delivered
    ("quantity"), sent back and not credited ("credit"), containers returned ("deposit"), turnover earned ("rebate")."""

    id: str
    supplier: str
    day: date
    sort: ClaimSort
    amount: Decimal
    currency: str
    purchase: str = ""
    good: str = ""
    settled: tuple[Settlement, ...] = ()
    dropped: bool = False
    note: str = ""

    def __post_init__(self) -> None:
        if not 0 < self.amount < LARGEST:
            raise ValueError(f"a claim of {self.amount} must be of more than nothing")

    @property
    def open(self) -> Decimal:
        """What is still owed; nothing once somebody let it drop."""
        return Decimal(0) if self.dropped else self.amount - sum((s.amount for s in self.settled), Decimal(0))


@dataclass(frozen=True, slots=True, kw_only=True)
class ExchangeRate:
    """What one of a foreign ``currency`` is worth in the house's money, from a day on, and who said so."""

    id: str
    currency: str
    since: date
    worth: Decimal
    source: str = ""

    def __post_init__(self) -> None:
        if not Decimal("1e-9") <= self.worth <= LARGEST:
            raise ValueError(f"the worth {self.worth} of one {self.currency} must lie from 1e-9 to 1e9")
