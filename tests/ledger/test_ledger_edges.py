"""Recipes and quotes at the edge: each is small, each ends as a figure or as a named Problem, never as a crash."""

import re
from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from costing.book import Book
from costing.book.plain import BadForm, record_from_plain
from costing.ledger import Reckoning, reckon
from costing.ledger.follow import follow
from costing.pricing import priced_serves
from tests.ledger.test_ledger_laws import closes, log_of

DAY = date(2026, 3, 2)
Plain = dict[str, Any]
BASES = {
    "sugar": ("sugar", "kg", {}),
    "acid": ("acid", "kg", {}),
    "water": ("water", "kg", {}),
    "juice": ("juice", "l", {"brix": "12 Bx"}),
    "cordial": ("juice", "l", {"brix": "50 Bx"}),
    "rum": ("spirit", "l", {"abv": "60 % vol"}),
    "wine": ("wine", "l", {"abv": "12 % vol"}),
    "fruit": ("fruit", "kg", {"water": "86 %", "solubles": "10 %"}),
    "straw": ("consumable", "each", {}),
}


def add(source: str, amount: str | None, **more: str) -> Plain:
    """One input."""
    return {"source": source, "amount": amount, **more}


def prep(ident: str, *stages: Plain, base: str = "l", **version: Any) -> Plain:
    """One preparation."""
    named = [{"id": f"s{n}", **stage} for n, stage in enumerate(stages)]
    return {"id": ident, "name": ident, "base": base,
            "versions": [{"since": "2026-01-01", "stages": named, **version}]}  # fmt: skip


def book(
    *preparations: Plain,
    goods: Sequence[Plain] = (),
    quotes: Sequence[Plain] = (),
    serves: Sequence[Plain] = (),
    house: Mapping[str, Any] | None = None,
) -> Book:
    """A small book in which everything costs 2.00 a base unit, but for the quotes given."""
    plain: list[tuple[str, Plain]] = [
        ("house", {"id": "house", "name": "House", "currency": "EUR", "labour": "hand",
                   "terms": [{"since": "2026-01-01"}], **(house or {})}),
        ("supplier", {"id": "market", "name": "Market"}),
        ("good", {"id": "hand", "name": "Hand", "kind": "labour", "base": "h", "layer": "labour"}),
    ]  # fmt: skip
    stock: list[Plain] = [
        {"id": g, "name": g, "kind": k, "base": b, "makeup": m} for g, (k, b, m) in BASES.items()
    ] + list(goods)
    plain += [("good", good) for good in stock]
    offered = {q["good"]: q for q in quotes}
    for good in [*stock, {"id": "hand", "base": "h"}]:
        quote = {"content": f"1 {good['base']}", "price": "2.00", "currency": "EUR", "since": "2026-01-01",
                 "id": f"q-{good['id']}", "good": good["id"], "supplier": "market"}  # fmt: skip
        plain.append(("quote", {**quote, **offered.get(good["id"], {})}))
    plain += [("preparation", p) for p in preparations] + [("serve", s) for s in serves]
    return Book.of(record_from_plain(kind, record) for kind, record in plain)


def on_the_day(*preparations: Plain, **more: Any) -> Reckoning:
    """The figures of a small book."""
    reckoning = reckon(book(*preparations, **more).on(DAY))
    for ledger in reckoning.ledgers.values():
        for line in ledger.lines:
            closes(line)
    return reckoning


def errors(reckoning: Reckoning) -> list[tuple[str, str]]:
    """(code, where) of everything that is refused, without the kind and day that a place of a stage starts with."""
    return [(p.code, place(p.where)) for p in reckoning.problems if p.level == "error"]


def place(where: str) -> str:
    """ "preparation/mix/2026-01-01/stage/s0" as "mix/stage/s0"; "serve/drink/2026-01-01/stage/build/add/1" likewise."""
    return re.sub(r"^(?:preparation|serve)/([^/]+)(?:/2026-01-01)?", r"\1", where)


def test_a_dry_blend_by_weight_needs_no_volume() -> None:
    reckoning = on_the_day(
        prep("mix", {"kind": "blend", "adds": [add("acid", "1 kg"), add("sugar", "2 kg")]}, base="kg")
    )
    assert not errors(reckoning)
    assert reckoning.costs["mix"].materials == pytest.approx(2.00, rel=1e-12)


