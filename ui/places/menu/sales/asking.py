"""What has to be answered about a file before it can be taken: each question with the answers there are."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from typing import Any, Literal

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from costing.book.selling import RowFlag
from costing.supply.arriving.doubt import Doubt
from costing.supply.till.plan_record import SalesPlan, SalesSaid
from costing.supply.till.words import FLAG_NAMES, sales_doubt_text
from costing.tongue import say, say_many, word
from ui.desk import Desk
from ui.places.menu.sales.seen import sentence
from ui.widgets.fields import DayField

FLAGS: tuple[RowFlag, ...] = ("sold", "given", "before it was made", "wasted", "refunded")
ROWS = frozenset({
    "sales-row-unread", "sales-sign", "sales-flag-paid", "sales-qty-missing", "sales-instead-more",
    "sales-combo-price", "sales-combo-shares",
})  # fmt: skip
"""Questions about single rows, which may be left out."""
COLUMNS = frozenset({"sales-no-heading", "sales-no-item", "sales-no-qty"})
"""Questions that the page of columns answers."""
SPANS = frozenset({"sales-no-period", "sales-outside", "sales-backward", "sales-overlap"})
"""Questions that other days may answer."""
LETTERS = 15
"""Letters of an answer that are seen at least."""
End = Literal["since", "until"]
ENDS: tuple[End, ...] = ("since", "until")


Change = Callable[[SalesSaid], SalesSaid]
"""An answer, put on everything that is said of a file by then."""


def says(**fields: Any) -> Change:
    """The answer that some fields are so."""
    return partial(_replaced, fields)


def _replaced(fields: Mapping[str, Any], said: SalesSaid) -> SalesSaid:
    return replace(said, **fields)


def marks(mark: str, flag: RowFlag) -> Change:
    """The answer that a mark means something."""
    return partial(_marked, mark, flag)


def _marked(mark: str, flag: RowFlag, said: SalesSaid) -> SalesSaid:
    rest = ((other, meant) for other, meant in said.flags if other != mark)
    return replace(said, flags=(*rest, (mark, flag)))


def leaves(rows: frozenset[int]) -> Change:
    """The answer that rows are left out."""
    return partial(_left, rows)


def _left(rows: frozenset[int], said: SalesSaid) -> SalesSaid:
    return replace(said, leave=said.leave | rows)


@dataclass(frozen=True, slots=True)
class Answer:
    """One thing that may be answered."""

    text: str
    change: Change


def answers_of(doubt: Doubt, plan: SalesPlan) -> list[Answer]:
    """What may be answered to a question; nothing where it is not a choice."""
    code, values = doubt.code, dict(doubt.values)
    if code == "sales-decimal-open":
        return [Answer(say("a comma"), says(decimal=",")), Answer(say("a point"), says(decimal="."))]
    if code in ("day-order", "days-now-day-first", "days-now-month-first"):
        return [Answer(say("day, month, year"), says(days="dmy")), Answer(say("month, day, year"), says(days="mdy"))]
    if code == "sales-mark-unknown":
        return [Answer(word(FLAG_NAMES, flag), marks(str(values["mark"]), flag)) for flag in FLAGS]
    if code.startswith("sales-tax-"):
        return [Answer(say("tax and service are in it"), says(tax="inc")),
                Answer(say("it is without tax and service"), says(tax="ex"))]  # fmt: skip
    if code == "sales-no-outlet":
        every = [Answer(say("all of them"), says(outlet=""))]
        return every + [Answer(name, says(outlet=name)) for name in plan.lines.outlets]
    if rows := rows_of(doubt, plan):
        return [Answer(say_many("leave this row out", "leave these {n} rows out", len(rows)), leaves(rows))]
    return []


def rows_of(doubt: Doubt, plan: SalesPlan) -> frozenset[int]:
    """The rows that a question is about, by number; none where it is about more than rows."""
    if doubt.code in ROWS:
        return frozenset(fate.n for fate in plan.fates if fate.why == doubt.code)
    if doubt.code != "sales-outside":
        return frozenset()
    values = dict(doubt.values)
    since, until = (date.fromisoformat(str(values[name])) for name in ("since", "until"))
    inside = (since, until)
    return frozenset(
        row.n for row in plan.lines.rows
        if row.day is not None and not _within(row.day, inside)
        and not (row.day < since and row.calendar is not None and _within(row.calendar, inside))
    )  # fmt: skip


def _within(day: date, span: tuple[date, date]) -> bool:
    return span[0] <= day <= span[1]


class AnswerBox(QComboBox):
    """A choice of answers. The first answer chosen is the answer, so the arrow keys open the list and choose none."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Up and Down open the list."""
        if event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self.showPopup()
        else:
            super().keyPressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """The wheel scrolls what it stands in and answers nothing."""
        event.ignore()


