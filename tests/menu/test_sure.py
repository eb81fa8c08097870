"""How sure a class is, against the exact Beta distribution, published figures and made-up houses."""

from math import sqrt

import numpy as np
import pytest
from scipy.stats import beta, norm

from costing.menu.engineer import engineer
from costing.menu.figures import ItemRow
from costing.menu.sure import Spot, enough, posterior, sales_needed, wilson
from tests.menu.calibration import flat, state, table
from tests.menu.examples import GEORGE, GEORGE_CLASSES


def spot_of(name: str, **how: object) -> Spot:
    """One drink of example B."""
    found = posterior(GEORGE, **how)  # type: ignore[arg-type]
    assert found is not None
    spot = found.spots[[row[0] for row in GEORGE].index(name)]
    assert spot is not None
    return spot


@pytest.mark.parametrize(("name", "klass", "chance"), [
    ("lamb chops", "star", 0.498), ("lamb chops", "puzzle", 0.502), ("veal", "star", 0.915),
    ("haddock", "plowhorse", 0.945), ("strip steak", "star", 0.992),
])  # fmt: skip
def test_chances_of_example_b(name: str, klass: str, chance: float) -> None:
    # recomputed once by another simulation (flat Dirichlet); both err by their own draws
    spot = spot_of(name, draws=40_000)
    error = spot.error(klass)  # type: ignore[arg-type]
    assert spot.chances[klass] == pytest.approx(chance, abs=4.5 * error + 0.0005)  # type: ignore[index]


@pytest.mark.parametrize(("name", "sold"), [("lamb chops", 55), ("veal", 65), ("strip steak", 73)])
def test_chances_are_those_of_the_beta_distribution(name: str, sold: int) -> None:
    # their margins are above any mean of the set, so only the share decides: Beta(sold + 1, rest + n - 1), exactly
    exact = float(beta.sf(0.7 / 8, sold + 1, 629 - sold + 7))
    spot = spot_of(name)
    assert spot.chances["star"] == pytest.approx(exact, abs=4.0 * spot.error("star"))


def test_the_margin_cut_of_example_b_has_a_band() -> None:
    # recomputed: 95 of 100 draws of the mean margin lie from 11.13 to 11.37; 90 of 100 are 1.645/1.96 as wide
    found = posterior(GEORGE)
    assert found is not None
    half = (11.37 - 11.13) / 2 * norm.ppf(0.95) / norm.ppf(0.975)
    assert found.margin_cut.low == pytest.approx(11.25 - half, abs=0.01)
    assert found.margin_cut.high == pytest.approx(11.25 + half, abs=0.01)
    # mean and variance of a Dirichlet's linear form, exactly
    p = np.array([row[1] + 1 for row in GEORGE], dtype=float) / 637.0
    margins = np.array([row.margin for row in engineer(GEORGE)])
    sd = sqrt(float(p @ margins**2 - (p @ margins) ** 2) / 638.0)
    assert found.margin_cut.mean == pytest.approx(float(p @ margins), abs=4 * sd / sqrt(found.draws))
    assert found.margin_cut.high - found.margin_cut.low == pytest.approx(2 * norm.ppf(0.95) * sd, rel=0.03)


def test_chances_add_up_and_no_order_moves_them() -> None:
    found = posterior(GEORGE, sds=[0.3] * 8)
    back = posterior(GEORGE[::-1], sds=[0.3] * 8)
    assert found is not None
    assert back is not None
    assert found.spots == back.spots[::-1]
    for spot in found.spots:
        assert spot is not None
        assert sum(spot.chances.values()) == pytest.approx(1.0, abs=1e-12)


def test_as_sales_grow_the_right_class_becomes_sure() -> None:
    # all but lamb, whose share of 8.744 % lies 0.006 points from the cut
    for times, least in ((1, 0.9), (100, 0.9999)):
        found = posterior([(n, s * times, c, p) for n, s, c, p in GEORGE], draws=10_000)
        assert found is not None
        for (name, *_), spot, klass in zip(GEORGE, found.spots, GEORGE_CLASSES, strict=True):
            if name not in ("lamb chops", "haddock"):
                assert spot is not None
                assert spot.chances[klass] >= least, (name, times)  # type: ignore[index]


def test_a_cost_that_is_not_sure_moves_the_margin_side() -> None:
    # margin m about a cut O that hardly moves: P(earns) = Phi((m - O)/sd), for a set so large that shares are sure
    rows: list[ItemRow] = [("a", 10**7, 2, 12.0), ("b", 10**7, 2, 10.0), ("c", 10**7, 2, 11.2), ("d", 10**7, 2, 10.8)]
    found = posterior(rows, sds=[0, 0, 0.4, 0])
    assert found is not None
    spot = found.spots[2]
    assert spot is not None
    # its own quarter of the mean moves with it: m - O has mean 0.2 and deviation 0.75 x 0.4
    assert spot.chances["star"] == pytest.approx(norm.cdf(0.2 / 0.3), abs=4 * spot.error("star"))
    assert spot.margin_var == pytest.approx(0.16, rel=0.05)
    assert spot.cov == pytest.approx(0.0, abs=20.0)