@pytest.mark.parametrize(("source", "text", "least"), [("cordial", "2.5 l", 2.49), ("juice", "1.5 l", 1.49)])
@pytest.mark.parametrize("how", ["facts", "readings"])
def test_a_sweet_liquid_reduces_to_a_volume(source: str, text: str, least: float, how: str) -> None:
    name = "to" if how == "facts" else "out.volume"
    reckoning = on_the_day(prep("pan", {"kind": "reduce", "adds": [add(source, "3 l")], how: {name: text}}))
    assert not errors(reckoning)
    assert reckoning.ledgers["pan"].outputs["pan"].made == pytest.approx(least + 0.01, rel=1e-9)


def test_a_mother_fed_with_dry_sugar_is_named() -> None:
    reckoning = on_the_day(prep("mother", {"kind": "dissolve", "adds": [add("mother", "1 l"), add("sugar", "0.3 kg")]}))
    assert reckoning.ledgers["mother"].refused
    assert {where.split("/")[0] for _, where in errors(reckoning)} == {"mother"}


@pytest.mark.parametrize(("field", "value"), [("density", "1 kg"), ("density", "0 kg/l"), ("density", "-1 kg/l")])
def test_a_density_that_is_none_is_named(field: str, value: str) -> None:
    reckoning = on_the_day(prep("mix", {"kind": "blend", "adds": [add("juice", "1 l")]}, **{field: value}))
    assert [where for _, where in errors(reckoning)] == ["mix"]
    assert reckoning.costs["juice"].complete


@pytest.mark.parametrize("value", ["3 kg", "0", "-4", "2 spoons"])
def test_a_count_of_pieces_that_is_none_is_named(value: str) -> None:
    reckoning = on_the_day(
        prep("mix", {"kind": "blend", "adds": [add("juice", "1 l")]}, base="each", pieces=value),
        prep("other", {"kind": "blend", "adds": [add("juice", "1 l")]}),
    )
    assert [where for _, where in errors(reckoning)] == ["mix"]
    assert reckoning.costs["other"].materials == pytest.approx(2.00)


def test_a_piece_that_weighs_nothing_is_named() -> None:
    lime = {"id": "lime", "name": "Lime", "kind": "fruit", "base": "each", "piece": "0 g", "makeup": {"water": "88 %"}}
    reckoning = on_the_day(prep("mix", {"kind": "blend", "adds": [add("lime", "100 g")]}, base="kg"), goods=[lime])
    assert "good/lime" in [where for _, where in errors(reckoning)]


def test_pieces_without_matter_cannot_be_weighed() -> None:
    serve = {"id": "drink", "name": "Drink", "versions": [{"since": "2026-01-01", "build": {
        "id": "build", "kind": "build", "adds": [add("bundle", "10 g"), add("juice", "10 ml")]}}]}  # fmt: skip
    bundle = prep("bundle", {"kind": "blend", "adds": [add("straw", "4")]}, base="each", pieces="4")
    reckoning = on_the_day(bundle, serves=[serve])
    assert errors(reckoning) == [("no-piece", "drink/stage/build/add/1")]


def test_a_pack_that_holds_nothing_is_named() -> None:
    quote = {"good": "juice", "content": "1 tin"}
    reckoning = on_the_day(quotes=[quote], house={"measures": {"tin": "0 l"}})
    assert [where for _, where in errors(reckoning)] == ["house", "quote/q-juice"]
    assert reckoning.costs["juice"].unpriced == {"juice"}
    assert reckoning.costs["rum"].complete


@pytest.mark.parametrize("rate", ["-1", "-0.19", "19"])
def test_a_tax_rate_that_cannot_be_is_refused_with_its_range(rate: str) -> None:
    with pytest.raises(BadForm, match="rate"):
        book(quotes=[{"good": "juice", "tax": "inc", "tax_rate": rate}])


@pytest.mark.parametrize(
    ("facts", "timed"),
    [({"runs": "-3"}, {"active": "10 min"}), ({}, {"active": "-10 min"}), ({"runs": "-1"}, {"passive": "1 h"})],
)
def test_time_below_nothing_never_earns_money(facts: Plain, timed: Plain) -> None:
    stage = {"kind": "clarify", "adds": [add("juice", "1 l")], "facts": {"yield": "90 %", **facts}, **timed}
    reckoning = on_the_day(prep("clear", stage))
    if "passive" not in timed:
        assert errors(reckoning) == [("out-of-range", "clear/stage/s0")]
    assert "clear" not in reckoning.costs or min(reckoning.costs["clear"].columns) >= 0.0


