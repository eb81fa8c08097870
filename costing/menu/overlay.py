"""A scenario laid over the book: another Book in which what it supposes holds, and the book itself stays untouched.

Changes of one thing follow each other in the order in which they are written (a price set to 20 and then a tenth up is
22). What is supposed of how many are sold changes no record: it is kept beside, for the mix.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from costing.book.book import Book
from costing.book.change import Change, Key
from costing.book.selling import Scenario, Supposed
from costing.menu.mix import Item, Mix
from costing.menu.supposed_base import Laid
from costing.menu.supposing import lay
from costing.tongue import say


@dataclass(frozen=True, slots=True, kw_only=True)
class Overlay:
    """A scenario on a day: the ``book`` with it, the ``changes`` that lead there (one a record), what each supposed
    change came to, and what it supposes of how many are sold."""

    scenario: Scenario
    day: date
    book: Book
    changes: tuple[Change, ...]
    laid: tuple[Laid, ...]
    volumes: tuple[Supposed, ...]


def laid_over(book: Book, scenario: Scenario, day: date) -> Overlay:
    """The book under a scenario, as records hold on ``day``. Only figures of that day may be read from it: a version
    of a recipe is changed in its place, whenever it began. ValueError names the scenario and what of it cannot be."""
    now, laid = book, list[Laid]()
    for supposed in scenario.supposed:
        try:
            one = lay(now.on(day), supposed)
        except ValueError as error:
            raise ValueError(_named(scenario, str(error))) from None
        laid.append(one)
        now = now.with_changes(one.changes) if one.changes else now
    return Overlay(
        scenario=scenario, day=day, book=now, changes=merged(c for one in laid for c in one.changes), laid=tuple(laid),
        volumes=tuple(s for s in scenario.supposed if s.sort == "volume"),
    )  # fmt: skip


def merged(changes: Iterable[Change]) -> tuple[Change, ...]:
    """Changes that follow each other as one a record, without those that come back to where they began."""
    out: dict[Key, Change] = {}
    for change in changes:
        first = out.get(change.key)
        before = first.before if first is not None else change.before
        out[change.key] = Change(change.kind, change.id, before, change.after)
    return tuple(change for change in out.values() if change.before != change.after)


def with_volumes(mix: Mix, volumes: Iterable[Supposed]) -> Mix:
    """A mix with what is supposed of how many are sold, one change after the other. What is said of a drink is shared
    by its rows as they sold it; of one that nobody bought, its first row has it. ValueError where nothing was sold at
    all, so that a number for everything cannot be shared out."""
    items = list(mix.items)
    for supposed in volumes:
        rows = [n for n, item in enumerate(items) if supposed.target in ("", item.serve)]
        whole = sum(items[n].sold for n in rows)
        value = float(supposed.value)
        if supposed.how == "to" and not whole and value:
            if not supposed.target or not rows:
                raise ValueError(say("nothing was sold, so {n} cannot be shared out: say it drink by drink",
                                     n=f"{supposed.value:f}"))  # fmt: skip
            first = next((n for n in rows if items[n].listed is not None), rows[0])
            items[first] = _sold(items[first], value)
            continue
        times = 1.0 + value if supposed.how == "by" else value / whole if whole else 0.0
        for n in rows:
            items[n] = _sold(items[n], items[n].sold * times)
    return replace(mix, items=tuple(items)) if tuple(items) != mix.items else mix


def _sold(item: Item, count: float) -> Item:
    return replace(item, sold=count)


def _named(scenario: Scenario, why: str) -> str:
    return say("scenario “{name}”: {why}", name=scenario.name, why=why) if scenario.name else why
