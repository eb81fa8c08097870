"""What was sold beside what it costs and brings, from the sample bar; every figure is worked out here by hand too."""

from datetime import date
from decimal import Decimal
from functools import cache

import pytest

from costing.book import Book
from costing.book.selling import SalesPeriod, Sold
from costing.ledger import Reckoning, reckon
from costing.menu.mix import ended_periods, menu_mix
from costing.paths import sample_book
from costing.store import read_json

DAY = date(2026, 11, 23)
D = Decimal


@cache
def sample() -> Book:
    return read_json(sample_book())


@cache
def figures() -> Reckoning:
    return reckon(sample().on(DAY))


def period(*sold: Sold, month: int = 11) -> SalesPeriod:
    return SalesPeriod(id=f"p{month}", since=date(2026, month, 1), until=date(2026, month, 14), sold=sold)


def test_counts_of_several_periods_add_up_and_price_is_what_was_paid() -> None:
    one = period(Sold(serve="harbour-light", count=D(40), net=D("528.40"), given=D(3), days=12))
    two = period(Sold(serve="harbour-light", count=D(10), net=D(100), days=5), month=10)
    mix = menu_mix(figures(), (one, two))
    item = next(i for i in mix.items if i.serve == "harbour-light")
    assert (item.sold, item.days) == (50.0, 17), "what was given is no sale"
    assert item.net == pytest.approx(628.40 / 50)
    assert item.cost == figures().serve_cost("harbour-light").materials
    assert item.margin == pytest.approx(628.40 / 50 - item.cost)
    assert mix.days == 28
    assert mix.weeks == 4


def test_counts_alone_are_priced_as_printed() -> None:
    mix = menu_mix(figures(), (period(Sold(serve="harbour-light", count=D(7))),))
    item = next(i for i in mix.items if i.serve == "harbour-light")
    assert item.listed_net is not None
    assert item.net == float(item.listed_net)


def test_a_drink_on_two_menus_counts_where_it_was_sold() -> None:
    summer = reckon(sample().on(date(2026, 9, 10)))
    main, terrace = summer.view.menus
    served = [{line.serve for s in summer.view.menus[m].sections for line in s.lines} for m in (main, terrace)]
    serve = min(served[0] & served[1])
    sold = Sold(serve=serve, count=D(5), menu=terrace), Sold(serve=serve, count=D(8))
    mix = menu_mix(summer, (period(*sold),))
    assert {i.menu: i.sold for i in mix.items if i.serve == serve} == {main: 8.0, terrace: 5.0}


def test_what_no_menu_prints_is_named() -> None:
    mix = menu_mix(figures(), (period(Sold(serve="gone", count=D(5)), Sold(serve="never", count=D(0))),))
    assert mix.without == ("gone",)


def test_hours_and_money_of_layers_are_those_of_the_ledger() -> None:
    mix = menu_mix(figures(), ())
    labour = {g.id for g in figures().view.goods.values() if g.kind == "labour"}
    for item in mix.items:
        cost = figures().serve_cost(item.serve)
        line = figures().serves[item.serve]
        inside = figures().contents(line.carried).row
        assert item.prep_hours + item.service_hours == pytest.approx(sum(inside.get(g, 0.0) for g in labour))
        assert sum(item.layers.values()) == pytest.approx(cost.making)
        assert item.sold == 0
    assert any(item.machine_hours for item in mix.items)


def test_periods_that_ended_within_a_span_of_days() -> None:
    found = {p.id: p for p in (period(), period(month=10), period(month=9))}
    book = Book({("sales", ident): p for ident, p in found.items()})
    assert [p.id for p in ended_periods(book, date(2026, 11, 14))] == ["p9", "p10", "p11"]
    assert [p.id for p in ended_periods(book, date(2026, 11, 13))] == ["p9", "p10"]
    assert [p.id for p in ended_periods(book, date(2026, 11, 20), 45)] == ["p10", "p11"]
