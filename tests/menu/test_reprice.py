"""Pricing a whole menu: against enumeration, against its own limits in Decimal, and what it says when it cannot."""

import random
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.book.levies import PricePoints
from costing.menu.reprice import reprice
from costing.menu.reprice_model import Choosing, choose
from costing.menu.reprice_record import Aim, Limits, PriceRow, Repricing
from costing.menu.reprice_volumes import Volumes, at_volumes, break_even
from costing.pricing.levies import net_of
from tests.ledger.strategies import laws
from tests.menu.enumerate import LEVIES, Case, random_case
from tests.menu.reprice_brute import agree

D = Decimal
HALVES = PricePoints(D("0.50"))
CASES = st.integers(0, 10**9).map(lambda seed: random_case(random.Random(seed), 5))


def solve(case: Case, **more: object) -> Repricing:
    """A case repriced."""
    given_ = {"points": case.points, "limits": case.limits, "order": case.pairs, "goal": case.goal} | more
    return reprice(case.rows, case.aim, **given_)  # type: ignore[arg-type]


def row(key: str, cost: str, sold: int, price: str, **more: object) -> PriceRow:
    """A line without taxes."""
    return PriceRow(key=key, name=key.title(), cost=D(cost), sold=D(sold), price=D(price), **more)  # type: ignore[arg-type]


def test_the_optimum_is_that_of_enumeration() -> None:
    """Fifteen menus; ``python -m tests.menu.reprice_brute`` takes two hundred of up to six serves."""
    rng = random.Random(20)
    for _ in range(15):
        agree(random_case(rng, 4))


@laws(25)
@given(CASES)
def test_every_limit_is_kept_in_decimal(case: Case) -> None:
    found = solve(case)
    at = {line.row.key: line.new.all_in for line in found.rows}
    net = sum((r.sold * net_of(at[r.key], LEVIES) for r in case.rows), D(0))
    cost = sum((r.sold * r.cost for r in case.rows), D(0))
    slack = D("1e-9") * sum((r.sold for r in case.rows), D(0))
    if found.met and case.aim.kind == "pour_cost":
        assert cost <= case.aim.value * (net + slack) + D("1e-20")
    elif found.met:
        assert net - cost >= case.aim.value - slack
    for line in found.rows:
        r, price = line.row, line.new.all_in
        if r.held or not found.possible:
            assert price == r.price, "held never moves, and nothing does where the limits contradict each other"
            continue
        assert price == r.price or price % HALVES.step == 0
        assert r.least is None or price >= r.least
        assert r.most is None or price <= r.most
        assert case.limits.rise is None or price <= r.price * (1 + case.limits.rise)
        assert case.limits.rise_money is None or price <= r.price + case.limits.rise_money
        assert case.limits.reductions or price >= r.price
    if found.possible:
        assert case.limits.at_most is None or len(found.moved) <= case.limits.at_most
        held = {r.key: r.held for r in case.rows}
        assert all(at[a] >= at[b] or (held[a] and held[b]) for a, b in case.pairs)


@laws(20)
@given(CASES, st.integers(0, 4))
def test_more_room_is_never_worse(case: Case, which: int) -> None:
    first = solve(case)
    limits = case.limits
    wider = [
        replace(limits, rise=None, rise_money=None), replace(limits, at_most=None), replace(limits, reductions=True),
        replace(limits, within=limits.within + 1), limits,
    ][which]  # fmt: skip
    rows = tuple(replace(r, least=None, most=None) for r in case.rows) if which == 4 else case.rows
    second = solve(replace(case, rows=rows, limits=wider))
    assert second.possible >= first.possible
    assert second.met >= first.met
    if first.met and case.goal == "smallest":
        assert second.change <= first.change
    elif first.met:
        assert len(second.moved) <= len(first.moved)
    elif first.possible:
        assert second.met or second.after.net >= first.after.net


