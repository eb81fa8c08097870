"""Actions with their keys: what can be done, from one line each."""

from collections.abc import Callable, Iterable

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QContextMenuEvent, QKeySequence
from PySide6.QtWidgets import QMenu, QWidget

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


def offer_acts(owner: QWidget, event: QContextMenuEvent) -> None:
    """The menu of what can be done with ``owner``."""
    # Qt's own ActionsContextMenu stands on the stack: a dialog that goes while its menu is open frees it there.
    menu = QMenu(owner)
    menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    menu.addActions(owner.actions())
    menu.popup(event.globalPos())
    event.accept()
