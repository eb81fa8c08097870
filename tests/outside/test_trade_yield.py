"""Yields, packs, losses and by-products against worked examples of the trade, through the ledger's own doors.

Each case names its source in its id: "textbook ..." for a published problem, "standard ..." for a published table,
"practice" for common practice without a source, "memory" for a figure nobody looked up again, and "invented" for
one made up for the purpose and computed by hand beside it.
"""

import math
from collections.abc import Callable, Sequence
from datetime import date
from typing import Any

import pytest

from costing.book import Book
from costing.book.plain import record_from_plain
from costing.ledger import Reckoning, reckon

Plain = dict[str, Any]
DAY = date(2026, 3, 2)
FRUIT = {"water": "86 %", "solubles": "9.85 %"}


def good(ident: str, kind: str = "fruit", base: str = "kg", **more: Any) -> Plain:
    """A good; fruit of plausible makeup unless said otherwise."""
    return {
        "id": ident,
        "name": ident,
        "kind": kind,
        "base": base,
        **({"makeup": FRUIT} if kind == "fruit" else {}),
        **more,
    }


def quote(ident: str, price: str, content: str = "1 kg", **more: Any) -> Plain:
    """What a pack of it costs."""
    return {"id": f"q-{ident}", "good": ident, "supplier": "market", "content": content, "price": price,
            "currency": "EUR", "since": "2026-01-01", **more}  # fmt: skip


def stage(kind: str, adds: Sequence[tuple[str, str]] = (), **more: Any) -> Plain:
    """One stage."""
    return {"id": kind, "kind": kind, "adds": [{"source": s, "amount": a} for s, a in adds], **more}


def prep(ident: str, *stages: Plain, base: str = "kg", **version: Any) -> Plain:
    """One preparation; its stages are told apart by their place."""
    numbered = [{**s, "id": s["id"] if len(stages) == 1 else f"{s['id']}{n}"} for n, s in enumerate(stages)]
    return {"id": ident, "name": ident, "base": base,
            "versions": [{"since": "2026-01-01", "stages": numbered, **version}]}  # fmt: skip


def house(goods: Sequence[Plain], quotes: Sequence[Plain], preps: Sequence[Plain] = (), **terms: Any) -> Reckoning:
    """The figures of a small book; it may not hold an error."""
    records: list[tuple[str, Plain]] = [
        ("house", {"id": "house", "name": "House", "currency": "EUR", "terms": [{"since": "2026-01-01", **terms}]})
    ]
    records += [("good", g) for g in goods] + [("quote", q) for q in quotes] + [("preparation", p) for p in preps]
    reckoning = reckon(Book.of(record_from_plain(kind, plain) for kind, plain in records).on(DAY))
    assert not [p for p in reckoning.problems if p.level == "error"], reckoning.problems
    return reckoning


def unit_cost(price: str, content: str, base: str = "kg", **more: Any) -> float:
    """Money per base unit of one quoted good."""
    kinds = {"l": "juice", "kg": "fruit", "each": "garnish"}
    facts: Plain = {"makeup": {"brix": "10 Bx"}} if base == "l" else {}
    if "piece" in more:
        facts["piece"] = more.pop("piece")
    terms = more.pop("terms", {})
    return (
        house([good("it", kinds[base], base, **facts)], [quote("it", price, content, **more)], **terms)
        .costs["it"]
        .materials
    )


def edible_cost(price: str, *stages: Plain) -> float:
    """Money per kg that comes out of a chain of stages over fruit at a price per kg."""
    return house([good("fruit")], [quote("fruit", price)], [prep("ep", *stages)]).costs["ep"].materials


FRUIT_IN = [("fruit", "1 kg")]


