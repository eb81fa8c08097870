"""Logs of batches, and what they teach a recipe."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.book.book import Book
from costing.book.records import BatchLog, LoggedStage, Stage
from costing.edits import batch_recipe, batches
from costing.ledger import reckon
from costing.ledger.batches import as_made
from costing.ledger.scale import scaled
from tests.edits.test_goods import after, book

__all__ = ["book"]
DAY = date(2026, 11, 1)
RUM = "pineapple-distillate"


def begun(book: Book, preparation: str = RUM, day: date = DAY) -> tuple[Book, str]:
    """A book with one more log, and its id."""
    step, ident = batches.new_log(book, preparation, day, 41, " PH ")
    return after(book, step), ident


def log_of(book: Book, ident: str) -> BatchLog:
    return book.all(BatchLog)[ident]


def stage_of(book: Book, ident: str, stage: str) -> LoggedStage:
    return next(s for s in log_of(book, ident).stages if s.stage == stage)


def recipe(book: Book, stage: str, day: date = DAY, preparation: str = RUM) -> Stage:
    return next(s for s in book.on(day).preparations[preparation][1].stages if s.id == stage)


class TestLogging:
    """Begun, filled in, amended, taken out."""

    def test_a_log_has_the_stages_of_the_recipe_of_its_day(self, book: Book) -> None:
        done, ident = begun(book)
        log = log_of(done, ident)
        assert [s.stage for s in log.stages] == [s.id for s in book.on(DAY).preparations[RUM][1].stages]
        assert (log.preparation, log.day, log.revision, log.initials, log.state) == (RUM, DAY, 41, "PH", "made")
        assert after(done, batches.remove(done, ident)) == book

    def test_ids_are_never_used_again(self, book: Book) -> None:
        _, first = begun(book)
        _, second = batches.new_log(book, RUM, DAY, None, past={first})
        assert second != first

    def test_what_the_recipe_lacks_is_logged_with_its_name(self, book: Book) -> None:
        started, ident = begun(book)
        done = after(started, batches.add_extra(started, ident, "infuse", "200 g lime"))
        (added,) = stage_of(done, ident, "infuse").added
        assert (added.input, added.amount.text) == ("lime", "200 g")
        with pytest.raises(ValueError, match="Lime stands in this stage already"):
            batches.add_extra(done, ident, "infuse", "300 g lime")
        for text in ("200 g moonwater", "lime", ""):
            with pytest.raises(ValueError):  # noqa: PT011  each says its own
                batches.add_extra(done, ident, "infuse", text)
        assert after(done, batches.set_added(done, ident, "infuse", "lime", "")) == started

    def test_who_was_at_a_stage_and_what_to_say_of_it(self, book: Book) -> None:
        started, ident = begun(book)
        done = after(started, batches.set_stage_initials(started, ident, "roast", " PH "))
        done = after(done, batches.set_stage_note(done, ident, "roast", "oven ran hot "))
        stage = stage_of(done, ident, "roast")
        assert (stage.initials, stage.note) == ("PH", "oven ran hot")
        assert batches.set_stage_initials(done, ident, "roast", "PH") is None
        done = after(done, batches.set_stage_note(done, ident, "roast", ""))
        assert after(done, batches.set_stage_initials(done, ident, "roast", "")) == started

    def test_before_the_first_version_there_is_nothing_to_log(self, book: Book) -> None:
        with pytest.raises(ValueError, match="begins on"):
            batches.new_log(book, RUM, date(2020, 1, 1), None)

    def test_readings_keep_the_text_the_net_and_the_temperature(self, book: Book) -> None:
        done, ident = begun(book)
        for stage, name, text in (
            ("infuse", "left.mass", "1.68 kg less 0.37 kg"), ("distil", "out.volume", "1.2 l at 5 C"),
            ("distil", "out.abv", "62,5 % vol"),
        ):  # fmt: skip
            done = after(done, batches.set_reading(done, ident, stage, name, text, "scales" if "kg" in text else ""))
        weighed = dict(stage_of(done, ident, "infuse").readings)["left.mass"]
        assert (weighed.text, weighed.value, weighed.how) == ("1.68 kg less 0.37 kg", Decimal("1.31"), "scales")
        distilled = dict(stage_of(done, ident, "distil").readings)
        assert distilled["out.volume"].at == 5
        assert distilled["out.abv"].value == Decimal("62.5")
        done = after(done, batches.set_reading(done, ident, "infuse", "left.mass", "1.30 kg"))
        assert dict(stage_of(done, ident, "infuse").readings)["left.mass"].how == "scales", "amended, read the same way"
        done = after(done, batches.set_reading(done, ident, "infuse", "left.mass", " "))
        assert stage_of(done, ident, "infuse").readings == ()

    def test_a_method_is_of_a_reading(self, book: Book) -> None:
        done, ident = begun(book)
        with pytest.raises(ValueError, match="first"):
            batches.set_method(done, ident, "distil", "out.abv", "alcoholmeter")
        done = after(done, batches.set_reading(done, ident, "distil", "out.abv", "62 % vol"))
        done = after(done, batches.set_method(done, ident, "distil", "out.abv", "alcoholmeter"))
        assert dict(stage_of(done, ident, "distil").readings)["out.abv"].how == "alcoholmeter"

    def test_what_went_in_keeps_its_lot_and_place(self, book: Book) -> None:
        done, ident = begun(book, "walnut-mother")
        for source, text, lot in (("pear-brandy", "4.2 l", "A"), ("walnut", "2 kg", "B")):
            done = after(done, batches.set_added(done, ident, "steep", source, text, lot))
        done = after(done, batches.set_added(done, ident, "steep", "pear-brandy", "4.1 l"))
        added = stage_of(done, ident, "steep").added
        assert [(i.input, i.amount.text, i.lot) for i in added] == [
            ("pear-brandy", "4.1 l", "A"),
            ("walnut", "2 kg", "B"),
        ]
        done = after(done, batches.set_added(done, ident, "steep", "pear-brandy", ""))
        assert [i.input for i in stage_of(done, ident, "steep").added] == ["walnut"]

    def test_state_day_initials_and_note(self, book: Book) -> None:
        done, ident = begun(book)
        done = after(done, batches.set_state(done, ident, "failed"))
        done = after(done, batches.set_day(done, ident, date(2026, 10, 30)))
        done = after(done, batches.set_initials(done, ident, " QS "))
        done = after(done, batches.set_note(done, ident, " pump stopped "))
        log = log_of(done, ident)
        assert (log.state, log.day, log.initials, log.note) == ("failed", date(2026, 10, 30), "QS", "pump stopped")
        assert batches.set_state(done, ident, "failed") is None
        with pytest.raises(ValueError, match="made, failed or held"):
            batches.set_state(done, ident, "lost")

    @given(
        text=st.sampled_from(["0 kg", "900 kg", "12 l", "101 % vol", "3 oz", "5", "0.001 g", "2 l at 90 C"]),
        stage=st.sampled_from(["trim", "roast", "infuse", "distil", "proof", "bottle", "nowhere"]),
        name=st.sampled_from(["out.mass", "out.volume", "out.abv", "out.brix", "left.mass", "left.abv"]),
    )
    def test_a_log_is_never_refused_for_what_it_says(self, book: Book, text: str, stage: str, name: str) -> None:
        done, ident = begun(book)
        done = after(done, batches.set_reading(done, ident, stage, name, text))
        ledger = as_made(reckon(done.on(DAY)), log_of(done, ident)).ledger
        assert not ledger.refused


class TestMean:
    """The mean of the last batches as the recipe's figure."""

    def test_failed_and_later_ones_are_not_counted(self, book: Book) -> None:
        mean = batch_recipe.logged_mean(book, RUM, "trim", "out.mass", DAY)
        assert mean is not None
        assert (mean.n, mean.left_out, mean.fact.text) == (4, 0, "3.139 kg")  # 3.210, 3.226, 3.078, 3.041
        two = batch_recipe.logged_mean(book, RUM, "trim", "out.mass", date(2026, 9, 30), 2)
        assert two is not None
        assert (two.n, two.fact.value) == (2, Decimal("3.152"))

    def test_it_is_of_the_version_of_the_day(self, book: Book) -> None:
        """Lime juice is made another way since 18 May: batches before it say nothing of the recipe of today."""
        mean = batch_recipe.logged_mean(book, "lime-juice", "juice", "out.mass", DAY)
        assert mean is not None
        assert mean.n == 4

    def test_another_size_says_nothing_of_a_weight_but_all_of_a_strength(self, book: Book) -> None:
        done, ident = begun(book)
        done = after(done, batches.set_added(done, ident, "trim", "pineapple", "12 kg"))
        done = after(done, batches.set_reading(done, ident, "trim", "out.mass", "6.3 kg"))
        done = after(done, batches.set_reading(done, ident, "proof", "out.abv", "45.6 % vol"))
        weight = batch_recipe.logged_mean(done, RUM, "trim", "out.mass", DAY)
        strength = batch_recipe.logged_mean(done, RUM, "proof", "out.abv", DAY)
        assert weight is not None
        assert strength is not None
        assert (weight.n, weight.left_out) == (4, 1)
        assert (strength.n, strength.left_out, strength.fact.text) == (5, 0, "45.1 % vol")

    def test_units_meet_and_a_guess_does_not_count(self, book: Book) -> None:
        done, ident = begun(book)
        done = after(done, batches.set_reading(done, ident, "trim", "out.mass", "3000 g"))
        mean = batch_recipe.logged_mean(done, RUM, "trim", "out.mass", DAY)
        assert mean is not None
        assert mean.fact.text == "3111.000 g"
        done = after(done, batches.set_reading(done, ident, "trim", "out.mass", "~3000 g"))
        mean = batch_recipe.logged_mean(done, RUM, "trim", "out.mass", DAY)
        assert mean is not None
        assert (mean.n, mean.left_out) == (4, 1)

    def test_written_measured_with_its_count_and_what_it_replaced(self, book: Book) -> None:
        done = after(book, batch_recipe.write_mean(book, RUM, "roast", "out.mass", DAY))
        fact = dict(recipe(done, "roast").readings)["out.mass"]
        assert (fact.text, fact.mark) == ("1.938 kg", "measured")
        assert "4" in fact.how
        assert "1.950 kg" in fact.note
        on = reckon(done.on(DAY)).ledgers[RUM].lines[1].on
        assert on.matter.mass == pytest.approx(1.938)

    def test_from_a_day_on_leaves_what_was_made_before(self, book: Book) -> None:
        since = date(2026, 11, 2)
        done = after(book, batch_recipe.write_mean(book, RUM, "roast", "out.mass", DAY, since=since))
        assert dict(recipe(done, "roast").readings)["out.mass"].text == "1.950 kg"
        assert dict(recipe(done, "roast", since).readings)["out.mass"].text == "1.938 kg"

    def test_what_nobody_read_or_what_cannot_be(self, book: Book) -> None:
        with pytest.raises(ValueError, match="reading"):
            batch_recipe.write_mean(book, RUM, "bottle", "out.mass", DAY)
        done, ident = begun(book)
        done = after(done, batches.set_reading(done, ident, "roast", "out.mass", "1800 kg"))
        with pytest.raises(ValueError, match="followed"):
            batch_recipe.write_mean(done, RUM, "roast", "out.mass", DAY, last=1)


