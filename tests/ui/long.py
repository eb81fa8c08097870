"""``python -m tests.ui.long [--starts 100] [--events 10000] [--seed 1] [--heartbeat] [--pause 200]``: what the
suite has no time for.

Starts and exits count processes that end with code 0; random events count acts done on the window of the sample bar
without a crash and without a fault that nobody caught; the heartbeat tells the longest stall of the main thread while
an edit, every place and every page are walked. Exit 1 where something went wrong.
"""

import argparse
import os
import subprocess
import sys
import tempfile
import time
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

from costing.paths import sample_book
from costing.store import create, read_json

ROOT = Path(__file__).parents[2]


def starts(count: int) -> int:
    """Start and leave so many times; how many ended otherwise than in order."""
    bad, times = 0, []
    with tempfile.TemporaryDirectory() as folder:
        book = Path(folder) / "bar.stillroom"
        create(book, read_json(sample_book())).close()
        for n in range(count):
            began = time.perf_counter()
            done = subprocess.run(
                [sys.executable, "-m", "tests.ui.once", str(book), "cellar", "stillroom", "bar", "menu"],
                cwd=ROOT, capture_output=True, text=True, check=False,
            )  # fmt: skip
            times.append(time.perf_counter() - began)
            if done.returncode:
                bad += 1
                print(f"start {n + 1} ended with {done.returncode}: {done.stderr[-400:]}", flush=True)
    times.sort()
    print(f"{count} starts and exits through four places, {bad} bad; {times[len(times) // 2]:.2f} s each, "
          f"worst {times[-1]:.2f} s")  # fmt: skip
    return bad


def events(count: int, seed: int) -> int:
    """Random acts; how many faults nobody caught. A crash ends this process."""
    from PySide6.QtWidgets import QFileDialog, QInputDialog

    from tests.ui.monkey import Heartbeat, Monkey
    from ui.starting import run

    # The system's own file dialogs are not ours to test, and would wait for a hand that knows a file name.
    QFileDialog.getOpenFileName = lambda *_, **__: ("", "")  # type: ignore[method-assign]
    QFileDialog.getSaveFileName = lambda *_, **__: ("", "")  # type: ignore[method-assign]
    QFileDialog.getExistingDirectory = lambda *_, **__: ""  # type: ignore[method-assign]
    QInputDialog.getText = lambda *_, **__: ("Random name", True)  # type: ignore[method-assign]
    caught: list[BaseException] = []
    hands: list[Monkey] = []
    beats: list[Heartbeat] = []
    with tempfile.TemporaryDirectory() as folder:
        book = Path(folder) / "bar.stillroom"
        create(book, read_json(sample_book())).close()

        def shown(window: object) -> None:
            take = sys.excepthook

            def seen(kind: type[BaseException], error: BaseException, trace: object) -> None:
                caught.append(error)
                sys.__excepthook__(kind, error, trace)  # type: ignore[arg-type]
                take(kind, error, trace)  # type: ignore[arg-type]

            sys.excepthook = seen
            beats.append(Heartbeat())
            hands.append(Monkey(window, seed, count, partial(_close, window)))  # type: ignore[arg-type]

        began = time.perf_counter()
        code = run(book, date(2026, 11, 1), settings=Path(folder) / "settings.ini", shown=shown)
    acts = hands[0].acts if hands else 0
    print(f"{acts} random events with seed {seed} in {time.perf_counter() - began:.0f} s: {len(caught)} faults not "
          f"caught, exit {code}, longest stall {1000 * beats[0].worst:.0f} ms")  # fmt: skip
    return len(caught) + (code != 0) + (acts < count)


