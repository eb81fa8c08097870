"""The terminal: ``python -m costing COMMAND``. Exit 0 good, 1 problems found, 2 a bad call with one clear line."""

import argparse
import sys
import traceback
from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import NoReturn, get_args

from costing.book.fact import parse_fact
from costing.book.history import BadJournal, Conflict, NothingToUndo
from costing.book.plain import BadForm
from costing.book.records import GoodKind
from costing.store import FileFault
from costing.terminal import (
    adding,
    arriving,
    capacity,
    classes,
    commands,
    dayscommand,
    event,
    making,
    portfolio,
    reprice,
    sales,
    scenario,
)
from costing.terminal.base import Mistake

OUR_FAULT = 70
"""Exit code of a fault in the program itself (EX_SOFTWARE of BSD sysexits)."""

_ABOUT = """What a bar's own ingredients and drinks cost, from the suppliers' packs through every loss to the glass.

A book is one file. Start one from the sample, look at it, change a price, take it back:

  python -m costing new bar.stillroom --sample
  python -m costing cost bar.stillroom
  python -m costing ledger bar.stillroom PREPARATION
  python -m costing quote bar.stillroom GOOD 21.50
  python -m costing history bar.stillroom --undo
  python -m costing report bar.stillroom --out reports

Goods, preparations and serves are called by id or name. Days are written 2026-03-01; without --day it is today.
Exit: 0 good, 1 problems found (printed, and everything else is still computed), 2 the call or the file is at
fault (one line says what and what to do)."""

_MARKS = """Figures: costs are unrounded sums, shown with two places more than the currency has. "cost" is the layers
that pour cost stands on (materials unless the house says otherwise); "with making" adds energy, machine and labour.
">=" means at least: something in it has no price. Net is what the house keeps after every tax and service charge."""


_NEW = """The book must not exist yet. FILE is the plain JSON form that export writes, or a starter workbook filled in;
an amount in it may be written as you would type it: "45 ml", or "~45 ml" where it is assumed.
--starter FILE.xlsx writes an empty starter workbook with notes, and no book."""

_EXPORT = """The same book always gives the same JSON. A name that ends in .xlsx gives the starter workbook filled in;
what it cannot hold (batch logs) is named."""

_LEDGER = """What went in, what went on, what was meant to leave and what was lost, in kg, litres, litres of pure
alcohol and money. "Of this, lost" is a memo, part of the money beside it."""

_ADD_GOOD = """The kind and the shipped tables bring strength, composition, density and the weight of a piece, marked
assumed. Allergens are never brought: they stay not stated until somebody enters what the label says."""

_PASTE = """A line without an amount above others is the name of a drink. Without --accept it only says what was
understood: names are matched exactly, or as the one thing whose name ends in the words; what is merely alike is
suggested, never taken. A drink with a line left out is not added unless --partly says so."""

_QUOTE = """Pack, supplier and tax are taken over from the present quote unless you give them.
A quote of the same supplier and day is replaced; older ones stay as history."""

_PRICES = """FILE may be text of any delimiter, xlsx, xls, xlsb, ods, UBL or CII in XML, or a PDF with such an invoice
in it. Every line is sound, held with its reason, or ignored; the three add up to what was read. What the sound lines
do to each drink and to a month is shown first. Lines are matched by supplier's code, number under the bars, words
confirmed before, or the same words in the same size; what is merely alike is held until --is says what it means."""

Run = Callable[[argparse.Namespace], int]


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a day; write it like 2026-03-01") from None


def _factor(text: str) -> Decimal:
    try:
        fact = parse_fact(text)
        if fact.unit not in ("", "x", "%"):
            raise ValueError(text)
        return fact.value / 100 if fact.unit == "%" else fact.value
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a number of times; write it like 2, 0.5 or 50 %") from None


class _Wide(argparse.RawDescriptionHelpFormatter):
    """Room for the longest name of a command before what it does."""

    def __init__(self, prog: str) -> None:
        super().__init__(prog, max_help_position=18)
        self._action_max_length = 14  # it forgets that commands are indented


class _Parser(argparse.ArgumentParser):
    """A bad call is one line, without the usage block in front of it."""

    def error(self, message: str) -> NoReturn:
        self.exit(2, f"stillroom: {message}; see {self.prog} --help\n")


