"""Ids made from names: short text that can be read, unique in the book, and never one that was used before."""

import unicodedata
from collections.abc import Iterable
from itertools import chain, count

from costing.book.book import Book
from costing.tables import fold

LONGEST = 60
_LETTERS = str.maketrans({"ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "đ": "d", "ł": "l", "þ": "th", "ð": "d", "ı": "i"})


def slug(name: str) -> str:
    """ "Crème de mûre, 15 %" is "creme-de-mure-15"; letters of other scripts stay, and "" where nothing is left."""
    plain = unicodedata.normalize("NFKD", name.casefold().translate(_LETTERS))
    kept = "".join(c if c.isalnum() else " " for c in plain if not unicodedata.combining(c))
    return "-".join(kept.split())[:LONGEST].strip("-")


def free_id(name: str, book: Book, past: Iterable[str] = (), *, fallback: str = "item") -> str:
    """An id for something called ``name``: the slug, with a number behind it where the slug is taken.

    ``past`` are ids that were used once and are no more (``History`` knows them); they are not used again.
    """
    return take_id(name, {ident for _, ident in book.records} | set(past), fallback=fallback)


def take_id(name: str, taken: set[str], *, fallback: str = "item") -> str:
    """An id that is not in ``taken``, which has it from then on: for many new records in one step."""
    stem = slug(name) or fallback
    found = next(i for i in chain((stem,), (f"{stem}-{n}" for n in count(2))) if i not in taken)
    taken.add(found)
    return found


def is_named(name: str, names: Iterable[str]) -> bool:
    """Whether one of ``names`` reads the same but for case, accents, signs and plural."""
    return fold(name) in {fold(other) for other in names}
