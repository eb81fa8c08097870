"""The first sheet: what this workbook is, what its marks mean, what is assumed, what is amiss, and the cautions."""

from collections.abc import Iterable

from costing.report.cautions import caution
from costing.report.content import Contents
from costing.report.grid import Sheet, tab
from costing.report.method_words import how_said
from costing.report.phrases import house_name, reading_word, said_of
from costing.report.places import place
from costing.report.sheet_costs import PREPARATIONS, base_words
from costing.report.sheet_ledger import NAME as LEDGER
from costing.report.words import level_word
from costing.tongue import Saying, capital, day_text, say

NAME: Saying = "Notes"
WIDE = 135
"""Characters that fit on a line over all columns."""


def notes_sheet(contents: Contents) -> Sheet:
    """The sheet that the others are read by."""
    head = contents.head
    sheet = Sheet(tab(NAME), (47, 30, 22, 36), fixed_columns=0)
    sheet.wide(1, 1, 4, house_name(head), "title")
    row = 3
    permit = head.permit or say("no reference entered")
    if head.permit_until:
        permit = say("{permit}, until {day}", permit=permit, day=day_text(head.permit_until))
    for name, value in (
        (say("Day"), day_text(head.day)),
        (say("Revision"), str(head.revision)),
        (say("Money"), head.currency or say("no currency is entered")),
        (say("Pour cost stands on"), say("{layers} over the net price", layers=base_words(head))),
        (say("Permit"), permit),
    ):
        sheet.text(row, 1, name, "text.bold")
        sheet.wide(row, 2, 4, value, "text")
        row += 1
    row = _lines(sheet, row + 1, say("How to read it"), _reading(contents))
    row = _amiss(sheet, row, contents)
    row = _assumed(sheet, row, contents)
    said = [caution(code, head.permit, head.permit_until, head.day) for code in contents.cautions]
    _lines(sheet, row, say("Cautions"), said)
    return sheet


def _reading(contents: Contents) -> Iterable[str]:
    yield say(
        "The other sheets are linked by formulas from supplier's pack to menu. Type another figure into a framed cell "
        "(a pack price, a printed price, a rate, a target) and everything behind it follows."
    )
    yield say(
        "Amounts on {preparations} and {ledger} are results of the loss ledger and hold for the batch as it stands. A "
        "changed yield, dose or strength is not a matter of proportion: change it in the book and print again.",
        preparations=tab(PREPARATIONS),
        ledger=tab(LEDGER),
    )
    yield say(
        "Measured: somebody weighed or read it. Computed: worked out from the other figures. Assumed: nobody measured "
        "it; every assumed figure in use is listed below."
    )
    yield say(
        "The share of a cost that rests on assumed figures counts amounts, times, stage figures and readings, weights "
        "of a piece, densities, house measures and packs: the money that stands on one of them, or passed a stage that "
        "does. Not counted: an assumed makeup, dilution or CO2."
    )
    yield say(
        "At least: something in it has no price today, so it costs at least what is shown, and no price is suggested. "
        "Meant to leave is what a stage is there to drive off; lost is what it holds back; unexplained is a gap "
        "between two weighings."
    )
    if not contents.head.terms:
        yield say("The house has no terms on this day, so no taxes are taken out and no price is suggested.")


def _lines(sheet: Sheet, row: int, title: str, lines: Iterable[str]) -> int:
    sheet.wide(row, 1, 4, title, "head")
    sheet.blank(row, range(2, 5), "head")
    for line in lines:
        row += 1
        sheet.wide(row, 1, 4, line, "text", lines=1 + len(line) // WIDE)
    return row + 2


def _amiss(sheet: Sheet, row: int, contents: Contents) -> int:
    if not contents.problems:
        return _lines(sheet, row, say("What is amiss"), [say("Nothing.")])
    sheet.wide(row, 1, 4, say("What is amiss"), "head")
    sheet.blank(row, range(2, 5), "head")
    for problem in contents.problems:
        row += 1
        said = said_of(problem, contents)
        sheet.text(row, 1, place(problem.where, contents), "text")
        sheet.wide(row, 2, 4, f"{capital(level_word(problem.level))}: {said}", "text", lines=1 + (len(said) + 9) // 88)
    return row + 2


def _assumed(sheet: Sheet, row: int, contents: Contents) -> int:
    if not contents.assumptions:
        nothing = say("Nothing: every figure in use is marked measured.")
        return _lines(sheet, row, say("What is assumed"), [nothing])
    heads = say("What is assumed"), say("Figure"), say("As typed"), say("How, note")
    for column, name in enumerate(heads, start=1):
        sheet.text(row, column, name, "head")
    for item in contents.assumptions:
        row += 1
        sheet.text(row, 1, item.where)
        sheet.text(row, 2, reading_word(item.figure))
        sheet.text(row, 3, item.typed)
        sheet.text(row, 4, "; ".join(t for t in (how_said(item.how), item.note) if t))
    return row + 2
