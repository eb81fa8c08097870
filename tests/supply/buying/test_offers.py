"""Suppliers compared: every part of a landed price against the same worked out by hand or by loop."""

from dataclasses import replace
from datetime import date
from decimal import Decimal as D
from math import floor
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.book.book import Book
from costing.book.buying import ExchangeRate
from costing.book.fact import parse_fact
from costing.book.records import Break, FreeGoods, PackCharge, Quote, YieldTest
from costing.ledger.reckon import reckon
from costing.supply.buying.offers import Bought, Landed, compare, parts_of
from tests.supply.buying.bar import DAY, book, good, quote, supplier


def ds(*figures: D | int | str) -> tuple[D, ...]:
    """Figures as Decimals."""
    return tuple(D(f) for f in figures)


def offers(made: Book, need: str = "7", ident: str = "rum", **more: Any) -> tuple[Landed, ...]:
    """The comparison."""
    return compare(reckon(made.on(DAY)), ident, D(need), **more)


def bought(made: Book, need: str = "7", ident: str = "rum", **more: Any) -> Bought:
    """The only offer, worked out."""
    (one,) = offers(made, need, ident, **more)
    assert one.bought is not None, one.problems
    return one.bought


def test_freight_and_tax_that_is_not_recovered_land_with_the_goods() -> None:
    """24 bottles of 0.7 l at 18.00, freight 36.00 and 5 % on both: 491.40 for 16.8 l (worked by hand)."""
    made = book(
        good("rum"), supplier("quay", freight=D(36)), quote("q", "18", tax="ex", tax_rate=D("0.05")), recovers=False
    )
    b = bought(made, "16.8")
    assert ds(b.packs, b.total, b.amount, b.stock) == ds(24, D("491.40"), D("16.8"), 0)
    assert ds(b.asked, b.freight, b.tax) == ds(432, 36, D("23.40"))
    assert b.per_unit == D("29.25")


def test_recoverable_tax_inside_a_price_is_taken_off() -> None:
    b = bought(book(good("rum"), quote("q", "11.90", tax="inc", tax_rate=D("0.19"))), "0.7")
    assert b.total.quantize(D("1e-20")) == 10
    assert (b.asked, b.tax.quantize(D("1e-20"))) == (D("11.90"), D("-1.90"))


def test_the_parts_say_why_one_is_dearer_and_the_cheapest_stands_first() -> None:
    made = book(
        good("rum"), supplier("quay"), supplier("mill", freight=D(15), free_from=D(200)), supplier("lock"),
        quote("a", "10", supplier="quay"),
        quote("b", "9.80", supplier="mill"),
        quote("c", "60", levels=(6,), supplier="lock", breaks=(Break(packs=D(2), price=D(54)),)),
    )  # fmt: skip
    found = offers(made)
    assert [o.supplier for o in found] == ["lock", "quay", "mill"]
    lock, quay, mill = (o.bought for o in found)
    assert lock is not None
    assert quay is not None
    assert mill is not None
    assert (lock.packs, lock.stock, lock.tied_up) == (2, D("1.4"), D(18))  # 10 bottles needed, 12 come
    assert dict(lock.parts)["break_off"] == D(-12) / D("8.4")
    assert (quay.packs, quay.per_unit) == (10, D(100) / 7)
    assert ds(mill.freight, mill.total) == ds(15, 113)
    # with the rest of the order freight is shared by value, and from 200 on there is none
    assert [o.bought.freight for o in offers(made, rest=D(98)) if o.bought] == [0, 0, D("7.5")]
    assert [o.supplier for o in offers(made, rest={"mill": D(102)})] == ["lock", "mill", "quay"]


def test_minimum_packs_and_a_least_order_are_stock_and_no_cost() -> None:
    plain = book(good("rum"), supplier("quay", minimum=D(150)), quote("q", "10", minimum=D(12)))
    b = bought(plain)
    assert (b.least, b.packs, b.per_unit) == (10, 15, D(10) / D("0.7"))
    assert ds(b.stock, b.tied_up.quantize(D("1e-20"))) == ds(D("3.5"), 50)
    with_rest = bought(plain, rest=D(100))
    assert (with_rest.packs, with_rest.stock) == (12, D("1.4"))


def test_a_least_order_is_met_at_the_price_of_the_break_it_reaches() -> None:
    q = quote("q", "10", breaks=(Break(packs=D(12), price=D(8)),))
    b = bought(book(good("rum"), supplier("quay", minimum=D(115)), q), "0.7")
    assert ds(b.packs, b.total) == ds(15, 120)  # eleven are 110, twelve are 96, fifteen are 120


def test_a_deposit_stands_and_costs_nothing() -> None:
    with_it, without = (bought(book(good("rum"), quote("q", "10", deposit=d))) for d in (D("0.25"), None))
    assert ds(with_it.deposit, without.deposit) == ds(D("2.50"), 0)
    assert with_it.per_unit == without.per_unit


