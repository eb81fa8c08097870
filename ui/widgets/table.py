"""A table that is worked by keyboard: type into cells, copy and paste blocks, fill down; and a list with its filter."""

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import (
    QAbstractItemModel,
    QEvent,
    QItemSelectionModel,
    QModelIndex,
    QObject,
    QRect,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QContextMenuEvent, QGuiApplication, QKeyEvent, QKeySequence, QPainter, QPen
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QHeaderView,
    QLineEdit,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from costing.book.book import Book
from costing.book.change import Step
from costing.tongue import say, say_many
from ui.fault import Refusal
from ui.format import own
from ui.models.table import (
    CHOICES_ROLE,
    DEPTH_ROLE,
    KEY_ROLE,
    MARK_ROLE,
    OFFERS_ROLE,
    REFUSED_ROLE,
    WHY_ROLE,
    Index,
    RowTable,
    Written,
)
from ui.theme import role_colour
from ui.widgets.acts import acts, offer_acts
from ui.widgets.completing import Suggestions

TALL = 26
"""Rows are at least this tall, in pixels: a target of 24 with its line."""
SAMPLED = 60
"""Rows that column widths are judged by; all of them takes half a second at 10,000."""
WIDEST = 340
SET_IN = 2
"""Letters that a step of depth is wide."""
FILLED = "filled"
"""The property of a cell's editor that keeps the text it was filled with."""
Block = list[list[str]]
PasteStep = Callable[[Book, Block, int, int], Step | None]


class CellDelegate(QStyledItemDelegate):
    """Cells with a mark for what is assumed and a plain sign for a text that does not stand."""

    typed = Signal(str, int, str)
    """Key, column and text of a cell that is being typed into."""
    left = Signal()
    """A cell is typed into no more: its text was taken, refused or dropped."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.closeEditor.connect(self._closed)

    def _closed(self, *_: object) -> None:
        self.left.emit()

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Tall enough to be hit."""
        size = super().sizeHint(option, index)
        return QSize(size.width() + 8, max(TALL, size.height() + 4))

    def initStyleOption(self, option: QStyleOptionViewItem, index: Index) -> None:
        """A text runs in its own direction: "45 ml gin" stays in order in a right-to-left window."""
        super().initStyleOption(option, index)
        option.text = own(option.text)
        if depth := index.data(DEPTH_ROLE):  # an empty picture before it: every line of a text that wraps is set in
            option.features |= QStyleOptionViewItem.ViewItemFeature.HasDecoration
            option.decorationSize = QSize(depth * option.fontMetrics.averageCharWidth() * SET_IN, 1)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """The cell, then its signs: a dotted line under what is assumed, a frame and a sign around what is refused."""
        super().paint(painter, option, index)
        rect: QRect = option.rect
        if index.data(MARK_ROLE) == "assumed":
            pen = QPen(role_colour("copper"), 1.4, Qt.PenStyle.DotLine)
            painter.save()
            painter.setPen(pen)
            y = rect.bottom() - 3
            painter.drawLine(rect.left() + 6, y, rect.right() - 6, y)
            painter.restore()
        if index.data(REFUSED_ROLE) is not None:
            painter.save()
            painter.setPen(QPen(role_colour("error"), 2))
            painter.drawRect(rect.adjusted(1, 1, -2, -2))
            mark = rect.adjusted(0, 0, -5, 0)
            leading = Qt.AlignmentFlag.AlignLeft if option.displayAlignment & Qt.AlignmentFlag.AlignRight else (
                Qt.AlignmentFlag.AlignRight
            )  # fmt: skip
            painter.drawText(mark.adjusted(6, 0, 0, 0), leading | Qt.AlignmentFlag.AlignVCenter, "!")
            painter.restore()

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        """A line to type on, with suggestions where there are choices."""
        editor = QLineEdit(parent)
        editor.setFrame(False)
        editor.setAutoFillBackground(True)
        title = index.model().headerData(index.column(), Qt.Orientation.Horizontal)
        editor.setAccessibleName(str(title))
        choices, offers = index.data(CHOICES_ROLE), index.data(OFFERS_ROLE)
        if choices is not None or offers is not None:
            Suggestions(editor, partial(list, choices) if choices is not None else None, offers)
        editor.textEdited.connect(partial(self.typed.emit, str(index.data(KEY_ROLE)), index.column()))
        return editor

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """The cell's text, once: what is being typed is left alone whatever else moves meanwhile. A text that nobody
        touched yet follows the book."""
        if isinstance(editor, QLineEdit) and editor.property(FILLED) in (None, editor.text()):
            text = str(index.data(Qt.ItemDataRole.EditRole) or "")
            if editor.property(FILLED) != text:
                editor.setText(text)
                editor.setProperty(FILLED, text)
                editor.selectAll()

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: Index) -> None:
        """Write what was typed. A text left as it was is no edit, but one that was refused is tried again; over what
        somebody else wrote meanwhile it is not written unasked."""
        if not isinstance(editor, QLineEdit):
            return
        text, filled = editor.text(), editor.property(FILLED)
        if index.data(REFUSED_ROLE) is not None:
            model.setData(index, text)
        elif text != filled:
            if isinstance(model, RowTable) and filled != str(index.data(Qt.ItemDataRole.EditRole) or ""):
                model.hold_back(index, text)
            else:
                model.setData(index, text)


