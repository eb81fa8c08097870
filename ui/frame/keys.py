"""What every key does, from the actions themselves, and what the keyboard does in tables and pictures."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QVBoxLayout, QWidget

from costing.tongue import say
from ui.models.table import Column, RowTable
from ui.widgets.listpane import ListPane


@dataclass(frozen=True, slots=True)
class KeyRow:
    """One key."""

    n: int
    keys: str
    what: str


def elsewhere() -> list[tuple[str, str]]:
    """Keys that belong to tables, fields and pictures."""
    return [
        ("F2", say("in a table: type into the cell; or just begin to type")),
        ("Tab", say("in a cell: take it and type on to the right")),
        ("Enter", say("in a cell: take it and go down; in a field: take it; on a row: open it")),
        ("Esc", say("in a cell or field: back to what the book says; in a filter: clear it")),
        ("Ctrl+D", say("in a table: fill the first selected cell down")),
        ("Ctrl+C, Ctrl+V", say("in a table: copy and paste blocks, also to and from a spreadsheet")),
        ("F4", say("in a table: sort by this column")),
        ("Alt+Down", say("in a field with choices: list them all")),
        ("Up, Down, Enter", say("in the price steps: choose a price and print it")),
        ("Ctrl+Shift+C", say("on a picture: copy its figures as a table")),
    ]


class KeysDialog(QDialog):
    """The list of keys."""

    def __init__(self, actions: Sequence[QAction], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(say("Keys"))
        found = [
            (action.shortcut().toString(), action.text().replace("&", ""))
            for action in actions
            if not action.shortcut().isEmpty()
        ]
        rows = [KeyRow(n, keys, what) for n, (keys, what) in enumerate([*found, *elsewhere()])]
        model: RowTable[KeyRow] = RowTable(
            [
                Column[KeyRow]("keys", say("Key"), lambda r: r.keys),
                Column[KeyRow]("what", say("What it does"), lambda r: r.what),
            ],
            lambda r: str(r.n),
            None,
            self,
        )
        model.set_rows(rows)
        pane = ListPane(model, say("Keys"), None, self)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        buttons.button(QDialogButtonBox.StandardButton.Close).setText(say("Close"))
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.addWidget(pane, 1)
        layout.addWidget(buttons)
        self.finished.connect(self.deleteLater)
        letter = self.fontMetrics()
        self.resize(letter.averageCharWidth() * 100, letter.height() * 37)
