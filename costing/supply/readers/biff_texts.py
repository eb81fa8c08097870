"""Texts in an .xls workbook: each says how wide its characters are, and shared ones run on from record to record."""

import struct

from costing.supply.readers.limits import MAX_TEXT, too_many, too_much_text

_WIDE, _FAR_EAST, _RICH = 1, 4, 8


def short_name(body: bytes, at: int, codec: str) -> str:
    """A text with a length of one byte; in ``codec`` (BIFF5), or "" where it says its width itself."""
    length = body[at]
    if codec:
        return body[at + 1 : at + 1 + length].decode(codec, "replace")
    return _decoded(body[at + 2 :], length, body[at + 1] & _WIDE)


def text_at(body: bytes, at: int, codec: str) -> str:
    """A text with a length of two bytes."""
    length = struct.unpack_from("<H", body, at)[0]
    if codec:
        return body[at + 2 : at + 2 + length].decode(codec, "replace")
    if length and len(body) < at + 3:
        raise ValueError("a text ends too early")
    return _decoded(body[at + 3 :], length, body[at + 2] & _WIDE if length else 0)


def _decoded(raw: bytes, length: int, wide: int) -> str:
    return raw[: 2 * length].decode("utf-16-le", "replace") if wide else raw[:length].decode("latin-1")


def shared_texts(blocks: list[bytes], name: str) -> list[str]:
    """Every text of the shared table ([MS-XLS] 2.4.265, SST). ValueError where it breaks off."""
    run = _Run(blocks)
    count = struct.unpack("<II", run.take(8))[1]
    out: list[str] = []
    letters = 0
    for _ in range(count):
        if run.is_done:
            break
        text = run.text()
        letters += len(text)
        if letters > MAX_TEXT:
            raise too_many(name, "", too_much_text())
        out.append(text)
    return out


class _Run:
    """Bytes of several records one after the other. Where the characters of a text go on in a new record, a byte before
    them says anew how wide they are ([MS-XLS] 2.5.293)."""

    def __init__(self, blocks: list[bytes]) -> None:
        self._blocks, self._block, self._at = blocks, 0, 0

    @property
    def is_done(self) -> bool:
        self._step()
        return self._block >= len(self._blocks)

    def _step(self) -> None:
        """On to the record that has the next byte."""
        while self._block < len(self._blocks) and self._at >= len(self._blocks[self._block]):
            self._block, self._at = self._block + 1, 0

    def take(self, size: int) -> bytes:
        """The next bytes, whatever record they are in."""
        out = b""
        while len(out) < size:
            self._step()
            if self._block >= len(self._blocks):
                raise ValueError("the shared texts end too early")
            piece = self._blocks[self._block][self._at : self._at + size - len(out)]
            out += piece
            self._at += len(piece)
        return out

    def text(self) -> str:
        """One text; its runs of formats and its phonetic hints are passed over."""
        length, flags = struct.unpack("<HB", self.take(3))
        tail = 4 * struct.unpack("<H", self.take(2))[0] if flags & _RICH else 0
        tail += struct.unpack("<I", self.take(4))[0] if flags & _FAR_EAST else 0
        text = self._letters(length, flags & _WIDE)
        self._skip(tail)
        return text

    def _letters(self, left: int, wide: int) -> str:
        out = []
        while left:
            if self._block >= len(self._blocks):
                raise ValueError("the shared texts end too early")
            block = self._blocks[self._block]
            count = min(left, (len(block) - self._at) >> wide)
            out.append(_decoded(block[self._at :][: count << wide], count, wide))
            self._at += count << wide
            left -= count
            if left:
                self._block, self._at = self._block + 1, 1
                wide = self._blocks[self._block][0] & _WIDE if self._block < len(self._blocks) else 0
        return "".join(out)

    def _skip(self, size: int) -> None:
        while size > 0:
            self._step()
            if self._block >= len(self._blocks):
                return
            here = min(size, len(self._blocks[self._block]) - self._at)
            self._at += here
            size -= here
