"""The first rows of a table as they will be understood, each text beside what was read from it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from costing.supply.arriving.doubt import Doubt
from costing.supply.arriving.line import LeftOut, PriceLine
from costing.supply.arriving.table import Table
from costing.supply.columns.packs_of import KindOf
from costing.supply.columns.record import Columns
from costing.supply.columns.understand import rows_as_read
from costing.supply.packs.record import Pack


@dataclass(frozen=True, slots=True, kw_only=True)
class PreviewCell:
    """One column in use of one row: the ``text`` as it came, and the ``value`` in plain figures (a point for the
    decimal mark, ISO 8601 for days), "" where nothing was read."""

    role: str
    text: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PreviewRow:
    """One row. ``line`` is what it becomes; a row that is none has the reason ``why`` instead."""

    where: str
    cells: tuple[PreviewCell, ...] = ()
    line: PriceLine | None = None
    why: str = ""
    text: str = ""

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """The doubts of the line, none for a row that is left out."""
        return self.line.doubts if self.line else ()


def preview(
    table: Table, columns: Columns, n: int = 12, *, today: date, kind_of: KindOf | None = None
) -> tuple[PreviewRow, ...]:
    """The first ``n`` rows under the heading that are not empty, read as the whole table decides. Doubts that need the
    other rows ("twice") are not among them."""
    out = []
    for made in _filled(table, columns, n, today, kind_of):
        if isinstance(made, LeftOut):
            out.append(PreviewRow(where=made.where, why=made.why, text=made.text))
        else:
            cells = tuple(_cell(made, use.role) for use in columns.uses)
            out.append(PreviewRow(where=made.where, cells=cells, line=made))
        if len(out) == n:
            break
    return tuple(out)


def _filled(
    table: Table, columns: Columns, n: int, today: date, kind_of: KindOf | None
) -> Iterator[PriceLine | LeftOut]:
    made = rows_as_read(table, columns, today=today, kind_of=kind_of, most=max(4 * n, 60))
    return (one for one in made if isinstance(one, PriceLine) or one.why != "empty")


def _cell(line: PriceLine, role: str) -> PreviewCell:
    return PreviewCell(role=role, text=line.said(role), value=_value(line, role))


def _value(line: PriceLine, role: str) -> str:
    """What a line holds of a role; of prices only the one that counts."""
    if role in ("pack", "count", "content"):
        return pack_text(line.pack) if line.said(role) else ""
    if role in ("price", "price_each", "price_measure", "gross"):
        asked = {
            "price": ("pack", ""),
            "price_each": ("each",),
            "price_measure": ("kg", "l"),
            "gross": ("pack", "each", ""),
        }
        return _plain(line.price) if line.per in asked[role] else ""
    if role == "remark":
        return line.note
    if role == "rate":
        return _plain(line.rate)
    value = getattr(line, role, None) if role not in ("brand", "abv", "vintage", "supplier", "old_price") else None
    return value if isinstance(value, str) else _plain(value)


def _plain(value: object) -> str:
    return "" if value is None else f"{value:f}" if hasattr(value, "as_tuple") else str(value)


def pack_text(pack: Pack | None) -> str:
    """A pack in plain figures: "4 x 6 x 330 ml", "6" where only a count is known, "" where nothing is."""
    if pack is None:
        return ""
    size = [f"{pack.content:f} {pack.unit}"] if pack.content is not None else []
    return " x ".join([*map(str, pack.levels), *size])
