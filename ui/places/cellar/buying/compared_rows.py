"""Suppliers of one good side by side: a row for each quote in force, with every part of what it comes to."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from costing.book.records import BaseUnit
from costing.edits.quotes import pack_text
from costing.report.phrases import unit_word
from costing.supply.buying.record import PARTS, Landed
from costing.supply.buying.words import PART_WORDS, USABLE_WORDS
from costing.tongue import Words, capital, say, say_many, word
from ui.document import Figures
from ui.format import UNKNOWN, Format, isolate, own
from ui.models.table import Column
from ui.where import said_of

PART_SAYS: Words = {
    "asked": "every pack that comes, at the price of a single one",
    "break_off": "what a price by number of packs takes off",
    "free_off": "what packs that come free take off",
    "tax": "tax that is not recovered; below nothing, tax in the price that is",
    "charges": "charges on every pack, such as duty",
    "freight": "this good's share of the order's freight, by value",
}


@dataclass(frozen=True, slots=True)
class OfferRow:
    """One quote. ``least`` is the cheapest usable unit of all that count, ``alone`` whether no other counts; ``costs``
    says in words why it costs the good today, if it does."""

    offer: Landed
    supplier: str
    base: BaseUnit
    currency: str
    least: Decimal | None
    alone: bool
    costs: str
    said: str

    @property
    def key(self) -> str:
        """The quote's id."""
        return self.offer.quote.id

    @property
    def over(self) -> Decimal | None:
        """Money a usable unit above the cheapest; None where it cannot count."""
        if self.offer.per_unit is None or self.least is None:
            return None
        return self.offer.per_unit - self.least


def offer_rows(figures: Figures, good: str, offers: Sequence[Landed]) -> list[OfferRow]:
    """A row each, in the order they come: the cheapest first."""
    view, counting = figures.view, [o.per_unit for o in offers if o.per_unit is not None]
    record, priced = view.goods[good], figures.reckoning.prices.get(good)
    currency = view.book.house.currency if view.book.house is not None else ""
    out = []
    for offer in offers:
        supplier = view.suppliers.get(offer.supplier)
        costs = ""
        if record.preferred and record.preferred == offer.supplier:
            costs = say("chosen")
        elif priced is not None and priced.quote.id == offer.quote.id:
            costs = say("the latest quote")
        said = " ".join([*_more(offer), *(said_of(p, figures.names) for p in offer.problems)])
        name = supplier.name if supplier is not None else offer.supplier or say("no supplier")
        out.append(
            OfferRow(offer, name, record.base, currency, min(counting, default=None), len(counting) == 1, costs, said)
        )
    return out


def _more(offer: Landed) -> Iterator[str]:
    """Why there are more packs than the need asks for."""
    bought = offer.bought
    if bought is not None and bought.packs > bought.least:
        yield say_many("{n} pack would be enough; the least that is sold or ordered asks for more.",
                       "{n} packs would be enough; the least that is sold or ordered asks for more.",
                       bought.least)  # fmt: skip


