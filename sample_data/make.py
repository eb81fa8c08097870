"""Write the sample bar: ``python -m sample_data.make`` gives the same bytes every time.

Everything is invented: a hotel bar in a harbour town, its suppliers, goods without brands, roles instead of people.
The figures stand in the modules beside this one; what scatters is drawn with fixed seeds.

``book.json``
    The Saltlantern Bar in the plain form: goods with makeup and allergen statements, a year of dated quotes from
    2025-12-01 (one with tax in it, one in another currency, free goods, charges, deposits, quantity breaks), machines,
    27 preparations that use every stage kind, 14 mixed drinks and 7 plain serves, two menus, batch logs (one failed,
    one with a reading that cannot be).
``prices/ropewalk-casks-2026-12-01.xlsx``
    The casks' next list, clean: one table, two items the house does not know, seven case prices that move.
``prices/north-quay-week-49.csv``
    The quay's week list as it leaves an old program: cp1252, semicolons, decimal commas, group rows, a header that
    comes twice, page feet, a price on request, a price for a pallet.
``prices/ropewalk-casks-invoice-2026-11-17.xml``
    A UBL 2.1 invoice for the van of that day: a freight charge, an allowance, deposits, returned kegs, one price above
    the quote.
``sales/2026-W36.csv`` to ``sales/2026-W47.csv``
    Twelve weeks of item sales by business day (``sales``): other names than the serves', two prices a drink, voids,
    drinks on the house, keys that are no drinks, subtotals and a total.
``counts/2026-10-25.csv`` and ``counts/2026-11-22.csv``
    Two stock counts, the stillroom's bottles among them; ``deliveries/2026-10-26-to-2026-11-22.csv`` is what came in
    between. Opening, deliveries and sales explain the closing count but for a variance (``stock``).
"""

import json
from collections.abc import Mapping
from pathlib import Path

from sample_data import bar, batches, goods, invoice, preparations, pricefiles, quotes, sales, stock, yields
from sample_data.forms import Plain

HERE = Path(__file__).parent
KINDS: Mapping[str, list[Plain]] = {
    "supplier": bar.SUPPLIERS,
    "good": goods.GOODS,
    "quote": quotes.QUOTES,
    "equipment": bar.EQUIPMENT,
    "technique": bar.TECHNIQUES,
    "glass": bar.GLASSES,
    "preparation": preparations.PREPARATIONS,
    "serve": bar.SERVES,
    "menu": bar.MENUS,
    "batch": batches.BATCHES,
    "yieldtest": yields.YIELD_TESTS,
}
FORM = "3.0"


def book_text() -> str:
    """The book in the plain form, one record a line."""

    def line(record: Plain) -> str:
        return json.dumps(record, ensure_ascii=False)

    parts = [f' "stillroom": {{"form": "{FORM}"}}', f' "house": {line(bar.HOUSE)}']
    for kind, records in KINDS.items():
        parts.append(f' "{kind}": [\n' + ",\n".join(f"  {line(record)}" for record in records) + "\n ]")
    return "{\n" + ",\n".join(parts) + "\n}\n"


def files() -> dict[str, bytes]:
    """Every file of the sample: path below this folder, and its bytes."""
    out = {
        "book.json": book_text().encode(),
        "prices/ropewalk-casks-2026-12-01.xlsx": pricefiles.casks_sheet(),
        "prices/north-quay-week-49.csv": pricefiles.quay_week(),
        f"prices/ropewalk-casks-invoice-{invoice.DAY}.xml": invoice.invoice_text().encode(),
        "deliveries/2026-10-26-to-2026-11-22.csv": stock.deliveries_text().encode(),
    }
    for day in (stock.OPENING, stock.CLOSING):
        out[f"counts/{day}.csv"] = stock.count_text(day).encode()
    for monday, rows in sales.all_rows().items():
        year, week, _ = monday.isocalendar()
        out[f"sales/{year}-W{week:02d}.csv"] = sales.week_text(monday, rows).encode()
    return out


def write(folder: Path) -> list[Path]:
    """Write every file below ``folder`` and return the paths. OSError where a file cannot be written."""
    paths = []
    for name, data in files().items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
        paths.append(path)
    return paths


if __name__ == "__main__":
    for written in write(HERE):
        print(f"{written.stat().st_size:>8,} {written.relative_to(HERE)}")