@laws(15)
@given(CASES, st.randoms(use_true_random=False))
def test_lines_in_any_order_get_the_same_prices(case: Case, rng: random.Random) -> None:
    rows = list(case.rows)
    rng.shuffle(rows)
    assert solve(replace(case, rows=tuple(rows))).prices == solve(case).prices


@laws(15)
@given(CASES)
def test_what_is_met_already_changes_nothing(case: Case) -> None:
    """With limits that the present prices keep."""
    rows = tuple(replace(r, least=None, most=None) for r in case.rows)
    net = sum((r.sold * r.net(r.price) for r in rows), D(0))
    cost = sum((r.sold * r.cost for r in rows), D(0))
    found = solve(replace(case, rows=rows, pairs=(), aim=Aim(kind="margin", value=net - cost)))
    assert found.met
    assert found.moved == ()
    assert found.before == found.after
    assert found.everything.steps == 0


MENU = (
    row("ale", "1.50", 400, "6.00"),  # pour cost 25 %
    row("sour", "2.60", 150, "13.00"),  # 20 %
    row("short", "3.00", 60, "12.00"),  # 25 %
)
"""Invented: costs 600 + 390 + 180 = 1,170; net sales 2,400 + 1,950 + 720 = 5,070, 23.08 %."""


def test_a_menu_worked_by_hand() -> None:
    """22 % needs net sales of 1,170 / 0.22 = 5,318.18, 248.18 more. Within 10 % ale may rise once (+200), sour twice
    (+75 each), short twice (+30 each). 200 + 75 = 275 is enough for 1.00 in two changes; no single change is."""
    found = reprice(MENU, Aim(kind="pour_cost", value=D("0.22")), points=HALVES)
    assert found.prices == {"ale": D("6.50"), "sour": D("13.50")}
    assert (found.met, found.proven, found.change, found.gap) == (True, True, D("1.00"), None)
    assert found.before.pour_cost == D(1170) / D(5070)
    assert (found.after.net, found.after.margin) == (D(5345), D(4175))
    ale, sour, short = found.rows
    assert ale.volume is not None
    assert round(ale.volume, 4) == D("-0.1000")  # 4.50 / 5.00 - 1
    assert ale.stopped == {"rise"}
    assert sour.stopped == frozenset()
    assert short.volume is None
    plain = found.everything  # +0.50 on all: 610 drinks, 305 more, at once
    assert (plain.steps, plain.changed, plain.change, plain.met) == (1, 3, D("1.50"), True)


def test_fewest_takes_one_larger_change_instead_of_two() -> None:
    """245 more, with ale at 6.50 at most: ale +0.50 and sour +0.50 bring 275 for 1.00 in two changes; sour alone must
    rise by 2.00 (+300). Without that bound ale +1.00 alone is as small as the two and one change less."""
    aim, limits = Aim(kind="margin", value=D(3900 + 245)), Limits(rise=D("0.20"))
    bounded = (replace(MENU[0], most=D("6.50")), *MENU[1:])
    smallest = reprice(bounded, aim, points=HALVES, limits=limits)
    assert smallest.prices == {"ale": D("6.50"), "sour": D("13.50")}
    fewest = reprice(bounded, aim, points=HALVES, limits=limits, goal="fewest")
    assert fewest.prices == {"sour": D("15.00")}
    assert reprice(MENU, aim, points=HALVES, limits=limits).prices == {"ale": D("7.00")}


def test_how_far_one_gets_and_what_is_in_the_way() -> None:
    """A rise of 10 % on each brings 200 + 150 + 60 = 410: 5,480, 21.35 %. 21 % needs 5,571.43: 501.43 more. 1.50 on the
    sour (11.5 %) makes 485, and 1.50 on the short (12.5 %) 515."""
    found = reprice(MENU, Aim(kind="pour_cost", value=D("0.21")), points=HALVES)
    assert not found.met
    assert found.possible
    assert found.after.net == 5480
    why = {r.family: r for r in found.relaxed}
    assert set(why) == {"rise", "points"}
    assert why["rise"].reaches
    assert why["rise"].needs == D("0.125")
    assert set(why["rise"].keys) == {"ale", "sour", "short"}
    assert why["points"].reaches  # 10 % to the cent brings 240 + 195 + 72 = 507


