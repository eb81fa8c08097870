"""A page that answers a question about the ingredient chosen in the Cellar, worked out only once it is seen."""

from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QWidget

from ui.desk import Desk
from ui.places.kept import Waiting


class GoodPage(QWidget):
    """Holds the chosen good; what is being typed for another waits until that one is shown again."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self.good = desk, ""
        self._shown, self._stale = "", True

    def show_good(self, good: str) -> None:
        """Ask for a good; "" for none."""
        self.good, self._stale = good, True
        if self.isVisible():
            self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """Being seen is when figures are wanted."""
        super().showEvent(event)
        if self._stale:
            self.refresh()

    def refresh(self) -> None:
        """The question as it stands, and the answer to it."""
        raise NotImplementedError

    def _begin(self, waiting: Waiting) -> bool:
        """Whether another good is shown than before; what was being typed for that one is put aside."""
        self._stale = False
        fresh = self.good != self._shown
        if fresh:
            waiting.hold(self._shown)
            self._shown = self.good
        return fresh
