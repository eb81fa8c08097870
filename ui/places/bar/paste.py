"""Pasted lines that are not all sure: what each was taken as, and the choices, before anything is written."""

from functools import partial

from PySide6.QtCore import QTimer
from PySide6.QtGui import QAction, QTextCursor
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QLabel, QMenu, QPlainTextEdit, QVBoxLayout, QWidget

from costing.edits import serves
from costing.supply import PastedLine, parse_measure, read_recipe
from costing.tongue import say, say_many
from ui.desk import Desk
from ui.fault import KNOWN, refusal_of
from ui.format import own
from ui.models.table import Column, RowTable
from ui.widgets.listpane import ListPane
from ui.widgets.newdrink import WAIT, Taken, taken

OFFERED = 8
"""Choices offered for one line."""


class PasteLines(QDialog):
    """The lines as text that can be mended, and under it what each was taken as; Enter on a line offers choices."""

    def __init__(self, desk: Desk, serve: str, at: int, text: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self.serve, self.at = desk, serve, at
        self._read: tuple[PastedLine, ...] = read_recipe(text, desk.document.book).lines
        self.setWindowTitle(say("Paste components"))
        self.lines = QPlainTextEdit(self)
        self.lines.setAccessibleName(say("Components, one a line"))
        self.lines.setTabChangesFocus(True)
        self.lines.setPlainText(text)
        self.taken: RowTable[Taken] = RowTable(
            [
                Column[Taken]("text", say("Line"), lambda r: r.text, tip=self._tip),
                Column[Taken]("source", say("Taken as"), lambda r: r.source or say("not decided"), tip=self._tip,
                              strong=lambda r: not r.decided),
                Column[Taken]("may_be", say("May be"), self._may_be, tip=self._tip),
                Column[Taken]("amount", say("Amount"), lambda r: r.amount, True),
                Column[Taken]("doubts", say("Doubts"), lambda r: r.doubts, tip=self._tip),
            ],
            _key, desk, self,
        )  # fmt: skip
        self.pane = ListPane(self.taken, say("What each line was taken as"), None, self)
        self.pane.filter.hide()
        self.pane.count.hide()
        self.pane.table.opened.connect(self.offer)
        self.said = QLabel(self)
        self.said.setWordWrap(True)
        self.buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel, self
        )
        self.buttons.button(QDialogButtonBox.StandardButton.Ok).setText(say("Put them in"))
        self.buttons.button(QDialogButtonBox.StandardButton.Ok).setAutoDefault(False)
        self.buttons.button(QDialogButtonBox.StandardButton.Cancel).setText(say("Leave it"))
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        self.finished.connect(self.deleteLater)
        label = QLabel(say("Components, one a line"), self)
        label.setBuddy(self.lines)
        layout = QVBoxLayout(self)
        for part in (label, self.lines, self.pane, self.said, self.buttons):
            layout.addWidget(part)
        self.resize(800, 540)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(WAIT)
        self._timer.timeout.connect(self.look)
        self.lines.textChanged.connect(self._timer.start)
        self.look()
        first = next((n for n, line in enumerate(self._read) if not line.decided), 0)
        self.pane.table.choose(str(first))
        self.pane.table.setFocus()

    def _may_be(self, row: Taken) -> str:
        if row.decided or row.at >= len(self._read):
            return ""
        return say(", ").join(own(match.name) for match in self._read[row.at].matches[:3])

    def _tip(self, row: Taken) -> str:
        return "" if row.decided else say("Enter offers what it may be; or mend the line above.")

    def look(self) -> None:
        """Show what was understood."""
        document = self.desk.document
        self._read = read_recipe(self.lines.toPlainText(), document.book).lines
        names = dict(document.names)
        self.taken.set_rows([taken(line, n, names) for n, line in enumerate(self._read)])
        self.pane.table.fit_columns()
        waiting = sum(not line.decided for line in self._read)
        self.said.setText(
            say_many(
                "{n} line is undecided and would be left out.",
                "{n} lines are undecided and would be left out.",
                waiting,
            )
            if waiting
            else say("Every line is decided.")
        )

    def choices(self, key: str) -> list[str]:
        """What a line may be, likeliest first."""
        line = self._read[int(key)]
        return [match.name for match in line.matches[:OFFERED]]

    def offer(self, key: str) -> None:
        """A menu of what a line may be, worked with the arrow keys."""
        names = self.choices(key)
        if not names:
            self.said.setText(say("The book has nothing like it: mend the line above, or leave it out."))
            return
        menu = QMenu(self)
        for name in names:
            action = QAction(name, menu)
            action.triggered.connect(partial(self.choose, key, name))
            menu.addAction(action)
        menu.aboutToHide.connect(menu.deleteLater)
        table = self.pane.table
        menu.setActiveAction(menu.actions()[0])
        menu.popup(table.viewport().mapToGlobal(table.visualRect(table.currentIndex()).bottomLeft()))

    def choose(self, key: str, name: str, *_: object) -> None:
        """Write a line anew with a name of the book; its amount stays. Where it has none yet, the hand goes there."""
        line = self._read[int(key)]
        amount = amount_of_text(line.text)
        document, cursor = self.lines.document(), self.lines.textCursor()
        for number in range(document.blockCount()):
            block = document.findBlockByNumber(number)
            if block.text().strip() == line.text.strip():
                cursor = QTextCursor(block)
                cursor.movePosition(QTextCursor.MoveOperation.EndOfBlock, QTextCursor.MoveMode.KeepAnchor)
                cursor.insertText(f"{amount} {name}".strip())
                break
        self.look()
        if not amount:
            self.lines.setTextCursor(cursor)
            self.lines.setFocus()

    def accept(self) -> None:
        """Put the decided lines in as one step; where that cannot be, say why and stay."""
        document = self.desk.document
        try:
            step, found = serves.paste_lines(document.book, self.serve, document.day, self.at, self.lines.toPlainText())
        except KNOWN as error:
            self.said.setText(refusal_of(error).text)
            return
        if step is None:
            self.said.setText(say("No line is decided yet: each needs an amount and a name of the book."))
            return
        if not self.desk.do(step):
            self.said.setText(self.desk.refusal.text if self.desk.refusal else "")
            return
        if found.undecided:
            self.desk.tell(say("Left out: {lines}", lines="; ".join(own(line.text) for line in found.undecided)))
        super().accept()


def amount_of_text(text: str) -> str:
    """The amount that a line begins with, as written; "" where it begins with none."""
    try:
        rest = parse_measure(text).rest
    except ValueError:
        return ""
    return text[: len(text) - len(rest)].strip() if rest and text.endswith(rest) else ""


def _key(row: Taken) -> str:
    return str(row.at)
