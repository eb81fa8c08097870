"""The quotes for one good: every one there is, in the order they came, and the picture of them."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from costing.book.book import Book
from costing.book.change import Step
from costing.book.records import Quote, Supplier, TaxBasis
from costing.edits import quotes
from costing.edits.quotes import pack_text
from costing.ledger.prices import UnitPrice, price_of_quote
from costing.report.figures.prices import Asked, Seller
from costing.tongue import say
from ui.desk import Desk
from ui.document import Figures
from ui.fault import Refusal
from ui.format import own
from ui.models.table import Column
from ui.places.cellar.facts import supplier_of
from ui.where import said_of
from ui.widgets.fields import read_day


@dataclass(frozen=True, slots=True)
class QuoteLine:
    """One quote, what it makes a base unit cost, and whether it costs the good today."""

    quote: Quote
    supplier: str
    base: str
    unit: float | None
    costs: bool
    fault: str = ""


def quote_lines(figures: Figures, good: str) -> list[QuoteLine]:
    """Every quote for a good, the latest first."""
    view, reckoning = figures.view, figures.reckoning
    unit = reckoning.units.get(good)
    used = reckoning.prices[good].quote.id if good in reckoning.prices else ""
    out = []
    for quote in figures.book.all(Quote).values():
        if quote.good != good:
            continue
        price = price_of_quote(view, quote, unit) if unit is not None else None
        per = price.per_base if isinstance(price, UnitPrice) else None
        fault = "" if price is None or isinstance(price, UnitPrice) else said_of(price, figures.names)
        supplier = view.suppliers.get(quote.supplier)
        name = supplier.name if supplier else quote.supplier
        out.append(QuoteLine(quote, name, unit.base if unit else "", per, quote.id == used, fault))
    return sorted(out, key=lambda r: (r.quote.since, r.quote.id), reverse=True)


def sellers(figures: Figures, good: str) -> list[Seller]:
    """The same by supplier, for the picture."""
    by: dict[str, list[Asked]] = {}
    costs = ""
    for line in reversed(quote_lines(figures, good)):
        if line.unit is not None:
            name = line.supplier or say("no supplier")
            by.setdefault(name, []).append(Asked(line.quote.since, line.unit, line.quote.until))
            costs = name if line.costs else costs
    return [Seller(name, tuple(asked), name == costs) for name, asked in by.items()]


def quote_columns(desk: Desk, day: Callable[[], date]) -> Sequence[Column[QuoteLine]]:
    """What a quote shows; all of it is typed in place, and put right rather than begun anew."""
    form = desk.format

    def since(book: Book, row: QuoteLine, text: str) -> Step | None:
        return quotes.set_days(book, row.quote.id, read_day(text, day()), row.quote.until)

    def until(book: Book, row: QuoteLine, text: str) -> Step | None:
        last = read_day(text, day()) if text.strip() else None
        return quotes.set_days(book, row.quote.id, row.quote.since, last)

    def price(book: Book, row: QuoteLine, text: str) -> Step | None:
        return quotes.amend_price(book, row.quote.id, text)

    def pack(book: Book, row: QuoteLine, text: str) -> Step | None:
        return quotes.set_pack(book, row.quote.id, text)

    def supplier(book: Book, row: QuoteLine, text: str) -> Step | None:
        if text.strip() == row.supplier:
            return None
        return quotes.set_supplier(book, row.quote.id, supplier_of(book, text))

    def tax(book: Book, row: QuoteLine, text: str) -> Step | None:
        basis, rate = read_tax(text)
        return quotes.set_tax(book, row.quote.id, basis, rate)

    def code(book: Book, row: QuoteLine, text: str) -> Step | None:
        return None if text.strip() == row.quote.code else quotes.set_code(book, row.quote.id, text)

    def note(book: Book, row: QuoteLine, text: str) -> Step | None:
        return None if text.strip() == row.quote.note else quotes.set_note(book, row.quote.id, text)

    return (
        Column[QuoteLine]("since", say("From"), lambda r: form.day(r.quote.since), sort=lambda r: r.quote.since,
                          write=since, edit_text=lambda r: r.quote.since.isoformat(), strong=lambda r: r.costs),
        Column[QuoteLine]("supplier", say("Supplier"), lambda r: r.supplier, write=supplier,
                          choices=lambda: [s.name for s in desk.document.book.all(Supplier).values()],
                          strong=lambda r: r.costs),
        Column[QuoteLine]("pack", say("Pack"), lambda r: pack_text(r.quote), write=pack, strong=lambda r: r.costs),
        Column[QuoteLine]("price", say("Price"), lambda r: form.money(r.quote.price), True, lambda r: r.quote.price,
                          write=price, edit_text=lambda r: str(r.quote.price), strong=lambda r: r.costs),
        Column[QuoteLine]("unit", say("Costs"), lambda r: form.unit_money(r.unit, r.base), True, lambda r: r.unit,
                          tip=lambda r: r.fault, strong=lambda r: r.costs),
        Column[QuoteLine]("tax", say("Tax"), _tax, write=tax, edit_text=_tax,
                          about=say("“without”, “19 % in it”, or “not known”")),
        Column[QuoteLine]("until", say("Last day"), lambda r: form.day(r.quote.until) if r.quote.until else "",
                          write=until, edit_text=lambda r: r.quote.until.isoformat() if r.quote.until else ""),
        Column[QuoteLine]("code", say("Their code"), lambda r: r.quote.code, write=code),
        Column[QuoteLine]("note", say("Note"), lambda r: own("; ".join(t for t in (r.quote.note, r.quote.source) if t)),
                          write=note, edit_text=lambda r: r.quote.note),
    )  # fmt: skip


def _tax(row: QuoteLine) -> str:
    if row.quote.tax == "unknown":
        return say("not known")
    if row.quote.tax == "ex":
        return say("without")
    rate = f"{(row.quote.tax_rate or 0) * 100:g}" if row.quote.tax_rate is not None else "?"
    return say("{rate} % in it", rate=rate)


def read_tax(text: str) -> tuple[TaxBasis, str]:
    """("ex" | "inc" | "unknown", rate as typed). Refusal for what says none of these."""
    wanted = text.strip().casefold()
    if wanted in ("without", "ex", "net", say("without").casefold()):
        return "ex", ""
    if wanted in ("not known", "?", "unknown", say("not known").casefold()):
        return "unknown", ""
    head, sign, _ = wanted.partition("%")
    if sign and head.strip().replace(",", ".").replace(".", "", 1).isdigit():
        return "inc", f"{head.strip()} %"
    raise Refusal(
        say("“{text}” does not say how tax is in the price.", text=text),
        "",
        say("Write “without”, a rate that is in it like “19 %”, or “not known”."),
    )
