"""The big list: exactly the errors it says, honest prices that move as they do, a year of history, the same bytes."""

from collections import Counter
from datetime import date
from decimal import Decimal
from functools import cache
from itertools import pairwise
from math import prod
from pathlib import Path

import pytest

from costing.book.fact import parse_fact
from sample_data.bigkinds import KINDS, beyond
from sample_data.biglist import ERRORS, BigList, big_list, main

SLIPS = {"factor-10": 10, "factor-100": 100, "factor-1000": 1000}


@cache
def made() -> BigList:
    """A list of twenty thousand."""
    return big_list()


@cache
def rows() -> list[list[str]]:
    """Its lines, as cells; none holds the separator."""
    return [line.split(";") for line in made().data.decode("cp1252").removesuffix("\r\n").split("\r\n")]


def money(text: str) -> Decimal:
    """A price by the convention of the file: commas for decimals, points for thousands."""
    return Decimal(text.replace(".", "").replace(",", "."))


def count(pack: str) -> int:
    """Pieces in a pack."""
    return prod(int(part) for part in pack.split(" x ")[:-1])


def told(code: str) -> tuple[str, Decimal]:
    """Pack and price before, the pack with the file's decimal mark and word for a piece."""
    pack, price = made().prices_before[code]
    return pack.replace(".", ",").replace("each", "Stk"), price


def test_it_has_exactly_the_errors_it_says() -> None:
    truth = made().truth
    assert [t.row for t in truth] == list(range(2, 20_002))
    assert len(rows()) == 20_001
    assert {len(row) for row in rows()} == {8}
    wrong = Counter(t.error for t in truth if t.error)
    assert wrong.total() == 400  # 2 %
    assert set(wrong) == set(ERRORS)
    assert max(wrong.values()) - min(wrong.values()) <= 1
    for t in truth:
        code, _, _, kind, pack, price, currency, _ = rows()[t.row - 1]
        assert (code, price, kind) == (t.code, t.written, made().kinds[code])
        usual = (pack, currency) == (told(code)[0], "EUR")
        right = usual and price.count(",") == 1 and price[-3] == "," and "O" not in price and "l" not in price
        assert (right and money(price) == t.right) == (not t.error), t


def test_each_error_is_what_its_name_says() -> None:
    for n, t in enumerate(made().truth):
        if not t.error:
            continue
        code, _, _, _, pack, price, currency, rate = rows()[t.row - 1]
        before, cent = told(code)[0], Decimal("0.005")
        if t.error in SLIPS:
            times = SLIPS[t.error]
            assert any(abs(money(price) - right) <= cent for right in (t.right * times, t.right / times))
        elif t.error == "cents":
            assert Decimal(price) == 100 * t.right
        elif t.error == "bottle-for-case":
            assert abs(money(price) - t.right / count(pack)) <= cent
        elif t.error == "case-for-bottle":
            assert money(price) == t.right * count(pack)
        elif t.error == "digits-swapped":
            right = str(int(t.right * 100))
            typed = str(int(money(price) * 100)).rjust(len(right), "0")
            differ = [k for k in range(len(right)) if right[k] != typed[k]]
            assert len(differ) == 2
            assert differ[0] + 1 == differ[1]
            assert sorted(right) == sorted(typed)
        elif t.error == "pack-changed":
            assert money(price) == t.right
            assert pack != before
            assert pack.split(" x ")[-1] == before.split(" x ")[-1]
        elif t.error == "neighbour":
            beside = made().truth[n + 1 if n + 1 < len(made().truth) else n - 1]
            assert money(price) == beside.right != t.right
        elif t.error == "point-for-comma":
            assert price == f"{t.right:.3f}"
            assert money(price) == 1000 * t.right
        elif t.error == "tax-in":
            assert abs(money(price) - t.right * (1 + Decimal(rate) / 100)) <= cent
        elif t.error == "currency":
            assert currency in ("CHF", "SEK", "USD")
            assert money(price) == t.right
        elif t.error == "unit":
            assert pack in (before.replace("kg", "g"), before.replace(" l", " ml"))
            assert pack != before
        elif t.error == "negative":
            assert money(price) == -t.right
        else:
            assert (t.error, price == "") in (("empty", True), ("zero", False), ("words", False))
            assert t.error != "zero" or money(price) == 0