def test_runs_count_alike_for_the_still_and_for_the_clock() -> None:
    def labour(runs: str) -> float:
        stage = {"kind": "clarify", "adds": [add("juice", "1 l")], "active": "10 min",
                 "facts": {"yield": "90 %", "runs": runs}}  # fmt: skip
        return on_the_day(prep("clear", stage)).costs["clear"].columns[3]

    assert labour("300 %") == pytest.approx(labour("3"))


def test_a_cordial_let_down_with_juice_keeps_every_gram() -> None:
    stage = {"kind": "proof", "adds": [add("cordial", "1 l"), add("juice", None)], "facts": {"brix": "30 Bx"}}
    reckoning = on_the_day(prep("soft", stage))
    assert not errors(reckoning)
    output = reckoning.ledgers["soft"].outputs["soft"]
    assert output.unit.matter is not None
    assert output.unit.matter.liquid.brix == pytest.approx(30.0, rel=1e-9)
    # lever rule: (50 - 30) : (30 - 12) parts by weight
    line = reckoning.ledgers["soft"].lines[0]
    cordial, juice = (s.matter.mass for s in line.ins)
    assert juice / cordial == pytest.approx(20.0 / 18.0, rel=1e-9)


def test_a_diluent_sweeter_than_the_target_is_refused() -> None:
    stage = {"kind": "proof", "adds": [add("juice", "1 l"), add("cordial", None)], "facts": {"brix": "8 Bx"}}
    assert [where for _, where in errors(on_the_day(prep("soft", stage)))] == ["soft/stage/s0"]


def test_melt_is_the_water_that_the_ledger_says_came_in() -> None:
    stage = {"kind": "build", "adds": [add("rum", "1 l"), add("juice", None)], "facts": {"dilution": "30 %"}}
    on_the_day(prep("bowl", stage))  # closes, whatever it is made of


@pytest.mark.parametrize(
    "adds", [[add("rum", "1 l"), add("juice", None)], [add("rum", "1 l"), add("water", None), add("juice", None)]]
)
def test_an_open_amount_is_never_passed_over(adds: list[Plain]) -> None:
    reckoning = on_the_day(prep("bowl", {"kind": "blend", "adds": adds}))
    assert errors(reckoning)
    assert all(where.startswith("bowl/stage/s0") for _, where in errors(reckoning))


def _by(ident: str, share: str, stage: str = "s0") -> Plain:
    return {"id": ident, "stage": stage, "name": ident, "share": share}


STEEP = {"kind": "infuse", "adds": [add("rum", "1 l"), add("fruit", "1 kg")], "facts": {"spent": "0.8 kg"}}


@pytest.mark.parametrize("shares", [("0.1", "0.2"), ("0.6", "0.6")])
def test_two_by_products_cannot_share_one_stream(shares: tuple[str, str]) -> None:
    reckoning = on_the_day(prep("steep", STEEP, byproducts=[_by("a", shares[0]), _by("b", shares[1])]))
    assert reckoning.ledgers["steep"].refused
    assert all(where.startswith("steep") for _, where in errors(reckoning))


def test_a_by_product_of_no_stage_is_named() -> None:
    stage = {**STEEP, "adds": [*STEEP["adds"], add("steep/ghost", "1 kg")]}
    reckoning = on_the_day(prep("steep", stage, byproducts=[_by("ghost", "0.1", "elsewhere")]))
    assert reckoning.ledgers["steep"].refused


def test_own_use_is_what_the_batch_takes_of_each_output() -> None:
    stage = {
        **STEEP,
        "adds": [add("rum", "2 l"), add("fruit", "1 kg"), add("steep", "0.5 l"), add("steep/marc", "0.2 kg")],
    }
    reckoning = on_the_day(prep("steep", stage, byproducts=[_by("marc", "0.08")]))
    outputs = reckoning.ledgers["steep"].outputs
    assert outputs["steep"].own_use == pytest.approx(0.5, rel=1e-9)
    assert outputs["steep/marc"].own_use == pytest.approx(0.2, rel=1e-9)
    spent = 2 * 2.00 + 1 * 2.00
    worth = sum((o.made - o.own_use) * reckoning.costs[o.id].materials for o in outputs.values())
    assert worth == pytest.approx(spent, rel=1e-9)


