"""A workbook from a stranger, opened: every way in which it can be no workbook is one clear line.

An .xlsx file is a zip archive of XML. Before openpyxl sees it, its parts are counted and measured, because a small
archive can unfold to gigabytes, and anything that a filled-in starter workbook has no need of (macros, document types,
a password) is refused.
"""

import io
import re
import warnings
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from costing.supply.starter_cells import Cell
from costing.supply.starter_faults import BadSheet

LARGEST = 16 * 1024 * 1024
LARGEST_OPEN = 96 * 1024 * 1024
MOST_PARTS = 1000
MOST_ROWS = 20_000
MOST_CELLS = 400_000
MOST_COLUMNS = 200
ZIP, OLE = b"PK", b"\xd0\xcf\x11\xe0"
_FORMULA = re.compile(rb"<(?:\w+:)?f[ >/]")
_ROWS = (b"<row ", b"<row>", b"<row/", b":row ", b":row>", b":row/")
_CELLS = (b"<c ", b"<c>", b"<c/", b":c ", b":c>", b":c/")
_SHEET = re.compile(rb"<(?:\w+:)?sheet[ />]")
_WIDE = (b"\xff\xfe", b"\xfe\xff", b"<\0", b"\0<", b"\0\0")
"""How XML of 16 or 32 bits a character begins: what is looked for in the bytes would be missed in it."""
_DOCTYPE = re.compile(rb"<!\s*(?:DOCTYPE|ENTITY)", re.IGNORECASE)
_ESCAPED = re.compile("_x005F_(?=x[0-9A-Fa-f]{4}_)")
"""An underscore that would begin an escape is itself escaped in a workbook (ECMA-376, ST_Xstring)."""
_ELSEWHERE = re.compile(r"\[[^\]]+\]")


@dataclass(frozen=True, slots=True)
class OpenSheet:
    """One sheet: its filled cells row by row, and the ranges that were merged."""

    name: str
    rows: tuple[tuple[int, dict[int, Cell]], ...]
    merged: tuple[str, ...]


def open_workbook(path: Path) -> tuple[OpenSheet, ...]:
    """Every sheet of a workbook. BadSheet with one line for whatever is no workbook."""
    name = str(path)
    if path.is_dir():
        raise BadSheet(name, "this is a folder; name the workbook in it")
    try:
        with path.open("rb") as file:
            raw = file.read(LARGEST + 1)
    except FileNotFoundError:
        raise BadSheet(name, "there is no such file") from None
    except OSError as error:
        raise BadSheet(name, f"the file cannot be read: {error.strerror or error}") from None
    return opened(raw, name)


def opened(raw: bytes, name: str) -> tuple[OpenSheet, ...]:
    """The same from the bytes of a file called ``name``."""
    formulas = _inspect(raw, name)
    values = _load(raw, name, values=True)
    typed = _load(raw, name, values=False) if formulas else None
    with zipfile.ZipFile(io.BytesIO(raw)) as archive:
        listed = len(_SHEET.findall(archive.read("xl/workbook.xml")))
    if listed != len(values.sheetnames):
        raise BadSheet(name, _damaged(ValueError(f"{listed} sheets are listed and {len(values.sheetnames)} are there")))
    try:
        return tuple(_sheet(ws, typed[ws.title] if typed else None, name) for ws in values.worksheets)
    except (KeyError, AttributeError, TypeError) as error:
        raise BadSheet(name, _damaged(error)) from None


def _damaged(error: Exception) -> str:
    said = " ".join(str(error).split())[:80]
    return f"the workbook is damaged ({said or type(error).__name__}); open it, save it again as .xlsx, or start afresh"


def _inspect(raw: bytes, name: str) -> bool:
    """Refuse what is no harmless workbook; True when it has formulas."""
    if not raw:
        raise BadSheet(name, "the file is empty (0 bytes)")
    if len(raw) > LARGEST:
        raise BadSheet(name, f"the file is too large: at most {LARGEST:,} bytes")
    if raw.startswith(OLE):
        raise BadSheet(
            name, "this is a workbook with a password, or one of the old .xls form; save it as .xlsx without a password"
        )
    if raw.lstrip(b"\xef\xbb\xbf \t\r\n")[:1] == b"<":
        raise BadSheet(name, "this is a web page or XML with the name of a workbook; save it as .xlsx")
    if not raw.startswith(ZIP):
        raise BadSheet(name, "this is not an .xlsx workbook; save it as .xlsx")
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as archive:
            return _parts(archive, name)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ValueError, OSError) as error:
        if isinstance(error, BadSheet):
            raise
        raise BadSheet(name, _damaged(error)) from None


