"""What a file does to a drink and to a month, by hand: 45 ml of rum at 20.00 a litre costs 0.90, and at 22.00 it costs
0.99; printed at 6.00 with 20 % tax in it the house keeps 5.00."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from costing.book import Book, put
from costing.book.selling import SalesPeriod
from costing.supply.plan.build import make_plan
from costing.supply.plan.effect import effect_of, mix_of, per_month, worst
from tests.supply.plan.arrivals import DAY, NEXT, book, incoming, line


def quotes(price: str) -> list:  # type: ignore[type-arg]
    plan = make_plan(incoming(line(1, "RUM", price, code="C-rum", since=NEXT)), book(), DAY)
    return [found.quote for found in plan.lines]


def test_a_drink_before_and_after() -> None:
    effect = effect_of(book(), quotes("92.40"), DAY)  # 22.00 a litre
    assert effect.day == NEXT, "both sides stand on the first day that the price holds"
    (moved,) = worst(effect.serves)
    assert (moved.before.base, moved.after.base) == pytest.approx((0.90, 0.99))
    assert moved.before.price is not None
    assert moved.after.price is not None
    assert moved.before.price.net == Decimal(5)
    assert float(moved.before.price.pour_cost or 0) == pytest.approx(0.18)
    assert float(moved.after.price.pour_cost or 0) == pytest.approx(0.198)
    assert float(moved.after.price.margin) == pytest.approx(5 - 0.99)
    assert not moved.broke, "19.8 % is below the target of 20 %"


def test_the_month_is_the_last_period_brought_to_a_twelfth_of_a_year() -> None:
    effect = effect_of(book(), quotes("92.40"), DAY)
    drinks = 140 / 14 * 365.25 / 12  # ten a day
    assert effect.before.cost == pytest.approx(drinks * 0.90)
    assert effect.after.cost == pytest.approx(drinks * 0.99)
    assert effect.after.net == effect.before.net == pytest.approx(drinks * 5)
    assert effect.after.pour_cost == pytest.approx(0.198)
    (moved,) = worst(effect.serves)
    assert float(per_month(moved) or 0) == pytest.approx(drinks * 0.09)


def test_a_broken_target_has_its_suggestion_beside() -> None:
    effect = effect_of(book(), quotes("100.80"), DAY)  # 24.00 a litre: 1.08, 21.6 %
    (broken,) = effect.broken
    assert broken.after.suggestion is not None
    # 1.08 / 0.20 = 5.40 net, 6.48 with tax, and the price point above it is 6.50
    assert broken.after.suggestion.at.all_in == Decimal("6.50")


def test_without_sales_every_drink_counts_once() -> None:
    mute = Book({k: r for k, r in book().records.items() if k[0] != "sales"})
    effect = effect_of(mute, quotes("92.40"), DAY)
    assert effect.period is None
    assert effect.after.cost == pytest.approx(0.99)


def test_the_mix_is_of_the_last_period_that_has_ended() -> None:
    period = book().all(SalesPeriod)["nov"]
    later = replace(period, id="dec", since=date(2026, 12, 1), until=date(2026, 12, 14))
    both = book().with_changes([put("sales", later)])
    assert mix_of(both, DAY)[0] == period
    assert mix_of(both, date(2026, 12, 20))[0] == later


def test_nothing_chosen_moves_nothing() -> None:
    effect = effect_of(book(), [], DAY)
    assert worst(effect.serves) == ()
    assert effect.before == effect.after
