"""A fault of the program: kept in a file that can be found, said in plain words, nothing half done left on screen."""

import logging
import sys
import time
import traceback
from collections.abc import Callable
from functools import partial
from logging.handlers import RotatingFileHandler
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QStandardPaths, QtMsgType, qInstallMessageHandler

from costing.tongue import say
from ui.fault import Refusal

LOG = "stillroom-ledger.log"
LARGEST, KEPT = 500_000, 3
"""Bytes of a log file, and how many old ones are kept."""
QUIET = 2.0
"""Seconds in which the same fault again is only written down: settling it might be what brings it back."""
HARMLESS = ("propagateSizeHints",)
Told = Callable[[Refusal], object]


def log_folder() -> Path:
    """Where this system keeps a program's own files."""
    return Path(QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppLocalDataLocation))


def logger(folder: Path | None = None) -> tuple[logging.Logger, Path | None]:
    """The program's log and its file; None where no file can be written, and faults go to the terminal alone."""
    log = logging.getLogger("stillroom-ledger")
    log.setLevel(logging.INFO)
    log.propagate = False
    path = (folder or log_folder()) / LOG
    for old in list(log.handlers):
        log.removeHandler(old)
        old.close()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handler: logging.Handler = RotatingFileHandler(path, maxBytes=LARGEST, backupCount=KEPT, encoding="utf-8")
    except OSError:
        log.addHandler(logging.StreamHandler())
        return log, None
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s"))
    log.addHandler(handler)
    return log, path


class Watch:
    """Takes every exception that nobody caught. ``settle`` brings the screen back to what the file holds; ``tell``
    shows a refusal."""

    def __init__(
        self,
        tell: Told,
        settle: Callable[[], object],
        folder: Path | None = None,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._tell, self._settle = tell, settle
        self.log, self.path = logger(folder)
        self.caught = 0
        self._clock = clock
        self._settling, self._at = False, 0.0
        self._said = ""
        self._before = sys.excepthook

    def install(self) -> None:
        """From here on."""
        sys.excepthook = self.take
        qInstallMessageHandler(self._qt)

    def remove(self) -> None:
        """As it was before."""
        sys.excepthook = self._before
        qInstallMessageHandler(None)

    def take(self, kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        """One exception: log, settle, say. Ctrl+C at a terminal still ends the program. A fault that settling itself
        brings about is written down and no more: to settle again would bring it about again, without an end."""
        if issubclass(kind, KeyboardInterrupt):
            self._before(kind, error, trace)
            return
        self.caught += 1
        again = self._write(kind, error, trace)
        now = self._clock()
        if self._settling or (again and now - self._at < QUIET):
            return
        self._settling, self._at = True, now
        try:
            self._guarded(self._settle)
            self._guarded(partial(self._tell, self._refusal()))
        finally:
            self._settling = False

    def _guarded(self, work: Callable[[], object]) -> None:
        try:
            work()
        except Exception:
            self.log.exception("and after it")

    def _refusal(self) -> Refusal:
        where = str(self.path) if self.path is not None else say("the terminal")
        return Refusal(
            say("Something went wrong in the program; what you were doing was not done."),
            say("It is our fault, not yours. Everything that was saved before still is."),
            say("Try once more. If it comes back, send the file {path}.", path=where),
        )

    def _write(self, kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> bool:
        """Log a fault: in full once, and by its name while the same one comes back, so that one of every paint does not
        push all else out of the file. Whether it was the same."""
        last = traceback.extract_tb(trace)[-1:]
        said = (
            f"{kind.__name__}: {error} at {last[0].filename}:{last[0].lineno}" if last else f"{kind.__name__}: {error}"
        )
        again, self._said = said == self._said, said
        if again:
            self.log.error("again: %s", said)
        else:
            self.log.error("not caught: %s", error, exc_info=(kind, error, trace))
        return again

    def _qt(self, kind: QtMsgType, _context: object, text: str) -> None:
        if any(part in text for part in HARMLESS):
            return
        level = {
            QtMsgType.QtDebugMsg: logging.DEBUG,
            QtMsgType.QtInfoMsg: logging.INFO,
            QtMsgType.QtWarningMsg: logging.WARNING,
        }.get(kind, logging.ERROR)
        self.log.log(level, "Qt: %s", text)
