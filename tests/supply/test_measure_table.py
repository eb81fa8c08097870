"""The strings of measures met in the wild, each with what it means.

The strings are those of a published set of recipe lines (tidytuesday 2020-05-26, boston_cocktails.csv and
cocktails.csv), by the number they have in the project's own notes on supply; what each means is common practice, no
source, where it is not a matter of arithmetic. Millilitres by NIST SP 811 (us fl oz) and resources/tables/measures.csv.
"""

from decimal import Decimal

import pytest

from costing.book.fact import Fact
from costing.book.units import UNITS, Dim, UnitDef
from costing.supply import Measure, parse_measure, to_fact
from costing.supply.measure import DOUBTS

OZ, USUAL = "which-ounce", "house-measure"
Row = tuple[int, str, str, str | None, str | None, str | None, str, str, list[str]]
# (number, text, kind, low, value, high, unit, rest, doubts)
TABLE: list[Row] = [
    (1, "1 1/2 oz", "amount", "1.5", "1.5", "1.5", "us fl oz", "", [OZ]),
    (2, "1  3/4 oz", "amount", "1.75", "1.75", "1.75", "us fl oz", "", [OZ]),
    (4, "0.75 oz", "amount", "0.75", "0.75", "0.75", "us fl oz", "", [OZ]),
    (4, ".75 oz", "amount", "0.75", "0.75", "0.75", "us fl oz", "", [OZ]),
    (4, ",75 oz", "amount", "0.75", "0.75", "0.75", "us fl oz", "", [OZ]),
    (5, "1.5 oz", "amount", "1.5", "1.5", "1.5", "us fl oz", "", [OZ]),
    (7, "2-3 oz", "range", "2", "2.5", "3", "us fl oz", "", [OZ]),
    (8, "10-12 oz", "range", "10", "11", "12", "us fl oz", "", [OZ]),
    (10, "4cl", "amount", "4", "4", "4", "cl", "", []),
    (11, "1 1/2 cl", "amount", "1.5", "1.5", "1.5", "cl", "", []),
    (13, "70ml/2fl oz", "amount", "70", "70", "70", "ml", "", ["two-amounts"]),  # 2 fl oz is 59 ml
    (14, "1 dl", "amount", "1", "1", "1", "dl", "", []),
    (16, "3/4 L", "amount", "0.75", "0.75", "0.75", "l", "", []),
    (17, "1750 ml", "amount", "1750", "1750", "1750", "ml", "", []),
    (19, "1/2", "each", "0.5", "0.5", "0.5", "each", "", ["each-or-part"]),
    (20, "1", "each", "1", "1", "1", "each", "", []),
    (22, "1/3", "part", None, None, None, "", "", ["each-or-part"]),
    (23, "1 part", "part", "1", "1", "1", "", "", []),
    (25, "2 1/2 parts", "part", "2.5", "2.5", "2.5", "", "", []),
    (26, "1 shot", "unpriceable", None, None, None, "", "", ["no-measure"]),
    (28, "1 jigger", "unpriceable", None, None, None, "", "", ["no-measure"]),
    (29, "2 measures", "part", "2", "2", "2", "", "", []),
    (31, "dash", "amount", "0.6", "0.9", "0.95", "ml", "", ["implied-one", USUAL]),
    (32, "2 Dashes", "amount", "1.2", "1.8", "1.9", "ml", "", [USUAL]),
    (34, "2 -  3 drops", "range", "0.06", "0.125", "0.21", "ml", "", [USUAL]),
    (35, "About 8 drops", "amount", "0.24", "0.4", "0.56", "ml", "", ["about", USUAL]),
    (37, "1 tsp", "amount", "4.93", "5", "5", "ml", "", [USUAL]),
    (38, "1 tsp superfine", "amount", "4.93", "5", "5", "ml", "superfine", [USUAL]),
    (40, "2 tblsp", "amount", "29.58", "30", "30", "ml", "", [USUAL]),
    (41, "4 tablespoons\r\n", "amount", "59.16", "60", "60", "ml", "", [USUAL]),
    (43, "1 cup crushed", "amount", "236.6", "236.6", "240", "ml", "crushed", [USUAL]),
    (44, "3/4-1 cup", "range", "177.45", "207.025", "240", "ml", "", [USUAL]),
    (46, "Add splash", "amount", "5", "6.25", "7.5", "ml", "", ["implied-one", USUAL]),
    (47, "2 splashes", "amount", "10", "12.5", "15", "ml", "", [USUAL]),
    (49, "Fill to top", "top up", None, None, None, "", "", []),
    (50, "to fill\n", "top up", None, None, None, "", "", []),
    (52, "Float dark rum", "amount", "10", "12.5", "15", "ml", "dark rum", ["implied-one", USUAL]),
    (53, "Juice of 1/2", "juice of", "0.5", "0.5", "0.5", "each", "", ["juice-yield"]),
    (55, "Twist of", "twist", "1", "1", "1", "each", "", ["implied-one", "share-of-fruit"]),
    (56, "1 twist of", "twist", "1", "1", "1", "each", "", ["share-of-fruit"]),
    (58, "3 2-inch strips", "twist", "3", "3", "3", "each", "", ["share-of-fruit"]),
    (59, "1 fifth", "amount", "750", "757", "757", "ml", "", [USUAL]),
    (61, "2 750-ml", "amount", "1500", "1500", "1500", "ml", "", []),
    (62, "1/2 pint hard", "amount", "0.5", "0.5", "0.5", "us pint", "hard", ["which-pint"]),
    (64, "1/2 lb frozen", "amount", "0.5", "0.5", "0.5", "lb", "frozen", []),
    (65, "125 gr", "amount", "125", "125", "125", "g", "", []),
    (67, "5 or 6", "range", "5", "5.5", "6", "each", "", []),
    (68, "2 or 3", "range", "2", "2.5", "3", "each", "", []),
    (70, "1/2 oz Tidewall orange", "amount", "0.5", "0.5", "0.5", "us fl oz", "Tidewall orange", [OZ]),
    (71, "For glass", "unpriceable", None, None, None, "", "", ["no-amount"]),
    (71, "Garnish", "unpriceable", None, None, None, "", "", ["no-amount"]),
    (73, "1/2 glass", "unpriceable", None, None, None, "", "", ["no-measure"]),
    (74, "lots", "unpriceable", None, None, None, "", "", ["no-amount"]),
    (74, "A little bit of", "unpriceable", None, None, None, "", "", ["no-amount"]),
]


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"{row[0]} {row[1]!r}")
def test_a_string_of_the_wild(
    row: tuple[int, str, str, str | None, str | None, str | None, str, str, list[str]],
) -> None:
    _, text, kind, low, value, high, unit, rest, doubts = row
    found = parse_measure(text)
    assert (found.kind, found.unit, found.rest, list(found.doubts)) == (kind, unit, rest, doubts)
    if value is not None:
        assert [found.low, found.value, found.high] == [Decimal(v or 0) for v in (low, value, high)]
    elif kind != "part":
        assert (found.low, found.value, found.high) == (None, None, None)


