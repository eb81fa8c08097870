"""The tables of a book file, and what is looked at before SQLite may open one.

One file: ``record`` holds the present, one aggregate a row; ``journal`` holds how it came about and only
grows. The first bytes of the file carry our application id at 68 and the form number at 60, big-endian.
"""

import os
import sqlite3
import stat
from pathlib import Path

from costing.store.faults import FileFault, FileTooNew, fault_of_os
from costing.store.form import FIRST, Form, text_of

APPLICATION_ID = int.from_bytes(b"StLg", "big")
MAGIC = b"SQLite format 3\0"
HEADER = 100

SCHEMA = (
    "CREATE TABLE record (kind TEXT NOT NULL, id TEXT NOT NULL, body TEXT NOT NULL, "
    "PRIMARY KEY (kind, id)) STRICT, WITHOUT ROWID",
    "CREATE TABLE journal (seq INTEGER PRIMARY KEY, "
    "act TEXT NOT NULL CHECK (act IN ('do', 'undo', 'redo', 'migrate')), \"of\" INTEGER, at TEXT NOT NULL, "
    "who TEXT NOT NULL, code TEXT NOT NULL, changes TEXT NOT NULL, schema INTEGER NOT NULL) STRICT",
    "CREATE TRIGGER journal_next BEFORE INSERT ON journal "
    "WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM journal) "
    "BEGIN SELECT RAISE(ABORT, 'journal rows come one after the other'); END",
    "CREATE TRIGGER journal_keep BEFORE UPDATE ON journal "
    "BEGIN SELECT RAISE(ABORT, 'a journal row is never changed'); END",
    "CREATE TRIGGER journal_stay BEFORE DELETE ON journal "
    "BEGIN SELECT RAISE(ABORT, 'a journal row is never deleted'); END",
)

Shape = set[tuple[str, str, str, str | None]]


def shape(db: sqlite3.Connection) -> Shape:
    """Every table, index, trigger and view with the text that made it."""
    return set(db.execute("SELECT type, name, tbl_name, sql FROM sqlite_schema"))


def expected() -> Shape:
    """The shape of a book file of this form."""
    db = sqlite3.connect(":memory:")
    try:
        for statement in SCHEMA:
            db.execute(statement)
        return shape(db)
    finally:
        db.close()


def check_shape(db: sqlite3.Connection, path: Path, number: int, form: Form) -> None:
    """FileFault when tables or triggers are not the known ones; a later minor may bring tables of its own."""
    known, found = expected(), shape(db)
    lost = known - found
    ours = {row[2] for row in known}
    odd = {
        row for row in found - known
        if number <= form.number or row[0] not in ("table", "index", "trigger") or row[2] in ours
    }  # fmt: skip
    if lost or odd:
        names = ", ".join(sorted({row[1][:40] for row in lost | odd}))
        raise FileFault(path, "damaged", f"its tables are not those of a book ({names})")


def check_number(path: Path, number: int, form: Form) -> None:
    """FileTooNew for a later major, FileFault for a number that no form ever had."""
    if form.too_new(number):
        raise FileTooNew(path, text_of(number), text_of(form.number))
    if number < FIRST:
        raise FileFault(path, "damaged", f"form number {number} does not exist")


def peek(path: Path, form: Form) -> None:
    """Look at the first bytes without SQLite, which would repair, lock or guess. FileFault says what is wrong."""
    try:
        found = path.stat()
        if stat.S_ISDIR(found.st_mode):
            raise FileFault(path, "folder")
        if not stat.S_ISREG(found.st_mode):
            raise FileFault(path, "not_a_book", "not a plain file")
        if found.st_size == 0:
            raise FileFault(path, "empty")
        with path.open("rb") as file:
            head = file.read(HEADER)
    except OSError as error:
        raise fault_of_os(path, error, "unreadable") from error
    if not head.startswith(MAGIC):
        raise FileFault(path, "not_a_book")
    if len(head) < HEADER:
        raise FileFault(path, "damaged", f"only {len(head)} bytes are left of it")
    program = head[68:72]
    if int.from_bytes(program, "big") != APPLICATION_ID:
        raise FileFault(path, "other_program", f"application id 0x{program.hex()}")
    check_number(path, int.from_bytes(head[60:64], "big", signed=True), form)


def writable(path: Path) -> bool:
    """True when both the file and its folder can be written: the rollback journal lives beside the file."""
    return os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)
