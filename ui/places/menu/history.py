"""The prices of one line over time: each entry holds from its day until the next."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from costing.book.book import Book
from costing.book.change import Step
from costing.book.records import Menu
from costing.edits import house, menus
from costing.edits.menus import Spot
from costing.pricing.levies import net_of
from costing.tongue import say
from ui.desk import Desk
from ui.format import UNKNOWN, Format, own
from ui.models.table import Column, RowTable
from ui.places.menu.rows import line_key
from ui.widgets.table import DataTable


@dataclass(frozen=True, slots=True)
class PriceRow:
    """One dated price. ``net`` goes by the taxes of its own first day; None where the house has none then."""

    line: str
    """The key of the line it is of."""
    menu: str
    spot: Spot
    since: date
    price: Decimal
    before: Decimal | None
    net: Decimal | None
    holds: bool | None
    """True for the one in force on the day looked at, None for one that is still to come."""


def price_rows(book: Book, menu: Menu, spot: Spot, day: date) -> list[PriceRow]:
    """The dated prices of a line, the latest first."""
    out: list[PriceRow] = []
    before: Decimal | None = None
    prices = sorted(menus.line_at(menu, spot).prices, key=lambda p: p.since)
    begun = [p for p in prices if p.since <= day]
    for entry in prices:
        terms = house.terms_on(book.house, entry.since) if book.house is not None else None
        net = net_of(entry.price, terms.levies) if terms is not None else None
        holds = None if entry.since > day else entry is begun[-1]
        out.append(PriceRow(line_key(menu, spot), menu.id, spot, entry.since, entry.price, before, net, holds))
        before = entry.price
    return out[::-1]


class PriceHistory(QWidget):
    """The dated prices of the line that is chosen in the menu."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.rows: RowTable[PriceRow] = RowTable(_columns(desk.format), _key, desk, self)
        self.title = QLabel(self)
        self.table = DataTable(self.rows, say("Prices of this line over time"), self)
        self.fault = QLabel(self)
        self.fault.setProperty("error", True)
        self.fault.setWordWrap(True)
        self.fault.hide()
        self.rows.refused.connect(self._refused)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(4, 2, 4, 2)
        layout.setSpacing(2)
        layout.addWidget(self.title)
        layout.addWidget(self.table, 1)
        layout.addWidget(self.fault)

    def show_line(self, menu: Menu | None, spot: Spot | None, name: str) -> None:
        """Show the prices of a line, or of none."""
        if menu is None or spot is None:
            self.title.setText(say("Choose a drink above: its prices over time stand here."))
            self.rows.set_rows([])
            return
        self.title.setText(
            say("Prices of {drink} over time. Clear one to take it back; a new one is typed above.", drink=own(name))
        )
        document = self.desk.document
        self.rows.set_rows(price_rows(document.book, menu, spot, document.day))

    def _refused(self, refusal: object) -> None:
        self.fault.setText(getattr(refusal, "text", ""))
        self.fault.setVisible(refusal is not None)


def _key(row: PriceRow) -> str:
    return f"{row.line}/{row.since.isoformat()}"


def _write(book: Book, row: PriceRow, text: str) -> Step | None:
    return None if text.strip() == str(row.price) else menus.set_price(book, row.menu, row.spot, text, row.since)


def _columns(form: Format) -> Sequence[Column[PriceRow]]:
    def holds(row: PriceRow) -> str:
        if row.holds is None:
            return say("not yet")
        return say("on this day") if row.holds else say("no longer")

    return (
        Column[PriceRow]("since", say("From"), lambda r: form.day(r.since), True),
        Column[PriceRow]("price", say("Price"), lambda r: form.money(r.price), True, write=_write,
                         edit_text=lambda r: str(r.price)),
        Column[PriceRow]("change", say("Change"),
                         lambda r: form.signed(r.price - r.before) if r.before is not None else UNKNOWN, True),
        Column[PriceRow]("net", say("Net"), lambda r: form.money(r.net), True,
                         about=say("Without the taxes and service of its first day")),
        Column[PriceRow]("holds", say("In force"), holds, strong=lambda r: bool(r.holds)),
    )  # fmt: skip
