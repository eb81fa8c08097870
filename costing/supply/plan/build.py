"""From a file that was read to a plan: whose it is, which good each line means, what it changes and what holds it."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from functools import partial
from typing import Literal

from costing.book.book import Book
from costing.book.buying import Columns, ImportedFile, Order, OrderLine, Purchase
from costing.book.records import Break, FreeGoods, Good, Quote, Supplier, TaxBasis
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.line import Incoming, PriceLine
from costing.supply.ids import slug
from costing.supply.plan.holds import jump, packs_of, width_of
from costing.supply.plan.known import Measured, by_seller, counted, known_of, pack_of, remembered
from costing.supply.plan.priced import Priced, price_line
from costing.supply.plan.record import Fate, Gone, Plan, PlanLine
from costing.supply.whose import Asked, Catalogue, Match, Size, Suggestion

Tell = Callable[[int, int], None]
HARMLESS = frozenset({"gtin-padded", "unit-deprecated", "pack-from-last", "free-from-text", "break-from-text"})
"""Doubts that are shown beside a line and do not hold it: what was done is the only thing that can be meant."""
AT_ONCE = 2_000
"""Lines up to which what each may mean is looked for at once; in longer files when somebody looks at a line."""
FATE_OF_NONE = "not-bought"
BILLED = frozenset({"invoice", "credit"})
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
    lines = _one_each(judged)
    doubts = (*incoming.doubts, *_again(incoming, book))
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
        yield doubt("no-supplier", "", said=incoming.supplier)
    if incoming.kind in BILLED and who is not None and incoming.number:
        for bought in book.all(Purchase).values():
            again = (bought.supplier, bought.kind, bought.number) == (who.id, incoming.kind, incoming.number)
            if again and book.all(ImportedFile).get(bought.file, _NO_FILE).digest != incoming.digest:
                yield doubt("invoice-again", "", number=incoming.number, day=bought.day.isoformat())


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
        self.day = incoming.day or day
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
        self.order = self._order()

    def _rates(self) -> Iterable[Decimal]:
        return {q.tax_rate for q in self.book.all(Quote).values() if q.tax_rate is not None}

    def _order(self) -> Order | None:
        """The order that an invoice answers to: by the number it names, else the supplier's last one before it."""
        if self.incoming.kind != "invoice" or self.who is None:
            return None
        theirs = [o for o in self.book.all(Order).values() if o.supplier == self.who.id and o.day <= self.day]
        named = [o for o in theirs if self.incoming.order and o.number == self.incoming.order]
        if named or self.incoming.order:
            return named[0] if named else None
        return max(theirs, key=lambda o: (o.day, o.id), default=None) if theirs else None

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
        last = out.line.until or self.day
        return replace(out, old=old, quote=replace(old, until=max(last, old.since)), why=(doubt("ends", ""),))

    def _old(self, out: PlanLine) -> Quote | None:
        """The quote that held until now: this supplier's by code, else in the same pack, else their latest."""
        line = out.line
        since = line.since or self.day
        every = self.sellers.get((out.good, self.who.id if self.who else ""), [])
        theirs = [q for q in every if q.since <= since] or every
        by_code = [q for q in theirs if line.code and q.code == line.code]
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
        found = price_line(line, old, self.view.measures)
        terms = self._terms(line, old)
        why = [*out.match.doubts, *(d for d in line.doubts if d.code not in HARMLESS)]
        notes = [d for d in line.doubts if d.code in HARMLESS]
        if not out.match.sure:
            why.append(doubt("new-pack" if out.match.new_pack else "match-not-sure", "name", name=good.name))
        if isinstance(found, Doubt):
            return replace(out, old=old, why=(*why, found), notes=tuple(notes))
        notes += [*found.notes, *_kept_terms(line, old, found)]
        why += self._term_holds(terms)
        try:
            quote = self._quote(line, good, old, found, terms)
        except ValueError as error:
            return replace(out, old=old, why=(*why, doubt("cannot-be", "", why=error)), notes=tuple(notes))
        out = self._billed(replace(out, old=old, quote=quote, priced=quote, notes=tuple(notes)), found)
        before = old if old is not None else self._others(good.id)
        was = self.measured.net(before) if before is not None else None
        now = self.measured.net(quote)
        if self.incoming.kind == "credit" or (line.quantity or 0) < 0:
            return self._decided(replace(out, why=tuple(dict.fromkeys(why))))  # it prices nothing
        if now is None and self.measured.held(good.id, quote.levels, quote.content) is None:
            why.append(doubt("pack-does-not-fit", "pack", pack=quote.content.text, name=good.name))
        elif was is not None and now is not None:
            counts = packs_of(quote.levels, before.levels if before is not None else ())
            odd = jump(now / was if was else Decimal(0), self._width(good), counts, self.rates)
            why += [odd] if odd is not None else []
        elif quote.price == 0:
            why.append(doubt("price-nothing", "price"))
        newest = max((q.since for q in self.sellers.get((good.id, quote.supplier), ())), default=quote.since)
        if newest > quote.since:
            why.append(doubt("older", "since", day=newest.isoformat()))
        return self._decided(replace(out, before=was, now=now, why=tuple(dict.fromkeys(why))))

    def _decided(self, out: PlanLine) -> PlanLine:
        """Sound, held, or nothing new."""
        if out.why:
            return out
        quote, old = out.quote, out.old
        same = quote is not None and old is not None and _says_the_same(quote, old)
        if same and self.incoming.kind not in BILLED:
            return replace(out, fate="ignored", quote=None, why=(doubt("same-price", "price"),))
        return replace(out, fate="sound", quote=None if same else quote)

    def _billed(self, out: PlanLine, found: Priced) -> PlanLine:
        """What an invoice bills of it, against the quote that held and the order."""
        line, old = out.line, out.old
        if self.incoming.kind not in BILLED or line.quantity is None:
            return out
        per_pack = Decimal(1)
        if line.per in ("kg", "l") or line.per == "each":
            whole = self.measured.held(out.good, found.levels, found.content)
            one = _one(line.per, found)
            per_pack = one if one is not None else (whole or Decimal(1))
        packs = line.quantity / per_pack
        agreed = None
        if old is not None:
            held_old = self.measured.held(out.good, old.levels, old.content)
            held_new = self.measured.held(out.good, found.levels, found.content)
            agreed = old.price * held_new / held_old if held_old and held_new else None
        asked = self._ordered(out.good)
        keep = self.incoming.kind == "credit" or packs < 0
        return replace(
            out, packs=packs, delivered=packs, agreed=agreed, ordered=asked, quote=None if keep else out.quote
        )

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

    def _others(self, good: str) -> Quote | None:
        """What the good costs by now, from whoever."""
        return self.view.quote_of(good)

    def _width(self, good: Good) -> Decimal:
        if good.id not in self.widths:
            self.widths[good.id] = width_of(self.book, good)
        return self.widths[good.id]

    def _quote(self, line: PriceLine, good: Good, old: Quote | None, found: Priced, terms: _Terms) -> Quote:
        """What would be written. A quote of the same pack and day is put right; a later price keeps what the supplier
        said of deposit and charges, unless the line says otherwise."""
        supplier = self.who.id if self.who else ""
        since = line.since or self.day
        until = line.until if line.until is not None and line.until >= since else None
        deposit = line.deposit if line.deposit is not None else old.deposit if old else None
        same_day = old is not None and old.since == since and (old.levels, old.content) == (found.levels, found.content)
        return Quote(
            id=old.id if same_day and old else self.ident(f"{good.id} {since.isoformat()}"),
            good=good.id, supplier=supplier, content=found.content, price=found.price, currency=terms.currency,
            since=since, levels=found.levels, tax=terms.tax,
            tax_rate=terms.rate, until=until, code=line.code or (old.code if old else ""),
            gtin=line.gtin or (old.gtin if old else ""), breaks=_breaks(line, old, found), free=_free(line, old),
            charges=old.charges if old else (), deposit=deposit,
            minimum=line.minimum if line.minimum is not None else old.minimum if old else None,
            label=old.label if old else self._label(good), words=line.name, row=line.where,
            source=self.incoming.name,
        )  # fmt: skip

    def _label(self, good: Good) -> Literal["read", "unread"]:
        """A supplier that never sold it brings another label, which nobody has read."""
        return "unread" if good.layer == "materials" and good.allergens else "read"

    def ident(self, name: str) -> str:
        """An id that nothing has or had."""
        stem = slug(name) or "quote"
        n, found = 1, stem
        while found in self.ids:
            n += 1
            found = f"{stem}-{n}"
        self.ids.add(found)
        return found

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


