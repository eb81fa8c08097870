"""A table whose columns come and go: one for each scenario that stands beside another."""

from collections.abc import Callable, Sequence
from typing import TypeVar

from PySide6.QtCore import QObject

from ui.desk import Desk
from ui.models.table import Column, RowTable

R = TypeVar("R")


class WideTable(RowTable[R]):
    """Rows that are only read, under other columns whenever that is wanted."""

    def __init__(self, key_of: Callable[[R], str], desk: Desk, parent: QObject | None = None) -> None:
        super().__init__((), key_of, desk, parent)

    def show_rows(self, columns: Sequence[Column[R]], rows: Sequence[R]) -> bool:
        """Show rows under columns; whether there are other columns than before."""
        if [(c.key, c.title) for c in columns] == [(c.key, c.title) for c in self.columns]:
            self.columns = tuple(columns)
            self.set_rows(rows)
            return False
        # what it was sorted by may be gone
        self.beginResetModel()
        self._all, self._shown, self._place = [], [], None
        self._folds, self._sort_keys, self._order, self._sorted = None, {}, None, None
        self.columns = tuple(columns)
        self.endResetModel()
        self.set_rows(rows)
        return True
