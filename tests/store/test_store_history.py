"""What History promises: the file first, undo across restarts, and two sides that never overwrite each other."""

import random
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from costing.book import Book, Change, StaleChange, Step, put
from costing.book.history import (
    Act,
    BadJournal,
    Conflict,
    Fold,
    Heading,
    History,
    Loaded,
    NothingToUndo,
    Row,
    Writer,
    replay,
)
from costing.book.plain import BadForm
from costing.book.records import House, Supplier
from costing.store import FileFault, SqliteStore, create, open_store
from tests.store.acts import random_step, records_in, start_book


def named(ident: str, name: str, before: Supplier | None = None) -> Step:
    """A step that names a supplier."""
    return Step(f"{ident} is {name}", (put("supplier", Supplier(id=ident, name=name), before),))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    target = tmp_path / "bar.stillroom"
    create(target, Book(), who="ada").close()
    return target


def test_undo_survives_a_restart_and_stops_at_the_beginning(path: Path) -> None:
    with open_store(path) as store:
        history = History(store)
        assert (history.undo_text, history.redo_text, history.head) == (None, None, 1)
        assert history.do(named("a", "Quay"), "ada") == 2
        history.do(named("b", "Mill"))
        assert history.undo("bo").changes == (Change("supplier", "b", Supplier(id="b", name="Mill"), None),)
    with open_store(path) as store:
        history = History(store)
        assert (history.undo_text, history.redo_text) == ("a is Quay", "b is Mill")
        assert history.redo().text == "b is Mill"
        assert len(history.book) == 2
        history.undo()
        history.undo()
        with pytest.raises(NothingToUndo, match="there is nothing to undo"):
            history.undo()
        assert history.book == Book()
        history.do(named("c", "Hill"))
        with pytest.raises(NothingToUndo, match="there is nothing to redo"):
            history.redo()
        assert [(r.seq, r.act, r.of, r.who, r.code) for r in history.entries()] == [
            (1, "migrate", None, "ada", "new"),
            (2, "do", None, "ada", "a is Quay"),
            (3, "do", None, "", "b is Mill"),
            (4, "undo", 3, "bo", "b is Mill"),
            (5, "redo", 3, "", "b is Mill"),
            (6, "undo", 3, "", "b is Mill"),
            (7, "undo", 2, "", "a is Quay"),
            (8, "do", None, "", "c is Hill"),
        ]
        assert replay(history.entries()) == history.book
        assert [(r.seq, r.act, r.of, r.at, r.who, r.code) for r in history.headings(3)] == [
            (r.seq, r.act, r.of, r.at, r.who, r.code) for r in history.entries(3)
        ]
        assert [history.entry(n) for n in range(1, 9)] == list(history.entries())
        for outside in (0, 9):
            with pytest.raises(ValueError, match=f"row {outside} is not in the journal: 1 to 8"):
                history.entry(outside)
        assert history.past_ids() == {"a", "b", "c"}, "an id that was taken back is not free again"
        assert history.past_ids(7) == {"c"}
        assert [len(history.book_at(n)) for n in range(9)] == [0, 0, 1, 2, 1, 2, 1, 0, 1]
        for outside in (-1, 9):
            with pytest.raises(ValueError, match=f"row {outside} is not in the journal: 0 to 8"):
                history.book_at(outside)


def test_two_sides_of_one_file(path: Path) -> None:
    with open_store(path) as one, open_store(path) as two:
        window, terminal = History(one), History(two)
        window.do(named("a", "Quay"))
        terminal.do(named("b", "Mill"), "terminal")  # other records: goes on, and takes the row in
        assert terminal.book == records_in(path)
        assert (window.undo_text, terminal.undo_text) == ("a is Quay", "b is Mill")

        window.undo()  # what the window showed, although a later step lies on top
        assert window.book == records_in(path)
        assert (window.undo_text, window.redo_text) == ("b is Mill", "a is Quay")

        terminal.refresh()
        terminal.do(named("b", "Hill", Supplier(id="b", name="Mill")))
        before = path.read_bytes()
        with pytest.raises(Conflict) as caught:
            window.undo()
        assert str(caught.value) == "changed by somebody else in the meantime: supplier 'b'"
        assert caught.value.keys == (("supplier", "b"),)
        assert [row.code for row in caught.value.entries] == ["b is Hill"]
        assert path.read_bytes() == before
        assert window.undo_text == "b is Hill"
        assert window.book == terminal.book

        with pytest.raises(StaleChange):
            window.do(named("b", "Lane", Supplier(id="b", name="Mill")))
        terminal.undo()
        with pytest.raises(Conflict):
            window.do(named("b", "Lane", Supplier(id="b", name="Hill")))
        assert window.do(named("b", "Lane", Supplier(id="b", name="Mill"))) == window.head
        with pytest.raises(Conflict):  # the other side's new step has taken the redo away
            terminal.redo()
        assert terminal.redo_text is None
        assert [row.seq for row in terminal.refresh()] == []


def test_a_step_undone_by_the_other_side_is_not_undone_twice(path: Path) -> None:
    with open_store(path) as one, open_store(path) as two:
        window = History(one)
        window.do(named("a", "Quay"))
        window.do(named("b", "Mill"))
        terminal = History(two)
        terminal.undo()
        with pytest.raises(Conflict) as caught:
            window.undo()
        assert caught.value.keys == (("supplier", "b"),)
        assert window.undo().text == "a is Quay"


