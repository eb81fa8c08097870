"""What was paid at older prices and taxes, brought to those of today: what a decision of today stands on."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from costing.book import Book
from costing.book.change import put
from costing.book.levies import Levy
from costing.book.records import DatedPrice, House, Menu, Terms
from costing.book.selling import SalesPeriod, Sold
from costing.edits.scenarios import applied, scenario_of
from costing.ledger import reckon
from costing.menu.capacity_rows import capacity_of
from costing.menu.compare import as_it_stands, as_of_its_last_day, compare, under
from costing.menu.dropping import dropping
from costing.menu.mix import Mix, menu_mix
from costing.menu.newmenu import expected_rows, new_menu
from costing.menu.todays import todays
from tests.menu.decisions import DAY, FOUR_WEEKS, book, near

PAID = replace(FOUR_WEEKS, sold=tuple(
    Sold(serve=s, count=Decimal(n), menu="main", net=Decimal(net))
    for s, n, net in (("a", 400, "4560"), ("b", 200, "2200"), ("c", 100, "1000"))
))  # fmt: skip
"""Of A, 12.00 each, 5 % was given away in offers: 11.40 on average."""


def risen(kept: Book, serve: str, price: str, since: date) -> Book:
    """The book with another price of a drink from a day on."""
    menu = kept.all(Menu)["main"]
    (section,) = menu.sections
    lines = tuple(
        replace(line, prices=(*line.prices, DatedPrice(since=since, price=Decimal(price))))
        if line.serve == serve else line
        for line in section.lines
    )  # fmt: skip
    return kept.with_changes([put("menu", replace(menu, sections=(replace(section, lines=lines),)), menu)])


def mixed(kept: Book, *periods: SalesPeriod) -> Mix:
    reckoning = reckon(kept.on(DAY))
    return todays(reckoning, menu_mix(reckoning, periods or (PAID,)))


def net(mix: Mix, serve: str) -> float:
    return next(item.net for item in mix.items if item.serve == serve)


def test_a_price_that_rose_since_is_taken_as_it_is_today() -> None:
    """By hand: 11.40 of 12.00 is 95 %; of 14.00 today that is 13.30."""
    kept = risen(book(PAID), "a", "14", DAY)
    mix = mixed(kept)
    assert net(mix, "a") == near(13.30)
    assert net(mix, "b") == near(11.0)
    assert todays(reckon(kept.on(DAY)), mix) == mix
    assert net(as_it_stands(kept, DAY, (PAID,)).mix, "a") == near(13.30)
    assert net(as_of_its_last_day(kept, (PAID,)).mix, "a") == near(11.40)  # what moved the margin is what was paid


def test_nothing_moves_where_no_price_did() -> None:
    kept = book(PAID)
    reckoning = reckon(kept.on(DAY))
    mix = menu_mix(reckoning, (PAID,))
    assert todays(reckoning, mix) is mix
    assert todays(reckoning, menu_mix(reckoning, ())).items == menu_mix(reckoning, ()).items


def test_a_price_that_rose_within_a_period_counts_by_days() -> None:
    """By hand: of 28 days the last 7 at 16.00, else 12.00: 13.00 on average, of which 11.40 is 0.87692; of 16.00 today
    14.0308."""
    assert net(mixed(risen(book(PAID), "a", "16", date(2026, 2, 23))), "a") == near(16 * 11.4 / 13)


def test_each_period_has_its_own_price() -> None:
    """By hand: 100 at 12.00 as printed, then 300 at 13.50 where 15.00 was printed; 15.00 today: 100 x 15.00 and 300 x
    13.50 are 5,550."""
    first = SalesPeriod(id="one", since=date(2026, 2, 2), until=date(2026, 2, 8),
                        sold=(Sold(serve="a", count=Decimal(100), menu="main", net=Decimal(1200)),))  # fmt: skip
    second = SalesPeriod(id="two", since=date(2026, 2, 9), until=date(2026, 2, 15),
                         sold=(Sold(serve="a", count=Decimal(300), menu="main", net=Decimal(4050)),))  # fmt: skip
    assert net(mixed(risen(book(None), "a", "15", date(2026, 2, 9)), first, second), "a") == near(5550 / 400)


def test_counts_alone_stand_at_the_price_of_today() -> None:
    assert net(mixed(risen(book(), "a", "14", DAY), FOUR_WEEKS), "a") == near(14.0)


def test_a_tax_that_came_since_is_taken_off() -> None:
    kept = book(PAID)
    house = kept.all(House)["house"]
    later = Terms(since=DAY, levies=(Levy("VAT", Decimal("0.2")),))
    kept = kept.with_changes([put("house", replace(house, terms=(*house.terms, later)), house)])
    assert net(mixed(kept), "a") == near(11.40 / 1.2)
    assert net(mixed(kept), "c") == near(10 / 1.2)


@pytest.mark.parametrize("text", ["menu a = 14", "menu a +10 %"])
def test_after_a_scenario_is_applied_the_menu_earns_what_it_said(text: str) -> None:
    kept = book(PAID)
    base = as_it_stands(kept, DAY, (PAID,))
    scenario = scenario_of(kept, [text], DAY)
    said = compare(base, [under(base, scenario)]).after[0]
    step = applied(kept, scenario, DAY)
    assert step is not None
    again = as_it_stands(kept.with_changes(step.changes), DAY, (PAID,))
    assert compare(again, []).before.earned == near(said.earned)
    more = compare(again, [under(again, scenario_of(again.reckoning.view.book, ["sold -10 %"], DAY))])
    assert more.after[0].earned == near(0.9 * said.earned)
    cost = compare(again, [under(again, scenario_of(again.reckoning.view.book, ["gin x 1"], DAY))])
    assert cost.after[0].earned == near(said.earned)


def test_hours_and_dropping_stand_on_the_prices_of_today() -> None:
    """By hand: A costs 1.00 of gin (no energy); 13.30 - 1.00 = 12.30 each, 400 of them."""
    kept = risen(book(PAID), "a", "14", DAY)
    reckoning = reckon(kept.on(DAY))
    mix = menu_mix(reckoning, (PAID,))
    assert next(p.margin for p in capacity_of(mix, reckoning).products if p.name == "A") == near(12.30)
    assert dropping(reckoning, mix, "a").margin == near(400 * 12.30)


def test_a_drink_on_the_new_menu_too_is_paid_as_it_was() -> None:
    """A menu put against itself gains nothing: what guests pay below the printed price they will pay below it again."""
    reckoning = reckon(book(PAID).on(DAY))
    old = menu_mix(reckoning, (PAID,)).items
    fresh = tuple(replace(i, menu="new", sold=0.0, net=float(i.listed_net or 0)) for i in old)
    rows, _ = expected_rows(old, fresh)
    assert new_menu(reckoning, old, rows).gain == near(0.0)
    dearer = tuple(replace(i, listed_net=Decimal(24), net=24.0) if i.serve == "a" else i for i in fresh)
    assert expected_rows(old, dearer)[0][0].net == near(0.95 * 24)


def test_a_price_that_is_supposed_sells_nothing_more() -> None:
    """A is on the menu without a price, so that its 400 count nowhere; a price alone does not make 400 guests."""
    kept = book()
    menu = kept.all(Menu)["main"]
    (section,) = menu.sections
    lines = tuple(replace(x, prices=()) if x.serve == "a" else x for x in section.lines)
    kept = kept.with_changes([put("menu", replace(menu, sections=(replace(section, lines=lines),)), menu)])
    base = as_it_stands(kept, DAY, (FOUR_WEEKS,))
    assert base.mix.without == ("A",)
    found = compare(base, [under(base, scenario_of(kept, ["menu a = 15"], DAY))])
    assert (found.before.sold, found.after[0].sold) == (300, 300)
    assert found.after[0].earned == near(found.before.earned)
    assert found.rows[0].after[0].margin == near(14.0)
