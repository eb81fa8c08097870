"""The guard: a file that no longer fits the map remembered of its supplier is stopped, not misread."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.table import Table
from costing.supply.columns.amounts import Amount, mark_of
from costing.supply.columns.beside import beside
from costing.supply.columns.counts import row_counts
from costing.supply.columns.days import order_changed, order_of
from costing.supply.columns.folding import folded
from costing.supply.columns.guess import main_price
from costing.supply.columns.heading_rows import DEEPEST, headings_of
from costing.supply.columns.looks import Look, look, spread
from costing.supply.columns.places import standing, unlike
from costing.supply.columns.plain_lines import cut
from costing.supply.columns.prepared import MAIN, Prepared, prepared
from costing.supply.columns.prices import AGREE, FEWEST, agreement, unit_agrees
from costing.supply.columns.record import Columns, Use, body_at, place, use_of, with_uses
from costing.supply.columns.rows import Body, reasons
from costing.supply.columns.taxes import tax_of_heading
from costing.supply.packs.currencies import currency_of_text, may_be, shared_sign

SAMPLE = 2000
"""Lines whose cells are looked at, spread over the file; marks, orders of days and codes are asked of all."""
STILL = 0.9
"""A share may fall to this part of what it was."""
PACKS_READ = 0.5
"""Packs read, of those filled in, where nobody remembers how many it was."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shares:
    """How much of a file was as its map says, from 0 to 1: figures among the prices, right check digits, codes that
    stand once, packs that were read, rows whose case and unit price agree. None where there is no such column."""

    numbers: float | None = None
    gtin: float | None = None
    unique: float | None = None
    packs: float | None = None
    units: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class _File:
    """The lines of a file under a map that has been found in it."""

    table: Table
    columns: Columns
    ready: Prepared
    lines: tuple[int, ...]

    def cells(self, use: Use) -> list[str]:
        column = self.ready.cells[use.role]
        return [column[i] for i in self.lines]

    def amounts(self, role: str) -> list[Amount]:
        column = self.ready.amounts[role]
        return [column[i] for i in self.lines]


def fits(table: Table, columns: Columns, was: Shares | None = None) -> tuple[Doubt, ...]:
    """Every way in which ``table`` is not the list that ``columns`` was made for, as doubts that say what was expected
    and what was found; empty where it fits. ``was`` are the ``shares`` of the file that the map was confirmed on."""
    table = cut(table)
    found, headings = _headings(table, columns)
    file = _file(table, found)
    return (*_whole(table, columns), *headings, *_contents(file, was or Shares()), *_words(file))


def shares(table: Table, columns: Columns) -> Shares:
    """What to remember of the file that a map was confirmed on."""
    table = cut(table)
    return _shares(_file(table, standing(table, columns)[0]))


def relocate(table: Table, columns: Columns) -> Columns | None:
    """The same columns at their new places, where every heading stands exactly once in one row (or block of rows).

    None where nothing has moved, or where it cannot be told. It is a proposal: somebody has to confirm it.
    """
    wanted = [folded(use.header) for use in columns.uses]
    if not columns.header_rows or not all(wanted) or len(set(wanted)) < len(wanted) or not unlike(table, columns):
        return None
    for at in range(min(DEEPEST, len(table.rows))):
        heads = [folded(head) for head in headings_of(table, at, columns.header_rows)]
        if all(heads.count(head) == 1 for head in wanted):
            uses = [replace(use, column=heads.index(head)) for use, head in zip(columns.uses, wanted, strict=True)]
            moved = with_uses(replace(columns, header_at=at, width=max(map(len, table.rows))), uses)
            return (
                moved
                if {(u.role, u.column) for u in moved.uses} != {(u.role, u.column) for u in columns.uses}
                else None
            )
    return None


