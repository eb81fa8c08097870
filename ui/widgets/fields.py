"""Fields to type into. What was typed stays as typed until it is taken or dropped, and says why where it is not."""

from collections.abc import Callable, Sequence
from datetime import date

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from costing.tongue import say
from ui.fault import KNOWN, Refusal, refusal_of
from ui.format import Format
from ui.widgets.completing import Suggestions

Write = Callable[[str], bool]


class TextField(QLineEdit):
    """One line. ``committed`` tells a text that was typed and left with Enter, Tab or a click elsewhere, once; Esc goes
    back to what the book says."""

    committed = Signal(str)

    def __init__(self, name: str, parent: QWidget | None = None, *, hint: str = "") -> None:
        """``name`` is what the field is called, also for assistive technology."""
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setPlaceholderText(hint)
        self._stands = ""
        self._taken: str | None = None
        self._refusal: Refusal | None = None

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
        typing = self.hasFocus() and self.isModified() and self.text() not in (before, self._taken)
        if typing or self._refusal is not None:
            return
        self._taken = None
        if self.text() != text:
            self.setText(text)
        self.setModified(False)

    def refuse(self, refusal: Refusal | None) -> None:
        """Mark the text as not taken, with the reason; None takes the mark away."""
        self._refusal = refusal
        self.setProperty("refused", refusal is not None)
        self.setToolTip(refusal.text if refusal else "")
        self.setAccessibleDescription(refusal.text if refusal else "")
        self.style().unpolish(self)
        self.style().polish(self)

    def revert(self) -> None:
        """Back to what the book says."""
        self.refuse(None)
        self._taken = None
        self.setText(self._stands)
        self.setModified(False)

    def commit(self) -> None:
        """Tell the text if it is not what the book says."""
        text = self.text()
        if text == self._stands:
            self.refuse(None)
            return
        if text == self._taken:
            return  # told already: "+30" must not count from where it led to
        self.refuse(None)
        self._taken = text
        self.committed.emit(text)
        if self._refusal is None:
            self.setModified(False)
        else:
            self._taken = None

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
        self.setTextMargins(0, 0, room, 0)
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


def read_day(text: str, today: date) -> date:
    """A day as somebody types it: 2026-11-28, 28.11.2026, or +7 for in a week; "" and "today" are today. ValueError
    for one that can be read as two days."""
    plain = text.strip().casefold()
    if plain in ("", "today", say("today").casefold()):
        return today
    if plain[0] in "+-" and plain[1:].isascii() and plain[1:].isdigit() and len(plain) < 7:
        return date.fromordinal(today.toordinal() + int(plain))
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
        say("Write it as 2026-11-28 or 28.11.2026, or +7 for in a week."),
    )


class DayField(TextField):
    """A day. ``picked`` tells a date; a day that cannot be read stays, marked."""

    picked = Signal(object)

    def __init__(self, name: str, form: Format, today: Callable[[], date], parent: QWidget | None = None) -> None:
        super().__init__(name, parent, hint=say("2026-11-28 or +7"))
        self._form, self._today = form, today
        self.committed.connect(self._read)

    def set_day(self, day: date | None) -> None:
        """Show a day."""
        self.set_text(day.isoformat() if day else "")
        self.setToolTip(self._form.day(day) if day else "")

    def _read(self, text: str) -> None:
        try:
            day = read_day(text, self._today())
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
