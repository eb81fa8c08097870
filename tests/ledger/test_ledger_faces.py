"""What a faulty or half-known record does to cost: it is kept out, or costed and marked, and the rest goes on."""

from decimal import Decimal
from typing import Any

import pytest

from costing.book import Book
from costing.book.plain import record_from_plain
from costing.ledger import reckon
from costing.pricing import priced_serves
from tests.ledger.test_ledger_edges import DAY, Plain, add, book, errors, on_the_day, prep


def serve(ident: str, *adds: Plain, **version: Any) -> Plain:
    """A drink of one stage."""
    build = {"id": "build", "kind": "build", "adds": list(adds)}
    return {"id": ident, "name": ident, "versions": [{"since": "2026-01-01", "build": build, **version}]}


LEMON = {"id": "lemon", "name": "Lemon", "kind": "fruit", "base": "kg", "piece": "100 g", "makeup": {"water": "88 %"}}


def test_an_id_that_means_two_things_costs_nothing() -> None:
    good = {"id": "twin", "name": "Twin", "kind": "juice", "base": "l", "makeup": {"brix": "10 Bx"}}
    twin = prep("twin", {"kind": "blend", "adds": [add("rum", "1 l")]})
    reckoning = on_the_day(
        twin, goods=[good], serves=[serve("drink", add("twin", "50 ml")), serve("other", add("rum", "5 cl"))]
    )
    assert ("id-clash", "good/twin") in errors(reckoning)
    assert "twin" not in reckoning.direct
    assert not reckoning.serve_cost("drink").complete
    assert reckoning.serve_cost("other").materials == pytest.approx(0.10)


def test_a_machine_or_technique_that_is_not_there_keeps_its_record_out() -> None:
    spun = prep(
        "spun", {"kind": "clarify", "adds": [add("juice", "1 l")], "facts": {"yield": "90 %"}, "equipment": "ghost"}
    )
    reckoning = on_the_day(
        spun, serves=[serve("drink", add("juice", "50 ml"), technique="ghost"), serve("other", add("juice", "5 cl"))]
    )
    assert {where for _, where in errors(reckoning)} == {"spun/stage/s0", "drink"}
    assert "spun" not in reckoning.costs
    assert "drink" not in reckoning.serves
    assert reckoning.serve_cost("other").complete


def test_a_fault_in_a_version_of_another_day_does_not_bar_today() -> None:
    recipe = prep("mix", {"kind": "blend", "adds": [add("rum", "1 l")]})
    recipe["versions"].append(
        {"since": "2027-01-01", "stages": [{"id": "s0", "kind": "blend", "adds": [add("ghost", "1 l")]}]}
    )
    reckoning = on_the_day(recipe)
    assert [p.code for p in reckoning.problems if p.level == "error"] == ["no-source"]
    assert reckoning.costs["mix"].materials == pytest.approx(2.00)


def test_a_users_problem_points_to_the_preparation_that_is_refused() -> None:
    bad = prep("bad", {"kind": "blend", "adds": [add("juice", "1 spoon")]})
    user = prep("user", {"kind": "blend", "adds": [add("bad", "1 l")]})
    assert ("refused-source", "user/stage/s0/add/1") in errors(on_the_day(bad, user))


def test_a_garnish_made_in_the_house_stands_beside_the_drink() -> None:
    wheels = prep(
        "wheel", {"kind": "cut", "adds": [add("lemon", "10")], "facts": {"keep": "80 %"}}, base="each", pieces="60"
    )
    drink = serve("drink", add("rum", "50 ml"), add("wheel", "1"), technique="stirred")
    stirred = record_from_plain("technique", {"id": "stirred", "name": "Stirred", "dilution": "25 %"})
    held = book(wheels, goods=[LEMON], serves=[drink])
    reckoning = reckon(Book.of([*held.records.values(), stirred]).on(DAY))
    assert not errors(reckoning)
    line = reckoning.serves["drink"]
    assert line.on.matter.abv == pytest.approx(0.60 / 1.25, abs=0.01)
    assert line.on.matter.insolubles == 0.0
    assert reckoning.serve_cost("drink").materials == pytest.approx(0.10 + 2.00 / 60, rel=1e-9)


