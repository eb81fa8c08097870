"""The commands ``reprice`` and ``pricetest``. What works them out is imported when it is asked for, so that other
commands start as fast as before."""

import argparse
from datetime import date
from pathlib import Path

from costing.terminal.base import Args
from costing.terminal.typed import amount

WEEKS = 12
"""Weeks of sales that prices stand on unless somebody says otherwise."""


def reprice_arguments(sub: argparse.ArgumentParser) -> None:
    """What ``reprice`` takes beside BOOK, --day and --json."""
    sub.add_argument("--menu", metavar="NAME", help="which menu, where there are several")
    sub.add_argument("--section", metavar="NAME", help="one section of it: the aim is then of that section alone")
    aim = sub.add_mutually_exclusive_group()
    aim.add_argument("--pour-cost", metavar="PERCENT", help="overall pour cost to come to, 20 or 20 %% (the house's)")
    aim.add_argument("--margin", metavar="MONEY", help="overall margin to come to, of the weeks that were sold")
    sub.add_argument("--fewest", action="store_true", help="change the fewest prices (the smallest changes in money)")
    sub.add_argument("--rise", metavar="PERCENT", default="10 %", help="most that a price may rise, or any (10 %%)")
    sub.add_argument("--rise-money", metavar="MONEY", help="most that a price may rise, in money")
    sub.add_argument("--at-most", type=_count, metavar="N", help="most prices that may change")
    sub.add_argument("--points", type=_count, metavar="N", help="most price points that a price may move (24)")
    sub.add_argument("--no-reductions", action="store_true", help="no price may fall")
    sub.add_argument("--hold", action="append", default=[], metavar="NAME", help="a serve whose price stays; again")
    sub.add_argument("--any-order", action="store_true", help="let a larger serve be cheaper than a smaller one")
    sub.add_argument("--weeks", type=_weeks, default=WEEKS, metavar="N",
                     help=f"weeks of sales up to the last one that ended by the day ({WEEKS})")  # fmt: skip
    sub.add_argument("--volume", action="append", default=[], metavar="PERCENT",
                     help="suppose that changed drinks sell so much more or less; again (-20, 0 and 20)")  # fmt: skip
    sub.add_argument("--seconds", type=_seconds, default=10.0, metavar="N", help="longest time to search (10)")
    sub.add_argument("--from", dest="since", type=_day, metavar="DAY", help="day from which new prices hold (--day)")
    sub.add_argument("--accept", action="store_true", help="write the new prices, as one step")


def reprice(args: Args) -> int:
    """New prices for a menu."""
    from costing.terminal import repricepage  # noqa: PLC0415

    return repricepage.reprice(args)


def pricetest_arguments(sub: argparse.ArgumentParser) -> None:
    """What ``pricetest`` takes, BOOK among it, which may be left out; beside --day and --json."""
    sub.add_argument("book", type=Path, nargs="?", metavar="BOOK", help="the book file; without it give both shares")
    sub.add_argument("serve", nargs="?", metavar="SERVE", help="the drink whose price is tested, by id or name")
    sub.add_argument("--price", metavar="MONEY", help="the new price, all taxes and service in")
    sub.add_argument("--menu", metavar="NAME", help="which menu, where it is on several")
    sub.add_argument("--from-share", metavar="PERCENT", help="its share of all drinks at the old price (as sold)")
    sub.add_argument("--to-share", metavar="PERCENT", help="the share to tell from it (where the change just pays)")
    sub.add_argument("--per-week", type=amount, metavar="N", help="all drinks a week in both arms (as sold)")
    sub.add_argument("--in-weeks", type=_weeks, metavar="N", help="what so many weeks could tell apart")
    sub.add_argument("--alpha", default="5 %", metavar="PERCENT", help="chance of a difference that is none (5 %%)")
    sub.add_argument("--power", default="80 %", metavar="PERCENT", help="chance to find one that is there (80 %%)")
    sub.add_argument("--careful", action="store_true", help="with the correction for continuity")
    sub.add_argument("--look", action="store_true", help="plan one look half way")
    sub.add_argument("--weeks", type=_weeks, default=WEEKS, metavar="N", help=f"weeks of sales to go by ({WEEKS})")


def pricetest(args: Args) -> int:
    """How to test a price."""
    from costing.terminal import pricetestpage  # noqa: PLC0415

    return pricetestpage.pricetest(args)


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a day; write it like 2026-03-01") from None


def _count(text: str) -> int:
    if not (text.isascii() and text.isdecimal()) or int(text) > 10_000:
        raise argparse.ArgumentTypeError(f"{text!r} is not a whole number from 0 to 10,000")
    return int(text)


def _weeks(text: str) -> int:
    if not (text.isascii() and text.isdecimal()) or not 1 <= int(text) <= 520:
        raise argparse.ArgumentTypeError(f"{text!r} weeks must be a whole number from 1 to 520")
    return int(text)


def _seconds(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = 0.0
    if not 0.0 < value <= 3600.0:
        raise argparse.ArgumentTypeError(f"{text!r} seconds must lie above 0 to 3,600")
    return value