@pytest.mark.parametrize(
    ("price", "stages", "expected"),
    [
        pytest.param(
            "1.00",
            [stage("trim", FRUIT_IN, facts={"keep": "80 %"})],
            1.25,
            id="textbook S1: carrot soup, 1 kg AP to 0.8 kg EP",
        ),
        pytest.param(
            "2.80",
            [stage("trim", FRUIT_IN, facts={"refuse": "49 %"})],
            2.80 / 0.51,
            id="standard SR28: pineapple, 49 % refuse",
        ),
        pytest.param(
            "2.80",
            [stage("trim", FRUIT_IN, facts={"refuse": "49 %"})],
            5.490196,
            id="invented, computed: the same, 5.490 per kg EP",
        ),
        pytest.param(
            "2.60", [stage("trim", FRUIT_IN, facts={"refuse": "47 %"})], 2.60 / 0.53, id="standard SR28: lemon flesh"
        ),
        pytest.param(
            "1.00", [stage("trim", FRUIT_IN, facts={"refuse": "3 %"})], 1 / 0.97, id="standard SR28: cucumber, peel on"
        ),
        pytest.param(
            "1.00",
            [stage("trim", [("fruit", "1.28 kg")], readings={"out.mass": "1 kg"})],
            1.28,
            id="standard S4: pear pared, factor 1.28",
        ),
        pytest.param(
            "2.60",
            [stage("juice", [("fruit", "2.33 kg")], readings={"out.mass": "1 kg"})],
            2.33 * 2.60,
            id="standard S4: lemon juice, factor 2.33",
        ),
        pytest.param(
            "1.00",
            [stage("juice", [("fruit", "2.13 kg")], readings={"out.mass": "1 kg"})],
            2.13,
            id="standard S4: lime juice, factor 2.13",
        ),
        pytest.param(
            "1.00",
            [stage("juice", [("fruit", "2.00 kg")], readings={"out.mass": "1 kg"})],
            2.00,
            id="standard S4: orange juice, factor 2.00",
        ),
        pytest.param(
            "1.00",
            [stage("juice", [("fruit", "109.434 g")], readings={"out.mass": "48 g"})],
            109.434 / 48,
            id="standard SR28: lemon, 48 g of juice a fruit of 58/0.53 g",
        ),
        pytest.param(
            "1.00",
            [
                stage("trim", FRUIT_IN, facts={"keep": "78 %"}),
                stage("press", facts={"yield": "65 %"}),
                stage("clarify", facts={"yield": "92 %"}),
            ],
            1 / 0.46644,
            id="invented, computed: 78 x 65 x 92 % is 46.6 %, never 35 %",
        ),
        pytest.param(
            "1.00",
            [stage("juice", FRUIT_IN, facts={"yield": "91 %"}), stage("clarify", facts={"yield": "90 %"})],
            1 / 0.819,
            id="invented, computed: .91 x .90 is the product of the yields",
        ),
        pytest.param(
            "2.80",
            [
                stage("trim", [("fruit", "6 kg")], facts={"refuse": "49 %"}),
                stage("roast", readings={"out.mass": "1.950 kg"}),
            ],
            16.80 / 1.950,
            id="invented, computed: roasted pineapple 8.615 per kg",
        ),
    ],
)
def test_edible_portion_costs_what_was_bought_over_the_yield(price: str, stages: list[Plain], expected: float) -> None:
    assert edible_cost(price, *stages) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(
    ("cost", "expected"),
    [
        pytest.param(
            lambda: unit_cost("20.00", "1", "each", levels=[12], free={"paid": "12", "free": "0"}),
            20 / 12,
            id="invented, computed: a dozen without free goods",
        ),
        pytest.param(
            lambda: unit_cost("15.00", "1", "each", free={"paid": "24", "free": "12"}),
            10.00,
            id="invented after S39: 12 at 20, 12 at half price, 12 free, 10.00 each",
        ),
        pytest.param(
            lambda: unit_cost(
                "432.00",
                "0.7 l",
                "l",
                levels=[24],
                charges=[{"name": "Freight", "amount": "36.00"}, {"name": "Duty, 5 %", "amount": "21.60"}],
            ),
            489.60 / 16.8,
            id="invented, computed: landed 29.14 a litre",
        ),
        pytest.param(
            lambda: unit_cost("92.40", "0.7 l", "l", levels=[6]), 22.00, id="invented, computed: six bottles of 0.7 l"
        ),
        pytest.param(
            lambda: unit_cost("48.00", "33 cl", "l", levels=[4, 6]),
            48 / (24 * 0.33),
            id="invented, computed: four times six of 33 cl",
        ),
        pytest.param(
            lambda: unit_cost("11.90", "1 l", "l", tax="inc", tax_rate="0.19"),
            10.00,
            id="invented, computed: recovered tax is left out",
        ),
        pytest.param(
            lambda: unit_cost("10.00", "1 l", "l", tax="ex", tax_rate="0.19", terms={"recovers_tax": False}),
            11.90,
            id="invented, computed: tax that is not recovered is put on",
        ),
        pytest.param(
            lambda: unit_cost("11.90", "1 l", "l", tax="inc", tax_rate="0.19", terms={"recovers_tax": False}),
            11.90,
            id="invented, computed: and left in",
        ),
        pytest.param(
            lambda: unit_cost("10.00", "1 l", "l", deposit="3.30"),
            10.00,
            id="practice: a returnable deposit is not cost",
        ),
        pytest.param(
            lambda: unit_cost("10.00", "1 l", "l", charges=[{"name": "Rebate", "amount": "-1.50"}]),
            8.50,
            id="invented, computed: a rebate comes off",
        ),
        pytest.param(lambda: unit_cost("30.00", "1 us gal", "l"), 30 / 3.785411784, id="standard SP 811: a US gallon"),
        pytest.param(
            lambda: unit_cost("30.00", "1 imp gal", "l"), 30 / 4.54609, id="standard UK 1995: an imperial gallon"
        ),
        pytest.param(lambda: unit_cost("4.00", "1 lb"), 4 / 0.45359237, id="standard SP 811: a pound"),
        pytest.param(
            lambda: unit_cost("11.60", "4 kg", "each", piece="67 g"),
            11.60 / 4 * 0.067,
            id="standard SR28: limes of 67 g from a case by weight",
        ),
        pytest.param(
            lambda: unit_cost("25.36", "25.360517 us fl oz", "l"),
            25.36 / 0.75,
            id="textbook S39: 750 ml are 25.3605 oz",
        ),
    ],
)
def test_a_pack_comes_down_to_money_per_base_unit(cost: Callable[[], float], expected: float) -> None:
    assert cost() == pytest.approx(expected, rel=1e-7)


