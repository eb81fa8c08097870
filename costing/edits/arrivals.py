"""Accepting what arrived: one step with every price, what was delivered, what is claimed, and the file it all came in.

A plan is changed by hand before that: a held line taken, a sound one left waiting, packs that did not come. Accepting a
part of a file is a step of its own; the file's record then counts what still waits.
"""

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

from costing.book.book import Book
from costing.book.buying import (
    Alias,
    ColumnMap,
    ImportedFile,
    Purchase,
    PurchaseCharge,
    PurchaseLine,
)
from costing.book.change import Change, Step, put
from costing.book.records import Quote, Supplier
from costing.edits.claims import claims_of, settled_by
from costing.supply.arriving.doubt_words import doubt_text
from costing.supply.ids import slug
from costing.supply.plan.record import Plan, PlanLine
from costing.tongue import say, say_many

MOST_KEPT = 500
"""Held lines that the file's record keeps as they came; beyond that it keeps their number."""
LONGEST_KEPT = 300


def take(plan: Plan, n: int) -> Plan:
    """A held or ignored line that somebody looked at and wants all the same. ValueError where it says too little."""

    def taken(line: PlanLine) -> PlanLine:
        if line.quote is None and line.packs is None:
            raise ValueError(
                say("This line does not say enough to be taken: {why}", why="; ".join(doubt_text(d) for d in line.why))
            )
        return replace(line, fate="sound", by_hand=True)

    return _with(plan, n, taken)


def leave(plan: Plan, n: int) -> Plan:
    """A sound line that somebody does not want yet."""
    return _with(plan, n, lambda line: replace(line, fate="held", by_hand=True) if line.fate == "sound" else line)


def deliver(plan: Plan, n: int, packs: Decimal) -> Plan:
    """How many packs of an invoice's line came. ValueError for less than none or more than were billed."""

    def came(line: PlanLine) -> PlanLine:
        if line.packs is None:
            raise ValueError(say("This line bills nothing, so nothing came of it."))
        low, high = sorted((Decimal(0), line.packs))
        if not low <= packs <= high:
            raise ValueError(say("{n} packs are billed: of those from {low} to {high} can have come", n=line.packs,
                                 low=low, high=high))  # fmt: skip
        return replace(line, delivered=packs)

    return _with(plan, n, came)


def _with(plan: Plan, n: int, change: Callable[[PlanLine], PlanLine]) -> Plan:
    if not any(line.n == n for line in plan.lines):
        raise ValueError(say("The file has no line {n}.", n=n))
    return replace(plan, lines=tuple(change(line) if line.n == n else line for line in plan.lines))


def accept(
    plan: Plan,
    book: Book,
    day: date,
    *,
    only: Iterable[int] | None = None,
    ended: Iterable[str] = (),
    past: Iterable[str] = (),
) -> Step:
    """The sound lines of a plan (``only`` those of these numbers) as one step.

    ``ended`` are goods that the list names no more and whose price ends the day before it begins. ValueError where a
    stop of the plan is not answered, and where nothing is chosen.
    """
    if plan.stops:
        raise ValueError("; ".join(doubt_text(d) for d in plan.stops))
    wanted = None if only is None else set(only)
    lines = [line for line in plan.of("sound") if wanted is None or line.n in wanted]
    gone = set(ended)
    last = [g.quote for g in plan.gone if g.good in gone]
    if not lines and not last:
        raise ValueError(say("No line is chosen, so there is nothing to take."))
    ids = _Ids(book, past)
    file = _file(plan, book, day, lines, ids)
    begins = min((q.since for line in lines if (q := line.quote) is not None), default=plan.incoming.day or day)
    changes: list[Change] = [put("file", file[0], file[1])]
    changes += _quotes(lines, book, file[0].id)
    changes += [put("quote", replace(q, until=max(q.since, begins - timedelta(days=1))), q) for q in last]
    changes += _aliases(plan, lines, book, day, ids)
    changes += _columns(plan, book, day, ids)
    bought = _purchase(plan, lines, book, day, file[0].id, ids)
    if bought is not None:
        changes.append(put("purchase", bought[0], bought[1]))
        if plan.incoming.kind == "credit":
            changes += settled_by(bought[0], bought[1], book)
        else:
            changes += claims_of(bought[0], bought[1], book, ids)
    return Step(_said(plan, book, lines, bought is not None), tuple(changes))


