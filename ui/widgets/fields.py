"""Fields to type into. What was typed stays as typed until it is taken or dropped, and says why where it is not."""

from collections.abc import Callable, Sequence
from datetime import date

from PySide6.QtCore import QEvent, QKeyCombination, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from costing.tongue import say
from ui.fault import KNOWN, Refusal, refusal_of
from ui.format import Format
from ui.widgets.completing import Suggestions

Write = Callable[[str], bool]
REDO = QKeyCombination(Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier, Qt.Key.Key_Z)


def for_the_book(line: QLineEdit, event: QEvent) -> bool:
    """Whether a key is undo or redo and the line itself has nothing to take back."""
    if event.type() != QEvent.Type.ShortcutOverride or not isinstance(event, QKeyEvent):
        return False
    sequence = QKeySequence.StandardKey
    return (event.matches(sequence.Undo) and not line.isUndoAvailable()) or (
        (event.matches(sequence.Redo) or event.keyCombination() == REDO) and not line.isRedoAvailable()
    )


class FilterField(QLineEdit):
    """What a list is filtered by: no text of the book, so undo goes on to the book as soon as the line has none."""

    def event(self, event: QEvent) -> bool:
        """Undo and redo go to the book where the line itself has nothing to take back."""
        if for_the_book(self, event):
            event.ignore()
            return False
        return super().event(event)


class TextField(QLineEdit):
    """One line. ``committed`` tells a text that was typed and left with Enter, Tab or a click elsewhere, once; Esc goes
    back to what the book says."""

    committed = Signal(str)
    refused = Signal(object)
    """The Refusal of a text that was typed and could not be taken."""

    def __init__(self, name: str, parent: QWidget | None = None, *, hint: str = "") -> None:
        """``name`` is what the field is called, also for assistive technology."""
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setPlaceholderText(hint)
        self._stands = ""
        self._taken: str | None = None
        self._refusal: Refusal | None = None
        self._telling = False

    @property
    def stands(self) -> str:
        """What the book says, as it was set."""
        return self._stands

    @property
    def refusal(self) -> Refusal | None:
        """Why the text does not stand, if it does not."""
        return self._refusal

    def set_text(self, text: str) -> None:
        """Show what the book says. A text that somebody is typing, or that was refused, is left alone."""
        before, self._stands = self._stands, text
        if self._telling:
            return  # whether what was typed stands is known when it has been told
        typing = self.isModified() and self.text() not in (before, self._taken)
        if self.text() != before and (typing or self._refusal is not None):
            return
        self.revert()

    def refuse(self, refusal: Refusal | None) -> None:
        """Mark the text as not taken, with the reason; None takes the mark away."""
        self._refusal = refusal
        self.setProperty("refused", refusal is not None)
        self.setToolTip(refusal.text if refusal else "")
        self.setAccessibleDescription(refusal.text if refusal else "")
        self.style().unpolish(self)
        self.style().polish(self)
        if refusal is not None:
            self.refused.emit(refusal)

    def revert(self) -> None:
        """Back to what the book says."""
        if self._refusal is not None:
            self.refuse(None)
        self._taken = None
        if self.text() != self._stands:
            self.setText(self._stands)
        self.setModified(False)

    def held(self) -> tuple[str, Refusal | None] | None:
        """A text that does not stand in the book, with the reason if it was refused; None where there is none. For
        ``give_back``, when the record it was typed for is shown again."""
        if self._refusal is None and (not self.isModified() or self.text() in (self._stands, self._taken)):
            return None
        return self.text(), self._refusal

    def give_back(self, held: tuple[str, Refusal | None] | None) -> None:
        """Show what ``held`` gave, as it was."""
        if held is not None:
            self.setText(held[0])
            self.setModified(True)
            self.refuse(held[1])

    def commit(self) -> None:
        """Tell the text if it is not what the book says."""
        text = self.text()
        if text == self._stands:
            self.refuse(None)
            return
        if text == self._taken:
            return  # told already: "+30" must not count from where it led to
        self.refuse(None)
        self._taken, before = text, self._stands
        self._telling = True
        try:
            self.committed.emit(text)
        finally:
            self._telling = False
        if self._refusal is not None:
            self._taken = None
            return
        if self._stands != before:
            self._taken = None
            text = self._stands
        self.setText(text)  # takes the line's own undo with it: Ctrl+Z is now the book's
        self.setModified(False)

    def event(self, event: QEvent) -> bool:
        """Undo and redo go to the book where the line itself has nothing to take back."""
        if for_the_book(self, event):
            event.ignore()
            return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter takes the text, Esc drops it."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.commit()
            self.selectAll()
            event.ignore()  # a dialog around it does what its chief button does
        elif event.key() == Qt.Key.Key_Escape and (self.text() != self._stands or self._refusal):
            self.revert()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Leaving takes the text; a list of suggestions that opens is not leaving."""
        super().focusOutEvent(event)
        if event.reason() not in (Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason):
            self.commit()


class AmountField(TextField):
    """An amount as somebody writes it ("3/4 oz", "0,75 l"), with what it comes to in grey beside it (``set_base``)."""

    def __init__(self, name: str, parent: QWidget | None = None, *, hint: str = "") -> None:
        super().__init__(name, parent, hint=hint)
        self._base = QLabel(self)
        self._base.setProperty("faint", True)
        self._base.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)

    def set_base(self, text: str) -> None:
        """Show what the amount is in the base unit; "" where it says so itself."""
        self._base.setText(text)
        self._base.setVisible(bool(text))
        self._base.adjustSize()
        room = self._base.width() + 10 if text else 0
        left = self.layoutDirection() == Qt.LayoutDirection.RightToLeft  # Qt does not turn these round itself
        self.setTextMargins(room if left else 0, 0, 0 if left else room, 0)
        self._place()

    def resizeEvent(self, event: "QEvent") -> None:
        """Keep the grey text at the far end."""
        super().resizeEvent(event)  # type: ignore[arg-type]
        self._place()

    def _place(self) -> None:
        left = self.layoutDirection() == Qt.LayoutDirection.RightToLeft
        x = 6 if left else self.width() - self._base.width() - 6
        self._base.move(x, (self.height() - self._base.height()) // 2)


class ChoiceField(TextField):
    """A text that is one of many: typing offers those that hold it, Alt+Down all of them."""

    def __init__(
        self, name: str, choices: Callable[[], Sequence[str]], parent: QWidget | None = None, *, hint: str = ""
    ) -> None:
        super().__init__(name, parent, hint=hint)
        self.suggestions = Suggestions(self, choices)
        self.suggestions.activated.connect(self._picked)

    def _picked(self, *_: object) -> None:
        self.commit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Alt+Down opens the whole list."""
        if event.key() == Qt.Key.Key_Down and event.modifiers() & Qt.KeyboardModifier.AltModifier:
            self.suggestions.show_all()
            return
        super().keyPressEvent(event)