class _Commands:
    """The subcommands, each a parser of its own."""

    def __init__(self, top: argparse.ArgumentParser) -> None:
        self._commands = top.add_subparsers(dest="command", required=True, metavar="COMMAND")

    def add(
        self,
        name: str,
        what: str,
        run: Run,
        more: str = "",
        *,
        book: bool = True,
        dated: bool = False,
        json: bool = False,
    ) -> argparse.ArgumentParser:
        """A command that does ``what``; ``dated`` takes --day and ``json`` takes --json."""
        sub = self._commands.add_parser(
            name,
            help=what,
            description=f"{what[0].upper()}{what[1:]}.\n\n{more}".strip(),
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        if book:
            sub.add_argument("book", type=Path, metavar="BOOK", help="the book file, for example bar.stillroom")
        if dated:
            sub.add_argument("--day", type=_day, metavar="DAY", help="the day whose prices and recipes hold (today)")
        if json:
            sub.add_argument("--json", action="store_true", help="print JSON, form 1.0, in full precision")
        sub.set_defaults(run=run)
        return sub


def parser() -> argparse.ArgumentParser:
    """The command line, with help that needs no manual."""
    top = _Parser(prog="python -m costing", description=_ABOUT, formatter_class=_Wide)
    commands_ = _Commands(top)
    _making(commands_)
    _asking(commands_)
    _deciding(commands_)
    _changing(commands_)
    return top


def _making(to: _Commands) -> None:
    """Books and their files."""
    new = to.add("new", "create a book", making.new, _NEW, book=False)
    new.add_argument("book", type=Path, nargs="?", metavar="BOOK", help="the book to write, for example bar.stillroom")
    start = new.add_mutually_exclusive_group()
    start.add_argument("--sample", action="store_true", help="fill it with the sample bar")
    start.add_argument(
        "--from", dest="source", type=Path, metavar="FILE", help="fill it from a plain JSON file or a workbook"
    )
    start.add_argument("--starter", type=Path, metavar="FILE", help="write an empty starter workbook to fill in")
    what = "write a book in the plain JSON form, or as a workbook"
    export = to.add("export", what, making.export, _EXPORT)
    export.add_argument("target", type=Path, metavar="FILE", help="where to write, .json or .xlsx, - for the terminal")
    to.add(
        "form",
        "how a book is written by hand: fields, kinds of stage, facts, readings, units",
        commands.form,
        book=False,
    )


def _asking(to: _Commands) -> None:
    """What is in a book."""
    to.add("check", "verify the file and name what is amiss in the book", commands.check_book, dated=True, json=True)
    what = "what serves and preparations cost, and what serves should be sold at"
    cost = to.add("cost", what, commands.cost, _MARKS, dated=True, json=True)
    cost.add_argument("--item", metavar="NAME", help="one serve, preparation or good, with the trail behind its cost")
    what = "the loss ledger of a preparation, stage by stage"
    ledger = to.add("ledger", what, commands.ledger, _LEDGER, dated=True, json=True)
    ledger.add_argument("preparation", metavar="PREPARATION", help="id or name")
    which = ledger.add_mutually_exclusive_group()
    which.add_argument("--times", type=_factor, metavar="K", help="a batch K times the size; fixed parts stay fixed")
    which.add_argument("--batch", metavar="ID", help="a batch as it was made, by its log")
    what = "what serves and preparations contain, may contain, or nobody stated"
    more = "Through every preparation, with the good, the label and the person behind it."
    allergens = to.add("allergens", what, commands.allergens, more, dated=True, json=True)
    allergens.add_argument("--item", metavar="NAME", help="one serve, preparation or good, with every reason")
    days = to.add("days", "a cost from day to day, and what moved it", dayscommand.days, json=True)
    dayscommand.days_arguments(days, _day)
    two = to.add("compare", "two batches or drinks side by side, stage by stage", dayscommand.compare_two, json=True)
    dayscommand.compare_arguments(two, _day, _factor)
    what = "what suppliers owe: overcharges, packs that did not come, deposits, money back"
    to.add("owed", what, arriving.owed_list, dated=True, json=True)
    what = "write the workbook with live formulas and the PDFs: menu cost card, spec cards, batch sheets, allergens"
    report = to.add("report", what, commands.report, dated=True)
    report.add_argument("--out", type=Path, required=True, metavar="DIR", help="folder to write into")
    report.add_argument("--batch", metavar="PREPARATION", help="which preparation gets the batch sheet (every one)")


def _deciding(to: _Commands) -> None:
    """What was sold, what to keep, what if, what to charge, what there are hours for."""
    what = "what a till's files say was sold, and take it"
    sales.sales_arguments(to.add("sales", what, sales.sales, dated=True, json=True))
    what = "which drinks earn and which are liked, how sure that is, and what to do"
    classes.classes_arguments(to.add("classes", what, classes.classes, dated=True, json=True))
    what = "what would be: a named set of changes laid over the book, side by side with it"
    scenario.scenario_arguments(to.add("scenario", what, scenario.scenario, dated=True, json=True))
    what = "new prices for a whole menu that reach a pour cost or margin with the least change"
    reprice.reprice_arguments(to.add("reprice", what, reprice.reprice, dated=True, json=True))
    what = "how many drinks a test of a price must sell, and when to stop"
    reprice.pricetest_arguments(to.add("pricetest", what, reprice.pricetest, book=False, dated=True, json=True))
    what = "the best mix for the hours there are, and what one more hour is worth"
    capacity.capacity_arguments(to.add("capacity", what, capacity.capacity, dated=True, json=True))
    what = "what a drink that comes or goes does, or another menu"
    portfolio.portfolio_arguments(to.add("portfolio", what, portfolio.portfolio, dated=True, json=True))
    what = "what an event costs, and what to ask a guest"
    event.event_arguments(to.add("event", what, event.event, dated=True, json=True))


def _changing(to: _Commands) -> None:
    """Steps, and taking them back."""
    quote = to.add("quote", "put a supplier's price for a good, from a day on", commands.quote, _QUOTE, dated=True)
    quote.add_argument("good", metavar="GOOD", help="id or name")
    quote.add_argument("price", metavar="PRICE", help="money for one pack")
    quote.add_argument("--pack", metavar="AMOUNT", help='what one pack holds, for example "0.7 l"')
    quote.add_argument("--supplier", metavar="ID", help="who asks it")
    quote.add_argument("--tax", choices=("ex", "inc", "unknown"), help="tax left out, in it, or not known")
    quote.add_argument("--tax-rate", metavar="RATE", help="tax as a fraction, 0.19 is 19 %%")
    what = "what a supplier's price file, invoice or credit note would change, and take it"
    arrived = to.add("prices", what, arriving.prices, _PRICES, dated=True, json=True)
    arriving.prices_arguments(arrived)
    _adding(to)
    what = "who changed what and when; undo and redo, also after a restart"
    act = to.add("history", what, commands.history, json=True).add_mutually_exclusive_group()
    act.add_argument("--undo", action="store_true", help="take the last step back")
    act.add_argument("--redo", action="store_true", help="bring it back")


def _adding(to: _Commands) -> None:
    """The small ways in."""
    good = to.add("add-good", "a new good with its pack and price", adding.good, _ADD_GOOD, dated=True)
    good.add_argument("name", metavar="NAME")
    good.add_argument(
        "--kind", required=True, choices=get_args(GoodKind), metavar="KIND", help=", ".join(get_args(GoodKind))
    )
    good.add_argument("--pack", required=True, metavar="PACK", help='what one pack holds: "0.7 l" or "6 x 0.7 l"')
    good.add_argument("--price", required=True, metavar="PRICE", help="money for the pack")
    good.add_argument("--supplier", required=True, metavar="NAME", help="who sells it; a new name is a new supplier")
    what = "a new preparation in three lines: what goes in, what it makes, minutes"
    made = to.add("add-preparation", what, adding.preparation, dated=True)
    made.add_argument("name", metavar="NAME")
    made.add_argument("--takes", required=True, action="append", metavar="LINE", help='"1 kg white sugar"; once a line')
    made.add_argument("--makes", required=True, metavar="AMOUNT", help='what a batch gives: "1.6 l" or "40 each"')
    made.add_argument("--minutes", default="", metavar="TIME", help="hands at work")
    for name, what, run in (
        ("add-juice", "the juice of a fruit as a preparation, by the usual yield", adding.juice),
        ("add-twist", "the twists of a fruit as a preparation, counted", adding.twist),
    ):
        to.add(name, what, run, dated=True).add_argument("good", metavar="GOOD", help="id or name")
    paste = to.add(
        "paste", "drinks as pasted text, one component a line, as new serves", adding.paste, _PASTE, dated=True
    )
    paste.add_argument("source", metavar="FILE", help="a text file, or - for the keyboard")
    paste.add_argument("--accept", action="store_true", help="add what is decided, as one step")
    paste.add_argument("--partly", action="store_true", help="add drinks of which a line is left out, too")
    paste.add_argument("--technique", default="", metavar="ID", help="how they are chilled")
    paste.add_argument("--glass", default="", metavar="ID", help="what they are served in")
    paste.add_argument("--total", metavar="AMOUNT", help="the whole drink, where a recipe is in parts")


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; every fault of call, file or data in it ends as one line on stderr and exit 2."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")  # a name the terminal's encoding lacks must not stop a report
    args = parser().parse_args(argv)
    try:
        return int(args.run(args))
    except BrokenPipeError:
        sys.stderr.close()  # the reader of our output has gone: nothing to tell anybody
        return 0
    except (BadForm, FileFault, Conflict, NothingToUndo, BadJournal, Mistake, OSError, ValueError) as error:
        print(f"stillroom: {' '.join(str(error).split())}", file=sys.stderr)
        return 2
    except Exception:  # noqa: BLE001  the last door: a fault of ours must not pass for "problems found"
        traceback.print_exc()
        print("stillroom: this is a fault of the program, not of your book; the file is as it was", file=sys.stderr)
        return OUR_FAULT


if __name__ == "__main__":
    sys.exit(main())