def test_draws_of_costs_keep_what_moves_together() -> None:
    # one price moves all costs alike: no margin changes sides, whatever each deviates by itself
    rng = np.random.default_rng(1)
    together = np.array([float(row[2]) for row in GEORGE]) + rng.normal(0.0, 1.0, (3000, 1))
    alone = posterior(GEORGE, sds=[1.0] * 8)
    found, plain = posterior(GEORGE, costs=together), posterior(GEORGE)
    assert alone is not None
    assert found is not None
    assert plain is not None
    for a, b in zip(found.spots, plain.spots, strict=True):
        assert a is not None
        assert b is not None
        assert a.chances == b.chances
        assert a.margin_var == pytest.approx(1.0, rel=0.1)
    haddock = alone.spots[4]
    assert haddock is not None
    assert haddock.chances["star"] > 0.3


def test_equal_margins_are_ties_in_draws_too() -> None:
    rows: list[ItemRow] = [(n, 50, 4.85, 7.95) for n in "abc"]
    for tie, klass in (("high", "star"), ("low", "plowhorse")):
        found = posterior(rows, tie=tie, draws=500)  # type: ignore[arg-type]
        assert found is not None
        assert all(spot is not None and spot.chances[klass] > 0.9 for spot in found.spots)  # type: ignore[index]


def test_shapes_and_figures_that_do_not_fit_are_refused() -> None:
    ones = np.ones((5, 8))
    for how in ({"sds": [1.0]}, {"sds": [-1.0] * 8}, {"costs": ones[:, :7]}, {"costs": ones * np.nan},
                {"costs": ones[:0]}, {"sds": [1.0] * 8, "costs": ones}):  # fmt: skip
        with pytest.raises(ValueError, match=r"rows|both"):
            posterior(GEORGE, **how)
    assert posterior([("a", 0, 1, 5)]) is None
    left = posterior([*GEORGE, ("never", 0, 1, 9)], unsold="left out", draws=200)
    assert left is not None
    assert left.spots[-1] is None


def test_the_outline_holds_what_it_says() -> None:
    spot = Spot(chances={}, draws=1, sold=10.0, margin=5.0, sold_var=4.0, margin_var=1.0, cov=1.2)
    points = np.array(spot.outline(0.9)) - (10.0, 5.0)
    inverse = np.linalg.inv(np.array([[4.0, 1.2], [1.2, 1.0]]))
    distance = np.einsum("ki,ij,kj->k", points, inverse, points)
    assert distance == pytest.approx(np.full(48, 4.60517), abs=1e-4)  # 90 % point of chi-square with 2 degrees
    flat_one = Spot(chances={}, draws=1, sold=10.0, margin=5.0, sold_var=4.0, margin_var=0.0, cov=0.0)
    assert {y for _, y in flat_one.outline()} == {5.0}


def test_the_interval_of_a_share_is_wilsons() -> None:
    # 55 of 629: 6.8 to 11.2 %; 0 of 10: 0 to 27.75 % (Brown, Cai and DasGupta 2001, from memory)
    assert [f"{100 * x:.1f}" for x in wilson(55, 629)] == ["6.8", "11.2"]
    assert wilson(0, 10) == pytest.approx((0.0, 0.2775), abs=1e-4)
    assert wilson(0, 0) == (0.0, 1.0)
    with pytest.raises(ValueError, match="no share"):
        wilson(3, 2)


@pytest.mark.parametrize(("share", "n"), [(0.0, 8), (0.03, 8), (0.2, 8), (65 / 629, 8), (0.1, 4), (0.5, 3), (0.02, 30)])
def test_sales_needed_is_the_first_number_from_which_all_tell(share: float, n: int) -> None:
    cut = 0.7 / n
    found = sales_needed(share, cut, n)
    assert found is not None
    sales = np.arange(0, 4 * found + 50)
    below = beta.cdf(cut, share * sales + 1.0, (1.0 - share) * sales + n - 1.0)
    told = (1.0 - below if share >= cut else below) >= 0.9
    first = 0 if told.all() else int(np.flatnonzero(~told)[-1]) + 1
    assert found == first


def test_sales_needed_near_the_cut() -> None:
    # z^2 p(1 - p)/(p - q)^2 with z 1.2816, from a normal table; lamb at 8.744 % against 8.750 % is never told
    p, q = 0.095, 0.0875
    assert sales_needed(p, q, 8) == pytest.approx(1.2816**2 * p * (1 - p) / (p - q) ** 2, rel=0.05)
    assert sales_needed(55 / 629, 0.0875, 8) is None
    assert sales_needed(0.5, 0.7, 1) == 0
    assert 40 < enough(0.0875, 8) < 150
    assert enough(0.0, 5) == 0


def test_stated_chances_are_right_as_often_as_they_say() -> None:
    # a few houses; the long run is python -m tests.menu.calibration
    stated = state(flat, 120, draws=1000)
    for low, _, mean, often, error, n in table(stated, (0.0, 0.1, 0.5, 0.9, 1.0)):
        assert often == pytest.approx(mean, abs=5 * max(error, 0.5 / sqrt(n) * 0.2)), low
