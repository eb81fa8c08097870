"""Ways to set a price, to the printed digit of the worked problems that textbooks print.

"S11" is a hotel-school text's chapter on the menu as the foundation for control, whose solved problems are printed with
rounded steps; "S12", "S13" are texts on controlling and on the foundations of cost control. "Invented, computed" cases
were worked by hand. What ``costing.pricing`` does by itself is tested in tests/outside.
"""

from collections.abc import Callable
from decimal import Decimal

import pytest

from costing.menu import methods

D = Decimal


@pytest.mark.parametrize("textbook", [True, False])
def test_multiplier_of_the_solved_set(textbook: bool) -> None:
    """S11: cost 4.73 at 37.5 %; printed k 2.67 and 12.63, exact 12.6133. Rounding on the way is an option, not used."""
    k = methods.multiplier(D("0.375"), textbook=textbook)
    price = methods.by_multiplier(D("4.73"), D("0.375"), textbook=textbook)
    if textbook:
        assert (k, round(price, 2)) == (D("2.67"), D("12.63"))
    else:
        assert (round(k, 4), round(price, 4)) == (D("2.6667"), D("12.6133"))


@pytest.mark.parametrize(
    ("price", "printed", "exactly"),
    [
        pytest.param(lambda textbook: methods.by_prime_ingredient(D("6.34"), D("3.72")), "23.58", "23.5848",
                     id="S11: prime ingredient, printed 23.59, rounded up"),
        pytest.param(lambda textbook: methods.by_contribution(
            D("4.85"), other=790_000, guests=161_580, textbook=textbook), "9.74", "9.7392",
            id="S11: contribution margin, 4.89 + 4.85"),
        pytest.param(lambda textbook: methods.by_ratio(
            D("4.85"), other=710_000, profit=80_000, spent=585_000, textbook=textbook), "11.40", "11.3996",
            id="S11: ratio 1.35, 6.55 + 4.85"),
        pytest.param(lambda textbook: methods.by_prime_cost(D("3.75"), labour=D("2.40"), target=D("0.50")), "12.30",
                     "12.3000", id="S12: salmon, 6.15 over 50 %"),
    ],
)  # fmt: skip
def test_the_solved_set(price: Callable[[bool], Decimal], printed: str, exactly: str) -> None:
    assert round(price(False), 4) == D(exactly)
    assert round(price(True), 2) == D(printed)


def test_the_base_price() -> None:
    """Invented, computed: profit 60,000 and fixed costs of 240,000 at a variable share of 40 % need 500,000 of sales;
    over 40 seats, 1.5 turns, 300 days and an occupancy of 80 % that is 34.72 a guest."""
    sales = methods.base_sales(profit=60_000, fixed=240_000, variable=D("0.4"))
    assert sales == 500_000
    assert round(methods.base_price(sales, covers=40 * D("1.5") * 300 * D("0.8")), 2) == D("34.72")


def test_published_midpoint_elasticity() -> None:
    """OpenStax, Principles of Economics: from 70 to 60, 2,800 to 3,000 are sold: 6.9 % over 15.4 % is 0.45."""
    found = methods.midpoint_elasticity(70, 60, 2_800, 3_000)
    assert round(abs(found), 2) == D("0.45")
    assert methods.midpoint_elasticity(60, 70, 3_000, 2_800) == found


def test_the_rise_that_just_pays() -> None:
    """Invented, computed: 14 to 15 net with a margin of 10.50 may lose 8.70 %: it pays unless |e| is more than 1.217.
    Where 14 and 15 are all-in at 1.199 and the margin of 10.50 is of the net, that is 7.36 %: say which price."""
    found = methods.break_even_elasticity(14, 15, D("3.50"))
    assert found is not None
    assert round(found, 3) == D("1.217")
    net, more = D(14) / D("1.199"), D(15) / D("1.199")
    other = methods.break_even_elasticity(net, more, net - D("10.50"))
    assert other is not None
    assert round(other / 14, 4) == D("0.0736")
    assert methods.break_even_elasticity(14, 14, D("3.50")) is None
    assert methods.break_even_elasticity(14, 3, D("3.50")) is None


def test_the_best_price_of_one_elasticity() -> None:
    """Lerner, 1934: (p - c) / p = 1 / |e|; computed: e -3 and c 4 give 6."""
    assert methods.lerner_price(4, -3) == 6
    profit = {p: (D(p) - 4) * D(p) ** -3 for p in ("5.9", "6", "6.1")}
    assert max(profit, key=lambda p: profit[p]) == "6"


@pytest.mark.parametrize("size", ["-1", "1", "-0.8", "0.45", "0"])
def test_no_best_price_where_dearer_always_pays(size: str) -> None:
    with pytest.raises(ValueError, match="no finite optimum"):
        methods.lerner_price(D("2.60"), D(size))


@pytest.mark.parametrize(
    "call",
    [
        lambda: methods.multiplier(0), lambda: methods.multiplier(D("1.2")), lambda: methods.by_multiplier(5, 0),
        lambda: methods.by_ratio(5, other=1, profit=1, spent=0),
        lambda: methods.by_contribution(5, other=1, guests=0),
        lambda: methods.by_prime_cost(5, labour=1, target=0),
        lambda: methods.base_sales(profit=1, fixed=1, variable=1), lambda: methods.base_price(1, covers=0),
        lambda: methods.midpoint_elasticity(5, 5, 10, 9), lambda: methods.midpoint_elasticity(5, 6, 0, 0),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(call: Callable[[], Decimal]) -> None:
    with pytest.raises(ValueError, match=r"must|needs|cannot"):
        call()