def litres(found: Measure) -> float:
    return float((found.value or Decimal(0)) * UNITS[found.unit].factor)


@pytest.mark.parametrize(
    ("text", "ml"),
    [("1 1/2 oz", 44.36), ("1  3/4 oz", 51.75), (".75 oz", 22.18), ("2-3 oz", 73.93), ("70ml/2fl oz", 70),
     ("1 dl", 100), ("3/4 L", 750), ("1 fifth", 757), ("2 750-ml", 1500), ("1/2 pint", 236.59)],
)  # fmt: skip
def test_volumes_come_to_the_millilitres_noted(text: str, ml: float) -> None:
    assert litres(parse_measure(text)) * 1000 == pytest.approx(ml, abs=0.01)


def test_a_pound_is_a_weight() -> None:
    assert litres(parse_measure("1/2 lb frozen")) * 1000 == pytest.approx(226.8, abs=0.01)  # international pound


def test_a_third_is_a_ratio_and_a_third_only() -> None:
    assert parse_measure("1/3").value == pytest.approx(Decimal(1) / 3)
    assert parse_measure("1/4").kind == "each"


HOUSE = {
    "oz": UnitDef(Dim.VOLUME, Decimal("0.03")),
    "dash": UnitDef(Dim.VOLUME, Decimal("0.0008")),
    "shot": UnitDef(Dim.VOLUME, Decimal("0.04")),
    "short pour": UnitDef(Dim.VOLUME, Decimal("0.025")),
    "measure": UnitDef(Dim.VOLUME, Decimal("0.02")),
}


@pytest.mark.parametrize(
    ("text", "value", "unit", "rest"),
    [
        ("1 1/2 oz gin", "1.5", "oz", "gin"),
        ("2 fluid ounces gin", "2", "oz", "gin"),
        ("2 Dashes", "2", "dash", ""),
        ("2 shots", "2", "shot", ""),
        ("3 short pours rum", "3", "short pour", "rum"),
        ("2 measures", "2", "measure", ""),
    ],
)
def test_the_house_says_what_its_measures_are_and_no_doubt_is_left(text: str, value: str, unit: str, rest: str) -> None:
    found = parse_measure(text, HOUSE)
    assert (found.value, found.unit, found.rest, found.doubts) == (Decimal(value), unit, rest, ())


def test_a_weighed_house_ounce_is_not_read_as_fluid() -> None:
    by_weight = {"oz": UNITS["oz av"]}
    assert parse_measure("2 oz sugar", by_weight).unit == "oz"
    assert parse_measure("2 oz av sugar", HOUSE).unit == "oz av"  # the longer name is meant
    assert parse_measure("2 fl oz cream", by_weight).unit == "us fl oz"