def heartbeat(pause: int) -> int:
    """Walk every place and page with an edit in each, ``pause`` ms apart; the longest stall."""
    from PySide6.QtCore import QTimer

    from tests.ui.monkey import Heartbeat
    from ui.desk import Where
    from ui.pictures import PAGES
    from ui.starting import run

    beats: list[Heartbeat] = []
    stalls: list[tuple[float, str]] = []
    with tempfile.TemporaryDirectory() as folder:
        book = Path(folder) / "bar.stillroom"
        create(book, read_json(sample_book())).close()

        def shown(window: Any) -> None:
            beat = Heartbeat()
            beats.append(beat)
            acts: list[tuple[str, Any]] = [(name, partial(prepare, window)) for name, prepare in PAGES.items()]
            acts += [(f"{name}, again", act) for name, act in acts]
            acts += [("new pack price", partial(_price, window, n)) for n in range(5)]
            acts += [("undo", window.desk.undo) for _ in range(5)]
            acts += [("drink", partial(window.go, Where("serve", s))) for s in list(window.desk.document.view.serves)]
            names = iter(acts)

            def step() -> None:
                beat.gaps.clear()
                try:
                    name, act = next(names)
                except StopIteration:
                    window.close()
                    return
                act()
                QTimer.singleShot(pause, partial(note, name))

            def note(name: str) -> None:
                stalls.append((beat.worst, name))
                step()

            QTimer.singleShot(100, step)

        run(book, date(2026, 11, 1), settings=Path(folder) / "settings.ini", shown=shown)
    stalls.sort(reverse=True)
    for gap, name in stalls[:12]:
        print(f"  {1000 * gap:5.0f} ms  {name}")
    over = sum(gap > 0.1 for gap, _ in stalls)
    print(f"{len(stalls)} acts {pause} ms apart, {over} of them stalled the main thread for more than 100 ms")
    return over


def arrival() -> int:
    """A list of 100,000 lines in the window: seconds until it and its effect are shown, and the longest stall."""
    from random import Random

    from PySide6.QtCore import QTimer

    from costing.supply.plan.arrive import Said
    from tests.benchmarks.arrivals import bar, price_file
    from tests.ui.monkey import Heartbeat
    from ui.places.cellar.arrivals.case import Case
    from ui.starting import run

    found: list[tuple[float, float, int]] = []
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "bar.stillroom"
        create(path, bar(Random(2))).close()
        data = price_file(Random(1))

        def shown(window: Any) -> None:
            place = window.show_place("cellar")
            place.pages.setCurrentWidget(place.arrivals)
            review = place.arrivals.review
            beats: list[Heartbeat] = []
            began: list[float] = []

            def open_it() -> None:
                beats.append(Heartbeat())
                began.append(time.perf_counter())
                place.arrivals.open_case(Case(name="list.csv", data=data, said=Said(supplier="s")))
                look()

            def look() -> None:
                if review.judged is not None and review._job is None and review.rows.rowCount():
                    taken = time.perf_counter() - began[0]
                    QTimer.singleShot(1000, lambda: ended(taken))
                else:
                    QTimer.singleShot(20, look)

            def ended(taken: float) -> None:
                found.append((taken, beats[0].worst, review.rows.rowCount()))
                window.close()

            QTimer.singleShot(4000, open_it)

        run(path, date(2026, 11, 28), settings=Path(folder) / "settings.ini", shown=shown)
    taken, worst, rows = found[0]
    said = f"{rows:,} lines read, matched and shown with what they do in {taken:.1f} s"
    print(f"{said}; longest stall {1000 * worst:.0f} ms")
    return int(taken > 10)


def _close(window: Any) -> None:
    """Close, and once more where texts that do not stand were named first."""
    if not window.close():
        window.close()


def _price(window: object, n: int) -> None:
    from decimal import Decimal

    from costing.edits import quotes

    document = window.desk.document  # type: ignore[attr-defined]
    quote = document.view.quote_of("white-rum")
    text = str(quote.price + Decimal(n + 1))
    step = quotes.set_price(document.book, quote.id, text, document.day, document.past_ids())
    window.desk.do(step)  # type: ignore[attr-defined]


def main() -> int:
    """Run what was asked for."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    top = argparse.ArgumentParser(
        prog="python -m tests.ui.long", description=__doc__.splitlines()[0] if __doc__ else ""
    )
    top.add_argument("--starts", type=int, default=0)
    top.add_argument("--events", type=int, default=0)
    top.add_argument("--seed", type=int, default=1)
    top.add_argument("--heartbeat", action="store_true")
    top.add_argument("--arrival", action="store_true", help="a list of 100,000 lines in the window")
    top.add_argument("--pause", type=int, default=200, help="milliseconds between the acts of the heartbeat")
    given = top.parse_args()
    bad = starts(given.starts) if given.starts else 0
    bad += heartbeat(given.pause) if given.heartbeat else 0
    bad += arrival() if given.arrival else 0
    bad += events(given.events, given.seed) if given.events else 0
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
