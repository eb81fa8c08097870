"""Names to ids: everything that a starter workbook names, registered before a row is read that points to it."""

import difflib
import re
import unicodedata
from dataclasses import dataclass, field

from costing.supply.starter_cells import Cell, fold
from costing.supply.starter_faults import Faults
from costing.supply.starter_table import Row

LONGEST_ID = 200
_GAPS = re.compile(r"-+")


def slug(name: str, instead: str) -> str:
    """An id made from a name: small letters and figures of any script, accents off, dashes between; never empty."""
    flat = unicodedata.normalize("NFKD", name.casefold())
    kept = "".join(ch if ch.isalnum() else "" if unicodedata.combining(ch) else "-" for ch in flat)
    return _GAPS.sub("-", unicodedata.normalize("NFC", kept)).strip("-")[:60].strip("-") or instead


@dataclass(slots=True)
class Names:
    """What of one family is called what. Goods and preparations are one family: both go into a stage."""

    what: str
    by_name: dict[str, list[str]] = field(default_factory=dict)
    ids: dict[str, str] = field(default_factory=dict)

    def free(self, name: str, instead: str) -> str:
        """An id for this name that nothing has yet."""
        first = slug(name, instead)
        out, n = first, 1
        while out in self.ids:
            n += 1
            out = f"{first}-{n}"
        return out

    def add(self, ident: str, name: str) -> None:
        """Register an id with its name."""
        self.ids[ident] = name
        self.by_name.setdefault(fold(name), []).append(ident)

    def find(self, text: str) -> list[str]:
        """Every id that is meant by a name or an id."""
        found = self.by_name.get(fold(text), [])
        return list(dict.fromkeys([*found, *([text] if text in self.ids else [])]))

    def called(self, ident: str) -> str:
        """What to write so that ``find`` gives this id and no other: its name, else the id."""
        name = self.ids.get(ident, ident)
        return name if self.find(name) == [ident] else ident

    def one(self, row: Row, key: str) -> str | None:
        """The id that a cell means; None, with a fault, where it means none or two. None too where it is empty."""
        text = row.get(key)
        if text is None:
            return None
        found = self.find(text)
        if len(found) == 1:
            return found[0]
        if found:
            row.amiss(key, f"two things are called so; write which by its Id, {' or '.join(found[:4])}")
            return None
        words = {fold(n): n for n in self.ids.values()}
        guess = len(words) < 5000 and not row.faults.many
        close = difflib.get_close_matches(fold(text), words, 2, 0.6) if guess else []
        hint = f"; did you mean {' or '.join(words[w] for w in close)}?" if close else ""
        row.amiss(key, f"no {self.what} is called so{hint or '; add it, or correct the name'}")
        return None


def given_id(row: Row, names: Names, faults: Faults) -> str | None:
    """The id that a row gives itself, or None. A fault for one that cannot be, or that is taken."""
    ident = row.get("id")
    if ident is None:
        return None
    if "/" in ident or len(ident) > LONGEST_ID:
        row.amiss("id", f"an Id is text without a slash, of at most {LONGEST_ID} characters")
        return None
    if ident in names.ids:
        row.amiss("id", "this Id is taken by another row; write another, or leave it empty")
        return None
    return str(ident)


def register(rows: list[Row], names: Names, instead: str, faults: Faults) -> list[tuple[str, Row]]:
    """(id, row) of rows that each hold one thing. Given ids are taken first, so that a made one never takes theirs."""
    ids: dict[int, str] = {}
    for n, row in enumerate(rows):
        ident = given_id(row, names, faults)
        if ident is not None:
            ids[n] = ident
            names.add(ident, str(_name(row) or ident))
    for n, row in enumerate(rows):
        name = _name(row)
        if n in ids or name is None:
            continue
        if fold(name) in names.by_name and names.what != SOURCE:
            row.amiss("name", "this name stands twice; change one, or give each an Id")
        elif fold(name) in names.by_name:
            row.amiss(
                "name", "an ingredient or preparation of this name is already there; change one, or give it an Id"
            )
        ids[n] = names.free(name, instead)
        names.add(ids[n], name)
    return [(ids[n], row) for n, row in enumerate(rows) if n in ids]


SOURCE = "ingredient or preparation"


def _name(row: Row) -> str | None:
    """The name of a row without a fault for it; the row is read for good later."""
    cell: Cell | None = row.cells.get("name")
    if cell is None or cell.amiss:
        return None
    return " ".join(str(cell.value).split()) if isinstance(cell.value, str) else str(row.get("name") or "")
