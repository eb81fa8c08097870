"""How much of a bought good can be used: the mean of the house's own yield tests, and whose goods they were of."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from costing.book.book import Book
from costing.book.records import Supplier, YieldTest
from costing.book.yields import yield_mean
from costing.tongue import say

Whose = Literal["supplier", "good", "said", "none"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Usable:
    """The ``share`` of what is bought that can be used, the mean of ``n`` tests of one ``part``.

    ``of`` says whose goods were tested: "supplier" those of this one, "good" anybody's, so that the share is the same
    for all who have none of their own; "said" a share that was given, "none" that nothing was tested and all counts.
    """

    share: Decimal = Decimal(1)
    n: int = 0
    part: str = ""
    of: Whose = "none"


def parts_of(book: Book, good: str) -> tuple[str, ...]:
    """What was kept in the tests of a good ("flesh", "juice"), each once."""
    found = {t.part.casefold(): t.part for t in _tests(book, good)}
    return tuple(found[key] for key in sorted(found))


def usable(book: Book, good: str, supplier: str, part: str | None = None) -> Usable:
    """The usable share of a good from a supplier. A test is of one supplier where its note is that supplier's name, or
    another it goes by, and nothing else; those of a supplier go before those of nobody named, and these before all.

    ValueError where parts were tested that are not the same and ``part`` does not choose among them.
    """
    parts = parts_of(book, good)
    if part is None and len(parts) > 1:
        named = ", ".join(p or say("no part named") for p in parts)
        raise ValueError(say("its yield tests are of several parts ({parts}): say which is needed", parts=named))
    tests = [t for t in _tests(book, good) if part is None or t.part.casefold() == part.casefold()]
    names = _names(book)
    whose = {t.id: names.get(_plain(t.note), "") for t in tests}
    own = [t for t in tests if supplier and whose[t.id] == supplier]
    mean = yield_mean(own)
    if mean is not None:
        return Usable(share=mean.share, n=mean.n, part=own[0].part, of="supplier")
    mean = yield_mean([t for t in tests if not whose[t.id]]) or yield_mean(tests)
    if mean is None:
        return Usable()
    return Usable(share=mean.share, n=mean.n, part=tests[0].part, of="good")


def _tests(book: Book, good: str) -> list[YieldTest]:
    return [t for t in book.all(YieldTest).values() if t.good == good]


def _names(book: Book) -> dict[str, str]:
    """Supplier by every name it goes by."""
    return {_plain(name): s.id for s in book.all(Supplier).values() for name in (s.name, *s.names) if name.strip()}


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())