class DataTable(QTableView):
    """A table view of a RowTable."""

    explained = Signal(object)
    """The subject of the cell that was come to."""
    opened = Signal(str)
    """The key of a row that was opened (Enter on a cell that is not typed into, or a double click)."""
    current_key = Signal(str)
    """The key of the row that was come to."""

    def __init__(self, model: RowTable, name: str, parent: QWidget | None = None) -> None:  # type: ignore[type-arg]
        """``name`` is what the table is called, for assistive technology."""
        super().__init__(parent)
        self.rows = model
        self.paste_step: PasteStep | None = None
        self.setAccessibleName(name)
        self.cells = CellDelegate(self)
        self.setItemDelegate(self.cells)
        self.setModel(model)
        self.setAlternatingRowColors(True)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setSortingEnabled(False)
        self.setTabKeyNavigation(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.EditKeyPressed
            | QAbstractItemView.EditTrigger.AnyKeyPressed
            | QAbstractItemView.EditTrigger.DoubleClicked
        )
        down = self.verticalHeader()
        down.setVisible(False)
        down.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self._fit_rows()
        across = self.horizontalHeader()
        across.setHighlightSections(False)
        across.setSectionsClickable(True)
        across.setStretchLastSection(True)
        across.setMinimumHeight(TALL)
        across.sectionClicked.connect(self._sort_by)
        self._order: tuple[int, Qt.SortOrder] | None = None
        self._kept: str = ""
        self._sized = False
        model.modelAboutToBeReset.connect(self._keep)
        model.modelReset.connect(self._restore)
        self.doubleClicked.connect(self._double)
        self._actions()

    def _fit_rows(self) -> None:
        self.verticalHeader().setDefaultSectionSize(max(TALL, self.fontMetrics().height() + 8))

    def changeEvent(self, event: QEvent) -> None:
        """A larger letter makes taller rows."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._fit_rows()

    def _actions(self) -> None:
        acts(
            self,
            [
                (say("Copy"), QKeySequence.StandardKey.Copy, self.copy),
                (say("Paste"), QKeySequence.StandardKey.Paste, self.paste),
                (say("Fill down"), "Ctrl+D", self.fill_down),
            ],
            alone=True,
        )

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """What can be done here."""
        offer_acts(self, event)

    # Widths

    def fit_columns(self) -> None:
        """Give every column the width of what the first rows show."""
        self.ensurePolished()
        model, metrics = self.rows, self.fontMetrics()
        count = min(SAMPLED, model.rowCount())
        for n, column in enumerate(model.columns):
            wide = metrics.horizontalAdvance(column.title) + 30
            for row in range(count):
                wide = max(wide, metrics.horizontalAdvance(str(model.index(row, n).data() or "")) + 22)
            self.setColumnWidth(n, min(wide, WIDEST * metrics.height() // 16))
        self._sized = True

    def showEvent(self, event: "QEvent") -> None:
        """Widths are judged when the table is first seen with rows in it."""
        super().showEvent(event)  # type: ignore[arg-type]
        if not self._sized and self.rows.rowCount():
            self.fit_columns()

    # Where one is

    def _keep(self) -> None:
        index = self.currentIndex()
        self._kept = str(index.data(KEY_ROLE) or "") if index.isValid() else self._kept

    def _restore(self) -> None:
        if self._kept:
            self.choose(self._kept, self.currentIndex().column())
        if self.isVisible() and not self._sized and self.rows.rowCount():
            self.fit_columns()

    def choose(self, key: str, column: int = 0) -> bool:
        """Go to the row with this key; False where it is not shown."""
        row = self.rows.position(key)
        if row is None:
            return False
        index = self.rows.index(row, max(0, column))
        self.come_to(index)
        self.scrollTo(index)
        return True

    def come_to(self, index: Index) -> None:
        """The cursor to a cell, and nothing else selected. Qt's own ``setCurrentIndex`` goes by the keys that are held:
        with Shift down it would select all that lies between."""
        self.selectionModel().setCurrentIndex(index, QItemSelectionModel.SelectionFlag.ClearAndSelect)

    def chosen(self) -> list[str]:
        """The keys of the rows with a selected cell, from the top."""
        rows = sorted({index.row() for index in self.selectionModel().selectedIndexes()})
        return [self.rows.key(row) for row in rows]

    def currentChanged(self, current: Index, previous: Index) -> None:
        """Say which row, and what its figure stands on."""
        super().currentChanged(current, previous)
        if not current.isValid():
            return
        key = str(current.data(KEY_ROLE))
        if key != self._kept or not previous.isValid():
            self._kept = key
            self.current_key.emit(key)
        subject = current.data(WHY_ROLE)
        if subject is not None:
            self.explained.emit(subject)

    def _double(self, index: QModelIndex) -> None:
        if not self.rows.can_write(index):
            self.opened.emit(str(index.data(KEY_ROLE)))

    def _sort_by(self, column: int) -> None:
        """Up, then down, then as the rows came."""
        up, down = Qt.SortOrder.AscendingOrder, Qt.SortOrder.DescendingOrder
        following = {None: up, up: down, down: None}
        now = self._order[1] if self._order and self._order[0] == column else None
        order = following[now]
        self._order = None if order is None else (column, order)
        header = self.horizontalHeader()
        header.setSortIndicatorShown(order is not None)
        if order is None:
            self.rows.sort(-1)
        else:
            header.setSortIndicator(column, order)
            self.rows.sort(column, order)

    # Keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter types into a cell or opens the row; Esc drops a text that does not stand; F4 sorts by the column."""
        index, key = self.currentIndex(), event.key()
        if self.state() == QAbstractItemView.State.EditingState:
            return super().keyPressEvent(event)  # Enter comes by here while its text is on the way into the book
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and index.isValid():
            if self.rows.can_write(index):
                self.edit(index)
            else:
                self.opened.emit(str(index.data(KEY_ROLE)))
        elif key == Qt.Key.Key_F4 and index.isValid():
            self._sort_by(index.column())
        elif key != Qt.Key.Key_Escape or not self.rows.drop_refused(index):
            super().keyPressEvent(event)
        return None

    def commitData(self, editor: QWidget) -> None:
        """Take what was typed, once: Enter on an open list of suggestions asks for it twice, and by the second time the
        row may be another and the editor gone."""
        if self.state() == QAbstractItemView.State.EditingState:
            super().commitData(editor)

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """After Tab the next cell that can be typed into is typed into; after Enter the cell below is come to."""
        end = QAbstractItemDelegate.EndEditHint
        super().closeEditor(editor, end.NoHint if hint != end.RevertModelCache else hint)
        index = self.currentIndex()
        if hint == end.EditNextItem:
            self._edit_from(index, 1)
        elif hint == end.EditPreviousItem:
            self._edit_from(index, -1)
        elif hint == end.SubmitModelCache and index.isValid():
            below = self.rows.index(index.row() + 1, index.column())
            if below.isValid() and index.data(REFUSED_ROLE) is None:
                self.come_to(below)
        if self.state() != QAbstractItemView.State.EditingState:
            self.setFocus(Qt.FocusReason.OtherFocusReason)

    def _edit_from(self, index: QModelIndex, step: int) -> None:
        wide = len(self.rows.columns)
        place = index.row() * wide + index.column() + step
        while 0 <= place < wide * self.rows.rowCount():
            following = self.rows.index(place // wide, place % wide)
            if self.rows.can_write(following) and not self.isColumnHidden(following.column()):
                self.come_to(following)
                self.edit(following)
                return
            place += step

    # Blocks

    def copy(self) -> None:
        """The selected cells as text: tabs between cells, a line a row, as every spreadsheet takes it."""
        QGuiApplication.clipboard().setText(self.block_text())

    def block_text(self) -> str:
        """The text that ``copy`` copies."""
        indexes = self.selectionModel().selectedIndexes()
        rows = sorted({i.row() for i in indexes})
        columns = sorted({i.column() for i in indexes})
        held = {(i.row(), i.column()) for i in indexes}
        lines = ["\t".join(self._copied(r, c) if (r, c) in held else "" for c in columns) for r in rows]
        return "\n".join(lines)

    def _copied(self, row: int, column: int) -> str:
        """A cell as it is typed where it can be, with all its figures, so that it may be pasted back; else as shown."""
        typed = self.rows.columns[column].write is not None
        role = Qt.ItemDataRole.EditRole if typed else Qt.ItemDataRole.DisplayRole
        return _bare(str(self.rows.index(row, column).data(role) or ""))

    def paste(self) -> None:
        """A block of text into the cells from here on, as one step. A block that reaches beyond the last row or column
        is not taken in part."""
        block = [line.split("\t") for line in QGuiApplication.clipboard().text().splitlines()]
        index = self.currentIndex()
        if not block:
            return
        row, column = (index.row(), index.column()) if index.isValid() else (-1, -1)
        if self.paste_step is not None:
            self.paste_block(block, row, column)
        elif row >= 0:
            cells = [
                Written(row + down, column + across, text.strip())
                for down, line in enumerate(block)
                for across, text in enumerate(line)
            ]
            tall, wide = self.rows.rowCount() - row, len(self.rows.columns) - column
            beyond = [c for c in cells if c.text and (c.row >= row + tall or c.column >= column + wide)]
            if beyond:
                self._refuse_block(block, tall, wide)
            else:
                self.rows.write([c for c in cells if c.row < row + tall and c.column < column + wide], _pasted)

    def _refuse_block(self, block: Block, tall: int, wide: int) -> None:
        desk = self.rows._desk  # the table and its view are one thing in two halves
        if desk is not None:
            rows = say_many("{n} row", "{n} rows", len(block))
            columns = say_many("{n} column", "{n} columns", max(len(line) for line in block))
            room = say_many("{n} row", "{n} rows", tall), say_many("{n} column", "{n} columns", wide)
            desk.refuse(
                Refusal(
                    say("Nothing was pasted: {rows} by {columns} do not fit.", rows=rows, columns=columns),
                    say("From this cell on there are {rows} by {columns}.", rows=room[0], columns=room[1]),
                    say("Go to the cell where the block begins, or copy fewer cells."),
                )
            )

    def paste_block(self, block: Block, row: int, column: int) -> None:
        """Hand a block to the place that knows what to make of it."""
        desk = self.rows._desk
        if desk is not None and self.paste_step is not None:
            step = self.paste_step
            desk.attempt(partial(step, desk.document.book, block, row, column))

    def fill_down(self) -> None:
        """The first selected cell of each column into the selected cells below it, as one step."""
        cells: list[Written] = []
        by_column: dict[int, list[int]] = {}
        for index in self.selectionModel().selectedIndexes():
            by_column.setdefault(index.column(), []).append(index.row())
        for column, rows in by_column.items():
            first, *rest = sorted(rows)
            text = str(self.rows.index(first, column).data(Qt.ItemDataRole.EditRole) or "")
            cells += [Written(row, column, text) for row in rest]
        if cells:
            self.rows.write(cells, _filled)

    def select_rows(self, keys: Sequence[str]) -> None:
        """Select these rows and no other."""
        chosen = self.selectionModel()
        chosen.clearSelection()
        for key in keys:
            row = self.rows.position(key)
            if row is not None:
                flags = QItemSelectionModel.SelectionFlag.Select | QItemSelectionModel.SelectionFlag.Rows
                chosen.select(self.rows.index(row, 0), flags)


def _pasted(n: int) -> str:
    return say_many("paste {n} cell", "paste {n} cells", n)


def _filled(n: int) -> str:
    return say_many("fill {n} cell", "fill {n} cells", n)


def _bare(text: str) -> str:
    """A cell's text without the marks that only steer its direction."""
    return "".join(ch for ch in text if ch not in "\u2066\u2067\u2068\u2069")
