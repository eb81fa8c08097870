"""A new ingredient, a new quote, and the review of a pasted block."""

from collections.abc import Mapping
from functools import partial

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent, QShowEvent
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QFormLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from costing.book.records import Supplier
from costing.edits import goods, quotes
from costing.edits.block import BlockLine, BlockPlan, leave, read_block, step_of, take
from costing.supply.small import BASES
from costing.tongue import say
from ui.desk import Desk
from ui.fault import KNOWN, Refusal, refusal_of
from ui.format import UNKNOWN, own
from ui.models.table import Column, RowTable
from ui.places.cellar.facts import supplier_of
from ui.places.cellar.rows import kind_of, kind_words
from ui.widgets.fields import ChoiceField, DayField, TextField, read_day
from ui.widgets.listpane import ListPane


class Asking(QDialog):
    """A few fields and one act; what cannot be is said under them, and the dialog stays. Left without the act, what was
    typed can be had as ``draft``, for the next time."""

    def __init__(self, desk: Desk, title: str, act: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.fields: dict[str, TextField] = {}
        self.setWindowTitle(title)
        self.form = QFormLayout()
        self.said = QLabel(self)
        self.said.setProperty("error", True)
        self.said.setWordWrap(True)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel, self)
        self.ok = buttons.button(QDialogButtonBox.StandardButton.Ok)
        self.ok.setText(act)
        self.ok.setProperty("chief", True)
        self.ok.style().unpolish(self.ok)  # a box has dressed its buttons before they can be told apart
        self.ok.style().polish(self.ok)
        buttons.button(QDialogButtonBox.StandardButton.Cancel).setText(say("Leave it"))
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.addLayout(self.form)
        layout.addWidget(self.said)
        layout.addWidget(buttons)
        self.setMinimumWidth(self.fontMetrics().averageCharWidth() * 60)
        self.finished.connect(self.deleteLater)

    def ask(self, name: str, title: str, field: TextField) -> None:
        """One more field, ``name`` in the draft; Enter in it is the act."""
        self.form.addRow(title, field)
        self.fields[name] = field
        field.installEventFilter(self)

    def draft(self) -> dict[str, str]:
        """What was typed over what stood in the fields at first, by the name of the field."""
        return {name: field.text() for name, field in self.fields.items() if field.text() != field.stands}

    def take_draft(self, draft: Mapping[str, str]) -> None:
        """Go on from what was typed before."""
        for name, text in draft.items():
            if name in self.fields:
                self.fields[name].setText(text)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Enter takes what was typed and does it."""
        done = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        pressed = isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress and event.key() in done
        if pressed and isinstance(watched, TextField):
            watched.commit()
            self.accept()
            return True
        return super().eventFilter(watched, event)

    def work(self) -> bool:
        """Do it; False where that could not be."""
        raise NotImplementedError

    def accept(self) -> None:
        """Do it, and close where it was done."""
        try:
            done = self.work()
        except KNOWN as error:
            self._say(refusal_of(error).text)
            return
        if done:
            super().accept()
        else:
            self._say(self.desk.refusal.text if self.desk.refusal else "")

    def _say(self, text: str) -> None:
        self.said.setText(text)
        self.adjustSize()  # the sentence must not take its room from the fields

    def must_have_currency(self) -> None:
        """Refusal where the house has no currency: no price can be written."""
        house = self.desk.document.book.house
        if house is None or not house.currency:
            raise Refusal(
                say("The house has no currency yet, and a price needs one."), "",
                say("Choose it under Book, Settings, on the page This book."),
            )  # fmt: skip

    def showEvent(self, event: QShowEvent) -> None:
        """Say at once what no field here can mend."""
        super().showEvent(event)
        try:
            self.must_have_currency()
        except Refusal as refusal:
            self._say(refusal.text)


class NewGood(Asking):
    """Name, kind, pack, price, supplier; the rest comes from the tables, marked assumed."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, say("New ingredient"), say("Add it"), parent)
        self.made = ""
        self.name = TextField(say("Name"), self)
        self.kind = ChoiceField(say("Kind"), kind_words, self, hint=say("Alt+Down lists them"))
        self.pack = TextField(say("Pack"), self, hint=say("0.7 l or 6 x 0.7 l"))
        self.price = TextField(say("Price of the pack"), self, hint="12.50")
        self.supplier = ChoiceField(
            say("Supplier"), lambda: [s.name for s in desk.document.book.all(Supplier).values()], self
        )
        self.since = DayField(say("From"), desk.format, lambda: desk.document.day, self)
        self.since.set_day(desk.document.day)
        for name, title, field in (
            ("name", say("Name"), self.name), ("kind", say("Kind"), self.kind), ("pack", say("Pack"), self.pack),
            ("price", say("Price of the pack"), self.price), ("supplier", say("Supplier"), self.supplier),
            ("since", say("From"), self.since),
        ):  # fmt: skip
            self.ask(name, title, field)
        self.name.setFocus()

    def work(self) -> bool:
        """Add the good and its quote as one step."""
        self.must_have_currency()
        document = self.desk.document
        kind = kind_of(self.kind.text())
        since = read_day(self.since.text(), document.day)
        step = goods.new_good(
            document.book, self.name.text(), kind, self.pack.text(), self.price.text(),  # type: ignore[arg-type]
            self.supplier.text(), since, document.past_ids(),
        )  # fmt: skip
        if not self.desk.do(step):
            return False
        self.made = next(change.id for change in step.changes if change.kind == "good")
        return kind in {str(k) for k in BASES}


