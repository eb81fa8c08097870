"""Break-even prices of suppliers: the price that is found is put into the book, and the drink is reckoned anew."""

from dataclasses import replace
from decimal import Decimal

import pytest

from costing.book import Book
from costing.book.change import put
from costing.book.levies import Policy
from costing.book.records import FreeGoods, PackCharge, Quote
from costing.ledger import reckon
from costing.menu.breakeven import BreakEvens, break_evens, most_cost
from tests.menu.supposals import DAY, figures, sample

D = Decimal


def at_price(book: Book, good: str, price: Decimal) -> float:
    """What a Harbour Light costs with the pack of a good at a price."""
    quote = reckon(book.on(DAY)).prices[good].quote
    return reckon(book.with_changes([put("quote", replace(quote, price=price), quote)]).on(DAY)).serve_cost(
        "harbour-light"
    ).materials  # fmt: skip


def the_one(book: Book) -> BreakEvens:
    (found,) = break_evens(reckon(book.on(DAY)), "harbour-light")
    return found


def test_the_price_that_is_found_meets_the_target_when_it_is_reckoned() -> None:
    found = the_one(sample())
    assert found.most == pytest.approx(float(found.net) * 0.18), "18 % of net is the target of this line"
    assert [g.good for g in found.goods][:2] == ["white-rum", "pineapple"]
    for good in found.goods[:4]:
        for reach, limit in ((good.target, found.most), (good.nothing, float(found.net))):
            assert reach is not None
            assert reach.pack is not None
            assert at_price(sample(), good.good, reach.pack) == pytest.approx(limit, abs=1e-9)
            assert good.price is not None
            assert reach.move == pytest.approx(float(reach.pack / good.price) - 1)
    assert next(g for g in found.goods if g.good == "napkin").target is None, "not even for nothing"


def test_charges_free_goods_and_tax_are_in_the_pack_that_is_found() -> None:
    quote = figures().prices["white-rum"].quote
    odd = replace(quote, free=FreeGoods(paid=D(11), free=D(1)), charges=(PackCharge(name="freight", amount=D("3.10")),),
                  tax="inc", tax_rate=D("0.19"))  # fmt: skip
    book = sample().with_changes([put("quote", odd, quote)])
    (rum, *_) = [g for g in the_one(book).goods if g.good == "white-rum"]
    assert rum.target is not None
    assert rum.target.pack is not None
    assert at_price(book, "white-rum", rum.target.pack) == pytest.approx(the_one(book).most, abs=1e-9)


def test_charges_alone_may_be_too_much() -> None:
    quote = figures().prices["white-rum"].quote
    dear = replace(quote, charges=(PackCharge(name="freight", amount=D(2000)),))
    found = the_one(sample().with_changes([put("quote", dear, quote)]))
    assert [(g.target, g.nothing) for g in found.goods if g.good == "white-rum"] == [(None, None)]


def test_one_good_without_a_price_is_told_what_it_may_cost() -> None:
    rums = [q for q in sample().all(Quote).values() if q.good == "white-rum"]
    book = Book({k: r for k, r in sample().records.items() if r not in rums})
    found = the_one(book)
    assert found.unpriced == ("white-rum",)
    (rum,) = found.goods
    assert rum.price is None
    assert rum.target is not None
    assert rum.target.pack is None
    with_it = next(g for g in the_one(sample()).goods if g.good == "white-rum").target
    assert with_it is not None
    assert rum.target.per_base == pytest.approx(with_it.per_base, rel=1e-9)
    lemons = [q for q in sample().all(Quote).values() if q.good in ("white-rum", "lemon")]
    none = the_one(Book({k: r for k, r in sample().records.items() if r not in lemons}))
    assert (none.goods, none.unpriced) == ((), ("lemon", "white-rum"))


def test_a_drink_without_a_printed_price_has_nothing_to_break_even() -> None:
    menu = sample().on(DAY).menus["main"]
    book = sample().with_changes([put("menu", replace(menu, sections=menu.sections[1:]), menu)])
    assert break_evens(reckon(book.on(DAY)), "harbour-light") == ()


@pytest.mark.parametrize(
    ("policy", "most"),
    [(Policy("pour_cost", D("0.2")), D("2.8")), (Policy("margin", D("9.5")), D("4.5")),
     (Policy("multiplier", D(5)), D("2.8"))],
)  # fmt: skip
def test_the_most_that_a_drink_may_cost(policy: Policy, most: Decimal) -> None:
    """By hand, at a net price of 14: a fifth of it; what a margin of 9.50 leaves; a fifth again."""
    assert most_cost(policy, D(14)) == most