@pytest.mark.parametrize(("own", "rounds"), [("2 l", 400), ("19 l", 400), ("60 l", 400)])
def test_a_mother_that_is_nearly_all_itself_settles(own: str, rounds: int) -> None:
    """A perpetual pot: 2 l of juice a batch, 1 % of the weight boiled off; Brix settles where sugar in = sugar out."""
    stage = {"kind": "reduce", "adds": [add("pot", own), add("juice", "2 l")], "facts": {"lost": "1 %"}}
    reckoning = on_the_day(prep("pot", stage))
    assert not errors(reckoning)
    ledger = reckoning.ledgers["pot"]
    assert ledger.rounds <= rounds
    unit = ledger.outputs["pot"].unit.matter
    assert unit is not None
    drawn = ledger.outputs["pot"].made - float(own.removesuffix(" l"))
    sugar_in = next(s.matter for s in ledger.lines[0].ins if s.source == "juice").solubles
    assert drawn * unit.solubles == pytest.approx(sugar_in, rel=1e-9)


@pytest.mark.parametrize("own", ["1 each", "3 each", "900 each", "1000000 each"])
def test_a_batch_that_eats_more_than_it_makes_is_called_a_gain(own: str) -> None:
    stage = {"kind": "blend", "adds": [add("loaf", own), add("wine", "1 l")], "facts": {"keep": "90 %"}}
    assert errors(on_the_day(prep("loaf", stage, base="each", pieces="1"))) == [("gain", "loaf")]


def test_a_batch_that_uses_all_it_makes_is_called_a_gain() -> None:
    stage = {"kind": "blend", "adds": [add("loaf", "1"), add("wine", "1 l")]}
    reckoning = on_the_day(prep("loaf", stage, base="each", pieces="1"))
    assert errors(reckoning) == [("gain", "loaf")]


@pytest.mark.parametrize(
    ("makeup", "brix"),
    [({"sugar": "100 g/l"}, 9.646427), ({"brix": "90 Bx"}, 90.0), ({"water": "5 %", "solubles": "95 %"}, 95.0)],
)
def test_makeup_that_says_enough_is_followed(makeup: Plain, brix: float) -> None:
    good = {"id": "odd", "name": "Odd", "kind": "sugar", "base": "kg", "makeup": makeup}
    reckoning = on_the_day(prep("mix", {"kind": "blend", "adds": [add("odd", "1 kg")]}, base="kg"), goods=[good])
    assert not errors(reckoning)
    matter = reckoning.units["odd"].matter
    assert matter is not None
    assert matter.liquid.brix == pytest.approx(brix, rel=1e-6)


def test_a_makeup_nobody_knows_is_named() -> None:
    good = {"id": "odd", "name": "Odd", "kind": "fruit", "base": "kg", "makeup": {"wter": "90 %"}}
    assert "good/odd" in [where for _, where in errors(on_the_day(goods=[good]))]


def test_a_rebate_above_the_price_does_not_stop_the_menu() -> None:
    serve = {"id": "drink", "name": "Drink", "versions": [{"since": "2026-01-01", "build": {
        "id": "build", "kind": "build", "adds": [add("juice", "100 ml")]}}]}  # fmt: skip
    quote = {"good": "juice", "charges": [{"name": "Rebate", "amount": "-3.00"}]}
    reckoning = on_the_day(serves=[serve], quotes=[quote])
    (priced,) = priced_serves(reckoning)
    assert priced.suggestion is None
    assert priced.cost.materials == pytest.approx(-0.10)


ROASTED = prep(
    "roast",
    {"kind": "trim", "adds": [add("fruit", "6 kg")], "facts": {"refuse": "49 %"}},
    {"kind": "roast", "readings": {"out.mass": "1.950 kg"}},
    {"kind": "infuse", "adds": [add("rum", "3 l")], "facts": {"spent": "1.350 kg"}},
)


