"""Which price moves a drink and the menu: against prices really moved in the book."""

from dataclasses import replace
from decimal import Decimal
from typing import Literal

import pytest

from costing.book.selling import Supposed
from costing.ledger import reckon
from costing.menu.compare import as_it_stands, under
from costing.menu.mix import ended_periods
from costing.menu.supposed_recipes import figures_of
from costing.menu.tornado import Tornado, menu_tornado, own_swings, serve_tornado
from costing.pricing.sources import HORIZON
from costing.report.moves import shares
from tests.menu.supposals import DAY, figures, sample, scenario

BASE = as_it_stands(sample(), DAY, ended_periods(sample(), DAY))


def spent(mix: object) -> float:
    return sum(i.sold * i.cost for i in mix.items)  # type: ignore[attr-defined]


def test_the_money_of_a_drink_is_that_of_its_card() -> None:
    found = serve_tornado(figures(), "harbour-light")
    card = shares(figures(), "harbour-light")
    assert [b.key for b in found.bars] == [good for good, _ in card]
    assert [b.money for b in found.bars] == pytest.approx([money for _, money in card])
    assert found.whole == pytest.approx(figures().serve_cost("harbour-light").materials)
    assert [name for name, _ in found.shares] == [figures().view.goods[g].name for g, _ in card]


@pytest.mark.parametrize(("by", "sort"), [("good", "price"), ("supplier", "supplier")])
def test_a_tenth_on_a_price_moves_the_menu_by_its_bar(
    by: Literal["good", "supplier"], sort: Literal["price", "supplier"]
) -> None:
    found = menu_tornado(BASE.reckoning, BASE.mix, by)
    assert sum(b.money for b in found.bars) == pytest.approx(found.whole) == pytest.approx(spent(BASE.mix))
    assert [b.size for b in found.bars] == sorted((b.size for b in found.bars), reverse=True)
    for bar in found.bars[:3]:
        dear = under(BASE, scenario(Supposed(sort=sort, target=bar.key, value=Decimal("0.1"))))
        assert spent(dear.mix) - spent(BASE.mix) == pytest.approx(bar.up, rel=1e-9)
        assert bar.down == -bar.up
    charged = {g for g, p in BASE.reckoning.prices.items() if p.quote.charges}
    assert charged
    for bar in menu_tornado(BASE.reckoning, BASE.mix).bars:
        assert (bar.up < 0.0999 * bar.money) == (bar.key in charged), "what a pack is charged beside its price stays"


@pytest.mark.parametrize(
    ("made", "figure"), [("highball-batch", "keep"), ("milk-punch", "keep"), ("lime-juice", "out")]
)
def test_a_yield_of_a_tenth_less_costs_a_ninth_more(made: str, figure: str) -> None:
    """Preparations that give 0.9 of what they gave, by the one figure of the last stage that says how much goes on."""
    found = menu_tornado(BASE.reckoning, BASE.mix, "preparation")
    bar = next(b for b in found.bars if b.key == made)
    assert bar.down == pytest.approx(bar.money / 9)
    assert bar.up == pytest.approx(-bar.money / 11)
    last = BASE.reckoning.view.preparations[made][1].stages[-1]
    name = next(n for n in figures_of(last) if n.startswith(figure))
    less = Supposed(sort="figure", target=made, part=f"{last.id}/{name}", value=Decimal("-0.1"))
    assert spent(under(BASE, scenario(less)).mix) - spent(BASE.mix) == pytest.approx(bar.down, rel=1e-9)
    assert found.top(2)[1] is None, "preparations stand in each other: their rest is no sum"


def test_the_rest_stands_together() -> None:
    found = menu_tornado(BASE.reckoning, BASE.mix)
    first, rest = found.top(5)
    assert rest is not None
    assert len(first) == 5
    assert sum(b.money for b in first) + rest.money == pytest.approx(found.whole)
    assert found.top(len(found.bars)) == (found.bars, None)


def test_each_may_move_by_its_own_share() -> None:
    own = own_swings(BASE.reckoning)
    found: Tornado = menu_tornado(BASE.reckoning, BASE.mix, swings=own)
    bars = {b.key: b for b in found.bars}
    assert own
    assert bars["dry-gin"].swing == 0.1, "a price with no history that moved goes by a tenth, and says so"
    for good in own.keys() & bars.keys():
        assert bars[good].up == pytest.approx(own[good] * bars[good].money)
    month = own_swings(BASE.reckoning, 4 * HORIZON)
    assert month["lemon"] == pytest.approx(2 * own["lemon"]), "a random walk goes as the root of time"


def test_layers_beside_the_base_can_be_asked_for() -> None:
    whole = serve_tornado(figures(), "harbour-light", layers=("materials", "energy", "machine", "labour"))
    assert whole.whole == pytest.approx(figures().serve_cost("harbour-light").making)
    assert {"hand", "still-hour"} <= {b.key for b in whole.bars}


def test_what_has_no_price_makes_the_whole_at_least() -> None:
    quotes = [q for q in sample().records.values() if getattr(q, "good", "") == "white-rum"]
    from costing.book import Book

    book = Book({k: r for k, r in sample().records.items() if r not in quotes})
    poorer = reckon(book.on(DAY))
    assert not serve_tornado(poorer, "harbour-light").complete
    assert not menu_tornado(poorer, replace(BASE.mix)).complete
    with pytest.raises(ValueError, match="a yield cannot go down by 1"):
        serve_tornado(figures(), "harbour-light", "preparation", swings={"lemon-juice": 1.0})
