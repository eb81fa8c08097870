"""A book in one SQLite file: the Store that History writes through.

Rollback journal with synchronous EXTRA, so that a commit is on the disk when it returns and survives a power
cut; explicit BEGIN IMMEDIATE, so that Python opens no transaction of its own. A store belongs to the thread
that opened it.
"""

import sqlite3
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from costing.book.book import Book
from costing.book.change import Change
from costing.book.history import Act, BadJournal, Fold, Heading, Loaded, Row, check_record, replay
from costing.book.plain import dumps, from_plain, record_to_plain
from costing.book.records import KINDS
from costing.disk import beside
from costing.store.faults import FileFault, FileTooNew, fault_of_os, translated
from costing.store.files import full_path, place_new
from costing.store.form import CURRENT, Form, text_of
from costing.store.migrate import migrate
from costing.store.rows import (
    WAIT,
    add_row,
    check_pages,
    connect,
    head_of,
    headings_in,
    ids_in,
    number_in,
    record_of,
    rows_in,
)
from costing.store.schema import APPLICATION_ID, SCHEMA, check_number, check_shape, peek, writable

Clock = Callable[[], str]

# Closing any plain handle of a file drops the locks SQLite holds on it in this process (POSIX), so the look at
# the first bytes and the transactions of this process take turns.
_TURN = threading.RLock()


def utc_now() -> str:
    """The time of writing, to the second, in UTC."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def create(path: str | Path, book: Book, code: str = "new", who: str = "", *, clock: Clock = utc_now) -> "SqliteStore":
    """Make a new book file that begins with ``book``, and open it.

    The file appears whole or not at all. FileFault "exists" when the name is taken, BadForm for a record that
    cannot be kept.
    """
    target = full_path(path)
    try:
        if target.exists():
            raise FileFault(target, "exists")
        if not target.parent.is_dir():
            raise FileFault(target.parent, "missing", "the folder for the new file")
    except OSError as error:
        raise fault_of_os(target, error, "read_only") from error
    order = {kind: n for n, kind in enumerate(KINDS)}
    records = sorted(book.records.items(), key=lambda item: (order[item[0][0]], item[0][1]))
    for (kind, _), record in records:
        check_record(kind, record)
    from_plain(str, code, "the name of the first entry")
    from_plain(str, who, "who")
    part = beside(target)
    try:
        with translated(target):
            db = connect(part, "rwc")
            try:
                db.execute("PRAGMA page_size=4096")
                db.execute(f"PRAGMA application_id={APPLICATION_ID}")
                db.execute(f"PRAGMA user_version={CURRENT.number}")
                db.execute("BEGIN IMMEDIATE")
                for statement in SCHEMA:
                    db.execute(statement)
                changes = tuple(Change(kind, ident, None, record) for (kind, ident), record in records)
                writer = _Writer(db, target, CURRENT, CURRENT.number, clock)
                writer.append("migrate", None, who, code, changes)
                db.execute("COMMIT")
            finally:
                db.close()
        place_new(part, target)
    finally:
        with suppress(OSError):  # already gone when it was moved; a left-over part is only litter
            part.unlink(missing_ok=True)
    return open_store(target, clock=clock)


def open_store(
    path: str | Path, readonly: bool = False, *, form: Form = CURRENT, clock: Clock = utc_now, wait: float = WAIT
) -> "SqliteStore":
    """Open a book file. An older form is snapshot and migrated first; read only, it is read as it would become.

    FileFault says what is wrong with the file, FileTooNew that its major form is newer; in both cases its
    bytes are as they were.
    """
    full = full_path(path)
    with _TURN, translated(full):
        peek(full, form)
        if not readonly and not writable(full):
            raise FileFault(full, "read_only")
        db = connect(full, "ro" if readonly else "rw", wait)
        try:
            number = number_in(db)
            check_number(full, number, form)
            check_shape(db, full, number, form)
            check_pages(db, full, "quick_check")
            if not readonly:
                db.execute("PRAGMA journal_mode=DELETE").fetchall()
                if number < form.number:
                    migrate(db, full, form, clock())
            return SqliteStore(full, db, readonly, form, clock)
        except BaseException:
            db.close()
            raise


class SqliteStore:
    """An open book file. Use as a context manager, or ``close`` it."""

    def __init__(self, path: Path, db: sqlite3.Connection, readonly: bool, form: Form, clock: Clock) -> None:
        self.path, self.readonly = path, readonly
        self._connection: sqlite3.Connection | None = db
        self._form, self._clock = form, clock
        self._file = _identity(path)
        self._busy = False

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file. Closing twice does no harm."""
        if self._connection is not None:
            self._connection.close()
            self._connection = None

    @property
    def _db(self) -> sqlite3.Connection:
        if self._connection is None:
            raise FileFault(self.path, "closed")
        return self._connection

    def load(self) -> Loaded:
        """Book and fold of one moment. FileFault names the first row that does not parse."""
        with self._transaction("BEGIN") as (db, number):
            records = db.execute("SELECT kind, id, body FROM record").fetchall()
            marks = db.execute('SELECT seq, act, "of", code FROM journal ORDER BY seq').fetchall()
        fold = Fold()
        try:
            for mark in marks:
                fold.take(*mark)
        except BadJournal as error:
            raise FileFault(self.path, "damaged", str(error)) from error
        found = (record_of(self.path, kind, ident, body, number, self._form) for kind, ident, body in records)
        return Loaded(Book.of(found), fold)

    def rows(self, after: int = 0, upto: int | None = None) -> tuple[Row, ...]:
        """Journal rows with after < seq <= upto, old forms upgraded. FileFault for a row that does not parse."""
        with self._transaction("BEGIN") as (db, _):
            return rows_in(db, self.path, self._form, after, upto)

    def headings(self, after: int = 0, upto: int | None = None) -> tuple[Heading, ...]:
        """What those rows say of themselves, without their changes."""
        with self._transaction("BEGIN") as (db, _):
            return headings_in(db, after, upto)

    def ids(self, after: int = 0, upto: int | None = None) -> frozenset[str]:
        """The ids of the records those rows touched. FileFault for a row that does not parse."""
        with self._transaction("BEGIN") as (db, _):
            return ids_in(db, self.path, after, upto)

    @contextmanager
    def writing(self) -> Iterator["_Writer"]:
        """A transaction: committed when the block ends, rolled back when it raises."""
        if self.readonly:
            raise FileFault(self.path, "read_only", "it was opened for reading")
        with self._transaction("BEGIN IMMEDIATE") as (db, number):
            writer = _Writer(db, self.path, self._form, number, self._clock)
            yield writer
            try:
                db.execute("COMMIT")
            except sqlite3.Error:
                # A COMMIT cut short at its very end has committed and says it failed: ask the file.
                if db.in_transaction or not writer.arrived():
                    raise

    def verify(self) -> None:
        """The full check, slow on a long journal: pages, every row, and that the journal leads to the records.

        The last finds what page checks cannot, one changed digit, because every figure is written at least
        twice. FileFault "damaged" says what does not fit.
        """
        with self._transaction("BEGIN") as (db, _):
            check_pages(db, self.path, "integrity_check")
        loaded = self.load()
        try:
            book = replay(self.rows(0, loaded.fold.head))
        except BadJournal as error:
            raise FileFault(self.path, "damaged", str(error)) from error
        now, then = loaded.book.records, book.records
        odd = sorted(key for key in now.keys() | then.keys() if now.get(key) != then.get(key))
        if odd:
            raise FileFault(self.path, "damaged", f"{odd[0][0]} {odd[0][1]!r} is not what the journal says it is")

    @contextmanager
    def _transaction(self, begin: str) -> Iterator[tuple[sqlite3.Connection, int]]:
        """The connection and the form number inside a transaction, which is rolled back unless committed."""
        db = self._db
        if self._busy:
            raise RuntimeError("a transaction of this store is already open")
        # A file that was replaced under us would take our edits into nowhere.
        if _identity(self.path) != self._file:
            raise FileFault(self.path, "moved")
        self._busy = True
        try:
            with _TURN, translated(self.path):
                try:
                    # Inside, because an interrupted BEGIN may have begun, and an earlier ROLLBACK may have failed.
                    if db.in_transaction:
                        db.execute("ROLLBACK")
                    db.execute(begin)
                    number = number_in(db)
                    if self._form.too_new(number):  # a newer program migrated the file while we had it open
                        raise FileTooNew(self.path, text_of(number), text_of(self._form.number))
                    yield db, number
                finally:
                    if db.in_transaction:
                        db.execute("ROLLBACK")
        finally:
            self._busy = False


