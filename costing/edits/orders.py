"""Orders as they were given, so that an invoice can be held against them; taking back what was posted or confirmed."""

import re
from collections.abc import Iterable
from dataclasses import replace
from datetime import date

from costing.book.book import Book
from costing.book.buying import Alias, Claim, ColumnMap, Order, OrderLine, Purchase
from costing.book.change import Change, Step, put
from costing.book.records import Good, Supplier
from costing.edits.base import record_of
from costing.supply.ids import free_id
from costing.supply.packs.numbers import parse_number
from costing.tongue import say

_LINE = re.compile(r"^(?:(?P<first>[0-9][0-9.,]*)\s*(?:x\s+)?)?(?P<name>.*?\S)(?:[\s:=;]+(?P<last>[0-9][0-9.,]*))?$")


def new_order(
    book: Book, supplier: str, day: date, text: str, number: str = "", past: Iterable[str] = ()
) -> Step:  # fmt: skip
    """What was asked of a supplier: one ingredient a line with its packs, before or behind it ("2 White rum 40 %",
    "Lime: 3"). The price agreed is the supplier's quote of the day. ValueError names the line that cannot be read."""
    who = record_of(book, Supplier, supplier)
    lines = read_order(book, supplier, day, text)
    if not lines:
        raise ValueError(say("write one ingredient a line, and how many packs: 2 White rum"))
    for order in book.all(Order).values():
        if number.strip() and (order.supplier, order.number) == (supplier, number.strip()):
            raise ValueError(say("the order {number} of {supplier} is there already", number=number.strip(),
                                 supplier=who.name))  # fmt: skip
    ident = free_id(f"{supplier} {number or day.isoformat()}", book, past, fallback="order")
    new = Order(id=ident, supplier=supplier, day=day, lines=lines, number=number.strip())
    return Step(say("order from {supplier}", supplier=who.name), (put("order", new),))


def read_order(book: Book, supplier: str, day: date, text: str) -> tuple[OrderLine, ...]:
    """The lines of an order. ValueError for a name that no ingredient has, and for a line without packs."""
    goods: dict[str, Good] = {}
    for good in book.all(Good).values():
        goods[_plain(good.name)] = goods[good.id.casefold()] = good
    view = book.on(day)
    out = []
    for n, row in enumerate(text.splitlines(), 1):
        line = row.strip()
        if not line:
            continue
        found = _LINE.match(line)
        whole = goods.get(_plain(line))
        if found is None or whole is not None:
            raise ValueError(say("line {n}, “{line}”: write how many packs, like 2 White rum", n=n, line=line))
        ordered, packs = _good(goods, found)
        if ordered is None or packs is None:
            raise ValueError(say("line {n}, “{line}”: no ingredient of the book is called so, or it names no packs",
                                 n=n, line=line))  # fmt: skip
        quote = next((q for q in view.offers(ordered.id) if q.supplier == supplier), None)
        out.append(
            OrderLine(
                good=ordered.id, packs=parse_number(packs), levels=quote.levels if quote else (),
                content=quote.content if quote else None, price=quote.price if quote else None,
            )
        )  # fmt: skip
    return tuple(out)


def _good(goods: dict[str, Good], found: re.Match[str]) -> tuple[Good | None, str | None]:
    """(the ingredient, its packs): a number that belongs to the name stays with it ("Rum 42 % 2")."""
    first, name, last = found["first"], found["name"], found["last"]
    for packs, called in ((first, f"{name} {last}" if last else name), (last, f"{first} {name}" if first else name)):
        good = goods.get(_plain(called))
        if packs is not None and good is not None:
            return good, packs
    return None, None


def remove_order(book: Book, ident: str) -> Step:
    """Take an order out."""
    old = record_of(book, Order, ident)
    return Step(say("remove the order of {day}", day=old.day.isoformat()), (Change("order", ident, old, None),))


def remove_purchase(book: Book, ident: str) -> Step:
    """Take back an invoice or credit note that was posted, with the claims it left and what it settled; the prices that
    it dated stay, as the history of what was billed. ValueError where other credits have paid its claims."""
    old = record_of(book, Purchase, ident)
    changes: list[Change] = [Change("purchase", ident, old, None)]
    for claim in book.all(Claim).values():
        if claim.purchase == ident:
            if claim.settled:
                raise ValueError(
                    say("money came for a claim on {number}: take that out first", number=old.number or ident)
                )
            changes.append(Change("claim", claim.id, claim, None))
        elif any(s.purchase == ident for s in claim.settled):
            kept = tuple(s for s in claim.settled if s.purchase != ident)
            changes.append(put("claim", replace(claim, settled=kept), claim))
    return Step(say("take back {number} as posted", number=old.number or ident), tuple(changes))


def remove_alias(book: Book, ident: str) -> Step:
    """Forget what a supplier's words mean; the next file asks again."""
    old = record_of(book, Alias, ident)
    return Step(say("forget what “{text}” means", text=old.text), (Change("alias", ident, old, None),))


def remove_columns(book: Book, ident: str) -> Step:
    """Forget how a supplier's list is read; the next one is guessed again."""
    old = record_of(book, ColumnMap, ident)
    said = say("forget how the list of {supplier} is read", supplier=old.supplier)
    return Step(said, (Change("columnmap", ident, old, None),))


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())