@pytest.mark.parametrize(
    ("text", "kind", "value", "unit", "rest", "doubts"),
    [
        ("1½ oz gin", "amount", "1.5", "us fl oz", "gin", {OZ}),  # not 11/2
        ("½–¾ oz", "range", "0.625", "us fl oz", "", {OZ}),
        ("1-1/2 oz", "amount", "1.5", "us fl oz", "", {"mixed-or-range", OZ}),
        ("11/2 oz", "amount", "5.5", "us fl oz", "", {"improper-fraction", OZ}),
        ("0,75 l", "amount", "0.75", "l", "", set()),
        ("٣٫٥ cl", "amount", "3.5", "cl", "", set()),
        ("1 us fl oz", "amount", "1", "us fl oz", "", set()),
        ("2 imperial fl oz", "amount", "2", "imp fl oz", "", set()),
        ("3.5 fl. oz. rum", "amount", "3.5", "us fl oz", "rum", {OZ}),
        ("60 ml (2 oz) gin", "amount", "60", "ml", "gin", set()),
        ("2 oz / 60 ml gin", "amount", "60", "ml", "gin", set()),  # the reading that is sure rules
        ("8 oz (225 g) sugar", "amount", "225", "g", "sugar", set()),
        ("20 ml - 30 ml gin", "range", "25", "ml", "gin", set()),
        ("2 x 30 ml gin", "amount", "60", "ml", "gin", set()),
        ("2 750 ml bottles white wine", "amount", "1500", "ml", "white wine", {"count-or-thousands"}),
        ("1 bottle (750 ml) wine", "amount", "750", "ml", "wine", set()),
        ("2 bottles (750 ml) wine", "amount", "1500", "ml", "wine", {"each-or-total"}),
        ("3-2 oz", "range", "2.5", "us fl oz", "", {"range-backward", OZ}),
        ("a dash of bitters", "amount", "0.9", "ml", "bitters", {USUAL}),
        ("half an ounce of gin", "amount", "0.5", "us fl oz", "gin", {OZ}),
        ("juice of 1 lemon", "juice of", "1", "each", "lemon", {"juice-yield"}),
        ("juice of half a lime", "juice of", "0.5", "each", "lime", {"juice-yield"}),
        ("lemon twist", "twist", "1", "each", "lemon", {"implied-one", "share-of-fruit"}),
        ("2 lime wedges", "twist", "2", "each", "lime", {"share-of-fruit"}),
        ("zest of 1 lemon", "twist", "1", "each", "lemon", {"share-of-fruit"}),
        ("200 g lemon peel", "amount", "200", "g", "lemon peel", set()),
        ("Top with 60 ml soda", "amount", "60", "ml", "soda", set()),
        ("0 ml", "amount", "0", "ml", "", {"zero"}),
        ("45ml white rum 40 %", "amount", "45", "ml", "white rum 40 %", set()),
        ("1 quart milk", "amount", "0.25", "us gal", "milk", {"which-quart"}),
    ],
)
def test_more_ways_to_write_it(text: str, kind: str, value: str, unit: str, rest: str, doubts: set[str]) -> None:
    found = parse_measure(text)
    assert (found.kind, found.unit, found.rest, set(found.doubts)) == (kind, unit, rest, doubts)
    assert found.value == Decimal(value)


@pytest.mark.parametrize(
    "text",
    ["", " \n", "gin", "40 % rum", "some sugar", "salt to taste", "glass noodles", "a can of soda"],
)
def test_what_has_no_amount_says_so(text: str) -> None:
    found = parse_measure(text)
    assert (found.kind, found.value) == ("unpriceable", None)
    assert set(found.doubts) & {"no-amount", "no-measure"}
    with pytest.raises(ValueError, match="says no amount"):
        to_fact(found)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("1,250 ml", "write one of them"),
        ("1/0 oz", "divides by zero"),
        ("1/2/3 oz", "more than one way"),
        ("2.5.3 oz", "more than one way"),
        ("-2 oz", "0 or more"),
        ("9999999999 ml", "1e9"),
        ("1" * 201, "too long"),
    ],
)
def test_a_number_that_cannot_be_read_is_refused_with_its_reason(text: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        parse_measure(text)


@pytest.mark.parametrize(
    "text", ["soda water to top", "soda water, to fill", "top up with soda water", "Fill with soda water"]
)
def test_as_much_as_the_glass_takes(text: str) -> None:
    found = parse_measure(text)
    assert (found.kind, found.rest, found.value) == ("top up", "soda water", None)


def test_a_fact_is_assumed_wherever_anything_is_doubted() -> None:
    assert to_fact(parse_measure("45 ml")) == Fact(text="45 ml", value=Decimal(45), unit="ml")
    doubted = to_fact(parse_measure("2 dashes"))
    assert (doubted.mark, doubted.text, doubted.unit) == ("assumed", f"~{doubted.value:f} ml", "ml")
    assert doubted.note == f'pasted "2 dashes": {USUAL}'
    assert to_fact(parse_measure("20-30 ml")).mark == "assumed"
    with pytest.raises(ValueError, match="says no amount"):
        to_fact(parse_measure("2 parts"))


def test_every_doubt_of_the_table_has_a_name() -> None:
    assert {d for row in TABLE for d in row[8]} <= DOUBTS