def test_fruit_loose_in_a_glass_is_costed_and_its_strength_not_told() -> None:
    drink = serve("drink", add("rum", "50 ml"), add("fruit", "20 g"), technique="shaken")
    shaken = record_from_plain("technique", {"id": "shaken", "name": "Shaken", "dilution": "50 %"})
    held = book(serves=[drink])
    reckoning = reckon(Book.of([*held.records.values(), shaken]).on(DAY))
    assert [p.code for p in reckoning.problems] == ["melt-not-known"]
    assert reckoning.serves["drink"].on.matter.abv is None
    assert reckoning.serve_cost("drink").materials == pytest.approx(0.10 + 0.04, rel=1e-9)


def test_three_lines_are_enough_to_cost_a_preparation() -> None:
    odd = {"id": "odd", "name": "Odd", "kind": "dry", "base": "kg"}
    jam = prep("jam", {"kind": "make", "adds": [add("odd", "1 kg"), add("sugar", "1 kg")], "facts": {"makes": "1.6 l"},
                       "active": "30 min"})  # fmt: skip
    reckoning = on_the_day(jam, goods=[odd], serves=[serve("drink", add("jam", "100 ml"), add("rum", "50 ml"))])
    assert not errors(reckoning)
    output = reckoning.ledgers["jam"].outputs["jam"]
    assert (output.made, output.unit.matter) == (1.6, None)
    assert reckoning.costs["jam"].making == pytest.approx((2.00 + 2.00 + 1.00) / 1.6, rel=1e-12)
    assert reckoning.serve_cost("drink").materials == pytest.approx(0.1 * 4.00 / 1.6 + 0.10, rel=1e-12)
    assert "not-followed" in {p.code for p in reckoning.problems}


def test_boiling_down_what_holds_alcohol_is_marked() -> None:
    reckoning = on_the_day(prep("pan", {"kind": "reduce", "adds": [add("wine", "1 l")], "facts": {"to": "0.6 l"}}))
    assert [(p.code, p.level) for p in reckoning.problems] == [("alcohol-may-leave", "warning")]
    assert reckoning.costs["pan"].complete


def test_more_alcohol_out_than_in_is_refused_outside_the_still_too() -> None:
    stage = {"kind": "infuse", "adds": [add("rum", "1 l"), add("fruit", "0.5 kg")],
             "readings": {"out.volume": "1.1 l", "out.abv": "58 % vol"}}  # fmt: skip
    assert errors(on_the_day(prep("steep", stage))) == [("more-ethanol-than-in", "steep/stage/s0")]


def test_a_day_before_the_first_terms_has_no_net_price() -> None:
    menu = {"id": "main", "name": "Main", "sections": [{"name": "All", "lines": [
        {"serve": "drink", "prices": [{"since": "2025-01-01", "price": "12.00"}]}]}]}  # fmt: skip
    terms = [{"since": "2027-01-01", "levies": [{"name": "VAT", "rate": "0.19"}]}]
    held = book(serves=[serve("drink", add("rum", "50 ml"))], house={"terms": terms})
    reckoning = reckon(Book.of([*held.records.values(), record_from_plain("menu", menu)]).on(DAY))
    assert "no-terms-yet" in {p.code for p in reckoning.problems}
    (priced,) = priced_serves(reckoning)
    assert (priced.price, priced.suggestion) == (None, None)


def test_the_latest_valid_quote_costs_a_good() -> None:
    """Common practice, no source: a quote of unknown tax cannot be paid from, so the next supplier's stands in."""
    late = {"id": "late", "good": "juice", "supplier": "dear", "content": "1 l", "price": "9.00", "currency": "EUR",
            "since": "2026-02-01", "tax": "unknown"}  # fmt: skip
    dear = record_from_plain("supplier", {"id": "dear", "name": "Dear"})
    held = Book.of([*book().records.values(), dear, record_from_plain("quote", late)])
    reckoning = reckon(held.on(DAY))
    assert reckoning.costs["juice"].materials == pytest.approx(2.00)
    assert [(p.code, p.level) for p in reckoning.problems] == [("tax-unknown", "warning")]


