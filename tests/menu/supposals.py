"""Random scenarios over the sample bar: every sort of supposed change that the day has a figure for."""

from datetime import date, timedelta
from decimal import Decimal
from functools import cache

from hypothesis import strategies as st

from costing.book import Book
from costing.book.book import View
from costing.book.history import check_record
from costing.book.records import Supplier
from costing.book.selling import ChangeSort, Scenario, Supposed
from costing.book.units import Dim, lookup
from costing.edits.scenarios import applied
from costing.ledger import Reckoning, reckon
from costing.menu.overlay import laid_over
from costing.menu.supposed_recipes import figures_of
from costing.paths import sample_book
from costing.pricing import priced_serves
from costing.store import read_json

DAY = date(2026, 12, 1)
DAYS = (DAY, date(2026, 9, 10), date(2026, 4, 13))
"""After everything; with two menus in force; on a day when a version begins."""


@cache
def sample() -> Book:
    return read_json(sample_book())


@cache
def figures(day: date = DAY) -> Reckoning:
    return reckon(sample().on(day))


@cache
def targets(day: date) -> tuple[tuple[ChangeSort, str, str], ...]:
    """(sort, target, part) of everything that can be supposed on a day."""
    view = figures(day).view
    out: list[tuple[ChangeSort, str, str]] = [("price", good, "") for good in figures(day).prices]
    seller = {p.quote.supplier for p in figures(day).prices.values()}
    out += [("supplier", s, "") for s in view.book.all(Supplier) if s in seller]
    out += [("levy", levy.name, "") for levy in (view.terms.levies if view.terms else ())]
    out += [("figure", ident, part) for ident in view.preparations for part in _parts(view, ident)]
    out += [("dose", i, item.source) for i, (_, v) in view.serves.items() for item in v.build.adds if item.amount]
    out += [("labour", "", ""), ("labour", "lead-hand", "")]
    out += [("rate", currency, "") for currency in view.rates]
    lines = [
        (menu.id, line.serve) for menu in view.menus.values() for s in menu.sections for line in s.lines
        if view.price_of(line) is not None
    ]  # fmt: skip
    out += [("menu price", menu, serve) for menu, serve in lines]
    out += [("volume", serve, "") for _, serve in lines] + [("volume", "", "")]
    return tuple(out)


def _parts(view: View, ident: str) -> list[str]:
    found = [(s.id, name, fact) for s in view.preparations[ident][1].stages for name, fact in figures_of(s).items()]
    return [f"{stage}/{name}" for stage, name, fact in found if not _cold(fact.unit)]


def _cold(unit: str) -> bool:
    known = lookup(unit)
    return known is not None and known.dim is Dim.TEMPERATURE


def some(day: date) -> st.SearchStrategy[Supposed]:
    """A supposed change by a share of -20 to +20 %."""

    def build(target: tuple[ChangeSort, str, str], by: int) -> Supposed:
        return Supposed(sort=target[0], target=target[1], part=target[2], value=Decimal(by) / 1000)

    by_sort: dict[str, list[tuple[ChangeSort, str, str]]] = {}
    for target in targets(day):
        by_sort.setdefault(target[0], []).append(target)
    any_of = st.sampled_from(sorted(by_sort)).flatmap(lambda sort: st.sampled_from(by_sort[sort]))
    return st.builds(build, any_of, st.integers(-200, 200))


@st.composite
def scenarios(draw: st.DrawFn, most: int = 5) -> tuple[date, Scenario]:
    """A day and a scenario of that day, of several changes that may speak of one thing twice."""
    day = draw(st.sampled_from(DAYS))
    supposed = draw(st.lists(some(day), min_size=1, max_size=most))
    return day, scenario(*supposed)


def scenario(*supposed: Supposed, name: str = "Dear autumn") -> Scenario:
    return Scenario(id="dear-autumn", name=name, supposed=tuple(supposed), since=DAY)


def all_figures(reckoning: Reckoning) -> object:
    """Costs of everything, and what every drink brings."""
    prices = [(p.serve.id, p.menu, p.price, p.suggestion) for p in priced_serves(reckoning)]
    drinks = {serve: reckoning.serve_cost(serve) for serve in reckoning.view.serves}
    return dict(reckoning.costs), drinks, prices, {c: r.worth for c, r in reckoning.view.rates.items()}


@cache
def _yesterday(day: date) -> object:
    return all_figures(figures(day - timedelta(days=1)))


def applied_as_shown(day: date, supposed: Scenario) -> None:
    """A scenario applied gives the figures of its overlay on the day and leaves those of the day before; every record
    can be stored, and the step can be taken back."""
    shown = all_figures(reckon(laid_over(sample(), supposed, day).book.on(day)))
    step = applied(sample(), supposed, day)
    after = sample().with_changes(step.changes) if step is not None else sample()
    assert all_figures(reckon(after.on(day))) == shown
    assert all_figures(reckon(after.on(day - timedelta(days=1)))) == _yesterday(day), "history stays"
    for change in step.changes if step is not None else ():
        if change.after is not None:
            check_record(change.kind, change.after)
    if step is not None:
        assert after.with_changes(step.inverse().changes) == sample()
