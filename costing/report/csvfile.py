"""Tables as comma-separated values for any other program: UTF-8 with its mark, points for decimals, days as 2026-11-28.

Headings are stable names and never translated, so that what reads them goes on to work. Text that a spreadsheet would
take for a formula is given a leading apostrophe; figures are true figures at full precision.
"""

import csv
import io
from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

from costing.book.records import LAYERS
from costing.report.content import Contents

Value = str | int | float | Decimal | date | None
RISKY = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""How a text begins that a spreadsheet may run (OWASP, CSV injection); the last four are wide forms of the signs."""


def safe(value: Value) -> str:
    """A value as it is written."""
    if value is None:
        return ""
    if isinstance(value, str):
        return f"'{value}" if value.startswith(RISKY) else value
    if isinstance(value, date):
        return value.isoformat()
    return repr(value) if isinstance(value, float) else str(value)


def table(headings: Sequence[str], rows: Iterable[Sequence[Value]]) -> bytes:
    """A table as bytes."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(headings)
    for row in rows:
        writer.writerow([safe(value) for value in row])
    return b"\xef\xbb\xbf" + out.getvalue().encode("utf-8")


def prices(contents: Contents) -> bytes:
    """One row a good in use."""
    return table(
        ["good", "name", "kind", "layer", "supplier", "quote", "since", "pack", "price", "currency", "landed",
         "content", "unit", "unit_cost"],
        (
            (p.good, p.name, p.kind, p.layer, p.supplier, p.quote, p.since, p.pack, p.price, contents.head.currency,
             p.landed, p.content, p.base, p.unit_cost)
            for p in contents.prices
        ),
    )  # fmt: skip


def drinks(contents: Contents) -> bytes:
    """One row a drink."""
    return table(
        ["serve", "name", "technique", "glass", *(f"cost_{layer}" for layer in LAYERS), "base_cost", "complete",
         "litres", "abv", "assumed_share"],
        (
            (s.id, s.name, s.technique, s.glass, *s.cost, s.base_cost, "yes" if s.complete else "at least", s.litres,
             s.abv, s.assumed_share)
            for s in contents.serves
        ),
    )  # fmt: skip


def menu(contents: Contents) -> bytes:
    """One row a line of a menu."""
    rows: list[Sequence[Value]] = []
    for line in contents.menu:
        price, found = line.priced.price, line.priced.suggestion
        rows.append((
            line.menu, line.section, line.serve.id, line.serve.name, line.serve.base_cost, line.printed,
            price.net if price else None, price.pour_cost if price else None, price.margin if price else None,
            line.priced.policy.kind, line.priced.policy.value,
            {True: "met", False: "missed", None: ""}[line.priced.on_target],
            found.at.all_in if found else None,
        ))  # fmt: skip
    return table(
        ["menu", "section", "serve", "name", "base_cost", "price", "net", "pour_cost", "margin", "target_kind",
         "target", "target_is", "suggested"],
        rows,
    )  # fmt: skip


def losses(contents: Contents) -> bytes:
    """One row a stream of a stage of the standard batch."""
    rows: list[Sequence[Value]] = []
    for made in contents.preparations:
        for n, stage in enumerate(made.stages, 1):
            for flow in (stage.into, *stage.flows):
                rows.append((made.id, made.name, n, stage.id, stage.kind, flow.name, flow.fate, flow.kg, flow.litres,
                             flow.alcohol, stage.lost_money if flow.fate == "lost" else None))  # fmt: skip
    return table(
        ["preparation", "name", "step", "stage", "kind", "stream", "fate", "kg", "litres", "pure_alcohol_litres",
         "lost_money_so_far"],
        rows,
    )  # fmt: skip


def allergens(contents: Contents) -> bytes:
    """One row a drink or preparation, one column an allergen of the house's list, by its name on that list."""
    found = contents.allergens
    names = found.names if found is not None else ()
    return table(
        ["kind", "id", "name", "list", *(safe(name) for name in names), "so2_mg_per_litre_at_most"],
        (
            (row.kind, row.id, row.name, found.list, *(finding.state for finding in row.findings), row.so2)
            for row in (found.rows if found is not None else ())
            if found is not None
        ),
    )
