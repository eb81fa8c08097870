"""Laws that hold for any file: no row is lost, order means nothing, what goes back comes off, and no figure is off by a
thousand."""

from collections.abc import Sequence
from decimal import Decimal
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from costing.book.selling import SalesPeriod, Sold
from costing.edits.tills import set_button, take_sales
from costing.supply.readers.tables import read_table
from costing.supply.till.understand import understand_sales
from tests.supply.till.tills import TODAY, USUAL, bar, period, plan, waits

D = Decimal
HEAD = "Business day,Item,Qty,Gross,Discount,Net,VAT,Flag"
NAMES = ("SOUR", "LONG", "LAGER", "SHOT", "NO ICE", "GIFT CARD", "WHO KNOWS", "Total Mystery", "Harbour Sour")
SELLS = {"SOUR": "sour", "LONG": "long", "LAGER": "lager", "SHOT": "shot"}


@st.composite
def row(draw: st.DrawFn, names: Sequence[str] = NAMES) -> str:
    """A row that adds up: paid, given, voided before or after it was made, or refunded."""
    name = draw(st.sampled_from(names))
    day = draw(st.sampled_from(("2026-08-31", "2026-09-01", "2026-09-02")))
    qty = draw(st.integers(1, 30))
    each = draw(st.sampled_from(("3.00", "6.00", "10.00", "12.00")))
    gross = qty * D(each)
    net = (gross / D("1.19")).quantize(D("0.01"))
    kind = draw(st.sampled_from(("", "", "", "comp", "void", "waste", "refund")))
    if kind == "comp":
        return f"{day},{name},{qty},{gross},{gross},0.00,0.00,{kind}"
    sign = -1 if kind else 1
    return f"{day},{name},{sign * qty},{sign * gross},0.00,{sign * net},{sign * (gross - net)},{kind}"


rows = st.lists(row(), min_size=1, max_size=25)


@settings(max_examples=40, deadline=None)
@given(rows, st.booleans())
def test_every_row_is_counted_ignored_or_waits(made: list[str], headed: bool) -> None:
    text = "\n".join([HEAD, *made, *([HEAD] if headed else []), "TOTAL,,1,1.00,0,1.00,0,", "Page 2"])
    found = plan(text)
    assert found.read == len(made) + 2 + headed
    assert found.read == found.count("counted") + found.count("ignored") + found.count("waiting")
    only = period(found)
    assert (only.read, only.mapped) == (found.read, found.count("counted"))
    assert sum(left.rows for left in only.left) == only.ignored + only.unmapped
    assert sum(left.rows for left in waits(only)) == only.unmapped


@settings(max_examples=30, deadline=None)
@given(rows.flatmap(lambda made: st.tuples(st.just(made), st.permutations(made))))
def test_the_order_of_rows_means_nothing(pair: tuple[list[str], list[str]]) -> None:
    one, other = (period(plan("\n".join([HEAD, *made]))) for made in pair)
    assert one == other


@settings(max_examples=30, deadline=None)
@given(rows, row(("SOUR",)).filter(lambda text: text.endswith(",") and "-" not in text.split(",")[2]))
def test_what_goes_back_comes_off(made: list[str], sale: str) -> None:
    day, name, qty, gross, _, net, tax, _ = sale.split(",")
    before = period(plan("\n".join([HEAD, *made, sale])))
    for mark in ("refund", "waste", "void"):
        back = f"{day},{name},-{qty},-{gross},0.00,-{net},-{tax},{mark}"
        after = period(plan("\n".join([HEAD, *made, sale, back])))
        was, now = (next((s for s in one.sold if s.serve == "sour"), NONE) for one in (before, after))
        assert now.count == was.count - D(qty)
        assert (now.net or 0) == (was.net or 0) - D(net)
        assert now.refunded - was.refunded == (D(qty) if mark == "refund" else 0)
        assert now.wasted - was.wasted == (D(qty) if mark == "waste" else 0)
        assert now.made == was.made - (D(qty) if mark == "void" else 0)
        assert now.given == was.given


NONE = Sold(serve="sour", count=D(0), net=D(0))
STYLES = {"plain": ("", "."), "english": (",", "."), "german": (".", ","), "swiss": ("'", "."), "spaced": (" ", ",")}


def written(value: Decimal, style: str) -> str:
    """A figure as a country writes it."""
    group, point = STYLES[style]
    whole, _, rest = f"{value:,f}".partition(".")
    return whole.replace(",", group) + (point + rest if rest else "")


amounts = st.one_of(st.integers(1, 2_000_000).map(D), st.integers(1, 9_999_999).map(lambda n: D(n).scaleb(-3)))


@settings(max_examples=50, deadline=None)
@given(st.lists(amounts, min_size=1, max_size=6), st.sampled_from(sorted(STYLES)))
def test_no_figure_is_off_by_a_thousand(values: list[Decimal], style: str) -> None:
    text = "Business day;Item;Qty\n" + "\n".join(f"2026-08-31;SOUR;{written(value, style)}" for value in values)
    found = understand_sales(read_table(text.encode(), "x.csv"), name="x.csv", today=TODAY)
    if not found.asked:
        assert [one.qty for one in found.rows] == values


@settings(max_examples=40, deadline=None)
@given(st.lists(row((*SELLS, "GIFT CARD")), min_size=1, max_size=20), st.sampled_from(("ex", "inc")), st.randoms())
def test_counted_later_is_counted_the_same(made: list[str], tax: str, random: Random) -> None:
    # the file without its tax is one whose prices have tax in them: what it brought net has no end of decimals
    # some row was paid for: of rows that all brought nothing it is not kept whether their file has money
    text = "\n".join([HEAD, *made, "2026-08-31,LONG,1,10.00,0.00,8.40,1.60,"])
    if tax == "inc":
        text = "\n".join(",".join([*line.split(",")[:6], line.split(",")[7]]) for line in text.splitlines())
    at_once = period(plan(text, tax=tax))
    book = bar()
    step = take_sales(book, plan(text, book, tax=tax))
    assert step is not None
    book = book.with_changes(step.changes)
    buttons = [button for button in USUAL if button.sort != "instead"]
    random.shuffle(buttons)
    for button in buttons:
        said = set_button(book, button.text, day=TODAY, sort=button.sort, parts=button.parts, reason=button.reason)
        assert said is not None
        book = book.with_changes(said.changes)
    (later,) = book.all(SalesPeriod).values()
    assert later == at_once
