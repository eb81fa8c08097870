"""Targets outside the engine: reading a price list, starting the program, and reckoning the sample book."""

import cProfile
import io
import json
import pstats
import subprocess
import sys
import tempfile
from collections.abc import Callable
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from statistics import median

from costing.ledger import reckon
from costing.paths import sample_book
from costing.store import read_json
from tests.benchmarks import arrivals, baselines, draws, repricing, screen
from tests.benchmarks.fresh import last_day
from tests.benchmarks.result import Result, faster, figure, share, skipped, wrong
from tests.benchmarks.timing import paired, paired_children

ROOT = Path(__file__).parents[2]
ROWS = 100_000
CHILDREN = 5
MOST_MS = {"cold": 60.0, "warm": 16.0, "edited": None, "rows": 1.0, "quoted": 1.0, "arrays": 1.0}
FIGURES = {
    "cold": "reckon, first in a fresh process",
    "warm": "reckon, again on a new view",
    "edited": "new quote -> new book -> reckon",
    "rows": "one price -> every cost, the ledger's rows",
    "quoted": "one quote -> every price read again -> every cost",
    "arrays": "one price -> every cost, arrays",
}


def price_list() -> list[Result]:
    """12: a supplier's sheet of 100,000 rows."""
    what = f"price list of {ROWS:,} rows read"
    if find_spec("python_calamine") is None:
        return [skipped("12", what, "python-calamine is not installed; belongs to the price-file reader")]
    with tempfile.TemporaryDirectory() as folder:
        path = str(Path(folder) / "list.xlsx")
        write_list(path, ROWS)
        calamine = import_module("python_calamine").CalamineWorkbook

        def read() -> list[list[object]]:
            rows: list[list[object]] = calamine.from_path(path).get_sheet_by_index(0).to_python()
            return rows

        if [list(row) for row in baselines.read_sheet(path)] != read():
            return [wrong("12", what, 1.0)]
        times = paired(lambda: baselines.read_sheet(path), read)
    return [faster("12", what, "openpyxl read_only", times, 4.0)]


def write_list(path: str, rows: int) -> None:
    """An invented list of 8 columns."""
    from openpyxl import Workbook

    book = Workbook(write_only=True)
    sheet = book.create_sheet("list")
    sheet.append(["code", "name", "pack", "unit", "price", "tax", "group", "note"])
    for n in range(rows):
        sheet.append([f"A{n:06}", f"Item {n} of the list", 6.0, "0.7 l", 10.0 + n % 977 / 100, 0.19, f"G{n % 40}", "x"])
    book.save(path)


def start() -> list[Result]:
    """15 and beside it: CPU of a start of the window, and of the terminal against a bare interpreter."""
    out = screen.window()
    bare = ["-c", "pass"]
    for what, argv in (
        ("import costing", ["-c", "import costing"]),
        ("python -m costing --help", ["-m", "costing", "--help"]),
        ("import numpy and scipy.sparse, which no start may do", ["-c", "import numpy, scipy.sparse"]),
    ):
        try:
            out.append(share("-", what, "python -c pass, CPU of the child", paired_children(bare, argv), None))
        except OSError as error:
            out.append(skipped("-", what, str(error)))
    return out


def books() -> list[Path]:
    """The sample, and any other book that ships beside it."""
    return sorted(sample_book().parent.glob("*.json"), key=lambda path: path.stat().st_size)


def sample() -> list[Result]:
    """A whole day of the sample reckoned, cold and warm, and one price carried to every cost; CPU milliseconds."""
    out = []
    for path in books():
        runs = []
        for _ in range(CHILDREN):
            argv = [sys.executable, "-m", "tests.benchmarks.fresh", str(path)]
            done = subprocess.run(argv, cwd=ROOT, capture_output=True, text=True, check=True)
            runs.append(json.loads(done.stdout))
        first = runs[0]
        named = f"{first['book']} on {first['day']}: {first['goods']} goods, {first['outputs']} outputs, "
        named += f"{first['serves']} serves, {first['problems']} problems"
        for key, what in FIGURES.items():
            values = sorted(float(run[key]) for run in runs)
            note = f"worst of {CHILDREN} processes {values[-1]:.3g} ms"
            out.append(figure("L", what, named, median(values), " ms", MOST_MS[key], note))
        if max(run["apart"] for run in runs) > 1e-12:
            out.append(wrong("L", "one price by rows against a whole reckoning", max(run["apart"] for run in runs)))
    return out


def profile(count: int = 25) -> str:
    """Where the time of a warm reckoning of the largest book goes, by own time and by time with what it calls."""
    path = books()[-1]
    book = read_json(path)
    day = last_day(book)
    reckon(book.on(day))
    seen = cProfile.Profile()
    seen.enable()
    for _ in range(20):
        reckon(book.on(day))
    seen.disable()
    text = io.StringIO()
    stats = pstats.Stats(seen, stream=text).strip_dirs()
    for order in ("tottime", "cumulative"):
        stats.sort_stats(order).print_stats(count)
    return f"{path.name}, 20 reckonings\n{text.getvalue()}"


OUTER: dict[str, Callable[[], list[Result]]] = {
    "12": price_list,
    "14": screen.long_table,
    "15": start,
    "16": arrivals.arrival,
    "17": draws.many_draws,
    "18": repricing.whole_menu,
    "sample": sample,
}