def test_what_is_wrong_lies_beyond_what_is_right() -> None:
    """A wrong price that a person could take for a right one would measure nothing."""
    for t in made().truth:
        kind = KINDS[made().kinds[t.code]]
        before = made().prices_before[t.code][1]
        honest = float(t.right / before)
        assert 1 / (1 + kind.width + 0.01) <= honest <= 1 + kind.width + 0.01, t
        assert not beyond(kind, honest)
        if t.error in {*SLIPS, "bottle-for-case", "case-for-bottle", "digits-swapped", "neighbour", "tax-in"}:
            assert beyond(kind, float(money(t.written) / before)), t


def test_honest_prices_move_as_such_prices_do() -> None:
    """Spirits within a few per cent, fresh goods by tens: common practice, no source."""
    moves: dict[str, list[Decimal]] = {}
    for t in made().truth:
        moves.setdefault(made().kinds[t.code], []).append(t.right / made().prices_before[t.code][1] - 1)
    assert max(map(abs, moves["spirit"])) < Decimal("0.05")
    assert Decimal("0.2") < max(map(abs, moves["fruit"])) < Decimal("0.45")
    assert sum(move == 0 for move in moves["wine"]) > len(moves["wine"]) / 2
    assert set(moves) == set(KINDS)


def test_names_tell_goods_apart_and_numbers_check() -> None:
    assert len({row[2] for row in rows()}) == len(rows())
    for _, code, *_ in rows()[1::97]:
        # GS1, "How to calculate a check digit manually"
        assert sum(int(d) * (1 if n % 2 == 0 else 3) for n, d in enumerate(reversed(code))) % 10 == 0
    for pack, price in list(made().prices_before.values())[::53]:
        assert parse_fact(pack.split(" x ")[-1]).value > 0
        assert price >= 1


def test_a_year_of_history_ends_at_the_price_before() -> None:
    for code in list(made().kinds)[::101]:
        past = made().history(code)
        days, prices = [day for day, _ in past], [price for _, price in past]
        assert days == sorted(set(days))
        assert days[0] == date(2025, 12, 1)
        assert days[-1] <= date(2026, 11, 2)
        assert prices[-1] == made().prices_before[code][1]
        assert past == made().history(code)
        kind = KINDS[made().kinds[code]]
        assert len(past) == 12 if kind.fresh else 1 <= len(past) <= 12
        for before, after in pairwise(prices):
            assert float(abs(after / before - 1)) <= kind.width + 0.02
    with pytest.raises(KeyError):
        made().history("X1")


def test_one_seed_gives_one_list() -> None:
    first = big_list(600, 7)
    assert first.data == big_list(600, 7).data
    assert first.truth == big_list(600, 7).truth
    assert first.data != big_list(600, 8).data
    assert sum(bool(t.error) for t in big_list(600, 7, 0.1).truth) == 60
    assert not any(t.error for t in big_list(600, 7, 0.0).truth)


def test_a_list_that_cannot_be_is_refused() -> None:
    for rows_, share in ((0, 0.02), (200_000, 0.02), (10, -0.1), (10, 0.6), (10, float("nan"))):
        with pytest.raises(ValueError, match="must lie from"):
            big_list(rows_, 1, share)


def test_it_is_written_from_the_terminal(tmp_path: Path) -> None:
    out, truth = tmp_path / "big.csv", tmp_path / "truth.csv"
    main(["--rows", "500", "--seed", "3", "--out", str(out), "--truth", str(truth)])
    assert out.read_bytes() == big_list(500, 3).data
    assert len(truth.read_text("utf-8").splitlines()) == 11
