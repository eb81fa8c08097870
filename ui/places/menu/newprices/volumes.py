"""What the sales looked at would leave if changed drinks sold less, as many, or more: suppositions, side by side."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QGridLayout, QLabel, QWidget

from costing.tongue import say
from ui.format import Format
from ui.places.menu.newprices.answering import dim
from ui.places.menu.newprices.asking import SUPPOSED, Answer
from ui.places.menu.newprices.said import margins_text, pour_text

END = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignAbsolute


class VolumesTable(QWidget):
    """A small table of texts, and a sentence beside it; under it where there is less room."""

    def __init__(self, form: Format, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._form = form
        grid = self._grid = QGridLayout()
        grid.setHorizontalSpacing(18)
        grid.setVerticalSpacing(1)
        self.cells: dict[tuple[str, int], QLabel] = {}
        names = (
            ("head", say("If changed drinks sell")), ("margin", say("margin of these sales")),
            ("gain", say("against now")), ("pour", say("pour cost")),
        )  # fmt: skip
        for row, (key, title) in enumerate(names):
            label = QLabel(title, self)
            label.setProperty("faint", True)
            grid.addWidget(label, row, 0)
            for n in range(len(SUPPOSED)):
                cell = self.cells[key, n] = QLabel(self)
                cell.setAlignment(END)
                cell.setProperty("faint", key == "head")
                grid.addWidget(cell, row, n + 1)
        for n, changed in enumerate(SUPPOSED):
            self.cells["head", n].setText(_supposed(form.percent(abs(changed), 0), int(changed * 100)))
        self.told = QLabel(self)
        self.told.setWordWrap(True)
        self.told.setProperty("faint", True)
        self.told.setAlignment(Qt.AlignmentFlag.AlignLeading | Qt.AlignmentFlag.AlignTop)
        table = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        table.addLayout(grid)
        table.addStretch(1)
        layout = self._row = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        layout.setContentsMargins(8, 0, 8, 0)
        layout.setSpacing(24)
        layout.setSizeConstraint(QBoxLayout.SizeConstraint.SetNoConstraint)
        layout.addLayout(table)
        layout.addWidget(self.told, 1)
        self.show_answer(None)

    def minimumSizeHint(self) -> QSize:
        """As wide as the table alone."""
        return QSize(self._grid.minimumSize().width() + 16, self._row.minimumSize().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The sentence beside the table where it is at least half as wide."""
        super().resizeEvent(event)
        beside = self.width() > 1.5 * self._grid.minimumSize().width()
        self._row.setDirection(QBoxLayout.Direction.LeftToRight if beside else QBoxLayout.Direction.TopToBottom)
        self._row.setSpacing(24 if beside else 2)

    def show_answer(self, answer: Answer | None, *, stale: bool = False) -> None:
        """The suppositions of an answer, faint where it is of before; nothing where no price changes, or where the
        prices shown are not to be taken because they miss the aim."""
        found = answer.found if answer is not None else None
        self.setVisible(found is not None and found.met and bool(found.moved))
        if answer is None or found is None or self.isHidden():
            return
        form, cases = self._form, answer.supposed
        for n, case in enumerate(cases):
            self.cells["margin", n].setText(margins_text(case.after, found, form))
            self.cells["gain", n].setText(form.signed(case.gain))
            self.cells["pour", n].setText(pour_text(case.after, found, form))
        for (key, _), cell in self.cells.items():
            dim(cell, stale or key == "head")
        said = []
        if answer.even is not None:
            share = form.percent(abs(answer.even))
            said.append(say("All changed drinks together may lose up to {share} of their sales before the change costs "
                            "money.", share=share) if answer.even <= 0 else
                        say("All changed drinks together must sell {share} more, or the change costs money.",
                            share=share))  # fmt: skip
        said.append(say("These volumes are assumptions, not a forecast."))
        self.told.setText(" ".join(said))


def _supposed(share: str, way: int) -> str:
    if not way:
        return say("as now")
    return say("{share} less", share=share) if way < 0 else say("{share} more", share=share)
