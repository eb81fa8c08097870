"""How much is read of a file from outside, and zip archives looked over before anything in them is parsed.

A small archive can unfold to gigabytes and its directory can lie about that, so every member is unfolded once, in
pieces, and counted; nothing is kept of it.
"""

import io
import re
import struct
import zipfile
import zlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from costing.supply.arriving.line import Unreadable
from costing.tongue import numeral, say

Tell = Callable[[int, int], None]
"""Called now and then with (done, of all); it may raise to stop the work."""

MAX_BYTES = 20_000_000
MAX_UNFOLDED = 200_000_000
"""Bytes that one member, and all members of an archive together, may unfold to."""
MAX_RATIO = 200
RATIO_FROM = 1_000_000
"""Bytes from which the ratio counts: a short member of blanks harms nobody."""
MAX_MEMBERS = 2_000
MAX_SHEETS = 50
MAX_ROWS = 200_000
MAX_COLUMNS = 256
MAX_CELL = 32_767
"""Characters in a cell, which is also the most that spreadsheets take."""
MAX_CELLS = 3_000_000
"""Cells of a table: 200,000 rows of 15. More than that does not stay below 500 MB and 5 seconds."""
MAX_TEXT = 60_000_000
"""Characters of all cells of a sheet together."""
PIECE = 1 << 18
LONGEST_NAME = 200
_LOCAL = struct.Struct("<4s22xHH")
_ENTRY = b"PK\x01\x02"
_TYPED = re.compile(rb"<!\s*(?:DOCTYPE|ENTITY)", re.IGNORECASE)
_XML = (".xml", ".rels", ".vml")
_OVERLAP = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class Members:
    """The members of a zip archive that was looked over, by name in small letters with "/" between its parts.

    ``spans`` are (first byte, bytes, deflated or stored as it is).
    """

    name: str
    data: bytes
    spans: Mapping[str, tuple[int, int, bool]]

    def __contains__(self, member: str) -> bool:
        return _plain(member) in self.spans

    def pieces(self, member: str) -> Iterator[bytes]:
        """The unfolded bytes of a member, piece by piece. Unreadable where it is not there or damaged."""
        span = self.spans.get(_plain(member))
        if span is None:
            raise damaged(self.name, say("the part {part} is missing", part=shown_name(member)[:60]))
        yield from _unfolded(self.data, span, self.name)

    def whole(self, member: str) -> bytes:
        """All of a member."""
        return b"".join(self.pieces(member))


def shown_name(name: str) -> str:
    """A file's name as it can stand in one line."""
    shown = "".join(sign if sign.isprintable() else "?" for sign in name)
    return shown if len(shown) <= LONGEST_NAME else f"…{shown[1 - LONGEST_NAME :]}"


