"""The command ``scenario``: what it prints, keeps, applies and throws away."""

import argparse
import json
import shutil
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from costing.book.history import History
from costing.book.selling import SalesPeriod, Scenario
from costing.paths import sample_book
from costing.store import create, open_store, read_json
from costing.terminal import scenario as command
from costing.terminal.base import Mistake

DAY = "2026-12-01"


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("scenario") / "bar.stillroom"
    with create(path, read_json(sample_book()), code="new", who=""):
        pass
    return path


@pytest.fixture
def book(written: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(written, tmp_path / "bar.stillroom"))


def call(book: Path, *argv: str, day: str = DAY) -> int:
    parser = argparse.ArgumentParser()
    parser.add_argument("book", type=Path)
    parser.add_argument("--json", action="store_true")
    command.scenario_arguments(parser)
    return command.scenario(parser.parse_args([str(book), *argv, "--from", day]))


def told(book: Path, capsys: pytest.CaptureFixture[str], *argv: str) -> dict[str, Any]:
    call(book, *argv, "--json")
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    return found


LINES = ("--suppose", "casks +10 %", "--suppose", "sold harbour-light -20 %", "--suppose", "VAT = 21 %")


def test_a_scenario_is_printed_with_its_bridge(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert call(book, *LINES) == 0
    out = capsys.readouterr().out
    for line in (
        "at what was sold from 2026-08-31 to 2026-11-22: 12,757 drinks in 84 days",
        "  Ropewalk Casks: +10 % on 21 prices",
        "  VAT: 19 -> 21 %",
        "  sold, Harbour Light: -20 %",
        "Margin fell by",
        "pour cost worsened by",
        "margin before          81,473.75",
    ):
        assert line in out
    with open_store(book, readonly=True) as store:
        assert History(store).head == 1, "nothing was written"


def test_a_drink_that_cannot_be_made_any_more_does_not_pass_for_a_gain(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without its juice a drink has no cost; what it earns is at most what it brings."""
    assert call(book, "--suppose", "lemon-juice juice/out.mass x 0") == 1
    out = capsys.readouterr().out
    row = next(line for line in out.splitlines() if line.startswith("Chart Room"))
    assert row.split()[-6:] == ["%", "1,219.37", "<=", "1,383.06", "<=", "+163.69"]
    assert "error: error" not in out.casefold()
    assert "NO COST: Chart Room" in out


def test_a_drink_on_two_menus_says_which(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert call(book, "--suppose", "sold second-tide -10 %", day="2026-09-28") == 0
    out = capsys.readouterr().out
    assert "Second Tide (Main menu)" in out
    assert "Second Tide (Terrace menu)" in out


def test_what_moves_no_drink_is_said(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The one liqueur that is quoted in francs is bought from another supplier."""
    assert call(book, "--suppose", "CHF = 0.95") == 0
    assert "nothing that is supposed is in any drink" in capsys.readouterr().out


def test_kept_listed_put_side_by_side_applied_and_dropped(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert call(book, *LINES, "--save", "Bad news") == 0
    assert call(book, "--suppose", "white-rum -10 %", "--save", "Cheap rum") == 0
    assert "take it back with" in capsys.readouterr().out
    assert call(book, "--list") == 0
    listed = capsys.readouterr().out
    assert "Bad news (bad-news), of 2026-12-01" in listed
    assert "  White rum 40 % -10 %" in listed
    assert call(book, "bad news", "cheap rum") == 0
    assert "earned now   Bad news  Cheap rum" in capsys.readouterr().out
    with pytest.raises(Mistake, match="one scenario at a time"):
        call(book, "bad news", "cheap rum", "--apply")
    assert call(book, "cheap rum", "--apply", "--drop", "bad news") == 0
    out = capsys.readouterr().out
    assert "done: scenario “Cheap rum” from 2026-12-01" in out
    assert "--undo, 2 times" in out
    with open_store(book, readonly=True) as store:
        after = History(store).book
    assert [s for s in after.all(Scenario) if s not in read_json(sample_book()).all(Scenario)] == ["cheap-rum"]
    quote = after.on(date(2026, 12, 1)).quote_of("white-rum")
    assert quote is not None
    assert str(quote.price) == "75.60"
    with pytest.raises(Mistake, match="no scenario called"):
        call(book, "worse news")


def test_the_same_as_json(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = told(book, capsys, *LINES)
    (one,) = found["scenarios"]
    assert [s["text"] for s in one["supposed"]] == [
        "supplier Ropewalk Casks +10 %", "sold Harbour Light -20 %", "VAT = 21 %",
    ]  # fmt: skip
    bridge = one["bridge"]
    assert sum(bridge["parts"].values()) == pytest.approx(bridge["after"] - bridge["before"])
    assert found["before"]["earned"] == pytest.approx(bridge["before"])
    assert one["after"]["earned"] == pytest.approx(bridge["after"])
    assert sum(r["after"][0]["earned"] for r in found["rows"]) == pytest.approx(bridge["after"])
    assert bridge["pour_cost"][-1]["is"] == pytest.approx(one["after"]["pour_cost"])


def test_break_even_and_tornado(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert call(book, "--breakeven", "Harbour Light") == 0
    out = capsys.readouterr().out
    assert "Harbour Light on Main menu, Signatures: net 13.21" in out
    assert "to meet 18 %" in out
    assert call(book, "--tornado") == 0
    assert "White rum 40 %" in capsys.readouterr().out
    assert call(book, "--tornado", "harbour light", "--by", "preparation") == 0
    assert "Roasted pineapple rum distillate" in capsys.readouterr().out
    assert call(book, "--tornado", "--own") == 0
    assert "10% assumed" in capsys.readouterr().out
    found = told(book, capsys, "--tornado")
    assert sum(b["money"] for b in found["bars"]) == pytest.approx(found["whole"])
    found = told(book, capsys, "--breakeven", "harbour-light")
    assert found["rows"][0]["goods"][0]["good"] == "white-rum"
    with pytest.raises(Mistake, match="only goods have prices"):
        call(book, "--tornado", "--own", "--by", "supplier")
    with pytest.raises(Mistake, match="suppose something"):
        call(book)


def test_what_becomes_impossible_is_said_and_exits_1(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert call(book, "--suppose", "pineapple-distillate roast/out.mass = 20 kg") == 1
    out = capsys.readouterr().out
    assert "NO COST: Harbour Light" in out
    assert "not sure, because not all of Harbour Light" in out


def test_a_book_without_sales_or_terms_is_told_all_the_same(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    whole = read_json(sample_book())
    path = tmp_path / "quiet.stillroom"
    records = {k: r for k, r in whole.records.items() if not isinstance(r, SalesPeriod)}
    with create(path, type(whole)(records), code="new", who=""):
        pass
    assert call(path, "--suppose", "white-rum +10 %") == 0
    out = capsys.readouterr().out
    assert "nothing was sold in these weeks" in out
    assert "Margin" not in out
    assert call(path, "--suppose", "sold harbour-light = 40", "--suppose", "white-rum +10 %") == 0
    assert "Margin rose by" in capsys.readouterr().out
