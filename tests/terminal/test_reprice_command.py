"""``reprice`` and ``pricetest`` as they are called, on the sample bar."""

import argparse
import json
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from costing.__main__ import main
from costing.terminal import reprice

Call = Callable[[str], tuple[int, str]]
DAY = "2026-11-30"


@pytest.fixture(scope="module")
def bar(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample bar in a file."""
    path = tmp_path_factory.mktemp("reprice") / "bar.stillroom"
    main(["new", str(path), "--sample"])
    return path


@pytest.fixture
def call(bar: Path, capsys: pytest.CaptureFixture[str]) -> Call:
    """Runs a call of either command, with the bar where @ stands; gives the exit code and what was printed."""

    def run(line: str) -> tuple[int, str]:
        top = argparse.ArgumentParser()
        commands = top.add_subparsers(dest="command", required=True)
        priced = commands.add_parser("reprice")
        priced.add_argument("book", type=Path)
        tested = commands.add_parser("pricetest")
        reprice.reprice_arguments(priced)
        reprice.pricetest_arguments(tested)
        for sub in (priced, tested):
            sub.add_argument("--day", type=date.fromisoformat)
            sub.add_argument("--json", action="store_true")
        args = top.parse_args([str(bar) if part == "@" else part.replace("_", " ") for part in line.split()])
        capsys.readouterr()
        code = (reprice.reprice if args.command == "reprice" else reprice.pricetest)(args)
        return code, capsys.readouterr().out

    return run


def test_an_aim_within_reach(call: Call) -> None:
    code, text = call(f"reprice @ --day {DAY} --pour-cost 15.5")
    assert code == 0
    assert "aim: overall pour cost of 15.50 %; limits: 24 price points up or down, a rise of 10.0 %" in text
    assert "all changed drinks together break even at" in text
    assert "if changed drinks sell -20.0 %" in text
    assert "nothing is written yet" in text
    code, said = call(f"reprice @ --day {DAY} --pour-cost 15.5 --json --volume -10")
    found = json.loads(said)
    assert (found["stillroom"], found["form"], found["met"], found["proven"]) == ("reprice", "1.0", True, True)
    assert found["after"]["pour_cost"] <= 0.155 < found["before"]["pour_cost"]
    moved = [line for line in found["lines"] if line["change"]]
    assert f"{len(moved)} of {len(found['lines'])} prices change" in text
    assert all(0 < line["rise"] <= 0.1 and line["break_even_volume"] < 0 for line in moved)
    assert [v["changed"] for v in found["volumes"]] == [-0.1]


def test_an_aim_out_of_reach_says_what_is_in_the_way(call: Call) -> None:
    code, text = call(f"reprice @ --day {DAY} --pour-cost 15 --at-most 3 --accept")
    assert code == 1
    assert "OUT OF REACH" in text
    assert "without the limit on a rise alone: within reach" in text
    assert "without how many prices may change alone: still out of reach" in text
    assert "a rise of up to " in text
    assert "at most 3 changes" in text
    assert "nothing is written: the aim is out of reach" in text


def test_held_sections_and_the_fewest(call: Call) -> None:
    code, said = call(f"reprice @ --day {DAY} --section Signatures --pour-cost 14 --fewest --hold Harbour_Light --json")
    found = json.loads(said)
    assert code == 0
    held = next(line for line in found["lines"] if line["name"] == "Harbour Light")
    assert held["held"]
    assert held["change"] == 0
    assert found["goal"] == "fewest"
    assert {line["key"].split("/")[1] for line in found["lines"]} == {"Signatures"}


def test_what_is_taken_stands(call: Call, bar: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, text = call(f"reprice @ --day {DAY} --section Signatures --pour-cost 14.2 --accept")
    assert code == 0
    assert "done: new price" in text
    assert "no price changes" in call(f"reprice @ --day {DAY} --section Signatures --pour-cost 14.2")[1]
    main(["history", str(bar), "--undo"])
    assert "undone: new price" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("reprice @ --day 2026-11-30 --hold nobody", "no serve on this menu"),
        ("reprice @ --day 2026-11-30 --section nowhere", "no section"),
        ("reprice @ --day 2026-11-30 --pour-cost 150", "below 100 %"),
        ("reprice @ --day 2026-11-30 --pour-cost 0.15", "write 15 % for the share, or 0.15 %"),
        ("reprice @ --day 2026-11-30 --rise 0.1", "write 10 % for the share"),
        ("pricetest --from-share 0.1 --to-share 8", "may be a share or per cent"),
        ("reprice @ --day 2026-11-30 --volume lots", "not a change in volume"),
        ("reprice @ --day 2020-01-30", "later --day"),
        ("pricetest", "what is to be told apart"),
        ("pricetest @", "which drink and at what price"),
        ("pricetest @ Harbour_Light --price 16.50 --day 2026-11-30", "already"),
        ("pricetest --from-share 10 --to-share 8 --in-weeks 4", "how many drinks"),
    ],
)
def test_a_bad_call_is_one_line(call: Call, line: str, why: str) -> None:
    with pytest.raises(ValueError, match=why) as refused:
        call(line)
    assert "\n" not in str(refused.value)


def test_a_price_test(call: Call) -> None:
    code, text = call("pricetest --from-share 10 --to-share 8 --per-week 900 --in-weeks 6")
    assert code == 0
    assert "3,213 drinks in each of two arms" in text
    assert "at 900 drinks a week in both arms: 8 weeks" in text
    assert "do not look before all drinks are sold" in text
    code, text = call(f"pricetest @ Harbour_Light --price 17.50 --day {DAY} --look")
    assert "the change pays if its volume falls less than" in text
    assert "look once, at" in text
    found = json.loads(call(f"pricetest @ Harbour_Light --price 17.50 --day {DAY} --json")[1])
    assert found["other"] == found["break_even_share"] < found["share"]
