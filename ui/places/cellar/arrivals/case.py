"""One file on the desk: its bytes, what somebody said about it, and what comes of it. Nothing here is a widget."""

import gc
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from hashlib import sha256

from costing.book.book import Book
from costing.book.records import Quote
from costing.edits.arrivals import deliver, leave, take
from costing.supply.plan.arrive import Said, arrive, plan_table
from costing.supply.plan.effect import Effect, effect_of
from costing.supply.plan.record import Plan
from costing.supply.readers.clip import read_clip
from costing.tongue import say
from ui.jobs import Progress

HAND = Mapping[int, bool]
LONG = 1_000_000
"""Bytes of a file from which the collector waits until it is judged."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """``data`` is a file's bytes, or ``pasted`` a text from the clipboard. ``hand`` says of lines by number whether
    somebody took (True) or left them, ``came`` how many packs of an invoice's line came, and ``ended`` the goods that
    the list names no more and whose price is to end."""

    name: str
    data: bytes = b""
    pasted: str = ""
    said: Said = field(default_factory=Said)
    hand: HAND = field(default_factory=dict)
    came: Mapping[int, Decimal] = field(default_factory=dict)
    ended: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Judged:
    """The plan of a case and what its sound lines do."""

    case: Case
    plan: Plan
    effect: Effect


def judge(case: Case, book: Book, day: date, past: frozenset[str], progress: Progress) -> Judged:
    """Read a file and judge it; ``Unreadable`` or ValueError for what cannot be. Stopped by ``progress``."""

    def tell(done: int, total: int) -> None:
        progress(done, total, case.name)

    progress(0, 0, case.name)
    with _undisturbed(len(case.data)):
        return _judged(case, book, day, past, progress, tell)


@contextmanager
def _undisturbed(size: int) -> Iterator[None]:
    """No round of the collector in the middle of a long list: it would look through a million small things again and
    again, and stop the window each time. Nothing of a plan is a ring, so nothing is lost by it; what there is then
    stays out of later rounds."""
    if size < LONG or not gc.isenabled():
        yield
        return
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        gc.enable()


def _judged(
    case: Case, book: Book, day: date, past: frozenset[str], progress: Progress, tell: Callable[[int, int], None]
) -> Judged:  # fmt: skip
    if case.pasted:
        digest = sha256(case.pasted.encode()).hexdigest()
        plan = plan_table(read_clip(case.pasted), case.name, digest, book, day, case.said, past=past, tell=tell)
    else:
        plan = arrive(case.data, case.name, book, day, case.said, past=past, tell=tell)
    plan = by_hand(plan, case)
    progress(0, 0, say("what it does to the drinks"))
    return Judged(case, plan, _effect(plan, case, book, day))


def effects(judged: Judged, book: Book, day: date, progress: Progress) -> Judged:
    """The effect alone, after a line was taken or left."""
    progress(0, 0, say("what it does to the drinks"))
    return replace(judged, effect=_effect(judged.plan, judged.case, book, day))


def _effect(plan: Plan, case: Case, book: Book, day: date) -> Effect:
    return effect_of(book, quotes_of(plan), day, [g.quote for g in plan.gone if g.good in case.ended])


def quotes_of(plan: Plan) -> list[Quote]:
    """What the sound lines would write."""
    return [line.quote for line in plan.of("sound") if line.quote is not None]


def by_hand(plan: Plan, case: Case) -> Plan:
    """A plan with what was taken, left and delivered by hand; what does not fit any more is passed over."""
    changes: list[Callable[[Plan], Plan]] = []
    for n, taken in case.hand.items():
        changes.append(lambda p, n=n, taken=taken: take(p, n) if taken else leave(p, n))  # type: ignore[misc]
    for n, packs in case.came.items():
        changes.append(lambda p, n=n, packs=packs: deliver(p, n, packs))  # type: ignore[misc]
    for change in changes:
        try:
            plan = change(plan)
        except ValueError:
            continue  # the line says something else since the file is read another way
    return plan
