"""The command ``portfolio``. What works it out is imported when it is asked for, so that other commands start as fast
as before."""

import argparse

from costing.terminal.base import Args
from costing.terminal.capacity import WEEKS
from costing.terminal.typed import amount, named_amount, named_share, weeks


def portfolio_arguments(sub: argparse.ArgumentParser) -> None:
    """What ``portfolio`` takes beside BOOK, --day and --json."""
    which = sub.add_mutually_exclusive_group(required=True)
    which.add_argument("--drop", metavar="SERVE", help="what goes with a drink, and when that pays")
    which.add_argument("--add", metavar="SERVE", help="what a drink of the book would earn on the menu")
    which.add_argument("--against", metavar="MENU", help="a new menu against the old one at as many drinks")
    sub.add_argument("--weeks", type=weeks, default=WEEKS, metavar="N",
                     help=f"weeks of sales up to the last one that ended by the day ({WEEKS})")  # fmt: skip
    sub.add_argument("--price", metavar="PRICE", help="with --add: printed price, all in")
    sub.add_argument("--sold", type=amount, metavar="N", help="with --add: how many would be sold in those weeks")
    sub.add_argument("--from", dest="diverted", type=named_share, action="append", default=[], metavar="SERVE=SHARE",
                     help="with --add: share of its sales that guests would have taken that drink in")  # fmt: skip
    sub.add_argument("--menu", metavar="MENU", help="with --against: the old menu (the one that sold most)")
    sub.add_argument("--expect", type=named_amount, action="append", default=[], metavar="SERVE=N",
                     help="with --against: how many of a new drink would be sold")  # fmt: skip
    sub.add_argument("--covers", type=amount, metavar="N", help="with --against: guests in those weeks")


def portfolio(args: Args) -> int:
    """Adding a drink, dropping one, or a new menu."""
    from costing.terminal import portfoliopage  # noqa: PLC0415

    return portfoliopage.portfolio(args)
