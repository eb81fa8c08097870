"""Joint cost, machine hours and SO2 against published problems and hand-made sums.

OpenStax, Principles of Accounting vol. 2 (joint products): 10,000 gal of milk for 15,000 and churning for 5,000; a
gallon gives 2 cups of butter (1 lb) and 8 cups of buttermilk (2 qt); butter 2.00/lb, buttermilk 1.50/qt; butter makes
2 tubs a pound at 2.50, for 0.50 a pound more.
"""

from decimal import Decimal as D

import pytest

from costing.ledger.balance import balance
from costing.ledger.matter import of_liquid
from costing.liquor import Liquid
from costing.pricing.joint import Method, Product, avoided_credit, joint_shares
from costing.pricing.rates import loaded_hour, machine_hour

JOINT = D(20_000)
CUPS = (
    Product(name="butter", amount=D(20_000), worth=D("1.00"), sells=D("2.50"), finished=D(20_000), finishing=D(5_000)),
    Product(name="buttermilk", amount=D(80_000), worth=D("0.375"), sells=D("1.50"), finished=D(20_000)),
)


@pytest.mark.parametrize(
    ("method", "butter", "buttermilk"),
    [
        ("physical", 4_000, 16_000),
        ("split_off", 8_000, 12_000),
        ("net_realisable", 12_000, 8_000),
        ("constant_margin", 10_625, 9_375),
    ],
)
def test_four_methods_give_the_published_answers(method: Method, butter: int, buttermilk: int) -> None:
    shares = joint_shares(CUPS, method, JOINT)
    assert [round(s * JOINT, 9) for s in shares] == [butter, buttermilk]
    assert sum(shares) == pytest.approx(D(1))


def test_the_constant_margin_is_the_published_one() -> None:
    """Gross margin 68.75 % for both."""
    butter, milk = (s * JOINT for s in joint_shares(CUPS, "constant_margin", JOINT))
    assert 1 - (butter + 5_000) / CUPS[0].final == D("0.6875")
    assert 1 - milk / CUPS[1].final == D("0.6875")


@pytest.mark.parametrize(
    ("products", "method", "joint"),
    [
        ((Product(name="a", amount=D(0)),), "physical", D(1)),
        ((Product(name="a", amount=D(1)),), "split_off", D(1)),
        ((Product(name="a", amount=D(1), finishing=D(2)), CUPS[0]), "net_realisable", D(1)),
        (CUPS, "constant_margin", D(0)),
        ((Product(name="a", amount=D(1), sells=D(1), finished=D(1), finishing=D(9)), CUPS[1]), "constant_margin", D(1)),
    ],
)
def test_a_basis_that_says_nothing_is_refused(products: tuple[Product, ...], method: Method, joint: D) -> None:
    with pytest.raises(ValueError, match=r"0 or more|above 0"):
        joint_shares(products, method, joint)


def test_a_credit_is_capped_at_what_is_used() -> None:
    """Common practice, no source: replacement cost avoided, for the use actually made."""
    assert avoided_credit(D("0.8"), D(2), D("4.50")) == D("3.600")
    assert avoided_credit(D(3), D(2), D("4.50")) == D(9)


def test_invented_machine_hour_of_the_acceptance_chain() -> None:
    """(14 000 - 2 000) / (8 years x 1 500 h) + 600 / 1 500 h + 1.8 kW x 0.30 = 1.94; at 400 h a year 5.79."""
    rate = {"price": D(14_000), "residual": D(2_000), "years": D(8), "upkeep_a_year": D(600), "kilowatts": D("1.8"),
            "tariff": D("0.30")}  # fmt: skip
    assert machine_hour(hours_a_year=D(1_500), **rate) == D("1.94")
    assert machine_hour(hours_a_year=D(400), **rate) == D("5.79")
    with pytest.raises(ValueError, match="above 0"):
        machine_hour(hours_a_year=D(0), **rate)


def test_invented_loaded_hour() -> None:
    """15.00 with 25 % on top, paid 2 080 h and at work 1 760 h."""
    rate = loaded_hour(wage=D(15), on_costs=D("0.25"), paid_hours=D(2_080), worked_hours=D(1_760))
    assert rate == pytest.approx(D("22.159090909"))


def test_invented_so2_of_a_drink_is_over_the_line() -> None:
    """20 ml at 300 mg/l and 30 ml at 100 mg/l in 120 ml are 75 mg/l; Regulation (EU) 1169/2011 Annex II draws the line
    at 10 mg/l as total SO2 in the product as consumed."""
    water = of_liquid(Liquid.pure_water(0.120 * Liquid.pure_water(1.0).density / 1000))
    drink = type(water)(water=water.water, so2=(20 * 300e-6 + 30 * 100e-6) / 1000)
    found = balance(drink, None)
    assert found is not None
    assert found.so2_mg_l == pytest.approx(75.0, rel=1e-9)
    assert found.so2_mg_l > 10.0
