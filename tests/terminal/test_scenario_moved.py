"""``scenario --moved``: the bridge between the first and the second half of the weeks looked at."""

import argparse
import json
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from costing.book.book import Book
from costing.book.plain import record_from_plain
from costing.book.selling import SalesPeriod, Sold
from costing.store import create
from costing.terminal import scenario as command
from costing.terminal.base import Mistake

DAY = "2026-07-01"
BEFORE = (("a", 400, "14", "3.2"), ("b", 300, "16", "4.6"), ("c", 300, "13", "2.4"))
AFTER = (("a", 350, "14.5", "3.5"), ("b", 420, "16", "4.5"), ("c", 280, "13.5", "2.6"))
"""(drink, sold, net price as paid, cost): an invented example, its bridge worked by hand. Volume is 50 more at the mean
margin of 10.92; mix 1,050 times the shares that moved at the margins before; price 350 x 0.5 + 280 x 0.5; cost
350 x 0.3 - 420 x 0.1 + 280 x 0.2."""
PARTS = {"volume": 546.0, "mix": 70.0, "price": 315.0, "cost": -119.0}


def house() -> Book:
    """Three drinks of one good each, whose cost moves on 1 June; four fortnights of sales, two on each side of it."""
    rows: list[tuple[str, dict[str, Any]]] = [
        ("house", {"id": "house", "name": "House", "currency": "EUR", "terms": [{"since": "2026-01-01"}]}),
        ("supplier", {"id": "m", "name": "M"}),
    ]
    lines = []
    for (name, _, price, cost), (_, _, _, later) in zip(BEFORE, AFTER, strict=True):
        rows.append(("good", {"id": f"g{name}", "name": f"Good {name}", "kind": "other", "base": "each"}))
        for since, money in (("2026-01-01", cost), ("2026-06-01", later)):
            quote = {"id": f"q{name}-{since}", "good": f"g{name}", "supplier": "m", "content": "1 each",
                     "price": money, "currency": "EUR", "since": since}  # fmt: skip
            rows.append(("quote", quote))
        build = {"id": "build", "kind": "blend", "adds": [{"source": f"g{name}", "amount": "1 each"}]}
        rows.append(("serve", {"id": name, "name": name, "versions": [{"since": "2026-01-01", "build": build}]}))
        lines.append({"serve": name, "prices": [{"since": "2026-01-01", "price": price}]})
    rows.append(("menu", {"id": "main", "name": "Main", "sections": [{"name": "Drinks", "lines": lines}]}))
    periods = [
        _period(n, since, until, sold)
        for n, (since, until, sold) in enumerate((
            (date(2026, 5, 4), date(2026, 5, 17), BEFORE), (date(2026, 5, 18), date(2026, 5, 31), BEFORE),
            (date(2026, 6, 1), date(2026, 6, 14), AFTER), (date(2026, 6, 15), date(2026, 6, 28), AFTER),
        ))
    ]  # fmt: skip
    return Book.of([*(record_from_plain(kind, plain) for kind, plain in rows), *periods])


def _period(n: int, since: date, until: date, sold: tuple[tuple[str, int, str, str], ...]) -> SalesPeriod:
    """Half of what a side sold."""
    lines = tuple(
        Sold(serve=name, count=Decimal(count) / 2, net=Decimal(count) / 2 * Decimal(price))
        for name, count, price, _ in sold
    )
    return SalesPeriod(id=f"p{n}", since=since, until=until, sold=lines)


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("moved") / "bar.stillroom"
    with create(path, house(), code="new", who=""):
        pass
    return path


def call(book: Path, *argv: str) -> int:
    parser = argparse.ArgumentParser()
    parser.add_argument("book", type=Path)
    parser.add_argument("--json", action="store_true")
    command.scenario_arguments(parser)
    return command.scenario(parser.parse_args([str(book), *argv, "--moved", "--from", DAY]))


def test_what_moved_the_margin_from_the_first_half_to_the_second(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert call(book) == 0
    out = capsys.readouterr().out
    for line in (
        "before: 2026-05-04 to 2026-05-31, 28 days, 1,000 drinks, margin 10,920.00, costs of 2026-05-31",
        "before: 2026-06-01 to 2026-06-28".replace("before", "after"),
        "Margin rose by 812.00 while pour cost worsened by 1.03 points: more was sold (+546.00)",
        "margin after           11,732.00",
    ):
        assert line in out
    assert "not equally long" not in out


def test_the_same_as_json_adds_up(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert call(book, "--json") == 0
    found = json.loads(capsys.readouterr().out)
    assert {code: pytest.approx(money) for code, money in found["bridge"]["parts"].items()} == PARTS
    assert [side["periods"] for side in found["sides"]] == [["p0", "p1"], ["p2", "p3"]]
    assert [side["earned"] for side in found["sides"]] == pytest.approx([10_920, 11_732])
    assert found["bridge"]["after"] - found["bridge"]["before"] == pytest.approx(sum(PARTS.values()))
    assert [side["costs_of"] for side in found["sides"]] == ["2026-05-31", "2026-06-28"]


def test_halves_of_unequal_length_are_said_to_be_so(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert call(book, "--weeks", "6") == 0
    out = capsys.readouterr().out
    assert "before: 2026-05-18 to 2026-05-31, 14 days" in out
    assert "the halves are not equally long" in out


def test_one_period_has_no_halves_and_a_scenario_has_no_place(book: Path) -> None:
    with pytest.raises(Mistake, match=r"1 period of sales ended .* try more --weeks"):
        call(book, "--weeks", "2")
    for more in (("cheap rum",), ("--suppose", "M +10 %"), ("--tornado",)):
        with pytest.raises(Mistake, match="stands alone"):
            call(book, *more)
