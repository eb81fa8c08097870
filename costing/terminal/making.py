"""Making a book: new, from a file or the sample, the starter workbook, and the plain form out again."""

import sys
from datetime import date
from pathlib import Path

from costing.book.book import Book
from costing.book.checks import check
from costing.book.history import History
from costing.book.records import Good, Preparation, Quote, Serve
from costing.ledger import reckon
from costing.paths import sample_book
from costing.store import create, export_json, open_store, read_json, write_json
from costing.terminal import show
from costing.terminal.base import Args, Mistake, code_of, say, who

SHEET = b"PK\x03\x04"
"""A workbook is a zip archive; this is how every one begins."""
OLD_SHEET = b"\xd0\xcf\x11\xe0"
"""An encrypted workbook, or one of the binary form before: the reader says which is wanted."""


def new(args: Args) -> int:
    """Create a book from the plain form, a starter workbook or the sample, or write an empty starter workbook."""
    if args.starter:
        return _starter(args)
    if args.book is None:
        raise Mistake("say which book to write, for example bar.stillroom; or write a starter workbook with --starter")
    source = sample_book() if args.sample else args.source
    book = _read_any(source) if source else Book()
    with create(args.book, book, code=f"new from {Path(source).name}" if source else "new", who=who()):
        pass
    counts = ", ".join(
        f"{len(book.all(cls))} {word}"
        for cls, word in ((Good, "goods"), (Quote, "quotes"), (Preparation, "preparations"), (Serve, "serves"))
    )
    problems = reckon(book.on(date.today())).problems if book.records else check(book)
    say(f"wrote {args.book}: {counts}")
    say(*show.problems_text(problems))
    if not book.records:
        say("the book is empty: write it in the plain form and use --from, or start with --sample")
    else:
        say(f"next: python -m costing cost {args.book}")
    return code_of(problems)


def export(args: Args) -> int:
    """Write the plain form, or the starter workbook where the name ends in .xlsx."""
    with open_store(args.book, readonly=True) as store:
        book = History(store).book
    if str(args.target) == "-":
        sys.stdout.write(export_json(book))
    elif not args.target.absolute().parent.is_dir():
        raise Mistake(f"there is no folder {args.target.absolute().parent} to write {args.target.name} into")
    elif args.target.suffix.lower() == ".xlsx":
        from costing.supply.starter import write_starter  # noqa: PLC0415  openpyxl is slow to import

        lost = write_starter(args.target, book)
        say(f"wrote {args.target} in the layout of the starter workbook")
        say(*(f"  not in it: {line}" for line in lost))
        return 1 if lost else 0
    else:
        write_json(book, args.target)
        say(f"wrote {args.target}: {len(book)} records")
    return 0


def _read_any(source: Path) -> Book:
    """The book in a file: a workbook by how its bytes begin, whatever it is called, else the plain form."""
    begins = b""
    if source.is_file():
        with source.open("rb") as file:
            begins = file.read(4)
    if begins in (SHEET, OLD_SHEET) or source.suffix.lower() in (".xlsx", ".xlsm", ".xls"):
        from costing.supply.starter import read_starter  # noqa: PLC0415  openpyxl is slow to import

        return read_starter(source)
    return read_json(source)


def _starter(args: Args) -> int:
    from costing.supply.starter import write_starter  # noqa: PLC0415  openpyxl is slow to import

    if args.book is not None or args.sample or args.source:
        raise Mistake("--starter writes a workbook to fill in, and no book; give it alone")
    if args.starter.exists():
        raise Mistake(f"{args.starter} is already there and is not overwritten; choose another name")
    if not args.starter.absolute().parent.is_dir():
        raise Mistake(f"there is no folder {args.starter.absolute().parent} to write {args.starter.name} into")
    write_starter(args.starter)
    say(f"wrote {args.starter}: fill it in, then python -m costing new bar.stillroom --from {args.starter}")
    return 0
