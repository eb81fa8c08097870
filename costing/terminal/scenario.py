"""The call of what-if: scenarios side by side, kept, applied or thrown away; break-even prices; the tornado; what moved
the margin. What works them out is imported when it is asked for, so that every other command starts as fast as before.
"""

import argparse
from datetime import date

from costing.terminal.base import Args

WEEKS = 12


def scenario_arguments(sub: argparse.ArgumentParser) -> None:
    """What ``scenario`` takes beside BOOK and --json."""
    sub.add_argument("names", nargs="*", metavar="NAME", help="scenarios that are kept in the book, by id or name")
    sub.add_argument("--suppose", action="append", default=[], metavar="TEXT",
                     help='one change: "white rum +10 %%", "VAT = 21 %%", "sold -20 %%"; added to NAME where one is '
                     "given")  # fmt: skip
    sub.add_argument("--save", metavar="NAME", help="keep it in the book under a name")
    sub.add_argument("--apply", action="store_true", help="make it true, as one step")
    sub.add_argument("--from", dest="first", type=_day, metavar="DAY", help="the day it begins and is worked out for")
    sub.add_argument("--drop", metavar="NAME", help="throw a kept one away")
    sub.add_argument("--list", action="store_true", help="which are kept, and what they suppose")
    sub.add_argument("--weeks", type=_weeks, default=WEEKS, metavar="N", help=f"latest weeks of sales ({WEEKS})")
    sub.add_argument("--breakeven", metavar="SERVE", help="how dear each ingredient of a drink may become")
    sub.add_argument("--tornado", nargs="?", const="", metavar="SERVE", help="which price moves a drink, or the menu")
    sub.add_argument("--by", choices=("good", "supplier", "preparation"), default="good",
                     help="what the tornado moves: prices of goods or suppliers, or yields")  # fmt: skip
    sub.add_argument("--own", action="store_true",
                     help="tornado: each good by what its own price does in four weeks, not by a tenth")  # fmt: skip
    sub.add_argument("--moved", action="store_true",
                     help="what moved the margin from the first half of these weeks to the second")  # fmt: skip
    sub.add_argument("--all", action="store_true", help="print every drink, also those that nothing moves")


def scenario(args: Args) -> int:
    """What a scenario does to the menu; with --save, --apply and --drop, what becomes of it."""
    from costing.terminal import scenariorun  # noqa: PLC0415

    return scenariorun.scenario(args)


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a day; write it like 2026-03-01") from None


def _weeks(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= 520:
        raise argparse.ArgumentTypeError(f"{text!r} weeks must be a whole number from 1 to 520")
    return int(text)
