"""The first sheet: what this workbook is, what its marks mean, what is assumed, what is amiss, and the cautions."""

from collections.abc import Iterable

from costing.report.cautions import caution
from costing.report.content import Contents
from costing.report.grid import Sheet
from costing.report.phrases import COUNTED, NOT_COUNTED, reading_word, said_of
from costing.report.places import place
from costing.report.sheet_costs import base_words

NAME = "Notes"
WIDE = 135
"""Characters that fit on a line over all columns."""


def notes_sheet(contents: Contents) -> Sheet:
    """The sheet that the others are read by."""
    head = contents.head
    sheet = Sheet(NAME, (47, 30, 22, 36), fixed_columns=0)
    sheet.wide(1, 1, 4, head.house or "House without a name", "title")
    row = 3
    for name, value in (
        ("Day", head.day.isoformat()),
        ("Revision", str(head.revision)),
        ("Money", head.currency or "no currency is entered"),
        ("Pour cost stands on", f"{base_words(head)} over the net price"),
        ("Permit", f"{head.permit or 'no reference entered'}"
                   f"{f', until {head.permit_until.isoformat()}' if head.permit_until else ''}"),
    ):  # fmt: skip
        sheet.text(row, 1, name, "text.bold")
        sheet.wide(row, 2, 4, value, "text")
        row += 1
    row = _lines(sheet, row + 1, "How to read it", _reading(contents))
    row = _amiss(sheet, row, contents)
    row = _assumed(sheet, row, contents)
    said = [caution(code, head.permit, head.permit_until, head.day) for code in contents.cautions]
    _lines(sheet, row, "Cautions", said)
    return sheet


def _reading(contents: Contents) -> Iterable[str]:
    yield (
        "The other sheets are linked by formulas from supplier's pack to menu. Type another figure into a framed cell "
        "(a pack price, a printed price, a rate, a target) and everything behind it follows."
    )
    yield (
        "Amounts on Preparations and Ledger are results of the loss ledger and hold for the batch as it stands. A "
        "changed yield, dose or strength is not a matter of proportion: change it in the book and print again."
    )
    yield (
        "Measured: somebody weighed or read it. Computed: worked out from the other figures. Assumed: nobody measured "
        "it; every assumed figure in use is listed below."
    )
    yield (
        f"The share of a cost that rests on assumed figures counts {COUNTED}: the money that stands on one of them, or "
        f"passed a stage that does. Not counted: {NOT_COUNTED}."
    )
    yield (
        "At least: something in it has no price today, so it costs at least what is shown, and no price is suggested. "
        "Meant to leave is what a stage is there to drive off; lost is what it holds back; unexplained is a gap "
        "between two weighings."
    )
    if not contents.head.terms:
        yield "The house has no terms on this day, so no taxes are taken out and no price is suggested."


def _lines(sheet: Sheet, row: int, title: str, lines: Iterable[str]) -> int:
    sheet.wide(row, 1, 4, title, "head")
    sheet.blank(row, range(2, 5), "head")
    for line in lines:
        row += 1
        sheet.wide(row, 1, 4, line, "text", lines=1 + len(line) // WIDE)
    return row + 2


def _amiss(sheet: Sheet, row: int, contents: Contents) -> int:
    if not contents.problems:
        return _lines(sheet, row, "What is amiss", ["Nothing."])
    sheet.wide(row, 1, 4, "What is amiss", "head")
    sheet.blank(row, range(2, 5), "head")
    for problem in contents.problems:
        row += 1
        said = said_of(problem, contents)
        sheet.text(row, 1, place(problem.where, contents), "text")
        sheet.wide(row, 2, 4, f"{problem.level.capitalize()}: {said}", "text", lines=1 + (len(said) + 9) // 88)
    return row + 2


def _assumed(sheet: Sheet, row: int, contents: Contents) -> int:
    if not contents.assumptions:
        return _lines(sheet, row, "What is assumed", ["Nothing: every figure in use is marked measured."])
    for column, name in enumerate(("What is assumed", "Figure", "As typed", "How, note"), start=1):
        sheet.text(row, column, name, "head")
    for item in contents.assumptions:
        row += 1
        sheet.text(row, 1, item.where)
        sheet.text(row, 2, reading_word(item.figure))
        sheet.text(row, 3, item.typed)
        sheet.text(row, 4, "; ".join(t for t in (item.how, item.note) if t))
    return row + 2
