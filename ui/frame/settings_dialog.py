"""Settings in two pages: this book (money rules, undone like any edit) and this computer (theme, language, letters)."""

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLabel,
    QScrollArea,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from costing.tongue import languages, say
from ui.desk import Desk
from ui.frame.forms import choice
from ui.frame.house_page import HousePage
from ui.places.month.language import language_name
from ui.settings import LARGEST, SMALLEST, Settings


class ComputerPage(QWidget):
    """Theme, language and the size of letters on this computer."""

    changed = Signal()

    def __init__(self, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.settings = settings
        self.theme = choice(self, say("Theme"), self._keep)
        self.tongue = choice(self, say("Language"), self._keep)
        self.points = choice(self, say("Letters"), self._keep)
        self._tags = ["", *languages()]
        self._themes = ["system", "light", "dark"]
        self.theme.addItems([say("as the system"), say("light"), say("dark")])
        self.theme.setCurrentIndex(self._themes.index(settings.theme))
        self.tongue.addItems([say("as the system"), *(language_name(t) for t in self._tags[1:])])
        self.tongue.setCurrentIndex(self._tags.index(settings.language) if settings.language in self._tags else 0)
        self._sizes = [p for p in (7.0, 8.0, 9.0, 10.0, 11.0, 12.0, 14.0, 16.0, 18.0, 22.0) if SMALLEST <= p <= LARGEST]
        self.points.addItems([say("{n} points", n=f"{p:g}") for p in self._sizes])
        self.points.setCurrentIndex(min(range(len(self._sizes)), key=lambda n: abs(self._sizes[n] - settings.points)))
        form = QFormLayout(self)
        for box in (self.theme, self.tongue, self.points):
            form.addRow(box.accessibleName(), box)
        where = QLabel(say("Kept in {file}. Nothing of the house is kept there.", file=str(settings.file)), self)
        where.setWordWrap(True)
        where.setProperty("faint", True)
        where.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        form.addRow("", where)

    def _keep(self, *_: object) -> None:
        self.settings.theme = self._themes[self.theme.currentIndex()]
        self.settings.language = self._tags[self.tongue.currentIndex()]
        self.settings.points = self._sizes[self.points.currentIndex()]
        self.settings.save()
        self.changed.emit()


class SettingsDialog(QDialog):
    """Both pages. What is typed on the first is a step at once; what is chosen on the second holds at once."""

    def __init__(self, desk: Desk, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(say("Settings"))
        self.book, self.computer = HousePage(desk, self), ComputerPage(settings, self)
        self.area = scroll = QScrollArea(self)
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QScrollArea.Shape.NoFrame)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(self.book)
        self.tabs = QTabWidget(self)
        self.tabs.setAccessibleName(say("Settings"))
        self.tabs.addTab(scroll, say("This book"))
        self.tabs.addTab(self.computer, say("This computer"))
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        close = buttons.button(QDialogButtonBox.StandardButton.Close)
        close.setText(say("Close"))
        close.setAutoDefault(False)  # Enter in a field takes the field, and nothing else
        buttons.rejected.connect(self.reject)
        self.finished.connect(self.deleteLater)  # or every one ever opened would follow the book from then on
        layout = QVBoxLayout(self)
        layout.addWidget(self.tabs, 1)
        layout.addWidget(self.book.said)  # seen wherever the page is scrolled to
        layout.addWidget(buttons)
        letter, room = self.fontMetrics(), self.screen().availableSize()
        wanted = QSize(letter.averageCharWidth() * 95, letter.height() * 46)
        self.resize(wanted.boundedTo(room * 0.9))  # large letters on a small screen scroll

    def may_close(self) -> bool:
        """Whether nothing typed would be lost; what would be is shown and said, once."""
        if self.book.may_close():
            return True
        self.tabs.setCurrentIndex(0)
        return False

    def reject(self) -> None:
        """Close, by whichever way; not on something typed that would be lost, unless that was said before."""
        if self.may_close():
            super().reject()
