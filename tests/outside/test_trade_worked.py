"""The worked chain step by step, and small published sums of the trade, through the ledger's own doors.

The chain is invented and was computed apart; what it counts on is the acceptance book of tests/chains. Published
figures name their source: ERS is the fruit and vegetable price file of the US Department of Agriculture (2022).
"""

import pytest

from costing.book.units import UNITS
from costing.ledger import Line, Reckoning, reckon
from costing.ledger.matter import PURE_ALCOHOL
from costing.liquor import Liquid, distil, proof_down
from tests import chains
from tests.outside.test_trade_yield import edible_cost, stage


@pytest.fixture(scope="module")
def chain() -> Reckoning:
    """The acceptance chain on its day."""
    return reckon(chains.book("distillate").on(chains.DAY))


def line(chain: Reckoning, name: str) -> Line:
    """One stage of the distillate."""
    return next(x for x in chain.ledgers["distillate"].lines if x.stage == name)


@pytest.mark.parametrize(
    ("name", "money", "a_unit", "unit"),
    [("trim", 16.80, 5.490, "kg"), ("roast", 16.80, 8.615, "kg"), ("infuse", 73.80, 21.261, "l"),
     ("still", 82.53, 65.50, "l"), ("proof", 82.53, 47.58, "l")],
)  # fmt: skip
def test_invented_chain_carries_its_money_from_stage_to_stage(
    chain: Reckoning, name: str, money: float, a_unit: float, unit: str
) -> None:
    on = line(chain, name).on.matter
    carried = chain.money(line(chain, name).carried.row).making
    amount = on.mass if unit == "kg" else on.volume()
    assert carried == pytest.approx(money, abs=0.005)
    assert amount is not None
    assert carried / amount == pytest.approx(a_unit, abs=0.005)


def test_invented_chain_loses_its_alcohol_where_it_was_worked_out(chain: Reckoning) -> None:
    """Litres of pure alcohol: 1.2000 in, 0.8855 strained, 0.3145 left in the fruit, 0.7806 over, 0.1050 in the pots."""
    infuse, still = line(chain, "infuse"), line(chain, "still")
    lpa = {
        "in": infuse.total("in").ethanol, "strained": infuse.on.matter.ethanol, "fruit": infuse.total("lost").ethanol,
        "over": still.on.matter.ethanol, "pots": still.total("lost").ethanol,
    }  # fmt: skip
    assert {k: v * PURE_ALCOHOL for k, v in lpa.items()} == pytest.approx(
        {"in": 1.2, "strained": 0.8855, "fruit": 0.3145, "over": 0.7806, "pots": 0.1050}, abs=1e-4
    )
    assert still.on.matter.ethanol / infuse.total("in").ethanol == pytest.approx(0.6505, abs=1e-4)
    assert infuse.share_lost * 73.80 == pytest.approx(19.34, abs=0.01)
    assert still.share_lost * 73.80 == pytest.approx(8.75, abs=0.01)


def test_invented_proof_contracts(chain: Reckoning) -> None:
    """1.7347 L, not the 1.7507 L that adding volumes gives."""
    still, proof = line(chain, "still").on.matter, line(chain, "proof")
    water = proof.total("in").mass - still.mass
    assert water == pytest.approx(0.4899, abs=1e-4)
    assert proof.on.matter.volume() == pytest.approx(1.7347, abs=1e-4)
    added = (still.volume() or 0.0) + Liquid.pure_water(water).volume
    assert added == pytest.approx(1.7507, abs=2e-4)


@pytest.mark.parametrize(("source", "moved"), [("pineapple", 0.045), ("rum", 0.152)])
def test_invented_tornado_of_the_serve(chain: Reckoning, source: str, moved: float) -> None:
    """Fruit or rum dearer by 10 %."""
    inside = chain.contents(chain.serves["harbour-light"].carried).row
    assert 0.10 * inside[source] * chain.prices[source].per_base == pytest.approx(moved, abs=5e-4)


