"""The document: one open book, the day it is looked at, and the figures of that day. The one door for edits."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from costing.book.book import Book, View
from costing.book.change import Key, Step
from costing.book.history import Conflict, Heading, History, Store
from costing.book.problem import Problem
from costing.ledger import Reckoning, reckon
from costing.pricing import PricedServe, priced_serves
from costing.pricing.ranges import Ranges
from costing.report import Contents, contents
from costing.report.gather import names_of


@dataclass(frozen=True, slots=True)
class Moved:
    """What a change touched: the keys of records, or ``everything`` (another day, another book)."""

    keys: frozenset[Key] = frozenset()
    everything: bool = False

    def touches(self, *kinds: str) -> bool:
        """Whether any record of these kinds moved."""
        return self.everything or any(kind in kinds for kind, _ in self.keys)


class Figures:
    """The figures of one book on one day, each worked out when it is first asked for, and never again."""

    def __init__(self, book: Book, day: date, revision: int) -> None:
        self.book, self.day, self.revision = book, day, revision
        self.ranges: Ranges | None = None
        """The ranges that costs lie in, once they are known: ``ui.ranges`` works them out off the main thread."""

    @cached_property
    def view(self) -> View:
        """What holds on the day."""
        return self.book.on(self.day)

    @cached_property
    def reckoning(self) -> Reckoning:
        """Ledgers, costs and problems of the day."""
        return reckon(self.view)

    @property
    def is_reckoned(self) -> bool:
        """Whether the ledgers have been worked out, so that asking for costs is cheap."""
        return "reckoning" in self.__dict__

    @cached_property
    def priced(self) -> tuple[PricedServe, ...]:
        """Every serve with its price, in menu order."""
        return priced_serves(self.reckoning)

    @cached_property
    def names(self) -> Mapping[str, str]:
        """What people call every good, preparation and by-product."""
        return names_of(self.view)

    @cached_property
    def contents(self) -> Contents:
        """All that the reports print. Slow (a tenth of a second for a bar): for reports, not for screens."""
        return contents(self.reckoning, self.revision)

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What is amiss on the day."""
        return self.reckoning.problems


class Document(QObject):
    """An open book. ``changed`` tells a Moved after every edit, undo, redo, foreign edit or other day; nothing else
    changes what is shown."""

    changed = Signal(object)
    day_changed = Signal(object)

    def __init__(
        self,
        store: Store,
        day: date,
        *,
        path: Path | None = None,
        read_only: bool = False,
        who: str = "",
        parent: QObject | None = None,
    ) -> None:
        """Load the book. Raises what the store raises."""
        super().__init__(parent)
        self._store, self._history, self._who = store, History(store), who
        self.path, self.read_only = path, read_only
        self._figures = Figures(self._history.book, day, self._history.head)
        self._past: set[str] = set()
        self._past_head = 0

    @property
    def figures(self) -> Figures:
        """The figures of the present book on the day shown."""
        return self._figures

    @property
    def book(self) -> Book:
        """The present book."""
        return self._figures.book

    @property
    def day(self) -> date:
        """The day that is looked at."""
        return self._figures.day

    @property
    def view(self) -> View:
        """The book on that day."""
        return self._figures.view

    @property
    def reckoning(self) -> Reckoning:
        """The figures of that day."""
        return self._figures.reckoning

    @property
    def priced(self) -> tuple[PricedServe, ...]:
        """Every serve with its price."""
        return self._figures.priced

    @property
    def names(self) -> Mapping[str, str]:
        """What people call every good, preparation and by-product of the day."""
        return self._figures.names

    @property
    def contents(self) -> Contents:
        """All that the reports print; slow, see ``Figures.contents``."""
        return self._figures.contents

    @property
    def head(self) -> int:
        """The number of the last journal row that is shown."""
        return self._history.head

    @property
    def history(self) -> History:
        """The past, to read: edits go through ``do``."""
        return self._history

    @property
    def undo_text(self) -> str | None:
        """The step that ``undo`` takes back."""
        return None if self.read_only else self._history.undo_text

    @property
    def redo_text(self) -> str | None:
        """The step that ``redo`` does again."""
        return None if self.read_only else self._history.redo_text

    def headings(self, after: int = 0) -> tuple[Heading, ...]:
        """What the rows of the journal say of themselves, oldest first."""
        return self._history.headings(after)

    def past_ids(self) -> set[str]:
        """Every id the journal knows: ids are never used again. Shared: do not change it."""
        if self._past_head != self.head:
            self._past |= self._history.past_ids(self._past_head)
            self._past_head = self.head
        return self._past

    def do(self, step: Step) -> int:
        """Write a step and show it; errors as for History.do. A Conflict shows the foreign work and is raised."""
        before = self.book
        try:
            seq = self._history.do(step, who=self._who)
        except Conflict:
            self._show(before)
            raise
        self._show(before)
        return seq

    def undo(self) -> str:
        """Take back the last step; the name of it. Errors as for History.undo."""
        return self._move(self._history.undo)

    def redo(self) -> str:
        """Do the last taken-back step again; the name of it. Errors as for History.redo."""
        return self._move(self._history.redo)

    def refresh(self) -> None:
        """Take in what other windows or the terminal wrote."""
        before = self.book
        self._history.refresh()
        self._show(before)

    def settle(self) -> None:
        """Show the book as the file has it, also where a fault left something half shown."""
        self._history.refresh()
        self._figures = Figures(self._history.book, self.day, self.head)
        self.changed.emit(Moved(everything=True))

    def set_day(self, day: date) -> None:
        """Look at another day."""
        if day == self.day:
            return
        self._figures = Figures(self.book, day, self.head)
        self.day_changed.emit(day)
        self.changed.emit(Moved(everything=True))

    def draft(self, step: Step) -> Figures:
        """The figures as they would be after a step; nothing is stored. StaleChange when it does not fit."""
        return Figures(self.book.with_changes(step.changes), self.day, self.head)

    def close(self) -> None:
        """Let go of the file."""
        close = getattr(self._store, "close", None)
        if close is not None:
            close()

    def _move(self, act: Callable[[str], Step]) -> str:
        before = self.book
        try:
            step = act(self._who)
        except Conflict:
            self._show(before)
            raise
        self._show(before)
        return step.text

    def _show(self, before: Book) -> None:
        after = self._history.book
        if after is before and self._figures.revision == self.head:
            return
        keys = before.records.keys() | after.records.keys()
        moved = frozenset(k for k in keys if before.records.get(k) is not after.records.get(k))
        self._figures = Figures(after, self.day, self.head)
        self.changed.emit(Moved(moved))