@pytest.mark.parametrize(
    ("stage", "readings", "figure", "stands_on"),
    [
        ("s1", {"out.mass": "19.5 kg"}, "out.mass", "out.mass"),  # a slipped point: the standard weighing serves
        ("s1", {"out.mass": "-1 kg"}, "out.mass", "out.mass"),
        ("s1", {"out.mass": "1.95 l"}, "out.mass", "out.mass"),
        ("s1", {"out.abv": "3 % vol"}, "", "out.mass"),  # says nothing of the water that left
        ("s2", {"left.mass": "10 g"}, "left.mass", "spent"),  # lighter than the dry fruit in it
        ("s2", {"out.mass": "100 kg"}, "out.mass", "spent"),
        ("s2", {"out.volume": "40 l"}, "out.volume", "spent"),
        ("s0", {"left.mass": "61 kg"}, "left.mass", "refuse"),
    ],
)  # fmt: skip
def test_an_impossible_reading_of_a_batch_is_marked_and_left_out(
    stage: str, readings: Plain, figure: str, stands_on: str
) -> None:
    reckoning = on_the_day(ROASTED)
    preparation, version = reckoning.view.preparations["roast"]
    standard = reckoning.ledgers["roast"]
    logged = follow(reckoning.view, preparation, version, reckoning.units, log_of("roast", {stage: readings}))
    assert not logged.refused, logged.problems
    assert logged.outputs["roast"].made == pytest.approx(standard.outputs["roast"].made, rel=1e-12)
    warnings = [(place(p.where), p.get("figure")) for p in logged.problems if p.level == "warning"]
    if figure:
        assert warnings == [(f"roast/stage/{stage}", figure)]
    line = next(line for line in logged.lines if line.stage == stage)
    assert stands_on in [name for name, _, _ in line.stood_on]
    assert {s.fate for s in line.outs} <= {"on", "meant", "lost"}
    assert not [p for p in logged.problems if p.level == "note"]


def test_a_possible_reading_of_a_batch_takes_the_place_of_the_standard() -> None:
    reckoning = on_the_day(ROASTED)
    preparation, version = reckoning.view.preparations["roast"]
    logged = follow(
        reckoning.view, preparation, version, reckoning.units, log_of("roast", {"s1": {"out.mass": "1.800 kg"}})
    )
    line = logged.lines[1]
    assert line.on.matter.mass == pytest.approx(1.800, rel=1e-12)
    assert line.deviations[0].measured == pytest.approx(1.800)
    assert not logged.problems


def test_what_is_lost_compounds_and_hours_are_not_lost() -> None:
    """Two stages that each leave a tenth behind: 19 % of the fruit's money is a memo, and none of the hand's."""
    stage = {"kind": "rest", "facts": {"keep": "90 %"}}
    reckoning = on_the_day(
        prep("juice2", {"kind": "blend", "adds": [add("juice", "2 l")], "active": "30 min"}, stage, stage)
    )
    carried = reckoning.ledgers["juice2"].lines[-1].carried
    assert carried.row["juice"] == pytest.approx(2.0)
    assert carried.lost["juice"] == pytest.approx(2.0 * 0.19, rel=1e-12)
    assert "hand" not in carried.lost
    cost = reckoning.costs["juice2"]
    assert cost.materials == pytest.approx(4.00 / (2.0 * 0.81), rel=1e-9)
    assert cost.columns[3] == pytest.approx(1.00 / (2.0 * 0.81), rel=1e-9)


def test_half_of_the_money_passed_an_assumed_stage() -> None:
    """An assumed yield marks what had been taken in by then, and nothing that comes later."""
    reckoning = on_the_day(
        prep(
            "mix",
            {"kind": "clarify", "adds": [add("juice", "1 l")], "facts": {"yield": "~90 %"}},
            {"kind": "blend", "adds": [add("rum", "1 l")]},
        )
    )
    assert reckoning.assumed_share(reckoning.direct["mix"]) == pytest.approx(0.5, rel=1e-9)


