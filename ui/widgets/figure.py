"""A figure with its name under which it goes; choosing it says why it is so."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QGridLayout, QLabel, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from costing.tongue import say
from ui.desk import Desk


class FigureTag(QToolButton):
    """One figure. Coming to it, by Tab or a click, explains it in the why pane."""

    def __init__(self, title: str, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._title, self._desk = title, desk
        self._subject: Callable[[], object | None] | None = None
        self.setAutoRaise(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        layout = self._rows = QVBoxLayout(self)
        layout.setContentsMargins(8, 3, 8, 3)
        layout.setSpacing(0)
        self._name, self._figure = QLabel(title, self), QLabel("–", self)
        self._name.setProperty("faint", True)
        self._figure.setProperty("heading", True)
        for label in (self._name, self._figure):
            label.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
            layout.addWidget(label)
        self.clicked.connect(self.explain)
        self._size()

    @property
    def text_shown(self) -> str:
        """The figure that is shown."""
        return self._figure.text()

    def show_figure(self, text: str, *, note: str = "", money: bool = False) -> None:
        """Show a figure; ``note`` says more on demand."""
        if self._figure.property("money") is not money:
            self._figure.setProperty("money", money)
            self._figure.style().unpolish(self._figure)
            self._figure.style().polish(self._figure)
        self._figure.setText(text)
        self.setToolTip(note)
        self.setAccessibleName(say("{title}: {figure}", title=self._title, figure=text))
        self.setAccessibleDescription(note)
        self._size()

    def _size(self) -> None:
        hint = self._rows.sizeHint()
        self.setMinimumSize(hint.width(), max(40, hint.height()))

    def explained_by(self, subject: Callable[[], object | None]) -> None:
        """What makes the subject of the figure."""
        self._subject = subject

    def explain(self) -> None:
        """Show why."""
        subject = self._subject() if self._subject is not None else None
        if subject is not None:
            self._desk.explain(subject)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Coming to it by the keyboard is asking."""
        super().focusInEvent(event)
        if event.reason() in (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason):
            self.explain()


class FigureStrip(QWidget):
    """Figures side by side, in as many rows as there is room for."""

    def __init__(self, name: str, titles: list[tuple[str, str]], desk: Desk, across: int = 5) -> None:
        """``titles`` are (key, title)."""
        super().__init__()
        self.setAccessibleName(name)
        layout = QGridLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(2)
        self.tags: dict[str, FigureTag] = {}
        for n, (key, title) in enumerate(titles):
            tag = FigureTag(title, desk, self)
            self.tags[key] = tag
            layout.addWidget(tag, n // across, n % across)
        for column in range(across):
            layout.setColumnStretch(column, 1)

    def __getitem__(self, key: str) -> FigureTag:
        return self.tags[key]
