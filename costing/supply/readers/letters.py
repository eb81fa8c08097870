"""Which letters the bytes of a text stand for: told by the bytes where they can, guessed and marked so where not."""

import codecs
import re
from collections.abc import Mapping
from dataclasses import dataclass

from costing.tongue import say

ENCODINGS = (
    "utf-8", "utf-16", "cp1252", "iso8859-15", "cp1250", "cp1251", "cp1253", "cp1254", "cp437", "cp850", "mac-roman",
    "shift_jis", "gb18030",
)  # fmt: skip
"""What somebody may choose from."""
_ALSO = ("utf-8-sig", "utf-32", "utf-16-le", "utf-16-be", "latin-1", "ascii")
_MARKS = (
    (codecs.BOM_UTF8, "utf-8"), (codecs.BOM_UTF32_LE, "utf-32"), (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"),
)  # fmt: skip
_LOOK = 8192
_STRAY: Mapping[int, str] = {
    0xDC00 + byte: bytes([byte]).decode("cp1252") if byte not in (0x81, 0x8D, 0x8F, 0x90, 0x9D) else chr(byte)
    for byte in range(0x80, 0x100)
}
"""What a byte that is no UTF-8 stands for in cp1252, by the mark that Python puts in its place."""
_WIDE_SIGNS = re.compile("[\udc80-\udcff]")


@dataclass(frozen=True, slots=True)
class Letters:
    """A text, its encoding (by the names of ENCODINGS where it is one of them), and whether the bytes prove it."""

    text: str
    encoding: str
    sure: bool


def decode(data: bytes, encoding: str | None = None) -> Letters:
    """The text of ``data``, in ``encoding`` where somebody chose one.

    Otherwise by a byte order mark, by where NULs stand (UTF-16), as UTF-8 if it is that, else as cp1252, which is a
    guess. UTF-8 with a few bytes that are none, or cut short in a letter, is read as UTF-8, and not sure. ValueError
    names an encoding that is not known or that the bytes cannot be in.
    """
    if encoding:
        return _chosen(data, encoding)
    for mark, name in _MARKS:
        if data.startswith(mark):
            return _marked(data, name)
    if wide := wide_order(data):
        text = data.decode(f"utf-16-{wide}", "replace")
        return Letters(text, "utf-16", "\ufffd" not in text)
    try:
        return Letters(data.decode("utf-8"), "utf-8", True)
    except UnicodeDecodeError as error:
        return _not_quite(data, error)


def wide_order(data: bytes) -> str:
    """ "le" or "be" for UTF-16 without a mark, where every second byte of what is mostly ASCII is NUL; else ""."""
    head = data[: _LOOK & ~1]
    even, odd = head[0::2].count(0), head[1::2].count(0)
    half = len(head) // 2
    for order, many, few in (("le", odd, even), ("be", even, odd)):
        if many * 5 > half and few * 20 <= many:
            return order
    return ""


def _marked(data: bytes, name: str) -> Letters:
    codec = "utf-8-sig" if name == "utf-8" else name
    try:
        return Letters(data.decode(codec), name, True)
    except UnicodeDecodeError:
        if name == "utf-8":
            return Letters(_mended(data.removeprefix(codecs.BOM_UTF8)), name, False)
        return Letters(data.decode(codec, "replace"), name, False)


def _not_quite(data: bytes, error: UnicodeDecodeError) -> Letters:
    """Bytes that are no UTF-8 as a whole."""
    text = data.decode("utf-8", "surrogateescape")
    stray = len(_WIDE_SIGNS.findall(text))
    good = sum(1 for sign in text if sign >= "\x80") - stray
    if good >= 4 * stray or (error.start >= len(data) - 3 and good):
        return Letters(text.translate(_STRAY), "utf-8", False)
    return Letters(data.decode("latin-1").translate(_C1), "cp1252", False)


_C1 = {byte: sign for byte in range(0x80, 0xA0) if (sign := _STRAY[0xDC00 + byte]) != chr(byte)}


def _mended(data: bytes) -> str:
    return data.decode("utf-8", "surrogateescape").translate(_STRAY)


def _chosen(data: bytes, encoding: str) -> Letters:
    name = _known(encoding)
    if name is None:
        raise ValueError(
            say(
                'the encoding "{name}" is not known: choose one of {names}',
                name=encoding[:40],
                names=", ".join(ENCODINGS),
            )
        )
    codec = name
    if name in ("utf-8", "utf-8-sig"):
        name, codec = "utf-8", "utf-8-sig"
    elif name == "utf-16" and not data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        codec = f"utf-16-{wide_order(data) or 'le'}"
    try:
        return Letters(data.decode(codec).removeprefix("\ufeff"), name, True)
    except UnicodeDecodeError as error:
        raise ValueError(
            say("the text is not in {name}: byte {at} is none of its letters; choose another encoding",
                name=name, at=error.start + 1)
        ) from None  # fmt: skip


def _known(encoding: str) -> str | None:
    """The name by which ENCODINGS has it."""
    try:
        wanted = codecs.lookup(encoding).name
    except (LookupError, ValueError):
        return None
    return next((name for name in (*ENCODINGS, *_ALSO) if codecs.lookup(name).name == wanted), None)
