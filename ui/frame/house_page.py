"""What a house says of itself, to be changed: money rules from a day on, measures, its permit. All are steps."""

from collections.abc import Callable
from datetime import date
from functools import partial
from typing import Literal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QFormLayout,
    QGridLayout,
    QLabel,
    QLayout,
    QLineEdit,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)

from costing.book.book import Book
from costing.book.change import Step
from costing.book.fact import Fact
from costing.book.records import LAYERS, Good, House, Terms
from costing.edits import house, judging
from costing.edits.menus import policy_text
from costing.report.words import layer_word
from costing.tables import allergen_lists
from costing.tongue import say
from ui.desk import Desk
from ui.document import Moved
from ui.fault import KNOWN, Refusal, refusal_of
from ui.format import own
from ui.frame.forms import button, choice, faint
from ui.frame.forms import form as form_of
from ui.frame.holds_table import hold_rows, holds_table
from ui.frame.lines_field import LinesField
from ui.models.table import Column, RowTable
from ui.widgets.fields import DayField, TextField, in_row, read_day
from ui.widgets.table import DataTable

Edit = Callable[[Book, str], Step | None]
Measure = tuple[str, Fact]
LEVY_LINES, MEASURE_LINES = 4, 5
"""Lines of taxes, and of measures, that are seen at once."""
POINTS = ("step", "endings", "least")
"""Fields that are written together."""


