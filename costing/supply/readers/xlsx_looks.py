"""What an .xlsx workbook says about its cells outside its sheets: which sheets there are, texts they share, formats."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from posixpath import join, normpath, split

from costing.supply.readers.formats import PLAIN, Look, look_of
from costing.supply.readers.limits import (
    MAX_CELL,
    MAX_SHEETS,
    MAX_TEXT,
    Members,
    damaged,
    too_long,
    too_many,
    too_much_text,
)
from costing.supply.readers.parts import Attributes, feed
from costing.tongue import say

SPACES = (
    "http://schemas.openxmlformats.org/spreadsheetml/2006/main}",
    "http://purl.oclc.org/ooxml/spreadsheetml/main}",
    "",
)
"""The namespaces of the transitional and the strict form (ECMA-376), and none, which some writers leave it at."""
WORKBOOK = "xl/workbook.xml"
_SHEET_TYPES = ("/worksheet",)
_ESCAPE = re.compile("_x([0-9A-Fa-f]{4})_")


@dataclass(frozen=True, slots=True)
class SheetPart:
    """One sheet of a workbook and the part that it lies in."""

    name: str
    part: str
    hidden: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Workbook:
    """Sheets in their order, the texts that cells share, the look of every cell format."""

    sheets: tuple[SheetPart, ...]
    shared: Sequence[str]
    looks: Sequence[Look]
    since_1904: bool


def read_workbook(members: Members) -> Workbook:
    """Everything around the sheets. Unreadable where it is damaged or has more sheets than are read."""
    main = _main_part(members)
    folder, file = split(main)
    book = _Book()
    feed(members, main, book)
    links = Links()
    feed(members, join(folder, "_rels", f"{file}.rels"), links)
    sheets = []
    for name, link, state in book.sheets:
        kind, target = links.found.get(link, ("", ""))
        if kind.endswith(_SHEET_TYPES):
            sheets.append(SheetPart(name, place(target, folder), state in ("hidden", "veryHidden")))
    if len(sheets) > MAX_SHEETS:
        raise too_many(members.name, "", say("there are more than {n} sheets", n=MAX_SHEETS))
    if len({sheet.name for sheet in sheets}) < len(sheets) or len({sheet.part for sheet in sheets}) < len(sheets):
        raise damaged(members.name, say("two sheets are the same"))
    shared, styles = _Shared(members.name), _Styles()
    for kind, target in links.found.values():
        if kind.endswith("/sharedStrings") and place(target, folder) in members:
            feed(members, place(target, folder), shared)
        if kind.endswith("/styles") and place(target, folder) in members:
            feed(members, place(target, folder), styles)
    return Workbook(sheets=tuple(sheets), shared=shared.texts, looks=tuple(styles.looks()), since_1904=book.since_1904)


def unescaped(text: str) -> str:
    """A text with _x000D_ and its like put back (ECMA-376 part 1, 22.9.2.19); other control characters stay escaped."""
    return _ESCAPE.sub(_sign, text) if "_x" in text else text


def _sign(found: re.Match[str]) -> str:
    number = int(found[1], 16)
    if (number < 32 and number not in (9, 10, 13)) or 0xD800 <= number <= 0xDFFF or number >= 0xFFFE:
        return found[0]
    return chr(number)


def _main_part(members: Members) -> str:
    """The part that is the workbook, by the links of the whole archive; nearly always xl/workbook.xml."""
    if "_rels/.rels" in members:
        links = Links()
        feed(members, "_rels/.rels", links)
        for kind, target in links.found.values():
            if kind.endswith("/officeDocument") and place(target, "") in members:
                return place(target, "")
    return WORKBOOK


def place(target: str, folder: str = "xl") -> str:
    """A target as the name of a part: relative to ``folder``, or from the root of the archive."""
    plain = target.replace("\\", "/")
    return normpath(plain.lstrip("/") if plain.startswith("/") else join(folder, plain)).casefold()


def _local(tag: str) -> str:
    return tag.rpartition("}")[2]


class _Deaf:
    """Hears nothing."""

    def start(self, tag: str, attributes: Attributes) -> None:
        """Nothing."""

    def end(self, tag: str) -> None:
        """Nothing."""

    def data(self, text: str) -> None:
        """Nothing."""


class _Book(_Deaf):
    def __init__(self) -> None:
        self.sheets: list[tuple[str, str, str]] = []
        self.since_1904 = False

    def start(self, tag: str, attributes: Attributes) -> None:
        name = _local(tag)
        if name == "sheet":
            link = next((v for k, v in attributes.items() if _local(k) == "id"), "")
            self.sheets.append((attributes.get("name", ""), link, attributes.get("state", "")))
        elif name == "workbookPr":
            self.since_1904 = is_true(attributes.get("date1904"))


def is_true(said: str | None) -> bool:
    """An xsd:boolean that says yes."""
    return said in ("1", "true", "on")


class Links(_Deaf):
    """The relationships of a part: (type, target) by id; those that lead out of the archive are left out."""

    def __init__(self) -> None:
        self.found: dict[str, tuple[str, str]] = {}

    def start(self, tag: str, attributes: Attributes) -> None:
        if _local(tag) == "Relationship" and attributes.get("TargetMode") != "External":
            self.found[attributes["Id"]] = attributes["Type"], attributes["Target"]


class _Styles(_Deaf):
    def __init__(self) -> None:
        self._codes: dict[int, str] = {}
        self._cells: list[int] = []
        self._in_cells = False

    def start(self, tag: str, attributes: Attributes) -> None:
        name = _local(tag)
        if name == "numFmt" and "formatCode" in attributes and attributes.get("numFmtId", "").isdecimal():
            self._codes.setdefault(int(attributes["numFmtId"]), attributes["formatCode"])
        elif name == "cellXfs":
            self._in_cells = True
        elif name == "xf" and self._in_cells:
            said = attributes.get("numFmtId", "0")
            self._cells.append(int(said) if said.isdecimal() else 0)

    def end(self, tag: str) -> None:
        if _local(tag) == "cellXfs":
            self._in_cells = False

    def looks(self) -> Iterator[Look]:
        for number in self._cells:
            yield look_of(number, self._codes.get(number)) if number else PLAIN


class _Shared(_Deaf):
    """Texts of runs are put together; phonetic hints (rPh) are none of the text."""

    def __init__(self, name: str) -> None:
        self.texts: list[str] = []
        self._name, self._parts, self._size = name, list[str](), 0
        self._takes, self._aside = False, 0

    def start(self, tag: str, attributes: Attributes) -> None:
        name = _local(tag)
        if name == "si":
            self._parts = []
        elif name == "t":
            self._takes = not self._aside
        elif name == "rPh":
            self._aside += 1

    def end(self, tag: str) -> None:
        name = _local(tag)
        if name == "t":
            self._takes = False
        elif name == "rPh":
            self._aside -= 1
        elif name == "si":
            text = unescaped("".join(self._parts))
            if len(text) > MAX_CELL:
                raise too_many(self._name, "", too_long(say("a cell")))
            self.texts.append(text)

    def data(self, text: str) -> None:
        if self._takes:
            self._size += len(text)
            if self._size > MAX_TEXT:
                raise too_many(self._name, "", too_much_text())
            self._parts.append(text)
