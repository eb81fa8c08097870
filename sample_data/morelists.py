"""Two more price lists: the dry store's sheet with all that a sheet can hide, and a paste out of the quay's mail.

The sheet: a title and a day above the table, a heading of two rows with merged cells, group rows, item numbers kept as
numbers that only a format shows with their zeros, prices with a currency in the format, the price of a piece as a
formula, one row with prices typed as text with no-break spaces, one case price whose formula was never worked out, two
hidden rows, a hidden column with the store's margin, a hidden sheet.
"""

import io
import re
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from math import prod
from typing import Any

from openpyxl import Workbook
from openpyxl.styles import Alignment, Font

from sample_data.pricefiles import STAMP, same_bytes
from sample_data.quotes import DRY_GOODS, gtin

VALID = date(2026, 12, 10)
MONEY = '#,##0.00\\ "€"'
HEADING = (("No.", ""), ("Article", ""), ("EAN", ""), ("Pack", "units"), ("", "content"), ("Price", "case"),
           ("", "bottle"), ("Our margin", ""), ("Remark", ""))  # fmt: skip
"""Two rows of heading, column by column; a blank on top is covered by the merged cell before it."""
WIDTHS = (9, 34, 16, 8, 11, 13, 13, 12, 26)
FIRST_ROW = 7
"""The row below the heading."""
NBSP = "\u00a0"


@dataclass(frozen=True)
class Row:
    """One row: the number without its letters, the store's words, pack, and the price of the case as a number in text.

    ``typed`` prices are texts with no-break spaces; ``unworked`` is a formula that no program has worked out yet.
    """

    number: int
    article: str
    units: int
    content: str
    price: str
    remark: str = ""
    hidden: bool = False
    typed: bool = False
    unworked: bool = False


DESCRIBED = {
    301: ("Tea, black, smoked", "500 g"), 302: ("Coffee f. filter, ground", "1 kg"),
    303: ("Cocoa nibs roasted", "1 kg"), 304: ("Hazelnuts, kernels", "5 kg"), 305: ("Salt, sea, fine", "1 kg"),
    306: ("Sugar white", "25 kg"), 307: ("Sugar raw cane", "1 kg"), 308: ("Honey heather, pail", "12.5 kg"),
    309: ("Citric acid anhydr.", "1 kg"), 310: ("Malic acid", "1 kg"), 312: ("Olives green, pitted", "120 pcs"),
    313: ("Wild cherries in syrup", "90 pcs"), 321: ("Carbon dioxide, bottle", "10 kg"),
    330: ("Straws, reed", "500 pcs"), 331: ("Napkins paper", "500 pcs"), 332: ("Picks, wood", "1000 pcs"),
    335: ("Swing-top bottles 0.2 l", "100 pcs"),
}  # fmt: skip
"""The store's own words for its numbers, and what one piece of a pack holds."""
MOVED = {302: "118.20", 304: "69.50", 306: "27.90", 309: "8.45", 313: "15.60", 330: "13.80", 331: "63.00"}
"""Case prices from the tenth of December on; the rest stand. Citric acid was quoted with tax in it before."""
GROUPS = (
    ("TEA, COFFEE, NUTS", (301, 302, 303, 304)),
    ("SUGAR, SALT, ACIDS", (305, 306, 307, 308, 309, 310)),
    ("GARNISH", (312, 313)),
    ("GAS & TABLE", (321, 330, 331, 332, 335)),
)
BESIDE: dict[int, tuple[Row, ...]] = {
    302: (Row(302, "Coffee f. filter, ground", 6, "1 kg", "108.00", "price 2025", hidden=True),),
    304: (Row(315, "Star anise, whole", 1, "1 kg", "19.40", "new"),),
    306: (Row(336, "Sugar white, pallet", 40, "25 kg", "1068.00", "to order, 5 days", typed=True),),
    313: (Row(316, "Lime slices, dried", 1, "100 pcs", "11.20", "delisted", hidden=True),),
}
"""Rows that follow the one of a number: two are hidden, two are new to the house."""
UNWORKED = 307
REMARKS = {321: "plus deposit 60.00"}


def rows() -> list[str | Row]:
    """Every row below the heading; a text is the row of a group."""
    offers = {int(o.code.split("-")[1]): o for o in DRY_GOODS}
    out: list[str | Row] = []
    for group, numbers in GROUPS:
        out.append(group)
        for number in numbers:
            article, content = DESCRIBED[number]
            price = MOVED.get(number, offers[number].prices[-1][1])
            out.append(Row(number, article, prod(offers[number].levels), content, price, REMARKS.get(number, ""),
                           unworked=number == UNWORKED))  # fmt: skip
            out += BESIDE.get(number, ())
    return out


def _spaced(price: Decimal) -> str:
    """As a program of another country types it: "1 068,00 €" with no-break spaces."""
    return f"{price:,.2f} €".replace(",", NBSP).replace(".", ",").replace(" ", NBSP)


