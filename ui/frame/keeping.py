"""Snapshots of a book: one by hand, and which one to put back."""

from datetime import datetime
from pathlib import Path

from PySide6.QtWidgets import QInputDialog, QWidget

from costing.store import FileFault, snapshots
from costing.tongue import say
from ui.fault import Refusal
from ui.frame.opening import refused


def keep_snapshot(path: Path) -> Path:
    """A checked copy beside the book. Refusal where that cannot be."""
    try:
        return snapshots.take(path, datetime.now())
    except FileFault as fault:
        raise refused(path, fault) from fault


def choose_snapshot(path: Path, parent: QWidget) -> Path | None:
    """Ask which snapshot takes the place of the book; None for none. Refusal where there is none to choose."""
    try:
        found = snapshots.snapshots_of(path)
    except FileFault as fault:
        raise refused(path, fault) from fault
    if not found:
        raise Refusal(
            say("There is no snapshot of {file} yet.", file=path.name), "",
            say("“Keep a snapshot” makes one; undo takes back single steps."),
        )  # fmt: skip
    name, ok = QInputDialog.getItem(
        parent, say("Restore a snapshot"),
        say("It takes the place of the book. The book as it is now is kept beside it."),
        [other.name for other in found], 0, False,
    )  # fmt: skip
    return next(other for other in found if other.name == name) if ok else None
