"""The twelve weeks that the till printed, as the program reads them: a period a week, by the buttons of ``till``.

They are read by the program itself, so that the book holds what anybody who drops the files on it would get.
"""

import json
from collections.abc import Mapping
from typing import cast

from costing.book.book import Book
from costing.book.plain import record_to_plain
from costing.book.selling import SalesPeriod
from costing.edits.tills import take_sales
from costing.store import import_json
from costing.supply.till.arrive import arrive_sales
from sample_data import buying
from sample_data.forms import Plain


def periods(book_text: str, files: Mapping[str, bytes]) -> list[Plain]:
    """Periods of ``files`` (name to bytes) as the bar of ``book_text`` reads them, its buttons and its till in it, in
    plain form, the earliest first.

    ValueError where a row waits: the buttons of the sample mean every one.
    """
    book = import_json(book_text, "the sample")
    for name, data in files.items():
        step = take_sales(book, arrive_sales(data, name, book, buying.LAST))
        if step is None:
            raise ValueError(f"{name} says nothing new")
        book = book.with_changes(step.changes)
    return [_plain(period) for period in _ordered(book)]


def _ordered(book: Book) -> list[SalesPeriod]:
    found = sorted(book.all(SalesPeriod).values(), key=lambda period: period.since)
    waiting = [period.file for period in found if period.unmapped]
    if waiting:
        raise ValueError(f"rows wait in {', '.join(waiting)}")
    return found


def _plain(period: SalesPeriod) -> Plain:
    return cast(Plain, json.loads(json.dumps(record_to_plain(period))))
