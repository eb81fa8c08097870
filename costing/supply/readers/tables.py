"""The door for tables: bytes of a text or a sheet in, one Table out."""

import errno
from pathlib import Path

from costing.supply.arriving.line import Unreadable
from costing.supply.arriving.table import Table
from costing.supply.readers.limits import MAX_BYTES, Tell, check_size, shown_name
from costing.supply.readers.sniff import what_is
from costing.supply.readers.text import no_cells, read_text
from costing.tongue import Words, say, say_word

_FAULTS: Words = {
    "missing": "there is no such file: look whether it was moved or renamed",
    "folder": "this is a folder: name the file in it",
    "denied": "the file may not be read: ask for the right to, or copy it elsewhere",
    "special": "this is no file that can be read: name a price list",
    "open": "another program holds the file: close it there and try again",
    "device": "the disk or device cannot read it: copy it to another one",
}


def read_bytes(path: Path | str) -> bytes:
    """The bytes of a file. Unreadable, in one line with its path, where there is none, it is a folder, it may not be
    read, it is too large or the device fails."""
    path = Path(path)
    try:
        if path.is_dir():
            raise Unreadable(_fault(path, "folder"))
        if path.exists() and not path.is_file():
            raise Unreadable(_fault(path, "special"))
        with path.open("rb") as file:
            data = file.read(MAX_BYTES + 1)
            size = len(data) if len(data) <= MAX_BYTES else max(path.stat().st_size, len(data))
    except OSError as error:
        raise Unreadable(_fault(path, _kind(error))) from None
    except ValueError as error:
        if isinstance(error, Unreadable):
            raise
        raise Unreadable(_fault(path, "missing")) from None  # a NUL in the path
    check_size(size, shown_name(str(path)))
    return data


def read_table(
    data: bytes, name: str, *, encoding: str | None = None, delimiter: str | None = None, sheet: str = "",
    tell: Tell | None = None,
) -> Table:  # fmt: skip
    """The table of a file called ``name``, by what its bytes are.

    Unreadable, in one line, for whatever is no table; ValueError for an encoding, a delimiter or a sheet that it cannot
    be read by.
    """
    name = shown_name(name) or say("the file")
    shape = what_is(data, name).shape
    if shape in ("xml", "pdf"):
        raise Unreadable(say("{name} is a document and not a table: open it as an invoice or a catalogue", name=name))
    if shape == "text":
        table = read_text(data, encoding=encoding, delimiter=delimiter, name=name, tell=tell)
    else:
        from costing.supply.readers.sheet import read_sheets  # noqa: PLC0415  only who has a sheet pays for it

        table = read_sheets(data, shape, sheet=sheet, name=name, tell=tell)
    no_cells(table, name)
    return table


def _kind(error: OSError) -> str:
    if error.errno in (errno.ENOENT, errno.ENOTDIR, errno.ENAMETOOLONG, errno.ELOOP):
        return "missing"
    if error.errno == errno.EISDIR:
        return "folder"
    if getattr(error, "winerror", None) in (32, 33):
        return "open"
    return "denied" if error.errno in (errno.EACCES, errno.EPERM) else "device"


def _fault(path: Path, kind: str) -> str:
    return f"{shown_name(str(path))}: {say_word(_FAULTS[kind])}"
