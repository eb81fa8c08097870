"""What holds on a day: versions, quotes in force, the one that costs a good, terms, menus and printed prices."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.book import Book, parse_fact
from costing.book.records import (
    DatedPrice,
    Good,
    House,
    Input,
    Menu,
    MenuLine,
    Preparation,
    Quote,
    Record,
    Stage,
    Supplier,
    Terms,
    Version,
)
from costing.ledger import reckon
from tests.ledger.strategies import laws

D = Decimal
START = date(2026, 1, 1)


def day(n: int) -> date:
    """The n-th day of the year."""
    return START + timedelta(days=n)


def quote(ident: str, supplier: str, since: int, price: str = "1.00", until: int | None = None) -> Quote:
    """A quote for the lime."""
    return Quote(id=ident, good="lime", supplier=supplier, content=parse_fact("1 kg"), price=D(price), currency="EUR",
                 since=day(since), until=None if until is None else day(until))  # fmt: skip


def book(*records: Record, preferred: str = "") -> Book:
    """A house, a lime and two suppliers."""
    return Book.of(
        [
            House(id="house", name="House", currency="EUR", terms=(Terms(since=START),)),
            Supplier(id="north", name="North"),
            Supplier(id="south", name="South"),
            Good(id="lime", name="Lime", kind="fruit", base="kg",
                 makeup=(("water", parse_fact("88 %")),), preferred=preferred),
            *records,
        ]
    )  # fmt: skip


@pytest.mark.parametrize(
    ("on", "preferred", "expected"),
    [
        (0, "", None),  # nobody had quoted yet
        (5, "", "n1"),
        (9, "", "n1"),
        (10, "", "s1"),  # the latest of any supplier
        (15, "", "s1"),
        (20, "", "n2"),
        (30, "", "n2"),
        (31, "", "s1"),  # n2 has run out: the older quote of the same supplier is still open, but south's is newer
        (15, "north", "n1"),  # the preferred supplier's, though an older one
        (25, "south", "s1"),
        (31, "north", "n1"),
        (25, "west", "n2"),  # a preferred supplier who quotes nothing
    ],
)
def test_which_quote_costs_a_good(on: int, preferred: str, expected: str | None) -> None:
    held = book(
        quote("n1", "north", 5), quote("s1", "south", 10), quote("n2", "north", 20, until=30), preferred=preferred
    )
    found = held.on(day(on)).quote_of("lime")
    assert (found.id if found else None) == expected


def test_a_supplier_counts_with_his_latest_quote_alone() -> None:
    offers = book(quote("n1", "north", 0), quote("n2", "north", 3), quote("s1", "south", 1)).on(day(9)).quotes["lime"]
    assert [q.id for q in offers] == ["n2", "s1"]


def test_two_quotes_of_one_day_are_settled_the_same_way_every_time() -> None:
    one, two = quote("a", "north", 3), quote("b", "north", 3)
    assert book(one, two).on(day(9)).quote_of("lime") == book(two, one).on(day(9)).quote_of("lime") == two


@laws(150)
@given(
    st.lists(
        st.tuples(st.sampled_from(["north", "south"]), st.integers(0, 40), st.one_of(st.none(), st.integers(0, 30))),
        max_size=8,
    ),
    st.integers(0, 60),
    st.sampled_from(["", "north", "south"]),
)
def test_the_quote_of_a_day_against_a_plain_search(
    given_: list[tuple[str, int, int | None]], on: int, preferred: str
) -> None:
    quotes = [
        quote(f"q{n}", supplier, since, until=None if length is None else since + length)
        for n, (supplier, since, length) in enumerate(given_)
    ]
    held = [q for q in quotes if q.since <= day(on) and (q.until is None or day(on) <= q.until)]
    latest = sorted(held, key=lambda q: (q.since, q.id))
    liked = [q for q in latest if q.supplier == preferred]
    expected = liked[-1] if liked else latest[-1] if latest else None
    assert book(*quotes, preferred=preferred).on(day(on)).quote_of("lime") == expected


def recipe(*since_and_grams: tuple[int, int]) -> Preparation:
    """Lime by weight, more or less of it from a day on."""
    versions = tuple(
        Version(
            since=day(since),
            stages=(Stage(id="mix", kind="trim", adds=(Input(source="lime", amount=parse_fact("1 kg")),),
                          facts=(("keep", parse_fact(f"{grams / 10} %")),)),),
        )
        for since, grams in since_and_grams
    )  # fmt: skip
    return Preparation(id="cut", name="Cut", base="kg", versions=versions)


@pytest.mark.parametrize("written", [((20, 250), (10, 500)), ((10, 500), (20, 250))])
@pytest.mark.parametrize(("on", "cost"), [(9, None), (10, 2.0), (19, 2.0), (20, 4.0), (300, 4.0)])
def test_a_recipe_is_that_of_its_day(on: int, cost: float | None, written: tuple[tuple[int, int], ...]) -> None:
    # whatever order they are written in: the day decides, not the place in the list
    reckoning = reckon(book(recipe(*written), quote("q", "north", 0)).on(day(on)))
    found = reckoning.costs.get("cut")
    assert (found.materials if found else None) == (None if cost is None else pytest.approx(cost))


@pytest.mark.parametrize(("on", "price"), [(0, 1.0), (4, 1.0), (5, 1.5), (400, 1.5)])
def test_a_price_moves_cost_on_its_day_and_not_before(on: int, price: float) -> None:
    held = book(quote("q1", "north", 0), quote("q2", "north", 5, "1.50"))
    assert reckon(held.on(day(on))).costs["lime"].materials == pytest.approx(price)


def test_terms_of_a_day() -> None:
    house = House(id="house", name="H", currency="EUR",
                  terms=(Terms(since=day(50), recovers_tax=False), Terms(since=day(10))))  # fmt: skip
    held = Book.of([house])
    assert held.on(day(9)).terms is None
    early, late = held.on(day(10)).terms, held.on(day(50)).terms
    assert early is not None
    assert late is not None
    assert (early.recovers_tax, late.recovers_tax) == (True, False)


@pytest.mark.parametrize(("on", "menus"), [(4, []), (5, ["m"]), (9, ["m"]), (10, [])])
def test_a_menu_holds_from_its_first_to_its_last_day(on: int, menus: list[str]) -> None:
    assert list(Book.of([Menu(id="m", name="M", sections=(), since=day(5), until=day(9))]).on(day(on)).menus) == menus


@pytest.mark.parametrize(("on", "price"), [(0, None), (3, "12"), (7, "13.50")])
def test_a_printed_price_is_that_of_its_day(on: int, price: str | None) -> None:
    line = MenuLine(
        serve="x", prices=(DatedPrice(since=day(7), price=D("13.50")), DatedPrice(since=day(3), price=D(12)))
    )
    found = Book.of([]).on(day(on)).price_of(line)
    assert (found.price if found else None) == (None if price is None else D(price))