class TestSize:
    """Another size as the standard batch."""

    def test_amended_it_makes_what_the_scaled_batch_makes(self, book: Book) -> None:
        made = scaled(reckon(book.on(DAY)), RUM, Decimal(2)).ledger.outputs[RUM].made
        done = after(book, batch_recipe.keep_size(book, RUM, Decimal(2), DAY))
        assert reckon(done.on(DAY)).ledgers[RUM].outputs[RUM].made == pytest.approx(made)
        amount = recipe(done, "trim").adds[0].amount
        assert amount is not None
        assert amount.text == "12 kg"
        assert done.on(DAY).preparations[RUM][1].since == book.on(DAY).preparations[RUM][1].since

    def test_from_a_day_on_and_not_before(self, book: Book) -> None:
        since = date(2026, 11, 10)
        done = after(book, batch_recipe.keep_size(book, RUM, Decimal("1.5"), DAY, since))
        assert done.on(DAY).preparations[RUM][1] == book.on(DAY).preparations[RUM][1]
        amount = recipe(done, "trim", since).adds[0].amount
        assert amount is not None
        assert amount.value == 9

    def test_once_the_size_changes_nothing_and_nothing_is_no_size(self, book: Book) -> None:
        assert batch_recipe.keep_size(book, RUM, Decimal(1), DAY) is None
        for factor in (Decimal(0), Decimal(-1), Decimal("NaN"), Decimal(20000)):
            with pytest.raises(ValueError, match="times"):
                batch_recipe.keep_size(book, RUM, factor, DAY)