@pytest.mark.parametrize(
    ("amount", "good", "house"),
    [
        ("3", {**LEMON, "piece": "~100 g"}, {}),  # the weight of a piece
        ("1 dash", LEMON, {"measures": {"dash": "~2 g"}}),  # a house measure
        ("0.2 l", {**LEMON, "density": "~0.9 kg/l"}, {}),  # a density
        ("~200 g", LEMON, {}),  # the amount itself
    ],
)
def test_an_assumed_bridge_counts_as_an_assumption(amount: str, good: Plain, house: Plain) -> None:
    reckoning = on_the_day(
        prep("cut", {"kind": "cut", "adds": [add("lemon", amount)], "facts": {"keep": "80 %"}}, base="kg"),
        goods=[good], house=house,
    )  # fmt: skip
    assert reckoning.assumed_share(reckoning.direct["cut"]) == pytest.approx(1.0)


def test_an_assumed_pack_counts_as_an_assumption() -> None:
    mix = prep("mix", {"kind": "blend", "adds": [add("juice", "1 l"), add("rum", "1 l")]})
    reckoning = on_the_day(mix, quotes=[{"good": "juice", "content": "~1 l"}])
    assert reckoning.assumed_share(reckoning.direct["mix"]) == pytest.approx(0.5)


def test_break_even_is_not_told_from_a_price_that_loses() -> None:
    from costing.pricing import break_even_volume

    assert break_even_volume(Decimal("1.00"), Decimal("3.00"), Decimal("2.00")) is None


def test_a_product_that_cannot_be_worked_out_ends_its_preparation() -> None:
    odd = {"id": "odd", "name": "Odd", "kind": "dry", "base": "kg"}
    stages: list[Plain] = [{"kind": "make", "adds": [add("odd", "1 kg")], "facts": {"makes": "0.9 l"}},
              {"kind": "blend", "adds": [add("rum", "1 l")]}]  # fmt: skip
    assert [c for c, _ in errors(on_the_day(prep("jam", *stages), goods=[odd]))] == ["make-not-last"]


@pytest.mark.parametrize("kind", ["steeped then strained", "infused"])
def test_a_spent_ratio_is_over_the_solids_wherever_they_went_in(kind: str) -> None:
    adds, ratio = [add("fruit", "0.5 kg"), add("rum", "1 l")], {"spent_ratio": "75 %"}
    infused = prep("p", {"kind": "infuse", "adds": adds, "facts": ratio})
    steeped = prep("p", {"kind": "blend", "adds": adds}, {"kind": "strain", "facts": ratio})
    output = on_the_day(infused if kind == "infused" else steeped).ledgers["p"].outputs["p"]
    spirit, fruit = 1.0 * 0.9091, 0.5  # kg; density of 60 % vol by OIML R 22
    assert output.unit.matter is not None
    assert output.unit.matter.mass * output.made == pytest.approx(spirit + fruit - 0.75 * fruit, abs=1e-4)


@pytest.mark.parametrize(
    ("kind", "facts"),
    [
        ("trim", {"keep": "60 %", "refuse": "30 %"}),
        ("roast", {"lost": "30 %", "to": "0.9 kg"}),
        ("infuse", {"spent": "0.4 kg", "yield": "60 %"}),
        ("distil", {"pressure": "50 mbar", "take": "0.3 l", "pot_abv": "5 % vol"}),
        ("proof", {"abv": "20 % vol", "brix": "5 Bx"}),
    ],
)
def test_facts_that_compete_are_refused(kind: str, facts: Plain) -> None:
    reckoning = on_the_day(prep("p", {"kind": kind, "adds": [add("fruit", "1 kg"), add("rum", "1 l")], "facts": facts}))
    assert [c for c, _ in errors(reckoning)] == ["facts-compete"]


@pytest.mark.parametrize(
    ("base", "version", "stage"),
    [
        ("each", {"pieces": "~20"}, {}),
        ("l", {"density": "~1.05 kg/l"}, {}),
        ("l", {}, {"facts": {"keep": "~90 %"}}),
        ("l", {}, {"facts": {"yield": "~90 %"}, "kind": "clarify"}),
    ],
)
def test_an_assumed_divisor_or_yield_marks_the_whole(base: str, version: Plain, stage: Plain) -> None:
    made = prep("p", {"kind": "bottle", "adds": [add("juice", "1 l")], **stage}, base=base, **version)
    reckoning = on_the_day(made)
    assert reckoning.assumed_share(reckoning.direct["p"]) == pytest.approx(1.0)