def test_other_money_comes_by_the_rate_of_the_day() -> None:
    rates = (
        ExchangeRate(id="r1", currency="USD", since=date(2026, 1, 1), worth=D("0.9")),
        ExchangeRate(id="r2", currency="USD", since=date(2026, 4, 1), worth=D("2")),
    )
    terms = supplier("quay", currency="USD", freight=D(20), minimum=D(50))
    q = quote("q", "10", currency="USD", charges=(PackCharge(name="duty", amount=D(1)),), deposit=D(1))
    b = bought(book(good("rum"), terms, q, *rates))
    assert ds(b.worth, b.asked, b.charges, b.freight, b.deposit) == ds(D("0.9"), 90, 9, 18, 9)
    assert b.total == 117


def test_what_cannot_count_stands_last_with_the_reason() -> None:
    made = book(
        good("rum"), supplier("free", minimum=D(50)), supplier("abroad", currency="GBP", freight=D(5)),
        quote("a", "10", supplier="one", currency="USD"),
        quote("b", "10", supplier="two", tax="unknown"),
        quote("c", "10", supplier="three", pack="3 each"),
        quote("d", "0", supplier="free"),
        quote("e", "10", supplier="abroad"),
        quote("f", "99", supplier="good"),
        quote("g", "1", supplier="gone", until=date(2026, 2, 1)),
    )  # fmt: skip
    found = offers(made)
    assert found[0].supplier == "good"
    assert {o.supplier: o.problems[0].code for o in found[1:]} == {
        "one": "foreign-currency", "two": "tax-unknown", "three": "no-piece", "free": "price-nothing",
        "abroad": "foreign-currency",
    }  # fmt: skip
    assert all(o.per_unit is None for o in found[1:])


def test_rebates_above_the_price_are_counted_and_said() -> None:
    (o,) = offers(book(good("rum"), quote("q", "10", charges=(PackCharge(name="rebate", amount=D(-12)),))))
    assert [p.code for p in o.problems] == ["rebate-above-price"]
    assert o.bought is not None
    assert o.bought.total == -20
    assert o.bought.best is None


def trial(ident: str, gross: str, kept: str, **more: Any) -> YieldTest:
    """A yield test of limes."""
    return YieldTest(
        id=ident, good="lime", day=DAY, gross=parse_fact(gross), kept=parse_fact(kept), **{"part": "juice", **more}
    )


LIME = good("lime", "fruit", "kg", "")


def test_the_usable_share_is_the_mean_of_the_tests_and_the_same_for_all() -> None:
    made = book(
        LIME, supplier("quay"), supplier("mill"), trial("t1", "2 kg", "0.8 kg"), trial("t2", "8 kg", "4 kg"),
        quote("a", "12", "4 kg", "lime", "quay"), quote("b", "13", "4 kg", "lime", "mill"),
    )  # fmt: skip
    one, two = (o.bought for o in offers(made, "4", "lime"))
    assert one is not None
    assert two is not None
    # 4.8 kg of 10 kg: 4 kg of juice are 8.33 kg of fruit, three crates
    assert (one.usable.share, one.usable.n, one.usable.of, one.usable.part) == (D("0.48"), 2, "good", "juice")
    assert (one.packs, one.amount, one.per_unit) == (3, D("5.76"), D("6.25"))
    assert one.trimmed == D("3.25")
    assert two.usable == one.usable


def test_a_test_that_names_a_supplier_counts_for_that_one() -> None:
    made = book(
        LIME, supplier("quay"), supplier("mill", names=("Mill & Sons",)), trial("t1", "2 kg", "0.8 kg"),
        trial("t2", "2 kg", "1 kg", note=" mill & sons"), trial("t3", "2 kg", "0.1 kg", note="not like Mill Stores"),
        quote("a", "12", "4 kg", "lime", "quay"), quote("b", "13", "4 kg", "lime", "mill"),
    )  # fmt: skip
    found = {o.supplier: o.bought.usable for o in offers(made, "4", "lime") if o.bought}
    assert (found["mill"].share, found["mill"].of) == (D("0.5"), "supplier")
    assert (found["quay"].share, found["quay"].of) == (D("0.225"), "good")


def test_tests_of_several_parts_must_be_chosen_among() -> None:
    made = book(
        LIME, trial("t1", "2 kg", "0.8 kg"), trial("t2", "2 kg", "0.2 kg", part="peel"),
        quote("a", "12", "4 kg", "lime"),
    )  # fmt: skip
    assert parts_of(made, "lime") == ("juice", "peel")
    with pytest.raises(ValueError, match="juice, peel"):
        offers(made, "4", "lime")
    assert bought(made, "4", "lime", part="Peel").usable.share == D("0.1")
    assert bought(made, "4", "lime", share=D(1)).packs == 1


def test_a_share_that_cannot_be_is_a_reason() -> None:
    (o,) = offers(book(LIME, trial("t1", "2 kg", "3 kg"), quote("a", "12", "4 kg", "lime")), "4", "lime")
    assert (o.bought, [p.code for p in o.problems]) == (None, ["out-of-range"])


