"""From a problem of the core to a place in the window, and what people call the thing there."""

from collections.abc import Mapping
from dataclasses import replace

from costing.book.book import Book
from costing.book.problem import Problem
from costing.book.records import KINDS, Quote
from costing.report.words import sentence
from costing.tongue import say
from ui.desk import Where


def where_of(path: str) -> Where:
    """Where a problem's path leads: kind, id, and the rest. A path without a kind is that of a preparation."""
    kind, _, rest = path.partition("/")
    if kind not in KINDS:
        kind, rest = "preparation", path
    ident, _, part = rest.partition("/")
    return Where(kind, ident or "house", part)


def name_of(book: Book, where: Where) -> str:
    """What people call a record; a quote goes by its good."""
    record = book.get(where.kind, where.id)
    if isinstance(record, Quote):
        good = book.get("good", record.good)
        return say("{good}, a quote", good=getattr(good, "name", record.good))
    return str(getattr(record, "name", "") or where.id)


def said_of(problem: Problem, names: Mapping[str, str]) -> str:
    """The sentence of a problem, with names in place of ids."""
    known = tuple((k, names.get(v, v) if k in ("source", "good") else v) for k, v in problem.detail)
    return sentence(replace(problem, detail=known))