def test_between_the_points_is_another_reach() -> None:
    """To the cent ale would be 6.60, sour 14.30, short 13.20: 240 + 195 + 72 = 507 more."""
    found = reprice(MENU, Aim(kind="margin", value=D(3900 + 507)), points=HALVES)
    (points,) = (r for r in found.relaxed if r.family == "points")
    assert points.reaches
    assert points.after is not None
    assert points.after.net == 5577
    short_of = reprice(MENU, Aim(kind="margin", value=D("4407.01")), points=HALVES)
    assert not next(r for r in short_of.relaxed if r.family == "points").reaches


def test_the_number_of_changes_that_is_enough() -> None:
    limits = Limits(at_most=1)
    found = reprice(MENU, Aim(kind="pour_cost", value=D("0.22")), points=HALVES, limits=limits)
    (number,) = (r for r in found.relaxed if r.family == "number")
    assert (number.reaches, number.needs) == (True, D(2))
    assert set(number.keys) == {"sour", "short"}
    assert found.prices == {"ale": D("6.50")}


def test_size_order_is_kept_and_named() -> None:
    """A large ale may not be cheaper than the small one, which is the only one that may rise."""
    rows = (row("large", "2.00", 10, "6.00", held=True), row("small", "1.00", 100, "5.50"))
    aim = Aim(kind="margin", value=D(40 + 450 + 100))
    free = reprice(rows, aim, points=HALVES, limits=Limits(rise=None))
    assert free.prices == {"small": D("6.50")}
    found = reprice(rows, aim, points=HALVES, limits=Limits(rise=None), order=[("large", "small")])
    assert not found.met
    assert found.prices == {"small": D("6.00")}
    why = {r.family: r for r in found.relaxed}
    assert why["order"].reaches
    assert why["order"].keys == ("small",)
    assert why["held"].reaches
    assert why["held"].keys == ("large",)
    upside = reprice(rows, Aim(kind="margin", value=D(0)), points=HALVES, order=[("small", "large")])
    assert upside.met, "the one that may move is brought into order even where the aim is met"
    assert upside.prices == {"small": D("6.00")}
    both = tuple(replace(r, held=True) for r in rows)
    left = reprice(both, Aim(kind="margin", value=D(0)), points=HALVES, order=[("small", "large")])
    assert left.met
    assert [d.code for d in left.doubts] == ["held-out-of-order"]


def test_limits_that_contradict_each_other_are_named() -> None:
    rows = (row("ale", "1.50", 400, "6.00", least=D("8.00")), *MENU[1:])
    found = reprice(rows, Aim(kind="pour_cost", value=D("0.22")), points=HALVES)
    assert not found.possible
    assert not found.met
    assert found.moved == ()
    why = {r.family: r for r in found.relaxed}
    assert why["rise"].reaches
    assert why["rise"].needs == D("0.333334")
    assert why["rise"].keys == why["bounds"].keys == ("ale",)
    assert why["bounds"].after is not None


def test_a_sum_that_comes_out_exactly_is_met() -> None:
    """Exactly 5,345 is needed: one tenth of a cent more is not reached by the same prices."""
    rows = tuple(replace(r, levies=LEVIES) for r in MENU)
    wanted = D(5345) / D("1.199") - D(1170)
    found = reprice(rows, Aim(kind="margin", value=wanted), points=HALVES)
    assert found.prices == {"ale": D("6.50"), "sour": D("13.50")}
    more = reprice(rows, Aim(kind="margin", value=wanted + D("0.001")), points=HALVES)
    assert more.change == D("1.50")


