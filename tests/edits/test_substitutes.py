"""One good written in another's place from a day on: before it nothing moves, from it on everything does."""

import json
from dataclasses import replace
from datetime import date, timedelta

import pytest

from costing.book.book import Book
from costing.book.change import put
from costing.book.plain import record_to_plain
from costing.book.records import Preparation, Serve
from costing.edits.substitutes import substitute
from costing.ledger import reckon
from tests.edits.test_goods import after, book

__all__ = ["book"]
DAY = date(2026, 11, 9)
BEFORE = DAY - timedelta(days=1)


def test_versions_begin_on_the_day_and_the_day_before_costs_what_it_did(book: Book) -> None:
    done = after(book, substitute(book, "white-rum", "dark-rum", DAY))
    then, now = reckon(book.on(BEFORE)), reckon(done.on(BEFORE))
    assert now.costs == then.costs
    late = reckon(done.on(DAY))
    assert not any("white-rum" in late.contents(line.carried).row for line in late.serves.values())
    assert not any("white-rum" in carried.row for carried in late.direct.values())
    changed = [s for s in done.all(Serve).values() if s != book.all(Serve)[s.id]]
    assert changed
    assert all(s.versions[-1].since == DAY for s in changed)
    assert substitute(done, "white-rum", "dark-rum", DAY) is None


def test_what_does_not_take_it_is_not_touched(book: Book) -> None:
    step = substitute(book, "lime", "lemon", DAY)
    assert step is not None
    assert step.text == "Lemon in place of Lime from 2026-11-09"
    takes = {
        key for key, record in book.records.items()
        if key[0] in ("preparation", "serve") and '"source": "lime"' in json.dumps(record_to_plain(record))
    }  # fmt: skip
    assert {c.key for c in step.changes} == takes


def test_versions_that_begin_later_change_too(book: Book) -> None:
    old = next(
        p for p in book.all(Preparation).values()
        if any(i.source == "white-rum" for stage in p.versions[-1].stages for i in stage.adds)
    )  # fmt: skip
    later = replace(old.versions[-1], since=date(2027, 1, 1))
    started = book.with_changes([put("preparation", replace(old, versions=(*old.versions, later)), old)])
    done = after(started, substitute(started, "white-rum", "dark-rum", DAY))
    versions = done.all(Preparation)[old.id].versions
    assert [v.since for v in versions][-2:] == [DAY, date(2027, 1, 1)]
    for version in versions[-2:]:
        sources = {i.source for stage in version.stages for i in stage.adds}
        assert "dark-rum" in sources
        assert "white-rum" not in sources


def test_on_the_day_a_version_begins_it_is_put_right(book: Book) -> None:
    done = after(book, substitute(book, "white-rum", "dark-rum", DAY))
    again = after(done, substitute(done, "dark-rum", "grain-vodka", DAY))
    for serve in again.all(Serve).values():
        days = [v.since for v in serve.versions]
        assert len(days) == len(set(days))


def test_what_cannot_be_is_refused(book: Book) -> None:
    with pytest.raises(ValueError, match="itself"):
        substitute(book, "lime", "lime", DAY)
    with pytest.raises(ValueError, match="no good"):
        substitute(book, "lime", "nothing", DAY)
    assert substitute(book, "lime", "lemon", date(2000, 1, 1)) is not None  # all versions begin later
