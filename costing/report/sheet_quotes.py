"""The price book beside the prices that count: every quote of the day with its landed unit cost, and the history."""

from collections.abc import Sequence
from decimal import Decimal

from costing.report.content import Contents
from costing.report.grid import Sheet, at, tab
from costing.report.phrases import day_stamp, percent, said_of, unit_word
from costing.report.quotes import QuoteRow
from costing.tongue import Saying, Sayings, day_text, numeral, say, say_word

BOOK: Saying = "Price book"
HISTORY: Saying = "History"
"""Names of sheets."""
PRICES: Saying = "Prices"
PRICE, FREE, TAX, CHARGES, LANDED, CONTENT, OF, UNIT, BESIDE = 4, 6, 7, 8, 9, 10, 11, 12, 13
_HEADINGS: Sayings = (
    "Good", "Supplier", "Pack", "Pack price", "Money", "× free packs", "× tax", "+ charges", "Landed pack", "Content",
    "of", "Unit cost", "Beside the cheapest", "Costs the good", "Since", "Until", "Remark", "Quote",
)  # fmt: skip


def price_book_sheet(contents: Contents) -> Sheet:
    """Every quote in force on the day. Unit costs are formulas; "beside the cheapest" compares quotes of one good."""
    head = contents.head
    sheet = Sheet(tab(BOOK), (33, 24, 15, 10, 7.5, 8, 7, 8, 10, 10, 6, 11, 10, 8, 11, 11, 32, 36),
                  printed_columns=17, pages_wide=2)  # fmt: skip
    words = say(
        "every quote in force on the day, landed by the house's terms. A good is costed by the preferred supplier's, "
        "else by the latest: type over it on the sheet {sheet}.",
        sheet=tab(PRICES),
    )
    sheet.begin(say_word(BOOK), day_stamp(head), f"{head.house} · {words}")
    sheet.headings(3, (say_word(name) for name in _HEADINGS), (PRICE, *range(FREE, OF), UNIT, BESIDE))
    for column in (5, OF, 15, 16):
        sheet.text(3, column, say_word(_HEADINGS[column - 1]), "head.beside")
    sheet.text(3, 14, say_word(_HEADINGS[13]), "head.centre")
    rows = [q for q in contents.quotes if q.today]
    spans = _spans(rows, first=4)
    for row, quote in enumerate(rows, start=4):
        _row(sheet, row, quote, spans[quote.good], contents)
    return sheet


def _spans(rows: Sequence[QuoteRow], first: int) -> dict[str, tuple[int, int]]:
    """By good: its first and last row."""
    out: dict[str, tuple[int, int]] = {}
    for row, quote in enumerate(rows, start=first):
        out[quote.good] = out.get(quote.good, (row, row))[0], row
    return out


def _row(sheet: Sheet, row: int, quote: QuoteRow, span: tuple[int, int], contents: Contents) -> None:
    sheet.text(row, 1, quote.name)
    sheet.text(row, 2, quote.supplier)
    sheet.text(row, 3, quote.pack)
    sheet.number(row, PRICE, float(quote.price), "money")
    sheet.text(row, 5, quote.currency, "beside")
    if quote.unit_cost is not None and quote.content is not None:
        _landed(sheet, row, quote)
        cells = f"{at(span[0], UNIT)}:{at(span[1], UNIT)}"
        if span[1] > span[0]:
            sheet.formula(row, BESIDE, f"={at(row, UNIT)}/MIN({cells})-1", "percent")
    sheet.text(row, OF, unit_word(quote.base), "beside")
    sheet.text(row, 14, say("yes") if quote.costs else "", "centre")
    sheet.text(row, 15, day_text(quote.since), "beside")
    sheet.text(row, 16, day_text(quote.until) if quote.until else "", "beside")
    sheet.text(row, 17, _remark(quote, contents), "text.small")
    sheet.text(row, 18, quote.quote)


def _landed(sheet: Sheet, row: int, quote: QuoteRow) -> None:
    sheet.formula(row, FREE, f"={quote.paid}/({quote.paid}+{quote.free}){in_house_money(quote.rate)}", "factor")
    tax = {"off": f"=1/(1+{quote.tax_rate})", "on": f"=1+{quote.tax_rate}"}.get(quote.tax, "=1")
    sheet.formula(row, TAX, tax, "factor")
    sheet.formula(row, CHARGES, charges_formula(quote.charges, quote.rate), "money")
    p, f, t, c = (at(row, column) for column in (PRICE, FREE, TAX, CHARGES))
    sheet.formula(row, LANDED, f"={p}*{f}*{t}+{c}", "money")
    sheet.number(row, CONTENT, quote.content or 0.0, "amount")
    sheet.formula(row, UNIT, f"={at(row, LANDED)}/{at(row, CONTENT)}", "unit.price")


