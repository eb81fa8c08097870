"""What stands under the table: what would bring the aim within reach, or what other volumes would; and doubts."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

from costing.menu.reprice_rows import MenuRows
from ui.format import Format
from ui.places.cellar.buying.saying import Line
from ui.places.menu.newprices.answering import dim
from ui.places.menu.newprices.asking import Answer
from ui.places.menu.newprices.said import doubts_text, way_lines
from ui.places.menu.newprices.volumes import VolumesTable


class Under(QScrollArea):
    """There only while it says something."""

    def __init__(self, form: Format, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._form = form
        self.ways, self.told = Line(self), Line(self, kind="faint")
        for line in (self.ways, self.told):
            line.setContentsMargins(8, 0, 8, 0)
        self.volumes = VolumesTable(form, self)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        holder = QWidget(self)
        layout = QVBoxLayout(holder)
        layout.setContentsMargins(0, 2, 0, 0)
        layout.setSpacing(4)
        for part in (self.ways, self.volumes, self.told):
            layout.addWidget(part)
        layout.addStretch(1)
        self.setWidget(holder)

    def show_answer(self, rows: MenuRows, answer: Answer | None, without: Sequence[str], *, stale: bool) -> None:
        """What is to be said of an answer, of before where it is ``stale``; and of the lines. ``without`` were sold and
        are on no menu."""
        found = answer.found if answer is not None else None
        self.ways.say("\n".join(way_lines(found, self._form)) if found is not None else "")
        dim(self.ways, stale)
        self.volumes.show_answer(answer, stale=stale)
        self.told.say(doubts_text((*rows.doubts, *(found.doubts if found is not None else ())), without))
        self.setVisible(not all(part.isHidden() for part in (self.ways, self.volumes, self.told)))
