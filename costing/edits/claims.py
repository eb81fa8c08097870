"""Claims: what a supplier owes the house. An invoice begins them, a credit note pays them, a hand adds or drops one."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Protocol, get_args

from costing.book.book import Book
from costing.book.buying import Claim, ClaimSort, Purchase, PurchaseLine, Settlement
from costing.book.change import Change, Step, put
from costing.book.money import digits, rounded
from costing.book.records import Good, Supplier
from costing.edits.base import currency_of, record_of, typed_price
from costing.supply.ids import free_id
from costing.tongue import say

SORTS: tuple[ClaimSort, ...] = get_args(ClaimSort)


class Ids(Protocol):
    """Gives ids that nothing has or had."""

    def new(self, name: str, fallback: str) -> str:
        """An id for something called ``name``."""


def claims_of(bought: Purchase, before: Purchase | None, book: Book, ids: Ids) -> list[Change]:
    """What an invoice leaves to be claimed: billed above the price agreed, and billed but not delivered. Lines that
    were posted before keep the claims they have."""
    posted = {line.row for line in before.lines} if before is not None else set()
    changes = []
    for line in bought.lines:
        if line.row in posted:
            continue
        for sort, amount in over(line, bought.currency):
            claim = Claim(
                id=ids.new(f"{bought.id} {line.good} {sort}", "claim"), supplier=bought.supplier, day=bought.day,
                sort=sort, amount=amount, currency=bought.currency, purchase=bought.id, good=line.good,
                note=line.row,
            )  # fmt: skip
            changes.append(put("claim", claim))
    return changes


def over(line: PurchaseLine, currency: str) -> list[tuple[ClaimSort, Decimal]]:
    """(why, money) that a line bills beyond what was agreed and what came; packs that did not come are claimed at the
    price billed, the price of the others against the agreed one."""
    out: list[tuple[ClaimSort, Decimal]] = []
    places = digits(currency)
    short = line.packs - line.received
    if short > 0 and (amount := rounded(short * line.price, places)) > 0:
        out.append(("quantity", amount))
    if line.agreed is not None and line.price > line.agreed and line.received > 0:
        amount = rounded((line.price - line.agreed) * line.received, places)
        if amount > 0:
            out.append(("price", amount))
    return out


def settled_by(credit: Purchase, before: Purchase | None, book: Book) -> list[Change]:
    """Open claims that a credit note pays, the same good's first, then the same invoice's, the oldest first. What was
    settled by an earlier posting of the same note is settled anew."""
    goods = [(line.good, -line.net) for line in credit.lines if line.net < 0]
    goods += [("", -c.amount) for c in credit.charges if c.amount < 0 and c.sort in ("charge", "rebate")]
    corrected = {
        p.id for p in book.all(Purchase).values()
        if p.supplier == credit.supplier and credit.corrects and p.number == credit.corrects
    }  # fmt: skip
    claims = {
        c.id: replace(c, settled=tuple(s for s in c.settled if s.purchase != credit.id))
        for c in book.all(Claim).values()
        if c.supplier == credit.supplier and c.currency == credit.currency and not c.dropped
    }
    for good, amount in goods:
        rest = amount
        for claim in sorted(
            claims.values(),
            key=lambda c, g=good: (c.good != g, c.purchase not in corrected, c.day, c.id),  # type: ignore[misc]
        ):
            if rest <= 0:
                break
            fits = claim.good == good if good else claim.purchase in corrected or claim.sort == "rebate"
            if not fits or claim.open <= 0:
                continue
            paid = min(rest, claim.open)
            rest -= paid
            done = (*claim.settled, Settlement(amount=paid, day=credit.day, purchase=credit.id))
            claims[claim.id] = replace(claim, settled=done)
    old = book.all(Claim)
    return [put("claim", claim, old[claim.id]) for claim in claims.values() if claim != old[claim.id]]


def new_claim(
    book: Book, supplier: str, sort: ClaimSort, amount: str, day: date, good: str = "", note: str = "",
    past: Iterable[str] = (),
) -> Step:  # fmt: skip
    """A claim that no invoice shows: something sent back, a broken case. ValueError for an amount that cannot be."""
    who = record_of(book, Supplier, supplier)
    if good:
        record_of(book, Good, good)
    if sort not in SORTS:
        raise ValueError(say("“{sort}” is no reason for a claim", sort=sort))
    currency = currency_of(book)
    money = typed_price(amount, currency)
    if money <= 0:
        raise ValueError(say("a claim must be of more than nothing, and {amount} is not", amount=amount))
    claim = Claim(
        id=free_id(f"{supplier} {sort} {day.isoformat()}", book, past, fallback="claim"), supplier=supplier, day=day,
        sort=sort, amount=money, currency=currency, good=good, note=note.strip(),
    )  # fmt: skip
    return Step(say("claim of {amount} on {supplier}", amount=money, supplier=who.name), (put("claim", claim),))


def settle(book: Book, ident: str, amount: str, day: date) -> Step:
    """Money that came for a claim otherwise than by a credit note. ValueError for more than is open."""
    claim = record_of(book, Claim, ident)
    money = typed_price(amount, claim.currency)
    if not 0 < money <= claim.open:
        raise ValueError(say("{open} is open: {amount} cannot have come for it", open=claim.open, amount=amount))
    done = replace(claim, settled=(*claim.settled, Settlement(amount=money, day=day)))
    return Step(say("{amount} came for a claim", amount=money), (put("claim", done, claim),))


def drop(book: Book, ident: str) -> Step:
    """Let a claim go, or take it up again."""
    claim = record_of(book, Claim, ident)
    said = say("take a claim up again") if claim.dropped else say("let a claim of {amount} drop", amount=claim.open)
    return Step(said, (put("claim", replace(claim, dropped=not claim.dropped), claim),))


def set_note(book: Book, ident: str, note: str) -> Step | None:
    """What to say of a claim."""
    claim = record_of(book, Claim, ident)
    if note.strip() == claim.note:
        return None
    return Step(say("note of a claim"), (put("claim", replace(claim, note=note.strip()), claim),))