class Questions(QWidget):
    """The questions of one file. ``answered`` tells a Change, ``columns_wanted`` that columns have to be said."""

    answered = Signal(object)
    columns_wanted = Signal()

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.first: QWidget | None = None
        self._asked: tuple[Doubt, ...] = ()
        self._said = SalesSaid()
        self._days: dict[End, date] = {}
        self._box = QVBoxLayout(self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.setSpacing(4)

    def show_asked(self, plan: SalesPlan | None, said: SalesSaid) -> None:
        """What is asked of a plan. Questions that stand already stay as they are."""
        asked = plan.asked if plan is not None else ()
        self.setVisible(bool(asked))
        if asked == self._asked and said == self._said:
            return
        self._asked, self._said, self.first = asked, said, None
        while (item := self._box.takeAt(0)) is not None:
            if (old := item.widget()) is not None:
                old.hide()
                old.deleteLater()
        if plan is None:
            return
        for doubt in asked:
            row = self._row(doubt, plan, said)
            self._box.addWidget(row)
            row.show()  # at once, so that the keyboard can go to it

    def _row(self, doubt: Doubt, plan: SalesPlan, said: SalesSaid) -> QWidget:
        text = sentence(sales_doubt_text(doubt))
        row = QWidget(self)
        line = QHBoxLayout(row)
        line.setContentsMargins(0, 0, 0, 0)
        label = QLabel(text, row)
        label.setProperty("error", True)
        label.setWordWrap(True)
        label.setTextFormat(Qt.TextFormat.PlainText)
        line.addWidget(label, 1)
        fields = self._fields(doubt, plan, said, row, text)
        for field in fields:
            field.setAccessibleDescription(text)
            line.addWidget(field)
        if fields and self.first is None:
            self.first = fields[0]
        return row

    def _fields(self, doubt: Doubt, plan: SalesPlan, said: SalesSaid, row: QWidget, text: str) -> Sequence[QWidget]:
        if doubt.code in COLUMNS:
            return [_button(say("Say what the columns are…"), self.columns_wanted.emit, row)]
        out: list[QWidget] = []
        if doubt.code in SPANS:
            self._days = _days_of(doubt, said)
            out += [self._day(say("First day"), "since", row), self._day(say("Last day"), "until", row)]
        answers = answers_of(doubt, plan)
        if len(answers) == 1:
            out.append(_button(answers[0].text, partial(self.answered.emit, answers[0].change), row))
        elif answers:
            combo = AnswerBox(row)
            combo.setAccessibleName(text)
            combo.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
            combo.setMinimumContentsLength(LETTERS)
            combo.addItem(say("choose…"), None)
            for answer in answers:
                combo.addItem(answer.text, answer.change)
            combo.activated.connect(partial(self._chosen, combo))
            out.append(combo)
        return out

    def _day(self, name: str, of: End, row: QWidget) -> DayField:
        field = DayField(name, self.desk.format, partial(getattr, self.desk.document, "day"), row)
        field.setPlaceholderText(name)
        field.set_day(self._days.get(of))
        field.setMaximumWidth(self.fontMetrics().averageCharWidth() * 18)
        field.picked.connect(partial(self._picked, of))
        return field

    def _picked(self, of: End, day: date) -> None:
        """Both days have to be known before anything is read anew."""
        self._days[of] = day
        if len(self._days) == len(ENDS):
            self.answered.emit(says(since=self._days["since"], until=self._days["until"]))

    def _chosen(self, combo: QComboBox, at: int) -> None:
        change = combo.itemData(at)
        if change is not None:
            self.answered.emit(change)


def _days_of(doubt: Doubt, said: SalesSaid) -> dict[End, date]:
    """The days that were said, else those that the question is about."""
    values = dict(doubt.values)
    out: dict[End, date] = {}
    for of in ENDS:
        day = getattr(said, of)
        if day is not None or of in values:
            out[of] = day or date.fromisoformat(str(values[of]))
    return out


def _button(text: str, slot: Callable[[], object], parent: QWidget) -> QPushButton:
    button = QPushButton(text, parent)
    button.clicked.connect(slot)
    return button
