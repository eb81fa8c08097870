"""The sheet of prices: from a supplier's pack to the unit cost of a good, every step a cell."""

from costing.book.records import LAYERS
from costing.report.content import Contents, PriceRow
from costing.report.grid import Ref, Refs, Sheet, at, quoted, tab
from costing.report.phrases import day_stamp, said_of, unit_word
from costing.report.sheet_quotes import charges_formula, in_house_money, terms_of_quote
from costing.report.words import layer_word
from costing.tongue import Saying, Sayings, day_text, numeral, say, say_word

NAME: Saying = "Prices"
PRICE, FREE, TAX, CHARGES, LANDED, CONTENT, UNIT, COST = 4, 5, 6, 7, 8, 9, 10, 11
FLAG, SINCE, QUOTE, REMARK = 13, 14, 15, 16
_HEADINGS: Sayings = (
    "Good", "Supplier", "Pack", "Pack price", "× free packs", "× tax", "+ charges", "Landed pack", "Content", "of",
    "Unit cost", "Counts as", "", "Since", "Quote", "Remark",
)  # fmt: skip


def prices_sheet(contents: Contents) -> tuple[Sheet, Refs]:
    """The sheet, and where each good's unit cost stands on it."""
    sheet = Sheet(tab(NAME), (33, 24, 15, 10, 9, 8, 9, 10, 10, 6, 11, 11, 8, 11, 34, 32), pages_wide=2)
    head = contents.head
    words = say(
        "money in {currency}. Type another pack price into a framed cell: preparations, serves and menu follow.",
        currency=head.currency,
    )
    sheet.begin(say("Prices"), day_stamp(head), f"{head.house} · {words}")
    sheet.headings(3, (say_word(name) for name in _HEADINGS), range(PRICE, UNIT))
    sheet.text(3, COST, say("Unit cost"), "head.right")
    for column in (UNIT, 12, SINCE):
        sheet.text(3, column, say_word(_HEADINGS[column - 1]), "head.beside")
    refs: Refs = {}
    rows = sorted(contents.prices, key=lambda p: (LAYERS.index(p.layer), p.name.casefold(), p.good))
    for row, price in enumerate(rows, start=4):
        _row(sheet, row, price, contents)
        cell = at(row, COST, sheet.name)
        refs[price.good] = Ref({LAYERS.index(price.layer): cell}, cell, at(row, FLAG, sheet.name))
    return sheet, refs


def _row(sheet: Sheet, row: int, price: PriceRow, contents: Contents) -> None:
    counts = price.unit_cost is not None
    sheet.text(row, 1, price.name)
    sheet.text(row, 2, price.supplier)
    sheet.text(row, 3, price.pack)
    if counts and price.price is not None:
        sheet.number(row, PRICE, float(price.price), "price")
    else:
        sheet.text(row, PRICE, "", "price.missing")
    if price.free or price.rate != 1:
        part = f"={price.paid}/({price.paid}+{price.free}){in_house_money(price.rate)}"
        sheet.formula(row, FREE, part, "factor")
    else:
        sheet.number(row, FREE, 1.0, "factor")
    tax = {"off": f"=1/(1+{price.tax_rate})", "on": f"=1+{price.tax_rate}"}.get(price.tax)
    if tax:
        sheet.formula(row, TAX, tax, "factor")
    else:
        sheet.number(row, TAX, 1.0, "factor")
    sheet.formula(row, CHARGES, charges_formula(price.charges, price.rate), "money")
    p, f, t, c = (at(row, column) for column in (PRICE, FREE, TAX, CHARGES))
    none = quoted(say("no price"))
    sheet.formula(row, LANDED, f"=IF(ISNUMBER({p}),{p}*{f}*{t}+{c},{none})", "money")
    if price.content is not None:
        sheet.number(row, CONTENT, price.content, "amount")
    else:
        sheet.text(row, CONTENT, "", "price.missing")
    sheet.text(row, UNIT, unit_word(price.base), "beside")
    landed, content = at(row, LANDED), at(row, CONTENT)
    good = f"AND(ISNUMBER({landed}),ISNUMBER({content}))"
    sheet.formula(row, COST, f"=IF({good},{landed}/{content},{none})", "unit.price")
    sheet.text(row, 12, layer_word(price.layer), "beside")
    sheet.formula(row, FLAG, f"=IF(ISNUMBER({at(row, COST)}),0,1)", "flag")
    sheet.text(row, SINCE, day_text(price.since) if price.since else "", "beside")
    sheet.text(row, QUOTE, price.quote)
    sheet.text(row, REMARK, _remark(price, contents), "text.small")


def _remark(price: PriceRow, contents: Contents) -> str:
    said = [f"{name} {numeral(str(amount))} {contents.head.currency}" for name, amount in price.charges]
    if price.unit_cost is None:
        if price.price is None:
            return say("No supplier has a price for it today. Whatever contains it costs at least what is shown.")
        cash = numeral(str(price.price))
        if price.reason:
            return say("The quote of {price} for {pack} does not count: {why}.", price=cash, pack=price.pack,
                       why=said_of(price.reason, contents))  # fmt: skip
        return say("The quote of {price} for {pack} does not count.", price=cash, pack=price.pack)
    return "; ".join([*said, *terms_of_quote(price.tax, price.tax_rate, price.paid, price.free, price.rate)])
