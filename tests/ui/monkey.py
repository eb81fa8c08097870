"""A hand that presses anything: keys, text, clicks and wheels on whatever is on screen, from a seed."""

import random
from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QPoint, QPointF, Qt, QTimer
from PySide6.QtGui import QContextMenuEvent, QKeyEvent, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QMenu, QWidget

KEYS = [
    Qt.Key.Key_Tab, Qt.Key.Key_Backtab, Qt.Key.Key_Return, Qt.Key.Key_Escape, Qt.Key.Key_Up, Qt.Key.Key_Down,
    Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Home, Qt.Key.Key_End, Qt.Key.Key_PageDown, Qt.Key.Key_F2,
    Qt.Key.Key_F4, Qt.Key.Key_F6, Qt.Key.Key_F9, Qt.Key.Key_Delete, Qt.Key.Key_Backspace, Qt.Key.Key_Space,
]  # fmt: skip
TEXTS = ["45 ml rum", "3/4 oz", "0,75 l", "12.50", "1,234", "~10 %", "ananas", "créme", "-1", "1e999", "½", "\u05d0",
         "a" * 300, "=1+1", "2026-11-30", "x 5"]  # fmt: skip
CHORDS = "ZFKCVDTN12345"
"""Letters pressed with Ctrl: undo, find, places, copy, paste, fill; never the one that quits."""


class Monkey(QObject):
    """Does ``count`` acts, one a turn of the event loop, then calls ``done``."""

    def __init__(self, window: QWidget, seed: int, count: int, done: Callable[[], object]) -> None:
        super().__init__(window)
        self._window, self._random, self._left, self._done = window, random.Random(seed), count, done
        self.acts = 0
        QTimer.singleShot(0, self._turn)

    def _turn(self) -> None:
        if self.acts >= self._left:
            for widget in QApplication.topLevelWidgets():
                if isinstance(widget, QDialog | QMenu) and widget.isVisible():
                    widget.close()
            self._done()
            return
        self.acts += 1
        # The next turn is set before this one acts: a menu or dialog that opens now runs a loop of its own in here.
        QTimer.singleShot(0, self._turn)
        top = QApplication.activePopupWidget() or QApplication.activeModalWidget() or self._window
        if top is not self._window and self._random.random() < 0.2:
            QTest.keyClick(top, Qt.Key.Key_Escape)
            return
        widgets = [w for w in [top, *top.findChildren(QWidget)] if w.isVisible() and w.width() > 2 and w.height() > 2]
        if not widgets:
            return
        self._act(self._random.choice(widgets))

    def _act(self, widget: QWidget) -> None:
        choose = self._random.random()
        focus = QApplication.focusWidget() or widget
        spot = QPoint(self._random.randrange(widget.width()), self._random.randrange(widget.height()))
        if choose < 0.35:
            QTest.mouseClick(widget, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, spot)
        elif choose < 0.42:
            QTest.mouseDClick(widget, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, spot)
        elif choose < 0.68:
            plain, shift = Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier
            QTest.keyClick(focus, self._random.choice(KEYS), self._random.choice([plain, shift]))
        elif choose < 0.82:
            for ch in self._random.choice(TEXTS)[:40]:  # QTest aborts on letters beyond Latin-1
                for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
                    QApplication.sendEvent(focus, QKeyEvent(kind, 0, Qt.KeyboardModifier.NoModifier, ch))
        elif choose < 0.93:
            QTest.keyClick(focus, Qt.Key(ord(self._random.choice(CHORDS))), Qt.KeyboardModifier.ControlModifier)
        elif choose < 0.97:
            where = QPointF(spot)
            QApplication.sendEvent(widget, QWheelEvent(
                where, widget.mapToGlobal(where), QPoint(), QPoint(0, self._random.choice([-120, 120])),
                Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False,
            ))  # fmt: skip
        else:
            event = QContextMenuEvent(QContextMenuEvent.Reason.Keyboard, spot, widget.mapToGlobal(spot))
            QApplication.sendEvent(widget, event)


class Heartbeat(QObject):
    """A timer of 10 ms that remembers how long the event loop was away from it at the most."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        from time import perf_counter

        self._now = perf_counter
        self._last = perf_counter()
        self.gaps: list[float] = []
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setInterval(10)
        self._timer.timeout.connect(self._beat)
        self._timer.start()

    def _beat(self) -> None:
        now = self._now()
        self.gaps.append(now - self._last)
        self._last = now

    @property
    def worst(self) -> float:
        """The longest stall in seconds."""
        return max(self.gaps, default=0.0)
