"""One line of a price list, a catalogue or an invoice, in the one shape that every reader gives."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal, overload

from costing.book.records import Break, FreeGoods, TaxBasis
from costing.supply.arriving.doubt import Doubt
from costing.supply.arriving.table import Table
from costing.supply.packs.record import Pack

Sort = Literal["goods", "charge", "deposit", "return", "rebate"]
"""What a line is about: something bought; freight, packing and the like; a returnable deposit; something sent back;
money back for the year's turnover. Only "goods" ever price anything."""
Per = Literal["pack", "each", "kg", "l", ""]
"""What a price is asked for: the whole pack, one piece of it (one bottle of a case), a kilogram, a litre; ""
unknown."""
Kind = Literal["list", "catalogue", "invoice", "credit"]
Role = Literal[
    "code", "gtin", "name", "brand", "pack", "count", "content", "unit", "price", "price_each", "price_measure",
    "old_price", "gross", "rate", "currency", "since", "until", "deposit", "minimum", "break_from", "break_price",
    "quantity", "total", "abv", "vintage", "section", "supplier", "remark",
]  # fmt: skip
"""What a column, or an element of a document, may say. "price" is that of the pack, "price_each" of one piece inside,
"price_measure" of a litre or kilogram; "gross" is a price with tax in it beside one without."""
ROLES: tuple[Role, ...] = Role.__args__  # type: ignore[attr-defined]


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """Something added to a line (or a whole document) or taken off (negative): freight, packing, a discount. ``code``
    is the UN/CEFACT reason (UNCL 5189, 7161) where there is one."""

    name: str
    amount: Decimal
    code: str = ""
    deposit: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceLine:
    """One line. Every figure stands beside the text it was read from, in ``raw`` by role.

    ``price`` is asked for ``base`` times ``per``, in ``currency``, with tax as ``tax`` says at ``rate`` (0.19 is 19 %).
    ``quantity`` is how many order units (``unit``, as it came) a document bills, negative for what goes back; ``total``
    the line's stated net. ``n`` counts the lines of the file from 1; ``where`` says where it stands ("row 12").
    ``action`` "remove" is a catalogue line that ends a price.
    """

    n: int
    where: str
    raw: tuple[tuple[str, str], ...] = ()
    sort: Sort = "goods"
    code: str = ""
    gtin: str = ""
    name: str = ""
    pack: Pack | None = None
    price: Decimal | None = None
    base: Decimal = Decimal(1)
    per: Per = "pack"
    currency: str = ""
    tax: TaxBasis = "unknown"
    rate: Decimal | None = None
    quantity: Decimal | None = None
    unit: str = ""
    total: Decimal | None = None
    parts: tuple[Part, ...] = ()
    breaks: tuple[Break, ...] = ()
    minimum: Decimal | None = None
    free: FreeGoods | None = None
    deposit: Decimal | None = None
    since: date | None = None
    until: date | None = None
    action: Literal["set", "remove"] = "set"
    section: str = ""
    note: str = ""
    doubts: tuple[Doubt, ...] = ()

    def said(self, role: str) -> str:
        """The text as it came, "" where there was none."""
        return next((text for name, text in self.raw if name == role), "")


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A row that is no line: a heading, a group, a page foot. ``why`` is a key of ``doubt_words.left_out()``."""

    where: str
    text: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Incoming(Sequence[PriceLine]):
    """Everything that one file says, and itself the sequence of its lines.

    ``digest`` is the SHA-256 of its bytes; ``shape`` says how it was read ("text", "xlsx", ..., "ubl-invoice",
    "ubl-credit", "ubl-catalogue", "cii", "paste"). ``supplier`` and ``supplier_id`` are as the document names them,
    ``order`` the order it answers to, ``corrects`` the invoice a credit note is about. ``parts`` are charges and
    allowances of the whole document. ``replaces`` is a catalogue that ends what it does not name. ``table`` is what a
    table was read from; documents have none.
    """

    name: str
    digest: str
    shape: str
    kind: Kind
    lines: tuple[PriceLine, ...]
    left_out: tuple[LeftOut, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    supplier: str = ""
    supplier_id: str = ""
    number: str = ""
    day: date | None = None
    due: date | None = None
    currency: str = ""
    order: str = ""
    corrects: str = ""
    parts: tuple[Part, ...] = ()
    total: Decimal | None = None
    replaces: bool = False
    table: Table | None = None

    def __len__(self) -> int:
        return len(self.lines)

    @overload
    def __getitem__(self, index: int) -> PriceLine: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[PriceLine]: ...
    def __getitem__(self, index: int | slice) -> PriceLine | Sequence[PriceLine]:
        return self.lines[index]

    def __iter__(self) -> Iterator[PriceLine]:
        return iter(self.lines)


class Unreadable(ValueError):
    """A file that cannot be read. The message is one line: what is wrong with it and what to do."""
