"""Rows of the page of sales: periods, what each drink sold in one, and rows that are in no count."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from costing.book.book import Book
from costing.book.change import Step
from costing.book.records import Menu, Serve
from costing.book.selling import Button, LeftRows, SalesPeriod, Sold
from costing.edits.tills import set_button
from costing.supply.till.recount import means
from costing.supply.till.words import FLAG_NAMES, LEFT_WORDS
from costing.tongue import say, word
from ui.desk import Desk
from ui.format import UNKNOWN, Format, isolate, own
from ui.models.table import Column
from ui.places.menu.sales.meaning import meaning_of, meaning_text, offers, read_meaning

ZERO = Decimal(0)
PRICES = 4
"""Prices of a drink that are named in its row; the tip has all."""


def named(text: str) -> str:
    """A text of a file in its own direction, and a dash for none."""
    return own(text) if text else UNKNOWN


def count_text(value: Decimal, form: Format) -> str:
    """How many: whole where it is."""
    return form.number(value, 2, trim=True)


def figure_text(value: Decimal, form: Format) -> str:
    """How many, and a dash for none."""
    return count_text(value, form) if value else UNKNOWN


def span_text(period: SalesPeriod, form: Format) -> str:
    """Its days; one day alone once."""
    if period.since == period.until:
        return form.day(period.since)
    return say("{since} to {until}", since=form.day(period.since), until=form.day(period.until))


def net_of(period: SalesPeriod) -> Decimal | None:
    """What it brought without tax and service; None where only counts are known."""
    found = [one.net for one in period.sold if one.net is not None]
    return sum(found, ZERO) if found else None


def period_columns(form: Format, why: Callable[[SalesPeriod], object | None]) -> Sequence[Column[SalesPeriod]]:
    """One period a row: what became of its rows, and what it sold."""

    def total(field: str) -> Callable[[SalesPeriod], Decimal]:
        return lambda p: sum((getattr(one, field) for one in p.sold), ZERO)

    def rows(p: SalesPeriod, n: int) -> str:
        return form.number(n, 0) if p.read else UNKNOWN

    def figure(key: str, title: str, field: str, about: str) -> Column[SalesPeriod]:
        of = total(field)
        return Column[SalesPeriod](key, title, lambda p: figure_text(of(p), form), True, of, about=about)

    return (
        Column[SalesPeriod]("days", say("Days"), lambda p: span_text(p, form), sort=lambda p: (p.since, p.until)),
        Column[SalesPeriod]("file", say("From"), lambda p: own(p.file or p.source or UNKNOWN), tip=_file_tip),
        Column[SalesPeriod]("read", say("Rows"), lambda p: rows(p, p.read), True, lambda p: p.read,
                            about=say("Rows of the file: those counted, those in no count and those that wait")),
        Column[SalesPeriod]("mapped", say("Counted"), lambda p: rows(p, p.mapped), True, lambda p: p.mapped),
        Column[SalesPeriod]("ignored", say("In no count"), lambda p: rows(p, p.ignored), True, lambda p: p.ignored),
        Column[SalesPeriod]("waiting", say("Wait"), lambda p: rows(p, p.unmapped), True, lambda p: p.unmapped,
                            strong=lambda p: p.unmapped > 0, about=say("Rows of buttons that nobody has named yet")),
        Column[SalesPeriod]("count", say("Drinks sold"), lambda p: count_text(total("count")(p), form), True,
                            total("count"), why=why),
        Column[SalesPeriod]("net", say("Net sales"), lambda p: form.money(net_of(p)), True, net_of, why=why,
                            about=say("Without tax, and without service that is passed on")),
        figure("given", say("Given"), "given", say("On the house, or to staff")),
        figure("wasted", say("Wasted"), "wasted", say("Made and taken back")),
        figure("refunded", say("Paid back"), "refunded", say("Made, served and paid back")),
    )  # fmt: skip


def _file_tip(period: SalesPeriod) -> str:
    return "\n".join(text for text in (period.outlet, period.note) if text)


@dataclass(frozen=True, slots=True)
class DrinkRow:
    """What one drink sold in a period, on one menu."""

    period: str
    sold: Sold
    name: str
    menu: str

    @property
    def key(self) -> str:
        """Which row it is."""
        return f"{self.sold.serve}/{self.sold.menu}"


def drink_rows(period: SalesPeriod | None, book: Book) -> list[DrinkRow]:
    """The most sold first."""
    if period is None:
        return []
    serves, menus = book.all(Serve), book.all(Menu)
    out = [
        DrinkRow(period.id, one, serves[one.serve].name if one.serve in serves else one.serve,
                 menus[one.menu].name if one.menu in menus else one.menu)
        for one in period.sold
    ]  # fmt: skip
    return sorted(out, key=lambda row: (-row.sold.count, row.name))


def paid_average(sold: Sold) -> Decimal | None:
    """What one was paid at on average, all in; None where it is not known."""
    many = sum((at.count for at in sold.prices), ZERO)
    return sum((at.each * at.count for at in sold.prices), ZERO) / many if many else None


def prices_text(sold: Sold, form: Format, most: int = PRICES) -> str:
    """ "41 at 12.00, 6 at 9.00", and how many prices more."""
    said = [
        say("{n} at {price}", n=count_text(at.count, form), price=form.money(at.each)) for at in sold.prices[:most]
    ]  # fmt: skip
    if len(sold.prices) > most:
        said.append(say("{n} more", n=len(sold.prices) - most))
    return isolate(say(", ").join(said)) if said else UNKNOWN


def drink_columns(form: Format, why: Callable[[DrinkRow], object | None]) -> Sequence[Column[DrinkRow]]:
    """One drink a row."""

    def figure(key: str, title: str, of: Callable[[Sold], Decimal]) -> Column[DrinkRow]:
        return Column[DrinkRow](key, title, lambda r: figure_text(of(r.sold), form), True, lambda r: of(r.sold))

    return (
        Column[DrinkRow]("name", say("Drink"), lambda r: r.name),
        Column[DrinkRow]("menu", say("Menu"), lambda r: r.menu or UNKNOWN),
        Column[DrinkRow]("count", say("Sold"), lambda r: count_text(r.sold.count, form), True, lambda r: r.sold.count,
                         why=why),
        Column[DrinkRow]("net", say("Net sales"), lambda r: form.money(r.sold.net), True, lambda r: r.sold.net,
                         why=why),
        Column[DrinkRow]("each", say("Paid on average"), lambda r: form.money(paid_average(r.sold)), True,
                         lambda r: paid_average(r.sold), why=why, about=say("With tax and service, after discounts")),
        Column[DrinkRow]("prices", say("Paid at"), lambda r: prices_text(r.sold, form),
                         tip=lambda r: prices_text(r.sold, form, len(r.sold.prices))),
        figure("given", say("Given"), lambda s: s.given),
        figure("wasted", say("Wasted"), lambda s: s.wasted),
        figure("refunded", say("Paid back"), lambda s: s.refunded),
        Column[DrinkRow]("days", say("On days"), lambda r: str(r.sold.days or UNKNOWN), True, lambda r: r.sold.days),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class LeftRow:
    """Rows of one button that are in no count, and the button by which they are."""

    left: LeftRows
    n: int
    button: Button | None

    @property
    def key(self) -> str:
        """Which row it is: they are counted."""
        return str(self.n)

    @property
    def open(self) -> bool:
        """Whether a button decides it: one may be named, or named anew."""
        if not self.left.reason:
            return bool(self.left.text or self.left.code)
        return self.button is not None and self.button.sort == "left" and self.left.reason == self.button.reason


def left_rows_of(period: SalesPeriod | None, book: Book) -> list[LeftRow]:
    """Those that wait first."""
    buttons = list(book.all(Button).values())

    def button(left: LeftRows) -> Button | None:
        found = (one for one in buttons if means(one, left.code, left.text))
        return min(found, key=lambda one: one.code != left.code, default=None)

    return [LeftRow(left, n, button(left)) for n, left in enumerate(period.left)] if period is not None else []


def left_columns(desk: Desk) -> Sequence[Column[LeftRow]]:
    """One button and reason a row; what waits can be named in it."""
    form, document = desk.format, desk.document

    def write(book: Book, row: LeftRow, text: str) -> Step | None:
        said = read_meaning(text, book)
        return set_button(
            book, row.left.text, code=row.left.code, day=document.day, sort=said.sort, parts=said.parts,
            reason=said.reason, past=document.past_ids(),
        )  # fmt: skip

    def meant(row: LeftRow) -> str:
        return meaning_text(meaning_of(row.button), document.book) if row.button is not None else ""

    return (
        Column[LeftRow]("text", say("Button"), lambda r: named(r.left.text)),
        Column[LeftRow]("code", say("Code"), lambda r: named(r.left.code)),
        Column[LeftRow]("why", say("In no count because"), lambda r: word(LEFT_WORDS, r.left.reason),
                        strong=lambda r: not r.left.reason),
        Column[LeftRow]("means", say("Means"), lambda r: named(meant(r)), write=write, edit_text=meant,
                        editable=lambda r: r.open, offers=lambda text: offers(text, document.book),
                        about=say("Type a drink, several with +, or “left: gift card”: its rows are counted at once")),
        Column[LeftRow]("flag", say("Marked"), lambda r: UNKNOWN if r.left.flag == "sold" else (
                        word(FLAG_NAMES, r.left.flag))),
        Column[LeftRow]("rows", say("Rows"), lambda r: str(r.left.rows), True, lambda r: r.left.rows),
        Column[LeftRow]("count", say("How many"), lambda r: figure_text(r.left.count, form), True,
                        lambda r: r.left.count),
        Column[LeftRow]("net", say("Net"), lambda r: form.money(r.left.net or None), True, lambda r: r.left.net),
    )  # fmt: skip
