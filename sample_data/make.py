"""Write the sample bar: ``python -m sample_data.make`` gives the same bytes every time.

Everything is invented: a hotel bar in a harbour town, its suppliers, goods without brands, roles instead of people.
The figures stand in the modules beside this one; what scatters is drawn with fixed seeds.

``book.json``
    The Saltlantern Bar in the plain form: goods with makeup and allergen statements, a year of dated quotes from
    2025-12-01 (one with tax in it, one in another currency, free goods, charges, deposits, quantity breaks), machines,
    27 preparations that use every stage kind, 14 mixed drinks and 7 plain serves, two menus, batch logs (one failed,
    one with a reading that cannot be), suppliers' terms, an order, an exchange rate, the till's buttons and twelve
    weeks of sales as the program reads them (``till``, ``sold``), two scenarios.
``prices/ropewalk-casks-2026-12-01.xlsx``
    The casks' next list, clean: one table, two items the house does not know, seven case prices that move.
``prices/north-quay-week-49.csv``
    The quay's week list as it leaves an old program: cp1252, semicolons, decimal commas, group rows, a header that
    comes twice, page feet, a price on request, a price for a pallet.
``prices/ropewalk-casks-invoice-2026-11-17.xml``
    A UBL 2.1 invoice for the van of that day: a freight charge, an allowance, deposits, returned kegs, one price above
    the quote.
``prices/ropewalk-casks-credit-2026-11-24.xml``
    A UBL 2.1 credit note that answers it (``credit``): what was billed too dear, and a keg.
``prices/ropewalk-casks-catalogue-2027-01-01.xml``
    A UBL 2.1 catalogue (``catalogue``): packs in elements, breaks, deposits as items, one item that ends, one price on
    application, one content that means the whole case.
``prices/customs-street-2026-12-10.xlsx``
    The dry store's list with merged headings, hidden rows, a hidden column and a hidden sheet, numbers shown with their
    zeros, formulas, one of them never worked out (``morelists``).
``prices/quay-mail.txt``
    A few prices pasted from a mail, two of them to be doubted.
``prices/north-quay-invoice-2026-11-16.pdf``
    The quay's invoice for that morning, with its own CII document inside (``hybrid``, ``hybridpdf``): weighed goods,
    crates lent and given back, two rates of tax, one price above the quote.
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

from sample_data import (
    bar,
    batches,
    buying,
    catalogue,
    credit,
    goods,
    hybrid,
    hybridpdf,
    invoice,
    morelists,
    preparations,
    pricefiles,
    quotes,
    sales,
    sold,
    stock,
    till,
    yields,
)
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
    "rate": buying.RATES,
    "order": buying.ORDERS,
    "button": till.BUTTONS,
    "till": till.TILLS,
    "scenario": bar.SCENARIOS,
}
FORM = "5.0"


def week_files() -> dict[str, bytes]:
    """The till's files by name, in the order of their weeks."""
    out = {}
    for monday, rows in sales.all_rows().items():
        year, week, _ = monday.isocalendar()
        out[f"{year}-W{week:02d}.csv"] = sales.week_text(monday, rows).encode()
    return out


def book_text() -> str:
    """The book in the plain form, one record a line."""
    return _text({**KINDS, "sales": sold.periods(_text(KINDS), week_files())})


def _text(kinds: Mapping[str, list[Plain]]) -> str:
    def line(record: Plain) -> str:
        return json.dumps(record, ensure_ascii=False)

    parts = [f' "stillroom": {{"form": "{FORM}"}}', f' "house": {line(bar.HOUSE)}']
    for kind, records in kinds.items():
        parts.append(f' "{kind}": [\n' + ",\n".join(f"  {line(record)}" for record in records) + "\n ]")
    return "{\n" + ",\n".join(parts) + "\n}\n"


def files() -> dict[str, bytes]:
    """Every file of the sample: path below this folder, and its bytes."""
    out = {
        "book.json": book_text().encode(),
        "prices/ropewalk-casks-2026-12-01.xlsx": pricefiles.casks_sheet(),
        "prices/north-quay-week-49.csv": pricefiles.quay_week(),
        f"prices/ropewalk-casks-invoice-{invoice.DAY}.xml": invoice.invoice_text().encode(),
        f"prices/ropewalk-casks-credit-{credit.DAY}.xml": credit.credit_text().encode(),
        f"prices/ropewalk-casks-catalogue-{catalogue.FIRST}.xml": catalogue.catalogue_text().encode(),
        f"prices/customs-street-{morelists.VALID}.xlsx": morelists.store_sheet(),
        "prices/quay-mail.txt": morelists.mail_text().encode(),
        f"prices/north-quay-invoice-{hybrid.DAY}.pdf": hybridpdf.invoice_pdf(),
        "deliveries/2026-10-26-to-2026-11-22.csv": stock.deliveries_text().encode(),
    }
    for day in (stock.OPENING, stock.CLOSING):
        out[f"counts/{day}.csv"] = stock.count_text(day).encode()
    out |= {f"sales/{name}": data for name, data in week_files().items()}
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
