"""A fault of the program: kept in a file that can be found, said in plain words, nothing half done left on screen."""

import logging
import sys
from collections.abc import Callable
from logging.handlers import RotatingFileHandler
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QStandardPaths, QtMsgType, qInstallMessageHandler

from costing.tongue import say
from ui.fault import Refusal

LOG = "stillroom-ledger.log"
LARGEST, KEPT = 500_000, 3
"""Bytes of a log file, and how many old ones are kept."""
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

    def __init__(self, tell: Told, settle: Callable[[], object], folder: Path | None = None) -> None:
        self._tell, self._settle = tell, settle
        self.log, self.path = logger(folder)
        self.caught = 0
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
        """One exception: log, settle, say. Ctrl+C at a terminal still ends the program."""
        if issubclass(kind, KeyboardInterrupt):
            self._before(kind, error, trace)
            return
        self.caught += 1
        self.log.error("not caught: %s", error, exc_info=(kind, error, trace))
        try:
            self._settle()
        except Exception:
            self.log.exception("and the book could not be read again")
        where = str(self.path) if self.path is not None else say("the terminal")
        self._tell(Refusal(
            say("Something went wrong in the program; what you were doing was not done."),
            say("It is our fault, not yours. Everything that was saved before still is."),
            say("Try once more. If it comes back, send the file {path}.", path=where),
        ))  # fmt: skip

    def _qt(self, kind: QtMsgType, _context: object, text: str) -> None:
        if any(part in text for part in HARMLESS):
            return
        level = {
            QtMsgType.QtDebugMsg: logging.DEBUG,
            QtMsgType.QtInfoMsg: logging.INFO,
            QtMsgType.QtWarningMsg: logging.WARNING,
        }.get(kind, logging.ERROR)
        self.log.log(level, "Qt: %s", text)
