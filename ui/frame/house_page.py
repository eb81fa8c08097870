"""What a house says of itself, to be changed: money rules from a day on, measures, its permit. All are steps."""

from collections.abc import Callable
from datetime import date
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFormLayout,
    QGridLayout,
    QLabel,
    QLayout,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from costing.book.book import Book
from costing.book.change import Step
from costing.book.fact import Fact
from costing.book.records import LAYERS, Good, House, Terms
from costing.edits import house
from costing.edits.menus import policy_text
from costing.report.words import layer_word
from costing.tables import allergen_lists
from costing.tongue import say
from ui.desk import Desk
from ui.document import Moved
from ui.fault import KNOWN, refusal_of
from ui.models.table import Column, RowTable
from ui.widgets.fields import DayField, TextField, in_row, read_day
from ui.widgets.table import DataTable

Edit = Callable[[Book, str], Step | None]
Measure = tuple[str, Fact]
LEVY_LINES, MEASURE_LINES = 4, 5
"""Lines of taxes, and of measures, that are seen at once."""


class HousePage(QWidget):
    """Money rules from a day on, and what else the house says of itself."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._fields: dict[str, TextField] = {}
        self.said = QLabel(self)
        self.said.setProperty("error", True)
        self.said.setWordWrap(True)
        self.said.hide()
        layout = QVBoxLayout(self)
        for title, made in (
            (say("The house"), self._house_form()),
            (say("Money rules from a day on"), self._money_form()),
            (say("Measures of the house"), self._measures()),
            (say("Law and health"), self._law_form()),
        ):
            heading = QLabel(title, self)
            heading.setProperty("heading", True)
            layout.addWidget(heading)
            layout.addLayout(made)
            layout.addSpacing(self.fontMetrics().height() // 2)
        layout.insertWidget(0, self.said)
        layout.addStretch(1)
        desk.document.changed.connect(self._moved)
        self.refresh()

    # What it is made of

    def _house_form(self) -> QFormLayout:
        form = self._form()
        self._row(form, "name", say("Name of the house"), house.set_name)
        self._row(form, "currency", say("Currency"), house.set_currency, "EUR")
        self.labour = self._choice(say("Hour of hands"), self._labour)
        self.labour.setToolTip(say("What an hour costs where a stage names nobody"))
        form.addRow(say("Hour of hands"), self.labour)
        return form

    def _money_form(self) -> QFormLayout:
        form = self._form()
        self.since = DayField(say("These rules hold from"), self.desk.format, self._today, self)
        self.since.set_day(self._today())
        self.since.picked.connect(self._another_day)
        form.addRow(say("Rules hold from"), self.since)
        self.holds = self._faint()
        form.addRow("", self.holds)
        self.levies = QPlainTextEdit(self)
        self.levies.setAccessibleName(say("Taxes and service, in their order, one a line"))
        self.levies.setTabChangesFocus(True)
        self.levies.setFixedHeight(self.fontMetrics().lineSpacing() * LEVY_LINES + 14)
        form.addRow(say("Taxes and service"), self.levies)
        form.addRow("", self._faint(say("In their order, one a line: VAT 19 % · Service 10 % on all before, kept")))
        self.take = self._button(say("Take over taxes and service"), self._levies)
        form.addRow("", self.take)
        self._row(form, "step", say("Prices in steps of"), self._points, "0.50")
        self._row(form, "endings", say("that end in"), self._points, say("any, or 0.50 0.90"))
        self._row(form, "least", say("and are at least"), self._points)
        self._row(form, "target", say("Target"), self._target, say("20 %, 9.50 or x 5"))
        self.layers = [QCheckBox(layer_word(layer), self) for layer in LAYERS]
        boxes = QGridLayout()
        boxes.setContentsMargins(0, 0, 0, 0)
        for n, box in enumerate(self.layers):
            box.clicked.connect(self._base)
            boxes.addWidget(box, n // 2, n % 2)
        form.addRow(say("Pour cost stands on"), boxes)
        self.recovers = QCheckBox(say("is got back, and left out of cost"), self)
        self.recovers.setAccessibleName(say("Tax in purchase prices is got back, and left out of cost"))
        self.recovers.clicked.connect(self._recovers)
        form.addRow(say("Purchase tax"), self.recovers)
        return form

    def _measures(self) -> QLayout:
        self.measures: RowTable[Measure] = RowTable(
            [
                Column[Measure]("name", say("Measure"), lambda m: m[0]),
                Column[Measure]("is", say("Is here"), lambda m: m[1].text, write=_write_measure,
                                mark=lambda m: m[1].mark),
            ],
            lambda m: m[0],
            self.desk,
            self,
        )  # fmt: skip
        self.measures.refused.connect(self._cell_refused)
        table = DataTable(self.measures, say("Measures of the house"), self)
        table.setFixedHeight((self.fontMetrics().height() + 8) * (MEASURE_LINES + 1) + 4)
        self.measure, self.amount = QLineEdit(self), QLineEdit(self)
        self.measure.setAccessibleName(say("Name of a new measure"))
        self.measure.setPlaceholderText(say("dash, barspoon, oz"))
        self.amount.setAccessibleName(say("What the new measure is"))
        self.amount.setPlaceholderText(say("0.9 ml"))
        self.measure.returnPressed.connect(self.amount.setFocus)
        self.amount.returnPressed.connect(self._add_measure)
        self.add = self._button(say("Add measure"), self._add_measure)
        column = QVBoxLayout()
        column.addWidget(self._faint(say("An empty cell takes the measure out; the shipped one holds again.")))
        column.addWidget(table)
        column.addLayout(in_row(self.measure, self.amount, self.add))
        return column

    def _law_form(self) -> QFormLayout:
        form = self._form()
        self.lists = self._choice(say("List of allergens"), self._list)
        self.lists.addItems(list(allergen_lists()))
        form.addRow(say("List of allergens"), self.lists)
        self._row(form, "drink", say("Ethanol in a standard drink"), house.set_standard_drink, "10 g")
        self._row(form, "permit", say("Permit to distil"), self._permit, say("its reference, or “works under one”"))
        self._row(form, "until", say("Permit valid until"), self._until, "2027-12-31")
        return form

    def _form(self) -> QFormLayout:
        form = QFormLayout()
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        return form

    def _row(self, form: QFormLayout, key: str, title: str, edit: Edit, hint: str = "") -> None:
        field = TextField(title, self, hint=hint)
        self._fields[key] = field
        field.committed.connect(partial(self._into, field, edit))
        form.addRow(title, field)

    def _choice(self, name: str, slot: Callable[..., object]) -> QComboBox:
        box = QComboBox(self)
        box.setAccessibleName(name)
        box.activated.connect(slot)
        return box

    def _button(self, text: str, slot: Callable[..., object]) -> QPushButton:
        button = QPushButton(text, self)
        button.setAutoDefault(False)  # Enter in a field takes the field, and nothing else
        button.clicked.connect(slot)
        return button

    def _faint(self, text: str = "") -> QLabel:
        label = QLabel(text, self)
        label.setProperty("faint", True)
        label.setWordWrap(True)
        label.setMinimumWidth(self.fontMetrics().averageCharWidth() * 50)  # its height is judged by it
        return label

    # What the book says

    def _today(self) -> date:
        return self.desk.document.day

    def _moved(self, _: Moved) -> None:
        self.refresh()

    def _another_day(self, _: date) -> None:
        self.refresh()

    def refresh(self) -> None:
        """What the book says."""
        document = self.desk.document
        found = house.house_of(document.book)
        held = house.terms_on(found, self.day())
        terms = held or Terms(since=self.day())
        step, endings, least = house.points_text(terms.points)
        texts = {
            "name": found.name, "currency": found.currency, "step": step, "endings": endings, "least": least,
            "target": policy_text(terms.policy), "permit": found.permit,
            "drink": found.standard_drink.text if found.standard_drink else "",
            "until": found.permit_until.isoformat() if found.permit_until else "",
        }  # fmt: skip
        for key, text in texts.items():
            self._fields[key].set_text(text)
        self.holds.setText(self._span(found, held))
        self.levies.setPlainText(house.levies_text(terms.levies))
        for layer, box in zip(LAYERS, self.layers, strict=True):
            box.setChecked(layer in terms.base)
        self.recovers.setChecked(terms.recovers_tax)
        self.lists.setCurrentText(found.allergen_list)
        self.measures.set_rows(found.measures)
        self.labour.clear()
        self.labour.addItem(say("none"), "")
        for good in sorted(document.book.all(Good).values(), key=lambda g: g.name):
            if good.kind == "labour":
                self.labour.addItem(good.name, good.id)
        self.labour.setCurrentIndex(max(0, self.labour.findData(found.labour)))

    def _span(self, found: House, held: Terms | None) -> str:
        """Since when what is shown holds, and whether something else comes after."""
        form = self.desk.format
        since = say("What is shown holds since {day}.", day=form.day(held.since)) if held else say("None hold yet.")
        later = [t.since for t in found.terms if t.since > self.day()]
        after = say("Other rules hold from {day} on.", day=form.day(min(later))) if later else ""
        return " ".join(part for part in (since, after) if part)

    def day(self) -> date:
        """The day that rules typed here hold from."""
        try:
            return read_day(self.since.text(), self._today())
        except KNOWN:
            return self._today()

    # Edits

    def _run(self, work: Callable[[], Step | None]) -> bool:
        try:
            step = work()
        except KNOWN as error:
            self._say(refusal_of(error).text)
            return False
        done = self.desk.do(step)
        self._say("" if done or self.desk.refusal is None else self.desk.refusal.text)
        return done

    def _say(self, text: str) -> None:
        self.said.setText(text)
        self.said.setVisible(bool(text))

    def _into(self, field: TextField, edit: Edit, text: str) -> None:
        try:
            step = edit(self.desk.document.book, text)
        except KNOWN as error:
            field.refuse(refusal_of(error))
            self._say(refusal_of(error).text)
            return
        self._say("" if self.desk.do(step) or self.desk.refusal is None else self.desk.refusal.text)

    def _points(self, book: Book, _: str) -> Step | None:
        step, endings, least = (self._fields[key].text() for key in ("step", "endings", "least"))
        return house.set_points(book, step, endings, least, self.day())

    def _target(self, book: Book, text: str) -> Step | None:
        return house.set_target(book, text, self.day())

    def _permit(self, book: Book, text: str) -> Step | None:
        return house.set_permit(book, text, house.house_of(book).permit_until)

    def _until(self, book: Book, text: str) -> Step | None:
        until = read_day(text, self._today()) if text.strip() else None
        return house.set_permit(book, house.house_of(book).permit, until)

    def _levies(self) -> None:
        self._run(lambda: house.set_levies(self.desk.document.book, self.levies.toPlainText(), self.day()))

    def _base(self) -> None:
        layers = tuple(layer for layer, box in zip(LAYERS, self.layers, strict=True) if box.isChecked())
        if not self._run(lambda: house.set_base(self.desk.document.book, layers, self.day())):
            self.refresh()

    def _recovers(self) -> None:
        self._run(lambda: house.set_recovers_tax(self.desk.document.book, self.recovers.isChecked(), self.day()))

    def _list(self) -> None:
        self._run(lambda: house.set_allergen_list(self.desk.document.book, self.lists.currentText()))

    def _labour(self) -> None:
        self._run(lambda: house.set_labour(self.desk.document.book, str(self.labour.currentData() or "")))

    def _add_measure(self) -> None:
        name, text = self.measure.text(), self.amount.text()
        if not text.strip():
            self._say(say("Write what the measure is, like 0.9 ml."))
        elif self._run(lambda: house.set_measure(self.desk.document.book, name, text)):
            self.measure.clear()
            self.amount.clear()
            self.measure.setFocus(Qt.FocusReason.OtherFocusReason)

    def _cell_refused(self, refusal: object) -> None:
        self._say(getattr(refusal, "text", ""))


def _write_measure(book: Book, row: Measure, text: str) -> Step | None:
    return house.set_measure(book, row[0], text)