def test_textbook_s2_butcher_test_with_by_product_credit_as_a_share() -> None:
    """38 lb 12 oz at 3.19: bones 1.36, short ribs 4.84, chopped 3.98 are credited; usable 22 lb at 5.156 a pound.

    The credit rides off as a stored share of the money, 10.18 of 123.61, so that it never follows today's prices.
    """
    credit = 4.25 * 0.32 + 3.25 * 1.49 + 2.5 * 1.59
    share = credit / (38.75 * 3.19)
    assert 6.5 + 4.25 + 3.25 + 2.5 + 0.25 + 22.0 == 38.75  # the weights close

    def cut(price: str, part: float) -> Reckoning:
        kept = [{"id": "sold", "stage": "trim", "name": "Sold on", "share": f"{part:.12f}", "method": "market value"}]
        recipe = prep("usable", stage("trim", [("loin", "38.75 lb")], readings={"out.mass": "22 lb"}), byproducts=kept)
        return house([good("loin")], [quote("loin", price, "1 lb")], [recipe])

    pound = 0.45359237
    with_credit, plain = cut("3.19", share), cut("3.19", 0.0)
    per_pound = with_credit.costs["usable"].materials * pound
    assert per_pound == pytest.approx(5.156, abs=5e-4)
    assert per_pound / 3.19 == pytest.approx(1.616, abs=5e-4)  # the cost factor
    assert plain.costs["usable"].materials * pound / 3.19 == pytest.approx(38.75 / 22, rel=1e-9)  # 1.761
    # a share keeps the factor when the dealer's price moves: the published condition for using one
    dearer = cut("3.68", share).costs["usable"].materials * pound
    assert dearer / 3.68 == pytest.approx(per_pound / 3.19, rel=1e-9)
    taken = with_credit.ledgers["usable"].outputs["usable/sold"]
    assert taken.made * with_credit.costs["usable/sold"].materials == pytest.approx(credit, rel=1e-9)


@pytest.mark.parametrize(
    ("cup_grams", "density"),
    [
        pytest.param(244, 1.031, id="standard SR28: lemon juice"),
        pytest.param(242, 1.023, id="standard SR28: lime juice"),
        pytest.param(248, 1.048, id="standard SR28: orange juice"),
    ],
)
def test_juice_weighs_what_its_density_says_and_never_one(cup_grams: int, density: float) -> None:
    """Grams in a US cup of 236.588 ml; a serve's millilitres of a juice that is bought by weight."""
    exact = cup_grams / 236.5882365
    assert exact == pytest.approx(density, abs=5e-4)
    juice = good("juice", "juice", "kg", makeup={"water": "91 %", "solubles": "9 %"}, density=f"{exact:.9f} kg/l")
    reckoning = house([juice], [quote("juice", "6.00")], [prep("cup", stage("blend", [("juice", "236.5882365 ml")]))])
    output = reckoning.ledgers["cup"].outputs["cup"]
    assert output.made == pytest.approx(cup_grams / 1000, rel=1e-8)


