"""Connections with the house's settings, and the rows of a book file as records and journal rows."""

import sqlite3
from pathlib import Path
from typing import Any
from urllib.parse import quote

from costing.book.change import Change
from costing.book.history import Heading, Row
from costing.book.plain import BadForm, dumps, record_from_plain
from costing.book.records import Record
from costing.store.faults import FileFault, FileTooNew
from costing.store.form import Form, text_of
from costing.store.hardjson import parse

WAIT = 5.0
"""Seconds to wait for another program's transaction before the file counts as locked."""


def connect(path: Path, mode: str, wait: float = WAIT) -> sqlite3.Connection:
    """A connection with every setting of the house; ``mode`` is SQLite's "ro", "rw" or "rwc"."""
    name = path.as_posix()
    uri = f"file://{'' if name.startswith('/') else '/'}{quote(name)}?mode={mode}"
    db = sqlite3.connect(uri, uri=True, timeout=wait, isolation_level=None)
    try:
        for setting in ("trusted_schema=0", "cell_size_check=1", "mmap_size=0", "synchronous=EXTRA", "fullfsync=1"):
            db.execute(f"PRAGMA {setting}").fetchall()
    except BaseException:
        db.close()
        raise
    return db


def number_in(db: sqlite3.Connection) -> int:
    """The form number as SQLite sees it, which after a crash may differ from the raw bytes."""
    return int(db.execute("PRAGMA user_version").fetchone()[0])


def add_row(db: sqlite3.Connection, row: Row, number: int) -> None:
    """Write one journal row."""
    changes = dumps([change.to_plain() for change in row.changes])
    db.execute(
        "INSERT INTO journal VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        (row.seq, row.act, row.of, row.at, row.who, row.code, changes, number),
    )


def head_of(db: sqlite3.Connection) -> int:
    """The last journal row, 0 if there is none."""
    return int(db.execute("SELECT coalesce(max(seq), 0) FROM journal").fetchone()[0])


def record_of(path: Path, kind: str, ident: str, body: str, number: int, form: Form) -> Record:
    """The record in one row. FileFault "damaged" names kind, id and what is wrong."""
    where = f"{kind} {ident!r}"
    try:
        record = record_from_plain(kind, form.upgraded(kind, parse(body, where), number), where)
    except BadForm as error:
        raise FileFault(path, "damaged", str(error)) from error
    if record.id != ident:
        raise FileFault(path, "damaged", f"{where}: the row holds the record {record.id!r}")
    return record


def check_pages(db: sqlite3.Connection, path: Path, how: str) -> None:
    """FileFault "damaged" with SQLite's own first finding; ``how`` is quick_check or integrity_check."""
    pages, size = (int(db.execute(f"PRAGMA {name}").fetchone()[0]) for name in ("page_count", "page_size"))
    there = path.stat().st_size
    if there < pages * size:  # SQLite reads zeros for what is missing, and may find nothing odd in them
        raise FileFault(path, "damaged", f"its end is missing: {there:,} of {pages * size:,} bytes are there")
    found = [str(row[0]) for row in db.execute(f"PRAGMA {how}(3)")]
    if found != ["ok"]:
        raise FileFault(path, "damaged", " ".join(found[0].split()) if found else how)


def rows_in(db: sqlite3.Connection, path: Path, form: Form, after: int, upto: int | None) -> tuple[Row, ...]:
    """Journal rows with after < seq <= upto, old forms upgraded. FileFault for one that does not parse."""
    rows = []
    for seq, act, of, at, who, code, number, changes in _read(
        db, 'act, "of", at, who, code, schema, changes', after, upto
    ):
        where = f"journal row {seq}"
        if form.too_new(number):
            raise FileTooNew(path, text_of(number), text_of(form.number))
        try:
            parsed = tuple(_change(part, number, form, where) for part in _list(parse(changes, where), where))
        except ValueError as error:
            raise FileFault(path, "damaged", str(error)) from error
        rows.append(Row(seq=seq, act=act, of=of, at=at, who=who, code=code, changes=parsed))
    return tuple(rows)


def headings_in(db: sqlite3.Connection, after: int, upto: int | None) -> tuple[Heading, ...]:
    """What journal rows with after < seq <= upto say of themselves."""
    found = _read(db, 'act, "of", at, who, code', after, upto)
    return tuple(Heading(seq=seq, act=act, of=of, at=at, who=who, code=code) for seq, act, of, at, who, code in found)


def ids_in(db: sqlite3.Connection, path: Path, after: int, upto: int | None) -> frozenset[str]:
    """The ids in journal rows with after < seq <= upto: no form of the file has another place for them. FileFault for
    a row that does not parse."""
    out: set[str] = set()
    for seq, changes in _read(db, "changes", after, upto):
        where = f"journal row {seq}"
        try:
            out |= {str(part.get("id")) for part in _list(parse(changes, where), where)}
        except ValueError as error:
            raise FileFault(path, "damaged", str(error)) from error
    return frozenset(out)


def _read(db: sqlite3.Connection, columns: str, after: int, upto: int | None) -> list[Any]:
    return db.execute(
        f"SELECT seq, {columns} FROM journal WHERE seq > ? AND seq <= coalesce(?, seq) ORDER BY seq", (after, upto)
    ).fetchall()


def _list(data: Any, where: str) -> list[dict[str, Any]]:
    if not isinstance(data, list) or not all(isinstance(part, dict) for part in data):
        raise BadForm(where, "a list of changes is needed")
    return data


def _change(data: dict[str, Any], number: int, form: Form, where: str) -> Change:
    kind = str(data.get("kind"))
    new = dict(data)
    for side in ("before", "after"):
        if isinstance(data.get(side), dict):
            new[side] = form.upgraded(kind, data[side], number)
    return Change.from_plain(new, where)
