"""A block copied from a spreadsheet as quotes: each line is taken, held back with a reason, or ignored; they add up.

Nothing is guessed: a name that is merely alike, a price that can be read in two ways, one that jumps, and a pack that
does not fit its good are held for somebody to look at.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Literal

from costing.book.book import Book
from costing.book.change import Change, Step, put
from costing.book.records import Good, Quote, Supplier
from costing.edits.base import typed_price
from costing.ledger.unit import Unbridged, amount_in_base, unit_of_good
from costing.supply import candidates, catalogue, choose
from costing.supply.ids import free_id
from costing.supply.small import read_pack
from costing.tongue import say, say_many

Part = Literal["name", "pack", "price", "supplier", "since", "code"]
ORDER: tuple[Part, ...] = ("name", "pack", "price", "supplier", "since")
"""What columns mean where no heading says."""
HEADINGS: dict[str, Part] = {
    "name": "name", "item": "name", "article": "name", "product": "name", "ingredient": "name", "description": "name",
    "artikel": "name", "bezeichnung": "name", "zutat": "name",
    "pack": "pack", "size": "pack", "unit": "pack", "packing": "pack", "gebinde": "pack", "einheit": "pack",
    "price": "price", "cost": "price", "amount": "price", "preis": "price", "net price": "price",
    "supplier": "supplier", "vendor": "supplier", "lieferant": "supplier",
    "since": "since", "date": "since", "from": "since", "valid from": "since", "ab": "since", "datum": "since",
    "code": "code", "sku": "code", "no": "code", "nr": "code",
}  # fmt: skip
LOW, HIGH = Decimal("0.5"), Decimal(2)
"""A price a base unit outside this ratio to the last one is held: a slipped decimal or another pack."""
MOST = 5_000


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockLine:
    """One line: as it came, what it was taken as, and why it is held or ignored. ``quote`` is what it would add."""

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


@dataclass(frozen=True, slots=True)
class BlockPlan:
    """Every line of the block in order."""

    lines: tuple[BlockLine, ...]

    def count(self, fate: str) -> int:
        """Lines of one fate."""
        return sum(line.fate == fate for line in self.lines)


def read_block(text: str, book: Book, day: date, past: Iterable[str] = ()) -> BlockPlan:
    """Read a block of lines with tabs (or semicolons) between cells. ValueError for more than 5,000 lines."""
    rows = text.splitlines()
    if len(rows) > MOST:
        raise ValueError(say("{n} lines at once are too many: at most {most}", n=len(rows), most=MOST))
    split = [[cell.strip() for cell in row.split("\t" if "\t" in row else ";")] for row in rows]
    columns, head = _columns(split)
    taken = {ident for _, ident in book.records} | set(past)
    out: list[BlockLine] = []
    seen: dict[tuple[str, str, date], int] = {}
    for n, cells in enumerate(split, 1):
        line = BlockLine(n=n, text=" · ".join(cell for cell in cells if cell))
        if not any(cells):
            out.append(replace(line, fate="ignored", why=say("it is empty")))
            continue
        if n - 1 == head:
            out.append(replace(line, fate="ignored", why=say("it is the heading")))
            continue
        found = _line(line, dict(zip(columns, cells, strict=False)), book, day, taken)
        quote = found.quote
        if quote is not None:
            key = quote.good, quote.supplier, quote.since
            if key in seen:
                found = replace(found, fate="held", quote=None, why=say("line {n} is of the same good", n=seen[key]))
            else:
                seen[key] = n
                taken.add(quote.id)
        out.append(found)
    return BlockPlan(tuple(out))


def step_of(plan: BlockPlan, book: Book) -> Step | None:
    """The taken lines as one step; None where there is none."""
    changes: list[Change] = []
    for line in plan.lines:
        if line.fate == "taken" and line.quote is not None:
            old = book.all(Quote).get(line.quote.id)
            changes.append(put("quote", line.quote, old))
    if not changes:
        return None
    return Step(say_many("paste {n} price", "paste {n} prices", len(changes)), tuple(changes))


def take(line: BlockLine) -> BlockLine:
    """A held line that somebody looked at and wants all the same. ValueError where it says too little."""
    if line.quote is None:
        raise ValueError(say("this line does not say enough to be taken: {why}", why=line.why))
    return replace(line, fate="taken")


def _columns(split: Sequence[Sequence[str]]) -> tuple[tuple[Part | str, ...], int]:
    """(what each column means, which line is the heading or -1)."""
    for n, cells in enumerate(split[:3]):
        named = [HEADINGS.get(cell.casefold().strip(" .:*"), "") for cell in cells]
        if "name" in named and "price" in named:
            return tuple(part or f"other {m}" for m, part in enumerate(named)), n
    return ORDER, -1


def _line(line: BlockLine, cells: dict[str, str], book: Book, day: date, taken: set[str]) -> BlockLine:
    name = cells.get("name", "")
    goods = {g.id: g.name for g in book.all(Good).values()}
    source, doubts = choose(candidates(name, catalogue(goods))) if name else (None, ())
    line = replace(line, name=name, pack=cells.get("pack", ""))
    if source is None:
        return replace(line, why=say("no ingredient of the book is called “{name}”", name=name))
    if doubts:
        like = goods[source]
        return replace(line, good=source, why=say("the name is only like {name}: type the whole name", name=like))
    line = replace(line, good=source)
    try:
        price = typed_price(cells.get("price", ""))
        since = _day(cells.get("since", ""), day)
        supplier = _supplier(cells.get("supplier", ""), book)
    except ValueError as error:
        return replace(line, why=str(error))
    line = replace(line, price=price, since=since)
    old = _last(book, source, supplier, since)
    try:
        if line.pack:
            levels, content = read_pack(line.pack)
        elif old is not None:
            levels, content = old.levels, old.content
        else:
            return replace(line, why=say("it names no pack, and there is no quote to take one from"))
    except ValueError as error:
        return replace(line, why=str(error))
    quote = Quote(
        id=free_id(f"{source} {since.isoformat()}", book, taken, fallback="quote"), good=source,
        supplier=supplier or (old.supplier if old else ""), levels=levels, content=content, price=price,
        currency=book.house.currency if book.house else (old.currency if old else ""), since=since,
        tax=old.tax if old else "ex", tax_rate=old.tax_rate if old else None, code=cells.get("code", ""),
        source=say("pasted"),
    )  # fmt: skip
    same = next(
        (q for q in book.all(Quote).values()
         if (q.good, q.supplier, q.since) == (source, quote.supplier, since)), None)  # fmt: skip
    if same is not None:
        quote = replace(quote, id=same.id)
    pack = " x ".join([*map(str, levels), content.text])
    line = replace(line, quote=quote, before=old.price if old else None, pack=pack)
    return _judged(line, quote, old, book)


def _judged(line: BlockLine, quote: Quote, old: Quote | None, book: Book) -> BlockLine:
    """Taken, or held where the pack does not fit or the price jumps."""
    good = book.all(Good)[quote.good]
    measures = book.on(quote.since).measures
    unit, _ = unit_of_good(good, measures)

    def per_base(q: Quote) -> Decimal | None:
        held = Decimal(repr(amount_in_base(q.content, unit, measures).value))
        for level in q.levels:
            held *= level
        return q.price / held if held > 0 else None

    try:
        now, before = per_base(quote), per_base(old) if old is not None else None
    except Unbridged:
        why = say("a pack of {pack} does not fit {good}", pack=line.pack, good=good.name)
        return replace(line, quote=None, why=why)
    if old is not None and quote.price == old.price and quote.content == old.content and quote.levels == old.levels:
        return replace(line, fate="ignored", quote=None, why=say("it is the price there is"))
    if now is not None and before and not LOW <= now / before <= HIGH:
        ratio = f"{now / before:.2g}"
        return replace(line, why=say("the price a unit is {ratio} times the last one", ratio=ratio))
    return replace(line, fate="taken")


def _last(book: Book, good: str, supplier: str, since: date) -> Quote | None:
    """The quote that stood before: of this supplier, or else of whoever's costs it."""
    offers = book.on(since).offers(good)
    return next((q for q in offers if q.supplier == supplier), next(iter(offers), None))


def _supplier(text: str, book: Book) -> str:
    if not text:
        return ""
    found = [s.id for s in book.all(Supplier).values() if s.name.casefold() == text.casefold()]
    if len(found) != 1:
        raise ValueError(say("no supplier of the book is called “{name}”", name=text))
    return found[0]


def _day(text: str, day: date) -> date:
    if not text:
        return day
    try:
        if "." in text:
            d, m, y = (int(part) for part in text.rstrip(".").split("."))
            return date(y if y > 99 else 2000 + y, m, d)
        return date.fromisoformat(text)
    except ValueError:
        said = say("“{text}” is not a day that can be read in one way: write 2026-11-28", text=text)
        raise ValueError(said) from None
