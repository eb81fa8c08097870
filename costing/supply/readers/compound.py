"""The streams of a compound file ([MS-CFB]), the container of the old binary office formats."""

import struct
from dataclasses import dataclass

MARK = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_LAST = 0xFFFFFFFA
"""Sector numbers from here on are marks: free, end of chain, table ([MS-CFB] 2.1)."""
_MOST_ENTRIES = 20_000
_HEADER_SECTORS = 109
_CUTOFF = 4096
"""Streams below this lie in the small stream."""


@dataclass(frozen=True, slots=True)
class _Entry:
    kind: int
    start: int
    size: int


class Compound:
    """The streams by name (the last part of their path). ValueError for a container that is broken."""

    def __init__(self, data: bytes) -> None:
        if len(data) < 512 or not data.startswith(MARK):
            raise ValueError("no compound file")
        shift, small_shift = struct.unpack_from("<HH", data, 30)
        if shift not in (9, 12) or small_shift != 6:
            raise ValueError("sectors of no known size")
        self._data, self._size, self._small = data, 1 << shift, 1 << small_shift
        self._count = len(data) // self._size
        _, folder, _, self._cutoff, small, _, more, _ = struct.unpack_from("<8I", data, 44)
        if self._cutoff != _CUTOFF:
            raise ValueError("small streams of no known size")
        self._table = self._read_table(more)
        self._entries = self._read_folder(folder)
        root = next((e for e in self._entries.values() if e.kind == 5), None)
        self._small_table = _numbers(self._chain(small, len(self._data))) if small < _LAST else ()
        self._small_data = self._chain(root.start, root.size) if root and root.start < _LAST else b""

    @property
    def names(self) -> frozenset[str]:
        """The names of all streams and folders."""
        return frozenset(self._entries)

    def read(self, name: str) -> bytes:
        """A stream. ValueError where it is not there or broken."""
        entry = self._entries.get(name)
        if entry is None or entry.kind != 2:
            raise ValueError(f"no stream {name!r:.60}")
        if entry.size >= self._cutoff:
            return self._chain(entry.start, entry.size)
        out, at, seen = [], entry.start, 0
        while at < _LAST and seen < entry.size:
            first = at * self._small
            out.append(self._small_data[first : first + self._small])
            seen += self._small
            if at >= len(self._small_table):
                raise ValueError("a chain leads out of the file")
            at = self._small_table[at]
        return b"".join(out)[: entry.size]

    def _sector(self, number: int) -> bytes:
        first = (number + 1) * self._size
        if first >= len(self._data):
            raise ValueError("a chain leads out of the file")
        return self._data[first : first + self._size]

    def _read_table(self, more: int) -> tuple[int, ...]:
        """The allocation table: its sectors are listed in the header and, in large files, in further sectors."""
        listed = list(struct.unpack_from(f"<{_HEADER_SECTORS}I", self._data, 76))
        seen: set[int] = set()
        while more < _LAST:
            if more in seen:
                raise ValueError("a chain runs in a circle")
            seen.add(more)
            numbers = _numbers(self._sector(more))
            if len(numbers) < self._size // 4:
                raise ValueError("a list of sectors is cut off")
            listed += numbers[:-1]
            more = numbers[-1]
        sectors = [number for number in listed if number < _LAST]
        if len(set(sectors)) != len(sectors):
            raise ValueError("a chain runs in a circle")
        return _numbers(b"".join(self._sector(number) for number in sectors))

    def _chain(self, start: int, size: int) -> bytes:
        out, at, seen = [], start, set[int]()
        for _ in range(min(self._count, -(-size // self._size)) + 1):
            if at >= _LAST:
                break
            if at in seen:
                raise ValueError("a chain runs in a circle")
            seen.add(at)
            out.append(self._sector(at))
            if at >= len(self._table):
                raise ValueError("a chain leads out of the file")
            at = self._table[at]
        return b"".join(out)[:size]

    def _read_folder(self, start: int) -> dict[str, _Entry]:
        raw = self._chain(start, min(len(self._data), _MOST_ENTRIES * 128))
        out: dict[str, _Entry] = {}
        for at in range(0, len(raw) - 127, 128):
            length, kind = struct.unpack_from("<HB", raw, at + 64)
            if kind in (1, 2, 5) and 2 <= length <= 64:
                name = raw[at : at + length - 2].decode("utf-16-le", "replace")
                first, size = struct.unpack_from("<IQ", raw, at + 116)
                out.setdefault(name, _Entry(kind, first, size & 0xFFFFFFFF))
        return out


def _numbers(raw: bytes) -> tuple[int, ...]:
    whole = len(raw) // 4
    return struct.unpack_from(f"<{whole}I", raw)