def offer_columns(form: Format) -> Sequence[Column[OfferRow]]:
    """What is compared."""
    return (
        Column[OfferRow]("supplier", say("Supplier"), lambda r: r.supplier),
        Column[OfferRow]("unit", say("Usable, landed"), lambda r: _unit(r, form), True, lambda r: r.offer.per_unit,
                         strong=is_cheapest, mark=lambda r: "assumed" if _assumed(r) else "",
                         about=say("Cost of a unit that can be used, with all that it takes to have it here")),
        Column[OfferRow]("verdict", say("Beside the cheapest"), lambda r: verdict(r, form), sort=lambda r: r.over,
                         tip=lambda r: r.said),
        Column[OfferRow]("packs", say("Packs"), packs_text, tip=lambda r: r.said,
                         sort=lambda r: r.offer.bought and r.offer.bought.packs),
        Column[OfferRow]("price", say("Price of a pack"), lambda r: _pack_price(r, form), True,
                         lambda r: _per_pack(r.offer), tip=lambda r: _rate(r, form)),
        *_parts(form),
        Column[OfferRow]("total", say("Comes to"), lambda r: _money(r, form, "total"), True,
                         lambda r: _of(r.offer, "total")),
        Column[OfferRow]("usable", say("Can be used"), lambda r: _usable(r, form), True, _share,
                         tip=lambda r: word(USABLE_WORDS, r.offer.bought.usable.of) if r.offer.bought else ""),
        Column[OfferRow]("stock", say("Left over"), lambda r: _stock(r, form), True, lambda r: _of(r.offer, "stock"),
                         about=say("What the packs hold beyond the need")),
        Column[OfferRow]("tied", say("Money in it"), lambda r: _money(r, form, "tied_up"), True,
                         lambda r: _of(r.offer, "tied_up"), about=say("Money tied up in what is left over")),
        Column[OfferRow]("deposit", say("Deposit"), lambda r: _money(r, form, "deposit"), True,
                         lambda r: _of(r.offer, "deposit"), about=say("Comes back, and is no cost")),
        Column[OfferRow]("rebate", say("Money back"), lambda r: _money(r, form, "rebate"), True,
                         lambda r: _of(r.offer, "rebate"),
                         about=say("If the year's turnover reaches what was agreed; not taken off here")),
        Column[OfferRow]("best", say("Best number"), best_text, sort=_best_packs,
                         about=say("The number of packs of least money that covers the need")),
        Column[OfferRow]("saves", say("Saves"), lambda r: _saves(r, form), True, _best_saves,
                         about=say("What the best number costs less than as many as are needed, freight left aside")),
        Column[OfferRow]("costs", say("Costs it today"), lambda r: r.costs or UNKNOWN),
        Column[OfferRow]("said", say("To know"), lambda r: r.said, tip=lambda r: r.said),
    )  # fmt: skip


def _parts(form: Format) -> Iterator[Column[OfferRow]]:
    for name in PARTS:
        yield _part(name, form)


def _part(name: str, form: Format) -> Column[OfferRow]:
    def amount(row: OfferRow) -> Decimal | None:
        return dict(row.offer.bought.parts)[name] if row.offer.bought is not None else None

    def show(row: OfferRow) -> str:
        found = amount(row)
        if found is None:
            return UNKNOWN
        return isolate(f"{form.number(found, places_of(row, form))} / {unit_word(row.base)}")

    return Column[OfferRow](name, capital(word(PART_WORDS, name)), show, True, amount, about=word(PART_SAYS, name))


def places_of(row: OfferRow, form: Format) -> int:
    """Decimals of a unit's parts: those of the whole unit, so that they are seen to add up to it."""
    whole = row.offer.per_unit
    return form.places if whole is None or abs(whole) >= Decimal("0.1") or whole == 0 else form.places + 2


def is_cheapest(row: OfferRow) -> bool:
    """Whether no supplier asks less for a usable unit."""
    return row.over == 0


def verdict(row: OfferRow, form: Format) -> str:
    """Where an offer stands, in words."""
    over = row.over
    if over is None:
        return say("cannot count")
    if over == 0:
        return say("the only one") if row.alone else say("cheapest")
    money = form.unit_money(float(over), row.base)
    if row.least is None or row.least <= 0:
        return say("{money} more", money=money)
    return say("{money} more, {share}", money=money, share=form.percent(over / row.least))


def packs_text(row: OfferRow) -> str:
    """ "2 packs of 8 kg", and what comes free."""
    bought, pack = row.offer.bought, isolate(pack_text(row.offer.quote))
    if bought is None:
        return pack
    said = say_many("{n} pack of {pack}", "{n} packs of {pack}", bought.packs, pack=pack)
    return say("{packs}, {n} free", packs=said, n=f"{bought.free.normalize():f}") if bought.free else said


def best_text(row: OfferRow) -> str:
    """The number of packs that costs least."""
    bought = row.offer.bought
    if bought is None or bought.best is None:
        return UNKNOWN
    if bought.best.packs == bought.best.needed:
        return say("as many as are needed")
    return say_many("{n} pack", "{n} packs", bought.best.packs)


def _best_packs(row: OfferRow) -> int | None:
    return row.offer.bought.best.packs if row.offer.bought and row.offer.bought.best else None


def _best_saves(row: OfferRow) -> Decimal | None:
    return row.offer.bought.best.saves if row.offer.bought and row.offer.bought.best else None


