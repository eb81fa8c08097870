"""A scenario made true from a day on: every supposed change as the dated edit it is, all of them as one step.

What was before the day keeps its own: a new quote begins, new terms, another version of a recipe, another price.
What is supposed of how many are sold is no record, and changes nothing.
"""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any, cast

from costing.book.book import Book
from costing.book.change import Change, Step
from costing.book.fact import Fact
from costing.book.records import House, Menu, Preparation, Quote, Serve
from costing.book.selling import Scenario
from costing.edits import house, menus, quotes, rates, serves, stages
from costing.edits.figures import with_figure
from costing.edits.lines import with_input
from costing.menu.overlay import laid_over, merged
from costing.menu.supposed_base import Laid
from costing.menu.supposed_prices import lines_of
from costing.menu.supposed_recipes import figures_of, places_of
from costing.menu.supposing import lay
from costing.tongue import say


def applied(book: Book, scenario: Scenario, day: date, past: Iterable[str] = (), *, drop: bool = False) -> Step | None:
    """The step that makes a scenario true from ``day`` on; with ``drop`` it leaves the book with that. The figures of
    the day are then those of the overlay. None where nothing changes, as when it supposes of sales alone. ValueError as
    for ``laid_over``. Where something else begins after the day (``Laid.until``) that stays as it is."""
    laid_over(book, scenario, day)  # says what cannot be, with the scenario's name
    taken, now, changes = set(past), book, list[Change]()
    for supposed in scenario.supposed:
        for step in _steps(now, lay(now.on(day), supposed), day, taken):
            changes += step.changes
            now = now.with_changes(step.changes)
    if drop and book.get("scenario", scenario.id) == scenario:
        changes.append(Change("scenario", scenario.id, scenario, None))
    made = merged(changes)
    if not made:
        return None
    said = say("scenario “{name}” from {day}", name=scenario.name, day=day.isoformat())
    if any(s.sort == "volume" for s in scenario.supposed):
        said = say("{what} (what is supposed of sales changes nothing)", what=said)
    return Step(said, made)


def _steps(book: Book, laid: Laid, day: date, past: set[str]) -> Iterable[Step]:
    """The dated edits of one supposed change."""
    supposed = laid.supposed
    found: list[Step | None] = []
    for change in laid.changes:
        after = change.after
        match supposed.sort:
            case "price" | "supplier" | "labour":
                quote = cast(Quote, after)
                step = quotes.set_price(book, quote.id, price_text(quote.price), day, past)
                found.append(step)
                book = book.with_changes(step.changes) if step is not None else book
            case "rate":
                found.append(rates.add_rate(book, supposed.target, f"{laid.after:f}", day, past=past))
            case "levy":
                found.append(_levies(book, cast(House, change.before), cast(House, after), day))
            case "figure":
                found.append(_figure(book, supposed.target, supposed.part, change, day))
            case "dose":
                found.append(_dose(book, supposed.part, change, day))
            case "menu price":
                for n, m in lines_of(book.all(Menu)[supposed.target], supposed.part):
                    step = menus.set_price(book, supposed.target, menus.Spot(n, m), price_text(laid.after), day)
                    found.append(step)
                    book = book.with_changes(step.changes)
    return [step for step in found if step is not None]


def price_text(price: Decimal | None) -> str:
    """A price as it is typed; three decimals are written as four, since "1.234" may be a thousand and more."""
    text = f"{price or Decimal(0):f}"
    return f"{text}0" if len(text.partition(".")[2]) == 3 else text


def _levies(book: Book, before: House, after: House, day: date) -> Step | None:
    (new,) = [t for t, old in zip(after.terms, before.terms, strict=True) if t != old]
    return house.set_levies(book, house.levies_text(new.levies), day)


def _figure(book: Book, made: str, part: str, change: Change, day: date) -> Step | None:
    stage, _, name = part.partition("/")
    (new,) = _changed(change)
    fact = next(figures_of(s)[name] for s in new.stages if s.id == stage)
    known = cast(Preparation, change.before)
    said = say("{figure} at stage {stage} of {preparation}", figure=name, stage=stage, preparation=known.name)
    return stages.change_stage(book, made, day, stage, said, lambda s: with_figure(s, name, fact), day)


def _dose(book: Book, source: str, change: Change, day: date) -> Step:
    (new,) = _changed(change)
    known = cast(Serve, change.before)
    said = say("amount of {source} in {serve}", source=source, serve=known.name)
    amounts: dict[int, Fact] = {n: new.build.adds[n].amount for n in places_of(new.build, source)}

    def poured(build: Any) -> Any:
        for n, amount in amounts.items():
            build = with_input(build, n, replace(build.adds[n], amount=amount))
        return build

    return serves.change_build(book, known.id, day, said, poured, day)


def _changed(change: Change) -> list[Any]:
    """The versions of a recipe that a change moved: one."""
    before, after = cast(Any, change.before), cast(Any, change.after)
    return [new for new, old in zip(after.versions, before.versions, strict=True) if new != old]