def test_a_price_in_another_currency_or_of_unknown_tax_leaves_a_good_unpriced() -> None:
    quotes = [{"good": "juice", "currency": "SEK"}, {"good": "rum", "tax": "unknown"}]
    reckoning = on_the_day(
        prep("mix", {"kind": "blend", "adds": [add("juice", "1 l"), add("wine", "1 l")]}), quotes=quotes
    )
    assert errors(reckoning) == [("foreign-currency", "quote/q-juice"), ("tax-unknown", "quote/q-rum")]
    assert reckoning.costs["mix"].unpriced == {"juice"}
    assert ("unpriced", "good/juice") in [(p.code, p.where) for p in reckoning.problems]


@pytest.mark.parametrize("amount", ["3 spoons", "1 oz", "20 C", "-5 ml", "1 kwh"])
def test_an_amount_that_cannot_be_read_refuses_its_preparation_alone(amount: str) -> None:
    reckoning = on_the_day(
        prep("bad", {"kind": "blend", "adds": [add("juice", amount)]}),
        prep("good", {"kind": "blend", "adds": [add("juice", "1 l")]}),
    )
    assert [where for _, where in errors(reckoning)] == ["bad/stage/s0/add/1"]
    assert reckoning.costs["good"].materials == pytest.approx(2.00)
    assert "bad" not in reckoning.costs


def test_a_fact_its_stage_does_not_take_is_named() -> None:
    reckoning = on_the_day(prep("mix", {"kind": "blend", "adds": [add("juice", "1 l")], "facts": {"take": "1 l"}}))
    (problem,) = [p for p in reckoning.problems if p.level == "error"]
    assert (problem.code, place(problem.where), problem.get("figure")) == ("fact-not-taken", "mix/stage/s0", "take")


def test_normal_loss_raises_unit_cost_and_never_the_total() -> None:
    totals = set()
    for keep in ("100 %", "93 %", "60 %"):
        reckoning = on_the_day(
            prep("mix", {"kind": "blend", "adds": [add("juice", "3 l"), add("rum", "1 l")], "facts": {"keep": keep}})
        )
        output = reckoning.ledgers["mix"].outputs["mix"]
        totals.add(round(output.made * reckoning.costs["mix"].making, 9))
    assert totals == {float(Decimal("8.00"))}


WEIGHED = [
    # kind, facts, readings, kg that go on of 2 kg of fruit (86 % water, 10 % soluble, 4 % not)
    ("trim", {"keep": "70 %"}, {}, 1.4),
    ("trim", {"refuse": "45 %"}, {}, 1.1),
    ("trim", {"refuse": "45 %"}, {"out.mass": "1.25 kg"}, 1.25),  # a weighing wins over what was assumed
    ("trim", {"refuse": "45 %"}, {"left.mass": "0.5 kg"}, 1.5),
    ("make", {"makes": "1.7 kg"}, {}, 1.7),
    ("make", {}, {}, 2.0),
    ("rest", {}, {"left.mass": "20 g"}, 1.98),
    ("blend", {"keep": "99 %"}, {}, 1.98),
    ("roast", {"lost": "30 %"}, {}, 1.4),
    ("roast", {"to": "1.2 kg"}, {}, 1.2),
    ("roast", {"to": "1.2 kg"}, {"out.mass": "1.3 kg"}, 1.3),
    ("roast", {"to": "1.2 kg"}, {"left.mass": "0.6 kg"}, 1.4),
    ("reduce", {"brix": "20 Bx"}, {}, 0.2 / 0.20 + 0.08),  # the liquid is at 20 Bx, and the pulp is still in it
    ("juice", {"yield": "60 %"}, {}, 1.2),
    ("juice", {"yield": "60 %"}, {"out.mass": "1.1 kg"}, 1.1),
    ("juice", {"yield": "60 %"}, {"left.mass": "0.7 kg"}, 1.3),
    ("press", {"spent": "0.8 kg"}, {}, 1.2),
    ("press", {"spent_ratio": "0.45"}, {}, 1.1),
]


