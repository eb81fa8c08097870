"""The file among other programs and on a troubled disk; its header; snapshots; older forms."""

import os
import sqlite3
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from costing.book import Book
from costing.book.history import History
from costing.book.records import Supplier
from costing.store import FileFault, FileTooNew, create, open_store, read_json, snapshot
from costing.store import files as disk
from costing.store.form import CURRENT, Form
from tests.fixtures.make_book_1_0 import first_book, steps
from tests.fixtures.make_book_2_0 import second_book
from tests.fixtures.make_book_3_0 import third_book
from tests.fixtures.make_book_4_0 import fourth_book
from tests.fixtures.make_book_5_0 import fifth_book
from tests.store.acts import records_in, start_book
from tests.store.test_store_badfiles import FIXTURE
from tests.store.test_store_history import named


@pytest.fixture
def path(tmp_path: Path) -> Path:
    target = tmp_path / "bar.stillroom"
    create(target, start_book()).close()
    return target


def as_nobody(act: Callable[[], object]) -> str:
    """Run in a process that may not do everything, and return the fault it met."""
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        text = "no fault"
        try:
            if os.geteuid() == 0:
                os.setuid(65534)
            act()
        except BaseException as error:  # noqa: BLE001 (whatever it is must reach the parent)
            text = f"{getattr(error, 'reason', type(error).__name__)}: {getattr(error, 'detail', error)}"
        os.write(write, text.encode())
        os._exit(0)
    os.close(write)
    os.waitpid(child, 0)
    with os.fdopen(read) as pipe:
        return pipe.read()


FIRST_BOOKS = {"1_0": first_book, "2_0": second_book, "3_0": third_book, "4_0": fourth_book, "5_0": fifth_book}


@pytest.mark.parametrize("form", list(FIRST_BOOKS))
def test_the_fixture_of_every_form_opens_for_ever(form: str) -> None:
    fixture = FIXTURE.with_name(f"book_{form}.stillroom")
    before = fixture.read_bytes()
    dearer, water, renamed = steps()
    with open_store(fixture, readonly=True) as store:
        store.verify()
        history = History(store)
        assert history.book == FIRST_BOOKS[form]().with_changes(dearer.changes + water.changes)
        assert history.book == read_json(fixture.with_suffix(".json"))
        assert (history.undo_text, history.redo_text) == (water.text, renamed.text)
        assert [(r.act, r.of, r.who, r.at[-3:]) for r in history.entries()] == [
            ("migrate", None, "fixture", "00Z"), ("do", None, "ada", "01Z"), ("undo", 2, "ada", "02Z"),
            ("redo", 2, "ada", "03Z"), ("do", None, "bo", "04Z"), ("do", None, "ada", "05Z"),
            ("undo", 6, "bo", "06Z"),
        ]  # fmt: skip
        assert history.book_at(6).get("supplier", "north") == Supplier(id="north", name="North Quay & Daughters")
        with pytest.raises(FileFault, match="cannot be written: it was opened for reading"):
            history.undo()
    assert fixture.read_bytes() == before


@pytest.mark.parametrize("form", ["1_0", "2_0", "3_0", "4_0"])
def test_a_file_of_a_form_before_is_kept_and_brought_up(form: str, tmp_path: Path) -> None:
    path = tmp_path / "bar.stillroom"
    path.write_bytes(FIXTURE.with_name(f"book_{form}.stillroom").read_bytes())
    dearer, water, _ = steps()
    with open_store(path) as store:
        store.verify()
        history = History(store)
        assert history.book == FIRST_BOOKS[form]().with_changes(dearer.changes + water.changes)
        assert [r.act for r in history.entries(7)] == ["migrate"]
        history.do(named("s9", "Hill"))
        store.verify()
    (kept,) = [p for p in tmp_path.iterdir() if p != path]
    assert kept.read_bytes()[60:64] == (1000 * int(form[0])).to_bytes(4, "big"), "the snapshot is of the form before"
    with open_store(kept, readonly=True) as store:
        assert len(History(store).entries()) == 7


