"""Write sheets as an .xlsx workbook: the only file that knows openpyxl. It styles and places; it works nothing out."""

import io
import math
import re
import zipfile
from datetime import datetime, time

from openpyxl import Workbook
from openpyxl.cell.cell import Cell as XlsxCell
from openpyxl.comments import Comment
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from costing.book.money import digits
from costing.report.cleartext import clear
from costing.report.content import Contents
from costing.report.grid import Cell, Sheet, tab
from costing.report.sheet_costs import PREPARATIONS, SERVES, preparations_sheet, serves_sheet
from costing.report.sheet_decisions import DECISIONS, decisions_sheet
from costing.report.sheet_glass import ALLERGENS, BALANCE, REASONS, allergens_sheet, balance_sheet, reasons_sheet
from costing.report.sheet_ledger import NAME as LEDGER
from costing.report.sheet_ledger import ledger_sheet
from costing.report.sheet_menu import MENU, TERMS, menu_sheet
from costing.report.sheet_notes import NAME as NOTES
from costing.report.sheet_notes import notes_sheet
from costing.report.sheet_prices import prices_sheet
from costing.report.sheet_quotes import BOOK, HISTORY, PRICES, history_sheet, price_book_sheet
from costing.report.words import ALLERGEN_WORDS
from costing.tongue import ENGLISH, day_text, language, right_to_left, say

INK, FAINT, COPPER, PAPER, RULE, PLAIN = "1F2328", "5B6067", "9A4F20", "F6F1E9", "B9B0A3", "FFFFFF"
FACE = "Calibri"
LONGEST = 32_767
SOFT = "\u00ad"
"""A soft hyphen, which a translation may have and spreadsheets show."""
_ESCAPED = re.compile("_(?=x[0-9A-Fa-f]{4}_)")
SMALL = frozenset({"text.small", "block.small", "head", "head.right", "head.beside", "head.centre"}) | frozenset(
    f"state.{state}" for state in ALLERGEN_WORDS
)
_STARTS = ("=", "+", "-", "@", "\t")


SHEETS: tuple[str, ...] = (
    NOTES, PRICES, PREPARATIONS, LEDGER, SERVES, TERMS, MENU, BALANCE, ALLERGENS, REASONS, BOOK, HISTORY,
    DECISIONS,
)  # fmt: skip
"""Names of the sheets in English, in the order they are bound; the last is there where sales were read."""


def sheets(contents: Contents) -> tuple[Sheet, ...]:
    """Every sheet, in the order it is bound."""
    prices, refs = prices_sheet(contents)
    preparations = preparations_sheet(contents, refs)
    ledger = ledger_sheet(contents, refs)
    serves, costs = serves_sheet(contents, refs)
    terms, menu = menu_sheet(contents, costs)
    glass = balance_sheet(contents), allergens_sheet(contents), reasons_sheet(contents)
    book = price_book_sheet(contents), history_sheet(contents)
    made = notes_sheet(contents), prices, preparations, ledger, serves, terms, menu, *glass, *book
    if contents.decisions is None:
        return made
    return *made, decisions_sheet(contents.decisions, {serve: found[0] for serve, found in costs.items()})


def workbook(contents: Contents) -> bytes:
    """The workbook. Equal contents give equal bytes."""
    book = Workbook()
    book.remove(book.active)
    styles = _styles(digits(contents.head.money))
    for sheet in sheets(contents):
        _write(book.create_sheet(sheet.name), sheet, styles, contents)
    book.calculation.fullCalcOnLoad = True
    book.properties.title = clear(say("Menu cost, {house}", house=contents.head.house))[:200]
    book.properties.creator = "Stillroom Ledger"
    book.properties.created = datetime.combine(contents.head.day, time())
    raw = io.BytesIO()
    book.save(raw)
    return _settled(raw.getvalue(), f"{contents.head.day.isoformat()}T00:00:00Z")