def test_what_is_refused_is_written_nowhere(path: Path) -> None:
    def no_hills(book: Book, step: Step) -> None:
        if any(getattr(record, "name", "") == "Hill" for record in book.records.values()):
            raise ValueError("no hills")

    with open_store(path) as store:
        history = History(store, no_hills)
        history.do(named("a", "Quay"))
        quay = Supplier(id="a", name="Quay")
        before, book = path.read_bytes(), history.book
        refused: list[tuple[Step, type[Exception], str]] = [
            (named("b", "Hill"), ValueError, "no hills"),
            (named("a", "Mill"), StaleChange, "supplier 'a' is not as this edit found it"),
            (Step("nothing", ()), ValueError, "the step 'nothing' changes nothing"),
            (named("a", "Quay", quay), ValueError, "the step 'a is Quay' changes nothing"),
            (named("", "Mill"), BadForm, "supplier '': the id must not be empty"),
            (named("b", "\ud800"), BadForm, "the name of the step: text of at most"),
            (Step("b", named("b", "\0").changes), BadForm, "supplier 'b'.name: text of at most"),
            (
                Step("pub", (put("house", House(id="pub", name="", currency="EUR", terms=())),)),
                BadForm,
                "house 'pub': the one house of a book has the id 'house'",
            ),
        ]
        for step, kind, words in refused:
            with pytest.raises(kind, match=words):
                history.do(step)
        assert path.read_bytes() == before
        assert history.book is book
        assert history.undo_text == "a is Quay"


class Broken(Exception):
    """A fault made for the test."""


class Shaky:
    """A store that fails on its n-th call."""

    def __init__(self, store: SqliteStore, fail_at: int) -> None:
        self.store, self.left = store, fail_at

    def step(self) -> None:
        self.left -= 1
        if self.left == 0:
            raise Broken

    def load(self) -> Loaded:
        return self.store.load()

    def rows(self, after: int = 0, upto: int | None = None) -> tuple[Row, ...]:
        self.step()
        return self.store.rows(after, upto)

    def headings(self, after: int = 0, upto: int | None = None) -> tuple[Heading, ...]:
        self.step()
        return self.store.headings(after, upto)

    def ids(self, after: int = 0, upto: int | None = None) -> frozenset[str]:
        self.step()
        return self.store.ids(after, upto)

    @contextmanager
    def writing(self) -> Iterator[Writer]:
        self.step()
        with self.store.writing() as writer:
            yield ShakyWriter(self, writer)
            self.step()


class ShakyWriter:
    """The transaction of a Shaky store."""

    def __init__(self, shaky: Shaky, writer: Writer) -> None:
        self.shaky, self.writer = shaky, writer

    def rows(self, after: int) -> tuple[Row, ...]:
        self.shaky.step()
        return self.writer.rows(after)

    def append(self, act: Act, of: int | None, who: str, code: str, changes: tuple[Change, ...]) -> Row:
        self.shaky.step()
        row = self.writer.append(act, of, who, code, changes)
        self.shaky.step()
        return row


@pytest.mark.parametrize("seed", range(4))
def test_a_store_that_fails_leaves_memory_and_file(seed: int, tmp_path: Path) -> None:
    rng = random.Random(seed)
    path = tmp_path / "bar.stillroom"
    failed = worked = 0
    with create(path, start_book()) as store, open_store(path) as other:
        shaky = Shaky(store, 0)
        history, foreign = History(shaky), History(other)
        for _ in range(60):
            if rng.random() < 0.2:
                foreign.refresh()
                foreign.do(random_step(rng, foreign.book))
            shaky.left = rng.choice((0, 1, 2, 3, 4, 5, 6))
            was = history.book, history.head, history.undo_text, history.redo_text
            rows = len(other.rows())
            try:
                rng.choice((lambda: history.do(random_step(rng, history.book)), history.undo, history.redo))()
            except Broken:
                failed += 1
                assert (history.book, history.head, history.undo_text, history.redo_text) == was
                assert history.book is was[0]
                assert len(other.rows()) == rows
            except (Conflict, NothingToUndo):
                pass
            else:
                worked += 1
                assert len(other.rows()) == rows + 1
                assert records_in(path) == history.book
        store.verify()
    assert min(failed, worked) > 5


def test_a_statement_cut_short_leaves_memory_and_file(path: Path) -> None:
    rng, kept, cut = random.Random(3), 0, 0
    with open_store(path) as store:
        history = History(store)
        db: sqlite3.Connection = store._db
        for ticks in range(1, 120):
            was = history.book, history.head
            left = [ticks * 3]

            def stop(left: list[int] = left) -> int:
                left[0] -= 1
                return left[0] == 0

            db.set_progress_handler(stop, 1)
            try:
                history.do(random_step(rng, history.book))
                kept += 1
            except FileFault:
                assert (history.book, history.head) == was
                cut += 1
            finally:
                db.set_progress_handler(None, 0)
            assert records_in(path) == history.book
        store.verify()
    assert min(kept, cut) > 10


def test_rows_that_contradict_each_other() -> None:
    fold = Fold()
    fold.take(1, "do", None, "a")
    for row, words in (
        ((3, "do", None, ""), "journal row 3 follows row 1"),
        ((2, "undo", 7, ""), "journal row 2 would undo row 7, which is not there to undo"),
        ((2, "redo", 1, ""), "journal row 2 would redo row 1, which is not there to redo"),
        ((2, "dance", None, ""), "journal row 2 has the unknown act 'dance'"),
    ):
        with pytest.raises(BadJournal, match=words):
            fold.take(*row)
    assert (fold.head, fold.done) == (1, [(1, "a")])
    quay, mill = Supplier(id="a", name="Quay"), Supplier(id="a", name="Mill")
    wrong = Row(seq=1, act="do", of=None, at="", who="", code="", changes=(Change("supplier", "a", quay, mill),))
    with pytest.raises(BadJournal, match="journal row 1 does not start from the supplier 'a' before it"):
        replay([wrong])
