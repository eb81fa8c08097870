"""Work off the main thread: it tells how far it is, can be stopped, and is waited for before the program ends.

A job is handed plain values (a Book, Figures), never a widget and never the store, and gives back a value. Its signals
are heard in the main thread.
"""

import sys
from collections.abc import Callable
from contextvars import copy_context
from threading import Event
from typing import Any

from PySide6.QtCore import QCoreApplication, QObject, QRunnable, Qt, QThreadPool, QTimer, Signal

SWITCH = 0.00005
"""Seconds after which Python lets the main thread in again while a job computes. Every call into Qt lets the job in, so
a refresh of some hundred calls waits that often: at 1 ms, acts of 40 ms took 360 ms; at 0.05 ms, 98 ms."""
REST = 250
"""Milliseconds that work which follows the keys waits before it begins: what they changed is drawn first, and work that
the next key makes idle is never begun."""
Progress = Callable[[int, int, str], None]
"""Called with (done, total, what is being done now); raises Cancelled once somebody asked to stop."""
Work = Callable[[Progress], Any]
PATIENCE = 10_000
"""Milliseconds that the end of the program waits for work that is going on."""


class Cancelled(Exception):
    """Somebody asked to stop. Nothing that was begun is kept."""


class Job(QObject):
    """One piece of work. ``start`` it, hear ``progress``, then exactly one of ``done``, ``failed``, ``cancelled``."""

    progress = Signal(int, int, str)
    done = Signal(object)
    failed = Signal(object)
    cancelled = Signal()
    finished = Signal()
    """After any of the three."""
    _ended = Signal(str, object)

    def __init__(self, work: Work, owner: QObject | None = None) -> None:
        """``owner`` is whoever wants the result: when it goes, the work is asked to stop."""
        # The application owns it, never a place: a place may be gone while the work is still telling how far it is.
        super().__init__(QCoreApplication.instance())
        self._work, self._stop, self._running = work, Event(), False
        # What is said in a job is said in the language of whoever asked for it.
        self._context = copy_context()
        self._ended.connect(self._end, Qt.ConnectionType.QueuedConnection)
        if owner is not None:
            owner.destroyed.connect(self._stop.set)

    @property
    def running(self) -> bool:
        """Whether it has begun and not ended."""
        return self._running

    def start(self, rest: int = 0) -> None:
        """Begin, after ``rest`` ms where that is given. ValueError for a job that was started before."""
        if self._running or self._stop.is_set():
            raise ValueError("a job is started once")
        self._running = True
        sys.setswitchinterval(SWITCH)
        _resting.append(self)
        if rest:
            QTimer.singleShot(rest, self, self.begin)
        else:
            self.begin()

    def begin(self) -> None:
        """Rest no more. Nothing where it has begun already."""
        if self in _resting:
            _resting.remove(self)
            _pool().start(_Run(self))

    def cancel(self) -> None:
        """Ask it to stop: it does at its next word of progress."""
        self._stop.set()

    def _tell(self, done: int, total: int, text: str = "") -> None:
        if self._stop.is_set():
            raise Cancelled
        self.progress.emit(done, total, text)

    def run_here(self) -> None:
        """The work itself, in whatever thread calls; used by the pool."""
        try:
            if self._stop.is_set():
                raise Cancelled  # asked to stop while it waited for its turn
            result = self._context.run(self._work, self._tell)
            if self._stop.is_set():
                raise Cancelled
        except Cancelled:
            self._ended.emit("cancelled", None)
        except Exception as error:  # noqa: BLE001  a fault in a thread must reach the main one, whatever it is
            self._ended.emit("failed", error)
        else:
            self._ended.emit("done", result)

    def _end(self, how: str, value: object) -> None:
        self._running = False
        self._work = _nothing  # whatever it held, a whole book's figures perhaps, is let go of
        if how == "done":
            self.done.emit(value)
        elif how == "failed":
            self.failed.emit(value)
        else:
            self.cancelled.emit()
        self.finished.emit()
        self.deleteLater()


_resting: list[Job] = []
"""Jobs that wait for the hand to rest. The application owns them and outlives them."""


def _pool() -> QThreadPool:
    """One worker: two would only take turns with one another, and both with the main thread."""
    pool = QThreadPool.globalInstance()
    pool.setMaxThreadCount(1)
    return pool


class _Run(QRunnable):
    """What the pool runs."""

    def __init__(self, job: Job) -> None:
        super().__init__()
        self._job = job

    def run(self) -> None:
        """Once."""
        self._job.run_here()


def _nothing(progress: Progress) -> None:
    """The work of a job that has ended."""


def begin_resting() -> bool:
    """Begin at once what rests, for whoever wants to see what comes of it; whether there was any."""
    resting = list(_resting)
    for job in resting:
        job.begin()
    return bool(resting)


def wait_for_jobs() -> bool:
    """Wait for what is going on; False where it took too long. A thread left running ends the program badly."""
    return QThreadPool.globalInstance().waitForDone(PATIENCE)