def _settled(raw: bytes, moment: str) -> bytes:
    """The same archive without the time it was written, so that equal contents give equal bytes."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(raw)) as source, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target:
        for name in source.namelist():
            data = source.read(name)
            if name == "docProps/core.xml":
                data = re.sub(rb"(<dcterms:modified[^>]*>)[^<]*", rb"\g<1>" + moment.encode(), data)
            target.writestr(zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), data, zipfile.ZIP_DEFLATED)
    return out.getvalue()


class _Style:
    """The openpyxl parts of one style name."""

    def __init__(
        self,
        number: str = "General",
        *,
        bold: bool = False,
        colour: str = INK,
        size: float = 10,
        fill: str = "",
        right: bool = False,
        centre: bool = False,
        indent: int = 0,
        italic: bool = False,
        over: bool = False,
        under: bool = False,
        frame: bool = False,
    ) -> None:
        rule, thin = Side(style="thin", color=INK), Side(style="thin", color=RULE)
        self.number = number
        self.font = Font(name=FACE, size=size, bold=bold, italic=italic, color=colour)
        self.fill = PatternFill("solid", fgColor=fill) if fill else PatternFill()
        ends = right or number != "General"
        side = "center" if centre else "right" if ends != right_to_left() else "left"
        self.alignment = Alignment(
            horizontal=side, vertical="bottom" if under else "top", wrap_text=number == "General", indent=indent
        )
        if frame:
            box = Side(style="thin", color=COPPER)
            self.border = Border(left=box, right=box, top=box, bottom=box)
        else:
            self.border = Border(top=thin if over else None, bottom=rule if under else None)


def _styles(places: int) -> dict[str, _Style]:
    money = "#,##0" + ("." + "0" * places if places else "")
    finer = "#,##0." + "0" * (places + 2)
    unit, kg = f'{finer};-{finer};"–"', '#,##0.000;-#,##0.000;"–"'
    least = say("at least").replace('"', "")
    amount, percent, flag = "#,##0.0000", '0.0%;-0.0%;"–"', f'"{least}";"{least}";'
    return {
        "title": _Style(bold=True, size=16),
        "note": _Style(colour=FAINT, size=9),
        "head": _Style(bold=True, fill=PAPER, under=True, size=9),
        "head.right": _Style(bold=True, fill=PAPER, under=True, size=9, right=True),
        "head.beside": _Style(bold=True, fill=PAPER, under=True, size=9, indent=1),
        "head.centre": _Style(bold=True, fill=PAPER, under=True, size=9, centre=True),
        "text": _Style(),
        "beside": _Style(indent=1),
        "text.bold": _Style(bold=True),
        "text.small": _Style(colour=FAINT, size=9),
        "right.small": _Style(colour=FAINT, size=9, right=True),
        "indent": _Style(indent=1),
        "block": _Style(bold=True, fill=PAPER, over=True),
        "block.beside": _Style(bold=True, fill=PAPER, over=True, indent=1),
        "block.right": _Style(bold=True, colour=COPPER, fill=PAPER, over=True, right=True),
        "block.small": _Style(colour=FAINT, size=9, fill=PAPER, over=True),
        "block.amount": _Style(amount, bold=True, fill=PAPER, over=True),
        "centre": _Style(centre=True),
        "money": _Style(money),
        "price.count": _Style("#,##0.##", colour=COPPER, frame=True),
        "total.count": _Style("#,##0.##", bold=True, over=True),
        "percent.fine": _Style("0.00%"),
        "money.copper": _Style(money, bold=True, colour=COPPER),
        "unit": _Style(unit),
        "unit.price": _Style(finer),
        "amount": _Style(amount),
        "kg": _Style(kg),
        "strength": _Style("0.0"),
        "strength.bold": _Style("0.0", bold=True),
        "two": _Style("0.00"),
        "state.contains": _Style(bold=True, colour=PLAIN, fill=INK, centre=True, size=9),
        "state.may_contain": _Style(bold=True, centre=True, size=9, frame=True),
        "state.not_stated": _Style(bold=True, colour=COPPER, fill=PAPER, centre=True, size=9),
        "state.exempt": _Style(colour=FAINT, centre=True, size=9),
        "state.free": _Style(colour=FAINT, centre=True, size=9),
        "factor": _Style("0.0000"),
        "percent": _Style(percent),
        "percent.whole": _Style("0%"),
        "plain": _Style("0"),
        "price": _Style(money, colour=COPPER, frame=True),
        "price.percent": _Style(percent, colour=COPPER, frame=True),
        "price.times": _Style('0.00" ×"', colour=COPPER, frame=True),
        "price.missing": _Style(money, colour=COPPER, frame=True, fill=PAPER),
        "price.blank": _Style(money, frame=True),
        "total": _Style(bold=True, over=True),
        "total.unit": _Style(unit, bold=True, colour=COPPER, over=True),
        "total.money": _Style(money, bold=True, colour=COPPER, over=True),
        "total.factor": _Style("0.0000", bold=True, over=True),
        "total.flag": _Style(flag, bold=True, italic=True, colour=COPPER, size=9, over=True),
        "flag": _Style(flag, bold=True, italic=True, colour=COPPER, size=9),
    }


def _write(ws: Worksheet, sheet: Sheet, styles: dict[str, _Style], contents: Contents) -> None:
    sheet.widths = _widths(sheet)
    for (row, column), cell in sorted(sheet.cells.items()):
        _put(ws.cell(row, column), cell, styles[cell.style])
    for merge in sheet.merges:
        ws.merge_cells(start_row=merge[0], start_column=merge[1], end_row=merge[2], end_column=merge[3])
    for column, width in enumerate(sheet.widths, start=1):
        ws.column_dimensions[get_column_letter(column)].width = width
    for row, height in _heights(sheet).items():
        ws.row_dimensions[row].height = height
    ws.sheet_view.showGridLines = False
    if right_to_left():
        ws.sheet_view.rightToLeft = True
    ws.sheet_properties.tabColor = COPPER if sheet.name in (tab(PRICES), tab(MENU)) else INK
    if sheet.head:
        ws.freeze_panes = f"{get_column_letter(sheet.fixed_columns + 1)}{sheet.head + 1}"
        ws.print_title_rows = f"1:{sheet.head}"
    last = get_column_letter(sheet.printed_columns or len(sheet.widths))
    ws.print_area = f"A1:{last}{max(sheet.last, 1)}"
    ws.page_setup.orientation = "landscape" if sheet.landscape else "portrait"
    ws.page_setup.paperSize = ws.PAPERSIZE_A4
    ws.page_setup.fitToWidth, ws.page_setup.fitToHeight = sheet.pages_wide, 0
    ws.sheet_properties.pageSetUpPr.fitToPage = True
    if sheet.pages_wide > 1:
        ws.print_title_cols = f"A:{get_column_letter(sheet.fixed_columns)}"
    ws.page_margins.left = ws.page_margins.right = 0.4
    ws.page_margins.top, ws.page_margins.bottom, ws.page_margins.footer = 0.5, 0.8, 0.35
    house = clear(contents.head.house).replace("&", "&&")[:100]
    revision = say("revision {revision}", revision=contents.head.revision)
    ws.oddFooter.left.text = f"{house}  {day_text(contents.head.day)}  {revision}"
    ws.oddFooter.right.text = say("{sheet}, page {number} of {count}", sheet="&A", number="&P", count="&N")


def _widths(sheet: Sheet) -> tuple[float, ...]:
    """Widths of columns, which are set for English: in another language, wide enough for the longest word of the
    sheet's own words, by half as much again at the most."""
    if language() == ENGLISH:
        return sheet.widths
    merged = {(row, column) for row, column, _, until in sheet.merges if until > column}
    need = list(sheet.widths)
    for (row, column), cell in sheet.cells.items():
        if cell.kind == "text" and (row, column) not in merged:
            longest = max((len(word) for word in str(cell.value).replace(SOFT, "").split()), default=0)
            need[column - 1] = max(need[column - 1], min(longest + 1.5, 1.5 * sheet.widths[column - 1]))
    return tuple(need)


