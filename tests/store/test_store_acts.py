"""Random histories by two sides of one file: memory is the file, and the journal is every past book."""

import random
import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from costing.book import Book
from costing.book.history import History
from costing.store import create, open_store
from tests.store import long
from tests.store.acts import Bench
from tests.store.strategies import books

QUIET = list(HealthCheck)


@pytest.mark.parametrize("seed", range(6))
def test_random_acts(seed: int, tmp_path: Path) -> None:
    counts = long.run_acts(150, seed, tmp_path)
    assert sum(counts.values()) == 150


@settings(max_examples=12, deadline=None, suppress_health_check=QUIET)
@given(rng=st.randoms(use_true_random=False), acts=st.integers(1, 12))
def test_short_acts_that_shrink(rng: random.Random, acts: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        bench = Bench(Path(folder) / "b.stillroom", rng)
        try:
            for _ in range(acts):
                bench.act()
            bench.check_all()
        finally:
            bench.close()


def test_killed_edits_are_kept(tmp_path: Path) -> None:
    counts = long.run_kills(5, 7, tmp_path)
    assert counts["kills"] == 5
    assert counts["acknowledged"] > 0


def test_two_processes_lose_no_edit(tmp_path: Path) -> None:
    assert long.run_edits(60, 0, tmp_path)["edits"] == 120


@settings(max_examples=40, deadline=None, suppress_health_check=QUIET)
@given(book=books())
def test_any_book_is_the_same_in_a_file(book: Book) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "b.stillroom"
        with create(path, book) as store:
            history = History(store)
            assert history.book == book
        with open_store(path) as store:
            store.verify()
            history = History(store)
            assert history.book == book
            assert history.book_at(0) == Book()
            assert history.book_at(1) == book
