"""Snapshots by hand: beside the book, checked, and put back without losing the present one."""

from datetime import datetime
from pathlib import Path

import pytest

from costing.book import Book, Step, put
from costing.book.history import History
from costing.book.records import Supplier
from costing.store import FileFault, create, open_store, snapshots

NOON = datetime(2026, 11, 28, 12, 0)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A book of one supplier."""
    path = tmp_path / "bar.stillroom"
    create(path, Book.of([Supplier(id="a", name="First")])).close()
    return path


def names(path: Path) -> list[str]:
    with open_store(path, readonly=True) as store:
        store.verify()
        return [s.name for s in store.load().book.all(Supplier).values()]


def add(path: Path, ident: str) -> None:
    with open_store(path) as store:
        History(store).do(Step("more", (put("supplier", Supplier(id=ident, name=ident)),)))


def test_a_snapshot_stands_beside_and_a_second_of_the_minute_has_its_own_name(path: Path) -> None:
    one, two = snapshots.take(path, NOON), snapshots.take(path, NOON)
    assert one.name == "bar kept 2026-11-28 1200.stillroom"
    assert two.name == "bar kept 2026-11-28 1200 (2).stillroom"
    assert set(snapshots.snapshots_of(path)) == {one, two}
    assert names(one) == ["First"]


def test_what_is_no_snapshot_of_this_book_is_not_listed(path: Path) -> None:
    for other in ("barrel kept 2026-11-28 1200.stillroom", "bar kept.stillroom", "bar kept 2026 copy.txt"):
        (path.parent / other).write_bytes(b"x")
    migrated = path.parent / "bar before 3.0.stillroom"
    migrated.write_bytes(path.read_bytes())
    assert snapshots.snapshots_of(path) == (migrated,)


def test_put_back_it_keeps_the_present_one_and_undo_goes_on(path: Path) -> None:
    kept = snapshots.take(path, NOON)
    add(path, "b")
    before = snapshots.restore(path, kept, NOON)
    assert names(path) == ["First"]
    assert sorted(names(before)) == ["First", "b"]
    add(path, "c")
    assert sorted(names(path)) == ["First", "c"]
    with open_store(path) as store:
        History(store).undo()
    assert names(path) == ["First"]
    assert not [p for p in path.parent.iterdir() if p.name.endswith(".part")]


def test_a_damaged_snapshot_moves_nothing(path: Path) -> None:
    bad = path.parent / "bar kept 2026-11-27 0900.stillroom"
    raw = bytearray(path.read_bytes())
    raw[4096:6000] = b"\x00" * (6000 - 4096)
    bad.write_bytes(bytes(raw))
    before = path.read_bytes()
    with pytest.raises(FileFault):
        snapshots.restore(path, bad, NOON)
    assert path.read_bytes() == before
    with pytest.raises(FileFault, match="no such file"):
        snapshots.restore(path, path.parent / "gone.stillroom", NOON)
    assert path.read_bytes() == before
