"""History: the one door for edits, and undo as a fold over the journal.

The journal is the only memory of what was done. A ``do`` row pushes its number and forgets what could be
redone; ``undo`` and ``redo`` rows move a number between the two lists; a ``migrate`` row (a new book, a new
form of the file) is a wall that undo does not pass. Every row holds the changes it really made, so rows taken
in order rebuild any past book, and undo is the same after a restart or in another process.
"""

from collections.abc import Callable, Iterable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from typing import Literal, Protocol

from costing.book.book import HOUSE, Book, StaleChange
from costing.book.change import Change, Key, Step
from costing.book.plain import BadForm, from_plain, record_from_plain, record_to_plain
from costing.book.records import Record

Act = Literal["do", "undo", "redo", "migrate"]
Check = Callable[[Book, Step], None]


def check_record(kind: str, record: Record) -> None:
    """Refuse a record that could be written and not be read back as it is. BadForm names the field."""
    where = f"{kind} {record.id!r}"
    if not record.id:
        raise BadForm(where, "the id must not be empty")
    if kind == HOUSE[0] and record.id != HOUSE[1]:
        raise BadForm(where, f"the one house of a book has the id {HOUSE[1]!r}")
    try:
        same = record_from_plain(kind, record_to_plain(record), where) == record
    except TypeError as error:
        raise BadForm(where, str(error)) from None
    if not same:
        raise BadForm(where, "its plain form is read back as something else")


class BadJournal(ValueError):
    """The rows of a journal contradict each other."""


class NothingToUndo(ValueError):
    """There is no step that could be undone, or redone."""


