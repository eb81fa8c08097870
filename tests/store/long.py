"""The long runs: ``python -m tests.store.long --acts 1500 --kills 200 --edits 500 [--seed N]``.

Random acts with every check of ``acts``; then kill -9 of a process that edits: it acknowledges each commit
down a pipe, dies 0 to 50 ms later, and no acknowledged edit may be missing from the file; then two processes
that count up one record of one file, where no count may be lost.
"""

import argparse
import random
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from dataclasses import replace
from pathlib import Path

from costing.book import Book, Step, put
from costing.book.history import Conflict, History, NothingToUndo
from costing.book.records import Supplier
from costing.store import create, open_store
from tests.store.acts import Bench, random_step, start_book


def run_acts(acts: int, seed: int, folder: Path) -> Counter[str]:
    """Many random acts on one book; AssertionError when anything does not hold."""
    bench = Bench(folder / "acts.stillroom", random.Random(seed))
    try:
        for n in range(acts):
            bench.act()
            if n % 100 == 99:
                bench.stores[0].verify()
        bench.check_all()
    finally:
        bench.close()
    return bench.counts


def edit_for_ever(path: Path, seed: int) -> None:
    """The process that is killed: edits, undo and redo, one line on the pipe for each row on the disk."""
    rng = random.Random(seed)
    with open_store(path) as store:
        history = History(store)
        sys.stdout.write("ready\n")
        while True:
            act = rng.choices(("do", "undo", "redo"), (6, 2, 1))[0]
            try:
                if act == "do":
                    history.do(random_step(rng, history.book), "child")
                elif act == "undo":
                    history.undo("child")
                else:
                    history.redo("child")
            except NothingToUndo:
                continue
            (row,) = history.entries(history.head - 1)
            sys.stdout.write(f"{row.seq}\t{row.act}\t{row.of}\t{row.code}\n")
            sys.stdout.flush()


def run_kills(kills: int, seed: int, folder: Path) -> Counter[str]:
    """Kill the editing process again and again; AssertionError when an acknowledged row is lost or changed."""
    rng = random.Random(seed)
    path = folder / "kills.stillroom"
    create(path, start_book()).close()
    counts: Counter[str] = Counter()
    head = 1
    for n in range(kills):
        acknowledged = _killed_child(path, rng)
        counts["kills"] += 1
        counts["acknowledged"] += len(acknowledged)
        counts["hot journals"] += Path(f"{path}-journal").exists()
        started = time.perf_counter()
        with open_store(path) as store:
            history = History(store)
            counts["slowest open, ms"] = max(counts["slowest open, ms"], int(1e3 * (time.perf_counter() - started)))
            store.verify() if n % 10 == 9 or n == kills - 1 else None
            kept = [f"{row.seq}\t{row.act}\t{row.of}\t{row.code}" for row in history.entries(head)]
            assert kept[: len(acknowledged)] == acknowledged, "an acknowledged edit is lost"
            assert len(kept) <= len(acknowledged) + 1, "more than one row was on its way"
            counts["kept but not yet acknowledged"] += len(kept) - len(acknowledged)
            _undo_is_sane(history)
            head = history.head
    return counts


def _killed_child(path: Path, rng: random.Random) -> list[str]:
    call = [sys.executable, "-m", "tests.store.long", "--edit", str(path), "--seed", str(rng.randrange(10**9))]
    with subprocess.Popen(call, stdout=subprocess.PIPE, text=True) as child:
        if child.stdout is None:
            raise RuntimeError("the child has no pipe")
        first = child.stdout.readline()  # arrives with the first acknowledged row
        assert first == "ready\n", "the child did not open the book"
        time.sleep(rng.uniform(0, 0.05))
        child.send_signal(signal.SIGKILL)
        rest = child.stdout.read()
    # A line cut short by the kill was not received: drop it.
    return rest[: rest.rfind("\n") + 1].splitlines()


def count_up(path: Path, times: int) -> None:
    """Add one to the number in a record, as often as asked; a Conflict means to look again."""
    conflicts = 0
    with open_store(path) as store:
        history = History(store)
        while times:
            now = history.book.get("supplier", "n")
            if not isinstance(now, Supplier):
                raise TypeError("the record is gone")
            try:
                history.do(Step("one more", (put("supplier", replace(now, name=str(int(now.name) + 1)), now),)))
                times -= 1
                time.sleep(random.uniform(0, 0.002))  # or one process runs to its end before the other begins
            except Conflict:
                conflicts += 1
    print(conflicts)


def run_edits(edits: int, seed: int, folder: Path) -> Counter[str]:
    """Two processes that edit one record ``edits`` times each; AssertionError when a count is lost."""
    path = folder / "edits.stillroom"
    create(path, Book.of([Supplier(id="n", name="0")])).close()
    call = [sys.executable, "-m", "tests.store.long", "--count", str(path), "--edits", str(edits)]
    pair = [subprocess.Popen(call, stdout=subprocess.PIPE, text=True) for _ in range(2)]
    conflicts = sum(int(child.communicate()[0]) for child in pair)
    with open_store(path) as store:
        store.verify()
        history = History(store)
        assert history.book.get("supplier", "n") == Supplier(id="n", name=str(2 * edits))
        assert history.head == 1 + 2 * edits
    return Counter({"edits": 2 * edits, "conflicts met and tried again": conflicts})


def _undo_is_sane(history: History) -> None:
    """What can be undone can be undone and done again, and the book is then the same."""
    book, text = history.book, history.undo_text
    if text is not None:
        assert history.undo("parent").text == text
        assert history.redo_text == text
        assert history.redo("parent").text == text
    assert history.book == book
    assert history.undo_text == text


def main() -> int:
    """Run what is asked for and print the figures."""
    parser = argparse.ArgumentParser(prog="python -m tests.store.long", description=__doc__)
    parser.add_argument("--acts", type=int, default=0, help="random acts on one book")
    parser.add_argument("--kills", type=int, default=0, help="kills of an editing process")
    parser.add_argument("--edits", type=int, default=0, help="edits of one record by each of two processes")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--edit", type=Path, help=argparse.SUPPRESS)
    parser.add_argument("--count", type=Path, help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.edit is not None:
        edit_for_ever(asked.edit, asked.seed)
    if asked.count is not None:
        count_up(asked.count, asked.edits)
        return 0
    runs = (("acts", asked.acts, run_acts), ("kills", asked.kills, run_kills), ("edits", asked.edits, run_edits))
    for name, times, run in runs:
        if times:
            started = time.perf_counter()
            with tempfile.TemporaryDirectory() as folder:
                counts = run(times, asked.seed, Path(folder))
            print(f"{times} {name}, seed {asked.seed}: all held, {time.perf_counter() - started:.1f} s")
            for what, count in sorted(counts.items()):
                print(f"  {count:7,} {what}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