def _whole(table: Table, columns: Columns) -> list[Doubt]:
    """The sheet and the number of columns."""
    out = []
    if columns.sheet and table.sheet != columns.sheet:
        others = ", ".join(table.others)
        out.append(doubt("sheet-missing", "", expected=columns.sheet, found=table.sheet, others=others))
    width = max(map(len, table.rows), default=0)
    if columns.width and width != columns.width:
        out.append(doubt("width-differs", "", expected=columns.width, found=width))
    return out


def _headings(table: Table, columns: Columns) -> tuple[Columns, list[Doubt]]:
    """(the map where its headings stand, a doubt for every heading that is not in its place)."""
    found, odd = standing(table, columns)
    if not odd:
        return found, []
    heads = {folded(cell): i + 1 for row in table.rows[:DEEPEST] for i, cell in enumerate(row) if cell.strip()}
    out = []
    for use, now in unlike(table, found):
        said = {"expected": use.header, "column": use.column + 1, "found": now}
        there = heads.get(folded(use.header))
        if there is not None and there != use.column + 1:
            out.append(doubt("heading-moved", use.role, **said, there=there))
        else:
            out.append(doubt("heading-renamed" if now else "heading-missing", use.role, **said))
    return found, out


def _file(table: Table, columns: Columns) -> _File:
    ready = prepared(table, columns, date.max.replace(year=9000))
    cells = ready.cells
    body = Body(
        table=table, columns=columns, rows=ready.rows, codes=cells["code"], gtins=cells["gtin"], names=cells["name"],
        packs=cells["pack"],
        prices=[ready.amounts[asked.role] for asked in ready.asked], strict=place(columns, "pack") is None,
    )  # fmt: skip
    lines = [i for i, why in enumerate(reasons(body)) if not why]
    return _File(table=table, columns=columns, ready=ready, lines=tuple(lines[i] for i in spread(len(lines), SAMPLE)))


def _shares(file: _File) -> Shares:
    columns = file.columns
    main = main_price(columns)
    gtin, code = use_of(columns, "gtin"), use_of(columns, "code")
    return Shares(
        numbers=_look(file, main).numbers if main else None, gtin=_look(file, gtin).gtin if gtin else None,
        unique=_unique(file) if code else None, packs=_packs(file), units=_units(file),
    )  # fmt: skip


def _look(file: _File, use: Use) -> Look:
    return look(file.cells(use))


def _unique(file: _File) -> float:
    codes = [file.ready.cells["code"][i].strip() for i in file.lines]
    filled = [code for code in codes if code]
    return len(set(filled)) / len(filled) if filled else 0.0


def _packs(file: _File) -> float | None:
    """Packs read, of the cells of packs (or of contents) that are filled; a bare number is a count or a content."""
    use = use_of(file.columns, "pack") or use_of(file.columns, "content") or use_of(file.columns, "count")
    if use is None:
        return None
    seen = _look(file, use)
    return seen.packs + (seen.numbers if use.role != "pack" else 0.0)


def _units(file: _File) -> float | None:
    """Rows whose case price / count is the unit price."""
    if not {"price", "price_each"} <= file.ready.amounts.keys():
        return None
    share, rows = agreement(_values(file, "price"), _values(file, "price_each"), _counts(file))
    return share if rows >= FEWEST else None


def _values(file: _File, role: str) -> list[Decimal | None]:
    return [one.value for one in file.amounts(role)]


def _counts(file: _File) -> list[int | None]:
    return row_counts([file.ready.rows[i] for i in file.lines], file.columns)


def _contents(file: _File, was: Shares) -> list[Doubt]:
    """Columns that no longer hold what they held."""
    now, out = _shares(file), []
    if not file.lines:
        out.append(doubt("no-price-lines", "", rows=len(file.ready.rows)))
    for code, at, share, before in (
        ("price-not-numbers", "price", now.numbers, was.numbers or 1.0),
        ("gtin-fails", "gtin", now.gtin, was.gtin or 1.0),
        ("code-not-unique", "code", now.unique, was.unique or 1.0),
        ("packs-unread", "pack", now.packs, was.packs or PACKS_READ / STILL),
        ("unit-price-differs-now", "price_each", now.units, was.units or 1.0),
    ):
        if file.lines and share is not None and share < STILL * before - 1e-9:
            out.append(doubt(code, at, expected=_percent(before), found=_percent(share)))
    if _looks_each(file):
        out.append(doubt("price-is-now-of-piece", "price"))
    return [*out, *_marks(file)]