def _one(per: str, found: Priced) -> Decimal | None:
    """How many order units of ``per`` make the pack; None where the pack has to say."""
    if per != "each":
        return None
    count = Decimal(1)
    for level in found.levels:
        count *= level
    return count


def _breaks(line: PriceLine, old: Quote | None, found: Priced) -> tuple[Break, ...]:
    """A list that names no breaks keeps those of a price that stands; with another price they would be guesses."""
    if line.breaks or old is None or old.price != found.price:
        return line.breaks
    return old.breaks


def _free(line: PriceLine, old: Quote | None) -> FreeGoods | None:
    """What comes free was agreed, and a list that does not speak of it does not end it."""
    return line.free if line.free is not None or old is None else old.free


def _kept_terms(line: PriceLine, old: Quote | None, found: Priced) -> Iterable[Doubt]:
    """What was agreed before and the line does not say, so that nobody finds it changed in silence."""
    if old is None:
        return
    if old.free is not None and line.free is None:
        yield doubt("free-kept", "", free=f"{old.free.free:f}", paid=f"{old.free.paid:f}")
    if old.breaks and not line.breaks and old.price != found.price:
        yield doubt("breaks-gone", "")


def _says_the_same(quote: Quote, old: Quote) -> bool:
    """Whether a quote tells nothing that the last one did not."""
    told = ("price", "currency", "tax", "breaks", "free", "minimum", "deposit")
    packs = (quote.levels, quote.content.value, quote.content.unit.lower()) == (
        old.levels, old.content.value, old.content.unit.lower(),
    )  # fmt: skip
    return packs and old.until is None and all(getattr(quote, name) == getattr(old, name) for name in told)


def _one_each(lines: list[PlanLine]) -> list[PlanLine]:
    """One price of a good and day from one file: of two that are sound both are held, because one of them is wrong; a
    pack that is not the one bought until now gives way to it."""
    by_good: dict[tuple[str, date], list[int]] = {}
    for at, out in enumerate(lines):
        if out.quote is not None and out.fate != "ignored":
            by_good.setdefault((out.good, out.quote.since), []).append(at)
    for found in by_good.values():
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