def read_day(text: str, shown: date) -> date:
    """A day as somebody types it: 2026-11-28, 28.11.2026, "today" of the calendar; "" is the day that is ``shown``,
    and +7 a week after it. ValueError for one that can be read as two days."""
    plain = text.strip().casefold()
    if plain in ("today", say("today").casefold()):
        return date.today()
    if not plain:
        return shown
    if plain[0] in "+-" and plain[1:].isascii() and plain[1:].isdigit() and len(plain) < 7:
        return date.fromordinal(shown.toordinal() + int(plain))
    try:
        if plain.isascii():
            if "." in plain:
                day, month, year = (int(part) for part in plain.rstrip(".").split("."))
                return date(year if year > 99 else 2000 + year, month, day)
            return date.fromisoformat(plain)
    except ValueError:
        pass
    raise Refusal(
        say("“{text}” is not a day.", text=text),
        say("A day with slashes can mean two days, and is not guessed."),
        say("Write it as 2026-11-28 or 28.11.2026, or +7 for a week after the day that is looked at."),
    )


class DayField(TextField):
    """A day. ``picked`` tells a date; a day that cannot be read stays, marked."""

    picked = Signal(object)

    def __init__(self, name: str, form: Format, shown: Callable[[], date], parent: QWidget | None = None) -> None:
        """``shown`` gives the day that is looked at, which +7 counts from."""
        super().__init__(name, parent, hint=say("2026-11-28 or +7"))
        self._form, self._shown = form, shown
        self.committed.connect(self._read)

    def set_day(self, day: date | None) -> None:
        """Show a day."""
        self.set_text(day.isoformat() if day else "")
        self.setToolTip(self._form.day(day) if day else "")

    def _read(self, text: str) -> None:
        try:
            day = read_day(text, self._shown())
        except KNOWN as error:
            self.refuse(refusal_of(error))
        else:
            self.picked.emit(day)


class Labelled(QWidget):
    """A field under its name, with its fault beneath it."""

    def __init__(self, title: str, field: QLineEdit, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.label = QLabel(title, self)
        self.label.setBuddy(field)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(1)
        layout.addWidget(self.label)
        layout.addWidget(field)


def in_row(*widgets: QWidget) -> QHBoxLayout:
    """Widgets side by side."""
    row = QHBoxLayout()
    row.setContentsMargins(0, 0, 0, 0)
    for widget in widgets:
        row.addWidget(widget)
    return row
