"""The starter workbook: a spreadsheet in the house's own layout, filled in by hand and read into a book, and back.

    write_starter("starter.xlsx")           empty, with notes, drop-downs and example rows
    read_starter("starter.xlsx")            the Book in it; BadSheet names every cell that cannot be read
    write_starter("bar.xlsx", book)         a book in the same layout; gives what the layout cannot hold

The layout holds suppliers, ingredients, packs, equipment, preparations with every version and stage, what is kept from
them, techniques, glasses, serves, menus and the house. It holds no batch logs; ``write_starter`` reads its own file
again and says all that did not come back.
"""

import re
from collections.abc import Iterator
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any, BinaryIO

from costing.book.book import Book
from costing.book.plain import BadForm, record_to_plain
from costing.book.records import Record
from costing.disk import write_whole
from costing.supply import starter_goods as one
from costing.supply import starter_making as many
from costing.supply.starter_faults import BadSheet, Fault, Faults
from costing.supply.starter_groups import by_day, named_groups
from costing.supply.starter_layout import HOUSE
from costing.supply.starter_names import Names
from costing.supply.starter_open import OpenSheet, open_workbook, opened
from costing.supply.starter_sheets import BY_NAME
from costing.supply.starter_table import tables, unused

_PLACE = re.compile("([A-Z]*)([0-9]+)")
ORDER = (HOUSE, *BY_NAME)


def read_starter(path: str | Path) -> Book:
    """The Book that a filled-in starter workbook describes.

    BadSheet for a file that is no workbook or cannot be opened, and for cells that cannot be read, all of them at
    once. What only contradicts itself (a loop, a wrong dimension) is for ``book.checks``.
    """
    source = Path(path)
    return _book(open_workbook(source), str(path))


def read_starter_bytes(raw: bytes, name: str) -> Book:
    """The same from the bytes of a file called ``name``."""
    return _book(opened(raw, name), name)


def write_starter(target: str | Path | BinaryIO, book: Book | None = None) -> tuple[str, ...]:
    """Write the workbook to a file, or to something open for bytes: empty with examples, or the given book.

    Gives a line for each thing of the book that the layout cannot hold; a file is written whole or not at all.
    """
    from costing.supply.starter_write import starter_bytes  # noqa: PLC0415  openpyxl is slow to import

    raw = starter_bytes(book)
    if isinstance(target, str | Path):
        write_whole(raw, Path(target))
    else:
        target.write(raw)
    return left_out(raw, book) if book is not None else ()


def left_out(raw: bytes, book: Book) -> tuple[str, ...]:
    """What of a book is not, or not so, in the workbook that was written of it."""
    try:
        again = read_starter_bytes(raw, "the workbook")
    except BadSheet as error:
        return tuple(f"{f.place} {f.what}" for f in error.faults) or (error.what,)
    return tuple(differences(book, again))


def differences(book: Book, again: Book) -> Iterator[str]:
    """A line for each record that two books do not share, with the field; the order of named figures is no matter."""
    for key, record in sorted(book.records.items(), key=lambda item: item[0]):
        other, where = again.records.get(key), f"{key[0]} {key[1]}"
        if other is None:
            yield where
        elif other != record:
            yield from _fields(where, record, other)
    for kind, ident in sorted(again.records.keys() - book.records.keys()):
        yield f"{kind} {ident} was not there before"


def _fields(where: str, before: Record, after: Record) -> Iterator[str]:
    try:
        yield from _unlike(where, record_to_plain(before), record_to_plain(after))
    except BadForm as error:
        yield f"{where}: {error}"


def _unlike(where: str, before: Any, after: Any) -> Iterator[str]:
    if isinstance(before, dict) and isinstance(after, dict):
        for name in sorted(before.keys() | after.keys()):
            yield from _unlike(f"{where}, {name}", before.get(name), after.get(name))
    elif isinstance(before, list) and isinstance(after, list) and len(before) == len(after):
        for n, pair in enumerate(zip(before, after, strict=True)):
            yield from _unlike(f"{where} {n + 1}", *pair)
    elif not _same(before, after):
        yield f"{where}: {_short(before)}" + ("" if after is None else f" is {_short(after)}")


def _same(before: Any, after: Any) -> bool:
    """Equal, or the same number in more decimals: 22.00 and 22."""
    if before == after:
        return True
    try:
        return isinstance(before, str) and isinstance(after, str) and Decimal(before) == Decimal(after)
    except InvalidOperation:
        return False


def _short(value: Any) -> str:
    text = " ".join(str(value).split())
    return text if len(text) <= 60 else f"{text[:57]}..."


def _in_order(fault: Fault) -> tuple[int, int, int, str]:
    """As one reads: by sheet, row, column."""
    sheet, _, cell = fault.place.partition("!")
    found = _PLACE.match(cell)
    letters, digits = found.groups() if found else ("", "0")
    order = ORDER.index(sheet) if sheet in ORDER else len(ORDER)
    return order, int(digits), len(letters), letters


def _book(sheets: tuple[OpenSheet, ...], file: str) -> Book:
    faults = Faults()
    site = one.Site(tables(sheets, file, faults), faults)
    asked = site.rows("House")[0]
    filled = set(asked.cells) > {"layout"} or any(rows for name, rows in site.tables.items() if name != "House")
    if not filled and not faults.found:
        raise BadSheet(file, "nothing is filled in yet; begin with the sheet House")
    site.since, site.currency = asked.get("since"), asked.get("currency") or ""
    registered = one.register_all(site)
    preparations = named_groups(site.rows("Preparations"), site.sources, "preparation", faults)
    serves = named_groups(site.rows("Serves"), site.serves, "serve", faults)
    menus = named_groups(site.rows("Menu"), Names("menu"), "menu", faults)
    for group in (*preparations, *serves):
        by_day(group, site)
    site.measured |= {group.ident for group in preparations if group.one("base") != "each"}
    kept = many.kept(site, preparations)
    stated = one.statements(site)
    records: list[Record | None] = [
        one.house(site),
        *one.simple(site, "supplier", registered["Suppliers"], "name", "note"),
        *one.goods(site, stated),
        *one.packs(site),
        *one.equipment(site, registered["Equipment"], stated),
        *one.simple(site, "technique", registered["Techniques"], "name", "dilution", "like", "note"),
        *one.simple(site, "glass", registered["Glasses"], "name", "capacity"),
        *many.preparations(site, preparations, kept, stated),
        *many.serves(site, serves),
        *many.menus(site, menus),
    ]
    if not faults.found:
        unused(site.tables, faults)
    if faults.found:
        raise BadSheet(file, faults=sorted(dict.fromkeys(faults.found), key=_in_order))
    return Book.of(record for record in records if record is not None)


__all__ = ["BadSheet", "Fault", "differences", "left_out", "read_starter", "read_starter_bytes", "write_starter"]