@pytest.mark.parametrize(("kind", "facts", "readings", "on"), WEIGHED)
def test_each_figure_says_how_much_goes_on(kind: str, facts: Plain, readings: Plain, on: float) -> None:
    stage = {"kind": kind, "adds": [add("fruit", "2 kg")], "facts": facts, "readings": readings}
    reckoning = on_the_day(prep("it", stage, base="kg"))
    assert not reckoning.problems
    line = reckoning.ledgers["it"].lines[0]
    assert line.on.matter.mass == pytest.approx(on, rel=1e-9)
    # what drains has no pulp in it, what dries keeps all but water, what is parted keeps its composition
    inside, outside = line.total("in"), line.on.matter
    if kind in ("juice", "press"):
        assert outside.insolubles == 0.0
        assert outside.solubles / outside.mass == pytest.approx(0.10 / 0.96, rel=1e-9)
    elif kind in ("roast", "reduce"):
        assert (outside.solubles, outside.insolubles) == pytest.approx((inside.solubles, inside.insolubles))
        assert line.share_lost == 0.0  # water is meant to leave
    else:
        assert outside.water / outside.mass == pytest.approx(0.86, rel=1e-9)
        assert line.share_lost == pytest.approx(1.0 - on / 2.0, abs=1e-9)


def test_spent_solids_are_reckoned_on_the_solids_and_not_on_the_spirit() -> None:
    stage = {"kind": "infuse", "adds": [add("fruit", "1 kg"), add("rum", "2 l")], "facts": {"spent_ratio": "0.8"}}
    line = on_the_day(prep("it", stage, base="kg")).ledgers["it"].lines[0]
    assert line.total("lost").mass == pytest.approx(0.8, rel=1e-9)


@pytest.mark.parametrize(("base", "money"), [("kg", 3 * 0.067 * 2.00), ("each", 3 * 2.00)])
def test_three_pieces_are_three_times_what_one_weighs(base: str, money: float) -> None:
    lime = {"id": "lime", "name": "Lime", "kind": "fruit", "base": base, "piece": "67 g", "makeup": {"water": "88 %"}}
    reckoning = on_the_day(prep("it", {"kind": "trim", "adds": [add("lime", "3")]}, base="kg"), goods=[lime])
    output = reckoning.ledgers["it"].outputs["it"]
    assert output.made == pytest.approx(0.201, rel=1e-9)
    assert output.made * reckoning.costs["it"].materials == pytest.approx(money, rel=1e-9)


def test_a_mother_is_judged_by_its_readings_once_it_has_settled() -> None:
    """The first guess of the batch is too weak for what was measured; the batch it settles at is not."""
    stage = {"kind": "distil", "adds": [add("wine", "10 l"), add("m", "1 l")],
             "facts": {"pressure": "50 mbar", "take": "2.6 l"},
             "readings": {"out.volume": "2.6 l", "out.abv": "60 % vol"}}  # fmt: skip
    reckoning = on_the_day(prep("m", stage))
    assert not errors(reckoning)
    unit = reckoning.ledgers["m"].outputs["m"].unit.matter
    assert unit is not None
    assert unit.abv == pytest.approx(0.60, rel=1e-9)


@pytest.mark.parametrize(("share", "marked"), [("0.94 l", True), ("1.18 l", False)])
def test_half_a_batch_does_not_vanish_without_a_word(share: str, marked: bool) -> None:
    stage = {**STEEP, "facts": {}, "readings": {"left.mass": "0.75 kg", "out.volume": share}}
    reckoning = on_the_day(prep("steep", stage))
    assert ("unexplained-much" in {p.code for p in reckoning.problems}) is marked


def test_tax_that_stays_with_the_house_must_be_told() -> None:
    """Common practice, no source: a house outside the tax pays what the invoice adds."""
    terms = {"terms": [{"since": "2026-01-01", "recovers_tax": False}]}
    mix = prep("mix", {"kind": "blend", "adds": [add("juice", "1 l"), add("rum", "1 l")]})
    told = [{"good": "juice", "tax_rate": "0.19"}]
    reckoning = on_the_day(mix, quotes=told, house=terms)
    assert ("tax-rate-missing", "quote/q-rum") in errors(reckoning)
    assert reckoning.costs["juice"].materials == pytest.approx(2.38)
    assert reckoning.costs["mix"].unpriced == {"rum"}


def test_a_levy_typed_as_per_cent_is_refused() -> None:
    with pytest.raises(BadForm, match=r"0 to below 1 \(0.10 is 10 %\)"):
        book(house={"terms": [{"since": "2026-01-01", "levies": [{"name": "VAT", "rate": "7"}]}]})
    with pytest.raises(BadForm, match=r"written 0.19"):
        book(house={"terms": [{"since": "2026-01-01", "levies": [{"name": "VAT", "rate": "19 %"}]}]})
