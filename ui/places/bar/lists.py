"""The lists a bar keeps: techniques with the dilution it measured, and glasses; a last, empty line takes the next."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from costing.book.book import Book
from costing.book.change import Step
from costing.book.records import Glass, Technique
from costing.edits import house_lists
from costing.edits.base import uses_of
from costing.report.method_words import how_said
from costing.tongue import say
from ui.desk import Desk, Where
from ui.fault import KNOWN, Refusal, refusal_of
from ui.format import own
from ui.models.table import Column, RowTable
from ui.widgets.acts import act
from ui.widgets.listpane import ListPane

NEW = "\x00new"
"""The key of the empty line."""


@dataclass(frozen=True, slots=True)
class ListRow:
    """A technique or a glass, or the empty line behind the last."""

    id: str
    name: str = ""
    figure: str = ""
    mark: str = ""
    how: str = ""
    like: str = ""
    note: str = ""
    used: str = ""


def technique_rows(book: Book) -> list[ListRow]:
    """Every technique by name, and the empty line."""
    out = []
    for record in sorted(book.all(Technique).values(), key=lambda t: t.name.casefold()):
        fact = record.dilution
        out.append(
            ListRow(
                record.id,
                record.name,
                fact.text if fact else "",
                fact.mark if fact else "",
                how_said(fact.how) if fact else "",
                record.like,
                record.note,
                _used(book, "technique", record.id),
            )
        )
    return [*out, ListRow(NEW)]


def glass_rows(book: Book) -> list[ListRow]:
    """Every glass by name, and the empty line."""
    out = []
    for record in sorted(book.all(Glass).values(), key=lambda g: g.name.casefold()):
        fact = record.capacity
        out.append(
            ListRow(
                record.id,
                record.name,
                fact.text if fact else "",
                fact.mark if fact else "",
                used=_used(book, "glass", record.id),
            )
        )
    return [*out, ListRow(NEW)]


def _used(book: Book, kind: str, ident: str) -> str:
    return say(", ").join(use.name for use in uses_of(book, kind, ident))


def curve_words() -> dict[str, str]:
    """What the published curves are called, by code."""
    return {"": say("none"), "stirred": say("stirred"), "shaken": say("shaken")}


def technique_columns(desk: Desk) -> Sequence[Column[ListRow]]:
    """What is shown and typed of a technique."""

    def name(book: Book, row: ListRow, text: str) -> Step | None:
        if row.id != NEW:
            return house_lists.rename_technique(book, row.id, text)
        return house_lists.new_technique(book, text, past=desk.document.past_ids()) if text.strip() else None

    def dilution(book: Book, row: ListRow, text: str) -> Step | None:
        return house_lists.set_dilution(book, row.id, text)

    def like(book: Book, row: ListRow, text: str) -> Step | None:
        words = {word.casefold(): code for code, word in curve_words().items()} | {"": ""}
        code = words.get(text.strip().casefold())
        if code is None:
            named = ", ".join(curve_words().values())
            raise Refusal(say("There is no curve “{text}”.", text=text), "", say("Type one of {names}.", names=named))
        return house_lists.set_like(book, row.id, code)

    def note(book: Book, row: ListRow, text: str) -> Step | None:
        return house_lists.set_technique_note(book, row.id, text)

    return (
        Column[ListRow]("name", say("Technique"), _shown, write=name, tip=_new_tip, edit_text=lambda r: r.name),
        Column[ListRow](
            "dilution", say("Dilution"), lambda r: r.figure, True, write=dilution, editable=_there,
            mark=lambda r: r.mark, tip=lambda r: r.how,
            about=say("Water from ice by volume of the build, such as 25 %"),
        ),
        Column[ListRow](
            "like", say("Else by the curve of"), lambda r: curve_words()[r.like] if r.id != NEW else "", write=like,
            editable=_there, choices=lambda: list(curve_words().values()),
            about=say("The published curve that stands in where no dilution is stated, as an assumption"),
        ),
        Column[ListRow]("how", say("How it is known"), lambda r: r.how),
        Column[ListRow]("note", say("Note"), lambda r: r.note, write=note, editable=_there),
        Column[ListRow]("used", say("Drinks"), lambda r: own(r.used)),
    )  # fmt: skip


def glass_columns(desk: Desk) -> Sequence[Column[ListRow]]:
    """What is shown and typed of a glass."""

    def name(book: Book, row: ListRow, text: str) -> Step | None:
        if row.id != NEW:
            return house_lists.rename_glass(book, row.id, text)
        return house_lists.new_glass(book, text, past=desk.document.past_ids()) if text.strip() else None

    def capacity(book: Book, row: ListRow, text: str) -> Step | None:
        return house_lists.set_capacity(book, row.id, text)

    return (
        Column[ListRow]("name", say("Glass"), _shown, write=name, tip=_new_tip, edit_text=lambda r: r.name),
        Column[ListRow](
            "capacity", say("Holds"), lambda r: r.figure, True, write=capacity, editable=_there, mark=lambda r: r.mark,
            about=say("To the brim, such as 160 ml"),
        ),
        Column[ListRow]("used", say("Drinks"), lambda r: own(r.used)),
    )  # fmt: skip


def _there(row: ListRow) -> bool:
    return row.id != NEW


def _shown(row: ListRow) -> str:
    return say("Type another one here") if row.id == NEW else row.name


def _new_tip(row: ListRow) -> str:
    return say("Type a name here for another one.") if row.id == NEW else say("F2 types over it; Delete takes it out.")


class ListsPage(QWidget):
    """Techniques above, glasses below; between them, weighings that make a dilution."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.techniques: RowTable[ListRow] = RowTable(technique_columns(desk), _key, desk, self)
        self.glasses: RowTable[ListRow] = RowTable(glass_columns(desk), _key, desk, self)
        self.technique_list = ListPane(self.techniques, say("Techniques"), None, self)
        self.glass_list = ListPane(self.glasses, say("Glasses"), None, self)
        for pane, kind in ((self.technique_list, "technique"), (self.glass_list, "glass")):
            pane.filter.hide()
            pane.count.hide()
            act(pane.table, say("Take it out"), "Delete", partial(self._remove, kind), alone=True)
        self.weighings = QLineEdit(self)
        self.weighings.setAccessibleName(say("Weighings of the chosen technique"))
        self.weighings.setPlaceholderText(say("95 ml 98 g 121 g; 93 ml 97 g 119 g"))
        self.weighings.returnPressed.connect(self._measure)
        label = QLabel(say("Weighed before and after ice"), self)
        label.setBuddy(self.weighings)
        self.measure = QPushButton(say("Take as its dilution"), self)
        self.measure.clicked.connect(self._measure)
        self.said = QLabel(self)
        self.said.setProperty("error", True)
        self.said.setWordWrap(True)
        self.said.hide()
        row = QHBoxLayout()
        row.addWidget(self.weighings, 1)
        row.addWidget(self.measure)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(6, 6, 6, 6)
        layout.addWidget(self.technique_list, 3)
        layout.addWidget(label)
        layout.addLayout(row)
        layout.addWidget(self.said)
        layout.addWidget(self.glass_list, 3)

    def show_serve(self, _: str) -> None:
        """The lists are those of the house, whichever drink is chosen."""
        book = self.desk.document.book
        first = not self.techniques.rows()
        self.techniques.set_rows(technique_rows(book))
        self.glasses.set_rows(glass_rows(book))
        if first:
            for pane in (self.technique_list, self.glass_list):
                pane.table.fit_columns()
                pane.table.come_to(pane.model.index(0, 0))

    def show_item(self, where: Where) -> bool:
        """Go to a technique or a glass."""
        self.show_serve("")
        pane = self.technique_list if where.kind == "technique" else self.glass_list
        found = pane.table.choose(where.id)
        pane.table.setFocus(Qt.FocusReason.OtherFocusReason)
        return found

    def _remove(self, kind: str) -> None:
        table = (self.technique_list if kind == "technique" else self.glass_list).table
        index = table.currentIndex()
        ident = table.rows.key(index.row()) if index.isValid() else NEW
        if ident == NEW:
            return
        remove = house_lists.remove_technique if kind == "technique" else house_lists.remove_glass
        self.desk.attempt(lambda: remove(self.desk.document.book, ident))

    def _measure(self) -> None:
        """The weighings as the dilution of the chosen technique; what cannot be stays in its field."""
        index = self.technique_list.table.currentIndex()
        ident = self.techniques.key(index.row()) if index.isValid() else NEW
        fault = ""
        try:
            if ident == NEW:
                raise Refusal(say("No technique is chosen."), "", say("Go to one in the list above."))
            step = house_lists.measure_dilution(self.desk.document.book, ident, self.weighings.text())
        except KNOWN as error:
            fault = refusal_of(error).text
        else:
            if self.desk.do(step):
                self.weighings.clear()
        self.said.setText(fault)
        self.said.setVisible(bool(fault))


def _key(row: ListRow) -> str:
    return row.id