def test_the_header_says_whose_file_it_is(path: Path) -> None:
    raw = path.read_bytes()
    assert raw[68:72] == b"StLg"
    assert int.from_bytes(raw[60:64], "big") == 5000
    assert int.from_bytes(raw[16:18], "big") == 4096
    assert raw[18:20] == b"\x01\x01", "a rollback journal"
    with open_store(path) as store:
        settings = {
            name: store._db.execute(f"PRAGMA {name}").fetchone()[0]
            for name in ("synchronous", "journal_mode", "trusted_schema", "cell_size_check", "busy_timeout")
        }
    assert settings == {
        "synchronous": 3, "journal_mode": "delete", "trusted_schema": 0, "cell_size_check": 1, "busy_timeout": 5000
    }  # fmt: skip


def test_locked(path: Path) -> None:
    other = sqlite3.connect(path, isolation_level=None)
    with open_store(path, wait=0.05) as store:
        history = History(store)
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(FileFault, match="another program is holding the file") as caught:
            history.do(named("new", "Hill"))
        assert caught.value.reason == "locked"
        assert History(store).book == start_book(), "reading goes on"
        other.execute("ROLLBACK")
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(FileFault, match="another program is holding the file"):
            open_store(path, wait=0.05)
        other.execute("ROLLBACK")
        history.do(named("new", "Hill"))
    other.close()


def test_disk_full(path: Path) -> None:
    with open_store(path) as store:
        history = History(store)
        pages = store._db.execute("PRAGMA page_count").fetchone()[0]
        store._db.execute(f"PRAGMA max_page_count={pages}")
        before = path.read_bytes()
        with pytest.raises(FileFault) as caught:
            history.do(named("long", "x" * 19_000))
        assert caught.value.reason == "full"
        assert str(caught.value) == (
            f"{path}: the disk is full; nothing of the last edit was kept: database or disk is full"
        )
        assert path.read_bytes() == before
        assert history.book == start_book()
        history.do(named("s", "Hill"))
        assert records_in(path) == history.book


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a process of another user")
def test_read_only(tmp_path: Path, path: Path) -> None:
    # pytest keeps its folders to the owner; the other user must come through to this one.
    opened = [p for p in path.parents if p.owner() == path.owner() and p.stat().st_mode & 0o077 == 0]
    for folder in opened:
        folder.chmod(0o711)
    path.chmod(0o644)
    tmp_path.chmod(0o755)
    try:
        if os.geteuid() != 0:
            path.chmod(0o444)
            tmp_path.chmod(0o555)
        assert as_nobody(lambda: open_store(path)) == "read_only: "
        assert as_nobody(lambda: History(open_store(path, readonly=True)).book_at(1)) == "no fault"
        assert as_nobody(lambda: create(tmp_path / "new.stillroom", Book())).startswith("read_only: ")
        path.chmod(0)
        assert as_nobody(lambda: open_store(path, readonly=True)) == "unreadable: "
    finally:
        path.chmod(0o644)
        for folder in opened:
            folder.chmod(0o700)


def test_moved_replaced_closed(path: Path) -> None:
    with open_store(path) as store:
        history = History(store)
        aside = path.rename(path.with_name("aside"))
        with pytest.raises(FileFault, match="the file was moved, deleted or replaced while it was open"):
            history.do(named("s", "Hill"))
        snapshot(aside, path)
        with pytest.raises(FileFault, match="moved, deleted or replaced"):
            history.refresh()
    with pytest.raises(FileFault, match="the book is closed"):
        history.undo_text, history.entries()
    store.close()


def test_an_edit_cut_short_needs_a_writer_to_tidy_it(path: Path) -> None:
    hot = path.with_name("hot.stillroom")
    with open_store(path) as store:
        db = store._db
        db.execute("PRAGMA cache_size=1")
        db.execute("BEGIN IMMEDIATE")
        db.execute("UPDATE record SET body = body || hex(zeroblob(9000))")
        # As after a crash: the journal and half of the pages are on the disk.
        hot.write_bytes(path.read_bytes())
        Path(f"{hot}-journal").write_bytes(Path(f"{path}-journal").read_bytes())
        db.execute("ROLLBACK")
    with pytest.raises(FileFault) as caught:
        open_store(hot, readonly=True)
    assert caught.value.reason == "unfinished"
    with open_store(hot) as store:
        store.verify()
        assert store.load().book == start_book()


