"""What the five places have in common: refreshed when they are seen, and found by what they keep."""

from collections.abc import Sequence

from PySide6.QtCore import QByteArray, Signal
from PySide6.QtGui import QAction, QShowEvent
from PySide6.QtWidgets import QSplitter, QWidget

from ui.desk import Desk, Where
from ui.document import Moved


class Place(QWidget):
    """One place. A change of the book makes it stale; it is refreshed when it is next seen, at once where it is."""

    kinds: tuple[str, ...] = ()
    """Kinds of record that this place shows."""
    acts_changed = Signal()
    """More can be done here than before: a page was made."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._stale = True
        desk.document.changed.connect(self._moved)

    def refresh(self, moved: Moved) -> None:
        """Show the book as it is now; ``moved`` tells what changed since."""

    def show_item(self, where: Where) -> bool:
        """Go to a thing; False where it is not kept here."""
        return False

    def actions_of(self) -> Sequence[QAction]:
        """What can be done here, each with its key."""
        return ()

    def find_field(self) -> QWidget | None:
        """The filter that Ctrl+F goes to."""
        return None

    def first(self) -> QWidget | None:
        """What has the keyboard when one first comes here; None for the filter."""
        return None

    def unkept(self) -> Sequence[str]:
        """Texts that were typed here for what is not shown now, and stand nowhere in the book."""
        return ()

    def save_state(self) -> dict[str, object]:
        """Splitters, sorting, what is chosen: kept on this computer."""
        return {}

    def restore_state(self, state: dict[str, object]) -> None:
        """Take up a kept state; what does not fit is passed over."""

    def catch_up(self) -> None:
        """Refresh if anything moved while nobody looked."""
        if self._stale:
            self._stale = False
            self.refresh(Moved(everything=True))

    def _moved(self, moved: Moved) -> None:
        if self.isVisible():
            self.refresh(moved)
        else:
            self._stale = True

    def showEvent(self, event: QShowEvent) -> None:
        """Being seen is when figures are wanted."""
        super().showEvent(event)
        self.catch_up()


def split_text(split: QSplitter) -> str:
    """Where a splitter stands, as a text that can be kept."""
    return bytes(split.saveState().toBase64().data()).decode("ascii")


def take_split(split: QSplitter, kept: object) -> None:
    """Put a splitter where it stood; what was never kept is passed over."""
    if isinstance(kept, str):
        split.restoreState(QByteArray.fromBase64(QByteArray(kept.encode("ascii"))))
