"""The command ``classes``. What judges a menu is imported when one is judged, so that other commands start as fast."""

import argparse
from decimal import Decimal, InvalidOperation

from costing.terminal.base import Args

WEEKS = 12
"""Weeks of sales that a menu is judged by unless somebody says otherwise."""


def classes_arguments(sub: argparse.ArgumentParser) -> None:
    """What ``classes`` takes beside BOOK, --day and --json."""
    sub.add_argument("--weeks", type=_weeks, default=WEEKS, metavar="N",
                     help=f"weeks of sales up to the last one that ended by the day ({WEEKS})")  # fmt: skip
    sub.add_argument("--section", metavar="NAME", help="one section of the menu")
    sub.add_argument("--cut", type=_cut, metavar="SHARE",
                     help="share of an equal share from which a drink is popular: 70, 70 %% or 0.7")  # fmt: skip
    sub.add_argument("--tie", choices=("high", "low"), help="what exactly as much counts as")
    sub.add_argument("--unsold", choices=("counted", "out"), help="whether drinks never sold count among the n")
    sub.add_argument("--methods", action="store_true", help="how the other methods have it, and where they agree")
    sub.add_argument("--machine", metavar="NAME", help="the machine that is short: margin an hour of it, too")
    sub.add_argument("--without", action="append", default=[], metavar="NAME",
                     help="what the classes become if this drink leaves")  # fmt: skip


def classes(args: Args) -> int:
    """The menu judged."""
    from costing.terminal import classespage  # noqa: PLC0415

    return classespage.classes(args)


def _weeks(text: str) -> int:
    try:
        found = int(text)
    except ValueError:
        found = 0
    if not 1 <= found <= 520:
        raise argparse.ArgumentTypeError(f"{text!r} weeks must be a whole number from 1 to 520")
    return found


def _cut(text: str) -> Decimal:
    """A share; a number above 2 is per cent."""
    try:
        value = Decimal(text.replace("%", "").strip())
    except InvalidOperation:
        raise argparse.ArgumentTypeError(f"{text!r} is not a share: write 70, 70 % or 0.7") from None
    share = value / 100 if "%" in text or value > 2 else value
    if not 0 <= share <= 2:
        raise argparse.ArgumentTypeError(f"a share of {text!r} must lie from 0 to 200 %")
    return share