def _cells(row: Row, at: int) -> list[Any]:
    """The row as it stands at row ``at`` of the sheet."""
    price = Decimal(row.price)
    each = price / row.units
    case: Any = float(price)
    piece: Any = f"=F{at}/D{at}"
    if row.typed:
        case, piece = _spaced(price), _spaced(each)
    if row.unworked:
        case, piece = f"=G{at}*D{at}", float(each)
    margin = round(0.16 + row.number % 7 / 50, 2)
    return [row.number, row.article, int(gtin(row.number)), row.units, row.content, case, piece, margin, row.remark]


def store_sheet() -> bytes:
    """The store's list as a workbook."""
    book = Workbook()
    sheet = book.active
    sheet.title = "List"
    _head(sheet)
    worked: dict[str, Decimal] = {}
    for at, row in enumerate(rows(), FIRST_ROW):
        if isinstance(row, str):
            sheet.cell(at, 1, row).font = Font(bold=True)
            sheet.merge_cells(start_row=at, end_row=at, start_column=1, end_column=len(HEADING))
            continue
        for column, value in enumerate(_cells(row, at), 1):
            sheet.cell(at, column, value or None)
        for letter, shown in (("A", "00000"), ("C", "0"), ("F", MONEY), ("G", MONEY), ("H", "0%")):
            sheet[f"{letter}{at}"].number_format = shown
        sheet.row_dimensions[at].hidden = row.hidden
        if not row.typed and not row.unworked:
            worked[f"G{at}"] = Decimal(row.price) / row.units
    sheet.freeze_panes = f"A{FIRST_ROW}"
    sheet.column_dimensions["H"].hidden = True
    _bought(book)
    book.properties.creator = "Customs Street Dry Store"
    book.properties.created = book.properties.modified = STAMP
    raw = io.BytesIO()
    book.save(raw)
    return same_bytes(raw.getvalue(), lambda name, data: _with_values(data, worked) if "sheet1" in name else data)


def _head(sheet: Any) -> None:
    """Title, terms, day, and the heading of two rows."""
    sheet["A1"], sheet["A2"] = "Customs Street Dry Store: list for the trade", "All prices net, VAT 19 % on top"
    sheet["A3"], sheet["C3"] = "valid from", VALID
    sheet["A1"].font = Font(bold=True, size=14)
    sheet["C3"].number_format = "dd.mm.yyyy"
    sheet.merge_cells("A1:I1")
    top = FIRST_ROW - 2
    for n, (above, below) in enumerate(HEADING, 1):
        for at, text in ((top, above), (top + 1, below)):
            cell = sheet.cell(at, n, text or None)
            cell.font, cell.alignment = Font(bold=True), Alignment(horizontal="center")
    for letter in "ABCHI":
        sheet.merge_cells(f"{letter}{top}:{letter}{top + 1}")
    sheet.merge_cells(f"D{top}:E{top}")
    sheet.merge_cells(f"F{top}:G{top}")
    for letter, width in zip("ABCDEFGHI", WIDTHS, strict=True):
        sheet.column_dimensions[letter].width = width


def _bought(book: Workbook) -> None:
    """The hidden sheet: what the store itself pays. Nobody meant to send it."""
    sheet = book.create_sheet("Buying")
    sheet.append(["No.", "paid"])
    for row in rows():
        if isinstance(row, Row) and not row.hidden:
            sheet.append([row.number, round(float(Decimal(row.price)) * 0.8, 2)])
    sheet.sheet_state = "hidden"


def _with_values(data: bytes, worked: dict[str, Decimal]) -> bytes:
    """The values that a spreadsheet program keeps beside its formulas, which the writer of the file leaves out."""

    def value(found: re.Match[bytes]) -> bytes:
        at = found.group(2).decode()
        kept = f"<v>{float(worked[at])!r}</v>".encode() if at in worked else b""
        return found.group(1) + kept + b"</c>"

    return re.sub(rb'(<c r="([A-Z]+\d+)"[^>]*><f>[^<]*</f>)<v></v></c>', value, data)


MAIL = (
    ("NQ-101", "Pineapple, ripe", "crate 8 kg", "21,80"),
    ("NQ-102", "Lemons, unwaxed", "10 kg", "24,40"),
    ("NQ-103", "Limes", "4 kg", "119,00"),
    ("NQ-104", "Oranges for juice", "10 kg", "17,90"),
    ("NQ-105", "Cucumber", "12 x 400 g", "8,60"),
    ("NQ-107", "Ginger root", "5 kg", "17,60"),
    ("NQ-110", "Mint", "10 bunches", "12,40"),
    ("NQ-120", "Milk, whole", "12 x 1 l", "12,72"),
    ("NQ-118", "Blood oranges, first of the year", "8 kg", "19,20"),
)
"""What the quay wrote in a mail: number, words, pack, price."""
DOUBTED = {"NQ-103": "ten times the last price", "NQ-110": "bunches, where the house buys by weight"}
"""Lines of the mail that nobody may take unseen."""


def mail_text() -> str:
    """The table as it is pasted from the mail, the sentences around it left out."""
    lines = ["Code\tItem\tPack\tPrice EUR", *("\t".join(cells) for cells in MAIL)]
    return "\r\n".join(lines) + "\r\n"