class NewQuote(Asking):
    """Supplier, pack, price and day for a good that is there."""

    def __init__(self, desk: Desk, good: str, parent: QWidget | None = None) -> None:
        name = desk.document.names.get(good, good)
        super().__init__(desk, say("A quote for {good}", good=name), say("Add it"), parent)
        self.good = good
        current = desk.document.view.quote_of(good)
        suppliers = desk.document.view.suppliers
        self.supplier = ChoiceField(say("Supplier"), lambda: [s.name for s in suppliers.values()], self)
        self.pack = TextField(say("Pack"), self, hint=say("0.7 l or 6 x 0.7 l"))
        self.price = TextField(say("Price of the pack"), self, hint="12.50")
        self.since = DayField(say("From"), desk.format, lambda: desk.document.day, self)
        self.since.set_day(desk.document.day)
        if current is not None:
            supplier = suppliers.get(current.supplier)
            self.supplier.set_text(supplier.name if supplier else "")
            self.pack.set_text(quotes.pack_text(current))
        for field_name, title, field in (
            ("supplier", say("Supplier"), self.supplier), ("pack", say("Pack"), self.pack),
            ("price", say("Price of the pack"), self.price), ("since", say("From"), self.since),
        ):  # fmt: skip
            self.ask(field_name, title, field)
        self.price.setFocus()

    def work(self) -> bool:
        """Add the quote."""
        self.must_have_currency()
        document = self.desk.document
        return self.desk.do(
            quotes.new_quote(
                document.book, self.good, supplier_of(document.book, self.supplier.text()), self.pack.text(),
                self.price.text(), read_day(self.since.text(), document.day), document.past_ids(),
            )
        )  # fmt: skip