def test_a_call_that_cannot_be_is_refused() -> None:
    made = book(good("rum"), quote("q", "10"))
    with pytest.raises(KeyError):
        offers(made, "1", "gin")
    for more in ({"need": "0"}, {"share": D(2)}, {"rest": D(-1)}):
        with pytest.raises(ValueError, match=r"need|share|rest"):
            offers(made, **more)


def test_twelve_bottles_of_seven_tenths_are_eight_litres_and_four_tenths() -> None:
    """12 x 0.7 is 8.399999999999999 in binary: it must not take a second case."""
    b = bought(book(good("rum"), quote("q", "120", levels=(12,))), "8.4")
    assert ds(b.packs, b.content, b.stock, b.tied_up) == ds(1, D("8.4"), 0, 0)


money = st.decimals(min_value=1, max_value=60, places=2)


@st.composite
def cases(draw: st.DrawFn) -> tuple[Quote, dict[str, D | None], D, D]:
    """A quote, its supplier's terms, a need and the rest of the order."""
    steps = draw(st.lists(st.tuples(st.integers(2, 20), money), max_size=3, unique_by=lambda s: s[0]))
    tax = draw(st.sampled_from(["ex", "inc"]))
    q = quote(
        "q", str(draw(money)), draw(st.sampled_from(["0.7 l", "1 l", "50 cl"])),
        levels=draw(st.sampled_from([(), (6,)])), breaks=tuple(Break(packs=D(n), price=p) for n, p in steps),
        free=draw(st.none() | st.just(FreeGoods(paid=D(10), free=D(1)))), tax=tax, tax_rate=D("0.19"),
        charges=(PackCharge(name="duty", amount=draw(st.decimals(0, 3, places=2))),),
        minimum=draw(st.none() | st.integers(1, 8).map(D)),
    )  # fmt: skip
    terms = {name: draw(st.none() | st.decimals(0, 300, places=2)) for name in ("freight", "free_from", "minimum")}
    return q, terms, draw(st.decimals(min_value=D("0.1"), max_value=80, places=1)), draw(st.decimals(0, 200, places=2))


@given(case=cases(), recovers=st.booleans())
@settings(deadline=None)
def test_any_offer_is_that_of_a_loop_over_packs(
    case: tuple[Quote, dict[str, D | None], D, D], recovers: bool
) -> None:  # fmt: skip
    q, terms, need, rest = case
    b = bought(book(good("rum"), supplier("quay", **terms), q, recovers=recovers), str(need), rest=rest)
    each = {"0.7 l": 0.7, "1 l": 1.0, "50 cl": 0.5}[q.content.text] * (6 if q.levels else 1)
    packs = 0
    while True:
        packs += 1
        free = packs // 10 if q.free else 0
        price = next((s.price for s in sorted(q.breaks, key=lambda s: -s.packs) if packs >= s.packs), q.price)
        value = float(packs * price)
        enough = (packs + free) * each >= float(need) - 1e-9 and packs >= (q.minimum or 0)
        if enough and value + float(rest) >= float(terms["minimum"] or 0) - 1e-9:
            break
    freight = float(terms["freight"] or 0)
    if terms["free_from"] is not None and packs * price + rest >= terms["free_from"]:
        freight = 0.0
    tax = 1 / 1.19 if q.tax == "inc" and recovers else 1.19 if q.tax == "ex" and not recovers else 1.0
    whole = tax * (value + freight * value / (value + float(rest))) + (packs + free) * float(q.charges[0].amount)
    assert ds(b.packs, b.free) == ds(packs, free)
    assert float(b.total) == pytest.approx(whole, rel=1e-12)
    assert float(b.per_unit) == pytest.approx(whole / ((packs + free) * each), rel=1e-12)
    assert float(sum(money for _, money in b.parts)) == pytest.approx(float(b.per_unit), rel=1e-12)
    assert b.stock >= 0
    assert b.best is not None
    assert b.best.packs >= b.packs


@given(price=money, charge=st.decimals(-1, 3, places=2), lots=st.integers(1, 4))
@settings(deadline=None)
def test_full_lots_without_freight_cost_what_the_ledger_says(price: D, charge: D, lots: int) -> None:
    """The same quote by ``costing.ledger.prices``, which spreads free packs evenly."""
    q = quote("q", str(price), free=FreeGoods(paid=D(6), free=D(1)), charges=(PackCharge(name="x", amount=charge),))
    made = book(good("rum"), q)
    b = bought(made, str(D("4.9") * lots))
    assert ds(b.packs, b.free) == ds(6 * lots, lots)
    assert float(b.per_unit) == pytest.approx(reckon(made.on(DAY)).prices["rum"].per_base, rel=1e-12)


def test_rounding_up_never_floors_a_need() -> None:
    made = book(good("rum"), quote("q", "10"))
    for need in ("0.1", "0.7", "0.701", "1.4", "20"):
        assert bought(made, need).packs == -floor(-D(need) / D("0.7"))
    assert bought(replace_supplier(made), "7").packs == 10


def replace_supplier(made: Book) -> Book:
    """The book whose quote names nobody: it has no terms."""
    old = made.all(Quote)["q"]
    return Book.of([*(r for r in made.records.values() if r is not old), replace(old, supplier="")])
