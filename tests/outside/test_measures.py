"""Measures as people write them, against published definitions and an independent library.

Sources are named beside each value: NIST SP 811 (2008) appendix B and NIST SP 430 (household measures), UN/ECE
Recommendation 20, 21 CFR 101.9(b)(5)(viii), Weights and Measures Act 1985 (UK) schedule 1, and scipy.constants, which
carries the CODATA and NIST factors on its own.
"""

from decimal import Decimal

import pytest
from scipy import constants

from costing.book.units import UNITS
from costing.supply import parse_measure


def litres(text: str) -> Decimal:
    """What a measure comes to in litres, whatever it doubts."""
    found = parse_measure(text)
    assert found.value is not None
    return found.value * UNITS[found.unit].factor


@pytest.mark.parametrize(
    ("text", "cubic_metres"),
    [
        ("1 us fl oz", constants.fluid_ounce_US),
        ("1 oz", constants.fluid_ounce_US),  # read as US until the house says otherwise
        ("1 imp fl oz", constants.fluid_ounce_imp),
        ("1 us gal", constants.gallon_US),
        ("1 gallon", constants.gallon_US),
        ("1 imp gal", constants.gallon_imp),
        ("1 us pint", constants.gallon_US / 8),
        ("1 quart", constants.gallon_US / 4),
        ("1 imp pint", constants.gallon_imp / 8),
        ("1 litre", constants.litre),
    ],
)
def test_volumes_agree_with_an_independent_library(text: str, cubic_metres: float) -> None:
    assert float(litres(text)) == pytest.approx(1000 * cubic_metres, rel=1e-12)


def test_weights_agree_with_an_independent_library() -> None:
    assert float(litres("1 lb")) == pytest.approx(constants.pound, rel=1e-12)
    assert float(litres("1 oz av")) == pytest.approx(constants.oz, rel=1e-12)


def test_the_definitions_are_exact() -> None:
    # 231 cubic inches of 2.54 cm each, over 128: NIST SP 811 appendix B.6 and 27 CFR 5.1 (the wine gallon)
    assert litres("1 us fl oz") == 231 * Decimal("2.54") ** 3 / 128 / 1000 == Decimal("0.0295735295625")
    # 4.54609 dm3 over 160: Weights and Measures Act 1985 schedule 1; Units of Measurement Regulations 1995
    assert litres("1 imp fl oz") == Decimal("4.54609") / 160 == Decimal("0.0284130625")
    assert litres("1 imp pint") == Decimal("4.54609") / 8
    # the international pound of 1959, and 16 ounces to it: NIST SP 811 appendix B.6
    assert litres("1 lb") == Decimal("0.45359237") == 16 * litres("1 oz av")


@pytest.mark.parametrize(
    ("text", "ml"),
    [
        ("1 fl oz", 30),  # SP 430 rounds to whole millilitres
        ("1 cup", 237),
        ("1 pint", 473),
        ("1 quart", 946),
        ("1 tbsp", 15),
    ],
)
def test_kitchen_measures_agree_with_nist_sp_430_to_the_millilitre(text: str, ml: int) -> None:
    assert round(litres(text) * 1000) == ml


@pytest.mark.parametrize(
    ("text", "rec20", "label"),
    [
        # UN/ECE Recommendation 20: G25 teaspoon, G24 tablespoon, G21 cup, in m3; 21 CFR 101.9(b)(5)(viii), in ml
        ("1 tsp", "4.928922e-6", "5"),
        ("1 tbsp", "1.478676e-5", "15"),
        ("1 cup", "2.365882e-4", "240"),
    ],
)
def test_a_spoon_reaches_from_the_us_one_to_that_of_labels(text: str, rec20: str, label: str) -> None:
    found = parse_measure(text)
    assert found.unit == "ml"
    assert found.low is not None
    assert found.high is not None
    customary = Decimal(rec20) * 1_000_000
    assert abs(found.low - customary) / customary < Decimal("0.001")
    assert found.high == Decimal(label)
    assert found.doubts == ("house-measure",)


def test_a_fifth_is_a_fifth_of_a_us_gallon() -> None:
    # the bottle of before 1980, 4/5 of a quart (from memory); metric bottles since are 750 ml (27 CFR 5.203)
    found = parse_measure("1 fifth")
    assert found.value is not None
    assert found.low == 750
    assert float(found.value) == pytest.approx(1e6 * constants.gallon_US / 5, abs=0.5)