def _remark(quote: QuoteRow, contents: Contents) -> str:
    said = [f"{name} {numeral(str(amount))}" for name, amount in quote.charges]
    said += terms_of_quote(quote.tax, quote.tax_rate, quote.paid, quote.free, quote.rate)
    if quote.reason:
        said.insert(0, say("does not count: {why}", why=said_of(quote.reason, contents)))
    return "; ".join(said)


def in_house_money(rate: Decimal) -> str:
    """What turns a price of the quote's currency into the house's, to stand behind a formula."""
    return f"*{rate}" if rate != 1 else ""


def charges_formula(charges: Sequence[tuple[str, Decimal]], rate: Decimal) -> str:
    """The charges on a pack in the house's money."""
    whole = "+".join(f"({c})" for _, c in charges) or "0"
    return f"=({whole}){in_house_money(rate)}" if charges and rate != 1 else f"={whole}"


def terms_of_quote(tax: str, rate: Decimal, paid: Decimal, free: Decimal, exchange: Decimal = Decimal(1)) -> list[str]:
    """What is done with the tax of a quote, what comes free with it, and how its currency counts."""
    said = []
    if exchange != 1:
        said.append(say("one of its currency counts as {rate}", rate=numeral(str(exchange))))
    if tax:
        share = percent(rate)
        said.append(say("tax {rate} taken out", rate=share) if tax == "off" else say("tax {rate} put on", rate=share))
    if free:
        said.append(say("{free} free with {paid}", free=numeral(str(free)), paid=numeral(str(paid))))
    return said


_PAST: Sayings = ("Good", "Supplier", "Since", "Until", "Pack", "Pack price", "Money", "Unit cost", "per",
         "Against the one before", "Quote", "Came from", "")  # fmt: skip


def history_sheet(contents: Contents) -> Sheet:
    """Every dated quote there is, by good and supplier, the oldest first; each against the one before it."""
    head = contents.head
    sheet = Sheet(tab(HISTORY), (32, 24, 11, 11, 15, 10, 7.5, 11, 5, 10, 36, 30, 34), printed_columns=10)
    words = say(
        "every dated quote, by good and supplier. Unit costs are landed by this day's terms; a later day's quotes are "
        "here too and do not count yet."
    )
    sheet.begin(say_word(HISTORY), day_stamp(head), f"{head.house} · {words}")
    sheet.headings(3, (say_word(name) for name in _PAST), (6, 8, 10))
    for column in (7, 9):
        sheet.text(3, column, say_word(_PAST[column - 1]), "head.beside")
    before: QuoteRow | None = None
    for row, quote in enumerate(contents.quotes, start=4):
        same = before is not None and (before.good, before.supplier) == (quote.good, quote.supplier)
        style = "text" if same else "text.bold"
        sheet.text(row, 1, quote.name, style)
        sheet.text(row, 2, quote.supplier)
        sheet.text(row, 3, day_text(quote.since))
        sheet.text(row, 4, day_text(quote.until) if quote.until else "")
        sheet.text(row, 5, quote.pack)
        sheet.number(row, 6, float(quote.price), "money")
        sheet.text(row, 7, quote.currency, "beside")
        if quote.unit_cost is not None:
            sheet.number(row, 8, quote.unit_cost, "unit.price")
        sheet.text(row, 9, unit_word(quote.base), "beside")
        if same and before is not None and before.unit_cost and quote.unit_cost is not None:
            sheet.formula(row, 10, f"={at(row, 8)}/{at(row - 1, 8)}-1", "percent")
        sheet.text(row, 11, quote.quote)
        sheet.text(row, 12, quote.came_from, "text.small")
        if quote.since > head.day:
            sheet.text(row, 13, say("begins after this day"), "text.small")
        elif quote.reason:
            why = say("does not count: {why}", why=said_of(quote.reason, contents))
            sheet.text(row, 13, why, "text.small")
        before = quote
    return sheet
