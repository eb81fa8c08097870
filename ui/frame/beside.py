"""The panes beside a place: why a figure is what it is, what is open, and the day book."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QTabWidget, QWidget

from costing.tongue import say
from ui.desk import Desk
from ui.frame.history_pane import HistoryPane
from ui.frame.problems import ProblemsPane
from ui.frame.why_pane import WhyPane


class Beside(QTabWidget):
    """Three panes, one of them shown; a figure that is come to brings the why pane, unless somebody works here."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(say("Beside the place"))
        self.why, self.problems, self.day_book = WhyPane(desk, self), ProblemsPane(desk, self), HistoryPane(desk, self)
        self.addTab(self.why, say("Why"))
        self.addTab(self.problems, say("Open points"))
        self.addTab(self.day_book, say("Day book"))
        desk.explained.connect(self._explained)

    def show_why(self) -> None:
        """The why pane, with the keyboard in it."""
        self._show(self.why, self.why.table)

    def show_problems(self) -> None:
        """The list of what is open, with the keyboard in it."""
        self._show(self.problems, self.problems.list.table)

    def show_day_book(self) -> None:
        """What was done, with the keyboard in it."""
        self._show(self.day_book, self.day_book.list.table)

    def _show(self, pane: QWidget, first: QWidget) -> None:
        self.show()
        self.setCurrentWidget(pane)
        first.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def toggle(self) -> None:
        """More room for the place, or the panes again."""
        self.setVisible(self.isHidden())

    def _explained(self, _: object) -> None:
        focus = QApplication.focusWidget()
        if focus is None or not self.isAncestorOf(focus):
            self.setCurrentWidget(self.why)
