"""The call of sales that arrive. What reads files is imported when one is read, so that every other command starts as
fast as before."""

import argparse
from datetime import date
from pathlib import Path

from costing.terminal.base import Args


def sales_arguments(sub: argparse.ArgumentParser) -> None:
    """What ``sales`` takes."""
    sub.add_argument("files", type=Path, nargs="+", metavar="FILE", help="what a till exported, one period each")
    sub.add_argument("--is", dest="hand", action="append", default=[], metavar="BUTTON=DRINK",
                     help="what a button means, by its text or code: DRINK, DRINK@MENU, \"DRINK + DRINK\" for a set, "
                          "instead:DRINK, or left:money key, left:not named, left:modifier, left:other")  # fmt: skip
    sub.add_argument("--since", type=_day, metavar="DAY", help="the first day, where the file does not say")
    sub.add_argument("--until", type=_day, metavar="DAY", help="the last day")
    sub.add_argument("--days", choices=("dmy", "mdy", "ymd"), help="which of day, month and year stands first")
    sub.add_argument("--decimal", choices=(".", ","), help="the decimal mark, where the figures leave it open")
    sub.add_argument("--tax", choices=("ex", "inc"), help="whether tax and service are in the net of the file")
    sub.add_argument("--day-ends", type=int, metavar="HOUR", help="until when the night is of the day before (5)")
    sub.add_argument("--flag", action="append", default=[], metavar="MARK=MEANING",
                     help="what a mark means: sold, given, void (before it was made), wasted, refunded")  # fmt: skip
    sub.add_argument("--column", action="append", default=[], metavar="ROLE=N",
                     help="what a column is, from 1: day, item, code, qty, gross, discount, net, tax, ...")  # fmt: skip
    sub.add_argument("--split", choices=("week", "month"), help="a period of every week or month of the file")
    sub.add_argument("--outlet", default="", metavar="NAME", help="count only this outlet")
    sub.add_argument("--leave", type=int, action="append", default=[], metavar="ROW", help="leave a row out")
    sub.add_argument("--till", default="", metavar="NAME", help="by which till the files are read")
    sub.add_argument("--sheet", default="", metavar="NAME", help="which sheet of a workbook")
    sub.add_argument("--encoding", metavar="NAME", help="letters of a text file, where the guess is wrong")
    sub.add_argument("--delimiter", metavar="SIGN", help="what stands between its cells")
    sub.add_argument("--accept", action="store_true", help="write every file that nothing is asked of, a step each")
    sub.add_argument("--all", action="store_true", help="print every button, also those that are known")


def sales(args: Args) -> int:
    """What files of a till would bring; with --accept, bring it. Exit 1 where something waits or has to be answered."""
    from costing.terminal import salespage  # noqa: PLC0415

    return salespage.sales(args)


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a day; write it like 2026-03-01") from None
