"""Exchange rates: what one of a foreign currency is worth, from which day, and who said so."""

from collections.abc import Sequence
from functools import partial

from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from costing.book.book import Book
from costing.book.buying import ExchangeRate
from costing.book.change import Step
from costing.edits import rates
from costing.tongue import say
from ui.desk import Desk
from ui.format import own
from ui.models.table import Column, RowTable
from ui.places.cellar.dialogs import Asking
from ui.widgets.acts import acts
from ui.widgets.fields import DayField, TextField, read_day
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace


def rate_columns(desk: Desk) -> Sequence[Column[ExchangeRate]]:
    """One rate a row."""
    form = desk.format

    def worth(book: Book, row: ExchangeRate, text: str) -> Step | None:
        return rates.set_worth(book, row.id, text)

    def source(book: Book, row: ExchangeRate, text: str) -> Step | None:
        return rates.set_source(book, row.id, text)

    def figure(row: ExchangeRate) -> str:
        return form.number(row.worth, 8, trim=True)

    return (
        Column[ExchangeRate]("currency", say("One"), lambda r: r.currency),
        Column[ExchangeRate]("worth", say("Is worth"), figure, True, lambda r: r.worth, write=worth),
        Column[ExchangeRate]("since", say("From"), lambda r: form.day(r.since), sort=lambda r: r.since),
        Column[ExchangeRate]("source", say("Who said so"), lambda r: own(r.source), write=source,
                             edit_text=lambda r: r.source),
    )  # fmt: skip


class RatesList(QWidget):
    """The list of rates, the latest first."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        title = QLabel(say("Exchange rates"), self)
        title.setProperty("heading", True)
        self.rows: RowTable[ExchangeRate] = RowTable(rate_columns(desk), lambda r: r.id, desk, self)
        empty = EmptyPlace(
            say("Quotes in another currency count once its rate is here, from its day on."), say("New exchange rate"),
            self.ask_new,
        )  # fmt: skip
        self.list = ListPane(self.rows, say("Exchange rates"), empty, self)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(title)
        layout.addWidget(self.list, 1)
        self.list.table.addActions(acts(self.list.table, [(say("Remove the rate"), "Delete", self.remove)], alone=True))

    def refresh(self) -> None:
        """The rates as the book has them."""
        found = self.desk.document.book.all(ExchangeRate).values()
        self.rows.set_rows(sorted(found, key=lambda r: (r.since, r.currency), reverse=True))

    def ask_new(self) -> None:
        """Currency, worth, day, source."""
        NewRate(self.desk, self).open()

    def remove(self) -> None:
        """Take the chosen rate out."""
        index = self.list.table.currentIndex()
        if index.isValid():
            self.desk.attempt(partial(rates.remove, self.desk.document.book, self.rows.key(index.row())))


class NewRate(Asking):
    """A rate from a day on."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, say("New exchange rate"), say("Add it"), parent)
        house = desk.document.book.house
        own_money = house.currency if house is not None else ""
        self.currency = TextField(say("Currency"), self, hint="SEK")
        self.worth = TextField(say("Is worth"), self, hint="0.092")
        self.since = DayField(say("From"), desk.format, lambda: desk.document.day, self)
        self.since.set_day(desk.document.day)
        self.source = TextField(say("Who said so"), self, hint=say("bank, statement of the day"))
        for name, title, field in (
            ("currency", say("One"), self.currency),
            ("worth", say("Is worth, in {currency}", currency=own_money), self.worth),
            ("since", say("From"), self.since),
            ("source", say("Who said so"), self.source),
        ):
            self.ask(name, title, field)
        self.currency.setFocus()

    def work(self) -> bool:
        """Add the rate."""
        self.must_have_currency()
        document = self.desk.document
        return self.desk.do(
            rates.add_rate(
                document.book, self.currency.text(), self.worth.text(), read_day(self.since.text(), document.day),
                self.source.text(), document.past_ids(),
            )
        )  # fmt: skip
