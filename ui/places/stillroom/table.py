"""The table that stages are typed into: a heading a stage, problems under the line they are about."""

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QBrush, QFont, QFontMetrics, QKeyEvent, QPainter, QPalette
from PySide6.QtWidgets import QAbstractItemDelegate, QStyle, QStyleOptionViewItem, QWidget

from costing.tongue import say
from ui.models.table import Index, RowTable
from ui.places.stillroom.ledger import LedgerRow
from ui.places.stillroom.lines import StageLine
from ui.theme import role_colour
from ui.widgets.table import CellDelegate, DataTable


class RunningCells(CellDelegate):
    """Cells of which some lines run across the whole width: headings on a tint, problems."""

    def __init__(self, table: DataTable) -> None:
        super().__init__(table)
        self._table = table

    def _across(self, painter: QPainter, option: QStyleOptionViewItem, text: str, role: str, *, bold: bool) -> None:
        """A line's text, drawn on from cell to cell: each cell paints its own part of it."""
        header, chosen = self._table.horizontalHeader(), bool(option.state & QStyle.StateFlag.State_Selected)
        whole = QRect(header.sectionViewportPosition(0), option.rect.top(), header.length(), option.rect.height())
        if self._table.isRightToLeft():
            whole.moveRight(header.sectionViewportPosition(0) + header.sectionSize(0))
        font = QFont(option.font)
        font.setBold(bold)
        painter.save()
        painter.setClipRect(option.rect)
        ground = "highlight" if chosen else "selection-inactive" if bold else "base" if role == "faint" else "alternate"
        painter.fillRect(option.rect, role_colour(ground))
        painter.setPen(role_colour("on-highlight" if chosen else role))
        painter.setFont(font)
        room = whole.adjusted(6, 0, -6, 0)
        shown = QFontMetrics(font).elidedText(text, Qt.TextElideMode.ElideRight, room.width())
        painter.drawText(room, Qt.AlignmentFlag.AlignLeading | Qt.AlignmentFlag.AlignVCenter, shown)
        painter.restore()


class LedgerCells(RunningCells):
    """The headings of stages run across."""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """A heading runs on from cell to cell; the rest as ever."""
        row = self._table.rows.row(index.row())
        if row.sort == "stage":
            self._across(painter, option, row.text, "text", bold=True)
        elif row.sort == "reading":
            self._across(painter, option, row.tip or row.text, "faint", bold=False)
        else:
            super().paint(painter, option, index)


class StageCells(RunningCells):
    """Cells of stages: headings on a tint, hints in faint, problems across the whole width."""

    def _row(self, index: Index) -> StageLine:
        row: StageLine = self._table.rows.row(index.row())
        return row

    def initStyleOption(self, option: QStyleOptionViewItem, index: Index) -> None:
        """Tints and hints."""
        super().initStyleOption(option, index)
        row = self._row(index)
        if row.sort == "stage":
            option.backgroundBrush = QBrush(role_colour("selection-inactive"))
        if row.sort in ("new", "end") and index.column() == 1 and not index.data():
            option.text = hint_of(row)
            option.palette.setColor(QPalette.ColorRole.Text, role_colour("faint"))
        if index.column() == 0 and row.sort not in ("stage", "end"):
            option.palette.setColor(QPalette.ColorRole.Text, role_colour("faint"))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """A problem runs on from cell to cell; the rest as ever."""
        row = self._row(index)
        if row.sort == "problem":
            text = say("! {problem}", problem=row.text)
            self._across(painter, option, text, "error" if row.level == "error" else "warning", bold=False)
        else:
            super().paint(painter, option, index)


def hint_of(row: StageLine) -> str:
    """What an empty line takes."""
    if row.sort == "end":
        return say("a kind: strain, distil, bottle…")
    return say("a component, or a figure")


class StageTable(DataTable):
    """A DataTable that keeps its order, and stays on the empty line until it is left."""

    def __init__(self, model: RowTable[StageLine], name: str, parent: QWidget | None = None) -> None:
        super().__init__(model, name, parent)
        self.cells = StageCells(self)
        self.setItemDelegate(self.cells)
        self.setAlternatingRowColors(False)
        self.horizontalHeader().setSectionsClickable(False)

    def _sort_by(self, column: int) -> None:
        """The liquid goes one way."""

    def line(self) -> StageLine | None:
        """The line that is come to."""
        index = self.currentIndex()
        if not index.isValid():
            return None
        row: StageLine = self.rows.row(index.row())
        return row

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """After Enter on an empty line, the next empty line is typed into."""
        line = self.line()
        super().closeEditor(editor, hint)
        if hint == QAbstractItemDelegate.EndEditHint.SubmitModelCache and line is not None and line.sort == "new":
            self.choose(line.key, 1)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Typing anywhere on a line types into its text."""
        index = self.currentIndex()
        plain = not event.modifiers() & ~Qt.KeyboardModifier.ShiftModifier
        if (
            index.isValid()
            and index.column() == 0
            and plain
            and ((event.text().isprintable() and event.text().strip()) or event.key() == Qt.Key.Key_F2)
        ):
            self.come_to(self.rows.index(index.row(), 1))
        super().keyPressEvent(event)


class LedgerTable(DataTable):
    """The ledger keeps its order too."""

    def __init__(self, model: RowTable[LedgerRow], name: str, parent: QWidget | None = None) -> None:
        super().__init__(model, name, parent)
        self.cells = LedgerCells(self)
        self.setItemDelegate(self.cells)
        self.setAlternatingRowColors(False)
        self.horizontalHeader().setSectionsClickable(False)

    def _sort_by(self, column: int) -> None:
        """The liquid goes one way."""
