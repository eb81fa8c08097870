"""One drink: its components, how it is made, and its figures while it is typed."""

from collections.abc import Callable
from datetime import date
from functools import partial

from PySide6.QtCore import QModelIndex, QSignalBlocker, Qt, QTimer
from PySide6.QtWidgets import QAbstractItemView, QFormLayout, QHBoxLayout, QLabel, QScrollArea, QVBoxLayout, QWidget

from costing.book.book import Book
from costing.book.change import Step
from costing.book.records import Glass, Good, Serve, ServeVersion, Technique
from costing.edits import serves
from costing.tongue import say, say_many
from ui.desk import Desk
from ui.document import Figures
from ui.fault import KNOWN, Refusal, refusal_of
from ui.models.table import WHY_ROLE, RowTable
from ui.places.bar.components import PartRow, part_columns, part_rows
from ui.places.bar.figures import DrinkFigures, DrinkWords
from ui.places.bar.paste import PasteLines
from ui.widgets.acts import acts
from ui.widgets.fields import ChoiceField, TextField
from ui.widgets.listpane import ListPane
from ui.widgets.table import Block

WAIT = 40
"""Milliseconds after the last key before the draft is worked out: a fast hand is not held up."""


class BuildPage(QWidget):
    """The editor of one drink."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self.serve = desk, ""
        self._typed: tuple[int, str] | None = None
        self._shown = ""
        self._held: dict[str, dict[TextField, tuple[str, Refusal | None]]] = {}
        self._fields()
        self.parts: RowTable[PartRow] = RowTable(
            part_columns(desk, lambda: self.serve, lambda: desk.document.day), _key, desk, self, counted=True
        )
        self.list = ListPane(self.parts, say("Components"), None, self)
        self.list.filter.hide()
        self.list.count.hide()
        self.list.table.paste_step = self._paste
        self.list.table.cells.typed.connect(self._typing)
        self.list.table.cells.left.connect(self._settled)
        self.list.table.clicked.connect(self._explain_at)
        self.parts.refused.connect(self._settled)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(WAIT)
        self._timer.timeout.connect(self._draft)
        self.figures, self.words = DrinkFigures(desk), DrinkWords(desk, self)
        self.allergens, self.cautions = self.words.allergens, self.words.cautions
        inside = QWidget(self)
        layout = QVBoxLayout(inside)
        layout.setContentsMargins(6, 6, 6, 6)
        layout.addLayout(self._head)
        layout.addWidget(self.since)
        layout.addWidget(self.list, 1)
        layout.addWidget(self.figures)
        layout.addWidget(self.words)
        self.list.table.setMinimumWidth(1)
        # large letters on a small screen take more than the height there is
        self.list.table.setMinimumHeight(5 * self.list.table.verticalHeader().defaultSectionSize())
        scroll = QScrollArea(self)
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QScrollArea.Shape.NoFrame)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(inside)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(scroll)
        self._actions()

    def _fields(self) -> None:
        document = self.desk.document
        self.name = TextField(say("Name of the drink"), self)
        self.technique = ChoiceField(say("Technique"), partial(_names, document, Technique), self)
        self.glass = ChoiceField(say("Glass"), partial(_names, document, Glass), self)
        self.seconds = TextField(say("Seconds to build"), self, hint=say("90 s"))
        self.hands = ChoiceField(say("Whose hands"), self._hands, self, hint=say("as the house"))
        self.note = TextField(say("Note"), self)
        self.since = QLabel(self)
        self.since.setProperty("faint", True)
        self.name.committed.connect(partial(self._commit, self.name, serves.rename))
        self.technique.committed.connect(self._set_technique)
        self.glass.committed.connect(self._set_glass)
        self.hands.committed.connect(self._set_hands)
        self.seconds.committed.connect(partial(self._dated, self.seconds, serves.set_seconds))
        self.note.committed.connect(partial(self._dated, self.note, serves.set_note))
        first, second = QFormLayout(), QFormLayout()
        first.addRow(say("Drink"), self.name)
        first.addRow(say("Note"), self.note)
        first.addRow(say("Hands"), self.hands)
        second.addRow(say("Technique"), self.technique)
        second.addRow(say("Glass"), self.glass)
        second.addRow(say("Time"), self.seconds)
        self._head = QHBoxLayout()
        self._head.addLayout(first, 3)
        self._head.addLayout(second, 2)

    def _actions(self) -> None:
        table = self.list.table
        acts(
            table,
            [
                (say("Take the component out"), "Delete", self._remove),
                (say("Component up"), "Ctrl+Up", partial(self._move, -1)),
                (say("Component down"), "Ctrl+Down", partial(self._move, 1)),
            ],
            alone=True,
        )

    # What is shown

    def show_serve(self, serve: str) -> None:
        """Show a drink as it is now."""
        self.serve = serve
        figures = self.desk.document.figures
        found = figures.view.serves.get(serve)
        self.setEnabled(found is not None)
        fresh = self._shown != (serve if found is not None else "")
        if fresh:
            self._hold()
        if found is None:
            self.parts.set_rows([])
            self.since.setText(say("not made on this day") if serve else "")
        else:
            self._show_drink(found[0], found[1], figures, fresh=fresh)
        self.figures.show_drink(figures, serve)
        self.words.show_drink(figures, serve)
        if self._typed is not None and self.list.table.state() == QAbstractItemView.State.EditingState:
            self._timer.start()

    def _show_drink(self, record: Serve, version: ServeVersion, figures: Figures, *, fresh: bool) -> None:
        self._show_fields(record, version, figures)
        if not fresh:
            self.parts.set_rows(part_rows(figures, self.serve, version.build))
            return
        self._shown = record.id
        for field, held in self._held.pop(record.id, {}).items():
            field.give_back(held)
        with QSignalBlocker(self.list.table):  # a drink was come to, not its first component
            self.parts.set_rows(part_rows(figures, self.serve, version.build))
            self.list.table.fit_columns()
            self.list.table.come_to(self.parts.index(0, 0))

    def _hold(self) -> None:
        """Keep what was typed for the drink that goes and does not stand, until it is shown again; clear the fields."""
        fields = (self.name, self.technique, self.glass, self.seconds, self.hands, self.note)
        held = {field: said for field in fields if (said := field.held()) is not None}
        if held and self._shown:
            self._held[self._shown] = held
        for field in fields:
            field.revert()
            field.set_text("")
        self._shown, self._typed = "", None

    def unkept(self) -> list[str]:
        """Texts that were typed for drinks that are not shown now, and do not stand in the book."""
        return [text for held in self._held.values() for text, refusal in held.values() if refusal is not None]

    def _show_fields(self, record: Serve, version: ServeVersion, figures: Figures) -> None:
        self.name.set_text(record.name)
        technique, glass = figures.view.techniques.get(version.technique), figures.book.get("glass", version.glass)
        self.technique.set_text(technique.name if technique else version.technique)
        self.glass.set_text(str(getattr(glass, "name", "")) or version.glass)
        self.seconds.set_text(version.seconds.text if version.seconds else "")
        self.note.set_text(version.note)
        hands = figures.view.goods.get(version.build.labour)
        self.hands.set_text(hands.name if hands else version.build.labour)
        made = say("as made since {day}", day=self.desk.format.day(version.since))
        if len(record.versions) > 1:
            made = say_many(
                "{made}; {n} version in all", "{made}; {n} versions in all", len(record.versions), made=made
            )
        self.since.setText(made)

    def explain_allergens(self) -> None:
        """Where each allergen comes from, in the why pane."""
        self.words.explain()

    def _explain_at(self, index: QModelIndex) -> None:
        """A click explains a component also where it was come to already."""
        subject = index.data(WHY_ROLE)
        if subject is not None:
            self.list.table.explained.emit(subject)

    # While it is typed

    def _typing(self, key: str, column: int, text: str) -> None:
        serve, _, at = key.rpartition("/")
        if column == 0 and serve == self.serve:
            self._typed = int(at), text
            self._timer.start()

    def _draft(self) -> None:
        """The figures as they would be with the text that is being typed, where it can be read."""
        if self._typed is None:
            return
        at, text = self._typed
        document = self.desk.document
        try:
            step = serves.set_line(document.book, self.serve, document.day, at, text)
            figures = document.draft(step)
        except KNOWN:
            return  # half a line says nothing yet
        self.figures.show_drink(figures, self.serve, draft=True)
        self.words.show_drink(figures, self.serve)

    def _settled(self, *_: object) -> None:
        """Nothing is being typed any more: the figures are the book's."""
        self._typed = None
        self._timer.stop()
        figures = self.desk.document.figures
        self.figures.show_drink(figures, self.serve)
        self.words.show_drink(figures, self.serve)

    # Edits

    def _commit(self, field: TextField, edit: Callable[[Book, str, str], Step | None], text: str) -> None:
        self._into(field, lambda: edit(self.desk.document.book, self.serve, text))

    def _dated(self, field: TextField, edit: Callable[[Book, str, date, str], Step | None], text: str) -> None:
        document = self.desk.document
        self._into(field, lambda: edit(document.book, self.serve, document.day, text))

    def _into(self, field: TextField, work: Callable[[], Step | None]) -> None:
        """Run an edit; what cannot be stays in its field, marked."""
        try:
            step = work()
        except KNOWN as error:
            field.refuse(refusal_of(error))
            self.desk.tell(refusal_of(error).text)
            return
        if not self.desk.do(step) and self.desk.refusal is not None:
            field.refuse(self.desk.refusal)

    def _set_technique(self, text: str) -> None:
        document = self.desk.document
        known = {t.name: t.id for t in document.book.all(Technique).values()}
        self._into(self.technique, lambda: serves.set_technique(
            document.book, self.serve, document.day, _one_of(text, known, say("technique"))))  # fmt: skip

    def _set_glass(self, text: str) -> None:
        document = self.desk.document
        known = {g.name: g.id for g in document.book.all(Glass).values()}
        self._into(self.glass, lambda: serves.set_glass(
            document.book, self.serve, document.day, _one_of(text, known, say("glass"))))  # fmt: skip

    def _hands(self) -> list[str]:
        return sorted(g.name for g in self.desk.document.book.all(Good).values() if g.kind == "labour")

    def _set_hands(self, text: str) -> None:
        document = self.desk.document
        known = {g.name: g.id for g in document.book.all(Good).values() if g.kind == "labour"}
        self._into(self.hands, lambda: serves.set_labour(
            document.book, self.serve, document.day, _one_of(text, known, say("hour of hands"))))  # fmt: skip

    def _at(self) -> int:
        return self.list.table.currentIndex().row()

    def _remove(self) -> None:
        document, at = self.desk.document, self._at()
        if at < len(self.parts.rows()) - 1:
            self.desk.attempt(lambda: serves.remove_line(document.book, self.serve, document.day, at))

    def _move(self, by: int) -> None:
        document, at = self.desk.document, self._at()
        if (
            0 <= at + by < len(self.parts.rows()) - 1
            and at < len(self.parts.rows()) - 1
            and self.desk.attempt(lambda: serves.move_line(document.book, self.serve, document.day, at, by))
        ):
            self.list.table.come_to(self.parts.index(at + by, 0))

    def _paste(self, book: Book, block: Block, row: int, column: int) -> Step | None:
        """A whole recipe into the components: as one step where every line is decided and none is in doubt, and looked
        at first where one is."""
        text = "\n".join(" ".join(cell.strip() for cell in line if cell.strip()) for line in block)
        at = row if row >= 0 else len(self.parts.rows()) - 1
        step, found = serves.paste_lines(book, self.serve, self.desk.document.day, at, text)
        if step is not None and not found.undecided and not any(item.note for item in found.adds):
            return step
        dialog = PasteLines(self.desk, self.serve, at, text, self)
        dialog.open()
        return None


def _key(row: PartRow) -> str:
    return f"{row.serve}/{row.at}"


def _names(document: object, cls: type) -> list[str]:
    return sorted(record.name for record in document.book.all(cls).values())  # type: ignore[attr-defined]


def _one_of(text: str, known: dict[str, str], what: str) -> str:
    """The id of a thing by its name in any case; "" for none. Refusal where there is none of that name."""
    if not text.strip():
        return ""
    found = [ident for name, ident in known.items() if name.casefold() == text.strip().casefold()]
    if len(found) == 1:
        return found[0]
    raise Refusal(
        say("There is no {what} called “{text}”.", what=what, text=text),
        "",
        say("Alt+Down lists what there is: {names}.", names=", ".join(sorted(known)) or say("nothing yet")),
    )
