"""Targets of the window: sorting and filtering a long table, and the time to a window on screen."""

import os
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from tests.benchmarks.result import Result, faster, share, skipped
from tests.benchmarks.timing import Paired, paired, paired_children

LONG = 100_000
LIST = 20_000
"""Rows of the longest list that somebody would keep: 50 ms to filter and 200 ms to sort are wanted there."""


@dataclass(frozen=True, slots=True)
class Line:
    """One row of a long table."""

    id: str
    name: str
    size: int


def lines(count: int) -> list[Line]:
    """Invented rows in no order."""
    return [Line(str(n), f"Item {n * 7919 % count} of shelf {n % 40}", n * 104_729 % count) for n in range(count)]


def _stock(rows: list[Line]) -> tuple[Callable[[], object], Callable[[], object]]:
    """Sorting and filtering by Qt's own proxy over a plain Python model."""
    from PySide6.QtCore import QAbstractTableModel, QModelIndex, QSortFilterProxyModel, Qt

    class Plain(QAbstractTableModel):
        def rowCount(self, parent: QModelIndex = QModelIndex()) -> int:  # type: ignore[override]  # noqa: B008
            return 0 if parent.isValid() else len(rows)

        def columnCount(self, parent: QModelIndex = QModelIndex()) -> int:  # type: ignore[override]  # noqa: B008
            return 2

        def data(self, index: QModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> object:  # type: ignore[override]
            if role != Qt.ItemDataRole.DisplayRole:
                return None
            row = rows[index.row()]
            return row.size if index.column() else row.name

    model = Plain()
    proxy = QSortFilterProxyModel()
    proxy.setSourceModel(model)
    ways = [Qt.SortOrder.AscendingOrder, Qt.SortOrder.DescendingOrder]
    words = ["shelf 7", "shelf 11"]

    def sort() -> None:
        proxy.sort(1, ways[0])
        ways.reverse()

    def find() -> None:
        proxy.setFilterFixedString(words[0])
        words.reverse()

    held.append((model, proxy))
    return sort, find


held: list[object] = []
"""Models that must outlive the closures over them."""


def _ours(rows: list[Line]) -> tuple[Callable[[], object], Callable[[], object]]:
    """The same by the program's own table."""
    from PySide6.QtCore import Qt

    from ui.models.table import Column, RowTable

    model: RowTable[Line] = RowTable(
        [
            Column[Line]("name", "Name", lambda r: r.name),
            Column[Line]("size", "Size", lambda r: str(r.size), number=True, sort=lambda r: r.size),
        ],
        lambda r: r.id,
    )
    model.set_rows(rows)
    ways = [Qt.SortOrder.AscendingOrder, Qt.SortOrder.DescendingOrder]
    words = ["shelf 7", "shelf 11"]

    def sort() -> None:
        model.filter_text("")
        model.sort(1, ways[0])
        ways.reverse()

    def find() -> None:
        model.filter_text(words[0])
        words.reverse()

    held.append(model)
    return sort, find


def long_table() -> list[Result]:
    """14: sorting and filtering."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtWidgets import QApplication

    held.append(QApplication.instance() or QApplication([]))
    out = []
    for count in (LIST, LONG):
        rows = lines(count)
        (stock_sort, stock_find), (sort, find) = _stock(rows), _ours(rows)
        floors = (500.0, 12.0) if count == LONG else (None, None)
        out.append(faster("14", f"sort {count:,} rows", "stock proxy model", _few(stock_sort, sort), floors[0]))
        out.append(faster("14", f"filter {count:,} rows", "stock proxy model", paired(stock_find, find), floors[1]))
    return out


def _few(slow: Callable[[], object], fast: Callable[[], object]) -> Paired:
    """One round of the slow way is half a minute at 100,000 rows: three rounds, the first of which warms up."""
    import time

    times: tuple[list[float], list[float]] = ([], [])
    for _ in range(3):
        for way, call in enumerate((slow, fast)):
            began = time.thread_time()
            call()
            times[way].append(time.thread_time() - began)
    return Paired(tuple(times[0]), tuple(times[1]))


BARE = """
from PySide6.QtWidgets import QApplication, QMainWindow, QTableWidget, QTreeWidget, QSplitter
from PySide6.QtCore import QTimer
app = QApplication([])
window = QMainWindow()
split = QSplitter()
split.addWidget(QTreeWidget())
split.addWidget(QTableWidget(40, 6))
window.setCentralWidget(split)
window.show()
QTimer.singleShot(0, app.quit)
app.exec()
"""


def window() -> list[Result]:
    """15: CPU of a start to the painted window on the sample book, against a window of bare widgets."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    what = "window on screen, on the sample"
    with tempfile.TemporaryDirectory() as folder:
        book = Path(folder) / "sample.stillroom"
        try:
            from costing.paths import sample_book
            from costing.store import create, read_json

            create(book, read_json(sample_book())).close()
            return [share("15", what, "bare widgets", paired_children(["-c", BARE], ["-m", "tests.ui.once", str(book)]),
                          1.5)]  # fmt: skip
        except OSError as error:
            return [skipped("15", what, str(error))]
