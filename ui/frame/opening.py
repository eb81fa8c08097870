"""Opening books: every way a file can be wrong becomes a refusal with a way out."""

import getpass
from datetime import date
from pathlib import Path

from costing.book.book import Book
from costing.paths import sample_book
from costing.store import FileFault, FileTooNew, create, open_store, read_json, snapshot
from costing.tongue import say
from ui.document import Document
from ui.fault import Refusal

SUFFIX = ".stillroom"


def who() -> str:
    """Who is at the keyboard, for the day book; "" where the machine does not say."""
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return ""


def open_document(path: Path, day: date | None = None) -> Document:
    """Open a book. One that cannot be written is opened to look at only. Refusal where it cannot be opened."""
    try:
        try:
            store, read_only = open_store(path), False
        except FileFault as fault:
            if fault.reason != "read_only":
                raise
            store, read_only = open_store(path, readonly=True), True
        try:
            return Document(store, day or date.today(), path=path, read_only=read_only, who=who())
        except BaseException:
            store.close()
            raise
    except FileFault as fault:
        raise refused(path, fault) from fault


def new_book(path: Path, *, sample: bool = False) -> None:
    """Make a new book at ``path``, empty or the sample bar. Refusal where that cannot be."""
    try:
        book = read_json(sample_book()) if sample else Book()
        create(path, book, code="the sample bar" if sample else "new", who=who()).close()
    except FileFault as fault:
        raise refused(path, fault) from fault


def save_copy(document: Document, target: Path) -> None:
    """A checked copy of the open book under another name. Refusal where that cannot be."""
    if document.path is None:
        raise Refusal(say("This book has no file yet."), "", say("Make a new book first."))
    try:
        snapshot(document.path, target)
    except FileFault as fault:
        raise refused(target, fault) from fault


def with_suffix(path: Path) -> Path:
    """A name for a book, with the ending that books have."""
    return path if path.suffix.lower() == SUFFIX else path.with_name(path.name + SUFFIX)


def refused(path: Path, fault: FileFault) -> Refusal:
    """What is wrong with a file and what can be done about it."""
    problem = say("{file} cannot be used.", file=path.name)
    if isinstance(fault, FileTooNew):
        return Refusal(
            problem,
            say("It was written by a newer program (form {found}; this one reads up to {reads}).",
                found=fault.found, reads=fault.reads),
            say("Nothing in it was touched. Open it with the newer program."),
        )  # fmt: skip
    another = (
        say("Choose another file: only the name of this one ends in .stillroom.")
        if path.suffix.lower() == SUFFIX
        else say("Choose a file that ends in .stillroom.")
    )
    cause, remedy = {
        "missing": (say("There is no such file."), say("It may have been moved or renamed: look for it with Open.")),
        "folder": (say("This is a folder, not a file."), say("Choose a file inside it.")),
        "empty": (say("The file is empty."), say("Open a copy or a snapshot of it, if there is one.")),
        "not_a_book": (say("It is not a book of this program."), another),
        "other_program": (say("It belongs to another program."), another),
        "damaged": (
            say("Its contents are damaged ({detail}).", detail=fault.detail),
            say("Nothing in it was touched. Open the last snapshot beside it, or a copy."),
        ),
        "exists": (
            say("A file of this name is there already and is not written over."),
            say("Choose another name, or move that file away."),
        ),
        "locked": (
            say("Another program is holding it."),
            say("Close it there, or wait a moment, then open it again."),
        ),
        "full": (say("The disk is full."), say("Make room, then do it again.")),
        "read_only": (
            say("The file or its folder cannot be written."),
            say("Choose another folder, or ask whoever looks after this computer for the right to write there."),
        ),
        "unreadable": (
            say("The file may not be read."),
            say("Ask whoever looks after this computer for the right to read it, or open a copy."),
        ),
        "unfinished": (
            say("An edit was cut short, and the file cannot be written to tidy it."),
            say("Copy it, and the file beside it that ends in -journal, where one may write; then open it there."),
        ),
        "moved": (
            say("It was moved, deleted or replaced while it was open."),
            say("Open it again where it is now; what was saved is in it."),
        ),
        "closed": (say("The book is closed."), say("Open it again.")),
        "device": (
            say("The disk or device reports an error ({detail}).", detail=fault.detail),
            say("See that it is plugged in and reached, and keep a copy elsewhere; then open it again."),
        ),
        "too_large": (say("The file is too large to be a book."), another),
        "not_text": (say("It is not text that can be read."), another),
    }.get(fault.reason, (
        say("It could not be used ({detail}).", detail=fault.detail or fault.reason),
        say("Open a copy or a snapshot of it, if there is one."),
    ))  # fmt: skip
    return Refusal(problem, cause, remedy)