class Conflict(Exception):
    """Somebody else changed the same records first. Nothing was written and memory now shows their work.

    ``entries`` are the journal rows that came in between, ``keys`` the records both sides touch.
    """

    def __init__(self, entries: tuple["Row", ...], keys: Iterable[Key]) -> None:
        self.entries, self.keys = entries, tuple(sorted(keys))
        what = ", ".join(f"{kind} {ident!r}" for kind, ident in self.keys)
        super().__init__(f"changed by somebody else in the meantime: {what}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """What a row of the journal says of itself. ``of`` is the row that an undo or redo speaks of, ``at`` the UTC time
    of writing."""

    seq: int
    act: Act
    of: int | None
    at: str
    who: str
    code: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Row(Heading):
    """One row of the journal, with what it changed."""

    changes: tuple[Change, ...]

    @property
    def keys(self) -> frozenset[Key]:
        """The records this row touched."""
        return _keys(self.changes)


class Fold:
    """What can be undone and redone after some rows: (seq, code) of each step, the next one last."""

    __slots__ = ("done", "head", "undone")

    def __init__(self) -> None:
        self.head = 0
        self.done: list[tuple[int, str]] = []
        self.undone: list[tuple[int, str]] = []

    def copy(self) -> "Fold":
        """A Fold that can take rows without moving this one."""
        other = Fold()
        other.head, other.done, other.undone = self.head, self.done.copy(), self.undone.copy()
        return other

    def take(self, seq: int, act: str, of: int | None, code: str) -> None:
        """Move by one row. BadJournal when it does not follow from the rows before."""
        if seq != self.head + 1:
            raise BadJournal(f"journal row {seq} follows row {self.head}")
        if act == "do":
            self.done.append((seq, code))
            self.undone.clear()
        elif act == "migrate":
            self.done.clear()
            self.undone.clear()
        elif act == "undo":
            self.undone.append(_take_out(self.done, of, seq, act))
        elif act == "redo":
            self.done.append(_take_out(self.undone, of, seq, act))
        else:
            raise BadJournal(f"journal row {seq} has the unknown act {act!r}")
        self.head = seq

    def holds(self, act: str, of: int) -> bool:
        """True when row ``of`` can be undone (or redone) now."""
        return any(seq == of for seq, _ in (self.done if act == "undo" else self.undone))


def _take_out(items: list[tuple[int, str]], of: int | None, seq: int, act: str) -> tuple[int, str]:
    for n in range(len(items) - 1, -1, -1):
        if items[n][0] == of:
            return items.pop(n)
    raise BadJournal(f"journal row {seq} would {act} row {of}, which is not there to {act}")


def _keys(changes: Iterable[Change]) -> frozenset[Key]:
    return frozenset(change.key for change in changes)


def replay(rows: Iterable[Row]) -> Book:
    """The book that rows 1, 2, 3 ... make. BadJournal when a row does not start from what the rows before made."""
    return _after(Book(), tuple(rows))


def _after(book: Book, rows: tuple[Row, ...]) -> Book:
    records = dict(book.records)
    for row in rows:
        for change in row.changes:
            if records.get(change.key) != change.before:
                raise BadJournal(f"journal row {row.seq} does not start from the {change.kind} {change.id!r} before it")
            if change.after is None:
                records.pop(change.key, None)
            else:
                records[change.key] = change.after
    return Book(records)


@dataclass(frozen=True, slots=True)
class Loaded:
    """What a store holds at one moment: the present book, and the fold of its journal."""

    book: Book
    fold: Fold


class Writer(Protocol):
    """An open transaction."""

    def rows(self, after: int) -> tuple[Row, ...]:
        """Rows later than ``after``, as this transaction sees them."""

    def append(self, act: Act, of: int | None, who: str, code: str, changes: tuple[Change, ...]) -> Row:
        """Write the records and the next journal row."""


class Store(Protocol):
    """Where a book lives. ``costing.store`` has the one in a file."""

    def load(self) -> Loaded:
        """Book and fold of one moment."""

    def rows(self, after: int = 0, upto: int | None = None) -> tuple[Row, ...]:
        """Journal rows with after < seq <= upto, in order."""

    def headings(self, after: int = 0, upto: int | None = None) -> tuple[Heading, ...]:
        """The same rows without their changes, which take ten times as long to read."""

    def ids(self, after: int = 0, upto: int | None = None) -> frozenset[str]:
        """The ids of the records that the same rows touched, of whatever kind."""

    def writing(self) -> AbstractContextManager[Writer]:
        """A transaction that no other writer shares: kept whole when the block ends, gone when it raises."""


class History:
    """A book with its past. Every edit goes to the file first and to memory only when the file has it.

    ``check(book_after, step)`` may raise to refuse a step. Two Histories, in one process or in two, may share
    a file: rows written by the other are taken in before a write, and only steps that touch the same records
    meet a Conflict.
    """

    def __init__(self, store: Store, check: Check | None = None) -> None:
        """Load the present. Raises what the store raises."""
        self._store, self._check = store, check
        loaded = store.load()
        self._book, self._fold = loaded.book, loaded.fold

    @property
    def book(self) -> Book:
        """The present book, as of ``head``."""
        return self._book

    @property
    def head(self) -> int:
        """The last journal row that ``book`` includes."""
        return self._fold.head

    @property
    def undo_text(self) -> str | None:
        """The name of the step that ``undo`` takes back, or None."""
        return self._fold.done[-1][1] if self._fold.done else None

    @property
    def redo_text(self) -> str | None:
        """The name of the step that ``redo`` does again, or None."""
        return self._fold.undone[-1][1] if self._fold.undone else None

    def do(self, step: Step, who: str = "") -> int:
        """Write a step and return its journal number.

        BadForm for a record that cannot be kept, ValueError for a step that changes nothing, StaleChange when
        it does not start from ``book``, Conflict when somebody else was first, and whatever the check or the
        store raises. After any of these the file is as it was; so is memory, but for foreign rows a Conflict
        took in.
        """
        from_plain(str, step.text, "the name of the step")
        from_plain(str, who, "who")
        if all(change.before == change.after for change in step.changes):
            raise ValueError(f"the step {step.text!r} changes nothing")
        for change in step.changes:
            if change.after is not None:
                check_record(change.kind, change.after)
        self._book.with_changes(step.changes)
        return self._write("do", None, who, step)

    def undo(self, who: str = "") -> Step:
        """Take back the step named by ``undo_text``; return what was applied.

        NothingToUndo, or Conflict when somebody else has since touched its records or undone it already.
        """
        return self._move("undo", self._fold.done, who)

    def redo(self, who: str = "") -> Step:
        """Do again the step named by ``redo_text``; return what was applied. Errors as for ``undo``."""
        return self._move("redo", self._fold.undone, who)

    def refresh(self) -> tuple[Row, ...]:
        """Take in what others wrote since; return their rows."""
        rows = self._store.rows(self.head)
        self._book, self._fold = self._merged(rows)
        return rows

    def entries(self, after: int = 0) -> tuple[Row, ...]:
        """The rows of the journal behind ``book``, oldest first."""
        return self._store.rows(after, self.head)

    def headings(self, after: int = 0) -> tuple[Heading, ...]:
        """What the rows behind ``book`` say of themselves, oldest first."""
        return self._store.headings(after, self.head)

    def entry(self, seq: int) -> Row:
        """One row. ValueError outside 1 to ``head``."""
        if not 1 <= seq <= self.head:
            raise ValueError(f"row {seq} is not in the journal: 1 to {self.head}")
        (row,) = self._store.rows(seq - 1, seq)
        return row

    def past_ids(self, after: int = 0) -> frozenset[str]:
        """Every id that the rows behind ``book`` know; ids are never used again."""
        return self._store.ids(after, self.head)

    def book_at(self, seq: int) -> Book:
        """The book as it was after row ``seq``; 0 is before the first. ValueError outside 0 to ``head``."""
        if not 0 <= seq <= self.head:
            raise ValueError(f"row {seq} is not in the journal: 0 to {self.head}")
        if self.head - seq >= seq:
            return replay(self._store.rows(0, seq))
        # The nearer end is the present: walk back from it.
        later = self._store.rows(seq, self.head)
        back = [change for row in reversed(later) for change in Step("", row.changes).inverse().changes]
        try:
            return self._book.with_changes(back)
        except StaleChange as error:
            raise BadJournal(f"the journal does not lead to the present {error.key[0]} {error.key[1]!r}") from None

    def _move(self, act: Act, items: list[tuple[int, str]], who: str) -> Step:
        from_plain(str, who, "who")
        if not items:
            raise NothingToUndo(f"there is nothing to {act}")
        seq, code = items[-1]
        step = Step(code, self.entry(seq).changes)
        if act == "undo":
            step = step.inverse()
        self._write(act, seq, who, step)
        return step

    def _write(self, act: Act, of: int | None, who: str, step: Step) -> int:
        with self._store.writing() as writer:
            foreign = writer.rows(self.head)
            book, fold = self._merged(foreign)
            mine = _keys(step.changes)
            shared = mine & frozenset(key for row in foreign for key in row.keys)
            # The user meant the step shown to him, so undo never falls through to a foreign one. Out of turn
            # it is safe only if no later step touches the same records: then the two can change places.
            late = of is not None and (bool(shared) or not fold.holds(act, of))
            try:
                after = book if late else book.with_changes(step.changes)
            except StaleChange:
                if not foreign:
                    raise
                late = True
            if late:
                self._book, self._fold = book, fold
                raise Conflict(foreign, shared or mine)
            if self._check is not None:
                self._check(after, step)
            row = writer.append(act, of, who, step.text, step.changes)
            fold.take(row.seq, row.act, row.of, row.code)
        self._book, self._fold = after, fold
        return row.seq

    def _merged(self, rows: tuple[Row, ...]) -> tuple[Book, Fold]:
        fold = self._fold.copy()
        for row in rows:
            fold.take(row.seq, row.act, row.of, row.code)
        return (_after(self._book, rows) if rows else self._book), fold
