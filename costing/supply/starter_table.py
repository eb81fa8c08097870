"""From sheets to rows: which sheet is which, where its heads stand, and what is in each row under them.

What is not understood is a fault: another sheet, another column, a value beside the columns, a merged cell. Only a row
marked in its Skip cell, an empty row, and a sheet whose name begins with "Notes" are passed over.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from costing.supply.starter_cells import Cell, fold, plain_text, read
from costing.supply.starter_faults import BadSheet, Fault, Faults
from costing.supply.starter_layout import FIRST_ROW, HOUSE, LAYOUT, SKIP_HEAD, SKIP_WORDS, START, WORDS, Plan
from costing.supply.starter_open import OpenSheet
from costing.supply.starter_sheets import BY_NAME, HOUSE_PLAN

OWN = "notes"
HEADS_WITHIN = 12


@dataclass(frozen=True, slots=True)
class Row:
    """One row under the heads of a sheet: its filled cells by column key."""

    plan: Plan
    place: str
    cells: Mapping[str, Cell]
    faults: Faults

    def get(self, key: str) -> Any:
        """The value of a column in plain form; None where it is empty or at fault."""
        return read(self.cell(key), self.plan.column(key), self.faults) if key in self.cells else None

    def has(self, key: str) -> bool:
        """Whether anything is in the column."""
        return key in self.cells

    def cell(self, key: str) -> Cell:
        """The cell of a column, or the row itself where it is empty."""
        cell = self.cells.get(key, Cell(self.place, None))
        self.faults.used.add(cell.place)
        return cell

    def amiss(self, key: str, what: str) -> None:
        """A fault in a column of this row."""
        self.faults.at(self.cell(key), what)

    def some(self, *keys: str, **names: str) -> dict[str, Any]:
        """{field: value} of the columns that are filled; ``names`` are field=column."""
        wanted = {key: key for key in keys} | names
        found = {name: self.get(key) for name, key in wanted.items()}
        return {name: value for name, value in found.items() if value is not None}

    def complete(self) -> bool:
        """Whether every needed column is filled; each that is not is a fault."""
        missing = [c for c in self.plan.columns if c.needed and c.key not in self.cells]
        for column in missing:
            self.faults.found.append(
                Fault(self.place, f"{column.head} is missing: {column.note[0].lower()}{column.note[1:]}")
            )
        return not missing


Tables = Mapping[str, Sequence[Row]]


def tables(sheets: Sequence[OpenSheet], file: str, faults: Faults) -> Tables:
    """The rows of every sheet by its name; a sheet that is not there has none. BadSheet when none of them is ours."""
    found: dict[str, OpenSheet] = {}
    ours = {fold(name): name for name in (*BY_NAME, HOUSE)}
    if not any(fold(s.name) in ours for s in sheets):
        names = ", ".join(repr(s.name[:30]) for s in sheets[:5])
        raise BadSheet(file, f"this is no starter workbook: no sheet is called {HOUSE}; it has {names}")
    for sheet in sheets:
        name = ours.get(fold(sheet.name))
        if name is None:
            if (
                sheet.rows
                and fold(sheet.name) not in (fold(START), fold(WORDS))
                and not fold(sheet.name).startswith(OWN)
            ):
                what = f"a starter workbook has no such sheet; delete it, or begin its name with {OWN.capitalize()}"
                faults.add(sheet.name[:40], what)
        elif name in found:
            faults.add(sheet.name, "the sheet is there twice; delete one")
        else:
            found[name] = sheet
    if HOUSE not in found:
        raise BadSheet(file, f"the sheet {HOUSE} is missing; it holds the name and the currency")
    out = {name: list(_rows(found[name], plan, faults)) for name, plan in BY_NAME.items() if name in found}
    return {**out, HOUSE: [_house(found[HOUSE], faults)]}


def unused(found: Tables, faults: Faults) -> None:
    """A fault for every filled cell that no reader looked at: a day without its price, a target without its serve."""
    for rows in found.values():
        for row in rows:
            for cell in row.cells.values():
                if cell.place not in faults.used:
                    faults.at(cell, "nothing in this row needs it; put it where it belongs, or delete it")


def _no_merges(sheet: OpenSheet, faults: Faults) -> None:
    for area in sheet.merged:
        last = area.rpartition(":")[2].lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
        if int(last) >= FIRST_ROW:
            what = "these cells are merged, so it is not clear which row they belong to; unmerge them"
            faults.add(f"{sheet.name}!{area}", what)


def _rows(sheet: OpenSheet, plan: Plan, faults: Faults) -> Iterator[Row]:
    _no_merges(sheet, faults)
    heads = {fold(c.head): c.key for c in plan.columns} | {fold(SKIP_HEAD): SKIP_HEAD}
    head = _head_row(sheet, plan)
    if head is None:
        if sheet.rows:
            what = f"no row has the heads {', '.join(c.head for c in plan.columns[:3])}, ...; bring them back"
            faults.add(plan.name, what)
        return
    number, cells = head
    keys: dict[int, str] = {}
    for column, cell in cells.items():
        key = heads.get(fold(plain_text(cell)))
        if key is None:
            faults.at(cell, "no column is called so here; delete it, or put it on a sheet whose name begins with Notes")
            keys[column] = ""
        elif key in keys.values():
            faults.at(cell, "two columns are called so; delete one")
            keys[column] = ""
        else:
            keys[column] = key
    for needed in plan.columns:
        if needed.needed and needed.key not in keys.values():
            faults.add(plan.name, f"the column {needed.head} is missing; bring it back")
    for at, filled in sheet.rows:
        if at > number and not _is_notes(filled, keys, plan):
            row = _row(sheet, plan, at, filled, keys, faults)
            if row is not None:
                yield row


def _row(
    sheet: OpenSheet, plan: Plan, at: int, filled: Mapping[int, Cell], keys: Mapping[int, str], faults: Faults
) -> Row | None:
    out: dict[str, Cell] = {}
    for column, cell in filled.items():
        key = keys.get(column)
        if key is None:
            faults.at(cell, "it stands beside the columns; delete it, or put it under a head")
        elif key == SKIP_HEAD:
            if cell.key in SKIP_WORDS:
                return None
            faults.at(cell, f"only {' or '.join(SKIP_WORDS)} may stand here; with it the row is passed over")
        elif key:
            out[key] = cell
    return Row(plan, f"{sheet.name}!{at}", out, faults) if out else None


def _head_row(sheet: OpenSheet, plan: Plan) -> tuple[int, Mapping[int, Cell]] | None:
    """The first row in which two heads of the plan stand."""
    heads = {fold(c.head) for c in plan.columns}
    for number, cells in sheet.rows:
        if number > HEADS_WITHIN:
            break
        if len({fold(plain_text(c)) for c in cells.values()} & heads) >= min(2, len(heads)):
            return number, cells
    return None


def _is_notes(filled: Mapping[int, Cell], keys: Mapping[int, str], plan: Plan) -> bool:
    """Whether a row is the one of plain words under the heads: every cell that it has says what we wrote there."""
    notes = {c.key: c.note for c in plan.columns}
    texts = [(keys.get(n), c) for n, c in filled.items() if keys.get(n) != SKIP_HEAD]
    return bool(texts) and all(key in notes and fold(plain_text(c)) == fold(notes[key]) for key, c in texts)


def _house(sheet: OpenSheet, faults: Faults) -> Row:
    """The House sheet asks downwards: the question in its first column, the answer in its second."""
    _no_merges(sheet, faults)
    asked = {fold(c.head): c.key for c in HOUSE_PLAN.columns}
    cells: dict[str, Cell] = {}
    for number, filled in sheet.rows:
        question, answer = filled.get(1), filled.get(2)
        if number <= HEAD_OF_HOUSE or answer is None:
            continue
        key = asked.get(fold(plain_text(question))) if question is not None else None
        if key is None:
            faults.at(answer, "no question stands before this answer; the House sheet asks " + ", ".join(
                c.head for c in HOUSE_PLAN.columns))  # fmt: skip
        elif key in cells:
            faults.at(answer, "this was answered above")
        else:
            cells[key] = answer
    row = Row(HOUSE_PLAN, sheet.name, cells, faults)
    if cells.get("layout") is not None and row.get("layout") not in (LAYOUT, None):
        row.amiss("layout", f"this program reads layout {LAYOUT}; use a newer program")
    return row


HEAD_OF_HOUSE = 3
