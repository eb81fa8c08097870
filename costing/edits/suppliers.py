"""Edits of a supplier's terms, as somebody types them. Amounts are in the currency the supplier bills in."""

from dataclasses import replace
from decimal import Decimal

from costing.book.book import Book
from costing.book.change import Step, put
from costing.book.money import digits
from costing.book.records import Supplier, TaxBasis
from costing.edits.base import currency_of, record_of, typed_number, typed_price
from costing.edits.goods import rename_supplier, set_supplier_note
from costing.edits.quotes import TAX_BASES
from costing.tongue import say

AMOUNTS = ("freight", "free_from", "minimum", "rebate_from")
rename = rename_supplier
set_note = set_supplier_note


def billed_in(book: Book, supplier: Supplier) -> str:
    """The currency of a supplier's prices and terms."""
    return supplier.currency or currency_of(book)


def set_tax(book: Book, ident: str, basis: TaxBasis, rate: str = "") -> Step | None:
    """Whether tax is in its prices ("inc"), comes on top ("ex") or nobody knows, and the rate as typed ("19 %", "19");
    "" where its goods have different ones."""
    old = record_of(book, Supplier, ident)
    if basis not in TAX_BASES:
        raise ValueError(say("“{basis}” does not say whether tax is in a price: one of ex, inc, unknown", basis=basis))
    return _step(old, replace(old, tax=basis, tax_rate=typed_share(rate)), say("tax"))


def set_freight(book: Book, ident: str, freight: str, free_from: str = "") -> Step | None:
    """What an order carries in freight, and the value of goods from which it carries none; "" is none of either.
    ValueError for a free limit without a freight."""
    old = record_of(book, Supplier, ident)
    amount, limit = _amount(book, old, freight), _amount(book, old, free_from)
    if limit is not None and amount is None:
        raise ValueError(say("nothing can be free from {amount} on without freight: enter it, or take that out first",
                             amount=free_from.strip()))  # fmt: skip
    return _step(old, replace(old, freight=amount, free_from=limit), say("freight"))


def set_minimum(book: Book, ident: str, text: str) -> Step | None:
    """What the goods of an order must come to; "" where any order is taken."""
    old = record_of(book, Supplier, ident)
    return _step(old, replace(old, minimum=_amount(book, old, text)), say("least order"))


def set_rebate(book: Book, ident: str, share: str, reached: str = "") -> Step | None:
    """The share of a year's turnover that comes back ("3 %"), and the turnover from which it does; "" is none.
    ValueError for a turnover without a share."""
    old = record_of(book, Supplier, ident)
    found, limit = typed_share(share), _amount(book, old, reached)
    if limit is not None and found is None:
        raise ValueError(say("nothing comes back from {amount} on without a share: enter one like 3 %, or take that "
                             "out first", amount=reached.strip()))  # fmt: skip
    return _step(old, replace(old, rebate=found, rebate_from=limit), say("money back for turnover"))


def set_currency(book: Book, ident: str, code: str) -> Step | None:
    """The currency it bills in, by its ISO 4217 code; "" or the house's own code is the house's. ValueError for a code
    there is not, and while amounts are entered, which would mean other money."""
    old = record_of(book, Supplier, ident)
    own = currency_of(book)
    wanted = known_currency(code)
    wanted = "" if wanted == own else wanted
    if wanted != old.currency and any(getattr(old, name) is not None for name in AMOUNTS):
        before = billed_in(book, old)
        raise ValueError(
            say("its freight, least order or turnover is in {before}: take that out first and enter it in {after}",
                before=before, after=wanted or own)
        )  # fmt: skip
    return _step(old, replace(old, currency=wanted), say("currency"))


def set_names(book: Book, ident: str, text: str) -> Step | None:
    """What else it goes by in files, tax numbers among them, one a line (or with ";" between). ValueError where another
    supplier goes by one of them, because a file could then be either's."""
    old = record_of(book, Supplier, ident)
    names = tuple(n for n in typed_list(text, ";") if _plain(n) != _plain(old.name))
    for other in book.all(Supplier).values():
        theirs = {_plain(n) for n in (other.name, *other.names)} if other.id != ident else set()
        for name in names:
            if _plain(name) in theirs:
                raise ValueError(say("“{name}” is a name of {supplier}: a file could be of either", name=name,
                                     supplier=other.name))  # fmt: skip
    return _step(old, replace(old, names=names), say("other names"))


def set_noise(book: Book, ident: str, text: str) -> Step | None:
    """Words of its lists that mean nothing, one a line (or with "," or ";" between)."""
    old = record_of(book, Supplier, ident)
    return _step(old, replace(old, noise=typed_list(text, ";,")), say("words that mean nothing"))


def typed_list(text: str, between: str) -> tuple[str, ...]:
    """Entries of a typed list, each once whatever its case, in their order."""
    for sign in between:
        text = text.replace(sign, "\n")
    found: dict[str, str] = {}
    for entry in text.splitlines():
        if entry.strip():
            found.setdefault(_plain(entry), " ".join(entry.split()))
    return tuple(found.values())


def typed_share(text: str) -> Decimal | None:
    """A share as typed: "19 %" and "19" are 0.19; "" is none. ValueError for one that is not from 0 to below 100 %."""
    work = text.strip()
    if not work:
        return None
    try:
        value = typed_number(work.removesuffix("%").strip(), work) / 100
    except ValueError:
        raise ValueError(say("“{text}” is not a share: write it like 19 %", text=work)) from None
    if not 0 <= value < 1:
        raise ValueError(say("“{text}” must lie from 0 % to below 100 %", text=work))
    return value


def known_currency(code: str) -> str:
    """A currency code as typed, in capitals; "" is none. ValueError for one that ISO 4217 does not have."""
    wanted = code.strip().upper()
    if not wanted:
        return ""
    try:
        digits(wanted)
    except ValueError:
        raise ValueError(say("“{code}” is not a currency code of ISO 4217: write one like USD", code=code)) from None
    return wanted


def _amount(book: Book, supplier: Supplier, text: str) -> Decimal | None:
    return typed_price(text, billed_in(book, supplier)) if text.strip() else None


def _step(before: Supplier, after: Supplier, what: str) -> Step | None:
    if after == before:
        return None
    return Step(say("{what} of {supplier}", what=what, supplier=before.name), (put("supplier", after, before),))


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())
