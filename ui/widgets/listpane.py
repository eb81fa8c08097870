"""A list with its filter above it: "37 of 412", and a word for what goes there while it is empty."""

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QStackedLayout, QVBoxLayout, QWidget

from costing.tongue import say
from ui.fault import Refusal
from ui.models.table import RowTable
from ui.widgets.fields import FilterField
from ui.widgets.table import DataTable


class ListPane(QWidget):
    """Filter, count, table, and under the table why the last typed text does not stand."""

    def __init__(
        self,
        model: RowTable,  # type: ignore[type-arg]
        name: str,
        empty: QWidget | None = None,
        parent: QWidget | None = None,
    ) -> None:
        """``name`` is what the list is called; ``empty`` stands in for the table while there are no rows at all."""
        super().__init__(parent)
        self.model = model
        self.filter = FilterField(self)
        self.filter.setPlaceholderText(say("Filter (Ctrl+F)"))
        self.filter.setAccessibleName(say("Filter: {list}", list=name))
        self.filter.setClearButtonEnabled(True)
        self.filter.textChanged.connect(model.filter_text)
        self.filter.installEventFilter(self)
        self.count = QLabel(self)
        self.count.setProperty("faint", True)
        self.top = QHBoxLayout()
        self.top.addWidget(self.filter, 1)
        self.top.addWidget(self.count)
        self.table = DataTable(model, name, self)
        self.fault = QLabel(self)
        self.fault.setProperty("error", True)
        self.fault.setWordWrap(True)
        self.fault.hide()
        self._stack = QStackedLayout()
        self._stack.addWidget(self.table)
        self._empty = empty
        if empty is not None:
            self._stack.addWidget(empty)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(4, 4, 4, 4)
        layout.setSpacing(4)
        layout.addLayout(self.top)
        layout.addLayout(self._stack, 1)
        layout.addWidget(self.fault)
        for moved in (model.modelReset, model.rowsInserted, model.rowsRemoved, model.layoutChanged):
            moved.connect(self._counted)
        model.refused.connect(self._refused)
        self._counted()

    def _counted(self, *_: object) -> None:
        shown, total = self.model.rowCount(), self.model.total
        text = str(total) if shown == total else say("{shown} of {total}", shown=shown, total=total)
        self.count.setText(text)
        if self._empty is not None:
            self._stack.setCurrentWidget(self._empty if total == 0 else self.table)

    def _refused(self, refusal: Refusal | None) -> None:
        self.fault.setText(refusal.text if refusal else "")
        self.fault.setVisible(refusal is not None)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """In the filter, Esc clears it, and Down or Enter goes into the list."""
        if watched is self.filter and isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            if event.key() == Qt.Key.Key_Escape and self.filter.text():
                self.filter.clear()
                return True
            if event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.model.rowCount():
                if not self.table.currentIndex().isValid():
                    self.table.come_to(self.model.index(0, 0))
                self.table.setFocus(Qt.FocusReason.TabFocusReason)
                return True
        return super().eventFilter(watched, event)
