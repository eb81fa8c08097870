"""From bytes to a plan: read the file, find whose it is and how its columns were read the last time, and judge it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from hashlib import sha256

from costing.book.book import Book
from costing.book.buying import ColumnMap, Columns
from costing.book.records import TaxBasis
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.line import Incoming
from costing.supply.arriving.table import Table
from costing.supply.columns import fits, guess_columns, relocate, understand
from costing.supply.columns.record import signature, table_signature
from costing.supply.plan.build import Tell, make_plan
from costing.supply.plan.record import Plan
from costing.supply.readers.door import read_prices
from costing.supply.readers.sniff import what_is
from costing.supply.readers.tables import read_table
from costing.supply.readers.words import table_doubts

DOCUMENTS = frozenset({"xml", "pdf"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What somebody answered about a file: whose it is, how its cells are to be read, what tax is in its prices, what a
    line means (``hand``: line number to good, "" for none of the house's), and its ``columns`` where they were set."""

    supplier: str = ""
    encoding: str | None = None
    delimiter: str | None = None
    sheet: str = ""
    columns: Columns | None = None
    tax: TaxBasis | None = None
    rate: Decimal | None = None
    hand: tuple[tuple[int, str], ...] = ()


def arrive(
    data: bytes,
    name: str,
    book: Book,
    day: date,
    said: Said | None = None,
    *,
    past: Iterable[str] = (),
    tell: Tell | None = None,
) -> Plan:
    """The plan of one file. ``Unreadable`` for a file that cannot be read, ValueError for answers that do not fit
    it."""
    said = said or Said()
    what = what_is(data, name)
    if what.shape in DOCUMENTS:
        return _planned(read_prices(data, name, tell=tell), book, day, said, None, (), past, tell)
    table = read_table(data, name, encoding=said.encoding, delimiter=said.delimiter, sheet=said.sheet, tell=tell)
    return plan_table(table, name, sha256(data).hexdigest(), book, day, said, past=past, tell=tell)


def plan_table(
    table: Table,
    name: str,
    digest: str,
    book: Book,
    day: date,
    said: Said,
    *,
    past: Iterable[str] = (),
    tell: Tell | None = None,
) -> Plan:
    """The plan of a table that was read, or pasted."""
    chosen = _columns(table, book, said)
    columns = chosen.columns
    if said.tax is not None:
        columns = replace(columns, tax=said.tax, rate=said.rate)
    incoming = understand(table, columns, name=name, digest=digest, today=day, tell=tell, asked=chosen.asked)
    supplier = said.supplier or chosen.supplier
    stops = chosen.moved if said.columns is None else ()
    plan = _planned(incoming, book, day, replace(said, supplier=supplier), columns, stops, past, tell)
    if supplier and not said.supplier and not _theirs(plan):
        name = getattr(book.get("supplier", supplier), "name", supplier)
        plan = replace(plan, stops=(*plan.stops, doubt("supplier-guessed", "", name=name)))
    doubts = dict.fromkeys((*table_doubts(table), *chosen.doubts, *plan.doubts))
    return replace(plan, doubts=tuple(doubts))


def _theirs(plan: Plan) -> bool:
    """Whether at least half of the lines that mean anything are known of the supplier: headings are everybody's."""
    known = sum(line.match.how in ("code", "alias") for line in plan.lines)
    return known > 0 and 2 * known >= sum(bool(line.good) or bool(line.line.code) for line in plan.lines)


@dataclass(frozen=True, slots=True)
class _Chosen:
    columns: Columns
    supplier: str
    doubts: tuple[Doubt, ...]
    moved: tuple[Doubt, ...]
    asked: tuple[Doubt, ...] = ()
    """Questions that a guess leaves open; they hold every line until somebody has set the columns."""


def _columns(table: Table, book: Book, said: Said) -> _Chosen:
    """The columns to read by: those that were set, else those remembered of this list, else a guess.

    A list whose headings are remembered of one supplier alone is that supplier's. Where a supplier's list fits none of
    what is remembered of it, the guess is shown and nothing may be written before somebody has seen it.
    """
    if said.columns is not None:
        return _Chosen(said.columns, said.supplier, (), ())
    maps = [m for m in book.all(ColumnMap).values() if not said.supplier or m.supplier == said.supplier]
    same = [m for m in maps if table_signature(table, m.columns) == signature(m.columns)]
    owners = {m.supplier for m in same}
    if same and len(owners) == 1:
        found = max(same, key=lambda m: (m.since, m.id))
        moved = fits(table, found.columns)
        if not moved:
            return _Chosen(found.columns, found.supplier, (), ())
        guess = guess_columns(table)  # shown as it would be read now, and stopped until somebody has said so
        return _Chosen(guess.columns, found.supplier, guess.doubts, moved, guess.asked)
    guess = guess_columns(table)
    if not (said.supplier and maps):
        return _Chosen(guess.columns, said.supplier, guess.doubts, (), guess.asked)
    newest = max(maps, key=lambda m: (m.since, m.id)).columns
    moved_to = relocate(table, newest)
    asked = () if moved_to is not None else guess.asked
    changed = (doubt("list-changed", ""), *fits(table, newest))
    return _Chosen(moved_to or guess.columns, said.supplier, guess.doubts, changed, asked)


def _planned(
    incoming: Incoming, book: Book, day: date, said: Said, columns: Columns | None, stops: tuple[Doubt, ...],
    past: Iterable[str], tell: Tell | None,
) -> Plan:  # fmt: skip
    hand: Mapping[int, str] = dict(said.hand)
    plan = make_plan(incoming, book, day, supplier=said.supplier, columns=columns, hand=hand, past=past, tell=tell)
    return replace(plan, stops=(*plan.stops, *stops))
