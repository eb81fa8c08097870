"""Settings in two pages: this book (money rules, undone like any edit) and this computer (theme, language, letters)."""

from collections.abc import Callable
from datetime import date
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLabel,
    QPlainTextEdit,
    QPushButton,
    QScrollArea,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from costing.book.book import Book
from costing.book.change import Step
from costing.book.records import LAYERS, Terms
from costing.edits import house
from costing.edits.menus import policy_text
from costing.report.words import layer_word
from costing.tables import allergen_lists
from costing.tongue import languages, say
from ui.desk import Desk
from ui.document import Moved
from ui.fault import KNOWN, refusal_of
from ui.places.month.language import language_name
from ui.settings import LARGEST, SMALLEST, Settings
from ui.widgets.fields import DayField, TextField, read_day

Edit = Callable[[Book, str], Step | None]


class BookPage(QWidget):
    """Money rules from a day on, and what else the house says of itself."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.since = DayField(say("These rules hold from"), desk.format, lambda: desk.document.day, self)
        self.since.set_day(desk.document.day)
        self.levies = QPlainTextEdit(self)
        self.levies.setAccessibleName(say("Taxes and service, in their order, one a line"))
        self.levies.setTabChangesFocus(True)
        self.levies.setMaximumHeight(self.fontMetrics().height() * 5)
        self.take = QPushButton(say("Take over taxes and service"), self)
        self.take.clicked.connect(self._levies)
        self.layers = [QCheckBox(layer_word(layer), self) for layer in LAYERS]
        for box in self.layers:
            box.clicked.connect(self._base)
        self.recovers = QCheckBox(say("Tax in purchase prices is got back, and left out of cost"), self)
        self.recovers.clicked.connect(self._recovers)
        self.lists = QComboBox(self)
        self.lists.setAccessibleName(say("List of allergens"))
        self.lists.addItems(list(allergen_lists()))
        self.lists.activated.connect(self._list)
        self.said = QLabel(self)
        self.said.setProperty("error", True)
        self.said.setWordWrap(True)
        self._fields: dict[str, TextField] = {}
        form = QFormLayout()
        self._row(form, "name", say("Name of the house"), house.set_name)
        self._row(form, "currency", say("Currency"), house.set_currency, "EUR")
        form.addRow(say("Rules hold from"), self.since)
        form.addRow(say("Taxes and service"), self.levies)
        form.addRow("", self.take)
        self._row(form, "step", say("Prices in steps of"), self._points, "0.50")
        self._row(form, "endings", say("that end in"), self._points, say("any, or 0.50 0.90"))
        self._row(form, "least", say("and are at least"), self._points)
        self._row(form, "target", say("Target"), self._target, say("20 %, 9.50 or x 5"))
        boxes = QWidget(self)
        inside = QVBoxLayout(boxes)
        inside.setContentsMargins(0, 0, 0, 0)
        for box in self.layers:
            inside.addWidget(box)
        form.addRow(say("Pour cost stands on"), boxes)
        form.addRow("", self.recovers)
        form.addRow(say("List of allergens"), self.lists)
        self._row(form, "drink", say("Ethanol in a standard drink"), house.set_standard_drink, "10 g")
        self._row(form, "permit", say("Permit to distil"), self._permit, say("its reference, or “works under one”"))
        self._row(form, "until", say("Permit valid until"), self._until, "2027-12-31")
        layout = QVBoxLayout(self)
        layout.addLayout(form)
        layout.addWidget(self.said)
        layout.addStretch(1)
        desk.document.changed.connect(self._moved)
        self.refresh()

    def _row(self, form: QFormLayout, key: str, title: str, edit: Edit, hint: str = "") -> None:
        field = TextField(title, self, hint=hint)
        self._fields[key] = field
        field.committed.connect(partial(self._into, field, edit))
        form.addRow(title, field)

    def _moved(self, _: Moved) -> None:
        self.refresh()

    def refresh(self) -> None:
        """What the book says."""
        document = self.desk.document
        found = house.house_of(document.book)
        terms = house.terms_on(found, self.day()) or Terms(since=self.day())
        step, endings, least = house.points_text(terms.points)
        texts = {
            "name": found.name, "currency": found.currency, "step": step, "endings": endings, "least": least,
            "target": policy_text(terms.policy), "permit": found.permit,
            "drink": found.standard_drink.text if found.standard_drink else "",
            "until": found.permit_until.isoformat() if found.permit_until else "",
        }  # fmt: skip
        for key, text in texts.items():
            self._fields[key].set_text(text)
        self.levies.setPlainText(house.levies_text(terms.levies))
        for layer, box in zip(LAYERS, self.layers, strict=True):
            box.setChecked(layer in terms.base)
        self.recovers.setChecked(terms.recovers_tax)
        self.lists.setCurrentText(found.allergen_list)

    def day(self) -> date:
        """The day that rules typed here hold from."""
        try:
            return read_day(self.since.text(), self.desk.document.day)
        except KNOWN:
            return self.desk.document.day

    # Edits

    def _run(self, work: Callable[[], Step | None]) -> bool:
        try:
            step = work()
        except KNOWN as error:
            self.said.setText(refusal_of(error).text)
            return False
        done = self.desk.do(step)
        self.said.setText("" if done or self.desk.refusal is None else self.desk.refusal.text)
        return done

    def _into(self, field: TextField, edit: Edit, text: str) -> None:
        try:
            step = edit(self.desk.document.book, text)
        except KNOWN as error:
            field.refuse(refusal_of(error))
            self.said.setText(refusal_of(error).text)
            return
        self.said.setText("" if self.desk.do(step) or self.desk.refusal is None else self.desk.refusal.text)

    def _points(self, book: Book, _: str) -> Step | None:
        step, endings, least = (self._fields[key].text() for key in ("step", "endings", "least"))
        return house.set_points(book, step, endings, least, self.day())

    def _target(self, book: Book, text: str) -> Step | None:
        return house.set_target(book, text, self.day())

    def _permit(self, book: Book, text: str) -> Step | None:
        return house.set_permit(book, text, house.house_of(book).permit_until)

    def _until(self, book: Book, text: str) -> Step | None:
        until = read_day(text, self.desk.document.day) if text.strip() else None
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


class ComputerPage(QWidget):
    """Theme, language and the size of letters on this computer."""

    changed = Signal()

    def __init__(self, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.settings = settings
        self.theme, self.tongue, self.points = QComboBox(self), QComboBox(self), QComboBox(self)
        self._tags = ["", *languages()]
        self._themes = ["system", "light", "dark"]
        self.theme.addItems([say("as the system"), say("light"), say("dark")])
        self.theme.setCurrentIndex(self._themes.index(settings.theme))
        self.tongue.addItems([say("as the system"), *(language_name(t) for t in self._tags[1:])])
        self.tongue.setCurrentIndex(self._tags.index(settings.language) if settings.language in self._tags else 0)
        self._sizes = [p for p in (7.0, 8.0, 9.0, 10.0, 11.0, 12.0, 14.0, 16.0, 18.0, 22.0) if SMALLEST <= p <= LARGEST]
        self.points.addItems([say("{n} points", n=f"{p:g}") for p in self._sizes])
        self.points.setCurrentIndex(min(range(len(self._sizes)), key=lambda n: abs(self._sizes[n] - settings.points)))
        form = QFormLayout(self)
        for title, box in (
            (say("Theme"), self.theme), (say("Language"), self.tongue), (say("Letters"), self.points),
        ):  # fmt: skip
            box.setAccessibleName(title)
            box.activated.connect(self._keep)
            form.addRow(title, box)
        where = QLabel(say("Kept in {file}. Nothing of the house is kept there.", file=str(settings.file)), self)
        where.setWordWrap(True)
        where.setProperty("faint", True)
        where.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        form.addRow("", where)

    def _keep(self, *_: object) -> None:
        self.settings.theme = self._themes[self.theme.currentIndex()]
        self.settings.language = self._tags[self.tongue.currentIndex()]
        self.settings.points = self._sizes[self.points.currentIndex()]
        self.settings.save()
        self.changed.emit()


class SettingsDialog(QDialog):
    """Both pages. What is typed on the first is a step at once; what is chosen on the second holds at once."""

    def __init__(self, desk: Desk, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(say("Settings"))
        self.book, self.computer = BookPage(desk, self), ComputerPage(settings, self)
        scroll = QScrollArea(self)
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QScrollArea.Shape.NoFrame)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(self.book)
        self.tabs = QTabWidget(self)
        self.tabs.setAccessibleName(say("Settings"))
        self.tabs.addTab(scroll, say("This book"))
        self.tabs.addTab(self.computer, say("This computer"))
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        close = buttons.button(QDialogButtonBox.StandardButton.Close)
        close.setText(say("Close"))
        close.setAutoDefault(False)  # Enter in a field takes the field, and nothing else
        self.book.take.setAutoDefault(False)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.addWidget(self.tabs, 1)
        layout.addWidget(buttons)
        self.resize(560, 640)
