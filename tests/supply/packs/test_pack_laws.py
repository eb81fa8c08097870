"""Laws of packs: what is written reads back, totals are products, nothing raises, and no text is much work."""

import sys
from decimal import Decimal
from math import prod
from types import FrameType

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.supply.packs import Pack, pack_of_parts, parse_pack, plausible
from costing.supply.packs.pack import read_pack_text
from tests.supply.packs.pack_cases import CASES

UNITS = {"ml": ("ml", 1), "cl": ("ml", 10), "l": ("ml", 1000), "L": ("ml", 1000), "Liter": ("ml", 1000), "g": ("g", 1),
         "kg": ("g", 1000), "KG": ("g", 1000)}  # fmt: skip
SIZES = {"ml": ["20", "50", "187", "200", "330", "375", "500", "700", "750"], "cl": ["2", "20", "33", "37,5", "70",
"75", "100"],
         "g": ["5", "25", "100", "250", "500"], "kg": ["1", "2.5", "2,5", "0.5", "10", "25"]}  # fmt: skip
FORMS = ["{n} x {q} {u}", "{n}x{q}{u}", "{q} {u} x {n}", "{q}{u} x {n}", "{n} × {q} {u}", "{n} * {q}{u}",
"Case {n} x {q}{u}",
         "{n} Flaschen à {q} {u}", "{n} bottles of {q}{u}", "{n} bouteilles de {q} {u}", "{q} {u}, {n} per case",
         "Vodka 40% {n} x {q} {u} gift box"]  # fmt: skip
SIGNS = st.text(alphabet="0123456789 xX/.,-*½()kgmlcloz%'\"#€=+&sSerPKt", max_size=300)
PACKS = st.one_of(SIGNS, st.sampled_from([text for text, _, _ in CASES]))


def codes(pack: Pack) -> list[str]:
    return [found.code for found in pack.doubts]


@given(
    st.sampled_from([2, 3, 4, 6, 8, 10, 12, 20, 24, 48]),
    st.sampled_from(FORMS),
    st.sampled_from(sorted(UNITS)),
    st.data(),
)
def test_what_is_written_reads_back(n: int, form: str, unit: str, data: st.DataObject) -> None:
    base, factor = UNITS[unit]
    sizes = SIZES.get(unit.lower(), ["0.7", "0,75", "1", "1.5", "5", "10"])
    size = data.draw(st.sampled_from(sizes))
    found = parse_pack(form.format(n=n, q=size, u=unit))
    content = Decimal(size.replace(",", ".")) * factor
    assert (found.levels, found.content, found.unit) == ((n,), content, base)
    assert (found.total, codes(found)) == (content * n, [])


@given(st.lists(st.integers(1, 24), min_size=1, max_size=3), st.sampled_from(["x", " x ", "×", " X "]))
def test_levels_stand_in_their_order(levels: list[int], sign: str) -> None:
    found = parse_pack(sign.join([*map(str, levels), "33 cl"]))
    assert (found.levels, found.total, codes(found)) == (tuple(levels), Decimal(prod(levels) * 330), [])


@given(st.integers(1, 60), st.sampled_from(["330 ml", "33cl", "750ML", "70 CL"]))
def test_a_slash_before_a_size_counts(n: int, size: str) -> None:
    assert parse_pack(f"{n}/{size}").levels == (n,)
    assert parse_pack(f"{n}/{size}").content == parse_pack(size).content


@given(PACKS, st.sampled_from(["", "spirit", "beer", "fruit", "nonsense"]))
def test_a_total_is_a_product_and_without_one_there_is_a_doubt(text: str, kind: str) -> None:
    found = parse_pack(text, kind=kind)
    assert found.text == text
    assert (found.total is None) == (found.content is None)
    if found.total is not None and found.content is not None:
        assert found.unit is not None
        assert found.total == pytest.approx(found.content * prod(found.levels), rel=Decimal("1e-20"))
        assert found.total > 0
    else:
        assert found.doubts
    assert all(level > 0 for level in found.levels)
    assert 0 <= found.span[0] <= found.span[1] <= len(text)


@given(st.text(max_size=310), st.text(max_size=20), st.text(max_size=10))
def test_no_text_raises(text: str, count: str, unit: str) -> None:
    plausible(parse_pack(text, kind=unit), unit)
    found = pack_of_parts(count, text, unit, kind=unit, decimal=unit)
    assert found.total is not None or found.doubts


@given(SIGNS, SIGNS, SIGNS)
def test_no_columns_raise(count: str, content: str, unit: str) -> None:
    found = pack_of_parts(count, content, unit)
    assert found.total is not None or found.doubts
    if found.total is not None and found.content is not None:
        assert found.total == pytest.approx(found.content * prod(found.levels), rel=Decimal("1e-20"))


@given(st.one_of(SIGNS.filter(lambda text: len(text) < 90), st.sampled_from([text for text, _, _ in CASES])))
def test_case_and_spaces_say_nothing(text: str) -> None:
    def said(form: str) -> tuple[object, ...]:
        found = parse_pack(form)
        return found.levels, found.content, found.unit, codes(found)

    plain = said(text)
    if text.isascii():
        assert said(text.upper()) == said(text.lower()) == plain
    assert said(text.replace(" ", "  ")) == plain
    assert said(text.replace(" ", "\u00a0")) == plain
    assert said(f"  {text} ") == plain


@settings(max_examples=60)
@given(
    st.one_of(
        st.text(alphabet="0123456789 x/.,-½(", min_size=250, max_size=300),
        st.text(alphabet="1/ ", min_size=290, max_size=300),
        st.sampled_from(
            ["6 x ", "1/2 ", "1-", "(", "½", "pfand (1 ", "6 bottles ", "1 1/2 ", "a1", "1,", "12 oz / "]
        ).map(lambda part: (part * 300)[:300]),
    )
)
def test_no_text_is_much_work(text: str) -> None:
    """Calls are counted and not seconds, so that a busy machine does not fail it. The most seen is 52,000; twice the
    text may be four times the work, which for the longest text there is stays a tenth of a second."""
    assert _calls(text) <= 100_000


def _calls(text: str) -> int:
    made = 0

    def count(_frame: FrameType, event: str, _of: object) -> None:
        nonlocal made
        made += event in ("call", "c_call")

    before = sys.getprofile()
    sys.setprofile(count)
    try:
        read_pack_text(text, "", None)
    finally:
        sys.setprofile(before)
    return made
