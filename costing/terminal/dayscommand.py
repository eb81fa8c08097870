"""The commands ``days`` and ``compare``: a cost on many days, and two batches side by side."""

import argparse
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from decimal import Decimal

from costing.book.book import Book
from costing.book.history import History
from costing.book.records import Good, Preparation, Serve
from costing.ledger import Reckoning, reckon
from costing.ledger.compare import compare
from costing.pricing.days import cost_history
from costing.pricing.days_part import part_of
from costing.store import open_store
from costing.terminal.base import Args, Mistake, code_of, day_of, find, print_json, say
from costing.terminal.batchof import batch_of
from costing.terminal.comparepage import Compared, compare_json, compare_page
from costing.terminal.dayspage import days_json, days_page
from costing.terminal.show import name_of, problems_text

YEAR = timedelta(days=365)
Day = Callable[[str], date]


def days_arguments(sub: argparse.ArgumentParser, day: Day) -> None:
    """What ``days`` takes beside BOOK and --json."""
    sub.add_argument("item", metavar="ITEM", help="a serve, preparation, by-product or good, by id or name")
    sub.add_argument("--from", dest="first", type=day, metavar="DAY", help="the first day (a year before the last)")
    sub.add_argument("--to", dest="last", type=day, metavar="DAY", help="the last day (today)")
    sub.set_defaults(run=days)


def compare_arguments(sub: argparse.ArgumentParser, day: Day, times: Callable[[str], Decimal] = Decimal) -> None:
    """What ``compare`` takes beside BOOK and --json."""
    sub.add_argument("a", metavar="A", help="a serve, preparation or by-product, by id or name")
    sub.add_argument("b", metavar="B", nargs="?", help="what it is put beside (A itself)")
    sub.add_argument("--day", type=day, metavar="DAY", help="the day of A (today)")
    sub.add_argument("--and-day", type=day, metavar="DAY", help="the day of B (that of A)")
    batch = sub.add_mutually_exclusive_group()
    batch.add_argument("--times", type=times, metavar="N", help="B is a batch N times the size")
    batch.add_argument("--batch", metavar="ID", help="B is a logged batch as it was made")
    sub.set_defaults(run=compare_two)


def _read(args: Args) -> tuple[Book, int]:
    with open_store(args.book, readonly=True) as store:
        history = History(store)
        return history.book, history.head


def days(args: Args) -> int:
    """A cost from day to day and what moved it."""
    book, head = _read(args)
    last = args.last or date.today()
    first = args.first or last - YEAR
    if last < first:
        raise Mistake(f"the last day {last} lies before the first day {first}")
    item = find(_ever(book), args.item, "serve, preparation or good")
    history = cost_history(book, item, first, last)
    # names, currency and problems of what the item rests on, and of nothing else
    reckoning = reckon(part_of(book, item).on(last))
    if args.json:
        print_json(days_json(reckoning, history, head))
    else:
        say(*days_page(reckoning, history, head))
        say(*problems_text(reckoning.problems))
    return code_of(reckoning.problems)


def compare_two(args: Args) -> int:
    """Two batches, or two drinks, side by side."""
    book, head = _read(args)
    day_a = day_of(args)
    a = reckon(book.on(day_a))
    b = a if args.and_day in (None, day_a) else reckon(book.on(args.and_day))
    what = "serve or preparation"
    ident_a = find(_named(a), args.a, what)
    ident_b = find(_named(b), args.b or ident_a, what)
    if ident_a == ident_b and a is b and args.times is None and args.batch is None:
        raise Mistake(f"{args.a} beside itself: name a second one, another --and-day, --times or --batch")
    batch, of = batch_of(args, b, ident_b)
    found = Compared(compare(a, ident_a, b, ident_b, batch_b=batch), a, b, of_b=of)
    problems = tuple(dict.fromkeys((*a.problems, *b.problems, *(batch.ledger.problems if batch else ()))))
    if args.json:
        print_json(compare_json(found, head, problems))
    else:
        say(*compare_page(found, head))
        say(*problems_text(problems))
    return code_of(problems)


def _ever(book: Book) -> Iterator[tuple[str, str]]:
    """Everything that has a cost on any day, with its name."""
    for serve in book.all(Serve).values():
        yield serve.id, serve.name
    for made in book.all(Preparation).values():
        yield made.id, made.name
        for version in made.versions:
            yield from ((f"{made.id}/{b.id}", f"{made.name}: {b.name}") for b in version.byproducts)
    for good in book.all(Good).values():
        yield good.id, good.name


def _named(reckoning: Reckoning) -> list[tuple[str, str]]:
    """Everything of a day that can be put beside another, with its name."""
    view = reckoning.view
    return [
        *((i, s.name) for i, (s, _) in view.serves.items()),
        *((i, p.name) for i, (p, _) in view.preparations.items()),
        *((o, name_of(view, o)) for o in reckoning.direct if "/" in o),
    ]