def _said(plan: Plan, book: Book, lines: list[PlanLine], bought: bool) -> str:
    who = book.all(Supplier).get(plan.supplier)
    name = who.name if who else plan.supplier
    prices = sum(line.quote is not None for line in lines)
    file = plan.incoming.name
    number = plan.incoming.number or file
    if plan.incoming.kind == "credit":
        return say("credit note {number} of {supplier}", number=number, supplier=name)
    if bought:
        return say_many(
            "invoice {number} of {supplier}, {n} price", "invoice {number} of {supplier}, {n} prices", prices,
            number=number, supplier=name,
        )  # fmt: skip
    return say_many(
        "{n} price of {supplier} from {file}", "{n} prices of {supplier} from {file}", prices, supplier=name, file=file
    )


class _Ids:
    """Ids that nothing has or had, each given once."""

    def __init__(self, book: Book, past: Iterable[str]) -> None:
        self._taken = {ident for _, ident in book.records} | set(past)

    def new(self, name: str, fallback: str) -> str:
        """An id for something called ``name``."""
        stem = slug(name) or fallback
        n, found = 1, stem
        while found in self._taken:
            n += 1
            found = f"{stem}-{n}"
        self._taken.add(found)
        return found


def _file(
    plan: Plan, book: Book, day: date, lines: list[PlanLine], ids: _Ids
) -> tuple[ImportedFile, ImportedFile | None]:
    """The record of the file after this, and before. Lines taken earlier stay counted as imported."""
    incoming = plan.incoming
    old = next((f for f in book.all(ImportedFile).values() if f.digest == incoming.digest), None)
    taken = {line.n for line in lines}
    held = [p for p in plan.lines if p.fate != "ignored" and p.n not in taken]
    before = old.imported if old is not None else 0
    imported = min(before + len(lines), plan.read)
    waiting = min(len(held), plan.read - imported)
    kept = tuple(_as_it_came(line) for line in held[:MOST_KEPT])
    more = len(held) - len(kept)
    file = ImportedFile(
        id=old.id if old is not None else ids.new(incoming.name, "file"),
        name=incoming.name, digest=incoming.digest, day=old.day if old is not None else day, supplier=plan.supplier,
        shape=incoming.shape, kind=incoming.kind, number=incoming.number, read=plan.read, imported=imported,
        held=waiting, ignored=plan.read - imported - waiting, held_lines=kept,
        note=say_many("{n} more line waits in the file", "{n} more lines wait in the file", more) if more else "",
    )  # fmt: skip
    return file, old


def _as_it_came(line: PlanLine) -> str:
    text = " · ".join([line.line.where, *(text for _, text in line.line.raw if text.strip())])
    return text if len(text) <= LONGEST_KEPT else text[: LONGEST_KEPT - 1] + "…"


def _quotes(lines: Iterable[PlanLine], book: Book, file: str) -> list[Change]:
    known = book.all(Quote)
    return [
        put("quote", replace(line.quote, file=file), known.get(line.quote.id))
        for line in lines
        if line.quote is not None
    ]


