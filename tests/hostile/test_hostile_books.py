"""Broken and hostile book files (SQLite), through the commands that read one. Those of tests/store are not repeated."""

import os
import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.hostile.attempt import Maker, refused
from tests.store.test_store_badfiles import FIXTURE, patched, statement

COMMANDS: dict[str, list[str]] = {
    "check": ["check", "{}"],
    "cost": ["cost", "{}", "--day", "2026-06-01"],
    "ledger": ["ledger", "{}", "anything"],
    "report": ["report", "{}", "--out", "{}-out"],
    "export": ["export", "{}", "{}.json"],
    "quote": ["quote", "{}", "lemon", "2.50"],
    "history": ["history", "{}", "--undo"],
}


def content(change: Callable[[bytes], bytes]) -> Maker:
    return lambda path: path.write_bytes(change(FIXTURE.read_bytes()))


def _garbage(raw: bytes) -> bytes:
    """Every page after the first is noise."""
    noise = bytes((n * 197 + 31) % 256 for n in range(4096))
    return raw[:4096] + noise * (len(raw) // 4096 - 1)


def _write_ahead(path: Path) -> None:
    """A file in write-ahead mode with its log beside it, as another program left it when it was killed."""
    shutil.copy(FIXTURE, path)
    one = sqlite3.connect(path)
    one.execute("PRAGMA journal_mode=WAL")
    one.execute("UPDATE record SET body = '{' WHERE kind = 'supplier'")
    one.commit()
    kept = {p.name: p.read_bytes() for p in path.parent.iterdir()}
    one.close()
    for name, data in kept.items():
        (path.parent / name).write_bytes(data)


def _utf16(path: Path) -> None:
    """The tables of a book in a file whose text is UTF-16, with a damaged record."""
    source, target = sqlite3.connect(FIXTURE), sqlite3.connect(path)
    target.execute("PRAGMA encoding='UTF-16le'")
    for line in source.iterdump():
        target.execute(line)
    target.commit()
    for connection in (source, target):
        connection.close()


BODY = "UPDATE record SET body = {} WHERE kind = 'supplier'"
BAD: dict[str, tuple[Maker, str]] = {
    "noise after the first page": (content(_garbage), "the file is damaged"),
    "the header of another program": (content(lambda raw: b"Sqlite fromat 3\0" + raw[16:]), "this is not a book"),
    "a page size that is none": (patched(16, b"\x00\x03"), "the file is damaged"),
    "a schema far ahead": (patched(44, b"\x00\x00\x00\x09"), "the file is damaged"),
    "a write version far ahead": (patched(18, b"\x09\x09"), "the file is damaged"),
    "a workbook": (lambda path: path.write_bytes(b"PK\x03\x04" + bytes(600)), "this is not a book"),
    "a plain form": (lambda path: path.write_text('{"stillroom": {"form": "2.0"}}'), "this is not a book"),
    "one byte": (lambda path: path.write_bytes(b"S"), "this is not a book"),
    "zeros": (lambda path: path.write_bytes(bytes(20_480)), "this is not a book"),
    "another program's text": (_utf16, "this is another program's SQLite file"),
    "a table that is a view": (
        statement("ALTER TABLE record RENAME TO hidden", "CREATE VIEW record AS SELECT * FROM hidden"),
        "its tables are not those of a book"),
    "a record of a number": (statement(BODY.format("17")), "damaged"),
    "a record without end": (statement(BODY.format("'" + '{"id":' * 3000 + "'")), "too deep"),
    "a record with a name twice": (
        statement(BODY.format("""'{"id":"north","id":"north","name":"x"}'""")), "stands twice in one object"),
    "a record with a number beyond all": (
        statement(BODY.format("""'{"id":"north","name":1e999999999999999999999}'""")),
        "is not a number that a book can hold"),
    "a price as no number": (
        statement("UPDATE record SET body = replace(body, '\"price\":\"', '\"price\":\"x') WHERE kind = 'quote'"),
        "is not a number"),
}  # fmt: skip


@pytest.mark.parametrize("command", list(COMMANDS))
@pytest.mark.parametrize("name", list(BAD))
def test_a_bad_book(name: str, command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    make, part = BAD[name]
    path = tmp_path / "bar.stillroom"
    make(path)
    said = refused([word.format(path) for word in COMMANDS[command]], tmp_path, capsys)
    assert said.startswith(f"stillroom: {path}: ")
    assert part in said


IN_JOURNAL: dict[str, tuple[Maker, str]] = {
    "no list": (
        statement("INSERT INTO journal VALUES (8, 'do', NULL, '', '', '', '{\"a\":1}', 2000)"), "journal row 8"),
    "an act that is none": (
        statement("PRAGMA ignore_check_constraints=1",
                  "INSERT INTO journal VALUES (8, 'burn', NULL, '', '', '', '[]', 2000)"), "journal"),
    "an undo of what is not there": (
        statement("INSERT INTO journal VALUES (8, 'undo', 5000, '', '', '', '[]', 2000)"), "journal row 8"),
}  # fmt: skip


@pytest.mark.parametrize("command", ["check", "history"])
@pytest.mark.parametrize("name", list(IN_JOURNAL))
def test_a_bad_journal(name: str, command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The records are sound, so they can still be costed; what reads the journal says what is wrong with it."""
    make, part = IN_JOURNAL[name]
    path = tmp_path / "bar.stillroom"
    make(path)
    said = refused([word.format(path) for word in COMMANDS[command]], tmp_path, capsys)
    assert said.startswith(f"stillroom: {path}: ")
    assert part in said


@pytest.mark.parametrize("command", ["check", "cost", "report", "export"])
def test_a_log_left_by_another_program_is_not_touched_by_reading(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "bar.stillroom"
    _write_ahead(path)
    assert "-wal" in "".join(p.name for p in tmp_path.iterdir())
    said = refused([word.format(path) for word in COMMANDS[command]], tmp_path, capsys)
    assert str(path) in said


def test_a_book_is_never_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "bar.stillroom"
    for there in (FIXTURE.read_bytes(), b"", b"mine"):
        path.write_bytes(there)
        for call in (["new", str(path)], ["new", str(path), "--sample"]):
            assert "is not overwritten" in refused(call, tmp_path, capsys)


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="needs a user whose rights can be taken away")
def test_a_folder_that_cannot_be_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "locked"
    folder.mkdir()
    folder.chmod(0o500)
    try:
        said = refused(["new", str(folder / "bar.stillroom"), "--sample"], tmp_path, capsys)
        assert "cannot be written" in said
    finally:
        folder.chmod(0o700)


def test_a_path_through_a_file_and_one_with_no_end(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "f").write_text("x")
    for path in (tmp_path / "f" / "bar.stillroom", tmp_path / ("x" * 300), tmp_path / "none" / "bar.stillroom"):
        for call in (["check", str(path)], ["new", str(path), "--sample"], ["new", str(path), "--from", str(path)]):
            assert str(path)[:60] in refused(call, tmp_path, capsys)
