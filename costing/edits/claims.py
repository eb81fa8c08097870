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
    price paid, the price of the others against the agreed one. What was taken off the line was not paid."""
    out: list[tuple[ClaimSort, Decimal]] = []
    places = digits(currency)
    if line.packs <= 0:
        return out
    paid = min(line.price, line.net / line.packs)
    short = line.packs - line.received
    if short > 0 and (amount := rounded(short * paid, places)) > 0:
        out.append(("quantity", amount))
    if line.agreed is not None and paid > line.agreed and line.received > 0:
        amount = rounded((paid - line.agreed) * line.received, places)
        if amount > 0:
            out.append(("price", amount))
    return out


def settled_by(credit: Purchase, book: Book) -> list[Change]:
    """Open claims that a credit note, or a corrected invoice, pays. A difference of price pays claims on the price of
    the same good, packs that went back those on packs, and money without an ingredient those on the invoice that it
    corrects; the oldest first. What an earlier posting of the same document settled is settled anew."""
    corrected = {
        p.id for p in book.all(Purchase).values()
        if p.supplier == credit.supplier and credit.corrects and p.number == credit.corrects
    }  # fmt: skip
    claims = {
        c.id: replace(c, settled=tuple(s for s in c.settled if s.purchase != credit.id))
        for c in book.all(Claim).values()
        if c.supplier == credit.supplier and c.currency == credit.currency and not c.dropped
    }
    for good, sorts, amount in _credited(credit, bool(corrected)):
        rest = amount
        for claim in _in_turn(claims.values(), good, corrected):
            if good:
                fits = claim.good == good and claim.sort in sorts
            else:
                fits = claim.purchase in corrected if corrected else claim.sort == "rebate"
            if rest <= 0 or not fits or claim.open <= 0:
                continue
            paid = min(rest, claim.open)
            rest -= paid
            done = (*claim.settled, Settlement(amount=paid, day=credit.day, purchase=credit.id))
            claims[claim.id] = replace(claim, settled=done)
    old = book.all(Claim)
    return [put("claim", claim, old[claim.id]) for claim in claims.values() if claim != old[claim.id]]


def _credited(credit: Purchase, corrects: bool) -> list[tuple[str, frozenset[ClaimSort], Decimal]]:
    """(good, the claims it may pay, money) of what a document gives back, all its lines of a good together."""
    net: dict[str, Decimal] = {}
    packs: dict[str, Decimal] = {}
    for line in credit.lines:
        net[line.good] = net.get(line.good, Decimal(0)) + line.net
        packs[line.good] = packs.get(line.good, Decimal(0)) + line.packs
    out = [
        (good, PRICES if packs[good] >= 0 else PACKS, -amount)
        for good, amount in net.items()
        if amount < 0
    ]  # fmt: skip
    if corrects or credit.kind == "credit":
        out += [
            ("", frozenset(SORTS), -c.amount) for c in credit.charges if c.amount < 0 and c.sort in ("charge", "rebate")
        ]
    return out


def _in_turn(claims: Iterable[Claim], good: str, corrected: set[str]) -> list[Claim]:
    """Claims of the same good first, then those of the invoice that is corrected, the oldest first."""

    def turn(claim: Claim) -> tuple[bool, bool, date, str]:
        return claim.good != good, claim.purchase not in corrected, claim.day, claim.id

    return sorted(claims, key=turn)


PRICES: frozenset[ClaimSort] = frozenset({"price", "other"})
PACKS: frozenset[ClaimSort] = frozenset({"quantity", "credit", "other"})
"""Claims that a difference of price pays, and that packs which went back pay."""


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
