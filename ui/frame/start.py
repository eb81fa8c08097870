"""What is shown while no book is open: what the program is for, and the ways in."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from costing.tongue import say
from ui.widgets.notice import Notice


class StartPage(QWidget):
    """Open, New, the sample bar, and the books opened lately."""

    open_clicked = Signal()
    new_clicked = Signal()
    sample_clicked = Signal()
    recent_chosen = Signal(str)

    def __init__(self, recent: Sequence[Path], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(say("Stillroom Ledger"))
        self.notice = Notice(self)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(40, 20, 40, 30)
        layout.addWidget(self.notice)
        layout.addStretch(1)
        title = QLabel(say("Stillroom Ledger"), self)
        font = title.font()
        font.setPointSizeF(font.pointSizeF() * 2.0)
        title.setFont(font)
        layout.addWidget(title)
        about = QLabel(say("What one glass really costs when the bar makes its own ingredients: every loss followed, "
                           "every figure explained down to the supplier's line."), self)  # fmt: skip
        about.setWordWrap(True)
        about.setProperty("faint", True)
        layout.addWidget(about)
        layout.addSpacing(16)
        row = QHBoxLayout()
        for text, signal, chief in (
            (say("Open the &sample bar"), self.sample_clicked, True),
            (say("&Open a book…"), self.open_clicked, False),
            (say("&New book…"), self.new_clicked, False),
        ):
            button = QPushButton(text, self)
            button.setProperty("chief", chief)
            button.clicked.connect(signal)
            row.addWidget(button)
        row.addStretch(1)
        layout.addLayout(row)
        if recent:
            layout.addSpacing(16)
            heading = QLabel(say("Opened lately"), self)
            heading.setProperty("heading", True)
            layout.addWidget(heading)
            for path in recent:
                shown = f"{path.name}   \u2066{path.parent}\u2069".replace("&", "&&")  # one would be a key to press
                button = QPushButton(shown, self)
                button.setAccessibleName(say("Open {file}", file=str(path)))
                button.clicked.connect(partial(self.recent_chosen.emit, str(path)))
                layout.addWidget(button, 0, Qt.AlignmentFlag.AlignLeading)
        layout.addStretch(2)
        self.resize(760, 460)
