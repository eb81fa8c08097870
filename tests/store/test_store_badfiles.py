"""Every bad file meets its own words, and not one of its bytes is changed."""

import os
import random
import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from costing.book import Book
from costing.book.history import History
from costing.book.records import Supplier
from costing.store import FileFault, FileTooNew, create, open_store
from costing.store.faults import WORDS
from tests.store.test_store_history import named

FIXTURE = Path(__file__).parent.parent / "fixtures" / "book_5_0.stillroom"
Maker = Callable[[Path], object]


def patched(at: int, value: bytes) -> Maker:
    """The fixture with some bytes of its header changed."""

    def make(path: Path) -> None:
        raw = bytearray(FIXTURE.read_bytes())
        raw[at : at + len(value)] = value
        path.write_bytes(raw)

    return make


def statement(*texts: str) -> Maker:
    """The fixture after another program had its way with it."""

    def make(path: Path) -> None:
        shutil.copy(FIXTURE, path)
        db = sqlite3.connect(path)
        for text in texts:
            db.execute(text)
        db.commit()
        db.close()

    return make


def other_sqlite(path: Path) -> None:
    db = sqlite3.connect(path)
    db.execute("CREATE TABLE notes (text)")
    db.commit()
    db.close()


def flipped(path: Path) -> None:
    raw = bytearray(FIXTURE.read_bytes())
    for page in range(1, len(raw) // 4096):
        raw[page * 4096] ^= 0x40
    path.write_bytes(raw)


BODY = "UPDATE record SET body = '{}' WHERE id = 'north'"
BAD: dict[str, tuple[Maker, str, str]] = {
    "missing": (lambda p: None, "missing", ""),
    "folder": (lambda p: p.mkdir(), "folder", ""),
    "empty": (lambda p: p.write_bytes(b""), "empty", ""),
    "text": (lambda p: p.write_text("prices,2026\n"), "not_a_book", ""),
    "pipe": (os.mkfifo, "not_a_book", "not a plain file"),
    "other program": (other_sqlite, "other_program", "application id 0x00000000"),
    "other id": (patched(68, b"Note"), "other_program", "application id 0x4e6f7465"),
    "newer major": (
        patched(60, (6000).to_bytes(4, "big")),
        "newer",
        "form 6.0, and this program reads up to 5.0; use a newer program",
    ),
    "no form": (patched(60, bytes(4)), "damaged", "form number 0 does not exist"),
    "negative form": (patched(60, b"\xff\xff\xff\xff"), "damaged", "form number -1 does not exist"),
    "first bytes only": (
        lambda p: p.write_bytes(FIXTURE.read_bytes()[:60]),
        "damaged",
        "only 60 bytes are left of it",
    ),
    "truncated": (
        lambda p: p.write_bytes(FIXTURE.read_bytes()[:5000]),
        "damaged",
        "database disk image is malformed",
    ),
    "last page cut": (
        lambda p: p.write_bytes(FIXTURE.read_bytes()[:32_588]),
        "damaged",
        "its end is missing: 32,588 of 32,768 bytes are there",
    ),
    "flipped bytes": (flipped, "damaged", "*"),
    "no table": (statement("DROP TABLE record"), "damaged", "its tables are not those of a book (record)"),
    "more tables": (statement("CREATE TABLE x (a)"), "damaged", "its tables are not those of a book (x)"),
    "trigger": (
        statement("CREATE TRIGGER x AFTER INSERT ON journal BEGIN SELECT 1; END"),
        "damaged",
        "its tables are not those of a book (x)",
    ),
    "trigger lost": (
        statement("DROP TRIGGER journal_stay"),
        "damaged",
        "its tables are not those of a book (journal_stay)",
    ),
}  # fmt: skip

BAD_ROWS: dict[str, tuple[Maker, str]] = {
    "no json": (
        statement(BODY.format("{")),
        "supplier 'north': line 1, column 2: this is not JSON (expecting property name enclosed in double quotes)",
    ),
    "field missing": (statement(BODY.format('{"id":"north"}')), "supplier 'north': the field 'name' is missing"),
    "unknown field": (
        statement(BODY.format('{"id":"north","name":"","phone":"1"}')),
        "supplier 'north': 'phone' is not a field here; the fields are id, name, tax, tax_rate, "
        "currency, freight, free_from, minimum, rebate, rebate_from, names, noise, note",
    ),
    "other id": (
        statement(BODY.format('{"id":"south","name":""}')),
        "supplier 'north': the row holds the record 'south'",
    ),
    "unknown kind": (
        statement("INSERT INTO record VALUES ('bottle', 'b', '{}')"),
        "bottle 'b': 'bottle' is not a kind of record; the kinds are house, supplier, good, quote, equipment, "
        "technique, glass, preparation, serve, menu, batch, yieldtest, alias, columnmap, rate, file, order, purchase, "
        "claim, sales, button, till, scenario",
    ),
    "bytes for text": (
        statement("UPDATE record SET body = CAST(x'ff' AS TEXT) WHERE kind = 'supplier'"),
        "Could not decode to UTF-8 column 'body' with text '\ufffd'",
    ),
    "undo of nothing": (
        statement("INSERT INTO journal VALUES (8, 'undo', 1, '', '', '', '[]', 5000)"),
        "journal row 8 would undo row 1, which is not there to undo",
    ),
}  # fmt: skip


def content(path: Path) -> bytes | None:
    return path.read_bytes() if path.is_file() else None


@pytest.mark.parametrize("readonly", [False, True])
@pytest.mark.parametrize("name", list(BAD))
@pytest.mark.skipif(os.name == "nt", reason="one of the files is a pipe")
def test_a_bad_file(name: str, readonly: bool, tmp_path: Path) -> None:
    make, reason, detail = BAD[name]
    path = tmp_path / "bar.stillroom"
    make(path)
    before = content(path)
    with pytest.raises(FileTooNew if reason == "newer" else FileFault) as caught:
        open_store(path, readonly)
    fault = caught.value
    assert isinstance(fault, FileFault)
    assert (fault.reason, fault.path) == (reason, path)
    assert detail in ("*", fault.detail)
    assert str(fault).startswith(f"{path}: {WORDS[fault.reason]}")
    assert "\n" not in str(fault)
    assert content(path) == before
    assert [p.name for p in tmp_path.iterdir()] == ([path.name] if path.exists() else [])


@pytest.mark.parametrize("name", list(BAD_ROWS))
def test_a_row_that_does_not_parse(name: str, tmp_path: Path) -> None:
    make, detail = BAD_ROWS[name]
    path = tmp_path / "bar.stillroom"
    make(path)
    before = content(path)
    with open_store(path) as store, pytest.raises(FileFault) as caught:
        History(store)
    assert (caught.value.reason, caught.value.detail) == ("damaged", detail)
    assert content(path) == before


@pytest.mark.parametrize(
    ("changes", "detail"),
    [
        ("{", "journal row 8: line 1, column 2: this is not JSON (expecting property name enclosed in double quotes)"),
        ("{}", "journal row 8: a list of changes is needed"),
        ("[7]", "journal row 8: a list of changes is needed"),
        ('[{"kind":"bottle","id":"b"}]', "'bottle' is not a kind of record"),
        ('[{"kind":"supplier","id":"b","after":7}]', "journal row 8.after: 7 should be an object with named fields"),
    ],
)
def test_a_journal_row_that_does_not_parse(changes: str, detail: str, tmp_path: Path) -> None:
    path = tmp_path / "bar.stillroom"
    statement(f"INSERT INTO journal VALUES (8, 'do', NULL, '', '', '', '{changes}', 5000)")(path)
    with open_store(path) as store:
        for read in (store.rows, History(store).undo, store.verify):
            with pytest.raises(FileFault) as caught:
                read()
            assert (caught.value.reason, caught.value.detail) == ("damaged", detail)


def test_a_newer_minor_form_opens_and_keeps_its_form(tmp_path: Path) -> None:
    path = tmp_path / "bar.stillroom"
    statement("CREATE TABLE sales (day TEXT)", "PRAGMA user_version=5007")(path)
    with open_store(path) as store:
        history = History(store)
        history.do(named("new", "Hill"))
        history.undo()
    assert path.read_bytes()[60:64] == (5007).to_bytes(4, "big")
    statement("CREATE TRIGGER x AFTER INSERT ON journal BEGIN SELECT 1; END", "PRAGMA user_version=5007")(path)
    with pytest.raises(FileFault, match=r"its tables are not those of a book \(x\)"):
        open_store(path)


def test_one_flipped_byte_is_never_a_silently_wrong_book(tmp_path: Path) -> None:
    rng = random.Random(5)
    path = tmp_path / "bar.stillroom"
    raw = FIXTURE.read_bytes()
    with open_store(FIXTURE, readonly=True) as store:
        book = store.load().book
    noticed = harmless = 0
    for _ in range(600):
        bad = bytearray(raw)
        bad[rng.randrange(len(raw))] ^= 1 << rng.randrange(8)
        path.write_bytes(bad)
        try:
            with open_store(path) as store:
                store.verify()
                assert store.load().book == book
            harmless += 1
        except FileFault:
            noticed += 1
    assert noticed > 150
    assert harmless > 0


def test_a_file_changed_by_hand_is_found_by_the_full_check(tmp_path: Path) -> None:
    path = tmp_path / "bar.stillroom"
    statement("""UPDATE record SET body = replace(body, '7.10', '1.70') WHERE id = 'sugar-2'""")(path)
    with open_store(path) as store, pytest.raises(FileFault, match="quote 'sugar-2' is not what the journal says"):
        store.verify()


def test_the_journal_only_grows(tmp_path: Path) -> None:
    path = tmp_path / "bar.stillroom"
    shutil.copy(FIXTURE, path)
    db = sqlite3.connect(path)
    row = "7, 'do', NULL, '', '', '', '[]', 1000"
    for text, words in (
        ("UPDATE journal SET who = 'nobody'", "a journal row is never changed"),
        ("DELETE FROM journal", "a journal row is never deleted"),
        (f"INSERT OR REPLACE INTO journal VALUES ({row})", "journal rows come one after the other"),
    ):
        with pytest.raises(sqlite3.IntegrityError, match=words):
            db.execute(text)
    db.close()


def test_a_book_never_replaces_a_file(tmp_path: Path) -> None:
    path = tmp_path / "bar.stillroom"
    path.write_text("mine")
    with pytest.raises(FileFault, match="a file of this name is already there and is not overwritten"):
        create(path, Book())
    assert path.read_text() == "mine"
    with pytest.raises(FileFault, match="there is no such file: the folder for the new file"):
        create(tmp_path / "nowhere" / "bar.stillroom", Book())
    with pytest.raises(ValueError, match="the id must not be empty"):
        create(tmp_path / "b.stillroom", Book({("supplier", ""): Supplier(id="", name="")}))
    assert [p.name for p in tmp_path.iterdir()] == ["bar.stillroom"]
