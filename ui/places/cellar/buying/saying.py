"""Texts of the pages of buying: what stands in an empty list, and moves with their sign and an arrow."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QWidget

from costing.book.money import rounded
from ui.format import FSI, LRI, PDI, Format, isolate


class Hint(QLabel):
    """What goes into an empty list; unlike ``EmptyPlace`` it says another thing whenever that is so."""

    def __init__(self, text: str, parent: QWidget | None = None) -> None:
        super().__init__(text, parent)
        self.setWordWrap(True)
        self.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.setProperty("faint", True)


class Line(QLabel):
    """A sentence under or over a list, that is there only while it says something."""

    def __init__(self, parent: QWidget | None = None, *, kind: str = "") -> None:
        """``kind`` is "error", "faint", or "" for plain words."""
        super().__init__(parent)
        self.setWordWrap(True)
        self.setTextFormat(Qt.TextFormat.PlainText)
        if kind:
            self.setProperty(kind, True)
        self.hide()

    def say(self, text: str) -> None:
        """Say this; "" is nothing."""
        self.setText(text)
        self.setVisible(bool(text))


def moved(form: Format, value: float, places: int, sign: str = "") -> str:
    """A difference with its sign and an arrow, never by colour alone, nothing of the kind where it shows as nothing;
    ``sign`` (" %") follows it."""
    if rounded(value, places) == 0:
        return isolate(f"{form.number(0, places)}{sign}")
    return isolate(f"{'▲ +' if value > 0 else '▼ '}{form.number(value, places)}{sign}")


def bare(text: str) -> str:
    """A text without the marks that only steer its direction."""
    return text.strip(LRI + FSI + PDI)
