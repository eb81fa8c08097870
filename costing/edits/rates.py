"""Edits of exchange rates: what one of a foreign currency is worth in the house's money, from a day on."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal

from costing.book.book import Book
from costing.book.buying import LARGEST, ExchangeRate
from costing.book.change import Change, Step, put
from costing.book.fact import NUMBER, value_of
from costing.edits.base import currency_of, record_of
from costing.edits.suppliers import known_currency
from costing.supply.ids import free_id
from costing.tongue import say

LEAST = Decimal("1e-9")


def add_rate(
    book: Book, currency: str, worth: str, since: date, source: str = "", past: Iterable[str] = ()
) -> Step | None:
    """What one of a currency is worth from a day on, as typed ("0.92", "0,0061"), and who said so. The rate that begins
    on the same day is put right instead; None where nothing changes. ValueError for a code that ISO 4217 does not
    have, the house's own, and a worth that cannot be."""
    code, own = known_currency(currency), currency_of(book)
    if not own:
        raise ValueError(say("there is no currency yet: choose one in the settings of the house"))
    if not code:
        raise ValueError(say("say which currency: its code of ISO 4217, like USD"))
    if code == own:
        raise ValueError(say("{currency} is the house's own money and needs no rate", currency=code))
    value = typed_worth(worth)
    same = [r for r in book.all(ExchangeRate).values() if (r.currency, r.since) == (code, since)]
    if same:
        old = max(same, key=lambda r: r.id)  # the one that counts
        return _step(old, replace(old, worth=value, source=source.strip() or old.source))
    ident = free_id(f"{code} {since.isoformat()}", book, past, fallback="rate")
    new = ExchangeRate(id=ident, currency=code, since=since, worth=value, source=source.strip())
    said = say("{currency} is worth {worth} from {day}", currency=code, worth=f"{value:f}", day=since.isoformat())
    return Step(said, (put("rate", new),))


def set_worth(book: Book, ident: str, text: str) -> Step | None:
    """The worth of a rate put right: every cost since its day follows. For a new one from another day: ``add_rate``."""
    old = record_of(book, ExchangeRate, ident)
    return _step(old, replace(old, worth=typed_worth(text)))


def set_source(book: Book, ident: str, text: str) -> Step | None:
    """Who said so."""
    old = record_of(book, ExchangeRate, ident)
    return _step(old, replace(old, source=text.strip()))


def remove(book: Book, ident: str) -> Step:
    """Take a rate out; the one before it holds on."""
    old = record_of(book, ExchangeRate, ident)
    said = say("remove the rate of {currency} of {day}", currency=old.currency, day=old.since.isoformat())
    return Step(said, (Change("rate", ident, old, None),))


def typed_worth(text: str) -> Decimal:
    """What one of a currency is worth, as typed. ValueError for none, for "1,082" that may be a thousand and more, and
    outside 1e-9 to 1e9."""
    found = NUMBER.fullmatch(text.replace("\u00a0", "").replace("\u202f", "").strip())
    if found is None or found["plain"] is None:
        raise ValueError(say("“{text}” is not what one of a currency is worth: write it like 0.92", text=text.strip()))
    value = value_of(found, text.strip())
    if not LEAST <= value <= LARGEST:
        raise ValueError(say("a worth of {text} must lie from 0.000000001 to 1,000,000,000", text=text.strip()))
    return value


def _step(before: ExchangeRate, after: ExchangeRate) -> Step | None:
    if after == before:
        return None
    said = say("rate of {currency} of {day}: {worth}", currency=before.currency, day=before.since.isoformat(),
               worth=f"{after.worth:f}")  # fmt: skip
    return Step(said, (put("rate", after, before),))
