"""From bytes to a plan: read the table, find by which till it was made, and judge its rows."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

from costing.book.book import Book
from costing.book.buying import Columns
from costing.book.selling import Till
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.table import Table
from costing.supply.columns.guard import relocate
from costing.supply.columns.places import standing
from costing.supply.readers.tables import read_table
from costing.supply.readers.words import table_doubts
from costing.supply.till.plan import plan_sales
from costing.supply.till.plan_record import NOTHING_SAID, SalesPlan, SalesSaid
from costing.supply.till.understand import DAY_ENDS, understand_sales
from costing.tongue import say

__all__ = ["SalesSaid", "arrive_sales", "sales_of_table", "till_of"]


def arrive_sales(
    data: bytes, name: str, book: Book, day: date, said: SalesSaid = NOTHING_SAID, *, past: Iterable[str] = ()
) -> SalesPlan:
    """The plan of one file, as of ``day`` (today). ``Unreadable`` for a file that cannot be read, ValueError for
    answers that do not fit it."""
    table = read_table(data, name, encoding=said.encoding, delimiter=said.delimiter, sheet=said.sheet)
    return sales_of_table(table, name, book, day, said, past=past)


def sales_of_table(
    table: Table, name: str, book: Book, day: date, said: SalesSaid = NOTHING_SAID, *, past: Iterable[str] = ()
) -> SalesPlan:
    """The same for a table that is read already, so that an answer costs no second reading."""
    till, columns, doubts = till_of(table, book, said)
    ends = said.day_ends if said.day_ends is not None else till.day_ends if till is not None else DAY_ENDS
    lines = understand_sales(table, columns, name=name, today=day, day_ends=ends, decimal=said.decimal, days=said.days)
    lines = replace(lines, doubts=(*table_doubts(table), *doubts, *lines.doubts))
    return plan_sales(book, lines, day=day, said=said, till=till, past=past)


def till_of(table: Table, book: Book, said: SalesSaid) -> tuple[Till | None, Columns | None, tuple[Doubt, ...]]:
    """(the till whose files look so, how its columns are read, what is doubted of that); (None, None, ()) for a file
    that looks like none that is known. ValueError for a till that the book has not."""
    tills = book.all(Till)
    if said.till and said.till not in tills:
        raise ValueError(say("there is no till {id} in the book", id=said.till))
    known = [tills[said.till]] if said.till else list(tills.values())
    if said.columns is not None:
        heads = {use.header for use in said.columns.uses}
        same = (till for till in known if {use.header for use in till.columns.uses} == heads)
        return (known[0] if said.till else next(same, None)), said.columns, ()
    for till in known:
        if till.columns.header_rows and not standing(table, till.columns)[1]:
            return till, till.columns, ()
    for till in known:
        moved = relocate(table, till.columns)
        if moved is not None:
            return till, moved, (doubt("sales-till-moved", "", till=till.name),)
    return (known[0] if said.till else None), None, ()