class Review(QDialog):
    """A pasted block before it is taken: what each line becomes, and why the others wait. Enter on a held line that
    says enough takes it all the same, and on one to be taken leaves it waiting."""

    def __init__(self, desk: Desk, text: str, parent: QWidget | None = None) -> None:
        """ValueError for a block that cannot be read at all."""
        document = desk.document
        plan = read_block(text, document.book, document.day, document.past_ids())
        super().__init__(parent)  # after it, or a block that cannot be read would leave a window behind
        self.desk, self.plan = desk, plan
        self.setWindowTitle(say("Prices from a spreadsheet"))
        self.finished.connect(self.deleteLater)
        form = desk.format
        self.rows: RowTable[BlockLine] = RowTable(
            [
                Column[BlockLine]("n", say("Line"), lambda r: str(r.n), True, lambda r: r.n),
                Column[BlockLine]("fate", say("Is"), _fate, strong=lambda r: r.fate == "held"),
                Column[BlockLine]("good", say("Ingredient"), lambda r: document.names.get(r.good, r.name)),
                Column[BlockLine]("pack", say("Pack"), lambda r: r.pack),
                Column[BlockLine]("before", say("Price before"), lambda r: form.money(r.before), True),
                Column[BlockLine]("price", say("Price now"), lambda r: form.money(r.price), True),
                Column[BlockLine]("since", say("From"), lambda r: form.day(r.since) if r.since else UNKNOWN),
                Column[BlockLine]("why", say("Why it waits"), lambda r: r.why, tip=lambda r: r.why),
                Column[BlockLine]("text", say("As it came"), lambda r: r.text),
            ],
            lambda r: str(r.n),
            desk,
            self,
        )
        self.list = ListPane(self.rows, say("Lines of the block"), None, self)
        self.list.table.opened.connect(self._take)
        self.list.table.current_key.connect(self._come_to)
        self.line = QLabel(self)
        self.line.setWordWrap(True)
        self.line.setProperty("faint", True)
        self.said = QLabel(self)
        self.said.setWordWrap(True)
        self.ok = QPushButton(self)
        self.ok.setProperty("chief", True)
        self.ok.clicked.connect(self.accept)
        leave = QPushButton(say("Leave it"), self)
        leave.clicked.connect(self.reject)
        buttons = QDialogButtonBox(self)
        buttons.addButton(self.ok, QDialogButtonBox.ButtonRole.AcceptRole)
        buttons.addButton(leave, QDialogButtonBox.ButtonRole.RejectRole)
        layout = QVBoxLayout(self)
        layout.addWidget(self.said)
        layout.addWidget(self.list, 1)
        layout.addWidget(self.line)
        layout.addWidget(buttons)
        self.resize(980, 520)
        self._show()
        first = next((line for line in self.plan.lines if line.fate == "held"), None)
        if first is not None:
            self.list.table.choose(str(first.n))
        self.list.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show(self) -> None:
        self.rows.set_rows(self.plan.lines)
        self.list.table.fit_columns()
        taken, held, ignored = (self.plan.count(fate) for fate in ("taken", "held", "ignored"))
        self.said.setText(
            say("{n} lines: {taken} to take, {held} wait, {ignored} left out. Enter on a waiting line takes it all the "
                "same where it says enough; Enter on one to take leaves it waiting.",
                n=len(self.plan.lines), taken=taken, held=held, ignored=ignored)
        )  # fmt: skip
        self.ok.setText(say("Take {n}", n=taken))
        self.ok.setEnabled(taken > 0)

    def _take(self, key: str) -> None:
        try:
            turn = {"held": take, "taken": leave}
            lines = tuple(
                turn[line.fate](line) if str(line.n) == key and line.fate in turn else line for line in self.plan.lines
            )
        except ValueError as error:
            self.said.setText(str(error))
            return
        self.plan = BlockPlan(lines)
        self._show()
        self._come_to(key)

    def _come_to(self, key: str) -> None:
        """The whole of the line that was come to, and why it waits: columns may be too narrow for either."""
        line = next((line for line in self.plan.lines if str(line.n) == key), None)
        if line is not None:
            came = say("As it came: {text}", text=own(line.text))
            self.line.setText("\n".join([came, line.why] if line.why else [came]))

    def accept(self) -> None:
        """All that is to be taken, as one step."""
        if self.desk.attempt(partial(step_of, self.plan, self.desk.document.book)):
            super().accept()


def _fate(line: BlockLine) -> str:
    return {"taken": say("to take"), "held": say("waits"), "ignored": say("left out")}[line.fate]