def test_what_the_solver_forgives_decimal_does_not() -> None:
    """A line of a thousand million in money makes the solver's 1e-6 worth 0.1; 0.05 too little is still too little."""
    rows = (row("palace", "0", 1_000_000, "1000.00"), row("ale", "0", 1, "10.00"))
    choosing = Choosing(
        rows=rows, choices=[[D(1000), D(2000)], [D(10), D("10.50")]], needed=D(1_000_000_010) + D("0.05")
    )
    assert not choosing.holds([D(1000), D(10)])
    found = choose(choosing, ("change", "number"), float("inf"))
    assert found is not None
    assert found.prices == (D(1000), D("10.50"))
    assert found.proven == ("change", "number")


def test_time_that_ends_gives_what_there_is() -> None:
    found = reprice(MENU, Aim(kind="pour_cost", value=D("0.22")), points=HALVES, seconds=0.0)
    assert found.met
    assert not found.proven
    told: list[tuple[int, int]] = []
    reprice(MENU, Aim(kind="pour_cost", value=D("0.01")), points=HALVES, progress=lambda n, of: told.append((n, of)))
    assert told == sorted(told)
    assert told[-1][0] == told[-1][1]


def test_other_volumes_are_supposed_never_known() -> None:
    """Ale 6.50 and sour 13.50: margins 5.00 and 10.90, short 9.00 as before; 3,900 before."""
    found = reprice(MENU, Aim(kind="pour_cost", value=D("0.22")), points=HALVES)
    less, same, named = at_volumes(
        found, [Volumes(changed=D("-0.2")), Volumes(), Volumes(sold={"ale": D(100), "short": D(70)})]
    )
    assert less.after.margin == 320 * 5 + 120 * D("10.90") + 60 * 9
    assert same.after == found.after
    assert same.gain == 275
    assert named.after.margin == 100 * 5 + 150 * D("10.90") + 70 * 9
    even = break_even(found)
    assert even is not None
    assert abs(at_volumes(found, [Volumes(changed=even)])[0].gain) < D("1e-20")
    with pytest.raises(ValueError, match="there is no line nix"):
        at_volumes(found, [Volumes(sold={"nix": D(1)})])


@pytest.mark.parametrize(
    ("rows", "aim", "limits", "why"),
    [
        ((), ("margin", "1"), {}, "no price to change"),
        ((row("a", "1", 0, "5"),), ("margin", "1"), {}, "nothing was sold"),
        ((row("a", "1", 1, "5"), row("a", "1", 1, "5")), ("margin", "1"), {}, "one key"),
        ((row("a", "1", 1, "5"),), ("pour_cost", "0"), {}, "must lie above 0"),
        ((row("a", "1", 1, "5"),), ("pour_cost", "1.5"), {}, "must lie above 0"),
        ((row("a", "1", 1, "5"),), ("margin", "1"), {"within": 0}, "price points"),
        ((row("a", "1", 1, "5"),), ("margin", "1"), {"rise": D("-0.1")}, "must not be below 0"),
    ],
)
def test_a_bad_call_says_so(
    rows: tuple[PriceRow, ...], aim: tuple[str, str], limits: dict[str, object], why: str
) -> None:
    def call() -> None:
        wanted = Aim(kind=aim[0], value=D(aim[1]))  # type: ignore[arg-type]
        reprice(rows, wanted, points=HALVES, limits=Limits(**limits))  # type: ignore[arg-type]

    with pytest.raises(ValueError, match=why):
        call()
    with pytest.raises(ValueError, match="must not be below 0"):
        row("a", "1", -1, "5")


def test_doubts_are_named() -> None:
    rows = (
        row("ale", "1.50", 400, "6.20"), row("sour", "2.60", 150, "13.00", complete=False),
        row("short", "3.00", 60, "12.00", held=True, most=D("11.00")),
    )  # fmt: skip
    found = reprice(rows, Aim(kind="margin", value=D(0)), points=HALVES)
    assert {d.code: d.names for d in found.doubts} == {
        "at-least": ("Sour",), "off-the-points": ("Ale",), "held-out-of-bounds": ("Short",),
    }  # fmt: skip
    assert found.prices == {}
