"""New prices of a menu as one step; prices that are held, and their bounds."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from costing.book.book import Book
from costing.book.change import Step
from costing.book.records import Menu
from costing.edits import menus, reprice
from costing.edits.menus import Spot, line_at
from costing.ledger import reckon
from costing.menu.mix import ended_periods, menu_mix
from costing.menu.reprice import reprice as priced_anew
from costing.menu.reprice_record import Aim
from costing.menu.reprice_rows import line_key, menu_rows
from costing.paths import sample_book
from costing.store import read_json

D = Decimal
DAY, LATER = date(2026, 11, 30), date(2026, 12, 7)


@pytest.fixture(scope="module")
def book() -> Book:
    """The sample bar."""
    return read_json(sample_book())


@pytest.fixture(scope="module")
def menu(book: Book) -> Menu:
    """Its menu."""
    return next(iter(book.all(Menu).values()))


def after(book: Book, step: Step | None) -> Book:
    """The book after a step that can be taken back."""
    assert step is not None
    done = book.with_changes(step.changes)
    assert done.with_changes(step.inverse().changes) == book
    return done


def test_a_repricing_is_taken_as_one_step(book: Book, menu: Menu) -> None:
    """What was worked out is what the book then comes to."""
    reckoning = reckon(book.on(DAY))
    periods = [
        replace(p, sold=tuple(replace(line, net=None) for line in p.sold)) for p in ended_periods(book, DAY)
    ]  # as printed, so that what guests paid before is not in it
    rows = menu_rows(reckoning, menu_mix(reckoning, periods))
    found = priced_anew(rows.rows, Aim(kind="pour_cost", value=D("0.155")), points=rows.points, order=rows.order)
    assert found.met
    assert len(found.moved) > 3
    step = reprice.take(book, found.prices, LATER)
    assert step is not None
    assert step.text == f"new prices of {len(found.moved)} drinks from 2026-12-07, {len(found.moved)} up and 0 down"
    done = after(book, step)
    assert len(step.changes) == 1
    again = reckon(done.on(LATER))
    mix = menu_mix(again, periods)
    assert mix.pour_cost == pytest.approx(float(found.after.pour_cost or 0))
    assert found.after.pour_cost is not None
    assert found.after.pour_cost <= D("0.155")
    now = menu_mix(reckon(done.on(DAY)), periods)
    assert now.pour_cost == pytest.approx(float(found.before.pour_cost or 0)), "until then nothing is dearer"
    assert reprice.take(done, found.prices, LATER) is None


def test_what_stands_already_is_left_alone(book: Book, menu: Menu) -> None:
    section = menu.sections[0]
    line, other = section.lines[0], section.lines[1]
    price = book.on(DAY).price_of(line)
    assert price is not None
    prices = {
        line_key(menu.id, section.name, line): price.price,
        line_key(menu.id, section.name, other): D("9.00"),
    }
    step = reprice.take(book, prices, DAY)
    assert step is not None
    assert step.text == "new price of 1 drink from 2026-11-30, 0 up and 1 down"
    done = after(book, step).all(Menu)[menu.id]
    assert line_at(done, Spot(0, 0)) == line
    assert reprice.take(book, {}, DAY) is None
    with pytest.raises(ValueError, match="nowhere is on no menu any more"):
        reprice.take(book, {**prices, "nowhere": D(5)}, DAY)


def test_a_price_is_held_and_let_go(book: Book, menu: Menu) -> None:
    spot = Spot(1, 0)
    held = reprice.set_held(book, menu.id, spot, True)
    done = after(book, held)
    assert line_at(done.all(Menu)[menu.id], spot).held
    assert reprice.set_held(done, menu.id, spot, True) is None
    assert after(done, reprice.set_held(done, menu.id, spot, False)) == book
    rows = menu_rows(reckon(done.on(DAY)), menu_mix(reckon(done.on(DAY)), ()))
    assert sum(row.held for row in rows.rows) == 1


def test_bounds_as_typed(book: Book, menu: Menu) -> None:
    spot = Spot(0, 1)
    step = reprice.set_bounds(book, menu.id, spot, "12", "€ 14,50")
    done = after(book, step)
    line = line_at(done.all(Menu)[menu.id], spot)
    assert (line.least, line.most) == (D(12), D("14.50"))
    assert line.prices == line_at(menu, spot).prices
    assert reprice.set_bounds(done, menu.id, spot, "12.00", "14.5") is None
    half = after(done, reprice.set_bounds(done, menu.id, spot, "", "14.50"))
    assert line_at(half.all(Menu)[menu.id], spot).least is None
    assert after(done, reprice.set_bounds(done, menu.id, spot, " ", "")) == book


@pytest.mark.parametrize(
    ("least", "most", "why"),
    [("15", "14", "lies below the lowest"), ("twelve", "", "price"), ("", "14.5055", "at most 2 decimals"),
     ("$ 3", "", "not in EUR")],
)  # fmt: skip
def test_bounds_that_cannot_be(book: Book, menu: Menu, least: str, most: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        reprice.set_bounds(book, menu.id, Spot(0, 0), least, most)
    with pytest.raises(ValueError, match="no such line"):
        reprice.set_bounds(book, menu.id, Spot(0, 99), "1", "2")
    with pytest.raises(ValueError, match="no such line"):
        reprice.set_held(book, menu.id, Spot(9, 0), True)


def test_a_price_of_the_day_is_written_over(book: Book, menu: Menu) -> None:
    spot = Spot(0, 0)
    first = after(book, menus.set_price(book, menu.id, spot, "20", LATER))
    key = line_key(menu.id, menu.sections[0].name, line_at(menu, spot))
    done = after(first, reprice.take(first, {key: D("21.00")}, LATER))
    prices = {p.since: p.price for p in line_at(done.all(Menu)[menu.id], spot).prices}
    assert prices[LATER] == 21
