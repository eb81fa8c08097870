"""The figures of a picture as a table: to read by keyboard or by ear, and to take into a spreadsheet."""

from collections.abc import Sequence

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QAction, QGuiApplication, QKeySequence
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QPushButton, QTableView, QVBoxLayout, QWidget

from costing.tongue import say
from ui.format import own

Index = QModelIndex | QPersistentModelIndex
TALL = 26
"""Rows are at least this tall, in pixels."""


class Texts(QAbstractTableModel):
    """Rows of text, their headings first."""

    def __init__(self, rows: Sequence[Sequence[str]], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._heads = tuple(rows[0]) if rows else ()
        self._rows = tuple(tuple(row) for row in rows[1:])

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008  (Qt's own signature)
        """Rows under the headings."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Columns, as many as there are headings."""
        return 0 if parent.isValid() else len(self._heads)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """A text, in its own direction whichever way the window reads."""
        if not index.isValid() or role not in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.TextAlignmentRole):
            return None
        row = self._rows[index.row()]
        text = row[index.column()] if index.column() < len(row) else ""
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _side(text)
        return own(text)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """The headings, each over what stands under it."""
        if orientation != Qt.Orientation.Horizontal:
            return None
        if role == Qt.ItemDataRole.TextAlignmentRole:
            first = self._rows[0] if self._rows else ()
            return _side(first[section] if section < len(first) else "")
        return self._heads[section] if role == Qt.ItemDataRole.DisplayRole else None


def _side(text: str) -> Qt.AlignmentFlag:
    """Figures stand at the end of a column, words at its beginning."""
    figure = text.lstrip("-+\u2212\u2066")[:1].isdigit()
    side = Qt.AlignmentFlag.AlignTrailing if figure else Qt.AlignmentFlag.AlignLeading
    return side | Qt.AlignmentFlag.AlignVCenter


def as_text(rows: Sequence[Sequence[str]]) -> str:
    """Rows as every spreadsheet takes them: a tab between cells, a line a row."""
    return "\n".join("\t".join(" ".join(cell.split()) for cell in row) for row in rows)


class FiguresTable(QDialog):
    """The figures of one picture, copied whole with Ctrl+C."""

    def __init__(self, name: str, said: str, rows: Sequence[Sequence[str]], parent: QWidget | None = None) -> None:
        """``name`` is what the picture is called, ``said`` the picture in a sentence."""
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(name)
        self._rows = rows
        self.model = Texts(rows, self)
        self.table = QTableView(self)
        self.table.setAccessibleName(name)
        self.table.setAccessibleDescription(said)
        self.table.setModel(self.model)
        self.table.setTabKeyNavigation(False)
        self.table.setAlternatingRowColors(True)
        self.table.setShowGrid(False)
        self.table.verticalHeader().hide()
        tall = max(TALL, self.fontMetrics().height() + 8)
        self.table.verticalHeader().setDefaultSectionSize(tall)
        self.table.resizeColumnsToContents()
        self.table.horizontalHeader().setHighlightSections(False)
        self.table.horizontalHeader().setStretchLastSection(True)
        if self.model.rowCount():
            self.table.setCurrentIndex(self.model.index(0, 0))
        copy = QAction(say("Copy"), self)
        copy.setShortcut(QKeySequence(QKeySequence.StandardKey.Copy))
        copy.triggered.connect(self.copy)
        self.addAction(copy)
        self._copy = QPushButton(say("Copy"), self)
        self._copy.clicked.connect(self.copy)
        close = QPushButton(say("Close"), self)
        close.clicked.connect(self.close)
        buttons = QDialogButtonBox(self)
        buttons.addButton(self._copy, QDialogButtonBox.ButtonRole.ActionRole)
        buttons.addButton(close, QDialogButtonBox.ButtonRole.RejectRole)
        layout = QVBoxLayout(self)
        layout.addWidget(self.table, 1)
        layout.addWidget(buttons)
        across = sum(self.table.columnWidth(n) for n in range(self.model.columnCount()))
        self.resize(min(900, max(420, across + 60)), min(560, (self.model.rowCount() + 1) * tall + 100))
        self.table.setFocus()

    def copy(self) -> None:
        """All of it onto the clipboard."""
        QGuiApplication.clipboard().setText(as_text(self._rows))
