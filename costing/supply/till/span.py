"""What a file itself says of the days it is of, above its heading."""

import re
from dataclasses import dataclass
from datetime import date

from costing.supply.arriving.table import DayCell, Table
from costing.supply.columns.days import Order, read_day
from costing.supply.columns.folding import folded
from costing.supply.till.vocabulary import PERIOD, PRINTED

_DAY = re.compile(
    r"(?<![\d./-])(?:\d{4}[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}[./-]\d{1,2}[./-](?:\d{4}|\d{2})"
    r"|\d{1,2}(?:st|nd|rd|th|er|\.|º)?[ -](?:de |di )?[^\W\d_]{3,10}\.?,? (?:de |del )?\d{4}"
    r"|[^\W\d_]{3,10}\.? \d{1,2}(?:st|nd|rd|th)?,? \d{4})(?!\d)"
)
_PERIOD, _PRINTED = re.compile(PERIOD), re.compile(PRINTED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stated:
    """The first and last day that a file says it is of, and the row that says so; ``unsure`` where its days can be
    read in two ways."""

    since: date | None = None
    until: date | None = None
    text: str = ""
    unsure: bool = False


def stated_span(table: Table, above: int, order: Order, today: date) -> Stated:
    """The period in the rows before ``above``: the first row with two days, or with one beside a word for a period. A
    row that says when the file was printed says nothing of it."""
    single = Stated()
    for row in table.rows[:above]:
        cells = [cell for cell in row if cell.strip()]
        text = " ".join(dict.fromkeys(cell.strip() for cell in cells))
        plain = folded(text)
        if _PRINTED.search(plain) and not re.search(r"\b(?:period\w*|zeitraum)\b", plain):
            continue
        found = [cell[:10] for cell in cells if isinstance(cell, DayCell)] or [m[0] for m in _DAY.finditer(text)]
        if not found or len(found) > 2:
            continue
        if len(found) == 1 and not _PERIOD.search(plain):
            single = single if single.text else Stated(text=text, unsure=True)
            continue
        days = [read_day(day, order, today, "day").day for day in found]
        known = [day for day in days if day is not None]
        if len(known) < len(days):
            single = single if single.text else Stated(text=text, unsure=True)
            continue
        if len(known) == 2 and known[0] <= known[1]:
            return Stated(since=known[0], until=known[1], text=text)
        if len(known) == 1 and (not single.text or single.unsure):
            single = Stated(since=known[0], until=known[0], text=text)
    return single
