"""The strings of packs met in the wild, each with what it means, and how many of a larger set are read right."""

from decimal import Decimal
from math import prod

import pytest

from costing.supply.packs import pack_of_parts, parse_pack
from tests.supply.packs.pack_cases import CASES, WILD, Wild, worked_out


@pytest.mark.parametrize("row", WILD, ids=[row[1] for row in WILD])
def test_a_string_of_the_wild(row: Wild) -> None:
    _, text, levels, content, unit, total, codes = row
    found = parse_pack(text)
    assert (found.levels, found.unit, [d.code for d in found.doubts]) == (levels, unit, codes)
    if content is None or total is None:
        assert (found.content, found.total) == (None, None)
    else:
        assert found.content == pytest.approx(worked_out(content), rel=Decimal("1e-20"))
        assert found.total == pytest.approx(Decimal(total), rel=Decimal("0.001"))


@pytest.mark.parametrize(
    ("text", "used"),
    [("POT KETCHUP 3 LT", "3 LT"), ("Gin 40% 6x70cl gift box", "6x70cl"), ("case of 24 x 33 cl", "24 x 33 cl"),
     ("Lager 33cl, 4 x 6", "33cl, 4 x 6"), ("1 000 ml", "1 000 ml"), ("sml", ""), ("٦ × ٧٠ cl", "٦ × ٧٠ cl")],
)  # fmt: skip
def test_the_part_of_the_text_that_was_used(text: str, used: str) -> None:
    first, last = parse_pack(text).span
    assert text[first:last] == used


def test_there_are_150_texts_and_more() -> None:
    assert len({text for text, _, _ in CASES}) == len(CASES) >= 250


def test_none_is_wrong_in_silence_and_most_are_right() -> None:
    """Right is the total and its unit; what nobody can know has to be doubted."""
    silent, right, doubted = [], 0, 0
    for text, total, unit in CASES:
        found = parse_pack(text)
        meant = worked_out(total) if total is not None else None
        if meant is not None and found.unit == unit and found.total == pytest.approx(meant, rel=Decimal("1e-9")):
            right += 1
        elif found.doubts:
            doubted += 1
        else:
            silent.append((text, total, found))
    assert silent == []
    assert right + doubted >= 0.97 * len(CASES)
    known = sum(total is not None for _, total, _ in CASES)
    assert right >= 0.97 * known


@pytest.mark.parametrize(
    ("text", "kind", "content", "unit", "codes"),
    [
        ("12 oz", "beer", "354.88235475", "ml", []),
        ("12 oz", "juice", "354.88235475", "ml", []),
        ("12 oz", "dry", "340.1942775", "g", ["oz-which"]),
        ("12 oz", "", "340.1942775", "g", ["oz-which"]),
        ("12 oz can", "", "354.88235475", "ml", []),
        ("12 oz can", "fruit", "340.1942775", "g", ["oz-which"]),
        ("12 fl oz", "fruit", "354.88235475", "ml", []),
    ],
)
def test_an_ounce_is_fluid_in_a_drink_or_by_the_bottle(
    text: str, kind: str, content: str, unit: str, codes: list[str]
) -> None:
    found = parse_pack(text, kind=kind)
    assert (found.content, found.unit, [d.code for d in found.doubts]) == (Decimal(content), unit, codes)


def test_a_bare_number_is_never_millilitres() -> None:
    for text in ("750", "70", "0,7", "6 x 70", "Gin 750", "12/750"):
        found = parse_pack(text, kind="spirit")
        assert (found.content, found.total) == (None, None)
        assert "unit-missing" in [d.code for d in found.doubts]


def test_a_long_text_is_doubted_and_not_read() -> None:
    found = parse_pack("6 x 70cl " + "x" * 300)
    assert (found.levels, found.total, [d.code for d in found.doubts]) == ((), None, ["text-long"])


def test_a_volume_is_never_turned_into_weight() -> None:
    found = parse_pack("1 1/9 bushel cartons")
    assert (found.unit, [d.code for d in found.doubts]) == ("ml", ["weight-by-commodity"])


@pytest.mark.parametrize(
    ("count", "content", "unit", "levels", "total", "codes"),
    [
        ("Ctn 6", "946ml", "", (6,), "5676", []),  # 82: a case is six of the unit
        ("6 Outer", "432g", "", (6,), "2592", []),  # 83
        ("6", "70 cl", "", (6,), "4200", []),
        ("12", "0,75", "l", (12,), "9000", []),
        ("12", "0,38", "l", (12,), "4560", ["size-rounded"]),  # 91: 0.375 in two decimals
        ("6", "70", "CLT", (6,), "4200", []),
        ("6", "1.000", "L", (6,), "6000", ["number-two-ways"]),
        ("4/6", "33 cl", "", (4, 6), "7920", []),
        ("4 x 6", "33", "cl", (4, 6), "7920", []),
        ("", "6x70cl", "", (6,), "4200", []),
        ("6", "6x70cl", "", (6,), "4200", ["count-twice"]),
        ("1", "4 x 25g", "", (1, 4), "100", []),
        ("6", "750 ml", "g", (6,), "4500", ["unit-differs"]),
        ("6", "156G", "g", (6,), "936", []),
        ("x24", "20cl", "", (24,), "4800", []),
        ("case", "70cl", "", (), "700", ["count-unread"]),
        ("0,5", "70cl", "", (), "700", ["count-unread"]),
        ("6", "75", "", (6,), None, ["unit-missing"]),
        ("6", "70", "Flasche", (6,), None, ["unit-missing"]),
        ("6", "", "", (6,), None, ["size-missing"]),
        ("", "0", "l", (), None, ["size-zero"]),
        ("6", "1", "Stk", (6,), "6", []),
        ("1", "1", "BLL", (1,), "158987.294928", ["unit-barrel", "size-odd"]),
    ],
)
def test_a_pack_in_several_columns(
    count: str, content: str, unit: str, levels: tuple[int, ...], total: str | None, codes: list[str]
) -> None:
    found = pack_of_parts(count, content, unit)
    assert (found.levels, [d.code for d in found.doubts]) == (levels, codes)
    assert found.total == (Decimal(total) if total is not None else None)


def test_the_mark_of_its_column_settles_a_content() -> None:
    assert pack_of_parts("6", "1.000", "kg", decimal=".").total == 6000
    assert pack_of_parts("6", "1,500", "g", decimal=".").total == 9000
    assert pack_of_parts("6", "1,500", "g", decimal=",").total == 9
    assert pack_of_parts("6", "1,500 kg", decimal=",").total == 9000
    assert [d.code for d in pack_of_parts("6", "12,5", "l", decimal=".").doubts] == ["mark-differs"]
    assert [d.code for d in pack_of_parts("4/6", "12 oz", kind="beer").doubts] == []
    assert pack_of_parts("4/6", "12 oz", kind="beer").content == Decimal("354.88235475")
    assert prod(pack_of_parts("4/6", "12 oz").levels) == 24
