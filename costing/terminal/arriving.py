"""The calls of prices that arrive. What reads files is imported when one is read, so that every other command starts as
fast as before."""

import argparse
from pathlib import Path

from costing.terminal.base import Args


def prices_arguments(sub: argparse.ArgumentParser) -> None:
    """What ``prices`` takes."""
    sub.add_argument("source", type=Path, metavar="FILE", help="price list, catalogue, invoice or credit note")
    sub.add_argument("--supplier", default="", metavar="NAME", help="who sent it, where the file does not say")
    sub.add_argument("--tax", choices=("ex", "inc"), help="whether tax is in its prices, where nobody said so yet")
    sub.add_argument("--tax-rate", metavar="RATE", help="the rate of it, 19 or 19 %%")
    sub.add_argument("--sheet", default="", metavar="NAME", help="which sheet of a workbook")
    sub.add_argument("--encoding", metavar="NAME", help="letters of a text file, where the guess is wrong")
    sub.add_argument("--delimiter", metavar="SIGN", help="what stands between its cells")
    sub.add_argument("--is", dest="hand", action="append", default=[], metavar="LINE=GOOD",
                     help="what a line means, by its number; 12= for none of ours")  # fmt: skip
    sub.add_argument("--take", type=int, action="append", default=[], metavar="LINE", help="take a held line too")
    sub.add_argument("--only", type=int, action="append", metavar="LINE", help="take this line, and no other")
    sub.add_argument("--end", action="append", default=[], metavar="GOOD", help="end the price of one it names no more")
    sub.add_argument("--accept", action="store_true", help="write the sound lines, as one step")
    sub.add_argument("--all", action="store_true", help="print every line, also of those left out")


def prices(args: Args) -> int:
    """What a file would change; with --accept, change it."""
    from costing.terminal import arrivedpage  # noqa: PLC0415

    return arrivedpage.prices(args)


def owed_list(args: Args) -> int:
    """What suppliers owe."""
    from costing.terminal import arrivedpage  # noqa: PLC0415

    return arrivedpage.owed_list(args)
