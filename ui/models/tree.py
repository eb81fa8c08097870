"""Rows under rows: a tree of the same columns as a table. Nodes are numbers, so no index outlives its row."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from PySide6.QtCore import QAbstractItemModel, QModelIndex, QObject, Qt

from ui.models.table import KEY_ROLE, MARK_ROLE, NUMBERS, WHY_ROLE, WORDS, Column, Index, Role, head_data

R = TypeVar("R")
DEEPEST = 40
"""Rows below rows below rows: a tree that goes on deeper is cut there."""


@dataclass(slots=True)
class _Node(Generic[R]):
    row: R
    parent: int
    place: int
    path: tuple[str, ...]
    below: list[int] = field(default_factory=list)


class TreeTable(QAbstractItemModel, Generic[R]):
    """A tree. ``below`` gives the rows under a row; a row is known by the keys that lead to it (its path)."""

    def __init__(
        self,
        columns: Sequence[Column[R]],
        key_of: Callable[[R], str],
        below: Callable[[R], Iterable[R]],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.columns, self._key_of, self._below = tuple(columns), key_of, below
        self._nodes: list[_Node[R]] = []
        self._tops: list[int] = []
        self._by_path: dict[tuple[str, ...], int] = {}

    def set_rows(self, tops: Iterable[R]) -> None:
        """Show these rows and what is below them. A tree of the same shape only shows its figures anew."""
        before = list(self._by_path)
        nodes: list[_Node[R]] = []
        top_ids: list[int] = []
        by_path: dict[tuple[str, ...], int] = {}

        def add(row: R, parent: int, place: int, path: tuple[str, ...]) -> int:
            here = (*path, self._key_of(row))
            while here in by_path:  # the same thing twice under one parent
                here = (*here[:-1], f"{here[-1]}'")
            number = len(nodes)
            nodes.append(_Node(row, parent, place, here))
            by_path[here] = number
            if len(here) < DEEPEST:
                nodes[number].below = [add(r, number, n, here) for n, r in enumerate(self._below(row))]
            return number

        top_ids = [add(row, -1, n, ()) for n, row in enumerate(tops)]
        if list(by_path) == before:
            old, self._nodes = self._nodes, nodes
            last = len(self.columns) - 1
            for parent in (-1, *(n for n, node in enumerate(nodes) if node.below)):
                children = self._children(parent)
                if any(old[n].row != nodes[n].row for n in children):
                    self.dataChanged.emit(
                        self.createIndex(0, 0, children[0]), self.createIndex(len(children) - 1, last, children[-1])
                    )
            return
        self.beginResetModel()
        self._nodes, self._tops, self._by_path = nodes, top_ids, by_path
        self.endResetModel()

    def row_of(self, index: Index) -> R | None:
        """The row at an index."""
        return self._nodes[index.internalId()].row if index.isValid() else None

    def path_of(self, index: Index) -> tuple[str, ...]:
        """The keys that lead to it."""
        return self._nodes[index.internalId()].path if index.isValid() else ()

    def index_of(self, path: tuple[str, ...], column: int = 0) -> QModelIndex:
        """The index at a path, invalid where there is none."""
        number = self._by_path.get(path)
        return QModelIndex() if number is None else self.createIndex(self._nodes[number].place, column, number)

    def find(self, key: str) -> QModelIndex:
        """The first index with a key, invalid where there is none."""
        return next((self.index_of(path) for path in self._by_path if path[-1] == key), QModelIndex())

    def _children(self, number: int) -> list[int]:
        return self._tops if number < 0 else self._nodes[number].below

    def index(self, row: int, column: int, parent: Index = QModelIndex()) -> QModelIndex:  # noqa: B008
        """The index of a child."""
        children = self._children(parent.internalId() if parent.isValid() else -1)
        if (parent.isValid() and parent.column() != 0) or not (
            0 <= row < len(children) and 0 <= column < len(self.columns)
        ):
            return QModelIndex()
        return self.createIndex(row, column, children[row])

    def parent(self, index: Index = QModelIndex()) -> Any:  # noqa: B008
        """The index above."""
        if not index.isValid():
            return QModelIndex()
        above = self._nodes[index.internalId()].parent
        return QModelIndex() if above < 0 else self.createIndex(self._nodes[above].place, 0, above)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Rows below."""
        if parent.isValid() and parent.column() != 0:
            return 0
        return len(self._children(parent.internalId() if parent.isValid() else -1))

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Columns."""
        return len(self.columns)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Role.DisplayRole) -> Any:
        """Titles across."""
        return head_data(self.columns, section, orientation, role)

    def data(self, index: Index, role: int = Role.DisplayRole) -> Any:
        """What a cell shows."""
        if not index.isValid():
            return None
        row, column = self._nodes[index.internalId()].row, self.columns[index.column()]
        if role in (Role.DisplayRole, Role.EditRole):
            return column.show(row)
        if role == Role.TextAlignmentRole:
            return NUMBERS if column.number else WORDS
        if role == Role.ToolTipRole:
            return column.tip(row) if column.tip else None
        if role == Role.AccessibleTextRole:
            return f"{column.title}: {column.show(row)}"
        if role == KEY_ROLE:
            return self._key_of(row)
        if role == MARK_ROLE:
            return column.mark(row) if column.mark else ""
        if role == WHY_ROLE:
            return column.why(row) if column.why else None
        return None