class _Writer:
    """An open transaction of one store."""

    def __init__(self, db: sqlite3.Connection, path: Path, form: Form, number: int, clock: Clock) -> None:
        self._db, self._path, self._form, self._number, self._clock = db, path, form, number, clock
        self._last: Row | None = None

    def rows(self, after: int) -> tuple[Row, ...]:
        """Rows later than ``after``."""
        return rows_in(self._db, self._path, self._form, after, None)

    def append(self, act: Act, of: int | None, who: str, code: str, changes: tuple[Change, ...]) -> Row:
        """Write the records and the next journal row; FileFault when the records are not as the journal says."""
        for change in changes:
            self._put(change)
        seq = head_of(self._db) + 1
        row = Row(seq=seq, act=act, of=of, at=self._clock(), who=who, code=code, changes=changes)
        add_row(self._db, row, self._number)
        self._last = row
        return row

    def arrived(self) -> bool:
        """True when the file, outside any transaction, holds the row appended here."""
        last = self._last
        return last is not None and rows_in(self._db, self._path, self._form, last.seq - 1, last.seq) == (last,)

    def _put(self, change: Change) -> None:
        key: tuple[Any, ...] = change.kind, change.id
        body = dumps(record_to_plain(change.after)) if change.after is not None else None
        if body is None:
            done = self._db.execute("DELETE FROM record WHERE kind = ? AND id = ?", key)
        elif change.before is None:
            done = self._db.execute("INSERT OR IGNORE INTO record VALUES (?, ?, ?)", (*key, body))
        else:
            done = self._db.execute("UPDATE record SET body = ? WHERE kind = ? AND id = ?", (body, *key))
        if done.rowcount != 1 and change.before != change.after:
            raise FileFault(self._path, "damaged", f"{change.kind} {change.id!r} is not what the journal says it is")


def _identity(path: Path) -> tuple[int, int] | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


__all__ = ["SqliteStore", "create", "open_store", "utc_now"]