def _heights(sheet: Sheet) -> dict[int, float]:
    """Row heights in points that wrapped text needs: a file gives them, or one reader in two cuts the text."""
    heights: dict[int, float] = {}
    merged = {(row, column) for row, column, _, until in sheet.merges if until > column}
    for (row, column), cell in sheet.cells.items():
        if cell.kind == "text" and (row, column) not in merged:
            small = cell.style in SMALL
            room = max(4.0, sheet.widths[column - 1] * (1.2 if small else 1.0) + 0.4)
            count = _lines_in(str(cell.value), room)
            height = 14.5 if count == 1 else (11.7 if small else 13.0) * count + 3.0
            heights[row] = max(heights.get(row, 14.5), height)
    return {row: min(height, 400.0) for row, height in (heights | sheet.heights | {1: 24.0}).items()}


def _lines_in(text: str, room: float) -> int:
    """Lines that words of this text take in a column of ``room`` characters."""
    total = 0
    for line in text.split("\n"):
        used, count = 0.0, 1
        for word in line.split(" "):
            size = float(len(word))
            if used and used + 1 + size > room:
                used, count = 0.0, count + 1
            count += math.floor(size / room) if size > room else 0
            used += size + (1 if used else 0)
        total += count
    return total


def _put(target: XlsxCell, cell: Cell, style: _Style) -> None:
    if cell.kind == "text":
        if cell.value != "":
            _put_text(target, str(cell.value))
    else:
        target.value = cell.value
    target.number_format = style.number
    target.font, target.fill, target.border, target.alignment = style.font, style.fill, style.border, style.alignment
    if cell.remark:
        target.comment = Comment(plain(cell.remark), "Stillroom Ledger", width=260, height=90)


def _put_text(target: XlsxCell, text: str) -> None:
    """Text as text: never a formula, and quoted where a spreadsheet would take it for one when it is edited."""
    shown = plain(text)
    target.value = shown
    target.data_type = "s"
    if shown.startswith(_STARTS):
        target.quotePrefix = True


def plain(text: str) -> str:
    """Text as a cell can hold it: nothing unseen, no run that a reader would take for an escape, not too long."""
    shown = _ESCAPED.sub("_x005F_", clear(text)).replace(SOFT, "")
    cut = say(" … cut here: a cell holds 32,767 characters")
    return shown if len(shown) <= LONGEST else shown[: LONGEST - len(cut)] + cut