def test_a_juice_without_a_density_is_not_poured_by_volume() -> None:
    """Common practice, no source: no silent 1 g = 1 ml."""
    records: list[tuple[str, Plain]] = [
        ("house", {"id": "house", "name": "House", "currency": "EUR", "terms": [{"since": "2026-01-01"}]}),
        ("good", good("pulp")),
        ("quote", quote("pulp", "6.00")),
        ("preparation", prep("glass", stage("blend", [("pulp", "100 ml")]))),
    ]
    reckoning = reckon(Book.of(record_from_plain(k, p) for k, p in records).on(DAY))
    assert [p.code for p in reckoning.problems if p.level == "error"] == ["no-density"]


def test_invented_self_seeded_batch() -> None:
    """Ten litres use two of themselves, fresh cost 45: 45 / (10 - 2) = 5.625 a litre (trade 6.2, computed)."""
    reckoning = house(
        [good("spirit", "spirit", "l", makeup={"abv": "40 % vol"})],
        [quote("spirit", "5.625", "1 l")],
        [prep("batch", stage("blend", [("spirit", "8 l"), ("batch", "2 l")]), base="l")],
    )
    output = reckoning.ledgers["batch"].outputs["batch"]
    assert output.made == pytest.approx(10.0, rel=1e-9)
    assert output.own_use == pytest.approx(2.0, rel=1e-9)
    assert reckoning.costs["batch"].materials == pytest.approx(5.625, rel=1e-9)


@pytest.mark.parametrize("keep", [100, 90, 75])
def test_invented_perpetual_blend_settles_where_the_moving_average_does(keep: int) -> None:
    """V 20, draw 5, refill at 18: k* = c (1 + E/D), with E the litres that evaporate a cycle (trade 6.2)."""
    # the vessel before drawing is keep % of what was filled: V + D + E litres become V + D
    volume, draw = 15.0, 5.0
    filled = (volume + draw) * 100 / keep
    evaporated = filled - volume - draw
    reckoning = house(
        [good("spirit", "spirit", "l", makeup={"abv": "40 % vol"})],
        [quote("spirit", "18.00", "1 l")],
        [
            prep(
                "cask",
                stage("blend", [("spirit", f"{filled - volume:.12f} l"), ("cask", f"{volume} l")]),
                stage("rest", facts={"keep": f"{keep} %"}),
                base="l",
            )
        ],
    )
    assert reckoning.costs["cask"].materials == pytest.approx(18.0 * (1 + evaporated / draw), rel=1e-9)


def test_invented_normal_loss_raises_the_unit_cost() -> None:
    """200 of inputs, 4.5 L expected: 44.44 a litre; the 4.2 L that came are stock of 186.67 (trade 6.4, computed)."""
    reckoning = house(
        [good("spirit", "spirit", "l", makeup={"abv": "40 % vol"})],
        [quote("spirit", "40.00", "1 l")],
        [prep("batch", stage("bottle", [("spirit", "5 l")], facts={"keep": "90 %"}), base="l")],
    )
    cost = reckoning.costs["batch"].materials
    assert cost == pytest.approx(200 / 4.5, rel=1e-9)
    assert 4.2 * cost == pytest.approx(186.67, abs=0.005)
    assert (4.5 - 4.2) * cost == pytest.approx(13.33, abs=0.005)


def test_yields_are_not_chained_across_what_is_added_later() -> None:
    """Invented, computed: half of the juice is lost before the sugar goes in, and the sugar's money is not doubled."""
    reckoning = house(
        [good("juice", "juice", "l", makeup={"brix": "10 Bx"}), good("sugar", "sugar")],
        [quote("juice", "4.00", "1 l"), quote("sugar", "1.00")],
        [
            prep(
                "syrup",
                stage("clarify", [("juice", "2 l")], facts={"yield": "50 %"}),
                stage("dissolve", [("sugar", "1 kg")]),
            )
        ],
    )
    output = reckoning.ledgers["syrup"].outputs["syrup"]
    assert output.made * reckoning.costs["syrup"].materials == pytest.approx(8.00 + 1.00, rel=1e-9)
    assert reckoning.direct["syrup"].lost.get("sugar", 0.0) == 0.0
    assert reckoning.direct["syrup"].lost["juice"] * output.made == pytest.approx(1.0, rel=1e-9)


