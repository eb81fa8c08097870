"""A table of rows: sorted and filtered in Python, edited through steps, telling only what moved.

Sorting and filtering through a proxy takes seconds at 20,000 rows; plain lists take milliseconds.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Generic, NamedTuple, TypeVar

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal

from costing.book.book import Book
from costing.book.change import Change, Key, Step
from costing.tongue import say, say_many
from ui.desk import Desk
from ui.fault import KNOWN, Refusal, refusal_of
from ui.folding import fold
from ui.format import own

R = TypeVar("R")
Index = QModelIndex | QPersistentModelIndex
Role = Qt.ItemDataRole
KEY_ROLE = Role.UserRole + 1
"""The key of the row."""
REFUSED_ROLE = Role.UserRole + 2
"""The Refusal of a text that was typed and does not stand in the book, or None."""
MARK_ROLE = Role.UserRole + 3
""" "measured", "assumed", "computed" or "" of a figure."""
WHY_ROLE = Role.UserRole + 4
"""A subject for the why pane, or None."""
CHOICES_ROLE = Role.UserRole + 5
"""Texts to choose from, or None."""
OFFERS_ROLE = Role.UserRole + 6
"""A function from what was typed to the texts that go on from it, or None."""
DEPTH_ROLE = Role.UserRole + 7
"""How many steps a cell's text is set in; absent where the column sets none in."""
WORDS = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
NUMBERS = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignAbsolute
"""Figures end at the right in every direction of writing, so that their decimals stand under one another."""
FEW = 64
"""Rows that may come or go one by one; more of them, and the table is filled anew."""


@dataclass(frozen=True)  # slots would refuse Column[Row](...), which writes __orig_class__ on what it makes
class Column(Generic[R]):
    """One column. ``write`` makes the Step of a typed text on the book it is handed (None: nothing to do), and raises
    ValueError for what cannot be; it looks records up in that book, by the row's id."""

    key: str
    title: str
    show: Callable[[R], str]
    number: bool = False
    sort: Callable[[R], Any] | None = None
    tip: Callable[[R], str] | None = None
    write: Callable[[Book, R, str], Step | None] | None = None
    edit_text: Callable[[R], str] | None = None
    editable: Callable[[R], bool] | None = None
    mark: Callable[[R], str] | None = None
    why: Callable[[R], object | None] | None = None
    choices: Callable[[], Sequence[str]] | None = None
    offers: Callable[[str], Sequence[str]] | None = None
    """Whole texts that go on from what was typed so far; like ``choices`` where they depend on it."""
    strong: Callable[[R], bool] | None = None
    depth: Callable[[R], int] | None = None
    """How many steps the text is set in from the edge; its further lines are too."""
    about: str = ""
    """What the column says, for the heading's tip."""


@dataclass(frozen=True, slots=True)
class Written:
    """One text for one cell."""

    row: int
    column: int
    text: str


class Held(NamedTuple):
    """A text that was typed and does not stand in the book, and what its cell said then."""

    text: str
    refusal: Refusal
    said: str


def joined(text: str, steps: Iterable[Step]) -> Step | None:
    """Steps made one on another as one step; None where nothing is changed in the end."""
    firsts: dict[Key, Change] = {}
    for step in steps:
        for change in step.changes:
            start = firsts.get(change.key)
            before = start.before if start else change.before
            firsts[change.key] = Change(change.kind, change.id, before, change.after)
    changes = tuple(c for c in firsts.values() if c.before != c.after)
    return Step(text, changes) if changes else None


def many_cells(n: int) -> str:
    """The name of a step that writes several cells."""
    return say_many("{n} cell", "{n} cells", n)


def head_data(columns: Sequence[Column[Any]], section: int, orientation: Qt.Orientation, role: int) -> Any:
    """What stands over a column: its title, what it says, and where its text ends."""
    if orientation != Qt.Orientation.Horizontal or not 0 <= section < len(columns):
        return None
    column = columns[section]
    if role == Role.DisplayRole:
        return column.title
    if role == Role.ToolTipRole:
        return column.about or None
    if role == Role.TextAlignmentRole:
        return NUMBERS if column.number else WORDS
    return None


