"""Actions with their keys: what can be done, from one line each."""

from collections.abc import Callable, Iterable

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QWidget

Keys = str | QKeySequence.StandardKey
Act = tuple[str, Keys, Callable[..., object]]


def act(owner: QWidget, text: str, keys: Keys, slot: Callable[..., object], *, alone: bool = False) -> QAction:
    """An action of ``owner``. Its key works there and in all that stands in it; ``alone``: there only, so that Delete
    in a field beside a table deletes a letter and no more."""
    action = QAction(text, owner)
    action.setShortcut(QKeySequence(keys))
    action.setShortcutContext(
        Qt.ShortcutContext.WidgetShortcut if alone else Qt.ShortcutContext.WidgetWithChildrenShortcut
    )
    action.triggered.connect(slot)
    owner.addAction(action)
    return action


def acts(owner: QWidget, rows: Iterable[Act], *, alone: bool = False) -> list[QAction]:
    """Several of them, in order."""
    return [act(owner, text, keys, slot, alone=alone) for text, keys, slot in rows]
