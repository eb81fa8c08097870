"""The command ``capacity``. What works it out is imported when it is asked for, so that other commands start as fast as
before."""

import argparse

from costing.terminal.base import Args
from costing.terminal.typed import amount, named_amount, share, weeks

WEEKS = 12
"""Weeks of sales that decisions stand on unless somebody says otherwise."""


def capacity_arguments(sub: argparse.ArgumentParser) -> None:
    """What ``capacity`` takes beside BOOK, --day and --json."""
    sub.add_argument("--weeks", type=weeks, default=WEEKS, metavar="N",
                     help=f"weeks of sales up to the last one that ended by the day ({WEEKS})")  # fmt: skip
    sub.add_argument("--hours", type=named_amount, action="append", default=[], metavar="MACHINE=HOURS",
                     help="hours a week it can run, in the place of the book's; once a machine")  # fmt: skip
    sub.add_argument("--prep-hours", type=amount, metavar="HOURS", help="hours a week that people can prepare")
    sub.add_argument("--more", type=share, default=0.0, metavar="SHARE",
                     help="how much more guests ask for than was sold, where you sold out: 10 %%")  # fmt: skip
    sub.add_argument("--batches", action="store_true", help="the best mix in whole batches, too")
    sub.add_argument("--make-or-buy", nargs=2, metavar=("PREPARATION", "PRICE"),
                     help="make it, or buy the like of it at this price a litre, kg or piece")  # fmt: skip
    sub.add_argument("--thrown-away", type=share, default=0.0, metavar="SHARE",
                     help="share of what is made that never reaches a drink, beyond the recipe's losses")  # fmt: skip


def capacity(args: Args) -> int:
    """The best mix for the hours there are, and what one more hour is worth."""
    from costing.terminal import capacitypage  # noqa: PLC0415

    return capacitypage.capacity(args)