class RowTable(QAbstractTableModel, Generic[R]):
    """Rows under columns. Rows are found again by their key, so they may be made anew at every change."""

    refused = Signal(object)
    """The Refusal of the last text that was typed and could not be taken; of the first one among the rows where others
    came to be shown; None where all that is shown stands in the book."""

    def __init__(
        self,
        columns: Sequence[Column[R]],
        key_of: Callable[[R], str],
        desk: Desk | None = None,
        parent: QObject | None = None,
        *,
        counted: bool = False,
    ) -> None:
        """``desk`` is needed where a column can be written. Keys name whose rows they are, so that a text that does not
        stand waits for them where those of another are shown; ``counted``: keys count lines, and such a text goes with
        its line where lines move."""
        super().__init__(parent)
        self.columns = tuple(columns)
        self._key_of, self._desk, self._counted = key_of, desk, counted
        self._all: list[R] = []
        self._shown: list[R] = []
        self._order: list[int] | None = None
        self._sort_keys: dict[int, list[Any]] = {}
        self._place: dict[str, int] | None = {}
        self._folds: list[str] | None = None
        self._words: list[str] = []
        self._sorted: tuple[int, Qt.SortOrder] | None = None
        self._refused: dict[tuple[str, int], Held] = {}
        self._last: Refusal | None = None

    # What it holds

    @property
    def total(self) -> int:
        """Rows with and without the filter."""
        return len(self._all)

    def row(self, position: int) -> R:
        """The row shown at a position. IndexError beyond the last."""
        return self._shown[position]

    def key(self, position: int) -> str:
        """Its key."""
        return self._key_of(self._shown[position])

    def position(self, key: str) -> int | None:
        """Where a row is shown, or None where the filter hides it or there is none."""
        return self._places().get(key)

    def rows(self) -> Sequence[R]:
        """The rows shown, in order."""
        return tuple(self._shown)

    def set_rows(self, rows: Iterable[R]) -> None:
        """Show these rows. Those that were there stay where they are, so that nothing jumps under a hand."""
        self._all = list(rows)
        self._folds, self._sort_keys = None, {}
        self._order = self._ordered()
        if self._refused:
            self._settle()
        fresh = self._passing()
        new = {self._key_of(r): r for r in fresh}
        place = self._places()
        gone = [n for n, r in enumerate(self._shown) if self._key_of(r) not in new]
        come = sum(1 for k in new if k not in place)
        if not self._shown or len(gone) + come > FEW or len(new) != len(fresh):
            self.beginResetModel()
            self._show(fresh)
            self.endResetModel()
            return
        for n in reversed(gone):
            self.beginRemoveRows(QModelIndex(), n, n)
            self._show([*self._shown[:n], *self._shown[n + 1 :]])
            self.endRemoveRows()
        self._show([new[self._key_of(r)] for r in self._shown])
        before: str | None = None
        for key, row in new.items() if come else ():
            if key not in self._places():
                at = 0 if before is None else self._places()[before] + 1
                self.beginInsertRows(QModelIndex(), at, at)
                self._show([*self._shown[:at], row, *self._shown[at:]])
                self.endInsertRows()
            before = key
        if self._shown:
            self.dataChanged.emit(self.index(0, 0), self.index(len(self._shown) - 1, len(self.columns) - 1))

    def _settle(self) -> None:
        """Keep texts that do not stand with the cells they were typed into, and drop those whose cell says something
        else by now. Those of rows that are not shown wait."""
        rows = {self._key_of(r): r for r in self._all}
        kept: dict[tuple[str, int], Held] = {}
        for (key, column), held in self._refused.items():
            row = rows.get(key)
            if row is None or self._said(row, column) == held.said:
                kept[key, column] = held
            elif self._counted:
                moved = (k for k, r in rows.items() if self._said(r, column) == held.said and (k, column) not in kept)
                to = next(moved, None)
                if to is not None:
                    kept[to, column] = held
        self._refused = kept
        first = next((held.refusal for at, held in kept.items() if at[0] in rows), None)
        if first is not self._last:
            self._tell(first)

    def _said(self, row: R, column: int) -> str:
        """What the book says in a cell, as it is typed."""
        of = self.columns[column]
        return (of.edit_text or of.show)(row)

    def _hold(self, where: tuple[str, int], text: str, refusal: Refusal) -> None:
        at = self._places().get(where[0])
        if at is not None:
            self._refused[where] = Held(text, refusal, self._said(self._shown[at], where[1]))

    def _tell(self, refusal: Refusal | None) -> None:
        self._last = refusal
        self.refused.emit(refusal)

    def filter_text(self, text: str) -> None:
        """Show only rows that hold every word of ``text`` in a column that is not a number."""
        words = fold(text).split()
        if words == self._words:
            return
        self._words = words
        self.beginResetModel()
        self._show(self._passing())
        self.endResetModel()

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        """Order the rows by a column; a negative one gives back the order they came in."""
        self._sorted = (column, order) if 0 <= column < len(self.columns) else None
        self.layoutAboutToBeChanged.emit()
        before = self.persistentIndexList()
        keys = [self.key(i.row()) for i in before]
        self._order = self._ordered()
        self._show(self._passing())
        place = self._places() if before else {}
        after = [
            self.index(place[k], i.column()) if k in place else QModelIndex() for k, i in zip(keys, before, strict=True)
        ]
        self.changePersistentIndexList(before, after)
        self.layoutChanged.emit()

    def _show(self, rows: list[R]) -> None:
        self._shown, self._place = rows, None

    def _places(self) -> dict[str, int]:
        """Where each key is shown; made when it is first asked for, because a long filter rarely does."""
        if self._place is None:
            self._place = {self._key_of(r): n for n, r in enumerate(self._shown)}
        return self._place

    def _passing(self) -> list[R]:
        """The rows that the filter lets through, in order."""
        rows, words = self._all, self._words
        order: Sequence[int] = range(len(rows)) if self._order is None else self._order
        if not words:
            return [rows[n] for n in order]
        if self._folds is None:
            shows = [c.show for c in self.columns if not c.number]
            self._folds = [fold("  ".join([show(r) for show in shows])) for r in rows]
        folds, left = self._folds, order
        for word in words:  # each word leaves fewer rows to the next
            left = [n for n in left if word in folds[n]]
        return [rows[n] for n in left]

    def _ordered(self) -> list[int] | None:
        """Positions of the rows, sorted; None for the order they came in. What has no figure stands last either way."""
        if self._sorted is None:
            return None
        number, way = self._sorted
        keys = self._sort_keys.get(number)
        if keys is None:
            column = self.columns[number]
            by: Callable[[R], Any] = column.sort or (lambda r: fold(column.show(r)))
            keys = self._sort_keys[number] = [by(r) for r in self._all]
        known = [n for n, key in enumerate(keys) if key is not None]
        known.sort(key=keys.__getitem__, reverse=way == Qt.SortOrder.DescendingOrder)
        if len(known) < len(keys):
            known += [n for n, key in enumerate(keys) if key is None]
        return known

    # What Qt asks

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Rows shown."""
        return 0 if parent.isValid() else len(self._shown)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Columns."""
        return 0 if parent.isValid() else len(self.columns)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Role.DisplayRole) -> Any:
        """Titles across."""
        return head_data(self.columns, section, orientation, role)

    def data(self, index: Index, role: int = Role.DisplayRole) -> Any:
        """What a cell shows. A text that was refused stays in its cell until it is mended or dropped."""
        if not index.isValid() or not 0 <= index.row() < len(self._shown):
            return None
        row, column = self._shown[index.row()], self.columns[index.column()]
        wrong = self._refused.get((self._key_of(row), index.column())) if self._refused else None
        if role == Role.DisplayRole:
            return wrong.text if wrong else column.show(row)
        if role == Role.EditRole:
            return wrong.text if wrong else self._said(row, index.column())
        if role == Role.TextAlignmentRole:
            return NUMBERS if column.number else WORDS
        if role in (Role.ToolTipRole, Role.AccessibleDescriptionRole):
            return wrong.refusal.text if wrong else (column.tip(row) if column.tip else None)
        if role == Role.AccessibleTextRole:
            return f"{column.title}: {wrong.text if wrong else column.show(row)}"
        return self._own_role(row, column, wrong, role)

    def _own_role(self, row: R, column: Column[R], wrong: Held | None, role: int) -> Any:
        if role == KEY_ROLE:
            return self._key_of(row)
        if role == REFUSED_ROLE:
            return wrong.refusal if wrong else None
        if role == MARK_ROLE:
            return column.mark(row) if column.mark else ""
        if role == WHY_ROLE:
            return column.why(row) if column.why else None
        if role == CHOICES_ROLE:
            return column.choices() if column.choices else None
        if role == OFFERS_ROLE:
            return column.offers
        if role == DEPTH_ROLE:
            return column.depth(row) if column.depth else None
        if role == Role.FontRole and column.strong is not None and column.strong(row):
            return _bold()
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Cells that can be written are editable."""
        flags = super().flags(index)
        return flags | Qt.ItemFlag.ItemIsEditable if self.can_write(index) else flags

    def can_write(self, index: Index) -> bool:
        """Whether a cell can be typed into."""
        if not index.isValid() or self._desk is None or self._desk.document.read_only:
            return False
        column = self.columns[index.column()]
        return column.write is not None and (column.editable is None or column.editable(self._shown[index.row()]))

    def setData(self, index: Index, value: Any, role: int = Role.EditRole) -> bool:
        """Write one cell as a step."""
        if role != Role.EditRole or not self.can_write(index):
            return False
        return self.write([Written(index.row(), index.column(), str(value))]) == 1

    # Edits

    def write(self, cells: Sequence[Written], name: Callable[[int], str] = many_cells) -> int:
        """Write texts into cells as one step and say how many of them stand. What cannot be stays in its cell, with
        the reason; the rest is kept. ``name`` names a step of so many cells."""
        desk = self._desk
        if desk is None:
            return 0
        book, steps, taken = desk.document.book, [], list[tuple[Written, tuple[str, int]]]()
        last: Refusal | None = None
        meant = [cell for cell in cells if self.can_write(self.index(cell.row, cell.column))]
        for cell in meant:
            at = self.index(cell.row, cell.column)
            row, column = self._shown[cell.row], self.columns[cell.column]
            where = self._key_of(row), cell.column
            try:
                step = column.write(book, row, cell.text) if column.write else None
                if step is not None:
                    book = book.with_changes(step.changes)
                    steps.append(step)
            except KNOWN as error:
                last = refusal_of(error)
                self._hold(where, cell.text, last)
            else:
                self._refused.pop(where, None)
                taken.append((cell, where))
            self.dataChanged.emit(at, at)
        step = joined(name(len(meant)) if len(meant) > 1 else steps[0].text if steps else "", steps)
        if step is not None and not desk.do(step) and desk.refusal is not None:
            last = desk.refusal
            for cell, where in taken:
                self._hold(where, cell.text, last)
            taken = []
        self._tell(last)
        if len(meant) < len(cells):
            desk.tell(say_many("{n} cell is computed and stays", "{n} cells are computed and stay",
                               len(cells) - len(meant)))  # fmt: skip
        return len(taken)

    def hold_back(self, index: Index, text: str) -> None:
        """Keep a text in its cell without writing it: the cell says something else than when it was begun."""
        now = self._said(self._shown[index.row()], index.column())
        last = Refusal(
            say("“{text}” was not taken.", text=own(text)),
            say("What stood here changed while it was typed: it is now “{now}”.", now=own(now)),
            say("Enter twice on it takes it all the same; Esc drops it."),
        )
        self._hold((self.key(index.row()), index.column()), text, last)
        self.dataChanged.emit(index, index)
        self._tell(last)

    def drop_refused(self, index: Index) -> bool:
        """Give a cell back what the book says."""
        if not index.isValid() or self._refused.pop((self.key(index.row()), index.column()), None) is None:
            return False
        self.dataChanged.emit(index, index)
        self._tell(None)
        return True

    def refusals(self) -> int:
        """How many texts were typed and do not stand in the book."""
        return len(self._refused)

    def unkept(self) -> list[str]:
        """Those texts, as typed."""
        return [held.text for held in self._refused.values()]


def _bold() -> Any:
    from PySide6.QtGui import QFont  # noqa: PLC0415  a model is no widget; only this role needs a font

    font = QFont()
    font.setBold(True)
    return font
