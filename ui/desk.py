"""The desk: what every place of the window is handed, and its only way to the rest of it."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Protocol

from PySide6.QtCore import QObject, Signal

from costing.book.change import Step
from costing.book.money import rounded
from costing.pricing import PricedServe
from costing.tongue import say, say_many
from ui.document import Document, Figures, Moved
from ui.fault import KNOWN, Refusal, refusal_of
from ui.format import Format, own


@dataclass(frozen=True, slots=True)
class Where:
    """A thing of the book to go to; ``part`` narrows it, as the path of a Problem does after kind and id."""

    kind: str
    id: str = ""
    part: str = ""


class Memory(Protocol):
    """What outlives the window on this computer (``ui.settings.Settings``); never a figure of the house."""

    def get(self, key: str, default: object = None) -> object:
        """What was kept under ``key``."""

    def put(self, key: str, value: object) -> None:
        """Keep a plain value (text, number, list, dict)."""


class Desk(QObject):
    """One document, how its figures are written, and the ways from a place to the rest of the window."""

    went = Signal(object)
    """A Where that somebody wants to see."""
    explained = Signal(object)
    """A subject for the why pane (``ui.whys``)."""
    told = Signal(str)
    """Something said in passing."""
    refused = Signal(object)
    """A Refusal to be shown until it is answered."""
    settled = Signal()
    """The last refusal no longer holds: something went through."""

    def __init__(self, document: Document, form: Format, memory: Memory, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.document, self.format, self.memory = document, form, memory
        self.refusal: Refusal | None = None
        document.changed.connect(self._moved)  # before any place asks how money is written

    def _moved(self, moved: Moved) -> None:
        house = self.document.book.house
        if moved.touches("house") and house is not None and house.currency != self.format.currency:
            self.format.use(house.currency)

    def do(self, step: Step | None) -> bool:
        """Run a step. None is nothing to do. What cannot be is shown; the answer is then False."""
        return self.attempt(lambda: step)

    def attempt(self, work: Callable[[], Step | None]) -> bool:
        """Build a step and run it; a ValueError on the way, or a file that refuses, is shown and answered False."""
        try:
            step = work()
            if step is not None:
                if self.document.read_only:
                    raise Refusal(
                        say("Nothing was written."),
                        say("This book is open to look at only."),
                        say("Save a copy and work in that."),
                    )
                before = self.document.figures
                self.document.do(step)
                self.tell(self._done(step, before))
        except KNOWN as error:
            self.refuse(refusal_of(error))
            return False
        if step is not None:
            self.settled.emit()
        return True

    def _done(self, step: Step, before: Figures) -> str:
        """What was done, and which drink it moved most, where both are known already."""
        done, after = say("Done: {step}.", step=step.text), self.document.figures
        if not (before.is_reckoned and after.is_reckoned):
            return done
        moves = cost_moves(before.priced, after.priced, self.format.places)
        if not moves:
            return done
        if short := [now for was, now in moves if was.cost.complete and not now.cost.complete]:
            return say_many(
                "{done} It leaves {n} drink without its full cost: {name}.",
                "{done} It leaves {n} drinks without their full cost, {name} among them.",
                len(short), done=done, name=own(short[0].serve.name),
            )  # fmt: skip
        first, last = max(moves, key=lambda m: abs(m[1].base - m[0].base))
        name, was, now = last.serve.name, self._cost(first), self._cost(last)
        return say_many(
            "{done} It moves the cost of {n} drink: {name}, {was} to {now}.",
            "{done} It moves the cost of {n} drinks, most of all {name}: {was} to {now}.",
            len(moves), done=done, name=own(name), was=was, now=now,
        )  # fmt: skip

    def _cost(self, priced: PricedServe) -> str:
        return self.format.least(self.format.money(priced.base), priced.cost.complete)

    def undo(self) -> bool:
        """Take back the last step."""
        return self._move(lambda: say("Taken back: {step}.", step=self.document.undo()))

    def redo(self) -> bool:
        """Do the last taken-back step again."""
        return self._move(lambda: say("Done again: {step}.", step=self.document.redo()))

    def _move(self, act: Callable[[], str]) -> bool:
        try:
            self.tell(act())
        except KNOWN as error:
            self.refuse(refusal_of(error))
            return False
        self.settled.emit()
        return True

    def go(self, where: Where) -> None:
        """Show a thing in the place that keeps it."""
        self.went.emit(where)

    def explain(self, subject: object) -> None:
        """Show where a figure comes from."""
        self.explained.emit(subject)

    def tell(self, text: str) -> None:
        """Say something in passing."""
        self.told.emit(text)

    def refuse(self, refusal: Refusal) -> None:
        """Show what cannot be, why, and what to do; ``refusal`` is the last one."""
        self.refusal = refusal
        self.refused.emit(refusal)


def cost_moves(
    before: Iterable[PricedServe], after: Iterable[PricedServe], places: int
) -> list[tuple[PricedServe, PricedServe]]:
    """Drinks that cost something else than before, to so many decimals, or are fully costed no more or only now:
    each as it was and as it is."""
    was = {p.serve.id: p for p in before}
    now = {p.serve.id: p for p in after}
    both = ((was[ident], p) for ident, p in now.items() if ident in was)
    return [(a, b) for a, b in both if _shown(a, places) != _shown(b, places)]


def _shown(priced: PricedServe, places: int) -> tuple[object, bool]:
    return rounded(priced.base, places), priced.cost.complete
