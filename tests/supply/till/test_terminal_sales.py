"""The call ``sales``: what it prints, what it asks, what it writes, and its exit codes."""

import argparse
import json
from datetime import date
from decimal import Decimal as D
from pathlib import Path

import pytest

from costing.book.history import History
from costing.book.selling import Button, SalesPeriod
from costing.store import create, open_store
from costing.terminal.base import Mistake
from costing.terminal.sales import sales, sales_arguments
from tests.supply.till.tills import TODAY, bar

WEEK = """Item sales
Period,2026-08-31,2026-09-06

Business day,Code,Item,Qty,Gross,Discount,Net,VAT,Flag
2026-08-31,1,Harbour Sour,3,36.00,0.00,30.25,5.75,
2026-08-31,4,LANTRN HB,2,20.00,0.00,16.81,3.19,
2026-08-31,4,LANTRN HB,1,10.00,10.00,0.00,0.00,C
2026-08-31,9,GIFT CARD 50,1,50.00,0.00,50.00,0.00,
TOTAL,,,7,116.00,10.00,97.06,8.94,
"""
"""What it holds by hand: 3 x 12.00 and 2 x 10.00 with 19 % tax in them, one given, a gift card without tax."""


@pytest.fixture
def house(tmp_path: Path) -> Path:
    """A book and a file of its till."""
    with create(tmp_path / "bar.stillroom", bar()):
        pass
    (tmp_path / "week.csv").write_text(WEEK)
    return tmp_path


def call(house: Path, *more: str, files: tuple[str, ...] = ("week.csv",)) -> int:
    """The exit code of a call."""
    parser = argparse.ArgumentParser()
    parser.add_argument("book", type=Path)
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--day", type=date.fromisoformat, default=TODAY)
    sales_arguments(parser)
    return sales(parser.parse_args([str(house / "bar.stillroom"), *(str(house / name) for name in files), *more]))


def periods(house: Path) -> list[SalesPeriod]:
    """What the book holds."""
    with open_store(house / "bar.stillroom", readonly=True) as store:
        return list(History(store).book.all(SalesPeriod).values())


def test_a_file_is_shown_and_written_only_when_it_is_accepted(house: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert call(house) == 1  # buttons wait
    out = capsys.readouterr().out
    for part in (
        "week.csv: 2026-08-31 to 2026-09-06", "read 5 = counted 1 + ignored 1 + waiting 3",
        "gross - discount - tax - service = net in 4 of 4 rows", "totals: 1 of 1 are what the rows add up to",
        "ignored: 1 total", "C is given (on the house, staff) (1, by the money of its rows)", "waiting (2)",
        "Lantern Highball", "left:money key", "nothing is written yet",
    ):  # fmt: skip
        assert part in out
    assert periods(house) == []
    meant = ("--is", "LANTRN HB=Lantern Highball", "--is", "9=left:money key")
    assert call(house, *meant, "--accept") == 0
    assert "taken: sales of 2026-08-31 to 2026-09-06, from week.csv" in capsys.readouterr().out
    (period,) = periods(house)
    assert [(one.serve, one.count, one.given) for one in period.sold] == [("long", D(2), D(1)), ("sour", D(3), D(0))]
    assert call(house, "--accept") == 0
    assert "nothing to do: the book has all of it" in capsys.readouterr().out


def test_many_files_are_a_step_each_and_learn_of_each_other(house: Path, capsys: pytest.CaptureFixture[str]) -> None:
    later = WEEK.replace("2026-09-06", "2026-09-13").replace("2026-08-31", "2026-09-07")
    (house / "later.csv").write_text(later)
    two = ("week.csv", "later.csv")
    meant = ("--is", "LANTRN HB=long@card", "--is", "GIFT CARD 50=left:money")
    assert call(house, *meant, "--accept", files=two) == 0
    assert [p.unmapped for p in periods(house)] == [0, 0]
    with open_store(house / "bar.stillroom", readonly=True) as store:
        history = History(store)
        assert len(history.entries()) == 3  # the new book, and two files
        assert {b.text: [p.menu for p in b.parts] for b in history.book.all(Button).values()} == {
            "LANTRN HB": ["card"], "GIFT CARD 50": [], "Harbour Sour": [""],
        }  # fmt: skip
    capsys.readouterr()


def test_what_is_asked_says_how_to_answer(house: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (house / "week.csv").write_text("Item,Qty,Amount,Flag\nHarbour Sour,3,30.00,Q\n")
    assert call(house, "--accept") == 1
    out = capsys.readouterr().out
    for part in ("--since DAY --until DAY", "--tax ex or --tax inc", "--flag Q=given"):
        assert f"answer with {part}" in out
    assert periods(house) == []
    said = ("--since", "2026-08-31", "--until", "2026-09-06", "--tax", "inc", "--flag", "Q=sold", "--accept")
    assert call(house, *said) == 0
    assert periods(house)[0].mapped == 1
    capsys.readouterr()


def test_columns_without_headings_can_be_named(house: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (house / "week.csv").write_text("2026-08-31,Harbour Sour,3\n2026-08-31,Draught Lager,5\n")
    assert call(house) == 1
    assert "answer with --column item=N" in capsys.readouterr().out
    assert call(house, "--column", "day=1", "--column", "item=2", "--column", "qty=3", "--accept") == 0
    assert [(one.serve, one.count) for one in periods(house)[0].sold] == [("lager", D(5)), ("sour", D(3))]
    capsys.readouterr()


def test_json_holds_everything(house: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert call(house, "--json") == 1
    said = json.loads(capsys.readouterr().out)
    (file,) = said["files"]
    assert (said["form"], file["read"], file["counted"], file["ignored"], file["waiting"]) == ("1.0", 5, 1, 1, 3)
    assert (file["tax"]["basis"], file["tax"]["holds"]) == ("ex", 4)
    assert [b["suggested"][0]["reason"] for b in file["buttons"] if b["code"] == "9"] == ["money key"]
    assert [row["fate"] for row in file["rows"]] == ["counted", "waiting", "waiting", "waiting", "ignored"]
    assert file["periods"][0]["sold"][0]["prices"] == [["12.00", "3"]]


@pytest.mark.parametrize(
    ("more", "why"),
    [
        (("--is", "LANTRN HB"), "does not say what a button means"),
        (("--is", "NOBODY=long"), "no file has a button 'NOBODY'"),
        (("--is", "9=left:because"), "no reason that is known"),
        (("--is", "4=Gin Long"), "there is no drink called"),
        (("--flag", "C"), "does not say what a mark means"),
        (("--column", "gin=2"), "does not say what a column is"),
        (("--column", "qty=99"), "and no column 99"),
        (("--day-ends", "13"), "from 0 to 12"),
        (("--till", "Other"), "there is no till called"),
        (("--since", "2026-09-06", "--until", "2026-08-31"), "lies before"),
    ],
)
def test_a_bad_call_is_one_line_and_writes_nothing(house: Path, more: tuple[str, ...], why: str) -> None:
    with pytest.raises(Mistake, match=why):
        call(house, *more, "--accept")
    assert periods(house) == []
