"""Random acts on one book file through two Histories, and a naive account of what must come of them.

The account is a list of books, one for each journal row, and two lists of row numbers for undo and redo, kept
by the plainest means and never read from the program.
"""

import random
from collections import Counter
from pathlib import Path

from costing.book import Book, Change, StaleChange, Step, parse_fact
from costing.book.history import Conflict, History, NothingToUndo
from costing.book.plain import BadForm
from costing.book.records import Good, Record, Supplier
from costing.store import SqliteStore, create, open_store

ACTS = {"do": 50, "undo": 24, "redo": 16, "restart": 5, "refresh": 4, "wrong": 4, "past": 6}
POOL = 6


def start_book() -> Book:
    """Two suppliers and a good."""
    return Book.of([Supplier(id="s0", name="North Quay"), Supplier(id="s1", name="Mill Lane"), good("g0", "a")])


def good(ident: str, name: str) -> Good:
    """A good whose one figure changes with its name."""
    return Good(id=ident, name=name, kind="fruit", base="kg", piece=parse_fact(f"{len(name) + 1} g"))


def random_step(rng: random.Random, book: Book) -> Step:
    """One to three new, changed or removed records; the same record may change twice in a step."""
    now = dict(book.records)
    changes: list[Change] = []
    while not changes or rng.random() < 0.4:
        kind, ident = rng.choice((("supplier", "s"), ("good", "g")))
        key = kind, f"{ident}{rng.randrange(POOL)}"
        before, name = now.get(key), "x" * rng.randrange(1, 30) + str(rng.random())
        after: Record | None = Supplier(id=key[1], name=name) if kind == "supplier" else good(key[1], name)
        if before is not None and rng.random() < 0.25:
            after = None
        changes.append(Change(*key, before, after))
        if after is None:
            now.pop(key)
        else:
            now[key] = after
    if all(change.before == change.after for change in changes):
        return random_step(rng, book)
    return Step(f"step {rng.randrange(10**6)}", tuple(changes))


def records_in(path: Path) -> Book:
    """The record table as another program reads it."""
    with open_store(path, readonly=True) as store:
        return store.load().book


class Bench:
    """A book file under test. ``act`` does one random thing and checks all that must hold after it."""

    def __init__(self, path: Path, rng: random.Random) -> None:
        self.path, self.rng = path, rng
        create(path, start_book()).close()
        self.past = [Book(), start_book()]
        self.done: list[int] = []
        self.undone: list[int] = []
        self.counts: Counter[str] = Counter()
        self.stores: list[SqliteStore] = []
        self.sides: list[History] = []
        self._open()

    def _open(self) -> None:
        self.stores = [open_store(self.path), open_store(self.path)]
        self.sides = [History(store) for store in self.stores]

    def close(self) -> None:
        """Let go of the file."""
        for store in self.stores:
            store.close()

    def act(self) -> None:
        """One random act by one of the two sides, which may not have seen the other's latest rows."""
        name = self.rng.choices(list(ACTS), list(ACTS.values()))[0]
        side = self.rng.choice(self.sides)
        behind = len(self.past) - 1 - side.head
        result = getattr(self, f"_{name}")(side)
        self.counts[f"{name} {result}{' behind' if behind else ''}"] += 1
        self.check()

    def check(self) -> None:
        """Memory is the file, and each side is the past it has seen."""
        assert records_in(self.path) == self.past[-1]
        for side in self.sides:
            assert side.book == self.past[side.head]

    def check_all(self) -> None:
        """Every past book, from both ends of the journal, and the full check of the file."""
        for side in self.sides:
            side.refresh()
            for seq, book in enumerate(self.past):
                assert side.book_at(seq) == book
        self.stores[0].verify()

    def _wrote(self, side: History, act: str, of: int | None, text: str, changes: tuple[Change, ...]) -> str:
        records = dict(self.past[-1].records)
        for change in changes:
            assert records.get(change.key) == change.before
            records.pop(change.key, None)
            if change.after is not None:
                records[change.key] = change.after
        self.past.append(Book(records))
        seq = len(self.past) - 1
        assert side.head == seq
        (row,) = side.entries(seq - 1)
        assert (row.act, row.of, row.code, row.changes) == (act, of, text, changes)
        if act == "do":
            self.done.append(seq)
            self.undone.clear()
        elif act == "undo":
            self.done.remove(of or 0)
            self.undone.append(of or 0)
        else:
            self.undone.remove(of or 0)
            self.done.append(of or 0)
        assert (side.undo_text is None, side.redo_text is None) == (not self.done, not self.undone)
        return "done"

    def _refused(self, side: History, conflict: Conflict, seen: int) -> str:
        assert side.head == len(self.past) - 1, "memory has taken the foreign rows in"
        assert [row.seq for row in conflict.entries] == list(range(seen + 1, side.head + 1))
        assert conflict.entries
        assert conflict.keys
        return "conflict"

    def _do(self, side: History) -> str:
        step, seen = random_step(self.rng, side.book), side.head
        fits = all(self.past[-1].get(*key) == side.book.get(*key) for key in {change.key for change in step.changes})
        try:
            side.do(step, "bar")
        except Conflict as conflict:
            assert not fits
            return self._refused(side, conflict, seen)
        assert fits
        return self._wrote(side, "do", None, step.text, step.changes)

    def _undo(self, side: History) -> str:
        return self._move(side, "undo")

    def _redo(self, side: History) -> str:
        return self._move(side, "redo")

    def _move(self, side: History, act: str) -> str:
        seen, text = side.head, side.undo_text if act == "undo" else side.redo_text
        known = self.done if act == "undo" else self.undone
        expected = known[-1:] if seen == len(self.past) - 1 else []
        try:
            step = side.undo() if act == "undo" else side.redo()
        except NothingToUndo:
            assert text is None
            assert not expected
            return "nothing"
        except Conflict as conflict:
            assert seen < len(self.past) - 1
            return self._refused(side, conflict, seen)
        assert step.text == text
        (row,) = side.entries(len(self.past) - 1)
        assert not expected or row.of == expected[0]
        return self._wrote(side, act, row.of, step.text, step.changes)

    def _restart(self, side: History) -> str:
        side.refresh()
        names = side.undo_text, side.redo_text
        self.close()
        self._open()
        assert all((again.undo_text, again.redo_text) == names for again in self.sides)
        return "done"

    def _refresh(self, side: History) -> str:
        rows = side.refresh()
        assert side.head == len(self.past) - 1
        return "rows" if rows else "none"

    def _past(self, side: History) -> str:
        seq = self.rng.randint(0, side.head)
        assert side.book_at(seq) == self.past[seq]
        return "done"

    def _wrong(self, side: History) -> str:
        """A step that must be refused: stale, without change, or with a record that cannot be kept."""
        here = side.book.get("supplier", "s0")
        other = Supplier(id="s0", name="somebody else's")
        wrong = Supplier(id="", name="nobody")
        bad: tuple[Step, type[Exception]] = self.rng.choice(
            [
                (Step("stale", (Change("supplier", "s0", other, Supplier(id="s0", name="new")),)), StaleChange),
                (Step("same", (Change("supplier", "s0", here, here),)), ValueError),
                (Step("no id", (Change("supplier", "", None, wrong),)), BadForm),
            ]
        )
        seen = side.head
        try:
            side.do(bad[0])
        except bad[1]:
            assert side.head == seen
            return "refused"
        raise AssertionError(f"{bad[0].text} was taken")