def test_assumed_runs_and_times_mark_the_hours_they_multiply() -> None:
    for stage in ({"active": "~30 min"}, {"active": "30 min", "facts": {"runs": "~2"}}):
        made = prep("p", {"kind": "bottle", "adds": [add("juice", "2 l")], **stage})
        reckoning = on_the_day(made)
        cost = reckoning.costs["p"]
        assert reckoning.assumed_share(reckoning.direct["p"]) == pytest.approx(cost.columns[3] / cost.making)


def test_hands_priced_by_the_shift_are_not_taken_for_hours() -> None:
    hand = {"id": "shift", "name": "Shift", "kind": "labour", "base": "each", "layer": "labour"}
    made = prep("p", {"kind": "bottle", "adds": [add("juice", "1 l")], "active": "30 min", "labour": "shift"})
    assert [c for c, _ in errors(on_the_day(made, goods=[hand]))] == ["time-not-priced"]


def test_what_is_spilled_is_lost_here_too() -> None:
    stage = {"kind": "infuse", "adds": [add("rum", "1 l", spill="10 %"), add("fruit", "0.5 kg")],
             "facts": {"spent": "0.4 kg"}}  # fmt: skip
    reckoning = on_the_day(prep("p", stage))
    (line,) = reckoning.ledgers["p"].lines
    assert reckoning.lost_here(line) == pytest.approx(reckoning.lost_money(line.carried), rel=1e-12)


def test_sugar_left_in_the_pot_of_a_water_distillate_is_no_loss_of_it() -> None:
    stage = {"kind": "distil", "adds": [add("water", "2 kg"), add("sugar", "1 g")],
             "facts": {"pressure": "50 mbar", "take": "1 l"}}  # fmt: skip
    (line,) = on_the_day(prep("p", stage)).ledgers["p"].lines
    assert (line.key, round(line.share_lost, 2)) == ("mass", 0.5)


@pytest.mark.parametrize(
    ("weighed", "refused"), [("1.000 kg", False), ("1.004 kg", False), ("1.006 kg", True), ("1.060 kg", True)]
)
def test_scales_may_err_by_half_a_per_cent_and_no_more(weighed: str, refused: bool) -> None:
    """Common practice, no source: half a per cent is what a bench scale and a tared tray are good for."""
    stage = {"kind": "rest", "adds": [add("water", "1 kg")], "readings": {"out.mass": weighed}}
    reckoning = on_the_day(prep("p", stage, base="kg"))
    assert bool(errors(reckoning)) is refused
    if not refused:
        assert reckoning.ledgers["p"].outputs["p"].made == pytest.approx(1.0, rel=1e-12)


@pytest.mark.parametrize(("strength", "refused"), [("60.3 % vol", False), ("61.5 % vol", True)])
def test_a_hydrometer_may_err_by_half_a_per_cent(strength: str, refused: bool) -> None:
    stage = {"kind": "rest", "adds": [add("rum", "1 l")], "readings": {"out.abv": strength}}
    assert bool(errors(on_the_day(prep("p", stage)))) is refused


def test_what_a_mother_spills_of_itself_is_lost_whole_and_what_it_keeps_by_its_own_memo() -> None:
    """The memo by hand: L = fresh lost + own lost x E + own kept x L, where E is all the wine in a litre."""
    stage = {"kind": "rest", "adds": [add("m", "1 l", spill="10 %"), add("wine", "2 l")], "facts": {"keep": "90 %"}}
    reckoning = on_the_day(prep("m", stage))
    litres = reckoning.ledgers["m"].outputs["m"].made
    own, own_lost = 1.1 / litres, (0.1 + 1.0 * 0.1) / litres
    wine, wine_lost = 2.0 / litres, 2.0 * 0.1 / litres
    inside = wine / (1.0 - own)
    lost = (wine_lost + own_lost * inside) / (1.0 - (own - own_lost))
    direct = reckoning.direct["m"]
    assert direct.row["wine"] == pytest.approx(inside, rel=1e-9)
    assert direct.lost["wine"] == pytest.approx(lost, rel=1e-9)