def test_invented_machine_share_of_an_idle_still(chain: Reckoning) -> None:
    """5.79 an hour at 400 hours a year instead of 1.94: 0.70 of machine in the serve, not 0.23."""
    hours = chain.contents(chain.serves["harbour-light"].carried).row["still-hour"]
    assert hours * 1.94 == pytest.approx(0.2332, abs=1e-4)
    assert hours * 5.79 == pytest.approx(0.70, abs=0.005)


def test_invented_lemon_juice_of_the_chain(chain: Reckoning) -> None:
    """2.60 a kg of fruit x 2.33 kg a kg of juice x 1.0313 kg a litre."""
    assert chain.costs["lemon-juice"].materials == pytest.approx(6.248, abs=1e-3)


@pytest.mark.parametrize(
    ("price", "keep", "cup", "published"),
    [
        pytest.param("1.8472", "90 %", 0.3638, 0.7466, id="ERS: pear, price a pound over yield times a cup"),
        pytest.param("0.617", "51 %", 0.3638, 0.4401, id="ERS: pineapple"),
    ],
)
def test_what_a_cup_of_fruit_costs(price: str, keep: str, cup: float, published: float) -> None:
    """The published logic: retail price over yield times the weight of a cup; the unit of weight cancels."""
    cost = edible_cost(price, stage("trim", [("fruit", "1 kg")], facts={"keep": keep}))
    assert cost * cup == pytest.approx(published, abs=1.5e-4)


def test_a_case_of_limes_makes_so_many_drinks() -> None:
    """Published by a practitioner: 3.60 L of juice a case, 3/4 oz a drink, 162 drinks."""
    assert int(3.60 / (0.75 * float(UNITS["us fl oz"].factor))) == 162


@pytest.mark.parametrize(
    ("litres", "ounces"),
    [
        pytest.param(0.75, 25.3605, id="750 ml"),
        pytest.param(1.0, 33.8140, id="1 L"),
        pytest.param(1.75, 59.1745, id="1.75 L"),
    ],
)
def test_published_ounces_of_a_bottle(litres: float, ounces: float) -> None:
    assert litres / float(UNITS["us fl oz"].factor) == pytest.approx(ounces, abs=1e-4)


@pytest.mark.parametrize(("abv", "sugar", "target"), [(0.40, 100.0, 0.20), (0.55, 250.0, 0.30), (0.30, 20.0, 0.10)])
def test_sweet_spirit_let_down_by_hand(abv: float, sugar: float, target: float) -> None:
    """Worked apart: water by bisection on the volume of what is made; ethanol and sugar are what they were."""
    start = Liquid.liqueur(1.0, abv, sugar)
    made, water = proof_down(start, target)
    low, high = 0.0, 20.0
    for _ in range(100):
        middle = 0.5 * (low + high)
        litres = Liquid(start.ethanol, start.water + middle, start.solids).volume
        low, high = (middle, high) if start.ethanol / 0.789239 / litres > target else (low, middle)
    assert water == pytest.approx(low, rel=2e-6)  # 789.239 is printed to six figures
    assert (made.ethanol, made.solids) == pytest.approx((start.ethanol, start.solids), rel=1e-12)


@pytest.mark.parametrize("take", [0.3, 0.5, 0.65])
def test_a_run_ends_where_its_pot_says(take: float) -> None:
    """A run stopped by its pot's strength or temperature is the run stopped by volume that ended there."""
    charge = Liquid.spirit(1.0, 0.40)
    run = distil(charge, pressure_mbar=50.0, take=take)
    for other in (
        distil(charge, pressure_mbar=50.0, pot_abv=run.pot.abv),
        distil(charge, pressure_mbar=50.0, pot_t=run.t_end),
    ):
        assert other.distillate.volume == pytest.approx(take, rel=1e-6)
        assert other.recovery == pytest.approx(run.recovery, rel=1e-6)
