"""16: a list of 100,000 lines read, matched to 2,000 goods and shown with what it does, against the plain way.

The plain way reads it with pandas and looks for each line's good with rapidfuzz's WRatio over every name; it is run on
a part of the lines and said so, because all of them would take a quarter of an hour. Seconds are CPU time.
"""

import io
import time
from datetime import date
from decimal import Decimal
from random import Random

from costing.book import Book, parse_fact
from costing.book.records import Good, House, Quote, Supplier, Terms
from costing.supply.plan.arrive import Said, arrive
from costing.supply.plan.effect import effect_of
from tests.benchmarks.result import Result, figure

LINES, GOODS, PART = 100_000, 2_000, 500
DAY = date(2026, 11, 28)
MOST_S = 10.0
FIRST = ("Amber", "Birch", "Cinder", "Dune", "Ember", "Fjord", "Glade", "Heron", "Islet", "Juniper", "Kelp", "Lantern")
SECOND = ("Reserve", "Coast", "Orchard", "Mill", "Cellar", "Meadow", "Harbour", "Summit", "River", "Grove")
SORT = ("rum", "gin", "vodka", "liqueur", "vermouth", "brandy", "whisky", "syrup")
SIZES = ("70 cl", "1 l", "50 cl", "75 cl")


def name_of(rng: Random) -> str:
    """An invented name."""
    return f"{rng.choice(FIRST)} {rng.choice(SECOND)} {rng.choice(SORT)} {rng.randrange(3, 30)}"


def price_file(rng: Random) -> bytes:
    """Lines of an invented list; every fiftieth is one that the house buys, by its code."""
    out = io.StringIO()
    out.write("Art.-Nr.;Bezeichnung;Gebinde;Preis netto EUR\r\n")
    for n in range(LINES):
        price = Decimal(rng.randrange(600, 20_000)) / 100
        out.write(f"A{n:06};{name_of(rng)};6 x {SIZES[n % 4]};{str(price).replace('.', ',')}\r\n")
    return out.getvalue().encode("cp1252")


def bar(rng: Random) -> Book:
    """A book of 2,000 goods, half of them bought from this supplier by the codes of its list."""
    records: list[House | Supplier | Good | Quote] = [
        House(id="house", name="Bar", currency="EUR", terms=(Terms(since=date(2026, 1, 1)),)),
        Supplier(id="s", name="Casks", tax="ex", tax_rate=Decimal("0.19")),
        Supplier(id="t", name="Others", tax="ex", tax_rate=Decimal("0.19")),
    ]
    for n in range(GOODS):
        records.append(Good(id=f"g{n}", name=name_of(rng), kind="spirit", base="l"))
        records.append(Quote(
            id=f"q{n}", good=f"g{n}", supplier="s" if n % 2 else "t", content=parse_fact(SIZES[n % 4]),
            levels=(6,), price=Decimal("84.00"), currency="EUR", since=date(2026, 1, 1), code=f"A{n * 50:06}",
        ))  # fmt: skip
    return Book.of(records)


def plain_seconds(data: bytes, names: list[str], part: int = PART) -> float:
    """CPU seconds of the plain way for all lines, from a part of them."""
    import pandas
    from rapidfuzz import fuzz, process

    began = time.process_time()
    table = pandas.read_csv(io.BytesIO(data), sep=";", encoding="cp1252", dtype=str, keep_default_na=False)
    read = time.process_time() - began
    began = time.process_time()
    for name in table["Bezeichnung"][:part]:
        process.extractOne(name, names, scorer=fuzz.WRatio)
    return read + (time.process_time() - began) * len(table) / part


def our_seconds(data: bytes, book: Book) -> tuple[float, int]:
    """(CPU seconds, lines read) of reading, matching, judging and what it does."""
    began = time.process_time()
    plan = arrive(data, "list.csv", book, DAY, Said(supplier="s"))
    effect_of(book, [line.quote for line in plan.of("sound") if line.quote is not None], DAY)
    return time.process_time() - began, plan.read


def arrival() -> list[Result]:
    """The ratio, and the seconds themselves."""
    data, book = price_file(Random(1)), bar(Random(2))
    ours, read = our_seconds(data, book)
    plain = plain_seconds(data, [good.name for good in book.all(Good).values()])
    note = f"{read:,} rows; the plain way measured on {PART} lines"
    against = "pandas.read_csv + WRatio over all names"
    what = f"list of {LINES:,} lines against {GOODS:,} goods"
    ratio = Result(
        target="16", what=f"{what}, ratio", against=against, verdict="no floor", gate=plain / ours,
        baseline_ms=plain * 1e3, engine_ms=ours * 1e3, note=note,
    )  # fmt: skip
    return [figure("16", f"{what}: read, matched, judged", "CPU", ours, " s", MOST_S), ratio]
