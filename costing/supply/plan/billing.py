"""What an invoice bills of a line, in packs of the good, against what was agreed and what was ordered."""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from math import prod

from costing.book.book import Book
from costing.book.buying import Claim, ImportedFile, Order, Purchase
from costing.book.money import digits
from costing.book.records import Quote, Supplier
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.line import Incoming, PriceLine
from costing.supply.plan.known import Measured
from costing.supply.plan.priced import Priced

DIFFERENCE = Decimal("0.5")
"""A credit below this share of the agreed price is a difference of price; above it, packs that go back."""


def packs_billed(line: PriceLine, good: str, found: Priced, measured: Measured) -> Decimal | None:
    """Packs of ``found`` that a line bills; None where it bills none. A quantity in kilograms, litres or single
    pieces is told in packs, a unit that is so many of them (dozen, hectolitre) first in those."""
    if line.quantity is None:
        return None
    quantity = line.quantity * _scale(line.doubts)
    if line.per == "each" or found.by_one:
        return quantity / prod(found.levels)
    if line.per in ("kg", "l"):
        held = measured.held(good, found.levels, found.content)
        return quantity / held if held else quantity
    return quantity


def paid_price(line: PriceLine, price: Decimal, packs: Decimal) -> Decimal:
    """What a pack costs after the line's own allowances; a charge on it is another matter than its price."""
    off = sum((part.amount for part in line.parts if part.amount < 0 and not part.deposit), Decimal(0))
    return price + off / packs if packs > 0 else price


def _scale(doubts: Iterable[Doubt]) -> Decimal:
    for said in doubts:
        if said.code == "unit-scaled":
            return Decimal(dict(said.values)["factor"])
    return Decimal(1)


def agreed_price(
    book: Book, quotes: Iterable[Quote], good: str, found: Priced, measured: Measured, currency: str
) -> Decimal | None:
    """What the pack should cost, without tax, in the document's currency: by the latest quote that no open claim
    disputes. None where nothing was agreed, or no rate leads to the currency."""
    disputed = {
        (bought.file, claim.good)
        for claim in book.all(Claim).values()
        if claim.sort == "price"
        and not claim.dropped
        and (bought := book.all(Purchase).get(claim.purchase)) is not None
    }
    held = measured.held(good, found.levels, found.content)
    for quote in quotes:
        if quote.file and (quote.file, good) in disputed:
            continue
        net = measured.net(quote)
        if net is None or held is None:
            continue
        worth = worth_of(measured, currency)
        if worth is None:
            return None
        if quote.currency == currency and quote.tax != "inc" and (quote.levels, quote.content) == (
            found.levels, found.content,
        ):  # fmt: skip
            return quote.price  # the very figure, and not one that went through a unit price
        return (net * held / worth).quantize(Decimal("1e-6"))
    return None


def worth_of(measured: Measured, currency: str) -> Decimal | None:
    """The house's money for one of a currency; None where that is not known."""
    house = measured.view.book.house
    if house is None or not currency or currency == house.currency:
        return Decimal(1)
    rate = measured.view.rates.get(currency)
    return rate.worth if rate is not None else None


def order_of(incoming: Incoming, book: Book, who: Supplier | None, day: object) -> Order | None:
    """The order that an invoice answers to: the one it names, else the supplier's last one that no invoice answered."""
    if incoming.kind != "invoice" or who is None:
        return None
    answered = {p.order for p in book.all(Purchase).values() if p.order and not _same_file(p, incoming, book)}
    theirs = [o for o in book.all(Order).values() if o.supplier == who.id and o.day <= (incoming.day or day)]  # type: ignore[operator]
    if incoming.order:
        return next((o for o in theirs if o.number == incoming.order), None)
    return max((o for o in theirs if o.id not in answered), key=lambda o: (o.day, o.id), default=None)


def _same_file(bought: Purchase, incoming: Incoming, book: Book) -> bool:
    file: Mapping[str, ImportedFile] = book.all(ImportedFile)
    return bought.file in file and file[bought.file].digest == incoming.digest


def ordered_notes(packs: Decimal, ordered: Decimal | None, order: Order | None) -> Iterable[Doubt]:
    """Where an invoice and the order differ."""
    if order is None:
        return
    if ordered is None:
        yield doubt("not-ordered", "quantity", order=order.number or order.day.isoformat())
    elif ordered != packs:
        yield doubt("ordered-other", "quantity", ordered=f"{ordered.normalize():f}", packs=f"{packs.normalize():f}")


def claim_note(packs: Decimal, price: Decimal, agreed: Decimal | None, currency: str) -> Iterable[Doubt]:
    """What will be claimed when the line is taken."""
    if agreed is not None and packs > 0 and price > agreed:
        over = round((price - agreed) * packs, digits(currency))
        if over > 0:
            yield doubt("will-claim", "price", amount=over, currency=currency, agreed=f"{agreed.normalize():f}")
