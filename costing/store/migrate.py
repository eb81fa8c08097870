"""Snapshots, and bringing a file of an older form to this one."""

import sqlite3
from contextlib import suppress
from pathlib import Path

from costing.book.history import Row
from costing.book.plain import dumps, record_to_plain
from costing.disk import beside
from costing.store.faults import FileFault, translated
from costing.store.files import place_new
from costing.store.form import Form, text_of
from costing.store.rows import add_row, check_pages, connect, head_of, number_in, record_of


def snapshot(path: Path, target: Path) -> Path:
    """A checked copy of a book file under a new name, safe while others edit it. FileFault "exists" if taken."""
    if target.exists():
        raise FileFault(target, "exists")
    part = beside(target)
    try:
        with translated(target):
            # Connections of its own: a backup out of an open transaction would wait for ever.
            source, copy = connect(path, "ro"), connect(part, "rwc")
            try:
                source.backup(copy)
                check_pages(copy, part, "quick_check")
            finally:
                copy.close()
                source.close()
        place_new(part, target)
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)
    return target


def snapshot_name(path: Path, form: Form) -> Path:
    """A free name beside a file for the snapshot taken before it is migrated to ``form``."""
    for n in range(1, 1000):
        target = path.with_name(f"{path.stem} before {text_of(form.number)}{f' ({n})' if n > 1 else ''}{path.suffix}")
        if not target.exists():
            return target
    raise FileFault(path, "exists", "999 snapshots stand beside it already")


def migrate(db: sqlite3.Connection, path: Path, form: Form, at: str) -> None:
    """Snapshot the file, then bring every record to ``form`` in one transaction with a "migrate" row.

    Journal rows are left as they are and pass through the upgrades when they are read. Any failure leaves the
    file in its old form. Nothing happens when another program was faster.
    """
    # IMMEDIATE shuts out every other writer while the snapshot still may read; COMMIT takes the exclusive lock.
    db.execute("BEGIN IMMEDIATE")
    try:
        number = number_in(db)
        if number < form.number:
            snapshot(path, snapshot_name(path, form))
            _bring(db, path, form, number, at)
        db.execute("COMMIT")
    except BaseException:
        if db.in_transaction:
            db.execute("ROLLBACK")
        raise


def _bring(db: sqlite3.Connection, path: Path, form: Form, number: int, at: str) -> None:
    for kind, ident, body in db.execute("SELECT kind, id, body FROM record").fetchall():
        record = record_of(path, kind, ident, body, number, form)
        new = dumps(record_to_plain(record)), kind, ident
        db.execute("UPDATE record SET body = ? WHERE kind = ? AND id = ?", new)
    code = f"form {text_of(number)} to {text_of(form.number)}"
    row = Row(seq=head_of(db) + 1, act="migrate", of=None, at=at, who="", code=code, changes=())
    add_row(db, row, form.number)
    db.execute(f"PRAGMA user_version={form.number}")
