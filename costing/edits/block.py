"""A block copied from a spreadsheet as quotes: each line is taken, held back with a reason, or ignored; they add up.

Nothing is guessed: a name that is merely alike, a price that can be read in two ways, one that jumps, a pack of another
supplier's and a pack that does not fit its good are held for somebody to look at.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from costing.book.book import Book
from costing.book.change import Change, Step, put
from costing.book.records import Quote
from costing.edits.block_lines import BlockLine, Reader
from costing.tongue import say, say_many

__all__ = ["BlockLine", "BlockPlan", "leave", "read_block", "step_of", "take"]

Part = Literal["name", "pack", "price", "supplier", "since", "code"]
ORDER: tuple[Part, ...] = ("name", "pack", "price", "supplier", "since")
"""What columns mean where no heading says."""
HEADINGS: dict[str, Part] = {
    "name": "name", "item": "name", "article": "name", "product": "name", "ingredient": "name", "description": "name",
    "artikel": "name", "bezeichnung": "name", "zutat": "name",
    "pack": "pack", "size": "pack", "unit": "pack", "packing": "pack", "gebinde": "pack", "einheit": "pack",
    "price": "price", "cost": "price", "amount": "price", "preis": "price", "net price": "price", "pack price": "price",
    "supplier": "supplier", "vendor": "supplier", "lieferant": "supplier",
    "since": "since", "date": "since", "day": "since", "from": "since", "valid from": "since", "ab": "since",
    "datum": "since",
    "code": "code", "sku": "code", "no": "code", "nr": "code",
}  # fmt: skip
MOST = 5_000


@dataclass(frozen=True, slots=True)
class BlockPlan:
    """Every line of the block in order."""

    lines: tuple[BlockLine, ...]

    def count(self, fate: str) -> int:
        """Lines of one fate."""
        return sum(line.fate == fate for line in self.lines)


def read_block(text: str, book: Book, day: date, past: Iterable[str] = ()) -> BlockPlan:
    """Read a block of lines with tabs (or semicolons) between cells. ValueError for more than 5,000 lines."""
    rows = text.splitlines()
    if len(rows) > MOST:
        raise ValueError(say("{n} lines at once are too many: at most {most}", n=len(rows), most=MOST))
    split = [[cell.strip() for cell in row.split("\t" if "\t" in row else ";")] for row in rows]
    columns, head = _columns(split)
    reader = Reader(book, day, past)
    out: list[BlockLine] = []
    for n, cells in enumerate(split, 1):
        line = BlockLine(n=n, text=" · ".join(cell for cell in cells if cell))
        if not any(cells):
            out.append(replace(line, fate="ignored", why=say("it is empty")))
        elif n - 1 == head:
            out.append(replace(line, fate="ignored", why=say("it is the heading")))
        else:
            out.append(reader.line(line, dict(zip(columns, cells, strict=False)), len(cells) - len(columns)))
    return BlockPlan(tuple(out))


def step_of(plan: BlockPlan, book: Book) -> Step | None:
    """The taken lines as one step; None where there is none."""
    changes: list[Change] = []
    for line in plan.lines:
        if line.fate == "taken" and line.quote is not None:
            old = book.all(Quote).get(line.quote.id)
            changes.append(put("quote", line.quote, old))
    if not changes:
        return None
    return Step(say_many("paste {n} price", "paste {n} prices", len(changes)), tuple(changes))


def take(line: BlockLine) -> BlockLine:
    """A held line that somebody looked at and wants all the same. ValueError where it says too little."""
    if line.quote is None:
        raise ValueError(say("this line does not say enough to be taken: {why}", why=line.why))
    return replace(line, fate="taken")


def leave(line: BlockLine) -> BlockLine:
    """A line that would be taken, and that somebody does not want yet."""
    return replace(line, fate="held", why=say("left waiting by hand")) if line.fate == "taken" else line


def _columns(split: Sequence[Sequence[str]]) -> tuple[tuple[Part | str, ...], int]:
    """(what each column means, which line is the heading or -1)."""
    for n, cells in enumerate(split[:3]):
        named = [HEADINGS.get(cell.casefold().strip(" .:*"), "") for cell in cells]
        if "name" in named and "price" in named:
            known = [p for p in named if p]
            if len(set(known)) < len(known):
                continue  # two columns of one meaning: which of them counts is not guessed
            return tuple(part or f"other {m}" for m, part in enumerate(named)), n
    return ORDER, -1
