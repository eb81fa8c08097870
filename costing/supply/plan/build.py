"""From a file that was read to a plan: whose it is, which good each line means, what it changes and what holds it."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from functools import partial
from typing import Literal

from costing.book.book import Book
from costing.book.buying import Columns, ImportedFile, Order, OrderLine, Purchase
from costing.book.records import Good, Quote, Supplier, TaxBasis
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.line import Incoming, PriceLine
from costing.supply.ids import take_id
from costing.supply.plan.billing import agreed_price, claim_note, order_of, ordered_notes, packs_billed, paid_price
from costing.supply.plan.holds import jump, packs_of, width_of
from costing.supply.plan.kept import Kept, kept
from costing.supply.plan.known import Measured, by_seller, counted, known_of, pack_of, remembered
from costing.supply.plan.priced import Priced, price_line
from costing.supply.plan.record import Fate, Gone, Plan, PlanLine
from costing.supply.whose import Asked, Catalogue, Match, Size, Suggestion
from costing.supply.whose.identity import code_key, joined_key

Tell = Callable[[int, int], None]
HARMLESS = frozenset(
    {"gtin-padded", "unit-deprecated", "pack-from-last", "free-from-text", "break-from-text", "unit-scaled"}
)
"""Doubts that are shown beside a line and do not hold it: what was done is the only thing that can be meant."""
AT_ONCE = 2_000
"""Lines up to which what each may mean is looked for at once; in longer files when somebody looks at a line."""
FATE_OF_NONE = "not-bought"
BILLED = frozenset({"invoice", "credit"})
NOT_BILLS = {"type-proforma": "proforma", "type-prepayment": "prepayment", "type-debit": "debit-note"}
"""Documents that look like invoices and bill no delivery: nothing of them is posted."""
OPEN_DAYS = frozenset({"day-order", "validity-unclear", "validity-backward", "validity-twice"})
WEEK, YEAR = timedelta(days=7), timedelta(days=400)
SETTLED = frozenset({"unit-each-or-case", "size-missing", "pack-missing", "price-for-what"})
"""Doubts that a unit price equal to the last one answers."""
SETTLES = Decimal("0.002")
_NO_FILE = ImportedFile(id="none", name="", digest="", day=date.min)


def _by_hand(good: str) -> Match:
    """What somebody said a line means."""
    return Match(good=good, how="hand" if good else "none", sure=bool(good))


def supplier_of(incoming: Incoming, book: Book) -> str:
    """Who sent a document, by its name, other names or tax number; "" where nobody, or more than one, is meant."""
    said = {_plain(text) for text in (incoming.supplier, incoming.supplier_id) if text.strip()}
    found = [s.id for s in book.all(Supplier).values() if said & {_plain(n) for n in (s.name, s.id, *s.names)}]
    return found[0] if len(found) == 1 else ""


def make_plan(
    incoming: Incoming,
    book: Book,
    day: date,
    *,
    supplier: str = "",
    columns: Columns | None = None,
    hand: Mapping[int, str] | None = None,
    past: Iterable[str] = (),
    tell: Tell | None = None,
) -> Plan:
    """What a file would do to a book. ``day`` is the day that prices begin on where the file names none; ``supplier``
    is an id, "" for whoever the document names; ``hand`` are goods that somebody chose for lines by number ("" for
    none of the house's); ``past`` are ids that were used once."""
    supplier = supplier or supplier_of(incoming, book)
    who = book.all(Supplier).get(supplier)
    stops = tuple(_stops(incoming, book, who))
    reader = _Reader(incoming, book, day, who, past)
    catalogue = Catalogue(
        known_of(book, reader.measured, reader.sellers), remembered(book), noise=who.noise if who else ()
    )
    asked = [reader.asked(line) for line in incoming.lines]
    matches = catalogue.match_all(asked, tell=tell, suggest=len(asked) <= AT_ONCE)
    chosen = {n: _by_hand(good) for n, good in (hand or {}).items()}
    judged = [reader.line(li, chosen.get(li.n, match)) for li, match in zip(incoming.lines, matches, strict=True)]
    lines = _one_each(judged, billed=incoming.kind in BILLED)
    doubts = (*incoming.doubts, *_again(incoming, book), *_no_order(incoming, reader))
    return Plan(
        incoming=incoming, supplier=supplier, lines=tuple(lines), doubts=doubts, stops=stops, columns=columns,
        ask=partial(_suggestions, catalogue, reader), gone=reader.gone(lines),
        order=reader.order.id if reader.order else "",
    )  # fmt: skip


def _suggestions(catalogue: Catalogue, reader: "_Reader", line: PriceLine) -> tuple[Suggestion, ...]:
    return catalogue.suggest(reader.asked(line))


def _stops(incoming: Incoming, book: Book, who: Supplier | None) -> Iterable[Doubt]:
    """What must be answered before anything is written."""
    if who is None:
        yield doubt("no-supplier", "", said=incoming.supplier) if incoming.supplier else doubt("whose-file", "")
    for said in incoming.doubts:
        if said.code in NOT_BILLS:
            yield doubt(f"stop-{NOT_BILLS[said.code]}", "")
    if incoming.kind in BILLED and who is not None:
        for bought in book.all(Purchase).values():
            again = (bought.supplier, bought.kind, bought.number) == (who.id, incoming.kind, incoming.number)
            if not incoming.number:  # nothing tells two of them apart but the day
                again = again and bought.day == incoming.day
            if again and book.all(ImportedFile).get(bought.file, _NO_FILE).digest != incoming.digest:
                yield doubt("invoice-again", "", number=incoming.number or incoming.name, day=bought.day.isoformat())


def _no_order(incoming: Incoming, reader: "_Reader") -> Iterable[Doubt]:
    if incoming.kind == "invoice" and incoming.order and reader.order is None and reader.knows_orders:
        yield doubt("order-unknown", "", number=incoming.order)


def _again(incoming: Incoming, book: Book) -> Iterable[Doubt]:
    """A file that was read before: what of it was taken is the price there is, and the rest may still be taken."""
    for known in book.all(ImportedFile).values():
        if known.digest == incoming.digest:
            yield doubt("file-again", "", day=known.day.isoformat(), taken=known.imported)


@dataclass(frozen=True, slots=True)
class _Terms:
    """Tax and currency of a line after the supplier's own terms have been asked."""

    tax: TaxBasis
    rate: Decimal | None
    currency: str


class _Reader:
    """What the lines of a file share, made once."""

    def __init__(self, incoming: Incoming, book: Book, day: date, who: Supplier | None, past: Iterable[str]) -> None:
        self.incoming, self.book, self.who = incoming, book, who
        self.day, self.today = incoming.day or day, day
        self.view = book.on(max(self.day, day))
        self.measured = Measured.of(self.view)
        self.goods: Mapping[str, Good] = book.all(Good)
        self.sellers = by_seller(book)
        self.house = book.house.currency if book.house else ""
        self.ids = {ident for _, ident in book.records} | set(past)
        self.widths: dict[str, Decimal] = {}
        # A wholesaler's whole list is mostly of what the house does not buy: what is merely like it waits for nobody.
        self.long = len(incoming.lines) > AT_ONCE and any(s == (who.id if who else "") for _, s in self.sellers)
        self.rates = tuple({r for r in (who.tax_rate if who else None, *self._rates()) if r})
        self.knows_orders = any(o.supplier == (who.id if who else "") for o in book.all(Order).values())
        self.order = order_of(incoming, book, who, day)

    def _rates(self) -> Iterable[Decimal]:
        return {q.tax_rate for q in self.book.all(Quote).values() if q.tax_rate is not None}

    def asked(self, line: PriceLine) -> Asked:
        """A line as the matching room takes it."""
        size, levels = _pack_of(line)
        return Asked(
            n=line.n, supplier=self.who.id if self.who else "", code=line.code, gtin=line.gtin, name=line.name,
            size=size, levels=levels, per_base=self._per_base(line),
        )  # fmt: skip

    def _per_base(self, line: PriceLine) -> Decimal | None:
        """A line's price for a litre, a kilogram or a piece, by what itself says; None where that is not all of it, or
        not the house's money."""
        pack = line.pack
        if line.price is None or line.base <= 0 or (line.currency or self.house) != self.house:
            return None
        one = line.price / line.base
        if line.tax == "inc" and line.rate is not None:
            one /= 1 + line.rate
        if line.per in ("kg", "l"):
            return one
        if pack is None or not pack.total or not pack.content:
            return None
        held = pack.total if line.per == "pack" else pack.content
        return one / held * (1 if pack.unit == "each" else 1000)

    def line(self, line: PriceLine, match: Match) -> PlanLine:
        """One line with its fate."""
        out = PlanLine(line=line, fate="held", match=match, good=match.good)
        billed = self.incoming.kind in BILLED
        if line.sort != "goods":
            if billed:
                return replace(out, fate="sound", good="", notes=line.doubts)
            return replace(out, fate="ignored", good="", why=(doubt("no-ingredient", "", sort=line.sort),))
        if line.action == "remove":
            return self._removed(out)
        if not match.good:
            if match.suggestions:
                return replace(out, why=(doubt("whose", "name", like=match.suggestions[0].name),))
            if match.how == "suggested":
                fate: Fate = "ignored" if self.long and not billed else "held"
                return replace(out, fate=fate, why=(doubt("whose-of-some", "name"),))
            return replace(out, fate="held" if billed else "ignored", why=(doubt(FATE_OF_NONE, "name"),))
        if line.price is None and any(d.code == "on-request" for d in line.doubts):
            return replace(out, old=self._old(out), why=(doubt("on-request", "price"),))
        return self._judged(out)

    def _removed(self, out: PlanLine) -> PlanLine:
        """A line that ends a price: held, because a good that costs nothing any more is somebody's decision."""
        old = self._old(out)
        if old is None or not out.good:
            return replace(out, fate="ignored", why=(doubt("ends-nothing", ""),))
        # The days of the line are the catalogue's own: what it deletes ends with the day before it.
        last = max((out.line.since or self.day) - timedelta(days=1), old.since)
        return replace(out, old=old, quote=replace(old, until=last), why=(doubt("ends", "", day=last.isoformat()),))

    def _old(self, out: PlanLine) -> Quote | None:
        """The quote that held until now: this supplier's by code, else in the same pack, else their latest."""
        line = out.line
        since = line.since or self.day
        every = self.sellers.get((out.good, self.who.id if self.who else ""), [])
        theirs = [q for q in every if q.since <= since] or every
        code = joined_key(code_key(line.code))
        by_code = [q for q in theirs if code and joined_key(code_key(q.code)) == code]
        pack = _pack_of(line)
        if not by_code and pack[0] is not None:
            by_code = [q for q in theirs if pack_of(q.levels, q.content, self.view.measures) == pack]
        return next(iter(by_code), next(iter(theirs), None))

    def _terms(self, line: PriceLine, old: Quote | None) -> _Terms:
        who = self.who
        tax = line.tax if line.tax != "unknown" else who.tax if who else "unknown"
        rate = line.rate if line.rate is not None else who.tax_rate if who else None
        if rate is None and old is not None:
            rate = old.tax_rate
        currency = line.currency or self.incoming.currency or (who.currency if who else "") or self.house
        return _Terms(tax, rate, currency)

    def _judged(self, out: PlanLine) -> PlanLine:
        """A line whose good is known: its quote, and everything that holds it."""
        line, good = out.line, self.goods[out.good]
        old = self._old(out)
        found = price_line(line, old, self.measured, good.id, self._width(good))
        terms = self._terms(line, old)
        why = [*out.match.doubts, *(d for d in line.doubts if d.code not in HARMLESS)]
        notes = [d for d in line.doubts if d.code in HARMLESS]
        if not out.match.sure:
            why.append(doubt("new-pack" if out.match.new_pack else "match-not-sure", "name", name=good.name))
        if isinstance(found, Doubt):
            return replace(out, old=old, why=(*why, found), notes=tuple(notes))
        same = kept(line, old, found, self.view.measures)
        notes += [*found.notes, *same.notes]
        why += [*same.holds, *self._term_holds(terms), *self._day_holds(line), *self._moved_currency(terms, old)]
        try:
            quote = self._quote(line, good, old, found, terms, same)
        except ValueError as error:
            return replace(out, old=old, why=(*why, doubt("cannot-be", "", why=error)), notes=tuple(notes))
        out = replace(out, old=old, quote=quote, priced=quote, notes=tuple(notes))
        if self.incoming.kind in BILLED:
            out = self._billed(out, found, terms)
        if self.incoming.kind == "credit" or (line.quantity or 0) < 0:
            # it prices nothing
            return self._decided(replace(out, quote=None, why=tuple(dict.fromkeys(why))))
        if quote.price == 0 and self.incoming.kind == "invoice":
            came = doubt("came-free", "price")
            rest = tuple(dict.fromkeys(d for d in why if d.code != "zero-price"))
            return self._decided(replace(out, quote=None, why=rest, notes=(*out.notes, came)))
        before = old if old is not None else self.view.quote_of(good.id)
        was = self.measured.net(before) if before is not None else None
        now = self.measured.net(quote)
        why += self._price_holds(good, quote, before, was, now)
        if was and now and abs(now / was - 1) <= SETTLES:
            # the unit price of the last quote to the cent: what a count or an order unit left open, it settles
            settled = [d for d in why if d.code in SETTLED]
            why, out = [d for d in why if d.code not in SETTLED], replace(out, notes=(*out.notes, *settled))
        out = replace(out, before=was, now=now)
        newest = max((q.since for q in self.sellers.get((good.id, quote.supplier), ())), default=quote.since)
        if newest > quote.since:
            late = doubt("older", "since", day=newest.isoformat())
            if self.incoming.kind == "invoice":  # it is posted; the newer price stands
                return self._decided(replace(out, quote=None, why=tuple(dict.fromkeys(why)), notes=(*out.notes, late)))
            why.append(late)
        return self._decided(replace(out, why=tuple(dict.fromkeys(why))))

    def _moved_currency(self, terms: _Terms, old: Quote | None) -> Iterable[Doubt]:
        """A price in other money than the last one is somebody's decision, or somebody's slip, unless the supplier is
        known to bill in it."""
        known = self.who is not None and self.who.currency == terms.currency
        if old is not None and not known and terms.currency and old.currency not in ("", terms.currency):
            yield doubt("currency-moved", "price", before=old.currency, now=terms.currency)

    def _price_holds(
        self, good: Good, quote: Quote, before: Quote | None, was: Decimal | None, now: Decimal | None
    ) -> Iterable[Doubt]:  # fmt: skip
        if now is None and self.measured.held(good.id, quote.levels, quote.content) is None:
            yield doubt("pack-does-not-fit", "pack", pack=quote.content.text, name=good.name)
        elif was is not None and now is not None:
            counts = packs_of(quote.levels, before.levels if before is not None else ())
            odd = jump(now / was if was else Decimal(0), self._width(good), counts, self.rates)
            if odd is not None:
                yield odd
        elif quote.price == 0:
            yield doubt("price-nothing", "price")

    def _day_holds(self, line: PriceLine) -> Iterable[Doubt]:
        """Days on which nobody would ask this price: one that is over, or far ahead, or an invoice of a day to come."""
        if line.until is not None and line.until < self.today:
            yield doubt("over", "until", day=line.until.isoformat())
        since = line.since or self.day
        ahead = WEEK if self.incoming.kind in BILLED else YEAR
        # Looking at a day gone by must not make what was sent since look like a slip.
        if since > max(self.today, date.today()) + ahead:
            yield doubt("far-ahead", "since", day=since.isoformat())
        if line.since is None and any(d.code in OPEN_DAYS for d in self.incoming.doubts):
            yield doubt("day-open", "since")
        if any(d.code == "credit-sign" for d in self.incoming.doubts):
            yield doubt("whose-money", "quantity")

    def _decided(self, out: PlanLine) -> PlanLine:
        """Sound, held, or nothing new."""
        if out.why:
            return out
        quote, old = out.quote, out.old
        same = quote is not None and old is not None and _says_the_same(quote, old)
        if same and self.incoming.kind not in BILLED:
            return replace(out, fate="ignored", quote=None, why=(doubt("same-price", "price"),))
        return replace(out, fate="sound", quote=None if same else quote)

    def _billed(self, out: PlanLine, found: Priced, terms: _Terms) -> PlanLine:
        """What an invoice bills of it, against the quote that held and the order."""
        line = out.line
        packs = packs_billed(line, out.good, found, self.measured)
        if packs is None:
            return out
        since = line.since or self.day
        sellers = self.sellers.get((out.good, self.who.id if self.who else ""), [])
        theirs = sorted((q for q in sellers if q.since <= since), key=lambda q: q is not out.old)
        agreed = agreed_price(self.book, theirs, out.good, found, self.measured, terms.currency)
        asked = self._ordered(out.good)
        notes = list(out.notes)
        if self.incoming.kind == "invoice":
            paid = paid_price(line, found.price, packs)
            notes += [*ordered_notes(packs, asked, self.order), *claim_note(packs, paid, agreed, terms.currency)]
        return replace(out, packs=packs, delivered=packs, agreed=agreed, ordered=asked, notes=tuple(notes))

    def _ordered(self, good: str) -> Decimal | None:
        lines: tuple[OrderLine, ...] = self.order.lines if self.order else ()
        found = [line.packs for line in lines if line.good == good]
        return sum(found, Decimal(0)) if found else None

    def _term_holds(self, terms: _Terms) -> Iterable[Doubt]:
        if terms.tax == "unknown":
            yield doubt("tax-unknown", "price")
        if terms.tax == "inc" and terms.rate is None:
            yield doubt("tax-rate", "price")
        if not terms.currency:
            yield doubt("no-currency", "price")
        elif self.house and terms.currency != self.house and terms.currency not in self.view.rates:
            yield doubt("no-exchange", "price", currency=terms.currency, house=self.house)

    def _width(self, good: Good) -> Decimal:
        if good.id not in self.widths:
            self.widths[good.id] = width_of(self.book, good)
        return self.widths[good.id]

    def _quote(
        self, line: PriceLine, good: Good, old: Quote | None, found: Priced, terms: _Terms, same: Kept
    ) -> Quote:  # fmt: skip
        """What would be written. A quote of the same pack and day is put right instead of standing twice."""
        since = line.since or self.day
        until = line.until if line.until is not None and line.until >= since else None
        same_day = old is not None and old.since == since and (old.levels, old.content) == (found.levels, found.content)
        return Quote(
            id=old.id if same_day and old else self.ident(f"{good.id} {since.isoformat()}"),
            good=good.id, supplier=self.who.id if self.who else "", content=found.content, price=found.price,
            currency=terms.currency, since=since, levels=found.levels, tax=terms.tax, tax_rate=terms.rate, until=until,
            code=line.code or (old.code if old else ""), gtin=line.gtin or (old.gtin if old else ""),
            breaks=same.breaks, free=same.free, charges=same.charges, deposit=same.deposit, minimum=same.minimum,
            label=old.label if old else self._label(good), words=line.name, row=line.where,
            source=self.incoming.name,
        )  # fmt: skip

    def _label(self, good: Good) -> Literal["read", "unread"]:
        """A supplier that never sold it brings another label, which nobody has read."""
        return "unread" if good.layer == "materials" and good.allergens else "read"

    def ident(self, name: str) -> str:
        """An id that nothing has or had."""
        return take_id(name, self.ids, fallback="quote")

    def gone(self, lines: Iterable[PlanLine]) -> tuple[Gone, ...]:
        """Goods that the supplier asked a price for, and that a whole list does not name any more."""
        whole = self.incoming.kind == "list" or self.incoming.replaces
        if self.who is None or not whole:
            return ()
        named = {out.good for out in lines if out.good}
        named |= {s.good for out in lines for s in out.match.suggestions}
        out = []
        for (good, supplier), quotes in sorted(self.sellers.items()):
            first = next((q for q in quotes if q.since <= self.day), quotes[0])
            current = first.until is None or first.until >= self.day
            if supplier == self.who.id and good not in named and current and good in self.goods:
                out.append(Gone(good=good, quote=first))
        return tuple(out)


def _pack_of(line: PriceLine) -> tuple[Size | None, tuple[int, ...]]:
    """A line's pack as it is compared."""
    pack = line.pack
    if pack is None:
        return None, ()
    if pack.content is None or pack.unit is None:
        return None, pack.levels
    return counted((pack.content.normalize(), pack.unit), pack.levels)


def _says_the_same(quote: Quote, old: Quote) -> bool:
    """Whether a quote tells nothing that the last one did not."""
    told = ("price", "currency", "tax", "breaks", "free", "minimum", "deposit")
    packs = (quote.levels, quote.content.value, quote.content.unit.lower()) == (
        old.levels, old.content.value, old.content.unit.lower(),
    )  # fmt: skip
    return packs and old.until is None and all(getattr(quote, name) == getattr(old, name) for name in told)


def _two_prices(lines: list[PlanLine], found: list[int]) -> bool:
    """Whether an invoice bills one good at two prices, one of which may be the one there is."""
    good = lines[found[0]].good
    prices = {
        out.priced.price for out in lines
        if out.good == good and out.priced is not None and out.priced.price and (out.packs or 0) > 0
    }  # fmt: skip
    return len(prices) > 1


def _one_each(lines: list[PlanLine], *, billed: bool) -> list[PlanLine]:
    """One price of a good and day from one file: of two that are sound both are held, because one of them is wrong; a
    pack that is not the one bought until now gives way to it."""
    by_good: dict[tuple[str, date], list[int]] = {}
    for at, out in enumerate(lines):
        if out.quote is not None and out.fate != "ignored":
            by_good.setdefault((out.good, out.quote.since), []).append(at)
    for found in by_good.values():
        if billed and _two_prices(lines, found):
            for at in found:
                lines[at] = replace(lines[at], fate="held", why=(*lines[at].why, doubt("two-prices", "price")))
            continue
        first, *more = [lines[at].quote for at in found]
        if more and first is not None and all(q is not None and _says_the_same(q, first) for q in more):
            for at in found[1:]:  # an invoice may bill one thing twice, and dates its price once
                lines[at] = replace(lines[at], quote=None)
            continue
        if not more:
            continue
        usual = [at for at in found if lines[at].old is not None and not lines[at].match.new_pack]
        for at in found:
            out = lines[at]
            others = ", ".join(str(lines[o].line.where) for o in found if o != at)
            if len(usual) == 1 and at not in usual:
                lines[at] = replace(out, fate="ignored", why=(doubt("other-pack", "pack", rows=others),))
            elif len(usual) != 1:
                lines[at] = replace(out, fate="held", why=(*out.why, doubt("same-good", "", rows=others)))
    return lines


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())
