"""Edits of suppliers' quotes. A price from another day on is another quote: the old one stays, as the history."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal

from costing.book.book import Book
from costing.book.change import Change, Step, put
from costing.book.fact import parse_fact
from costing.book.records import Good, Quote, Supplier, TaxBasis
from costing.edits.base import currency_of, record_of, typed_price
from costing.supply.ids import free_id
from costing.supply.small import read_pack
from costing.tongue import say

TAX_BASES: tuple[TaxBasis, ...] = ("ex", "inc", "unknown")


def new_quote(
    book: Book,
    good: str,
    supplier: str,
    pack: str,
    price: str,
    since: date,
    past: Iterable[str] = (),
) -> Step:
    """What a supplier (an id, or "") asks for a pack ("12 x 0.7 l") from a day on. A quote for the same pack from the
    same day is put right instead; tax is in it as it was in the supplier's last one. ValueError for a pack or price
    that cannot be read."""
    record = record_of(book, Good, good)
    if supplier:
        record_of(book, Supplier, supplier)
    levels, content = read_pack(pack)
    currency = currency_of(book)
    theirs = [q for q in book.all(Quote).values() if (q.good, q.supplier) == (good, supplier)]
    for same in theirs:
        if (same.since, pack_key(same)) == (since, (levels, content.value, content.unit.lower())):
            said = say("price of {good}: {price}", good=record.name, price=price.strip())
            return Step(said, (put("quote", replace(same, price=typed_price(price, same.currency)), same),))
    last = max(theirs, key=lambda q: (q.since <= since, q.since), default=None)
    quote = Quote(
        id=_free(book, good, since, past),
        good=good,
        supplier=supplier,
        levels=levels,
        content=content,
        price=typed_price(price, currency),
        currency=currency,
        since=since,
        tax=last.tax if last is not None else "ex",
        tax_rate=last.tax_rate if last is not None else None,
    )
    said = say("quote for {good}: {price} from {day}", good=record.name, price=quote.price, day=since.isoformat())
    return Step(said, (put("quote", quote),))


def set_price(book: Book, ident: str, text: str, day: date, past: Iterable[str] = ()) -> Step | None:
    """The price of a quote's pack as typed. On the day the quote begins it is put right; on any other a quote of the
    same pack begins, and the old one stays. None where the price is the one there is."""
    quote = record_of(book, Quote, ident)
    price = typed_price(text, quote.currency)
    if price == quote.price:
        return None
    name = _good_name(book, quote.good)
    if quote.since >= day:
        said = say("price of {good}: {price}", good=name, price=price)
        return Step(said, (put("quote", replace(quote, price=price), quote),))
    new = replace(quote, id=_free(book, quote.good, day, past), price=price, since=day, source="", breaks=())
    said = say("price of {good}: {price} from {day}", good=name, price=price, day=day.isoformat())
    return Step(said, (put("quote", new),))


def amend_price(book: Book, ident: str, text: str) -> Step | None:
    """The price of a quote put right, whenever it began."""
    quote = record_of(book, Quote, ident)
    price = typed_price(text, quote.currency)
    if price == quote.price:
        return None
    said = say("price of {good}: {price}", good=_good_name(book, quote.good), price=price)
    return Step(said, (put("quote", replace(quote, price=price), quote),))


def set_pack(book: Book, ident: str, text: str) -> Step | None:
    """What the pack holds, as typed: "0.7 l", "12 x 0.7 l"."""
    quote = record_of(book, Quote, ident)
    levels, content = read_pack(text)
    if (levels, content.text) == (quote.levels, quote.content.text):
        return None
    return _step(book, quote, replace(quote, levels=levels, content=content), say("pack"))


def begin_pack(book: Book, ident: str, text: str, day: date, past: Iterable[str] = ()) -> Step | None:
    """Another pack at the same price, as typed. On the day the quote begins it is put right; on any other a quote of
    the new pack begins, and the old one stays, so that no cost before that day moves. None where it is the pack there
    is."""
    quote = record_of(book, Quote, ident)
    if quote.since >= day:
        return set_pack(book, ident, text)
    levels, content = read_pack(text)
    if (levels, content.value, content.unit.lower()) == pack_key(quote):
        return None
    new = replace(
        quote, id=_free(book, quote.good, day, past), levels=levels, content=content, since=day, source="", code="",
        gtin="", breaks=(),
    )  # fmt: skip
    said = say("pack of {good}: {pack} from {day}", good=_good_name(book, quote.good), pack=pack_text(new),
               day=day.isoformat())  # fmt: skip
    return Step(said, (put("quote", new),))


def set_supplier(book: Book, ident: str, supplier: str) -> Step | None:
    """Who asks it, by id; "" for nobody named."""
    if supplier:
        record_of(book, Supplier, supplier)
    quote = record_of(book, Quote, ident)
    return _step(book, quote, replace(quote, supplier=supplier), say("supplier"))


def set_days(book: Book, ident: str, since: date, until: date | None) -> Step | None:
    """From when, and the last day where it ends. ValueError where they are the wrong way round."""
    quote = record_of(book, Quote, ident)
    return _step(book, quote, replace(quote, since=since, until=until), say("days"))


def set_tax(book: Book, ident: str, basis: TaxBasis, rate: str = "") -> Step | None:
    """Whether tax is in the price ("inc"), not in it ("ex") or not known, and the rate as typed ("19 %")."""
    quote = record_of(book, Quote, ident)
    found: Decimal | None = None
    if rate.strip():
        fact = parse_fact(rate if "%" in rate else f"{rate} %")
        found = fact.value / 100
    return _step(book, quote, replace(quote, tax=basis, tax_rate=found), say("tax"))


def set_code(book: Book, ident: str, code: str) -> Step | None:
    """The supplier's own code for it."""
    quote = record_of(book, Quote, ident)
    return _step(book, quote, replace(quote, code=code.strip()), say("code"))


def set_note(book: Book, ident: str, note: str) -> Step | None:
    """What to say of it."""
    quote = record_of(book, Quote, ident)
    return _step(book, quote, replace(quote, note=note.strip()), say("note"))


def remove(book: Book, ident: str) -> Step:
    """Take a quote out of the history: for one that was typed by mistake."""
    quote = record_of(book, Quote, ident)
    said = say("remove the quote for {good} of {day}", good=_good_name(book, quote.good), day=quote.since.isoformat())
    return Step(said, (Change("quote", ident, quote, None),))


def pack_text(quote: Quote) -> str:
    """A pack as it would be typed."""
    return " x ".join([*map(str, quote.levels), quote.content.text])


def pack_key(quote: Quote) -> tuple[tuple[int, ...], Decimal, str]:
    """What tells one pack from another, however it was typed."""
    return quote.levels, quote.content.value, quote.content.unit.lower()


def _step(book: Book, before: Quote, after: Quote, what: str) -> Step | None:
    if after == before:
        return None
    said = say("{what} of the quote for {good}", what=what, good=_good_name(book, before.good))
    return Step(said, (put("quote", after, before),))


def _good_name(book: Book, good: str) -> str:
    found = book.all(Good).get(good)
    return found.name if found is not None else good


def _free(book: Book, good: str, since: date, past: Iterable[str]) -> str:
    return free_id(f"{good} {since.isoformat()}", book, past, fallback="quote")
