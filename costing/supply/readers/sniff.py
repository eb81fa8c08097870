"""What a file is, by its first bytes and never by its name alone."""

import re
import struct
from dataclasses import dataclass
from typing import Literal

from costing.supply.arriving.line import Unreadable
from costing.supply.readers.compound import MARK as COMPOUND
from costing.supply.readers.compound import Compound
from costing.supply.readers.limits import MAX_UNFOLDED, check_size, damaged, directory, shown_name
from costing.supply.readers.words import FOREIGN
from costing.tongue import say, say_word

FileShape = Literal["text", "xlsx", "xls", "xlsb", "ods", "xml", "pdf"]
_BOOK = b"StLg"
"""The application id of a book, bytes 68 to 71 of its SQLite header."""
_MAGIC: tuple[tuple[bytes, str], ...] = (
    (b"{\\rtf", "rtf"), (b"\x89PNG\r\n\x1a\n", "picture"), (b"\xff\xd8\xff", "picture"), (b"GIF87a", "picture"),
    (b"GIF89a", "picture"), (b"II*\0", "picture"), (b"MM\0*", "picture"), (b"II+\0", "picture"),
    (b"\0\0\x01\0", "picture"), (b"8BPS\0\1", "picture"), (b"\x1f\x8b", "packed"), (b"7z\xbc\xaf\x27\x1c", "packed"),
    (b"Rar!\x1a\x07", "packed"), (b"\xfd7zXZ\0", "packed"), (b"\x28\xb5\x2f\xfd", "packed"),
    (b"MSCF\0\0\0\0", "packed"), (b"\x7fELF", "program"), (b"\xcf\xfa\xed\xfe", "program"),
    (b"\xca\xfe\xba\xbe", "program"), (b"\x09\0\x04\0", "old-sheet"), (b"\x09\x02\x06\0", "old-sheet"),
    (b"\x09\x04\x06\0", "old-sheet"), (b"\x09\x08\x08\0", "old-sheet"), (b"\x09\x08\x10\0", "old-sheet"),
)  # fmt: skip
"""First bytes of what is no table. The last five are sheets of old forms outside their container ([MS-XLS] BOF)."""
_STILLS = (b"heic", b"heix", b"hevc", b"mif1", b"msf1", b"avif", b"heim", b"heis")
_WEB = re.compile(
    r"<!doctype\s+html|<(?:html|head|body|table|meta|title|style|script|div|span|center|font|p|br|tr|td|link)\b[^>]*>",
    re.IGNORECASE,
)
_XML = re.compile(r"<\?xml\b|<!--|<!doctype\b|<!entity\b|<[^\W\d][\w.:-]*(?:\s[^<]*)?/?>", re.IGNORECASE)
_ROOT = re.compile(r"<([^\W\d][\w.:-]*)")
_BEFORE_ROOT = re.compile(r"\s+|<\?.*?\?>|<!--.*?-->|<![^>]*>", re.DOTALL)
_JSON = re.compile(
    r"""\{\s*(?:"(?:[^"\\]|\\.)*"\s*:|\})|\[\s*(?:\{\s*["}]|\[\s*[\["\d\]-]|"(?:[^"\\]|\\.)*"\s*[,\]])"""
)
_HEAD = re.compile(r"[a-z][a-z-]+: ", re.IGNORECASE)
_MAIL = re.compile(r"(?:received|return-path|message-id|delivered-to|mime-version|content-type): ", re.IGNORECASE)
"""Heads that programs write into a message (RFC 5322, 3.6), not people into a list."""
_LOOK = 4096
_CONTROL = re.compile(rb"[\x01-\x08\x0e-\x19\x1c-\x1f\x7f]")
_BOUND = 65_536


@dataclass(frozen=True, slots=True)
class What:
    """``shape``: text (csv and its kin), a sheet by its form, an XML document, a PDF."""

    shape: FileShape


