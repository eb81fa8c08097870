"""Work for a page off the main thread, of which only what was asked for last is ever shown."""

from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QObject, Signal

from ui.jobs import REST, Job, Progress, Work


@dataclass(frozen=True, slots=True)
class _Keyed:
    """A piece of work that gives back what it was asked under too."""

    key: object
    work: Work

    def __call__(self, tell: Progress) -> tuple[object, Any]:
        return self.key, self.work(tell)


class Latest(QObject):
    """The answer to the last question; ``known`` tells when it is there. Keys say what was asked and are compared."""

    known = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._key: object = None
        self._found: tuple[object, Any] | None = None
        self._job: Job | None = None

    def ask(self, key: object, work: Work) -> None:
        """Have it worked out, once the keys rest, unless that was asked last. Work that was asked before is stopped."""
        if key == self._key:
            return
        self.forget()
        self._key = key
        job = self._job = Job(_Keyed(key, work), self)
        job.done.connect(self._done)
        job.failed.connect(self._failed)
        job.start(REST)

    def forget(self) -> None:
        """Nothing is asked any more."""
        if self._job is not None:
            self._job.cancel()
        self._key = self._found = self._job = None

    def of(self, key: object) -> Any | None:
        """The answer to a question; None while it is not known, or where another one was asked since."""
        return self._found[1] if self._found is not None and key == self._key else None

    def _done(self, found: tuple[object, Any]) -> None:
        if found[0] is self._key:
            self._found = found
            self.known.emit()

    def _failed(self, error: Exception) -> None:
        raise error  # a fault of the program: kept in the log like any other
