"""Price and quantity taken apart, against worked problems. Every case names its source in its id.

A preparation takes the quantities whole and makes one piece, so that one unit of it costs the sum of quantity times
price. ``moved`` takes prices at the new quantities and quantities at the old prices; ``compare`` the other way round.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

import pytest

from costing.book import Book, parse_fact
from costing.book.records import (
    Good,
    House,
    Input,
    Preparation,
    Quote,
    Record,
    Stage,
    Supplier,
    Terms,
    Version,
)
from costing.ledger import reckon
from costing.ledger.compare import compare
from costing.pricing.days import moved

OLD, NEW = date(2026, 1, 1), date(2026, 2, 1)


@dataclass(frozen=True)
class Case:
    """Quantities and prices of some goods, before and after, and the published parts of the difference."""

    q0: tuple[str, ...]
    q1: tuple[str, ...]
    p0: tuple[str, ...]
    p1: tuple[str, ...]
    price: float
    quantity: float


def book(case: Case) -> Book:
    records: list[Record] = [
        House(id="house", name="House", currency="EUR", terms=(Terms(since=OLD),)),
        Supplier(id="m", name="M"),
    ]
    versions = []
    for since, quantities, prices in ((OLD, case.q0, case.p0), (NEW, case.q1, case.p1)):
        adds = tuple(Input(source=f"g{n}", amount=parse_fact(f"{q} kg")) for n, q in enumerate(quantities))
        versions.append(
            Version(since=since, stages=(Stage(id="all", kind="blend", adds=adds),), pieces=parse_fact("1"))
        )
        for n, price in enumerate(prices):
            records.append(
                Quote(id=f"g{n}-{since}", good=f"g{n}", supplier="m", content=parse_fact("1 kg"), price=Decimal(price),
                      currency="EUR", since=since)
            )  # fmt: skip
    records += [Good(id=f"g{n}", name=f"Good {n}", kind="sugar", base="kg") for n in range(len(case.q0))]
    records.append(Preparation(id="all", name="All", base="each", versions=tuple(versions)))
    return Book.of(records)


AT_NEW_QUANTITY = [
    # cost effect: sum of q1 (c1 - c0) = 350 x 0.30 - 420 x 0.10 + 280 x 0.20 = +119; (q1 - q0) c0 by hand
    pytest.param(
        Case(("400", "300", "300"), ("350", "420", "280"), ("3.2", "4.6", "2.4"), ("3.5", "4.5", "2.6"), 119.0, 344.0),
        id="invented bridge of three drinks, computed by hand",
    ),
    # 430 lb at 6.90 planned, 450 lb at 6.50 used: price 180 favourable, quantity 138 unfavourable, in all 42 favourable
    pytest.param(
        Case(("430",), ("450",), ("6.90",), ("6.50",), -180.0, 138.0),
        id="textbook exercise 23-5 on direct materials variances (a published solution)",
    ),
    # sums p1q0 740, p0q0 669, p1q1 629, p0q1 571 of four foods, as printed with the Paasche index
    pytest.param(
        Case(("1", "12", "2", "2"), ("1.5", "10", "1.5", "1.5"), ("39", "40", "45", "30"), ("40", "44", "50", "36"),
             629.0 - 571.0, 571.0 - 669.0),
        id="published worked example of Laspeyres and Paasche index numbers",
    ),
]  # fmt: skip


@pytest.mark.parametrize("case", AT_NEW_QUANTITY)
def test_what_moved_a_cost_is_price_at_the_new_quantity_and_quantity_at_the_old_price(case: Case) -> None:
    bridge = moved(book(case), "all", OLD, NEW)
    price = sum(m.making for m in bridge.moves if m.why == "quote")
    quantity = sum(m.making for m in bridge.moves if m.why == "recipe")
    assert price == pytest.approx(case.price, abs=1e-9)
    assert quantity == pytest.approx(case.quantity, abs=1e-9)
    assert price + quantity == pytest.approx(sum(bridge.difference), abs=1e-9)


def test_a_comparison_is_price_at_the_first_quantity_and_quantity_at_the_second_price() -> None:
    """The same published index numbers, from their Laspeyres side: 740 - 669 by price, 629 - 740 by quantity."""
    case = next(c.values[0] for c in AT_NEW_QUANTITY if "index numbers" in str(c.id))
    assert isinstance(case, Case)
    days = book(case)
    c = compare(reckon(days.on(OLD)), "all", reckon(days.on(NEW)), "all")
    assert sum(c.prices) == pytest.approx(740.0 - 669.0, abs=1e-9)
    assert sum(c.recipe) == pytest.approx(629.0 - 740.0, abs=1e-9)