def test_one_transaction_at_a_time(path: Path) -> None:
    with open_store(path) as store, store.writing(), pytest.raises(RuntimeError, match="already open"):
        store.rows()


def test_opening_does_not_break_the_lock_of_a_transaction(path: Path) -> None:
    began, seen = threading.Event(), []

    def look() -> None:
        began.wait(5)
        with open_store(path) as other:
            seen.append(len(other.load().book))

    thread = threading.Thread(target=look)
    thread.start()
    with open_store(path) as store, store.writing() as writer:
        writer.append("do", None, "", "s", named("new", "Hill").changes)
        began.set()
        thread.join(0.2)
        assert seen == [], "the other waits its turn"
        outside = sqlite3.connect(path, timeout=0)
        with pytest.raises(sqlite3.OperationalError, match="locked"):
            outside.execute("BEGIN IMMEDIATE")
        outside.close()
    thread.join(5)
    assert seen == [4]


def test_a_disk_without_hard_links(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(self: Path, target: Path) -> None:
        raise PermissionError(1, "no links here")

    monkeypatch.setattr(Path, "hardlink_to", refuse)
    target = tmp_path / "bar.stillroom"
    create(target, start_book()).close()
    assert records_in(target) == start_book()
    with pytest.raises(FileFault, match="already there"):
        snapshot(target, target)
    (tmp_path / "taken").touch()
    with pytest.raises(FileFault, match="already there"):
        disk.place_new(target, tmp_path / "taken")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["bar.stillroom", "taken"]


def test_names_with_every_sign(tmp_path: Path) -> None:
    for name in ("a b?mode=memory#x%20.stillroom", "ünï 塩.stillroom", "x" * 200):
        with create(tmp_path / name, start_book()) as store:
            History(store).do(named("s", "Hill"))
        assert len(records_in(tmp_path / name)) == 4
    with pytest.raises(FileFault, match="there is no such file"):
        open_store("a\0b")


def shout(data: dict[str, object]) -> dict[str, object]:
    return {**data, "name": str(data["name"]).upper()}


NEWER = Form(number=6000, upgrades={5000: {"supplier": shout}})


def test_an_older_form_is_snapshot_and_migrated(path: Path) -> None:
    with open_store(path) as store:
        History(store).do(named("s0", "Lane", Supplier(id="s0", name="North Quay")), "ada")
    old = path.read_bytes()
    with open_store(path, readonly=True, form=NEWER) as store:
        assert store.load().book.get("supplier", "s0") == Supplier(id="s0", name="LANE")
    assert path.read_bytes() == old
    with open_store(path) as before:
        with open_store(path, form=NEWER) as store:
            store.verify()
            history = History(store)
            assert history.book.get("supplier", "s0") == Supplier(id="s0", name="LANE")
            assert history.book_at(1).get("supplier", "s0") == Supplier(id="s0", name="NORTH QUAY")
            assert history.undo_text is None, "undo stops at a migration"
            assert [(r.act, r.code) for r in history.entries(2)] == [("migrate", "form 5.0 to 6.0")]
            history.do(named("s9", "Hill"))
            assert history.undo().text == "s9 is Hill"
        with pytest.raises(FileTooNew):
            before.load()
    with pytest.raises(FileTooNew):
        open_store(path)
    with open_store(path, form=NEWER) as store:
        store.verify()
    kept = path.with_name("bar before 6.0.stillroom")
    assert sorted(p.name for p in path.parent.iterdir()) == ["bar before 6.0.stillroom", "bar.stillroom"]
    with open_store(kept) as store:
        assert History(store).undo_text == "s0 is Lane"


def test_a_migration_that_fails_leaves_the_old_form(path: Path) -> None:
    old = path.read_bytes()
    broken = Form(number=6000, upgrades={CURRENT.number: {"good": lambda data: {"id": data["id"]}}})
    with pytest.raises(FileFault, match="good 'g0': the field 'name' is missing"):
        open_store(path, form=broken)
    assert path.read_bytes() == old
    assert records_in(path) == start_book()
    with pytest.raises(FileFault, match="good 'g0'"):
        open_store(path, form=broken)
    assert path.with_name("bar before 6.0 (2).stillroom").exists()