def what_is(data: bytes, name: str = "") -> What:
    """The kind of a file. Unreadable, in one line that names it, what it is and what to do, for all that is no price
    list: also for a sheet with a password, an empty file, one that is too large."""
    name = shown_name(name) or say("the file")
    check_size(len(data), name)
    if not data.strip(b" \t\r\n\xef\xbb\xbf"):
        why = say("holds nothing but blanks: ask for it again") if data else say("is empty: ask for it again")
        raise Unreadable(f"{name} {why}")
    if data.startswith(b"PK\x03\x04") or data.startswith(b"PK\x05\x06") or data.startswith(b"PK\x07\x08"):
        return _archive(data, name)
    if data.startswith(COMPOUND):
        return _compound(data, name)
    if data.startswith(b"SQLite format 3\0"):
        raise _foreign("book" if data[68:72] == _BOOK else "database", name)
    for magic, kind in _MAGIC:
        if data.startswith(magic):
            raise _foreign(kind, name)
    if _is_picture(data):
        raise _foreign("picture", name)
    if data.startswith(b"MZ") and b"\0" in data[:64]:  # a text may begin so too, but has no NULs there
        raise _foreign("program", name)
    if data.startswith(b"PAR1") and data.endswith(b"PAR1"):
        raise _foreign("parquet", name)
    if data.startswith(b"BZh") and data[4:7] == b"1AY":
        raise _foreign("packed", name)
    if re.search(rb"(?:^|[\r\n])%PDF-\d", data[: 1024 + 8]):
        return What("pdf")
    return _written(data, name)


def _foreign(kind: str, name: str) -> Unreadable:
    return Unreadable(f"{name} {say_word(FOREIGN[kind])}")


def _is_picture(data: bytes) -> bool:
    webp = data.startswith(b"RIFF") and data[8:12] == b"WEBP"
    still = data[4:8] == b"ftyp" and data[8:12] in _STILLS
    return webp or still or (data.startswith(b"BM") and data[6:10] == b"\0\0\0\0")


def _archive(data: bytes, name: str) -> What:
    """By the parts of a zip archive (ECMA-376 part 2, ODF 1.3 part 2)."""
    names = {info.filename.replace("\\", "/").lstrip("/").casefold(): info for info in directory(data, name)}
    if "mimetype" in names or "content.xml" in names:
        return _open_document(data, name, frozenset(names))
    if "xl/workbook.bin" in names:
        return What("xlsb")
    if "xl/workbook.xml" in names or ("[content_types].xml" in names and any(n.startswith("xl/") for n in names)):
        return What("xlsx")
    for start, kind in (
        ("word/", "docx"),
        ("ppt/", "slides"),
        ("index/document.iwa", "numbers"),
        ("index.zip", "numbers"),
    ):
        if any(n.startswith(start) for n in names):
            raise _foreign(kind, name)
    if any(info.flag_bits & 1 for info in names.values()):
        raise _locked(name)
    raise _foreign("zip", name)


def _open_document(data: bytes, name: str, names: frozenset[str]) -> What:
    said = _start_of(data, "mimetype") if "mimetype" in names else b""
    manifest = _start_of(data, "META-INF/manifest.xml") if "meta-inf/manifest.xml" in names else b""
    if b"encryption-data" in manifest or "encrypted-package" in names:
        raise _locked(name)
    if b"opendocument.spreadsheet" in said or (not said and "content.xml" in names):
        return What("ods")
    raise _foreign("odt" if b"opendocument.text" in said else "slides" if b"presentation" in said else "zip", name)


def _start_of(data: bytes, member: str) -> bytes:
    """The beginning of one member; a manifest lists its files, and is never long."""
    import io  # noqa: PLC0415
    import zipfile  # noqa: PLC0415
    import zlib  # noqa: PLC0415

    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive, archive.open(member) as part:
            return part.read(min(_BOUND * 16, MAX_UNFOLDED))
    except (zipfile.BadZipFile, zlib.error, EOFError, KeyError, NotImplementedError, RuntimeError, ValueError, OSError):
        return b""


def _locked(name: str) -> Unreadable:
    return Unreadable(say("{name} has a password: open it with the password, save it without one", name=name))


