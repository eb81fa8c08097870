"""Lists written by hand, one good a line: cut into name, pack and price, doubted where that is not sure, none lost."""

from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from costing.supply.arriving.line import Incoming
from costing.supply.columns import fits, guess_columns, preview, understand
from costing.supply.readers.clip import read_clip
from costing.supply.readers.door import read_prices
from tests.supply.columns.making import TODAY, codes, of_rows, the

TEXT = "lemons 10kg 25.10\nlimes 4kg 12\nmint 10x100g 11,90"


def pasted(text: str) -> Incoming:
    made = read_clip(text)
    out = understand(made, name="paste", digest="0" * 64, today=TODAY)
    assert len(out.lines) + len(out.left_out) == len(made.rows)
    return out


def test_every_line_becomes_name_pack_and_price() -> None:
    for out in (pasted(TEXT), read_prices(TEXT.encode(), "prices.txt")):
        assert [the(line.name, line.pack and line.pack.total, line.price, line.where) for line in out.lines] == [
            ("lemons", 10_000, Decimal("25.10"), "row 1"), ("limes", 4_000, 12, "row 2"),
            ("mint", 1_000, Decimal("11.90"), "row 3"),
        ]  # fmt: skip
        assert [codes(line) for line in out.lines] == [set(), {"line-cut"}, set()]
        assert {line.per for line in out.lines} == {"pack"}


def test_lines_that_cannot_be_cut_are_shown_as_unread() -> None:
    out = pasted(
        "Prices this week\n\nlemons 10kg 25.10\nlimes 4kg ask Tom\n2 boxes of kale to come\nmint 10x100g 11.90 €"
    )
    assert [line.name for line in out.lines] == ["lemons", "mint"]
    assert [(left.text, left.why) for left in out.left_out] == [
        ("Prices this week", "group"), ("", "empty"), ("limes 4kg ask Tom", "unread"),
        ("2 boxes of kale to come", "unread"),
    ]  # fmt: skip


def test_a_unit_of_sale_at_the_end_is_read() -> None:
    out = pasted("lemons 2.50/kg\nlimes 12 kg box 30.00 per box\nGin dry 43% 70cl: 17.10")
    assert [the(line.name, line.price, line.per) for line in out.lines] == [
        ("lemons", Decimal("2.50"), "kg"), ("limes", 30, "pack"), ("Gin dry 43%", Decimal("17.10"), "pack"),
    ]  # fmt: skip
    assert all(codes(line) for line in out.lines[:1])


def test_one_line_is_a_list_too() -> None:
    (line,) = pasted("mint 10x100g 11,90").lines
    assert the(line.name, line.price) == ("mint", Decimal("11.90"))


def test_cells_stay_cells() -> None:
    text = "Code,Item,Pack,Price\nA1,Lemons,10 kg,25.10\nA2,Limes,4 kg,12"
    assert [line.name for line in pasted(text).lines] == ["Lemons", "Limes"]
    headless = pasted("Lemons,10 kg,25.10\nLimes,4 kg,12.00\nMint,1 kg,9.80")
    assert [line.name for line in headless.lines] == ["Lemons", "Limes", "Mint"]


def test_the_same_table_is_guessed_shown_and_guarded() -> None:
    table = read_clip(TEXT)
    columns = guess_columns(table).columns
    again = understand(table, columns, name="paste", digest="0" * 64, today=TODAY)
    assert [line.price for line in again.lines] == [Decimal("25.10"), 12, Decimal("11.90")]
    assert again.table is not None
    assert [row.line and row.line.name for row in preview(again.table, columns, today=TODAY)] == [
        "lemons",
        "limes",
        "mint",
    ]
    assert "no-price-lines" not in {d.code for d in fits(table, columns)}


def test_rows_above_a_headless_list_are_no_preamble() -> None:
    out = pasted("Kale box 5kg\nLemons;10 kg;25.10\nLimes;4 kg;12.00\nMint;1 kg;9.80")
    assert [(left.text, left.why) for left in out.left_out if left.text.startswith("Kale")] == [
        ("Kale box 5kg", "unread")
    ]


words = st.sampled_from(("lemons", "limes", "fresh mint", "Gin dry", "kale", "ask", "the", "Prices of the week"))
packs = st.sampled_from(("", "10kg", "6x70cl", "4 kg", "12 pcs", "1L"))
prices = st.sampled_from(("", "12", "25.10", "11,90", "1.204", "€ 8", "8.50 €", "POA", "3 for 10"))


@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(words, packs, prices), min_size=1, max_size=8))
def test_no_row_with_a_word_and_a_number_is_called_preamble(rows: list[tuple[str, str, str]]) -> None:
    text = "\n".join(" ".join(part for part in row if part) for row in rows)
    out = pasted(text)
    assert not any(
        left.why in ("preamble", "note", "group") and any(c.isdigit() for c in left.text) for left in out.left_out
    )


def test_a_cut_table_is_cut_once_and_an_empty_one_not_at_all() -> None:
    out = pasted(TEXT)
    assert out.table is not None
    again = understand(out.table, name="paste", digest="0" * 64, today=TODAY)
    assert [line.name for line in again.lines] == ["lemons", "limes", "mint"]
    assert (out.table.delimiter, guess_columns(out.table).columns.width) == ("", 4)
    nothing = understand(of_rows([]), name="empty", digest="0" * 64, today=TODAY)
    assert (nothing.lines, nothing.left_out) == ((), ())
    assert {d.code for d in nothing.doubts} == {"no-heading", "no-price-column", "no-name-column"}


def test_a_sentence_with_a_comma_above_the_lines_does_not_hide_them() -> None:
    out = pasted("Hello Tom, here are the prices\nlemons 10kg 25.10\nmint 10x100g 11,90")
    assert [line.name for line in out.lines] == ["lemons", "mint"]
    assert [left.text for left in out.left_out] == ["Hello Tom, here are the prices"]
