"""The command ``event``. What works it out is imported when it is asked for, so that other commands start as fast as
before."""

import argparse

from costing.terminal.base import Args
from costing.terminal.capacity import WEEKS
from costing.terminal.typed import amount, guests, maybe_share, share, staff, weeks


def event_arguments(sub: argparse.ArgumentParser) -> None:
    """What ``event`` takes beside BOOK, --day and --json."""
    sub.add_argument("--guests", type=guests, required=True, metavar="N", help="how many come")
    sub.add_argument("--hours", type=amount, required=True, metavar="N", help="how long they are served")
    sub.add_argument("--serve", type=maybe_share, action="append", default=[], metavar="NAME=SHARE",
                     help="a drink that is served, and its share; those without one share the rest alike")  # fmt: skip
    sub.add_argument("--weeks", type=weeks, default=WEEKS, metavar="N",
                     help=f"without --serve: weeks of sales whose mix is served ({WEEKS})")  # fmt: skip
    sub.add_argument("--first-hour", type=amount, default=2.0, metavar="N", help="drinks a guest in the first hour (2)")
    sub.add_argument("--later", type=amount, default=1.0, metavar="N", help="in each later hour (1)")
    sub.add_argument("--allowance", type=share, default=0.0, metavar="SHARE", help="poured beyond that: 5 %%")
    sub.add_argument("--staff", type=staff, action="append", default=[], metavar="PEOPLExHOURS@RATE",
                     help="3x5@22: setting up and clearing counted")  # fmt: skip
    sub.add_argument("--hire", type=amount, default=0.0, metavar="MONEY", help="glasses, ice, room: what is hired")
    sub.add_argument("--breakage", type=share, default=0.0, metavar="SHARE", help="of the hire that breaks: 3 %%")
    sub.add_argument("--minimum", metavar="MONEY", help="the least the party pays, all in")
    sub.add_argument("--deposit", type=share, default=0.0, metavar="SHARE", help="paid ahead: 30 %%")
    aim = sub.add_mutually_exclusive_group()
    aim.add_argument("--pour-cost", metavar="PERCENT", help="target for the drinks, 20 or 20 %% (the house's)")
    aim.add_argument("--margin", metavar="MONEY", help="target a head after everything")


def event(args: Args) -> int:
    """A quote for an event."""
    from costing.terminal import eventpage  # noqa: PLC0415

    return eventpage.event(args)