class HousePage(QWidget):
    """Money rules from a day on, and what else the house says of itself."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._fields: dict[str, TextField] = {}
        self._left: list[str] = []
        self.said = QLabel(self)
        self.said.setProperty("error", True)
        self.said.setWordWrap(True)
        self.said.hide()
        layout = QVBoxLayout(self)
        for title, made in (
            (say("The house"), self._house_form()),
            (say("Money rules from a day on"), self._money_form()),
            (say("Measures of the house"), self._measures()),
            (say("How far a price may move before it waits"), self._hold_rules()),
            (say("How the menu is judged"), self._judging_form()),
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
        if desk.document.read_only:
            self._freeze()

    # What it is made of

    def _house_form(self) -> QFormLayout:
        form = form_of()
        self._row(form, "name", say("Name of the house"), house.set_name)
        self._row(form, "currency", say("Currency"), house.set_currency, "EUR")
        self.labour = choice(self, say("Hour of hands"), self._labour)
        self.labour.setToolTip(say("What an hour costs where a stage names nobody"))
        form.addRow(say("Hour of hands"), self.labour)
        return form

    def _money_form(self) -> QFormLayout:
        form = form_of()
        self.since = DayField(say("These rules hold from"), self.desk.format, self._today, self)
        self.since.set_day(self._today())
        self.since.picked.connect(self._another_day)
        form.addRow(say("Rules hold from"), self.since)
        self.holds = faint(self)
        form.addRow("", self.holds)
        self.levies = LinesField(say("Taxes and service, in their order, one a line"), LEVY_LINES, self)
        form.addRow(say("Taxes and service"), self.levies)
        form.addRow("", faint(self, say("In their order, one a line: VAT 19 % · Service 10 % on all before, kept")))
        self.take = button(self, say("Take over taxes and service"), self._levies)
        form.addRow("", self.take)
        self._row(form, "step", say("Prices in steps of"), self._points, "0.50")
        self._row(form, "endings", say("that end in"), self._points, say("any, or 0.50 0.90"))
        self._row(form, "least", say("and are at least"), self._points)
        self._row(form, "target", say("Target"), self._target, say("20 %, margin 9.50 or x 5"))
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
        self.add = button(self, say("Add measure"), self._add_measure)
        column = QVBoxLayout()
        column.addWidget(faint(self, say("An empty cell takes the measure out; the shipped one holds again.")))
        column.addWidget(table)
        column.addLayout(in_row(self.measure, self.amount, self.add))
        return column

    def _hold_rules(self) -> QLayout:
        self.widths = holds_table(self.desk, self)
        self.widths.refused.connect(self._cell_refused)
        table = DataTable(self.widths, say("How far a price may move before it waits"), self)
        table.setFixedHeight((self.fontMetrics().height() + 8) * (MEASURE_LINES + 1) + 4)
        column = QVBoxLayout()
        column.addWidget(
            faint(
                self,
                say(
                    "A supplier's file waits at a line that moves further, up or down. Near ten, a "
                    "hundred or a thousand times, and near what a pack holds, it always waits."
                ),
            )
        )
        column.addWidget(table)
        return column

    def _judging_form(self) -> QFormLayout:
        form = form_of()
        shares: tuple[tuple[judging.Share, str, str], ...] = (
            ("cut", say("Popular from, of an equal share of the mix"), "70 %"),
            ("sure", say("A class is sure from a chance of"), "90 %"),
            ("variable", say("Varies with sales besides cost, of net sales"), "30 %"),
        )
        for key, title, hint in shares:
            self._row(form, key, title, partial(judging.set_share, key), hint)
        self.tie = choice(self, say("Exactly at a threshold"), self._tie)
        self.tie.addItem(say("counts as high"), "high")
        self.tie.addItem(say("counts as low"), "low")
        form.addRow(say("Exactly at a threshold"), self.tie)
        self.unsold = QCheckBox(say("are counted among those that share the mix"), self)
        self.unsold.setAccessibleName(say("Drinks that nobody bought are counted among those that share the mix"))
        self.unsold.clicked.connect(self._unsold)
        form.addRow(say("Drinks that nobody bought"), self.unsold)
        return form

    def _law_form(self) -> QFormLayout:
        form = form_of()
        self.lists = choice(self, say("List of allergens"), self._list)
        self.lists.addItem(say("none chosen"), "")
        for name in allergen_lists():
            self.lists.addItem(name, name)
        form.addRow(say("List of allergens"), self.lists)
        self._row(form, "drink", say("Ethanol in a standard drink"), house.set_standard_drink, "10 g")
        self._row(form, "permit", say("Permit to distil"), self._permit, say("its reference, or “works under one”"))
        self._row(form, "until", say("Permit valid until"), self._until, "2027-12-31")
        return form

    def _row(self, form: QFormLayout, key: str, title: str, edit: Edit, hint: str = "") -> None:
        field = TextField(title, self, hint=hint)
        self._fields[key] = field
        field.committed.connect(partial(self._into, field, edit))
        form.addRow(title, field)

    # What the book says

    def _today(self) -> date:
        return self.desk.document.day

    def _moved(self, _: Moved) -> None:
        self.refresh()

    def _another_day(self, day: date) -> None:
        self.since.set_day(day)  # "+7" must not count anew from where it led to
        self._say("")
        self.refresh()

    def begin(self) -> None:
        """The keyboard to the first field."""
        self._fields["name"].setFocus(Qt.FocusReason.OtherFocusReason)

    def _freeze(self) -> None:
        """Show a book that can only be looked at as such; another day may still be looked at."""
        lines: list[QLineEdit | QPlainTextEdit] = [*self._fields.values(), self.levies, self.measure, self.amount]
        for line in lines:
            line.setReadOnly(True)
        for box in (self.labour, self.lists, self.take, self.add, self.recovers, self.tie, self.unsold, *self.layers):
            box.setEnabled(False)
        self._say(say("This book is open to look at only."))

    def refresh(self) -> None:
        """What the book says. Where no rules hold yet, none are shown: what is typed is then the first."""
        document = self.desk.document
        found = house.house_of(document.book)
        day = self._shown_day()
        held = house.terms_on(found, day)
        terms = held or Terms(since=day)
        step, endings, least = house.points_text(terms.points) if held else ("", "", "")
        texts = {
            "name": found.name, "currency": found.currency, "step": step, "endings": endings, "least": least,
            "target": policy_text(held.policy) if held else "", "permit": found.permit,
            "drink": found.standard_drink.text if found.standard_drink else "",
            "until": found.permit_until.isoformat() if found.permit_until else "",
        }  # fmt: skip
        judged = found.judging
        texts.update({name: judging.share_text(getattr(judged, name)) for name in ("cut", "sure", "variable")})
        for key, text in texts.items():
            self._fields[key].set_text(text)
        self.tie.setCurrentIndex(max(0, self.tie.findData(judged.tie)))
        self.unsold.setChecked(judged.unsold == "counted")
        self.holds.setText(self._span(found, held, day))
        self.levies.set_text(house.levies_text(terms.levies))
        for layer, box in zip(LAYERS, self.layers, strict=True):
            box.setChecked(layer in terms.base)
        self.recovers.setChecked(terms.recovers_tax)
        listed = found.allergen_list if document.book.house is not None else ""
        self.lists.setCurrentIndex(max(0, self.lists.findData(listed)))
        self.measures.set_rows(found.measures)
        self.widths.set_rows(hold_rows(found))
        self.labour.clear()
        self.labour.addItem(say("none"), "")
        for good in sorted(document.book.all(Good).values(), key=lambda g: g.name):
            if good.kind == "labour":
                self.labour.addItem(good.name, good.id)
        self.labour.setCurrentIndex(max(0, self.labour.findData(found.labour)))

    def _span(self, found: House, held: Terms | None, day: date) -> str:
        """Since when what is shown holds, and whether something else comes after."""
        form = self.desk.format
        since = say("What is shown holds since {day}.", day=form.day(held.since)) if held else say("None hold yet.")
        later = [t.since for t in found.terms if t.since > day]
        after = say("Other rules hold from {day} on.", day=form.day(min(later))) if later else ""
        return " ".join(part for part in (since, after) if part)

    def day(self) -> date:
        """The day that rules typed here hold from. Refusal while it cannot be read: a rule is never put on another day
        than the one that is written above it."""
        try:
            return read_day(self.since.text(), self._today())
        except KNOWN as error:
            self.since.refuse(refusal_of(error))
            raise

    def _shown_day(self) -> date:
        """The day whose rules are shown: the one that is looked at, while another cannot be read."""
        try:
            return read_day(self.since.text(), self._today())
        except KNOWN:
            return self._today()

    # Leaving

    def may_close(self) -> bool:
        """Whether nothing would be lost by closing. Typed lines of taxes are taken over; what does not stand even so is
        named, once: the next time it is left."""
        said = []
        if self.levies.typed and not self._levies():
            said.append(self.said.text())
        texts = [f.text() for f in self._fields.values() if f.refusal is not None]
        texts += [line.text() for line in (self.measure, self.amount) if line.text().strip()]
        texts += [*self.measures.unkept(), *self.widths.unkept()]
        if texts:
            shown = ", ".join(f"“{own(text)}”" for text in texts)
            said.append(say("This was typed and does not stand in the book: {texts}.", texts=shown))
        if not said or said == self._left:
            return True
        self._left = said
        self._say(" ".join([*said, say("Mend it, or close once more to leave it.")]))
        return False

    # Edits

    def _run(self, work: Callable[[], Step | None]) -> bool:
        """Build a step and run it; what cannot be is said, and what was ticked or chosen goes back."""
        refusal: Refusal | None
        try:
            done, refusal = self.desk.do(work()), self.desk.refusal
        except KNOWN as error:
            done, refusal = False, refusal_of(error)
        self._say("" if done or refusal is None else refusal.text)
        if not done:
            self.refresh()
        return done

    def _say(self, text: str) -> None:
        self.said.setText(text)
        self.said.setVisible(bool(text))

    def _into(self, field: TextField, edit: Edit, text: str) -> None:
        refusal: Refusal | None
        try:
            done, refusal = self.desk.do(edit(self.desk.document.book, text)), self.desk.refusal
        except KNOWN as error:
            done, refusal = False, refusal_of(error)
        if done:
            if edit == self._points:
                for key in POINTS:
                    self._fields[key].revert()  # all three stand now, also one that had waited for the others
            self._say("")
        else:
            field.refuse(refusal)
            self._say(refusal.text if refusal else "")

    def _points(self, book: Book, _: str) -> Step | None:
        step, endings, least = (self._fields[key].text() for key in POINTS)
        if not step.strip():
            raise Refusal(
                say("The prices have no step yet."), "", say("Write first in which steps they go, like 0.50.")
            )
        return house.set_points(book, step, endings, least, self.day())

    def _target(self, book: Book, text: str) -> Step | None:
        return house.set_target(book, text, self.day())

    def _permit(self, book: Book, text: str) -> Step | None:
        return house.set_permit(book, text, house.house_of(book).permit_until)

    def _until(self, book: Book, text: str) -> Step | None:
        until = read_day(text, self._today()) if text.strip() else None
        return house.set_permit(book, house.house_of(book).permit, until)

    def _levies(self) -> bool:
        """Take the lines of taxes over."""
        typed = self.levies.toPlainText()
        done = self._run(lambda: house.set_levies(self.desk.document.book, typed, self.day()))
        if done:
            self.levies.revert()
        else:
            self.levies.refuse(Refusal(self.said.text(), "", ""))
        return done

    def _base(self) -> None:
        layers = tuple(layer for layer, box in zip(LAYERS, self.layers, strict=True) if box.isChecked())
        self._run(lambda: house.set_base(self.desk.document.book, layers, self.day()))

    def _recovers(self) -> None:
        self._run(lambda: house.set_recovers_tax(self.desk.document.book, self.recovers.isChecked(), self.day()))

    def _tie(self) -> None:
        tie: Literal["high", "low"] = "low" if self.tie.currentData() == "low" else "high"
        self._run(lambda: judging.set_tie(self.desk.document.book, tie))

    def _unsold(self) -> None:
        counted: Literal["counted", "left out"] = "counted" if self.unsold.isChecked() else "left out"
        self._run(lambda: judging.set_unsold(self.desk.document.book, counted))

    def _list(self) -> None:
        name = str(self.lists.currentData() or "")
        if name:
            self._run(lambda: house.set_allergen_list(self.desk.document.book, name))
        else:
            self.refresh()

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
