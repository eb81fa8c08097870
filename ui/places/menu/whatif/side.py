"""Side by side: every drink as it stands and under scenarios, by one figure, and all figures of the one come to."""

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QLabel, QSplitter, QStackedLayout, QVBoxLayout, QWidget

from costing.tongue import say, say_many
from ui.desk import Desk, Where
from ui.format import own
from ui.places.cellar.buying.saying import Hint, Line
from ui.places.menu.keep.rows import section_titles
from ui.places.menu.whatif.side_rows import (
    SheetRow,
    SideRow,
    sheet_columns,
    sheet_rows,
    side_columns,
    side_rows,
)
from ui.places.menu.whatif.table import WideTable
from ui.places.menu.whatif.why import side_why
from ui.places.menu.whatif.words import CODES, figure_word
from ui.places.menu.whatif.work import Tried
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace
from ui.widgets.table import DataTable


class SideView(QWidget):
    """Nothing is typed here: it is read, sorted, filtered and copied."""

    begun = Signal()
    """Somebody wants a first scenario."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.tried: Tried | None = None
        self.rows: WideTable[SideRow] = WideTable(lambda r: r.key, desk, self)
        self.hint = Hint("", self)
        self.list = ListPane(self.rows, say("Drinks side by side"), self.hint, self)
        self.sheet: WideTable[SheetRow] = WideTable(lambda r: r.code, desk, self)
        self.title = QLabel(self)
        self.title.setProperty("heading", True)
        self.title.setTextFormat(Qt.TextFormat.PlainText)
        self.title.setWordWrap(True)
        self.one = DataTable(self.sheet, say("All figures of one row"), self)
        self.one.horizontalHeader().setStretchLastSection(False)
        self.told = Line(self, kind="faint")
        self.figure = QComboBox(self)
        self.figure.setAccessibleName(say("Figure"))
        for code in CODES:
            self.figure.addItem(figure_word(code))
        self.figure.addItem(say("Every figure"))
        self.every = QCheckBox(say("Every drink"), self)
        self.every.setToolTip(say("Also those that nothing moves"))
        self._lay_out()
        self.figure.activated.connect(self._chosen)
        self.every.toggled.connect(self._chosen)
        for table in (self.list.table, self.one):
            table.explained.connect(desk.explain)
            table.opened.connect(self._open)
        self.list.table.current_key.connect(self._came_to)

    def _lay_out(self) -> None:
        for widget in (self.figure, self.every):
            self.list.top.addWidget(widget)
        below = QWidget(self)
        column = QVBoxLayout(below)
        column.setContentsMargins(4, 0, 4, 0)
        column.setSpacing(2)
        column.addWidget(self.title)
        column.addWidget(self.one, 1)
        self.split = QSplitter(Qt.Orientation.Vertical, self)
        self.split.addWidget(self.list)
        self.split.addWidget(below)
        self.split.setStretchFactor(0, 1)
        self.split.setSizes([205, 240])
        self.split.setCollapsible(0, False)
        self.bare = EmptyPlace(
            say("A scenario is a set of changes laid over the book, which it never touches: rum a tenth dearer, "
                "another tax, fewer guests. Name one, and type what it supposes."),
            say("New scenario"), self.begun.emit, self,
        )  # fmt: skip
        self._stack = QStackedLayout()
        self._stack.addWidget(self.split)
        self._stack.addWidget(self.bare)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(2)
        layout.addLayout(self._stack, 1)
        layout.addWidget(self.told)

    def first(self) -> QWidget:
        """The drinks."""
        return self.list.table

    def show_tried(self, tried: Tried | None, hint: str, *, bare: bool) -> None:
        """Show scenarios; ``hint`` says why there are none, ``bare`` that the book keeps none yet."""
        self.tried = tried
        self.hint.setText(hint)
        self._stack.setCurrentWidget(self.bare if bare else self.split)
        self._show()

    def _chosen(self, *_: object) -> None:
        self._show()

    def _show(self) -> None:
        tried, table = self.tried, self.list.table
        if tried is None or not tried.ids:
            self.rows.set_rows([])
            self.sheet.set_rows([])
            self.title.setText("")
            self.told.say("")
            return
        at = self.figure.currentIndex()
        code = CODES[at] if at < len(CODES) else None
        titles = section_titles([(r.menu, r.section) for r in tried.found.rows], tried.found.base.reckoning.view)
        rows = side_rows(tried, titles, everything=self.every.isChecked())
        fresh, key = not self.rows.total, self._key()
        with QSignalBlocker(table):  # what the cursor is pushed over was not asked for
            other = self.rows.show_rows(side_columns(tried, code, self.desk.format, self._why), rows)
            if not table.currentIndex().isValid() or self._key() != key:
                table.choose(key if self.rows.position(key) is not None else rows[0].key)
        if (fresh or other) and self.isVisible():
            table.fit_columns()
        left = len(tried.found.rows) - (len(rows) - 1)
        self.told.say(say_many("{n} drink stays as it is.", "{n} drinks stay as they are.", left) if left else "")
        self._came_to()

    def _key(self) -> str:
        index = self.list.table.currentIndex()
        return self.rows.key(index.row()) if index.isValid() else ""

    def _came_to(self, _: str = "") -> None:
        """All figures of the row that one is on."""
        tried, index = self.tried, self.list.table.currentIndex()
        if tried is None or not index.isValid():
            return
        row = self.rows.row(index.row())
        self.title.setText(say("{what}: every figure", what=own(row.name)))
        fresh = not self.sheet.total
        other = self.sheet.show_rows(sheet_columns(tried, self.desk.format, self._why), sheet_rows(row))
        if (fresh or other) and self.isVisible():
            self.one.fit_columns()

    def _why(self, n: int, row: SideRow) -> object | None:
        return side_why(self.tried, n, row, self.desk.format) if self.tried is not None else None

    def _open(self, _: str) -> None:
        index = self.list.table.currentIndex()
        if index.isValid() and (serve := self.rows.row(index.row()).serve):
            self.desk.go(Where("serve", serve, "price"))

    def save_state(self) -> dict[str, object]:
        """The figure, and whether every drink is shown."""
        return {"figure": self.figure.currentIndex(), "every": self.every.isChecked()}

    def restore_state(self, state: dict[str, object]) -> None:
        """As it stood."""
        at = state.get("figure")
        if isinstance(at, int) and 0 <= at < self.figure.count():
            self.figure.setCurrentIndex(at)
        self.every.setChecked(state.get("every") is True)
