"""From the rows of a file to a plan: what each button means, what the money has inside, what the periods would be."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal

from costing.book.book import Book
from costing.book.buying import Columns
from costing.book.money import rounded
from costing.book.records import Serve
from costing.book.selling import Button, ButtonPart, SalesPeriod, Till
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.columns.folding import folded
from costing.supply.columns.record import use_of
from costing.supply.columns.taxes import tax_of_text
from costing.supply.ids import take_id
from costing.supply.till.judge import Judged, Money, RowFate, judged
from costing.supply.till.marks import MarkSeen, marks_of
from costing.supply.till.meanings import Meanings, at_price
from costing.supply.till.odd import odd_of
from costing.supply.till.periods import outlet_of, periods_of
from costing.supply.till.plan_record import NOTHING_SAID, ButtonSeen, SalesPlan, SalesSaid
from costing.supply.till.prices import ZERO, HousePrices
from costing.supply.till.record import TillLines, TillRow, plain_text
from costing.supply.till.roles import MONEY
from costing.supply.till.span_of import pieces, span_of
from costing.supply.till.tax import Basis, Printed, TaxBasis, money_of, tax_basis
from costing.supply.till.words import ROLE_WORDS
from costing.tongue import word

_MOST_TOTALS = 6
"""Totals that differ, of those that are named."""
_NETTO = frozenset({"netto", "ht", "umsatz netto", "netto umsatz", "nettoumsatz", "netto omzet", "montant ht"})
"""Headings that say "without tax" in languages where the word has no other use."""


def plan_sales(
    book: Book,
    lines: TillLines,
    *,
    day: date,
    said: SalesSaid = NOTHING_SAID,
    till: Till | None = None,
    past: Iterable[str] = (),
) -> SalesPlan:
    """The plan of one file against ``book``: the fate of every row, the periods it makes and what has to be answered.

    ``day`` is today: when what is confirmed begins to be known. ``till`` is the one whose files are read so. ``past``
    are ids that were used once.
    """
    prices = HousePrices(book)
    meanings = Meanings(book, said.buttons)
    spelt = [name for name in lines.outlets if plain_text(name) == plain_text(said.outlet)]
    if said.outlet not in lines.outlets and len(spelt) == 1:
        said = replace(said, outlet=spelt[0])
    kept_rows = [
        row for row in lines.rows if row.n not in said.leave and (not said.outlet or row.outlet == said.outlet)
    ]
    span = span_of(lines, kept_rows, said)
    first = span.since or day
    marks = marks_of(kept_rows, lines.columns, said=said.flags, kept=till.flags if till is not None else ())
    tax = _tax(lines, kept_rows, prices, meanings, first, said, till)
    worth = {row.n: money_of(row, tax, prices, first) for row in lines.rows}

    def money(row: TillRow) -> tuple[Decimal, Decimal] | None:
        return worth[row.n]

    made = judged(lines.rows, meanings, marks, money, prices, first=first, leave=said.leave, outlet=said.outlet)
    places = prices.places
    seen = _buttons(lines.rows, made, meanings, money, prices, first, places)
    fates = tuple(sorted((*made.fates, *_of_left(lines)), key=lambda one: one.n))
    asked = [*lines.asked, *span.asked, *tax.asked, *made.asked]
    if lines.asked:  # nothing else can be said of columns that are not read
        unread = any(one.at == "day" for one in lines.asked)
        asked = [*lines.asked, *(one for one in made.asked if one.code == "sales-mark-unknown")]
        asked += () if unread else span.asked
    counted = [row for row, fate in zip(lines.rows, made.fates, strict=True) if fate.fate == "counted"]
    odd = odd_of(counted, money, _printed_of(meanings, prices, first), prices, first)
    doubts = [*lines.doubts, *span.doubts, *tax.doubts, *made.doubts, *odd, *_totals(lines)]
    if said.outlet and said.outlet not in lines.outlets:
        asked.append(doubt("sales-no-outlet", "outlet", name=said.outlet, names=", ".join(lines.outlets)))
    elif len(lines.outlets) > 1 and not said.outlet:
        doubts.append(doubt("sales-outlets", "outlet", names=", ".join(lines.outlets)))
    periods: tuple[SalesPeriod, ...] = ()
    replaces: tuple[SalesPeriod | None, ...] = ()
    if span.since is not None and span.until is not None and not lines.asked:
        cut = pieces(span.since, span.until, said.split)
        periods, replaces, more = periods_of(
            book, lines, made, marks, money, cut, outlet=outlet_of(lines, said), places=places, past=past
        )
        more += _below_zero(book, periods)
        asked += [one for one in more if one.code == "sales-overlap"]
        doubts += [one for one in more if one.code != "sales-overlap"]
    new_till, old_till = _till(book, lines, said, till, tax, day, marks.values(), past)
    return SalesPlan(
        lines=lines, day=day, fates=fates, periods=periods, replaces=replaces, buttons=seen,
        new_buttons=_new_buttons(book, seen, said, day), till=new_till, old_till=old_till,
        marks=tuple(marks.values()), tax=tax, doubts=tuple(dict.fromkeys(doubts)), asked=tuple(dict.fromkeys(asked)),
    )  # fmt: skip


def _tax(
    lines: TillLines, rows: Sequence[TillRow], prices: HousePrices, meanings: Meanings, first: date, said: SalesSaid,
    till: Till | None,
) -> TaxBasis:  # fmt: skip
    kept: Basis = ""
    remembered = till.columns.tax if till is not None else lines.columns.tax
    if remembered in ("ex", "inc"):
        kept = "ex" if remembered == "ex" else "inc"

    return tax_basis(
        rows, prices, first, said=said.tax, kept=kept, words=_said_by_heading(lines.columns),
        printed=_printed_of(meanings, prices, first),
    )  # fmt: skip


def _printed_of(meanings: Meanings, prices: HousePrices, first: date) -> Printed:
    """The all-in prices of one of what a row sells, where that is sure, on the menus of its day."""

    def printed(row: TillRow) -> tuple[Decimal, ...]:
        meaning = meanings.of(row.code, row.text)
        serve = meaning.sure
        if meaning.button is not None and meaning.button.sort == "sale" and len(meaning.button.parts) == 1:
            part = meaning.button.parts[0]
            serve = part.serve if part.count == 1 else ""
        return prices.every(serve, row.day or first) if serve else ()

    return printed


def _said_by_heading(columns: Columns) -> Basis:
    """What the heading of the column of money says of tax by name."""
    use = next((use for role in MONEY if (use := use_of(columns, role))), None)
    if use is None:
        return ""
    basis = tax_of_text(use.header).basis
    if basis == "unknown":
        return "ex" if folded(use.header) in _NETTO else ""
    return "ex" if basis == "ex" else "inc"


def _of_left(lines: TillLines) -> Iterable[RowFate]:
    return (
        RowFate(n=one.n, fate="ignored", reason="total" if one.why == "total" else "other", why=one.why)
        for one in lines.left
    )


def _below_zero(book: Book, periods: Sequence[SalesPeriod]) -> list[Doubt]:
    """Drinks of which more free ones were taken back than there were."""
    serves = book.all(Serve)
    below = ((one, min(one.given, one.wasted, one.refunded)) for period in periods for one in period.sold)
    return [
        doubt("sales-given-negative", "", serve=serves[one.serve].name, count=free) for one, free in below if free < 0
    ]


def _totals(lines: TillLines) -> list[Doubt]:
    """Totals of the file that its rows do not make."""
    out = []
    for seen in lines.totals:
        for role, stated, summed in seen.differs:
            out.append(doubt("sales-total-differs", role, n=seen.n, text=seen.text, what=word(ROLE_WORDS, role),
                             stated=stated, summed=summed))  # fmt: skip
    return out[:_MOST_TOTALS]


def _buttons(
    rows: Sequence[TillRow], made: Judged, meanings: Meanings, money: Money, prices: HousePrices, first: date,
    places: int,
) -> tuple[ButtonSeen, ...]:  # fmt: skip
    """Every button, those that wait first, the most sold first."""
    by_button: dict[tuple[str, str], list[TillRow]] = {}
    waits: set[tuple[str, str]] = set()
    for row, fate in zip(rows, made.fates, strict=True):
        if fate.why in ("outlet", "by hand"):
            continue
        by_button.setdefault(row.button, []).append(row)
        if fate.fate == "waiting" and meanings.of(row.code, row.text).unknown:
            waits.add(row.button)
    out = []
    for key, bearing in by_button.items():
        head = bearing[0]
        meaning = meanings.of(head.code, head.text)
        worth = [(row, pair) for row in bearing if (pair := money(row)) is not None]
        net = sum((pair[0] for _, pair in worth), ZERO) if worth else None
        paid: dict[Decimal, Decimal] = {}
        for row, pair in worth:
            if pair[1] and row.qty is not None and row.qty > 0:
                each = rounded(pair[1] / row.qty, places)
                paid[each] = paid.get(each, ZERO) + row.qty
        each_paid = max(paid, key=lambda each: paid[each], default=None)
        seen = ButtonSeen(
            code=head.code, text=head.text, rows=len(bearing), net=net, each=each_paid, category=head.category,
            count=sum((row.qty for row in bearing if row.qty is not None), ZERO), state="known", button=meaning.button,
        )  # fmt: skip
        if key in waits:
            same = at_price(each_paid, prices.on_menus(head.day or first)) if each_paid is not None else {}
            offers = (*meaning.suggested, *meanings.suggest(head.text, same))
            seen = replace(seen, state="waiting", suggested=tuple(dict.fromkeys(offers))[:3])
        elif meaning.sure:
            seen = replace(seen, state="sure")
        elif meaning.button is None:
            seen = replace(seen, state="left", reason="modifier")  # all its rows stand inside sets
        elif meaning.button is not None and meaning.button.sort == "left":
            seen = replace(seen, state="left", reason=meaning.button.reason)
        out.append(seen)
    order = {"waiting": 0, "sure": 1, "known": 2, "left": 3}
    return tuple(sorted(out, key=lambda one: (order[one.state], -one.count, one.code, one.text)))


def _new_buttons(book: Book, seen: Sequence[ButtonSeen], said: SalesSaid, day: date) -> tuple[Button, ...]:
    """What is to be remembered: what somebody confirmed, and buttons that bear the very name of a drink."""
    known = {(button.code, plain_text(button.text)): button for button in book.all(Button).values()}
    out = []
    for key, button in {(button.code, plain_text(button.text)): button for button in said.buttons}.items():
        old = known.get(key)
        if old is None or replace(button, id=old.id, since=old.since, note=old.note) != old:
            out.append(replace(button, id=old.id if old is not None else button.id))
    named = Meanings(book, said.buttons)
    for one in seen:
        if one.state == "sure":
            serve = named.of(one.code, one.text).sure
            parts = (ButtonPart(serve=serve),)
            out.append(Button(id="", text=one.text, code=one.code, since=day, parts=parts))
    return tuple(out)


def _till(
    book: Book, lines: TillLines, said: SalesSaid, old: Till | None, tax: TaxBasis, day: date,
    marks: Iterable[MarkSeen], past: Iterable[str],
) -> tuple[Till | None, Till | None]:  # fmt: skip
    """(the till to be remembered, the one it was): how columns are read, and what somebody said of them."""
    if lines.asked:
        return None, old
    sure = tax.basis if tax.basis and tax.how != "taken" else ""
    columns = replace(lines.columns, tax=sure or (old.columns.tax if old is not None else "unknown"))
    if old is not None:
        here = replace(columns, header_at=old.columns.header_at, width=old.columns.width, sheet=old.columns.sheet,
                       delimiter=old.columns.delimiter, encoding=old.columns.encoding)  # fmt: skip
        columns = old.columns if here == old.columns else columns
    flags = dict(old.flags) if old is not None else {}
    flags.update({mark.mark: mark.flag for mark in marks if mark.how == "said" and mark.flag})
    ends = said.day_ends if said.day_ends is not None else old.day_ends if old is not None else None
    if old is not None:
        new = replace(old, columns=columns, flags=tuple(flags.items()), day_ends=ends if ends is not None else 5)
        return new, old
    taken = {ident for _, ident in book.records} | set(past)
    names = {till.name for till in book.all(Till).values()}
    called = said.name or (lines.outlets[0] if len(lines.outlets) == 1 else "Till")
    name, n = called, 1
    while name in names:
        n += 1
        name = f"{called} {n}"
    made = Till(id=take_id(name, taken, fallback="till"), name=name, columns=columns, since=day,
                flags=tuple(flags.items()))  # fmt: skip
    return (made if ends is None else replace(made, day_ends=ends)), None