@pytest.mark.parametrize(
    ("start", "target", "millilitres"),
    [
        pytest.param("95", "40", 144.28, id="standard, dilution table: 95 to 40 % vol"),
        pytest.param("60", "40", 51.39, id="standard, dilution table: 60 to 40 % vol"),
        pytest.param("50", "40", 25.54, id="standard, dilution table: 50 to 40 % vol"),
        pytest.param("40", "20", 100.09, id="standard, dilution table: 40 to 20 % vol"),
        pytest.param("80", "40", 103.87, id="standard, dilution table: 80 to 40 % vol"),
    ],
)
def test_proofing_contracts_and_costs_the_bottle_less_than_volumes_say(
    start: str, target: str, millilitres: float
) -> None:
    """Water to add to 100 ml; the litres that come are fewer than the sum."""
    reckoning = house(
        [good("spirit", "spirit", "l", makeup={"abv": f"{start} % vol"}), good("water", "water")],
        [quote("spirit", "20.00", "1 l"), quote("water", "0.00")],
        [
            prep(
                "proofed",
                {"id": "p", "kind": "proof", "facts": {"abv": f"{target} % vol"},
                 "adds": [{"source": "spirit", "amount": "100 ml"}, {"source": "water", "amount": None}]},
                base="l",
            )
        ],
    )  # fmt: skip
    line = reckoning.ledgers["proofed"].lines[0]
    water = next(s.matter.water for s in line.ins if s.source == "water")
    assert water / 0.99820123 * 1000 == pytest.approx(millilitres, abs=0.02)
    made = reckoning.ledgers["proofed"].outputs["proofed"].made
    assert made == pytest.approx(0.1 * float(start) / float(target), rel=1e-9)
    assert made < 0.1 + water / 0.99820123
    assert reckoning.costs["proofed"].materials == pytest.approx(20.0 * float(target) / float(start), rel=1e-9)


def test_spill_is_bought_once_and_not_poured() -> None:
    """Invented, computed: 45 ml and 3 % beside the glass are 46.35 ml of money and 45 ml of liquid."""
    reckoning = house(
        [good("spirit", "spirit", "l", makeup={"abv": "45 % vol"})],
        [quote("spirit", "47.5766", "1 l")],
        [
            prep(
                "pour",
                {"id": "b", "kind": "build", "adds": [{"source": "spirit", "amount": "45 ml", "spill": "3 %"}]},
                base="l",
            )
        ],
    )
    output = reckoning.ledgers["pour"].outputs["pour"]
    assert output.made == pytest.approx(0.045, rel=1e-9)
    assert output.made * reckoning.costs["pour"].materials == pytest.approx(2.2052, abs=5e-5)
    lost = reckoning.direct["pour"].lost["spirit"] * output.made
    assert lost == pytest.approx(0.045 * 0.03, rel=1e-9)


@pytest.mark.parametrize(
    ("millilitres", "portion", "spill", "serves"),
    [
        pytest.param(700, 45, 0.03, 15.09, id="invented, computed: 700 ml, 45 ml, 3 %"),
        pytest.param(750, 44.36, 0.03, 16.40, id="invented, computed: 750 ml, 1.5 oz, 3 %"),
        pytest.param(1000, 50, 0.03, 19.40, id="invented, computed: 1 l, 50 ml, 3 %"),
    ],
)
def test_serves_are_not_floored_and_the_allowance_comes_once(
    millilitres: int, portion: float, spill: float, serves: float
) -> None:
    """V (1 - s) / portion serves, of which none is cut off: the bottle's money over them is one drink's.

    The ledger's spill is a share of the pour; s of the bottle is s / (1 - s) of what goes into the glass.
    """
    share = spill / (1 - spill)
    reckoning = house(
        [good("spirit", "spirit", "l", makeup={"abv": "40 % vol"})],
        [quote("spirit", "21.00", f"{millilitres} ml")],
        [
            prep(
                "drink",
                {"id": "b", "kind": "build",
                 "adds": [{"source": "spirit", "amount": f"{portion} ml", "spill": f"{share:.15f}"}]},
                base="each",
                pieces="1",
            )
        ],
    )  # fmt: skip
    cost = reckoning.costs["drink"].materials
    assert 21.00 / cost == pytest.approx(serves, abs=0.005)
    assert cost < 21.00 / math.floor(21.00 / cost)  # the trap: whole serves would bear the remainder


def test_memory_density_of_a_spirit_at_forty() -> None:
    """About 0.948 g/ml, from memory (trade 5.4)."""
    reckoning = house([good("spirit", "spirit", "l", makeup={"abv": "40 % vol"})], [quote("spirit", "19.00", "1 l")])
    assert reckoning.units["spirit"].density == pytest.approx(0.948, abs=5e-4)