def _aliases(plan: Plan, lines: Iterable[PlanLine], book: Book, day: date, ids: _Ids) -> list[Change]:
    """The words of lines that somebody had to say the meaning of, or that likeness alone would not have taken."""
    known = {(a.supplier, _plain(a.text)): a for a in book.all(Alias).values()}
    changes = []
    for line in lines:
        text = line.line.name.strip()
        if not text or not line.good or line.match.how in ("code", "gtin", "alias", "words"):
            continue
        old = known.get((plan.supplier, _plain(text)))
        if old is not None and old.good == line.good:
            continue
        new = Alias(
            id=old.id if old else ids.new(f"{plan.supplier} {text}", "alias"), supplier=plan.supplier, text=text,
            good=line.good, since=day,
        )  # fmt: skip
        known[plan.supplier, _plain(text)] = new
        changes.append(put("alias", new, old))
    return changes


def _columns(plan: Plan, book: Book, day: date, ids: _Ids) -> list[Change]:
    """How the supplier's list was read, in place of what was remembered of the list with the same headings."""
    if plan.columns is None:
        return []
    headings = {use.header for use in plan.columns.uses}
    theirs = [m for m in book.all(ColumnMap).values() if m.supplier == plan.supplier]
    old = next((m for m in theirs if {use.header for use in m.columns.uses} == headings), None)
    if old is not None and old.columns == plan.columns:
        return []
    ident = old.id if old is not None else ids.new(f"{plan.supplier} columns", "columns")
    return [put("columnmap", ColumnMap(id=ident, supplier=plan.supplier, columns=plan.columns, since=day), old)]


def _purchase(
    plan: Plan, lines: list[PlanLine], book: Book, day: date, file: str, ids: _Ids
) -> tuple[Purchase, Purchase | None] | None:
    """What an invoice or a credit note posts, with what of the same file was posted before."""
    incoming = plan.incoming
    if incoming.kind not in ("invoice", "credit"):
        return None
    old = next((p for p in book.all(Purchase).values() if p.file == file), None)
    rows = {line.line.where for line in lines}
    kept = tuple(p for p in old.lines if p.row not in rows) if old is not None else ()
    charges = tuple(c for c in old.charges if c.row not in rows and c.row != WHOLE) if old is not None else ()
    house = book.house.currency if book.house else ""
    new = Purchase(
        id=old.id if old is not None else ids.new(f"{plan.supplier} {incoming.number or incoming.name}", "invoice"),
        supplier=plan.supplier, day=incoming.day or day, currency=incoming.currency or house, kind=incoming.kind,
        number=incoming.number, order=plan.order, corrects=incoming.corrects, file=file,
        lines=(*kept, *(_bought(line) for line in lines if line.good and line.packs is not None)),
        charges=(*charges, *_charges(plan, lines)),
    )  # fmt: skip
    return new, old


WHOLE = "document"
"""Where a charge stands that is of the whole document."""


def _bought(line: PlanLine) -> PurchaseLine:
    quote = line.quote or line.priced or line.old
    packs = line.packs or Decimal(0)
    if quote is None:
        raise ValueError(say("Line {where} has no pack, so it cannot be posted.", where=line.line.where))
    net = line.line.total if line.line.total is not None else quote.price * packs
    return PurchaseLine(
        good=line.good, packs=packs, content=quote.content, levels=quote.levels, price=quote.price, net=net,
        delivered=None if line.delivered in (None, packs) else line.delivered,
        quote=line.old.id if line.old is not None else "", agreed=line.agreed, ordered=line.ordered,
        row=line.line.where,
    )  # fmt: skip


def _charges(plan: Plan, lines: Iterable[PlanLine]) -> list[PurchaseCharge]:
    out = []
    for line in lines:
        arrived = line.line
        if arrived.sort == "goods":
            continue
        amount = arrived.total
        if amount is None:
            amount = (arrived.price or Decimal(0)) / arrived.base * (arrived.quantity or 1)
        out.append(
            PurchaseCharge(name=arrived.name or arrived.sort, amount=amount, sort=arrived.sort, row=arrived.where)
        )
    out += [
        PurchaseCharge(name=part.name, amount=part.amount, sort="deposit" if part.deposit else "charge", row=WHOLE)
        for part in plan.incoming.parts
    ]
    return out


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())