def _saves(row: OfferRow, form: Format) -> str:
    return form.money(_best_saves(row))


def _of(offer: Landed, name: str) -> Decimal | None:
    found: Decimal | None = getattr(offer.bought, name) if offer.bought is not None else None
    return found


def _money(row: OfferRow, form: Format, name: str) -> str:
    return form.money(_of(row.offer, name))


def _unit(row: OfferRow, form: Format) -> str:
    per = row.offer.per_unit
    return form.unit_money(None if per is None else float(per), row.base)


def _assumed(row: OfferRow) -> bool:
    return row.offer.bought is not None and row.offer.bought.assumed


def _per_pack(offer: Landed) -> Decimal:
    return offer.quote.price if offer.bought is None else offer.bought.price * offer.bought.worth


def _pack_price(row: OfferRow, form: Format) -> str:
    """In the currency it is asked in, which is named where it is not the house's."""
    price = row.offer.quote.price if row.offer.bought is None else row.offer.bought.price
    return _with_code(form.money(price), row)


def _with_code(text: str, row: OfferRow) -> str:
    foreign = row.offer.quote.currency not in ("", row.currency)
    return isolate(f"{text} {row.offer.quote.currency}") if foreign else text


def _rate(row: OfferRow, form: Format) -> str:
    bought = row.offer.bought
    if bought is None or row.offer.quote.currency in ("", row.currency):
        return ""
    worth = form.number(bought.worth, 4, trim=True)
    return say("one {currency} is {worth} {house}", currency=row.offer.quote.currency, worth=worth, house=row.currency)


def _share(row: OfferRow) -> Decimal | None:
    return row.offer.bought.usable.share if row.offer.bought is not None else None


def _usable(row: OfferRow, form: Format) -> str:
    bought = row.offer.bought
    if bought is None:
        return UNKNOWN
    share = form.percent(bought.usable.share)
    if not bought.usable.n:
        return share
    return say_many("{share}, {n} test", "{share}, {n} tests", bought.usable.n, share=share)


def _stock(row: OfferRow, form: Format) -> str:
    stock = _of(row.offer, "stock")
    return form.amount(None if stock is None else float(stock), row.base)


@dataclass(frozen=True, slots=True)
class PartRow:
    """One line of what the chosen supplier's offer comes to, beside the same of another."""

    key: str
    what: str
    about: str
    here: str
    there: str


def part_rows(columns: Sequence[Column[OfferRow]], rows: Sequence[OfferRow], key: str) -> list[PartRow]:
    """Every column of the offer with this key as a line, because the table is too wide to be read at one glance; beside
    the cheapest, or where it is that, the one after it."""
    chosen = next((r for r in rows if r.key == key), None)
    if chosen is None:
        return []
    ranked = sorted((r for r in rows if r.over is not None and r is not chosen), key=lambda r: r.over or 0)
    beside = ranked[0] if ranked else None
    return [
        PartRow(c.key, c.title, c.about, c.show(chosen), c.show(beside) if beside is not None else "") for c in columns
    ]


def part_columns() -> Sequence[Column[PartRow]]:
    """What it is, of the chosen supplier and of one beside it."""
    return (
        Column[PartRow]("what", say("What it comes to"), lambda r: r.what, tip=lambda r: r.about),
        Column[PartRow]("here", say("This supplier"), lambda r: r.here),
        Column[PartRow]("there", say("Beside it"), lambda r: r.there),
    )


def summary(rows: Sequence[OfferRow], need: Decimal, form: Format) -> str:
    """For how much, who is cheapest and what it comes to, in a sentence."""
    out = [say("{supplier} cannot count: {why}", supplier=own(r.supplier), why=r.said) for r in rows if r.over is None]
    first = next((r for r in rows if is_cheapest(r)), None)
    if first is not None and first.offer.bought is not None:
        said = say(
            "For {need} that can be used, {supplier} is cheapest: {packs}, {total} in all.",
            need=form.amount(float(need), first.base), supplier=own(first.supplier), packs=packs_text(first),
            total=form.money(first.offer.bought.total),
        )  # fmt: skip
        out.insert(0, said)
    return " ".join(out)