def check_size(size: int, name: str) -> None:
    """Unreadable for a file of more bytes than are read."""
    if size > MAX_BYTES:
        raise Unreadable(
            say("{name} is too large: {size} MB, and at most {most} MB are read; ask for it in several files",
                name=name, size=numeral(f"{size / 1e6:.1f}"), most=MAX_BYTES // 1_000_000)
        )  # fmt: skip


def damaged(name: str, why: object) -> Unreadable:
    """What to raise for a sheet that is broken."""
    said = "".join(sign for sign in " ".join(str(why).split()) if sign.isprintable())[:120]
    return Unreadable(
        say("{name} is damaged ({why}): open it in a spreadsheet and save it again, or ask for it again",
            name=name, why=said)
    )  # fmt: skip


def too_many(name: str, sheet: str, what: str) -> Unreadable:
    """What to raise for a table that is larger than is read; ``what`` says in which way."""
    if sheet:
        return Unreadable(
            say('{name}, sheet "{sheet}": {what}; delete what lies outside the list and save it again',
                name=name, sheet=shown_name(sheet)[:60], what=what)
        )  # fmt: skip
    return Unreadable(say("{name}: {what}; ask for it in several files", name=name, what=what))


def too_many_rows() -> str:
    """More rows than are read, in words."""
    return say("there are more than {n} rows", n=numeral(f"{MAX_ROWS:,}"))


def too_many_columns(where: str) -> str:
    """More columns than are read, in words."""
    return say("{where} lies beyond column {n}, the last that is read", where=where, n=MAX_COLUMNS)


def too_many_cells() -> str:
    """More cells than are read, in words."""
    return say("there are more than {n} cells", n=numeral(f"{MAX_CELLS:,}"))


def too_much_text() -> str:
    """More characters than are read, in words."""
    return say("its cells have more than {n} characters together", n=numeral(f"{MAX_TEXT:,}"))


def too_long(where: str) -> str:
    """A cell with more characters than are read, in words."""
    return say("{where} has more than {n} characters", where=where, n=numeral(f"{MAX_CELL:,}"))


def check_zip(data: bytes, name: str) -> Members:
    """The members of an archive, each unfolded once and counted.

    Unreadable, in one line with ``name``: too large, too many members, one that unfolds to too much or to something
    else than the directory says, a document type or entity, a password, the same member twice, damage.
    """
    check_size(len(data), name)
    infos = directory(data, name)
    if len(infos) > MAX_MEMBERS or sum(info.file_size for info in infos) > MAX_UNFOLDED or _steep(infos):
        raise _bomb(name)
    spans: dict[str, tuple[int, int, bool]] = {}
    left = MAX_UNFOLDED
    for info in infos:
        if info.filename.endswith("/"):
            continue
        key = _plain(info.filename)
        if key in spans:
            raise damaged(name, say("two parts are called {part}", part=shown_name(key)[:60]))
        span = spans[key] = _span(data, info, name)
        left -= _count(data, span, info, left, name)
    return Members(name=name, data=data, spans=spans)


def directory(data: bytes, name: str) -> list[zipfile.ZipInfo]:
    """What the directory of an archive lists, nothing of it unfolded."""
    if data.count(_ENTRY) > 2 * MAX_MEMBERS:
        raise _bomb(name)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return archive.infolist()
    except (zipfile.BadZipFile, NotImplementedError, ValueError, OSError, struct.error, LookupError) as error:
        raise damaged(name, error) from None


def _steep(infos: list[zipfile.ZipInfo]) -> bool:
    return any(info.file_size > max(RATIO_FROM, MAX_RATIO * info.compress_size) for info in infos)


def _bomb(name: str) -> Unreadable:
    return Unreadable(
        say("{name} unfolds to far more than a price list has (over {mb} MB, {members} parts or {ratio} times its "
            "size): it is not opened",
            name=name, mb=MAX_UNFOLDED // 1_000_000, members=numeral(f"{MAX_MEMBERS:,}"), ratio=MAX_RATIO)
    )  # fmt: skip


def _plain(member: str) -> str:
    return member.replace("\\", "/").lstrip("/").casefold()


def _span(data: bytes, info: zipfile.ZipInfo, name: str) -> tuple[int, int, bool]:
    if info.flag_bits & 1:
        raise Unreadable(say("{name} has a password: save it without one", name=name))
    if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise damaged(
            name, say("the part {part} is packed in a way that no sheet is", part=shown_name(info.filename)[:60])
        )
    start = info.header_offset
    if start < 0 or start + _LOCAL.size > len(data):
        raise damaged(name, say("it ends too early"))
    mark, name_size, extra_size = _LOCAL.unpack_from(data, start)
    first = start + _LOCAL.size + name_size + extra_size
    if mark != b"PK\x03\x04" or first + info.compress_size > len(data):
        raise damaged(name, say("it ends too early"))
    return first, info.compress_size, info.compress_type == zipfile.ZIP_DEFLATED


def _unfolded(data: bytes, span: tuple[int, int, bool], name: str) -> Iterator[bytes]:
    first, size, packed = span
    view = memoryview(data)[first : first + size]
    if not packed:
        for at in range(0, size, PIECE):
            yield bytes(view[at : at + PIECE])
        return
    unfold = zlib.decompressobj(-15)
    try:
        for at in range(0, size, PIECE):
            rest: bytes | memoryview = view[at : at + PIECE]
            while rest and not unfold.eof:
                yield unfold.decompress(rest, PIECE)
                rest = unfold.unconsumed_tail
        while not unfold.eof and (piece := unfold.decompress(b"", PIECE)):
            yield piece
    except zlib.error as error:
        raise damaged(name, error) from None
    if not unfold.eof:
        raise damaged(name, say("it ends too early"))


def _count(data: bytes, span: tuple[int, int, bool], info: zipfile.ZipInfo, left: int, name: str) -> int:
    """How many bytes a member really has: what the directory says, and no more than ``left``."""
    size, check, tail = 0, 0, b""
    xml = info.filename.casefold().endswith(_XML)
    for piece in _unfolded(data, span, name):
        size += len(piece)
        if size > info.file_size:
            raise _other(name, info)
        if size > left:
            raise _bomb(name)
        check = zlib.crc32(piece, check)
        if xml:
            if _TYPED.search(tail + piece):
                raise Unreadable(
                    say(
                        "{name} declares a document type or an entity in {part}, which no sheet needs: it is not read",
                        name=name,
                        part=shown_name(info.filename)[:60],
                    )
                )
            tail = piece[-_OVERLAP:]
    if size != info.file_size or check != info.CRC:
        raise _other(name, info)
    return size


def _other(name: str, info: zipfile.ZipInfo) -> Unreadable:
    return damaged(name, say("the part {part} is not what the archive says", part=shown_name(info.filename)[:60]))
