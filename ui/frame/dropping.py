"""A supplier's file dropped anywhere on the window goes to the page of what arrives; files of a till, dropped while the
menu is seen, to what was sold. Every drop has a twin by keys."""

from pathlib import Path

from PySide6.QtCore import QEvent, QMimeData, QObject
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QWidget

from costing.tongue import say
from ui.desk import Desk, Where

ARRIVING = "arriving"
"""The kind of a Where that is a file to be looked at; its id is the path."""
SOLD, FILES, MENU = "sales", "files", "menu"
"""The kind and part of a Where whose id is paths of a till's files, a line each; and the place they go to."""


class Dropping(QObject):
    """Hears what is dragged over a window and let go there."""

    def __init__(self, window: QWidget, desk: Desk) -> None:
        super().__init__(window)
        self._desk = desk
        window.setAcceptDrops(True)
        window.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Files are taken, everything else goes on."""
        if isinstance(event, QDropEvent) and event.type() in (QEvent.Type.DragEnter, QEvent.Type.Drop):
            files = local_files(event.mimeData())
            if files:
                event.acceptProposedAction()
                if not isinstance(event, QDragEnterEvent):
                    self.dropped(files)
                return True
        return super().eventFilter(watched, event)

    def dropped(self, files: list[Path]) -> None:
        """Look at all files of a till; of a supplier's at the first, and more than one at a time is said."""
        if getattr(self.parent(), "place_name", "") == MENU:
            self._desk.go(Where(SOLD, "\n".join(map(str, files)), FILES))
            return
        self._desk.go(Where(ARRIVING, str(files[0])))
        if len(files) > 1:
            self._desk.tell(
                say("One file at a time: {file} is looked at, drop the others after it.", file=files[0].name)
            )


def local_files(data: QMimeData) -> list[Path]:
    """Files of this machine among what is dragged."""
    return [Path(url.toLocalFile()) for url in data.urls() if url.isLocalFile()]
