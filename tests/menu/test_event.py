"""A quote for an event: invented figures worked out by hand, and laws that hold for every one."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.book.change import put
from costing.book.levies import Policy
from costing.book.records import House
from costing.ledger import reckon
from costing.ledger.balance import balance_of
from costing.menu.event import Plan, Staff, event_quote
from costing.menu.event_words import with_care
from tests.menu.decisions import DAY, book, decided, near

RECKONING, _ = decided()
PARTY = Plan(
    guests=80, hours=4, serves=(("a", 0.5), ("c", 0.5)), allowance=0.05, staff=(Staff(people=3, hours=5, rate=22),),
    hire=200, breakage=0.03, policy=Policy("pour_cost", Decimal("0.20")), minimum=Decimal(2000),
    deposit=Decimal("0.3"),
)  # fmt: skip


def test_drinks_of_a_party() -> None:
    """80 x (2 + 1 x 3) = 400; common practice, no source."""
    assert PARTY.drinks == 400
    assert replace(PARTY, hours=0.5).drinks == 80
    assert replace(PARTY, hours=1).drinks == 160


def test_a_party_by_hand() -> None:
    """210 A at 1.00 and 210 C at 1.20 are 462; RUN takes 10.5 l x 13.00 of hands and still; staff 330, hire 200,
    breakage 6. At 20 % the drinks need 2,310 net, 28.875 a head, at price points of 0.50 29.00: 2,320 beats 2,000."""
    quote = event_quote(RECKONING, PARTY)
    assert [(p.name, p.expected, p.poured) for p in quote.poured] == [("A", 200, 210), ("C", 200, 210)]
    assert (quote.materials, quote.making) == (near(462), near(10.5 * 13))
    assert (quote.staff, quote.breakage) == (330, near(6))
    assert quote.cost == near(462 + 136.5 + 330 + 200 + 6)
    price = quote.price
    assert float(price.needed_net) == near(28.875)
    assert (price.a_head, price.total, price.binds) == (Decimal("29.00"), Decimal(2320), "price")
    assert price.deposit == Decimal(696)
    assert quote.left == near(2320 - quote.cost)
    assert quote.pour_cost == near(462 / 2320)


def test_the_minimum_binds_where_it_is_more() -> None:
    quote = event_quote(RECKONING, replace(PARTY, minimum=Decimal(3000)))
    assert quote.price.binds == "minimum"
    assert (quote.price.total, quote.left) == (Decimal(3000), near(3000 - quote.cost))
    margin = event_quote(RECKONING, replace(PARTY, policy=Policy("margin", Decimal(10)), minimum=None))
    assert float(margin.price.needed_net) == near(margin.cost / 80 + 10)
    assert margin.left >= 800


def test_batches_hours_and_packs() -> None:
    """10.5 l of RUN are eleven runs: 22 h of the still, 5.5 h of hands, 11 l of gin; C takes 12.6 l more, and bottles
    hold 0.7 l: 34 of them."""
    needs = event_quote(RECKONING, PARTY).needs
    (run,) = needs.batches
    assert (run.preparation, run.count, run.needed, run.given) == ("run", 11, near(10.5), near(11))
    assert needs.hours == {"prep hours": near(5.5), "still-hour": near(22)}
    (gin,) = needs.shopping
    assert (gin.good, gin.needed, gin.packs, gin.money) == ("gin", near(23.6), 34, Decimal(476))
    assert needs.to_spend == 476


def test_ethanol_is_that_of_the_drinks_that_are_expected() -> None:
    """A is 50 ml and C 60 ml at 40 %; 5 drinks a guest, 2 of them in the first hour."""
    alcohol = event_quote(RECKONING, PARTY).alcohol
    each = 0.0
    for serve in ("a", "c"):
        found = balance_of(RECKONING.serves[serve], RECKONING.view.book.house)
        assert found is not None
        each += found.ethanol_g / 2
    assert each == near(55 * 0.4 * 0.78924, rel=1e-4)  # density of ethanol at 20 C, OIML R 22
    assert (alcohol.grams, alcohol.first_hour, alcohol.later_hour) == (near(5 * each), near(2 * each), near(each))
    assert alcohol.standard == near(alcohol.grams / 10)
    said = " ".join(with_care(alcohol))
    assert "87 g of ethanol a guest on average (8.7 standard drinks" in said
    assert "water" in said
    assert "no legal advice" in said


@settings(max_examples=25, deadline=None)
@given(
    st.integers(1, 300), st.floats(0.5, 9), st.floats(0, 0.3), st.floats(0, 1),
    st.sampled_from([Policy("pour_cost", Decimal("0.2")), Policy("margin", Decimal(5)),
                     Policy("multiplier", Decimal(4))]),
)  # fmt: skip
def test_the_price_meets_its_target_and_the_batches_what_is_poured(
    guests: int, hours: float, allowance: float, share: float, policy: Policy
) -> None:
    plan = replace(PARTY, guests=guests, hours=hours, allowance=allowance, policy=policy, minimum=None,
                   serves=(("b", share), ("a", 1 - share)))  # fmt: skip
    quote = event_quote(RECKONING, plan)
    assert sum(p.expected for p in quote.poured) == near(plan.drinks)
    net = float(quote.price.net)
    base = sum(p.base for p in quote.poured)
    at_least = {"pour_cost": base * 5, "multiplier": base * 4, "margin": quote.cost + 5 * guests}[policy.kind]
    assert net >= at_least - 1e-6
    assert net <= at_least + guests * 0.5 + 1e-6, "no dearer than the next price point"
    assert all(b.given >= b.needed - 1e-4 for b in quote.needs.batches)
    for line in quote.needs.shopping:
        assert line.packs is not None
        held = RECKONING.prices[line.good].content
        assert line.packs * held >= line.needed - 1e-4
        assert (line.packs - 1) * held < line.needed


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"guests": 0}, "0 guests"),
        ({"hours": 0.0}, "0 hours"),
        ({"serves": (("a", 0.5),)}, "add up to 50 %"),
        ({"serves": (("a", 1.5), ("c", -0.5))}, "a share of 1.5"),
        ({"serves": (("press", 1.0),)}, "no drink press"),
        ({"allowance": -0.1}, "allowance: -0.1"),
        ({"hire": float("nan")}, "hire: nan"),
        ({"deposit": Decimal(2)}, "a deposit of 2"),
        ({"first_hour": 0.0, "later": 0.0}, "must drink something"),
        ({"staff": (Staff(people=-1, hours=5, rate=22),)}, "staff: -1"),
    ],
)
def test_a_plan_that_cannot_be_is_named(change: dict[str, object], why: str) -> None:
    with pytest.raises(ValueError, match=why):
        event_quote(RECKONING, replace(PARTY, **change))  # type: ignore[arg-type]


def test_the_least_that_is_sold_is_bought() -> None:
    few = replace(PARTY, guests=1, hours=1, serves=(("c", 1.0),))
    quote = event_quote(RECKONING, few)
    assert quote.needs.shopping[0].packs == 1
    assert quote.needs.batches == ()


def test_a_margin_of_one_drink_is_none_of_a_guest() -> None:
    """A house that wants 8.00 a drink wants more of a guest who has five."""
    kept = book()
    house = kept.all(House)["house"]
    aimed = replace(house, terms=tuple(replace(t, policy=Policy("margin", Decimal(8))) for t in house.terms))
    reckoning = reckon(kept.with_changes([put("house", aimed, house)]).on(DAY))
    with pytest.raises(ValueError, match="a margin a drink, and a guest has several"):
        event_quote(reckoning, replace(PARTY, policy=None))
    assert event_quote(reckoning, replace(PARTY, policy=Policy("margin", Decimal(40)))).left >= 40 * PARTY.guests
