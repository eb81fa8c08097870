"""One line of a pasted block read as a quote: which good, whose, which pack, what price, from when; and every doubt."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from functools import cached_property
from typing import Literal

from costing.book.book import Book, View
from costing.book.fact import Fact
from costing.book.records import Good, Quote, Supplier
from costing.edits.base import currency_of, typed_price
from costing.edits.quotes import pack_key
from costing.ledger.unit import Unbridged, amount_in_base, unit_of_good
from costing.supply import candidates, catalogue, choose
from costing.supply.ids import take_id
from costing.supply.matching import Named
from costing.supply.small import read_pack
from costing.tables import fold
from costing.tongue import say

LOW, HIGH = Decimal("0.5"), Decimal(2)
"""A price a base unit outside this ratio to the last one is held: a slipped decimal or another pack."""
FEW = 500
ISO_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockLine:
    """One line: as it came, what it was taken as, and why it is held or ignored. ``quote`` is what it would add; a held
    line that has one says enough to be taken once somebody has looked at it."""

    n: int
    text: str
    good: str = ""
    name: str = ""
    pack: str = ""
    price: Decimal | None = None
    before: Decimal | None = None
    since: date | None = None
    fate: Literal["taken", "held", "ignored"] = "held"
    why: str = ""
    quote: Quote | None = None


class Reader:
    """What reading many lines shares, made once: names, quotes, ids, the book on each day."""

    def __init__(self, book: Book, day: date, past: Iterable[str]) -> None:
        self.book, self.day = book, day
        self.goods: Mapping[str, Good] = book.all(Good)
        self.names: Mapping[str, str] = {g.id: g.name for g in self.goods.values()}
        self.whole: dict[str, list[str]] = {}
        for ident, name in self.names.items():
            self.whole.setdefault(_plain(name), []).append(ident)
        self.quotes: dict[tuple[str, str, date], list[Quote]] = {}
        for quote in book.all(Quote).values():
            self.quotes.setdefault((quote.good, quote.supplier, quote.since), []).append(quote)
        self.ids = {ident for _, ident in book.records} | set(past)
        self.views: dict[date, View] = {}
        self.seen: dict[tuple[str, str, date, tuple[int, ...], Decimal, str], int] = {}
        self.currency = currency_of(book)

    @cached_property
    def every(self) -> tuple[Named, ...]:
        """Every good by name, for what no name matches whole."""
        return catalogue(self.names)

    @cached_property
    def by_word(self) -> Mapping[str, tuple[Named, ...]]:
        """The same by each word of their names."""
        out: dict[str, list[Named]] = {}
        for named in self.every:
            for word in set(fold(named.names[0]).split()):
                out.setdefault(word, []).append(named)
        return {word: tuple(found) for word, found in out.items()}

    def among(self, name: str) -> tuple[Named, ...]:
        """What a name is compared with: every good of a bar; in a long price book, because looking for likeness takes
        long, those that have one of its rarer words, or all of its words where none is rare."""
        if len(self.every) <= FEW:
            return self.every
        found = [self.by_word[word] for word in dict.fromkeys(fold(name).split()) if word in self.by_word]
        rare = {named.source: named for some in found if len(some) <= FEW for named in some}
        if rare or not found:
            return tuple(rare.values())
        shared = set.intersection(*({named.source for named in some} for some in found))
        return tuple(named for named in min(found, key=len) if named.source in shared)[:FEW]

    def line(self, line: BlockLine, cells: Mapping[str, str], more: int) -> BlockLine:
        """One line with its fate. ``more`` cells stand beyond the last column that is known."""
        name = cells.get("name", "")
        line = replace(line, name=name, pack=cells.get("pack", ""))
        source, doubt = self.good(name)
        if source is None:
            return replace(line, why=doubt)
        line = replace(line, good=source)
        try:
            price = self.price(cells.get("price", ""))
            since = _day(cells.get("since", ""), self.day)
            supplier = self.supplier(cells.get("supplier", ""))
        except ValueError as error:
            return replace(line, why=str(error))
        line = replace(line, price=price, since=since)
        old = self.last(source, supplier, since)
        supplier = supplier or (old.supplier if old else "")
        try:
            levels, content = self.pack(line.pack, old, supplier)
            quote = self.quote(line, old, supplier, levels, content, cells.get("code", ""))
        except ValueError as error:
            return replace(line, why=str(error))
        pack = " x ".join([*map(str, levels), content.text])
        line = replace(line, quote=quote, before=old.price if old else None, pack=pack)
        if more > 0:
            doubt = doubt or say("it has more cells than are known: put a heading above them")
        return self.counted(self.judged(line, quote, old, doubt))

    def good(self, name: str) -> tuple[str | None, str]:
        """(the good, a doubt): None with the reason where nothing bears the name."""
        same = self.whole.get(_plain(name), [])
        if len(same) == 1:
            return same[0], ""
        found = candidates(name, self.among(name))
        source, doubts = choose(found)
        if source is not None:
            said = say("the name is only like {name}: type the whole name", name=self.names[source])
            return source, said if doubts else ""
        if found:
            like = ", ".join(c.name for c in found[:3])
            return None, say("no ingredient of the book is called “{name}”; alike: {names}", name=name, names=like)
        return None, say("no ingredient of the book is called “{name}”", name=name)

    def price(self, text: str) -> Decimal:
        """A price of a pack; errors as for ``typed_price``."""
        return typed_price(text, self.currency)

    def supplier(self, text: str) -> str:
        """The id of a supplier by name, "" for none. ValueError for a name that nobody has."""
        if not text:
            return ""
        found = [s.id for s in self.book.all(Supplier).values() if _plain(s.name) == _plain(text)]
        if len(found) != 1:
            raise ValueError(say("no supplier of the book is called “{name}”", name=text))
        return found[0]

    def view(self, since: date) -> View:
        """The book on a day."""
        return self.views.setdefault(since, self.book.on(since))

    def last(self, good: str, supplier: str, since: date) -> Quote | None:
        """The quote that stood before: of this supplier, or else of whoever's costs it."""
        offers = self.view(since).offers(good)
        return next((q for q in offers if q.supplier == supplier), next(iter(offers), None))

    def pack(self, text: str, old: Quote | None, supplier: str) -> tuple[tuple[int, ...], Fact]:
        """The pack a line names, or the one the same supplier asked a price for before."""
        if text:
            return read_pack(text)
        if old is not None and old.supplier == supplier:
            return old.levels, old.content
        raise ValueError(say("it names no pack, and there is no quote to take one from"))

    def quote(
        self, line: BlockLine, old: Quote | None, supplier: str, levels: tuple[int, ...], content: Fact, code: str
    ) -> Quote:
        """What the line adds. The quote of the same pack and day is put right, and keeps all else that it says; a later
        price of the same supplier's pack keeps its tax, deposit and charges."""
        price, since = line.price or Decimal(0), line.since or self.day
        for same in self.quotes.get((line.good, supplier, since), ()):
            if pack_key(same) == (levels, content.value, content.unit.lower()):
                return replace(same, price=price, code=code or same.code)
        ident = self.ident(f"{line.good} {since.isoformat()}")
        if old is not None and old.supplier == supplier:
            if pack_key(old) == (levels, content.value, content.unit.lower()):
                return replace(old, id=ident, price=price, since=since, until=None, breaks=(), source=say("pasted"),
                               code=code or old.code)  # fmt: skip
            tax, rate = old.tax, old.tax_rate
        else:
            tax, rate = "ex", None
        return Quote(
            id=ident, good=line.good, supplier=supplier, levels=levels, content=content, price=price, tax=tax,
            currency=self.currency or (old.currency if old else ""), since=since, tax_rate=rate, code=code,
            source=say("pasted"),
        )  # fmt: skip

    def ident(self, name: str) -> str:
        """An id that nothing has or had."""
        return take_id(name, self.ids, fallback="quote")

    def judged(self, line: BlockLine, quote: Quote, old: Quote | None, doubt: str) -> BlockLine:
        """Taken, or held where the pack does not fit, the price jumps or there is a doubt."""
        good = self.goods[quote.good]
        now = self.per_base(quote)
        if now is None:
            why = say("a pack of {pack} does not fit {good}", pack=line.pack, good=good.name)
            return replace(line, quote=None, why=why)
        if old is not None and (quote.price, pack_key(quote), quote.supplier) == (
            old.price,
            pack_key(old),
            old.supplier,
        ):
            return replace(line, fate="ignored", quote=None, why=say("it is the price there is"))
        before = self.per_base(old) if old is not None else None
        if doubt:
            return replace(line, why=doubt)
        if quote.price == 0:
            return replace(line, why=say("the price is nothing"))
        if before and not LOW <= now / before <= HIGH:
            ratio = now / before
            told = f"{ratio:.0f}" if ratio >= 10 else f"{ratio:.2f}" if ratio >= Decimal("0.1") else f"{ratio:.4f}"
            return replace(line, why=say("the price a unit is {ratio} times the last one", ratio=told))
        return replace(line, fate="taken")

    def per_base(self, quote: Quote) -> Decimal | None:
        """Money a base unit; None where the pack cannot be told in it."""
        measures = self.view(quote.since).measures
        unit, _ = unit_of_good(self.goods[quote.good], measures)
        try:
            held = Decimal(repr(amount_in_base(quote.content, unit, measures).value))
        except Unbridged:
            return None
        for level in quote.levels:
            held *= level
        return quote.price / held if held > 0 else None

    def counted(self, line: BlockLine) -> BlockLine:
        """A second price of one pack and day waits, because one of the two is wrong."""
        quote = line.quote
        if quote is None:
            return line
        levels, value, unit = pack_key(quote)
        key = quote.good, quote.supplier, quote.since, levels, value, unit
        if key in self.seen:
            return replace(line, fate="held", quote=None, why=say("line {n} is of the same pack", n=self.seen[key]))
        self.seen[key] = line.n
        return line


def _plain(name: str) -> str:
    return " ".join(name.casefold().split())


def _day(text: str, day: date) -> date:
    if not text:
        return day
    try:
        if text.isascii() and "." in text:
            d, m, y = (int(part) for part in text.rstrip(".").split("."))
            return date(y if y > 99 else 2000 + y, m, d)
        if ISO_DAY.fullmatch(text):
            return date.fromisoformat(text)
    except ValueError:
        pass
    raise ValueError(say("“{text}” is not a day that can be read in one way: write 2026-11-28", text=text))
