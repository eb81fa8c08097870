"""Adding a drink, dropping one, a new menu at as many drinks, break-even of a mix. Invented but for the last."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.book.selling import SalesPeriod, Sold
from costing.ledger import Reckoning, reckon
from costing.menu.adding import Diverted, adding, needs_of_adding
from costing.menu.composite import Part, composite_break_even
from costing.menu.dropping import dropping
from costing.menu.mix import Mix, menu_mix
from costing.menu.newmenu import expected_rows, new_menu
from costing.menu.portfolio import Under, under
from costing.paths import sample_book
from costing.store import read_json
from tests.menu.decisions import decided, near

DAY = date(2026, 11, 23)


@cache
def bar() -> tuple[Reckoning, Mix]:
    """The sample bar, forty of everything sold in two weeks on the menu of the day."""
    reckoning = reckon(read_json(sample_book()).on(DAY))
    serves = {line.serve for s in reckoning.view.menus["main"].sections for line in s.lines}
    sold = tuple(Sold(serve=s, count=Decimal(40)) for s in sorted(serves))
    period = SalesPeriod(id="x", since=date(2026, 11, 2), until=date(2026, 11, 15), sold=sold)
    return reckoning, menu_mix(reckoning, [period])


def test_cannibalisation_is_what_the_others_would_have_earned() -> None:
    """100 at 9.00, 40 % instead of a drink that earns 12.00: 900 - 480; it pays until 75 % come from that one."""
    found = adding(9.0, 100, [Diverted(name="old", share=0.4, margin=12.0)])
    assert (found.earns, found.loses, found.gain) == (900, near(480), near(420))
    assert found.per_sale == near(4.2)
    assert found.break_even == {"old": 0.75}
    assert found.break_even_share == near(0.75)
    nothing = adding(9.0, 100, [Diverted(name="old", share=0.4, margin=0.0)])
    assert (nothing.break_even, nothing.break_even_share) == ({"old": None}, None)
    assert adding(9.0, 100).gain == 900


@settings(max_examples=30, deadline=None)
@given(
    st.floats(0.1, 20), st.floats(1, 500),
    st.lists(st.tuples(st.floats(0.01, 0.3), st.floats(0.1, 20)), min_size=1, max_size=3),
)  # fmt: skip
def test_at_the_break_even_share_nothing_is_gained(
    margin: float, sold: float, others: list[tuple[float, float]]
) -> None:
    taken = [Diverted(name=str(n), share=s, margin=m) for n, (s, m) in enumerate(others)]
    found = adding(margin, sold, taken)
    assert found.break_even_share is not None
    factor = found.break_even_share / found.share
    lost = sum(d.share * factor * d.margin for d in taken)
    assert margin - lost == near(0, abs=1e-9)
    assert found.gain == near(sold * found.per_sale)


@pytest.mark.parametrize(
    ("call", "why"),
    [
        ((float("nan"), 1, []), "must be numbers"),
        ((1.0, -1, []), "must be numbers"),
        ((1.0, 1, [Diverted(name="a", share=-0.1, margin=1)]), "from 0 to 1"),
        ((1.0, 1, [Diverted(name="a", share=0.7, margin=1), Diverted(name="b", share=0.7, margin=1)]), "140 %"),
    ],
)
def test_shares_that_cannot_be_are_named(call: tuple[float, float, list[Diverted]], why: str) -> None:
    with pytest.raises(ValueError, match=why):
        adding(*call)


def test_what_adding_needs_of_the_house() -> None:
    """Of a house that sells B and C, A is new: 6 min of the still each; RUN is not new, CORDIAL takes it."""
    reckoning, mix = decided()
    rest = [i for i in mix.items if i.serve != "a"]
    b = next(i for i in rest if i.serve == "b")
    found = needs_of_adding(reckoning, "a", 100, [(b, 0.5)], rest)
    assert found.hours == {"still-hour": near(10), "prep hours": near(2.5)}
    assert found.freed["prep hours"] == near(50 * b.prep_hours)
    assert found.more["still-hour"] == near(10 - 50 * b.machine_hours["still-hour"])
    assert (found.new.preparations, found.new.goods) == (frozenset(), frozenset())
    alone = needs_of_adding(reckoning, "b", 1, [], [i for i in mix.items if i.serve == "c"])
    assert alone.new.preparations == {"run", "cordial"}
    assert alone.new.goods == {"wine"}
    with pytest.raises(KeyError):
        needs_of_adding(reckoning, "press", 1, [], rest)


def test_dropping_loses_its_margin_less_what_its_guests_take_instead() -> None:
    """B: 200 at 11 less materials. A and C are 400 and 100 at 11.00 and 8.80: on average 10.56."""
    reckoning, mix = decided()
    found = dropping(reckoning, mix, "b")
    b = next(i for i in mix.items if i.serve == "b")
    each = 11 - b.layers["materials"]
    assert (found.sold, found.margin, found.others) == (200, near(200 * each), near(10.56))
    assert found.vanish == near(-200 * each)
    assert found.move == near(200 * (10.56 - each))
    assert found.break_even == near(each / 10.56)
    assert found.hours == {
        "prep hours": near(200 * b.prep_hours),
        "still-hour": near(200 * b.machine_hours["still-hour"]),
    }
    assert found.instead["still-hour"] == near(200 * 0.8 * 0.1)
    assert found.only == Under(preparations=frozenset({"cordial"}), goods=frozenset({"wine"}))
    assert found.stays == 0
    wine = next(s for s in found.stock if s.source == "wine")
    assert (wine.amount, wine.money) == (near(2.25), near(22.5)), "50 a week take 1.9 l: three bottles"
    cordial = next(s for s in found.stock if s.source == "cordial")
    assert cordial.money == near(21), "one batch: 0.1 l of RUN at 20.00 and 1.9 l of wine at 10.00"


def test_dropping_saves_what_was_too_old() -> None:
    """Ten A in four weeks take half a litre of RUN, 1/8 l in the 7 days it keeps; four batches make 4 l: 3.5 spoil."""
    sold = tuple(Sold(serve=s, count=Decimal(n)) for s, n in (("a", 10), ("c", 100)))
    reckoning, mix = decided(SalesPeriod(id="feb", since=date(2026, 2, 2), until=date(2026, 3, 1), sold=sold))
    only_a = replace(mix, items=tuple(i for i in mix.items if i.serve != "b"))
    found = dropping(reckoning, only_a, "a")
    assert [(s.preparation, s.amount, s.money) for s in found.spoilt] == [("run", near(3.5), near(70))]
    assert found.vanish == near(-110 + 70)
    assert found.break_even == near(40 / (10 * 8.8))


def test_a_drink_that_is_on_no_menu_cannot_be_dropped() -> None:
    reckoning, mix = decided()
    with pytest.raises(ValueError, match="press is on no menu"):
        dropping(reckoning, mix, "press")
    alone = replace(mix, items=tuple(i for i in mix.items if i.serve == "b"))
    found = dropping(reckoning, alone, "b")
    assert (found.others, found.move, found.break_even) == (None, None, None)


def test_a_by_product_keeps_its_preparation() -> None:
    """In the sample bar the lemon's hulls become a cordial, the distillate's pineapple a rinse: whoever takes one needs
    the lemon juice, the distillate and all that goes into it."""
    reckoning, _ = bar()
    lemon = reckoning.ledgers["lemon-cordial"].outputs["lemon-cordial"].direct.row
    assert "lemon-juice/hulls" in lemon
    takers = [s for s, line in reckoning.serves.items() if "marc-rinse" in line.carried.row]
    assert takers
    found = under(reckoning, takers[:1])
    assert {"marc-rinse", "pineapple-distillate"} <= found.preparations
    assert {"pineapple", "white-rum"} & found.goods


def test_money_of_a_by_product_that_is_made_anyway_is_not_saved() -> None:
    reckoning, mix = bar()
    for serve in dict.fromkeys(i.serve for i in mix.items):
        found = dropping(reckoning, mix, serve)
        others = {i.serve for i in mix.items if i.serve != serve}
        kept = under(reckoning, others)
        assert not found.only.preparations & kept.preparations
        assert not found.only.goods & kept.goods
        assert found.only.preparations | kept.preparations == under(reckoning, others | {serve}).preparations
        assert found.vanish == near(-found.margin - found.stays + sum(s.money for s in found.spoilt))
        if found.break_even:
            assert found.others is not None
            assert found.vanish + found.break_even * found.sold * found.others == near(0, abs=1e-6)


def test_a_new_menu_is_compared_at_as_many_drinks() -> None:
    """B goes, C is expected to sell 300: 400 A and 300 C are brought from 700 to the 700 of before."""
    reckoning, mix = decided()
    rows, guessed = expected_rows(mix.items, [i for i in mix.items if i.serve != "b"], {"c": 300})
    found = new_menu(reckoning, mix.items, rows)
    assert (guessed, found.scaled) == ((), 1)
    assert found.new.sold == found.old.sold == 700
    assert found.new.margin == near(400 * 11 + 300 * 8.8)
    assert found.gain == near(found.new.margin - mix.margin)
    assert (found.drinks_go, found.drinks_come) == (("b",), ())
    assert found.go == Under(preparations=frozenset({"cordial"}), goods=frozenset({"wine"}))
    assert found.hours_more["still-hour"] == near(-200 * mix.items[1].machine_hours["still-hour"])
    assert found.old.pour_cost == near(mix.pour_cost)
    assert found.new.per_cover(350) == 2
    half = new_menu(reckoning, mix.items, [replace(i, sold=i.sold / 2) for i in mix.items])
    assert (half.scaled, half.gain) == (2, near(0))


def test_drinks_nobody_said_a_number_of_sell_as_an_average_one_and_are_named() -> None:
    reckoning, mix = decided()
    new = replace(mix.items[2], serve="d", name="D", sold=0.0)
    rows, guessed = expected_rows(mix.items, (*mix.items[:2], new, new))
    assert guessed == ("D",)
    assert [r.sold for r in rows] == [400, 200, near(700 / 3 / 2), near(700 / 3 / 2)]
    with pytest.raises(ValueError, match="both menus need drinks"):
        new_menu(reckoning, mix.items, [replace(new, sold=0.0)])


def test_published_break_even_of_a_mix() -> None:
    """OpenStax, Principles of Accounting, vol. 2: composite units of 5:3:2 bring 73.00 and take 42.25, which leaves
    30.75; fixed costs of 145,000 need 4,715.45 of them. How the 73.00 and 42.25 are made up is invented here."""
    parts = [Part(name="a", units=5, net=8, variable=4.25), Part(name="b", units=3, net=7, variable=5),
             Part(name="c", units=2, net=6, variable=3)]  # fmt: skip
    found = composite_break_even(145_000, parts)
    assert (found.net, found.variable, found.margin) == (73, 42.25, 30.75)
    assert round(found.units, 2) == 4715.45
    assert found.each[0] == ("a", near(5 * found.units))
    assert found.sales - sum(n * p.variable for (_, n), p in zip(found.each, parts, strict=True)) == near(145_000)
    with pytest.raises(ValueError, match="leaves nothing"):
        composite_break_even(1, [Part(name="a", units=1, net=2, variable=2)])
    with pytest.raises(ValueError, match="from 0 on"):
        composite_break_even(-1, parts)