def _compound(data: bytes, name: str) -> What:
    try:
        inside = Compound(data)
        names = inside.names
        if {"EncryptedPackage", "EncryptionInfo"} & names:
            raise _locked(name)
        book = next((n for n in ("Workbook", "WORKBOOK", "Book", "BOOK") if n in names), "")
        if book:
            if _has_password(inside.read(book)):
                raise _locked(name)
            return What("xls")
    except (ValueError, struct.error) as error:
        if isinstance(error, Unreadable):
            raise
        raise damaged(name, error) from None
    kinds = (("WordDocument", "word"), ("PowerPoint Document", "slides"), ("__properties_version1.0", "mail"))
    raise _foreign(next((kind for stream, kind in kinds if stream in names), "compound"), name)


def _has_password(stream: bytes) -> bool:
    """Whether a FilePass record stands among the first ones ([MS-XLS] 2.4.117); nothing after it can be read."""
    at, seen = 0, 0
    while at + 4 <= len(stream) and seen < 64:
        kind, size = struct.unpack_from("<HH", stream, at)
        if kind == 0x2F:
            return True
        if kind == 0x0A:
            return False
        at, seen = at + 4 + size, seen + 1
    return False


def _written(data: bytes, name: str) -> What:
    """Something that is written in characters, if it is."""
    if not data.strip(b"\0"):
        raise _foreign("zeros", name)
    text = _beginning(data)
    start = text.lstrip("\ufeff \t\r\n\0")
    if start.startswith("<"):
        kind = _markup(start)
        if kind:
            return What("xml") if kind == "xml" else _raise(kind, name)
    if _JSON.match(start):
        raise _foreign("json", name)
    heads = [line for line in start.splitlines()[:6] if _HEAD.match(line)]
    if len(heads) >= 3 and any(_MAIL.match(line) for line in heads):
        raise _foreign("mht" if "multipart/related" in text else "mail", name)
    if not _is_wide(data) and _is_binary(data[:_BOUND]):
        raise _foreign("binary", name)
    return What("text")


def _raise(kind: str, name: str) -> What:
    raise _foreign(kind, name)


def _beginning(data: bytes) -> str:
    """Enough of a decoding to find marks, which are ASCII."""
    head = data[:_LOOK]
    if head.startswith((b"\xff\xfe\0\0", b"\0\0\xfe\xff")):
        return head.decode("utf-32", "replace")
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        return head.decode("utf-16", "replace")
    if head.startswith((b"<\0", b"\0<")):
        return head.decode("utf-16-le" if head[1:2] == b"\0" else "utf-16-be", "replace")
    return head.removeprefix(b"\xef\xbb\xbf").decode("latin-1")


def _markup(start: str) -> str:
    """ "xml", or a key of FOREIGN, or "" for a text that merely begins with "<"."""
    if re.match(r"<!doctype\s+html", start, re.IGNORECASE):
        return "web"
    rest = start
    while found := _BEFORE_ROOT.match(rest):
        rest = rest[found.end() :]
    root = _ROOT.match(rest)
    if start[:5].lower() != "<?xml" and _WEB.match(rest):
        return "web"
    if root and root[1].rpartition(":")[2].casefold() == "html":
        return "web"
    if root and "urn:schemas-microsoft-com:office:spreadsheet" in rest and root[1].rpartition(":")[2] == "Workbook":
        return "xml-2003"
    if root and root[1] == "office:document" and "opendocument" in rest:
        return "flat-ods"
    return "xml" if _XML.match(start) or root else ""


def _is_wide(data: bytes) -> bool:
    """Whether it may be text of 16 or 32 bits a character."""
    head = data[:_LOOK]
    return head.startswith((b"\xff\xfe", b"\xfe\xff", b"\0\0\xfe\xff")) or any(
        head[side::2].count(0) * 4 > len(head) // 2 > head[1 - side :: 2].count(0) * 20 for side in (0, 1)
    )


def _is_binary(head: bytes) -> bool:
    """Control characters that no text has, or a great many NULs."""
    return len(_CONTROL.findall(head)) * 50 > len(head) or head.count(0) * 5 > len(head)
