"""``days`` and ``compare`` as they print: the text says what was computed, the JSON adds up, a bad call is named."""

import argparse
import json
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from costing.book import Book
from costing.ledger import reckon
from costing.store import create
from costing.terminal.base import Mistake
from costing.terminal.dayscommand import compare_arguments, days_arguments
from tests.pricing.test_days import APR, FEB, JAN, MAR, bar, quote, sour, syrup

Run = Callable[..., str]


@pytest.fixture
def run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs one of the two commands on a book and returns what it printed; the exit code must be 0."""

    def run(book: Book, *line: str, code: int = 0) -> str:
        path = tmp_path / f"{len(list(tmp_path.iterdir()))}.stillroom"
        with create(path, book, code="test", who="test"):
            pass
        top = argparse.ArgumentParser()
        commands = top.add_subparsers()
        for name, arguments in (("days", days_arguments), ("compare", compare_arguments)):
            sub = commands.add_parser(name)
            sub.add_argument("book", type=Path)
            sub.add_argument("--json", action="store_true")
            arguments(sub, date.fromisoformat)
        args = top.parse_args([line[0], str(path), *line[1:]])
        assert args.run(args) == code
        return capsys.readouterr().out

    return run


def moving() -> Book:
    """Rum gets dearer in February; the drink takes less of it, and more syrup, from March on; sugar loses its price."""
    return bar(
        quote("rum", "21.00", FEB),
        quote("sugar", "1.10", FEB, "1 kg", until=MAR.isoformat()),
        quote("water", "0.10", FEB, "1 kg"),
        sours=(sour(JAN, ("rum", "0.06 l"), ("syrup", "0.02 kg")), sour(MAR, ("rum", "0.05 l"), ("syrup", "0.03 kg"))),
    )


def test_days_says_what_moved_the_drink_and_by_how_much(run: Run) -> None:
    text = run(moving(), "days", "Sour", "--from", "2026-01-01", "--to", "2026-04-01")
    lines = [" ".join(line.split()) for line in text.splitlines()]
    assert "2026-01-01 1.2110 1.2110 - - - - materials" in lines
    assert "2026-02-01: 1.2110 -> 1.2720, moved +0.0610 with making +0.0610" in lines
    assert "rum 0.06 l 20.00 for 1 l, 20.0000 21.00 for 1 l, 21.0000 +0.0600 +0.0600" in lines
    assert "asked anew at the same price: water" in lines
    assert "recipe of Sour of 2026-01-01 of 2026-03-01 -0.2040 -0.2040" in lines
    assert "rum l 0.06 0.05 -0.2100 -0.2100" in lines
    assert "2026-03-02: 1.0680 -> 1.0665, moved -0.0015 with making -0.0015" in lines  # the older quote, 1.00, holds on


def test_days_json_adds_up(run: Run) -> None:
    told = json.loads(run(moving(), "days", "sour", "--from", "2026-01-01", "--to", "2026-04-01", "--json"))
    assert (told["stillroom"], told["form"], told["moved_at"]) == ("days", "1.0", "prices-at-new-recipe")
    days = [p["day"] for p in told["points"]]
    assert days == [str(d) for d in (JAN, FEB, MAR)] + ["2026-03-02"]
    for before, after in zip(told["points"], told["points"][1:], strict=False):
        parts = sum(m["money"]["with_making"] for m in after["moved"]["parts"])
        assert after["cost"]["with_making"] - before["cost"]["with_making"] == pytest.approx(parts, rel=0, abs=1e-12)
        assert after["moved"]["difference"]["with_making"] == pytest.approx(parts, rel=0, abs=1e-12)
    took = next(m for p in told["points"][1:] for m in p["moved"]["parts"] if m["why"] == "recipe")["took"]
    assert {t["source"]: (t["before"], t["after"]) for t in took} == {"rum": (0.06, 0.05), "syrup": (0.02, 0.03)}


def test_days_marks_what_has_no_price_and_what_cannot_be(run: Run) -> None:
    bad = syrup(MAR)
    bad["stages"][0]["facts"] = {"keep": "110 %"}
    book = bar(syrups=(syrup(JAN), bad), sours=(sour(JAN, ("gin", "0.06 l"), ("syrup", "0.02 kg")),))
    text = run(book, "days", "sour", "--from", "2026-01-01", "--to", "2026-04-01", code=1)
    assert ">= 0.0110" in text
    assert "2026-03-01: >= 0.0110 -> not costed, moved -0.0110" in text
    assert "Sour: cannot be costed any more" in text
    assert "2026-03-01: error: " in text
    early = run(book, "days", "gin", "--from", "2025-01-01", "--to", "2025-02-01", code=1)
    assert ">= 0.0000" in early
    assert "not in the book" in run(book, "days", "syrup", "--from", "2025-01-01", "--to", "2025-02-01", code=1)


def test_compare_shows_both_days_and_splits_the_difference(run: Run) -> None:
    text = run(moving(), "compare", "sour", "--day", "2026-01-15", "--and-day", "2026-04-01")
    lines = [" ".join(line.split()) for line in text.splitlines()]
    assert "A: Sour on 2026-01-15" in lines
    assert "B: Sour on 2026-04-01" in lines
    assert "materials a drink 1.2110 1.0665 -0.1445" in lines
    assert "Why one of B costs 0.1445 less than one of A, with making" in lines
    assert "rum 0.06 l 0.05 l 20.0000 21.0000 +0.0600 -0.2100" in lines
    assert "rum: 0.06 l -> 0.05 l at 20.0000 -> 21.0000" in lines
    assert "in all +0.0600 -0.2045" in lines


def test_compare_json_equals_the_reckoning(run: Run) -> None:
    book = moving()
    told = json.loads(run(book, "compare", "syrup", "--times", "3", "--day", "2026-01-15", "--json"))
    day = reckon(book.on(date(2026, 1, 15)))
    assert told["a"]["cost"]["materials"] == day.costs["syrup"].materials
    assert (told["a"]["made"], told["b"]["made"]) == (2.0, 6.0)
    assert told["b"]["of"] == "3 times the size"
    assert told["difference"]["with_making"] == pytest.approx(0.0, abs=1e-15)
    stage: dict[str, Any] = told["stages"][0]
    assert stage["b"]["inputs"] == {"sugar": 3.0, "water": 3.0}
    assert told["problems"] == []


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (("days", "nothing"), "there is no serve, preparation or good called 'nothing'"),
        (("days", "sour", "--from", "2026-03-01", "--to", "2026-01-01"), "lies before the first day 2026-03-01"),
        (("compare", "sour", "--day", "2026-03-01"), "sour beside itself: name a second one"),
        (("compare", "sour", "gin", "--day", "2026-03-01"), "there is no serve or preparation called 'gin'"),
        (("compare", "sour", "--times", "2", "--day", "2026-03-01"), "sour is not a preparation"),
        (("compare", "syrup", "--batch", "x", "--day", "2026-03-01"), "no batch of syrup is logged"),
    ],
)
def test_a_bad_call_is_named(run: Run, line: tuple[str, ...], said: str) -> None:
    with pytest.raises(Mistake, match=said):
        run(moving(), *line)


def test_a_batch_of_no_size_is_refused(run: Run) -> None:
    with pytest.raises(ValueError, match="accepted above 0"):
        run(moving(), "compare", "syrup", "--times", str(Decimal(0)), "--day", str(APR))
