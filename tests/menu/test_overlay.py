"""A scenario laid over the book: it touches nothing, says what cannot be, and moves what it names by what it says."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.book import Book
from costing.book.change import put
from costing.book.records import Quote
from costing.book.selling import ChangeSort, Scenario, Supposed
from costing.ledger import reckon
from costing.menu.compare import as_it_stands, compare, under
from costing.menu.mix import ended_periods
from costing.menu.overlay import laid_over, with_volumes
from tests.menu.supposals import DAY, figures, sample, scenario, scenarios

D = Decimal


def one(sort: ChangeSort, target: str, value: str, part: str = "", how: str = "by") -> Supposed:
    return Supposed(sort=sort, target=target, part=part, value=D(value), how="by" if how == "by" else "to")


def test_an_empty_scenario_is_the_book() -> None:
    overlay = laid_over(sample(), scenario(), DAY)
    assert overlay.book is sample()
    assert (overlay.changes, overlay.laid, overlay.volumes) == ((), (), ())
    base = as_it_stands(sample(), DAY, ended_periods(sample(), DAY))
    assert under(base, scenario()).mix == base.mix


@settings(max_examples=40, deadline=None)
@given(scenarios())
def test_the_book_is_never_touched(found: tuple[date, Scenario]) -> None:
    day, supposed = found
    before = dict(sample().records)
    overlay = laid_over(sample(), supposed, day)
    assert dict(sample().records) == before
    assert sample().with_changes(overlay.changes) == overlay.book
    assert len({c.key for c in overlay.changes}) == len(overlay.changes), "one change a record"


@settings(max_examples=30, deadline=None)
@given(scenarios(), st.randoms(use_true_random=False))
def test_the_order_of_independent_changes_does_not_matter(found: tuple[date, Scenario], shuffle: object) -> None:
    day, supposed = found
    # a price by a share, and all of its supplier's by a share, both multiply: they are independent too
    apart = list({(s.sort, s.target, s.part): s for s in supposed.supposed}.values())
    mixed = apart.copy()
    getattr(shuffle, "shuffle")(mixed)  # noqa: B009
    assert laid_over(sample(), scenario(*mixed), day).book == laid_over(sample(), scenario(*apart), day).book


def test_changes_of_one_thing_follow_each_other() -> None:
    first, then = one("price", "white-rum", "90", how="to"), one("price", "white-rum", "0.1")
    up = laid_over(sample(), scenario(first, then), DAY)
    assert [(x.before, x.after) for x in up.laid] == [(D("84.00"), D(90)), (D(90), D("99.0"))]
    assert laid_over(sample(), scenario(then, first), DAY).laid[-1].after == 90


def test_a_price_moves_a_drink_by_what_is_in_it() -> None:
    """Cost is linear in prices: worked out by hand from the exploded amount."""
    overlay = laid_over(sample(), scenario(one("price", "white-rum", "0.1")), DAY)
    inside = figures().contents(figures().serves["harbour-light"].carried).row["white-rum"]
    per_litre = 84.0 / (6 * 0.7)
    moved = reckon(overlay.book.on(DAY)).serve_cost("harbour-light").materials
    assert moved - figures().serve_cost("harbour-light").materials == pytest.approx(0.1 * inside * per_litre, rel=1e-9)


def test_a_supplier_moves_only_what_costs_something() -> None:
    overlay = laid_over(sample(), scenario(one("supplier", "dry-store", "0.05")), DAY)
    view = sample().on(DAY)
    mine = {g for g, p in figures().prices.items() if p.quote.supplier == "dry-store"}
    assert {c.id for c in overlay.changes} == {figures().prices[g].quote.id for g in mine}
    assert overlay.laid[0].count == len(mine)
    other = next(q for g, offers in view.quotes.items() for q in offers if q.supplier == "dry-store" and g not in mine)
    assert overlay.book.get("quote", other.id) == other, "a quote that costs nothing stays"


def test_every_sort_says_from_what_to_what() -> None:
    found = scenario(
        one("levy", "vat", "0.21", how="to"),
        one("figure", "pineapple-distillate", "60", "trim/refuse", how="to"),
        one("figure", "pineapple-distillate", "-0.1", "distil/passive"),
        one("dose", "harbour-light", "50", "pineapple-distillate", how="to"),
        one("labour", "", "22", how="to"),
        one("rate", "CHF", "0.95", how="to"),
        one("menu price", "main", "0.05", "harbour-light"),
        one("volume", "harbour-light", "-0.2"),
    )
    laid = laid_over(sample(), found, DAY).laid
    assert [(x.before, x.after, x.unit) for x in laid] == [
        (D(19), D(21), "%"), (D(47), D(60), "%"), (D("1.5"), D("1.35"), "h"), (D(45), D(50), "ml"),
        (D("20.10"), D(22), "EUR for 1 h"), (D("1.06"), D("0.95"), "EUR"),
        (D("16.50"), D("17.33"), "EUR"), (None, None, ""),  # 17.325 to the smallest coin
    ]  # fmt: skip


def test_a_later_figure_of_the_book_is_named() -> None:
    day = date(2026, 9, 10)
    found = scenario(one("menu price", "main", "16", "coopers-row", how="to"), one("price", "white-rum", "0.1"))
    assert [x.until for x in laid_over(sample(), found, day).laid] == [date(2026, 10, 5), None]


@pytest.mark.parametrize(
    ("supposed", "why"),
    [
        (one("price", "moon-rum", "0.1"), "no ingredient “moon-rum” any more"),
        (one("supplier", "moon", "0.1"), "no supplier “moon” any more"),
        (one("levy", "City tax", "0.1"), r"no tax or service “City tax” on 2026-12-01 \(there is: Service, VAT\)"),
        (one("levy", "VAT", "5"), "VAT cannot be 114.00 %: it must be below 100 %"),
        (one("figure", "pineapple-distillate", "1", "boil/refuse"), r"has no stage “boil”.*there is: trim, roast"),
        (one("figure", "pineapple-distillate", "1", "trim/keep"), r"states no keep \(it states: refuse, active"),
        (one("figure", "pineapple-distillate", "0.1", "distil/coolant"), "-10 C cannot change by a share"),
        (one("dose", "harbour-light", "0.1", "white-rum"), "no “white-rum” in Harbour Light .there is: pineapple-dist"),
        (one("labour", "white-rum", "0.1"), "White rum 40 % is no labour"),
        (one("rate", "USD", "0.1"), r"no rate of USD on 2026-12-01 \(there is: CHF\): enter one first"),
        (one("rate", "CHF", "-1"), "one CHF cannot be worth 0"),
        (one("menu price", "terrace", "0.1", "second-tide"), "no menu of the day “terrace”"),
        (one("menu price", "main", "12.345", "harbour-light", how="to"), "12.345 cannot be printed"),
        (one("price", "white-rum", "10000000", how="to"), "the price 10000000 of a pack"),
    ],
)
def test_what_cannot_be_is_said_with_the_scenario(supposed: Supposed, why: str) -> None:
    with pytest.raises(ValueError, match=f"scenario “Dear autumn”: .*{why}"):
        laid_over(sample(), scenario(supposed), DAY)


def with_quotes(*quotes: tuple[str, Quote | None]) -> Book:
    """The sample with quotes changed, or taken out."""
    kept = dict(sample().records)
    for ident, quote in quotes:
        kept.pop(("quote", ident), None)
        if quote is not None:
            kept["quote", ident] = quote
    return Book(kept)


def test_a_good_without_a_quote_that_counts_says_why() -> None:
    mine = [q for q in sample().all(Quote).values() if q.good == "white-rum"]
    gone = with_quotes(*((q.id, None) for q in mine))
    supposed = scenario(one("price", "white-rum", "0.1"))
    with pytest.raises(ValueError, match="White rum 40 % has no quote on 2026-12-01: enter one first"):
        laid_over(gone, supposed, DAY)
    foreign = with_quotes(*((q.id, replace(q, currency="USD")) for q in mine))
    with pytest.raises(ValueError, match="quoted in USD, and nobody said what one USD is worth"):
        laid_over(foreign, supposed, DAY)
    unknown = with_quotes(*((q.id, replace(q, tax="unknown")) for q in mine))
    with pytest.raises(ValueError, match="no quote for White rum 40 % counts"):
        laid_over(unknown, supposed, DAY)


def test_what_is_sold_is_shared_as_it_was_sold() -> None:
    base = as_it_stands(sample(), DAY, ended_periods(sample(), DAY)).mix
    whole = sum(i.sold for i in base.items)
    to = with_volumes(base, [one("volume", "", "2000", how="to")])
    assert sum(i.sold for i in to.items) == pytest.approx(2000)
    assert [i.sold / 2000 for i in to.items] == pytest.approx([i.sold / whole for i in base.items])
    less = with_volumes(base, [one("volume", "harbour-light", "-0.2")])
    assert {i.serve: i.sold for i in less.items}["harbour-light"] == pytest.approx(
        0.8 * sum(i.sold for i in base.items if i.serve == "harbour-light")
    )
    empty = as_it_stands(sample(), DAY, ()).mix
    first = with_volumes(empty, [one("volume", "ropewalk", "30", how="to")])
    assert {i.serve: i.sold for i in first.items if i.sold} == {"ropewalk": 30.0}
    with pytest.raises(ValueError, match="nothing was sold, so 30 cannot be shared out"):
        with_volumes(empty, [one("volume", "", "30", how="to")])


def test_a_drink_that_is_on_no_menu_cannot_sell_more() -> None:
    menu = sample().on(DAY).menus["main"]
    without = replace(menu, sections=menu.sections[1:])
    book = sample().with_changes([put("menu", without, menu)])
    with pytest.raises(ValueError, match="Harbour Light is on no menu on 2026-12-01"):
        laid_over(book, scenario(one("volume", "harbour-light", "0.1")), DAY)


def test_what_guests_paid_moves_with_the_printed_price() -> None:
    """What was paid below the list stays below it by the same share: a till that says what came in must not hide a
    supposed price or tax."""
    period = ended_periods(sample(), DAY)[-1]
    was = next(s for s in period.sold if s.serve == "harbour-light")
    sold = tuple(replace(s, net=12 * was.count) if s is was else s for s in period.sold)
    base = as_it_stands(sample(), DAY, [replace(period, sold=sold)])
    dear = under(base, scenario(one("menu price", "main", "18.15", "harbour-light", how="to")))  # 16.50 and a tenth
    before = next(i for i in base.mix.items if i.serve == "harbour-light")
    after = next(i for i in dear.mix.items if i.serve == "harbour-light")
    assert before.net == pytest.approx(12.0)
    assert after.net == pytest.approx(1.1 * before.net)
    same = [(a.net, b.net) for a, b in zip(base.mix.items, dear.mix.items, strict=True) if a.serve != "harbour-light"]
    assert all(a == b for a, b in same)


def test_side_by_side_says_what_cannot_be_costed_any_more() -> None:
    base = as_it_stands(sample(), DAY, ended_periods(sample(), DAY))
    # 2.4 kg of fruit that weighs 3.18 kg after the trim cannot go on as 31.8 kg of roasted fruit
    impossible = under(base, scenario(one("figure", "pineapple-distillate", "9", "roast/out.mass")))
    dearer = under(base, scenario(one("price", "white-rum", "0.1"), name="Rum"))
    found = compare(base, [impossible, dearer])
    assert "harbour-light" in {lost.serve for lost in found.lost[0]}
    assert {lost.fault for lost in found.lost[0]} <= {"unpriced", "not made"}
    assert impossible.wrong
    assert not found.after[0].complete
    assert (found.lost[1], dearer.wrong, found.after[1].complete) == ((), (), True)
    row = next(r for r in found.rows if r.serve == "harbour-light")
    assert row.before.complete
    assert not row.after[0].complete
    assert row.moved
    assert found.before.earned == pytest.approx(base.mix.margin)
    assert found.before.pour_cost == pytest.approx(base.mix.pour_cost)
    assert found.after[1].spent == pytest.approx(sum(i.sold * i.cost for i in dearer.mix.items))


def test_mixes_of_other_menus_are_not_put_side_by_side() -> None:
    base = as_it_stands(sample(), DAY, ())
    with pytest.raises(ValueError, match="of the same day"):
        compare(base, [as_it_stands(sample(), date(2026, 9, 10), ())])
