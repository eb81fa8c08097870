"""Sheets of every form as a Table: which sheet is taken, its cells as text, and what the file hides."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import cast

from costing.supply.arriving.line import Unreadable
from costing.supply.arriving.table import Shape, Table
from costing.supply.readers.grid import Grid
from costing.supply.readers.limits import Tell, check_size, check_zip, damaged, shown_name
from costing.tongue import say

SHEET_SHAPES = ("xlsx", "xls", "xlsb", "ods")
HIDDEN = " (hidden)"
"""What is put behind the name of a hidden sheet."""


@dataclass(frozen=True, slots=True)
class _Sheet:
    """A sheet that can be read. Reading it twice gives two grids."""

    name: str
    hidden: bool
    read: Callable[[], Grid]

    @property
    def called(self) -> str:
        return self.name + HIDDEN if self.hidden else self.name


def read_sheets(data: bytes, shape: str, *, sheet: str = "", name: str = "", tell: Tell | None = None) -> Table:
    """The table of a workbook of ``shape``: that of ``sheet``, else the first visible sheet that holds more than a
    cover, all other sheets by name.

    Empty rows at the top stay, so that rows keep their numbers. A formula that nobody worked out is Unworked and never
    evaluated.
    Unreadable, in one line with ``name``, for what is damaged or too large; ValueError for a sheet that is not there.
    """
    name = shown_name(name) or say("the file")
    sheets = _sheets(data, shape, name, tell)
    if not sheets:
        raise Unreadable(say("{name} has no sheet with cells: ask for it again", name=name))
    if sheet:
        chosen = next((s for s in sheets if sheet in (s.name, s.called)), None)
        if chosen is None:
            names = ", ".join(shown_name(s.called)[:60] for s in sheets[:10])
            raise ValueError(
                say(
                    '{name} has no sheet "{sheet}": it has {names}',
                    name=name,
                    sheet=shown_name(sheet)[:60],
                    names=names,
                )
            )
        grid = chosen.read()
        grid.trim()
    else:
        grid = _main(sheets, name)
    others = _others(sheets, grid)
    grid.fill_merged()
    rows, width = len(grid.rows), max(map(len, grid.rows), default=0)
    return Table(
        shape=cast(Shape, shape),
        rows=tuple(map(tuple, grid.rows)),
        sheet=grid.sheet,
        others=others,
        hidden_rows=frozenset(row for row in grid.hidden_rows if row < rows),
        hidden_columns=frozenset(column for column in grid.hidden_columns if column < width),
        merged_rows=frozenset(grid.merged_rows),
    )


def _sheets(data: bytes, shape: str, name: str, tell: Tell | None) -> list[_Sheet]:
    if shape not in SHEET_SHAPES:
        raise ValueError(
            say('"{shape}" is no form of a sheet: one of {shapes}', shape=shape, shapes=", ".join(SHEET_SHAPES))
        )
    check_size(len(data), name)
    return {"xlsx": _of_xlsx, "ods": _of_ods, "xls": _of_xls, "xlsb": _of_xlsb}[shape](data, name, tell)


def _of_xlsx(data: bytes, name: str, tell: Tell | None) -> list[_Sheet]:
    from costing.supply.readers.xlsx import read_sheet  # noqa: PLC0415
    from costing.supply.readers.xlsx_looks import read_workbook  # noqa: PLC0415

    members = check_zip(data, name)
    book = read_workbook(members)
    return [_Sheet(s.name, s.hidden, partial(read_sheet, members, book, s, tell)) for s in book.sheets]


def _of_ods(data: bytes, name: str, tell: Tell | None) -> list[_Sheet]:
    from costing.supply.readers.ods import read_sheets_of  # noqa: PLC0415

    grids = read_sheets_of(check_zip(data, name), tell)
    return [_Sheet(grid.sheet, grid.hidden, partial(_same, grid)) for grid in grids]


def _same(grid: Grid) -> Grid:
    return grid


def _of_xls(data: bytes, name: str, tell: Tell | None) -> list[_Sheet]:
    from costing.supply.readers.biff import OldBook  # noqa: PLC0415

    book = OldBook(data, name)
    return [_Sheet(s.name, s.hidden, partial(book.read, s, tell)) for s in book.sheets]


def _of_xlsb(data: bytes, name: str, tell: Tell | None) -> list[_Sheet]:
    from costing.supply.readers.xlsb import BinaryBook  # noqa: PLC0415

    book = BinaryBook(check_zip(data, name))
    return [_Sheet(s.name, s.hidden, partial(book.read, s, tell)) for s in book.sheets]


def _main(sheets: Sequence[_Sheet], name: str) -> Grid:
    """The first visible sheet, unless it is a cover: fewer than two rows of a table, or rows of two cells (an address,
    a list of contents) where another sheet has a longer and wider table. Then the largest table."""
    visible = [sheet for sheet in sheets if not sheet.hidden]
    if not visible:
        names = ", ".join(shown_name(s.name)[:60] for s in sheets[:10])
        raise Unreadable(
            say("{name} has only hidden sheets ({names}): show them and save it again", name=name, names=names)
        )
    best, best_size = None, (0, 0)
    for i, sheet in enumerate(visible):
        grid = sheet.read()
        grid.trim()
        rows, width = grid.table_size()
        if i == 0 and rows > 1 and width > 2:
            return grid
        if best is None or _is_more((rows, width), best_size):
            best, best_size = grid, (rows, width)
    if best is None:
        raise damaged(name, say("no sheet can be read"))
    return best


def _is_more(size: tuple[int, int], best: tuple[int, int]) -> bool:
    (rows, width), (best_rows, best_width) = size, best
    if best_rows > 1:
        return rows > best_rows and (width > best_width or best_width > 2)
    return (rows > 1, rows, width) > (False, best_rows, best_width) or (not best_width and width > 0)


def _others(sheets: Sequence[_Sheet], taken: Grid) -> tuple[str, ...]:
    return tuple(sheet.called for sheet in sheets if sheet.name != taken.sheet)
