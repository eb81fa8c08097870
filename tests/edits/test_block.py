"""A pasted block: every line is taken, held with a reason or left out, and nothing is guessed."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from costing.book.book import Book
from costing.book.change import put
from costing.book.records import PackCharge, Quote
from costing.edits.block import BlockLine, BlockPlan, read_block, step_of, take
from tests.edits.test_goods import after, book

__all__ = ["book"]
DAY = date(2026, 11, 20)


def now(book: Book, good: str) -> Quote:
    """The quote that costs a good."""
    found = book.on(DAY).quote_of(good)
    assert found is not None
    return found


def only(book: Book, text: str) -> BlockLine:
    """The one line of a block."""
    (line,) = read_block(text, book, DAY).lines
    return line


def priced(book: Book, good: str, times: str = "1.05") -> str:
    """A price near the last one."""
    return str((now(book, good).price * Decimal(times)).quantize(Decimal("0.01")))


def test_a_clean_block_is_one_step(book: Book) -> None:
    rum, lime = book.on(DAY).goods["white-rum"].name, book.on(DAY).goods["lime"].name
    price = priced(book, "white-rum")
    lines = ["Item\tPack\tNet price\tNotes", f"{rum.upper()}\t\t{price.replace('.', ',')}\tx", "",
             f"{lime}\t\t{priced(book, 'lime')}\t"]  # fmt: skip
    text = "\n".join(lines)
    plan = read_block(text, book, DAY)
    assert [line.fate for line in plan.lines] == ["ignored", "taken", "ignored", "taken"]
    step = step_of(plan, book)
    done = after(book, step)
    assert step is not None
    assert len(step.changes) == 2
    new = now(done, "white-rum")
    old = now(book, "white-rum")
    assert (new.price, new.since, new.levels, new.content) == (Decimal(price), DAY, old.levels, old.content)
    assert new.supplier == old.supplier
    assert done.all(Quote)[old.id] == old


def test_order_stands_in_for_a_heading(book: Book) -> None:
    line = only(book, f"White rum 40 %\t6 x 0.7 l\t{priced(book, 'white-rum')}\tRopewalk Casks\t2026-11-18")
    name = book.on(DAY).goods["white-rum"].name
    line = line if line.good else only(book, f"{name}\t6 x 0.7 l\t90\tRopewalk Casks\t2026-11-18")
    assert line.since == date(2026, 11, 18)
    assert line.pack == "6 x 0.7 l"


@pytest.mark.parametrize(
    ("price", "said"),
    [
        ("1,234", "could be"), ("1.234", "may be"), ("$1.234", "currency"), ("€1.234", "may be"),
        ("£12.50", "currency"),
        ("12.50 USD", "currency"),
        ("", "price"), ("12.5.0", "price"), ("-4", "from 0"), ("nan", "price"), ("٣", "price"), ("0", "nothing"),
    ],
)  # fmt: skip
def test_prices_that_would_be_guessed_wait(book: Book, price: str, said: str) -> None:
    line = only(book, f"{book.on(DAY).goods['lime'].name}\t\t{price}")
    assert line.fate == "held"
    assert said in line.why


def test_a_price_may_bear_the_sign_or_code_of_the_house(book: Book) -> None:
    name, price = book.on(DAY).goods["lime"].name, priced(book, "lime")
    for text in (f"€ {price}", f"{price} €", f"{price} EUR", price.replace(".", ",")):
        assert only(book, f"{name}\t\t{text}").fate == "taken"


@pytest.mark.parametrize("times", ["0.1", "10", "0.4", "2.2", "100"])
def test_a_price_that_jumps_waits_and_can_be_taken(book: Book, times: str) -> None:
    line = only(book, f"{book.on(DAY).goods['lime'].name}\t\t{priced(book, 'lime', times)}")
    assert line.fate == "held"
    plan = BlockPlan((take(line),))
    done = after(book, step_of(plan, book))
    assert now(done, "lime").price == line.price


def test_the_jump_is_judged_by_the_unit_and_not_by_the_pack(book: Book) -> None:
    old = now(book, "white-rum")
    half = f"{book.on(DAY).goods['white-rum'].name}\t0.7 l\t{(old.price / 6).quantize(Decimal('0.01'))}"
    assert old.levels == (6,)
    assert only(book, half).fate == "taken"


def test_names_are_never_guessed(book: Book) -> None:
    line = only(book, "moonwater\t1 l\t5")
    assert (line.fate, line.quote) == ("held", None)
    with pytest.raises(ValueError, match="moonwater"):
        take(line)
    assert only(book, "Lemmon\t1 kg\t5").quote is None


def test_a_second_price_of_one_pack_waits(book: Book) -> None:
    name = book.on(DAY).goods["lime"].name
    plan = read_block(f"{name}\t\t{priced(book, 'lime')}\n{name}\t\t{priced(book, 'lime', '1.1')}", book, DAY)
    assert [line.fate for line in plan.lines] == ["taken", "held"]
    assert "line 1" in plan.lines[1].why


def test_two_packs_of_one_good_are_both_taken_under_two_ids(book: Book) -> None:
    name, price = book.on(DAY).goods["white-rum"].name, now(book, "white-rum").price
    each = (price / 6).quantize(Decimal("0.01"))
    plan = read_block(f"{name}\t6 x 0.7 l\t{price + 1}\n{name}\t0.7 l\t{each}", book, DAY)
    assert [line.fate for line in plan.lines] == ["taken", "taken"]
    step = step_of(plan, book)
    done = after(book, step)
    assert len(done.all(Quote)) == len(book.all(Quote)) + 2


def test_a_quote_of_the_day_is_put_right_and_loses_nothing(book: Book) -> None:
    old = now(book, "lime")
    full = replace(old, id="lime-today", since=DAY, charges=(PackCharge(name="freight", amount=Decimal(1)),),
                   note="kept", gtin="4006381333931", until=date(2026, 12, 24))  # fmt: skip
    started = book.with_changes([put("quote", full)])
    line = only(started, f"{book.on(DAY).goods['lime'].name}\t\t{priced(book, 'lime')}")
    done = after(started, step_of(BlockPlan((line,)), started))
    assert line.price is not None
    assert done.all(Quote)["lime-today"] == replace(full, price=line.price)


def test_a_pack_of_another_supplier_is_not_taken_over(book: Book) -> None:
    other = next(
        s for s in book.on(DAY).suppliers.values() if s.id not in {q.supplier for q in book.on(DAY).offers("lime")}
    )
    line = only(book, f"{book.on(DAY).goods['lime'].name}\t\t{priced(book, 'lime')}\t{other.name}")
    assert (line.fate, line.quote) == ("held", None)
    assert "pack" in line.why


def test_packs_and_days_that_cannot_be(book: Book) -> None:
    name, price = book.on(DAY).goods["lime"].name, priced(book, "lime")
    for pack in ("1 kwh", "0 kg", "999999 x 1 kg", "a crate"):
        assert only(book, f"{name}\t{pack}\t{price}").fate == "held"
    for day in ("03/04/2026", "2026-13-01", "31.4.2026", "20261101", "2026-W01-1"):
        assert "day" in only(book, f"{name}\t\t{price}\t\t{day}").why
    assert only(book, f"{name}\t\t{price}\t\t18.11.26").since == date(2026, 11, 18)


def test_the_price_there_is_changes_nothing(book: Book) -> None:
    line = only(book, f"{book.on(DAY).goods['lime'].name}\t\t{now(book, 'lime').price}")
    assert line.fate == "ignored"
    assert step_of(BlockPlan((line,)), book) is None


def test_too_many_lines_are_refused(book: Book) -> None:
    with pytest.raises(ValueError, match="5000"):
        read_block("a\n" * 5001, book, DAY)


CELL = st.one_of(
    st.sampled_from(["Lime", "White rum", "", "6 x 0.7 l", "12.50", "1,234", "2026-11-18", "Ropewalk Casks", "price",
                     "name"]),
    st.text(max_size=8),
)  # fmt: skip


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.lists(CELL, max_size=7), max_size=8))
def test_any_block_adds_up(book: Book, cells: list[list[str]]) -> None:
    text = "\n".join("\t".join(row) for row in cells)
    plan = read_block(text, book, DAY)
    assert len(plan.lines) == len(text.splitlines())
    assert sum(plan.count(fate) for fate in ("taken", "held", "ignored")) == len(plan.lines)
    assert all(line.why for line in plan.lines if line.fate != "taken")
    assert all(line.quote is not None for line in plan.lines if line.fate == "taken")
    made = [line.quote.id for line in plan.lines if line.quote is not None]
    assert len(set(made)) == len(made)
    everything = BlockPlan(tuple(take(line) if line.quote is not None else line for line in plan.lines))
    step = step_of(everything, book)
    if step is not None:
        done = after(book, step)
        assert len(step.changes) == len(made)
        assert done.all(Quote).keys() == book.all(Quote).keys() | set(made)
