"""Yield tests: what was weighed, the mean, and the recipe it is taken into."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.book.book import Book
from costing.book.fact import parse_fact
from costing.book.records import Preparation, Stage, YieldTest
from costing.book.yields import yield_mean, yield_share
from costing.edits import trials
from costing.ledger import reckon
from tests.edits.test_goods import after, book

__all__ = ["book"]
DAY = date(2026, 11, 1)


def first(book: Book, ident: str) -> Stage:
    """The first stage of a preparation on the day."""
    return book.on(DAY).preparations[ident][1].stages[0]


def test_gross_less_tare_is_weighed_net(book: Book) -> None:
    done = after(book, trials.new_trial(book, "lime", DAY, "3.65 kg less 0.65 kg", "1,35 kg", "juice", "PH"))
    (test,) = (t for t in done.all(YieldTest).values() if t.id not in book.all(YieldTest))
    assert yield_share(test) == Decimal("1.35") / 3
    assert (test.initials, test.part, test.gross.how) == ("PH", "juice", "scales")
    assert after(done, trials.remove_trial(done, test.id)) == book


@pytest.mark.parametrize(
    ("gross", "kept"), [("1 kg", "1.2 kg"), ("1 kg", "0.4 l"), ("0 kg", "0 kg"), ("1", "0.4 kg"), ("much", "0.4 kg")]
)
def test_what_cannot_be_is_refused(book: Book, gross: str, kept: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        trials.new_trial(book, "lime", DAY, gross, kept)


def test_the_mean_is_of_what_was_weighed_together(book: Book) -> None:
    mean = yield_mean(trials.trials_of(book, "pineapple", "flesh"))
    assert mean is not None
    assert mean.n == 4
    assert mean.share == (Decimal("3.28") + Decimal("3.07") + Decimal("3.40") + Decimal("3.22")) / Decimal("24.5")
    assert mean.spread is not None


def test_the_mean_is_written_as_refuse_measured_with_its_count(book: Book) -> None:
    done = after(book, trials.write_mean(book, "pineapple", "flesh", "pineapple-distillate", "trim", DAY))
    fact = dict(first(done, "pineapple-distillate").facts)["refuse"]
    assert (fact.text, fact.mark) == ("47.1 %", "measured")
    assert "4" in fact.how


def test_from_a_day_on_leaves_what_was_made_before(book: Book) -> None:
    since = date(2026, 11, 15)
    done = after(book, trials.write_mean(book, "pineapple", "flesh", "pineapple-distillate", "trim", DAY, since))
    assert first(done, "pineapple-distillate") == first(book, "pineapple-distillate")
    versions = done.all(Preparation)["pineapple-distillate"].versions
    assert len(versions) == len(book.all(Preparation)["pineapple-distillate"].versions) + 1


def test_the_mean_stands_in_place_of_a_weighing_and_moves_the_cost(book: Book) -> None:
    """A weighing of the recipe's own would be believed before any share."""
    old = dict(first(book, "lime-juice").readings)["out.mass"]
    started = after(book, trials.new_trial(book, "lime", DAY, "3 kg", "1 kg", "juice"))
    done = after(started, trials.write_mean(started, "lime", "juice", "lime-juice", "juice", DAY))
    stage = first(done, "lime-juice")
    assert "out.mass" not in dict(stage.readings)
    assert old.text in dict(stage.facts)["yield"].note
    before, later = (reckon(b.on(DAY)) for b in (book, done))
    assert later.costs["lime-juice"].making > before.costs["lime-juice"].making
    assert not [p for p in later.problems if "lime-juice" in p.where]


def test_only_stages_that_the_good_alone_goes_into_take_its_mean(book: Book) -> None:
    for good in ("lime", "ginger", "cucumber", "pineapple"):
        for preparation, stage, _ in trials.stages_for(book, good, DAY):
            assert {i.source for i in first(book, preparation).adds} == {good}
            assert first(book, preparation).id == stage
    with pytest.raises(ValueError, match="stage"):
        trials.write_mean(book, "lime", "juice", "pineapple-distillate", "trim", DAY)


@given(st.lists(st.tuples(st.integers(1, 9_999), st.integers(0, 100)), min_size=1, max_size=8))
def test_the_mean_lies_among_the_tests_and_weighs_them(pairs: list[tuple[int, int]]) -> None:
    made = [
        YieldTest(id=str(n), good="lime", day=DAY, gross=parse_fact(f"{gross} g"),
                  kept=parse_fact(f"{Decimal(gross) * percent / 100} g"))
        for n, (gross, percent) in enumerate(pairs)
    ]  # fmt: skip
    mean = yield_mean(made)
    assert mean is not None
    shares = [Decimal(percent) / 100 for _, percent in pairs]
    assert min(shares) - Decimal("1e-20") <= mean.share <= max(shares) + Decimal("1e-20")
    whole = sum(Decimal(g) for g, _ in pairs)
    kept = sum(Decimal(g) * p / 100 for g, p in pairs)
    assert abs(mean.share * whole - kept) < Decimal("1e-15")
    assert (mean.spread is None) == (len(pairs) == 1)
