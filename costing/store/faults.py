"""What can be wrong with a file, as a reason code and one line of plain words."""

import errno
import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Literal

Reason = Literal[
    "missing", "folder", "empty", "not_a_book", "other_program", "damaged", "newer", "read_only", "unreadable",
    "unfinished", "full", "locked", "exists", "moved", "closed", "device", "too_large", "not_text", "failed",
]  # fmt: skip

WORDS: dict[Reason, str] = {
    "missing": "there is no such file",
    "folder": "this is a folder, not a file",
    "empty": "the file is empty (0 bytes)",
    "not_a_book": "this is not a book of Stillroom Ledger",
    "other_program": "this is another program's SQLite file",
    "damaged": "the file is damaged",
    "newer": "the file is of a newer form",
    "read_only": "the file or its folder cannot be written",
    "unreadable": "the file may not be read",
    "unfinished": "an edit was cut short; open the book once for writing to tidy it",
    "full": "the disk is full; nothing of the last edit was kept",
    "locked": "another program is holding the file",
    "exists": "a file of this name is already there and is not overwritten",
    "moved": "the file was moved, deleted or replaced while it was open",
    "closed": "the book is closed",
    "device": "the disk or device reports an error",
    "too_large": "the file is too large",
    "not_text": "the file is not UTF-8 text",
    "failed": "the file could not be used",
}


class FileFault(Exception):
    """A file that cannot be used: ``path``, a ``reason`` code, and ``detail`` in words."""

    def __init__(self, path: Path | str, reason: Reason, detail: str = "") -> None:
        self.path, self.reason, self.detail = Path(path), reason, detail
        super().__init__(f"{path}: {WORDS[reason]}{': ' if detail else ''}{detail}")


class FileTooNew(FileFault):
    """The file is of a newer major form; not a byte of it was touched."""

    def __init__(self, path: Path | str, found: str, reads: str) -> None:
        self.found, self.reads = found, reads
        super().__init__(path, "newer", f"form {found}, and this program reads up to {reads}; use a newer program")


_BY_CODE: dict[int, Reason] = {
    sqlite3.SQLITE_ERROR: "damaged",  # our statements are right, so a missing table or odd header is the file's
    sqlite3.SQLITE_BUSY: "locked",
    sqlite3.SQLITE_LOCKED: "locked",
    sqlite3.SQLITE_PROTOCOL: "locked",
    sqlite3.SQLITE_READONLY: "read_only",
    sqlite3.SQLITE_PERM: "read_only",
    sqlite3.SQLITE_FULL: "full",
    sqlite3.SQLITE_IOERR: "device",
    sqlite3.SQLITE_CORRUPT: "damaged",
    sqlite3.SQLITE_NOTADB: "damaged",
    sqlite3.SQLITE_CONSTRAINT: "damaged",
}
_HOT = (sqlite3.SQLITE_READONLY_ROLLBACK, sqlite3.SQLITE_READONLY_RECOVERY)


def fault_of(path: Path, error: sqlite3.Error) -> FileFault:
    """The FileFault that an error of SQLite means."""
    code: int | None = getattr(error, "sqlite_errorcode", None)
    reason: Reason = _BY_CODE.get(code & 0xFF, "failed") if code is not None else "failed"
    if code in _HOT:
        reason = "unfinished"
    elif code is None and "decode" in str(error):
        reason = "damaged"  # text that is not UTF-8 has no code of its own
    elif code is not None and code & 0xFF == sqlite3.SQLITE_CANTOPEN:
        writable = os.access(path.parent, os.W_OK)
        reason = "device" if writable else "read_only"  # the rollback journal needs a place beside the file
    return FileFault(path, reason, str(error))


@contextmanager
def translated(path: Path) -> Iterator[None]:
    """Turn every error that SQLite raises in the block into a FileFault."""
    try:
        yield
    except sqlite3.Error as error:
        raise fault_of(path, error) from error
    except UnicodeDecodeError as error:  # a damaged schema makes SQLite complain in bytes that are not UTF-8
        raise FileFault(path, "damaged", "its tables are not readable text") from error


_BY_ERRNO: dict[int, Reason] = {
    errno.ENOENT: "missing",
    errno.ENOTDIR: "missing",
    errno.EISDIR: "folder",
    errno.EROFS: "read_only",
    errno.ENOSPC: "full",
    errno.EDQUOT: "full",
    errno.EEXIST: "exists",
}


def fault_of_os(path: Path, error: OSError, denied: Reason) -> FileFault:
    """The FileFault of an error of the operating system; ``denied`` says what a refused permission means."""
    if error.errno in (errno.EACCES, errno.EPERM):
        return FileFault(path, denied)
    reason = _BY_ERRNO.get(error.errno or 0, "device")
    return FileFault(path, reason, "" if reason in ("missing", "folder") else error.strerror or str(error))