def _percent(share: float) -> str:
    return f"{share * 100:.0f} %"


def _looks_each(file: _File) -> bool:
    """Whether the price of the pack is now that of one piece: it equals the unit price, or the price of a measure says
    that it pays for one piece."""
    if "price" not in file.ready.amounts:
        return False
    counts, prices = _counts(file), _values(file, "price")
    seen: list[bool] = []
    if "price_each" in file.ready.amounts:
        for price, each, count in zip(prices, _values(file, "price_each"), counts, strict=True):
            if price is not None and each is not None and (count or 0) > 1:
                seen.append(unit_agrees(price, each, 1))
    return len(seen) >= FEWEST and sum(seen) >= AGREE * len(seen)


def _marks(file: _File) -> list[Doubt]:
    """Decimal mark and order of days, asked of all cells."""
    columns, out = file.columns, []
    for use in columns.uses:
        if use.role in MAIN:
            mark = mark_of(file.ready.cells[use.role])
            if mark.why == "contradiction":
                out.append(doubt("decimal-mixed", use.role, one=mark.seen[0], other=mark.seen[-1]))
            elif columns.decimal and mark.mark not in (None, columns.decimal):
                out.append(doubt("decimal-changed", use.role, was=columns.decimal, now=mark.mark))
        elif use.role in ("since", "until") and columns.days in ("dmy", "mdy"):
            order, _ = order_of(file.ready.cells[use.role])
            if order in ("dmy", "mdy") and order != columns.days:
                out.append(order_changed(order, use.role))
    return out


def _words(file: _File) -> list[Doubt]:
    """Tax and currency, by the heading of the price, the sentences beside the list and the cells."""
    columns, out = file.columns, []
    said = beside(file.table, columns.header_at, body_at(columns))
    main = main_price(columns)
    heads = headings_of(file.table, columns.header_at, columns.header_rows)
    head = heads[main.column] if main and main.column < len(heads) else ""
    tax = tax_of_heading(head)
    basis = tax.basis if tax.basis != "unknown" else said.tax.basis
    if columns.tax != "unknown" and main and main.role != "gross" and basis not in ("unknown", columns.tax):
        out.append(doubt("tax-is-now-in" if basis == "inc" else "tax-is-now-out", "tax"))
    rate = tax.rate or said.tax.rate
    if columns.rate is not None and rate is not None and rate != columns.rate:
        out.append(doubt("rate-changed", "tax", expected=f"{columns.rate:f}", found=f"{rate:f}"))
    cells = [one.currency for one in file.amounts(main.role) if one.currency] if main else []
    column = use_of(columns, "currency")
    if column is not None:
        cells += [code for cell in file.cells(column) if (code := currency_of_text(cell))]
    found = currency_of_text(head) or said.currency or _usual(cells)
    sign = shared_sign(head) or said.sign
    if columns.currency and not found and sign and not may_be(sign, columns.currency):
        out.append(doubt("currency-changed", "currency", expected=columns.currency, found=sign))
    elif columns.currency and found and found != columns.currency:
        out.append(doubt("currency-changed", "currency", expected=columns.currency, found=found))
    elif columns.currency and _usual(cells) not in ("", columns.currency):
        out.append(doubt("currency-changed", "currency", expected=columns.currency, found=_usual(cells)))
    return out


def _usual(cells: Sequence[str]) -> str:
    return max(set(cells), key=lambda code: (cells.count(code), code), default="")
