"""The commands ``capacity``, ``portfolio`` and ``event``: pages that say what the core says, JSON, one-line errors."""

import argparse
import json
import shlex
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from costing.menu.capacity import best_mix
from costing.menu.capacity_rows import capacity_of
from costing.menu.dropping import dropping
from costing.store import create
from costing.terminal import typed
from costing.terminal.capacity import capacity, capacity_arguments
from costing.terminal.event import event, event_arguments
from costing.terminal.portfolio import portfolio, portfolio_arguments
from tests.menu.decisions import book, decided, near

Run = Callable[[str], str]


@pytest.fixture
def run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs a command on a file of the small house and gives what it prints; @ is the file."""
    path = tmp_path / "h.stillroom"
    with create(path, book(still="8"), code="new", who=""):
        pass
    top = argparse.ArgumentParser(exit_on_error=False)
    commands = top.add_subparsers(required=True)
    for name, arguments, command in (
        ("capacity", capacity_arguments, capacity),
        ("portfolio", portfolio_arguments, portfolio),
        ("event", event_arguments, event),
    ):
        sub = commands.add_parser(name, exit_on_error=False)
        sub.add_argument("book", type=Path)
        sub.add_argument("--day", type=date.fromisoformat, default=date(2026, 3, 2))
        sub.add_argument("--json", action="store_true")
        arguments(sub)
        sub.set_defaults(run=command)

    def call(line: str) -> str:
        args = top.parse_args([str(path) if a == "@" else a for a in shlex.split(line)])
        assert args.run(args) == 0
        return capsys.readouterr().out

    return call


@pytest.mark.parametrize("arguments", [capacity_arguments, portfolio_arguments, event_arguments])
def test_help_can_be_printed(arguments: Callable[[argparse.ArgumentParser], None]) -> None:
    parser = argparse.ArgumentParser()
    arguments(parser)
    assert "--weeks" in parser.format_help()


def document(text: str) -> dict[str, Any]:
    found = json.loads(text)
    assert isinstance(found, dict)
    assert found["form"] == "1.0"
    return found


def test_capacity_says_what_an_hour_is_worth(run: Run) -> None:
    text = run("capacity @")
    assert "One more hour of Still is worth 110.00." in text
    assert "hours of people preparing are not said and limit nothing" in text
    assert "--prep-hours 60" in text
    found = document(run("capacity @ --json --batches --make-or-buy run 100"))
    reckoning, mix = decided(still="8")
    rows = capacity_of(mix, reckoning)
    best = best_mix(rows.products, rows.resources)
    assert found["margin"] == best.margin
    assert found["resources"][0]["worth"] == best.uses[0].worth
    assert [d["best"] for d in found["drinks"]] == [m.amount for m in best.made]
    assert found["drinks"][2]["per_hour"]["still-hour"] is None, "C needs none of it"
    assert found["batches"]["margin"] <= found["batches"]["bound"] + 1e-6
    assert (found["make_or_buy"]["verdict"], found["make_or_buy"]["takes"]) == ("buy", near(240))
    page = run("capacity @ --batches --make-or-buy Run 300 --hours still=20 --prep-hours 5")
    assert "In whole batches the best mix earns" in page
    assert "make it: making saves" in page


def test_capacity_without_hours_says_what_to_enter(run: Run) -> None:
    assert "All that guests ask for can be made." in run("capacity @ --hours still=168 --prep-hours 100")
    text = run("capacity @ --more 50% --hours still=12")
    assert "72.0" not in text.splitlines()[0]
    assert "4 weeks" in text


def test_portfolio_drops_adds_and_puts_menus_side_by_side(run: Run) -> None:
    reckoning, mix = decided(still="8")
    core = dropping(reckoning, mix, "b")
    text = run("portfolio @ --drop B")
    assert f"It pays if more than {core.break_even:.0%}".replace("%", " %") in text
    assert "preparations only it needs: Cordial" in text
    assert document(run("portfolio @ --drop b --json"))["break_even"] == core.break_even
    added = run("portfolio @ --add b --price 14 --sold 100 --from A=0.4")
    assert "gain" in added
    found = document(run("portfolio @ --add b --price 14 --sold 100 --from A=40% --json"))
    assert found["margin"] == near(14 - reckoning.serve_cost("b").materials)
    assert found["gain"] == near(100 * (found["margin"] - 0.4 * 11))


def test_an_event_is_quoted(run: Run) -> None:
    line = "event @ --guests 80 --hours 4 --serve A=0.5 --serve C --staff 3x5@22 --hire 200 --breakage 3% "
    line += "--minimum 2000 --allowance 5% --pour-cost 20 --deposit 30%"
    text = run(line)
    assert "400 drinks" in text
    assert "29.00" in text
    assert "The price a head decides" in text
    assert "no legal advice" in text
    found = document(run(line + " --json"))
    assert found["price"]["total"] == 2320
    assert found["hours_needed"]["still-hour"] == near(22)
    by_mix = document(run("event @ --guests 10 --hours 2 --margin 12 --json"))
    assert [s["expected"] for s in by_mix["serves"]] == [near(30 * n / 700) for n in (400, 200, 100)]


def test_what_is_doubtful_is_said(run: Run) -> None:
    none = run("capacity @ --hours still=0 --prep-hours 0 --make-or-buy run 25")
    assert "none to spare" in none
    assert "there are no hours of Still, so none can be made" in none
    added = run("portfolio @ --add b --price 14 --sold 100")
    assert "it is on the menu already and sold 200: these are 100 more" in added
    assert "say --from SERVE=SHARE" in added
    assert "that no other drink of the menus takes: Cordial" in added
    assert "8.8 short" in run("portfolio @ --drop a")  # 40 h of A and 0.8 of B, where 32 are there


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("event @ --guests 8 --hours 4 --pour-cost 0.2", "write 20 % for the share, or 0.2 %"),
        ("capacity @ --hours press=4", "no machine called 'press'"),
        ("capacity @ --hours still=4 --hours Still=5", "given twice"),
        ("capacity @ --hours still=200", "a week has 168"),
        ("capacity @ --day 2026-01-15", "no sales stand behind this"),
        ("portfolio @ --drop a --day 2026-01-15", "no period of sales ended by 2026-01-15"),
        ("portfolio @ --add a", "say what it would be sold at"),
        ("portfolio @ --against main", "no other menu"),
        ("event @ --guests 8 --hours 4 --serve a=1 --serve c", "leave nothing"),
        ("event @ --guests 8 --hours 4 --serve a=0.3", "add up to 30 %"),
        ("event @ --guests 8 --hours 4 --serve a --serve A", "named twice"),
        ("event @ --guests 8 --hours 4 --day 2026-01-15", "say what is served"),
    ],
)
def test_a_call_that_cannot_be_says_what_to_do(run: Run, line: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        run(line)


@pytest.mark.parametrize(
    ("read", "text", "value"),
    [
        (typed.share, "40 %", 0.4), (typed.share, "0.4", 0.4), (typed.amount, "37,5", 37.5),
        (typed.staff, "3x5@22", (3, 5, 22)), (typed.staff, "2 x 4.5h @ 20.50", (2, 4.5, 20.5)),
        (typed.named_share, "Night Ferry=20%", ("Night Ferry", 0.2)),
        (typed.maybe_share, "Ropewalk", ("Ropewalk", None)),
        (typed.named_amount, "a=b=4", ("a=b", 4)), (typed.weeks, "12", 12), (typed.guests, "80", 80),
    ],
)  # fmt: skip
def test_figures_behind_a_flag(read: Callable[[str], Any], text: str, value: object) -> None:
    assert read(text) == value


@pytest.mark.parametrize(
    ("read", "text"),
    [
        (typed.share, "40"), (typed.share, "-1"), (typed.amount, "many"), (typed.amount, "1e12"), (typed.weeks, "0"),
        (typed.weeks, "1.5"), (typed.guests, "none"), (typed.staff, "3@5"), (typed.named_share, "=4"),
        (typed.named_amount, "still"),
    ],
)  # fmt: skip
def test_figures_that_cannot_be_are_refused(read: Callable[[str], Any], text: str) -> None:
    with pytest.raises(argparse.ArgumentTypeError):
        read(text)
