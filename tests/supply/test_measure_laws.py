"""Laws of the measure parser over any text, and over amounts written out and read back."""

import os
import re
from decimal import Decimal

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from costing.book.fact import parse_fact
from costing.book.units import UNITS, Dim, UnitDef, lookup
from costing.supply import parse_measure, to_fact
from costing.supply.figures import plain_text
from costing.supply.measure import DOUBTS

MANY = int(os.environ.get("STILLROOM_EXAMPLES", "300"))
HOUSE = {"dash": UnitDef(Dim.VOLUME, Decimal("0.0008")), "oz": UnitDef(Dim.VOLUME, Decimal("0.03"))}
WORDS = """
1 2 3 10 750 1/2 3/4 1/3 1/0 ½ ⅔ ⅟ .5 0,75 1,250 - – to or x × ( ) / = . , ٣ ٫ % ~ of juice the a half about add float
ml cl oz fl oz. dash Dashes drops tsp cup part parts shot twist wedge peel bottle 750-ml 2-inch top with fill up lemon
"""
PIECES = st.sampled_from([*re.findall(r"\S+", WORDS), "\n", " "])
LINES = st.one_of(
    st.text(max_size=60), st.lists(PIECES, max_size=9).map(" ".join), st.lists(PIECES, max_size=9).map("".join)
)
GUESSED = ("oz", "fl oz", "ounces", "pint", "quart", "gallon", "dash", "drops", "tsp", "tablespoons", "cup", "fifth")
SURE = sorted(name for name, unit in UNITS.items() if unit.dim in (Dim.MASS, Dim.VOLUME) and name)


@settings(max_examples=MANY, deadline=None)
@given(LINES, st.sampled_from([None, HOUSE]))
@example("1 1 1 1 1 1 1 ml", None)
@example("((((1", None)
@example("about about about", None)
@example("float add float add", None)
def test_any_text_is_read_or_refused_in_words(text: str, house: dict[str, UnitDef] | None) -> None:
    refused: ValueError | None = None
    try:
        found = parse_measure(text, house)
    except ValueError as fault:
        refused = fault
    if refused is not None:
        assert type(refused) is ValueError  # never a fault of arithmetic or of a table
        assert len(str(refused)) > 20
        return
    assert found.text == text
    assert set(found.doubts) <= DOUBTS
    assert len(set(found.doubts)) == len(found.doubts)
    if found.value is None:
        assert (found.low, found.high, found.unit) == (None, None, "")
        assert found.kind == "top up" or found.doubts
        return
    assert found.low is not None
    assert found.high is not None
    assert 0 <= found.low <= found.value <= found.high <= Decimal("1e9")
    unit = lookup(found.unit, house)
    assert found.kind == "part" or (unit is not None and unit.dim in (Dim.MASS, Dim.VOLUME, Dim.COUNT))
    if found.kind != "part":
        fact = to_fact(found)
        assert (fact.value, fact.unit) == (found.value, found.unit)
        assert (fact.mark == "measured") == (not found.doubts and found.kind != "range")


@settings(max_examples=MANY, deadline=None)
@given(st.decimals("0.001", "9999", places=3), st.sampled_from(SURE))
def test_an_amount_in_a_sure_unit_reads_back_as_the_strict_reader_has_it(value: Decimal, unit: str) -> None:
    text = f"{value} {unit}"
    found, strict = parse_measure(text), parse_fact(text)
    assert found.value == strict.value == value
    assert (found.low, found.high, found.doubts, found.rest) == (value, value, (), "")
    a, b = lookup(found.unit), lookup(strict.unit)
    assert a == b or {a.dim if a else None, b.dim if b else None} == {Dim.COUNT}


@settings(max_examples=MANY, deadline=None)
@given(
    st.integers(0, 40), st.integers(1, 9), st.integers(2, 10), st.sampled_from(["ml", "cl", "g", "oz av", "us fl oz"])
)
def test_a_mixed_number_reads_as_its_sum(whole: int, top: int, under: int, unit: str) -> None:
    text = f"{whole} {top}/{under} {unit} something"
    found = parse_measure(text)
    assert found.value == pytest.approx(Decimal(whole) + Decimal(top) / under, rel=Decimal("1e-15"))
    assert ("improper-fraction" in found.doubts) == (top > under)
    assert found.rest == "something"


@settings(max_examples=MANY, deadline=None)
@given(st.integers(1, 500), st.integers(1, 500), st.sampled_from(["-", " - ", " to ", " or ", "–", "ml - "]))
def test_a_range_costs_its_middle(low: int, more: int, between: str) -> None:
    found = parse_measure(f"{low}{between}{low + more} ml")
    assert (found.kind, found.low, found.high) == ("range", Decimal(low), Decimal(low + more))
    assert found.value == Decimal(2 * low + more) / 2


@settings(max_examples=MANY, deadline=None)
@given(st.sampled_from([*GUESSED]), st.integers(1, 50))
def test_a_unit_that_is_guessed_is_a_doubt(word: str, n: int) -> None:
    doubts = parse_measure(f"{n} {word} of something").doubts
    assert any(d == "house-measure" or d.startswith("which-") for d in doubts)


@settings(max_examples=MANY, deadline=None)
@given(st.text(max_size=80))
def test_plain_text_is_plain_already(text: str) -> None:
    once = plain_text(text)
    assert plain_text(once) == once
