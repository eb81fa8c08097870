"""Nothing is judged below the number that is printed, nothing is promised of more sales that they cannot tell, and what
comes from another menu is said."""

from datetime import date
from decimal import Decimal

from costing.book.selling import Sold
from costing.ledger import reckon
from costing.menu.advice import Standing, advise
from costing.menu.engineer import Klass
from costing.menu.mix import menu_mix
from tests.menu.test_judged import drink, mix_of, only
from tests.menu.test_mix import figures, period, sample


def test_nothing_is_judged_below_the_number_that_is_printed() -> None:
    # seven drinks, thirty of thirty-six sold of one: the shares of the others lie far below the cut, and it is one week
    counts = (30, 5, 1, 0, 0, 0, 0)
    section = only(mix_of(*(drink(str(n), sold, 2.0, 10.0 + n) for n, sold in enumerate(counts))))
    assert section.enough > section.engineered.N
    assert {(d.state, d.advice.action) for d in section.drinks} == {("few", "wait")}
    needed = [r.figures["needed"] for d in section.drinks for r in d.advice.reasons if "needed" in r.figures]
    assert all(isinstance(n, int) and n >= section.enough for n in needed)


def test_more_sales_are_not_promised_to_tell_what_its_cost_leaves_open() -> None:
    def standing(much: float) -> set[str]:
        less = 1.0 - much
        chances: dict[Klass, float] = {
            "star": 0.2 * much, "puzzle": 0.8 * much, "plowhorse": 0.2 * less, "dog": 0.8 * less,
        }  # fmt: skip
        of = Standing(klass="puzzle", chances=chances, sure=False, too_few=False, total=600, needed=2100, margin=5.0)
        return {reason.code for reason in advise(of).reasons}

    assert "few" in standing(0.98)
    assert "few" not in standing(0.7)


def test_what_a_menu_that_is_over_sold_is_counted_elsewhere_and_said() -> None:
    # the sample's terrace is open until the end of September; lines without a menu were never sold elsewhere
    sold = Sold(serve="second-tide", count=Decimal(5), menu="main"), Sold(serve="second-tide", count=Decimal(2))
    periods = (period(*sold, Sold(serve="second-tide", count=Decimal(3), menu="terrace"), month=9),)
    closed = menu_mix(figures(), periods)
    assert ([i.sold for i in closed.items if i.sold], closed.joined) == ([10.0], (("terrace", 3.0),))
    summer = menu_mix(reckon(sample().on(date(2026, 9, 20))), periods)
    assert ([i.sold for i in summer.items if i.sold], summer.joined) == ([7.0, 3.0], ())
