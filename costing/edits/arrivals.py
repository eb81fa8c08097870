"""Accepting what arrived: one step with every price, what was delivered, what is claimed, and the file it all came in.

A plan is changed by hand before that: a held line taken, a sound one left waiting, packs that did not come. Accepting a
part of a file is a step of its own; the file's record then counts what still waits.
"""

from collections.abc import Callable, Iterable, Mapping
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
from costing.supply.arriving.doubt import doubt
from costing.supply.arriving.doubt_words import doubt_text, where_text
from costing.supply.ids import slug
from costing.supply.plan.billing import DIFFERENCE
from costing.supply.plan.record import Plan, PlanLine
from costing.tongue import say, say_many

MOST_KEPT = 500
"""Held lines that the file's record keeps as they came; beyond that it keeps their number."""
LONGEST_KEPT = 300


def take(plan: Plan, n: int) -> Plan:
    """A held or ignored line that somebody looked at and wants all the same. ValueError where it says too little."""

    billed = plan.incoming.kind in ("invoice", "credit")

    def taken(line: PlanLine) -> PlanLine:
        if line.quote is None and line.packs is None and not (billed and line.line.total is not None and not line.good):
            raise ValueError(
                say("This line does not say enough to be taken: {why}", why="; ".join(doubt_text(d) for d in line.why))
            )
        notes = line.notes if line.good or line.line.sort != "goods" else (*line.notes, doubt("as-charge"))
        return replace(line, fate="sound", by_hand=True, notes=notes)

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
        if plan.incoming.kind == "invoice":
            changes += claims_of(bought[0], bought[1], book, ids)
        changes += settled_by(bought[0], book)
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
    """The record of the file after this, and before. A line counts as imported once, however often it is taken."""
    incoming = plan.incoming
    old = next((f for f in book.all(ImportedFile).values() if f.digest == incoming.digest), None)
    taken = numbers_of(old.taken if old is not None else "") | {line.n for line in lines}
    held = [p for p in plan.lines if p.fate != "ignored" and p.n not in taken]
    kept = tuple(_as_it_came(line) for line in held[:MOST_KEPT])
    more = len(held) - len(kept)
    file = ImportedFile(
        id=old.id if old is not None else ids.new(incoming.name, "file"),
        name=incoming.name, digest=incoming.digest, day=old.day if old is not None else day, supplier=plan.supplier,
        shape=incoming.shape, kind=incoming.kind, number=incoming.number, read=plan.read, imported=len(taken),
        held=len(held), ignored=plan.read - len(taken) - len(held), taken=numbers_text(taken), held_lines=kept,
        note=say_many("{n} more line waits in the file", "{n} more lines wait in the file", more) if more else "",
    )  # fmt: skip
    return file, old


def numbers_of(text: str) -> set[int]:
    """The numbers of "1-3,7". What is none of them is passed over."""
    out: set[int] = set()
    for part in text.split(","):
        first, _, last = part.partition("-")
        if first.strip().isdecimal() and (last or first).strip().isdecimal():
            out |= set(range(int(first), int(last or first) + 1))
    return out


def numbers_text(numbers: Iterable[int]) -> str:
    """The shortest text of some numbers: "1-3,7"."""
    spans: list[list[int]] = []
    for n in sorted(numbers):
        if spans and spans[-1][1] == n - 1:
            spans[-1][1] = n
        else:
            spans.append([n, n])
    return ",".join(str(a) if a == b else f"{a}-{b}" for a, b in spans)


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
    """What an invoice or a credit note posts, with what of the same file was posted before. What was agreed and ordered
    when a line was first posted stays with it."""
    incoming = plan.incoming
    if incoming.kind not in ("invoice", "credit"):
        return None
    old = next((p for p in book.all(Purchase).values() if p.file == file), None)
    rows = _rows(plan)
    again = {rows[line.n] for line in lines}
    before = {p.row: p for p in old.lines} if old is not None else {}
    kept = tuple(p for p in before.values() if p.row not in again)
    charges = tuple(c for c in old.charges if c.row.partition(PART)[0] not in again and c.row != WHOLE) if old else ()
    house = book.house.currency if book.house else ""
    bought = [_bought(line, rows[line.n], before) for line in lines if line.good and line.packs is not None]
    new = Purchase(
        id=old.id if old is not None else ids.new(f"{plan.supplier} {incoming.number or incoming.name}", "invoice"),
        supplier=plan.supplier, day=incoming.day or day, currency=incoming.currency or house, kind=incoming.kind,
        number=incoming.number, order=plan.order, corrects=incoming.corrects, file=file, lines=(*kept, *bought),
        charges=(*charges, *_charges(plan, lines, rows)),
    )  # fmt: skip
    return new, old


WHOLE, PART = "document", " · "
"""Where a charge stands that is of the whole document; what parts a line from the name of a charge on it."""


def _rows(plan: Plan) -> dict[int, str]:
    """Where each line stands, told apart where two of them bear the same number in the document."""
    seen: dict[str, int] = {}
    out: dict[int, str] = {}
    for line in plan.lines:
        where = line.line.where
        seen[where] = seen.get(where, 0) + 1
        out[line.n] = where if seen[where] == 1 else f"{where} ({seen[where]})"
    return out


def _bought(line: PlanLine, row: str, before: Mapping[str, PurchaseLine]) -> PurchaseLine:
    quote = line.quote or line.priced or line.old
    packs = line.packs or Decimal(0)
    if quote is None:
        raise ValueError(say("Line {where} has no pack, so it cannot be posted.", where=where_text(line.line.where)))
    deposits = sum((part.amount for part in line.line.parts if part.deposit), Decimal(0))
    net = (line.line.total - deposits) if line.line.total is not None else quote.price * packs
    price = quote.price
    if packs < 0 and line.agreed and abs(net / packs) < line.agreed * DIFFERENCE:
        packs = Decimal(0)  # a difference of price: nothing went back
    posted = before.get(row)
    return PurchaseLine(
        good=line.good, packs=packs, content=quote.content, levels=quote.levels, price=price, net=net,
        delivered=None if line.delivered in (None, line.packs) else line.delivered,
        quote=posted.quote if posted is not None else line.old.id if line.old is not None else "",
        agreed=posted.agreed if posted is not None else line.agreed,
        ordered=posted.ordered if posted is not None else line.ordered, row=row,
    )  # fmt: skip


def _charges(plan: Plan, lines: Iterable[PlanLine], rows: Mapping[int, str]) -> list[PurchaseCharge]:
    out = []
    for line in lines:
        arrived, row = line.line, rows[line.n]
        if arrived.sort != "goods" or not line.good:
            amount = arrived.total
            if amount is None:
                amount = (arrived.price or Decimal(0)) / arrived.base * (arrived.quantity or 1)
            sort = "charge" if arrived.sort == "goods" else arrived.sort
            out.append(PurchaseCharge(name=arrived.name or sort, amount=amount, sort=sort, row=row))
        out += [
            PurchaseCharge(name=part.name, amount=part.amount, sort="deposit", row=f"{row}{PART}{part.name}")
            for part in arrived.parts
            if part.deposit
        ]
    out += [
        PurchaseCharge(name=part.name, amount=part.amount, sort="deposit" if part.deposit else "charge", row=WHOLE)
        for part in plan.incoming.parts
    ]
    return out


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())
