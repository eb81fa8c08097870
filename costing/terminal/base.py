"""What commands share: saying, asking for a day, reading a book, finding a thing by name."""

import argparse
import difflib
import getpass
import json
import sys
from collections.abc import Iterable
from datetime import date
from typing import Any

from costing.book.book import View
from costing.book.history import History
from costing.book.problem import Problem
from costing.store import open_store

Args = argparse.Namespace


class Mistake(ValueError):
    """A call that cannot be: printed as one line, exit 2."""


def say(*lines: str) -> None:
    """Print lines."""
    for line in lines:
        print(line)


def who() -> str:
    """Who is at the keyboard, for the day book; "" where the machine does not say."""
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return ""


def day_of(args: Args) -> date:
    """The day that was asked for, else today."""
    return args.day or date.today()


def print_json(document: Any) -> None:
    """Print a document as JSON."""
    json.dump(document, sys.stdout, ensure_ascii=False, indent=1, allow_nan=False)
    print()


def read_view(args: Args) -> tuple[View, int]:
    """The book on the day that was asked for, and the journal row it was read at."""
    with open_store(args.book, readonly=True) as store:
        history = History(store)
        return history.book.on(day_of(args)), history.head


def code_of(problems: Iterable[Problem]) -> int:
    """Exit 1 where there is more than a note."""
    return 1 if any(p.level != "note" for p in problems) else 0


def find(named: Iterable[tuple[str, str]], wanted: str, what: str) -> str:
    """The id of what is called ``wanted``, by id or name in any case. Mistake names what comes close, or the ids
    where a name means two things."""
    pairs = list(named)
    fold = wanted.casefold().strip()
    ids = list(dict.fromkeys(ident for ident, _ in pairs if ident.casefold() == fold))
    ids = ids or list(dict.fromkeys(ident for ident, name in pairs if name.casefold() == fold))
    if len(ids) > 1:
        raise Mistake(f"{len(ids)} things are called {wanted!r}: say which by id, {' or '.join(ids)}")
    if ids:
        return ids[0]
    words = {w: ident for ident, name in pairs for w in (ident.casefold(), name.casefold())}
    close = dict.fromkeys(words[w] for w in difflib.get_close_matches(fold, words, 3, 0.5))
    names = dict(pairs)
    hint = f"; did you mean {' or '.join(names[ident] for ident in close)}?" if close else ""
    raise Mistake(f"there is no {what} called {wanted!r} on this day{hint}")
