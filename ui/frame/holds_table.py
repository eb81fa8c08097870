"""How far a price may move before an arriving file is held there, by kind of ingredient."""

from dataclasses import dataclass
from decimal import Decimal

from PySide6.QtWidgets import QWidget

from costing.book.book import Book
from costing.book.change import Step
from costing.book.records import House
from costing.edits import house
from costing.supply.plan.holds import FRESH, WIDTHS
from costing.tongue import say
from ui.desk import Desk
from ui.models.table import Column, RowTable
from ui.words import good_kind_word


@dataclass(frozen=True, slots=True)
class HoldRow:
    """One kind: the width that holds, and whether the house said it."""

    kind: str
    share: Decimal
    own: bool


def hold_rows(found: House) -> list[HoldRow]:
    """Every kind, narrow ones first."""
    said = dict(found.holds)
    return [HoldRow(kind, said.get(kind, share), kind in said) for kind, share in WIDTHS.items()]


def holds_table(desk: Desk, parent: QWidget) -> RowTable[HoldRow]:
    """The table of widths; an empty cell leaves one to the shipped width."""

    def width(row: HoldRow) -> str:
        return desk.format.percent(row.share, 0)

    def whose(row: HoldRow) -> str:
        if row.own:
            return say("the house's")
        return say("as shipped; its own past where there is a year of it") if row.kind in FRESH else say("as shipped")

    return RowTable(
        [
            Column[HoldRow]("kind", say("Kind"), lambda r: good_kind_word(r.kind)),
            Column[HoldRow]("width", say("May move by"), width, True, lambda r: r.share, write=_write,
                            mark=lambda r: "" if r.own else "assumed"),
            Column[HoldRow]("whose", say("Whose"), whose),
        ],
        lambda r: r.kind, desk, parent,
    )  # fmt: skip


def _write(book: Book, row: HoldRow, text: str) -> Step | None:
    return house.set_hold(book, row.kind, text)