def _parts(archive: zipfile.ZipFile, name: str) -> bool:
    infos = archive.infolist()
    if len(infos) > MOST_PARTS or sum(i.file_size for i in infos) > LARGEST_OPEN:
        raise BadSheet(name, f"unfolded it has more than {LARGEST_OPEN:,} bytes; a starter workbook has far fewer")
    names = [i.filename for i in infos]
    if len(set(names)) < len(names):
        raise BadSheet(name, "two parts of the archive have the same name, so it is no sound workbook")
    if any(n.lower().endswith("vbaproject.bin") for n in names):
        raise BadSheet(name, "this workbook has macros; save it as .xlsx, which has none")
    if "xl/workbook.xml" not in names:
        raise BadSheet(name, "this archive is not an .xlsx workbook; save the sheet as .xlsx")
    formulas = False
    for info in infos:
        data = archive.read(info)
        if data.startswith(_WIDE) or _DOCTYPE.search(data):
            raise BadSheet(name, f"the part {info.filename!r:.60} is not plain UTF-8 XML without a document type")
        formulas = formulas or _FORMULA.search(data) is not None
        rows, cells = (sum(map(data.count, tags)) for tags in (_ROWS, _CELLS))
        if rows > MOST_ROWS or cells > MOST_CELLS:
            much = f"{rows:,} rows and {cells:,} cells, and at most {MOST_ROWS:,} and {MOST_CELLS:,} are read"
            raise BadSheet(name, f"{info.filename} has {much}; delete the empty rows below the list")
        if info.filename.startswith("xl/worksheets/sheet") and b"sheetData" not in data:
            raise BadSheet(name, _damaged(ValueError(f"{info.filename} is no sheet")))
    return formulas


def _load(raw: bytes, name: str, *, values: bool) -> Any:
    from openpyxl import load_workbook  # noqa: PLC0415  slow to import, and only needed here

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # what openpyxl leaves out of a workbook is nothing a starter needs
            return load_workbook(io.BytesIO(raw), data_only=values, keep_links=False, rich_text=False)
    except Exception as error:  # noqa: BLE001  openpyxl raises whatever the damage leads it to
        raise BadSheet(name, _damaged(error)) from None


def _sheet(ws: Any, typed: Any, name: str) -> OpenSheet:
    if ws.max_column > MOST_COLUMNS and any(True for _ in _filled(ws, MOST_COLUMNS)):
        raise BadSheet(name, f"the sheet {ws.title!r:.60} has entries beyond column {MOST_COLUMNS}; delete them")
    rows: dict[int, dict[int, Cell]] = {}
    for cell in _filled(ws, 0):
        made = _cell(ws.title, cell, typed[cell.coordinate] if typed is not None else None)
        if made is not None:
            rows.setdefault(cell.row, {})[cell.column] = made
    if typed is not None:
        _without_result(ws, typed, rows)
    return OpenSheet(ws.title, tuple(sorted(rows.items())), tuple(str(r) for r in ws.merged_cells.ranges))


def _filled(ws: Any, beyond: int) -> Iterator[Any]:
    """Cells with something in them. ``_cells`` holds only those that the file has, where a walk over rows and columns
    would make every cell of the rectangle."""
    for (_, column), cell in list(ws._cells.items()):
        if cell.value is not None and column > beyond:
            yield cell


def _cell(sheet: str, cell: Any, typed: Any) -> Cell | None:
    value, place = cell.value, f"{sheet}!{cell.coordinate}"
    if isinstance(value, str) and not value.strip():
        return None
    if isinstance(value, str):
        value = _ESCAPED.sub("_", value)
    amiss = ""
    if cell.data_type == "e":
        amiss = "the formula here has no result; type the value itself"
    elif typed is not None and typed.data_type == "f" and _ELSEWHERE.search(str(typed.value)):
        amiss = "it is taken from another workbook; type the value itself"
    return Cell(place, value, str(cell.number_format or "General"), amiss)


def _without_result(ws: Any, typed: Any, rows: dict[int, dict[int, Cell]]) -> None:
    """Formulas that no spreadsheet has worked out: without this they would pass for empty cells."""
    for cell in _filled(typed, 0):
        said_empty = ws[cell.coordinate].data_type == "str"  # its result is an empty text
        if cell.data_type == "f" and cell.column not in rows.get(cell.row, {}) and not said_empty:
            amiss = "this formula was never worked out; open the file in a spreadsheet and save it, or type the value"
            place = f"{ws.title}!{cell.coordinate}"
            rows.setdefault(cell.row, {})[cell.column] = Cell(place, str(cell.value), amiss=amiss)
