"""More than one column that may be the price, and columns that change what a price is: nothing is taken in silence.

The lists are invented; that lists carry last year's price, a list price and a discount is common practice, no source.
"""

from decimal import Decimal

import pytest

from costing.supply.columns import guess_columns, understand
from tests.supply.columns.making import TODAY, codes, of_rows, read, said, table, the

ROWS = (("A1", "Gin Fogbell", "6x70cl"), ("A2", "Rum Kelp", "6x70cl"), ("A3", "Rye Sandbar", "6x1L"))


def listed(heads: str, *prices: str):  # type: ignore[no-untyped-def]
    rows = [(*row, *cells.split()) for row, cells in zip(ROWS, prices, strict=False)]
    return of_rows([("Code", "Item", "Pack", *heads.split(";")), *rows])


@pytest.mark.parametrize(
    ("heads", "prices", "value", "likeliest"),
    [
        ("List price;Your price", ("95 85.20", "110 99.60", "114 103.20"), "List price | Your price", "85.20"),
        ("Price;Promo price", ("85.20 80", "99.60 95", "103.20 99"), "Price | Promo price", "80"),
        ("Price 2025;Price 2026", ("82.80 85.80", "96.60 99.60", "101.40 103.80"), "Price 2025 | Price 2026", "85.80"),
        ("Price;Offer", ("85.20 80.50", "99.60 95.10", "103.20 99.90"), "Price | Offer", "80.50"),
        ("Listenpreis;Ihr Preis", ("95 85.20", "110 99.60", "114 103.20"), "Listenpreis | Ihr Preis", "85.20"),
        # a list price that is 10 % above in every row is no price with tax in it
        ("List price;Net price", ("110 100", "220 200", "330 300"), "List price | Net price", "100"),
    ],
)
def test_two_prices_are_asked_about_on_every_line(
    heads: str, prices: tuple[str, ...], value: str, likeliest: str
) -> None:
    made = listed(heads, *prices)
    lines = read(made).lines
    assert all("which-price" in codes(line) and said(line, "which-price") == {"value": value} for line in lines)
    assert lines[0].price == Decimal(likeliest)
    guess = guess_columns(made)
    assert {d.code for d in guess.asked} == {"which-price"}
    assert not any(codes(line) & {"which-price", "gross-by-ratio"} for line in read(made, guess.columns).lines)


def test_a_guess_may_be_read_with_its_questions() -> None:
    made = listed("List price;Your price", "95 85.20", "110 99.60")
    guess = guess_columns(made)
    out = understand(made, guess.columns, name="l.csv", digest="0" * 64, today=TODAY, asked=guess.asked)
    assert all(codes(line) == {"which-price"} for line in out.lines)


def test_merged_years_over_case_and_bottle_show_the_newest() -> None:
    rows = [("A1", "Gin 6x70cl", "82.8", "13.8", "85.8", "14.3"), ("A2", "Rum 6x70cl", "96.6", "16.1", "99.6", "16.6"),
            ("A3", "Rye 6x1L", "101.4", "16.9", "103.8", "17.3")]  # fmt: skip
    made = of_rows([("", "", "Price 2025", "Price 2025", "Price 2026", "Price 2026"),
                    ("Code", "Item", "Case", "Bottle", "Case", "Bottle"), *rows])  # fmt: skip
    lines = read(made).lines
    assert [line.price for line in lines] == [Decimal(text) for text in ("85.8", "99.6", "103.8")]
    values = {v for line in lines for d in line.doubts if d.code == "which-price" for _, v in d.values}
    assert values == {"Price 2025 / Case | Price 2026 / Case", "Price 2025 / Bottle | Price 2026 / Bottle"}
    assert {code for line in lines for code in codes(line)} == {"which-price"}


@pytest.mark.parametrize("head", ["Discount", "Disc. %", "Rabatt", "Nachlass"])
def test_a_discount_holds_every_line(head: str) -> None:
    made = listed(f"Price;{head}", "88.00 5%", "99.60 0%")
    assert all("discount-column" in codes(line) for line in read(made).lines)
    assert all(codes(line) == set() for line in read(made, guess_columns(made).columns).lines)


def test_figures_that_prove_which_price_it_is_leave_no_question() -> None:
    made = listed("Price A;Price B", "14.20 85.20", "16.60 99.60", "17.20 103.20")
    assert [the(line.price, line.per, codes(line)) for line in read(made).lines] == [
        (Decimal(text), "pack", set()) for text in ("85.20", "99.60", "103.20")
    ]


def test_a_number_of_bottles_that_is_not_used_holds_every_line() -> None:
    made = of_rows([("Code", "Item", "Volume (L)", "Stock", "Price"), *(
        (f"A{i}", f"Gin {'abc'[i]}", "0.7", "6", "85.20") for i in range(3))])  # fmt: skip
    assert all("may-be-count" in codes(line) for line in read(made).lines)
    ordered = of_rows([("Code", "Item", "Qty", "Size", "Price"), ("A1", "Gin", "6", "70cl", "85.2"),
                       ("A2", "Rum", "6", "70cl", "99.6")])  # fmt: skip
    assert all("may-be-count" in codes(line) for line in read(ordered).lines)
    billed = of_rows([("Code", "Item", "Qty", "Size", "Price", "Total"), ("A1", "Gin", "6", "70cl", "14.20", "85.20")])
    assert codes(read(billed).lines[0]) == set()


@pytest.mark.parametrize("heads", ["Net;Gross", "Net price;Gross price", "Netto;Brutto", "Prix HT;Prix TTC"])
def test_net_and_gross_swapped(heads: str) -> None:
    prices = ("101.39 85.20", "118.52 99.60", "122.81 103.20")  # 19 % of tax
    made = listed(heads, *prices)
    columns = guess_columns(made).columns
    assert (columns.tax, columns.rate) == ("unknown", None)
    for line in (*read(made).lines, *read(made, columns).lines):
        assert ("net-gross-swapped" in codes(line), line.tax) == (True, "unknown")
    right = listed(heads, *(" ".join(reversed(pair.split())) for pair in prices))
    assert [the(line.tax, codes(line)) for line in read(right).lines] == [("ex", set())] * 3


def test_two_rows_swapped_are_enough() -> None:
    made = listed("Net price;Gross price", "26.86 25.10", "12.41 11.60")  # 7 %
    assert [the(line.tax, codes(line)) for line in read(made).lines] == [("unknown", {"net-gross-swapped"})] * 2


@pytest.mark.parametrize(
    "head",
    ["Price per LPA", "Price per litre of pure alcohol", "Preis je Liter reinem Alkohol", "Price per 100 %",
     "Price per degree", "Prix par degré", "Price/LPA", "Price per % vol", "Prix par litre d'alcool pur"],
)  # fmt: skip
def test_a_price_of_alcohol_is_no_price_of_a_pack(head: str) -> None:
    alone = listed(head, "50.70", "56.40")
    columns = guess_columns(alone).columns
    for line in (*read(alone).lines, *read(alone, columns).lines):
        assert "price-of-alcohol" in codes(line)
    beside = listed(f"Case price;{head}", "85.20 50.70", "99.60 56.46")
    assert [line.price for line in read(beside).lines] == [Decimal("85.20"), Decimal("99.60")]
    assert "which-price" not in {code for line in read(beside).lines for code in codes(line)}


@pytest.mark.parametrize("heads", ["Size ml;Per case;Price per case", "Size (ml);Case size;Case price",
                                   "Volume (ml);Bottles;Case price"])  # fmt: skip
def test_the_unit_of_a_heading_is_judged_as_no_pack(heads: str) -> None:
    made = of_rows([("Code", "Item", *heads.split(";")), ("A1", "Rum", "700", "6", "85.2"),
                    ("A2", "Gin", "1000", "6", "103.2")])  # fmt: skip
    for line, content in zip(read(made).lines, (700, 1000), strict=True):
        assert line.pack is not None
        assert the(line.pack.levels, line.pack.content, line.per, codes(line)) == ((6,), content, "pack", set())
        assert "MLT" not in line.pack.text


def test_a_wrong_size_under_such_a_heading_is_still_doubted() -> None:
    made = of_rows([("Code", "Item", "Size ml", "Per case", "Case price"), ("A1", "Rum", "0.7", "6", "85.2")])
    assert "size-odd" in codes(read(made).lines[0])


def test_bottles_beside_the_price_of_a_case_are_counted() -> None:
    made = table("Code;Item;Volume (L);Bottles;Case price\nA1;Rum;0.7;6;85.2\nA2;Gin;1;6;103.2")
    assert [line.pack and the(line.pack.levels, line.pack.total) for line in read(made).lines] == [
        ((6,), 4200),
        ((6,), 6000),
    ]


def test_a_special_price_of_a_few_rows_is_not_shown_for_all() -> None:
    rows = [
        ("A1", "Gin", "6x70cl", "85.20", ""),
        ("A2", "Rum", "6x70cl", "99.60", "95"),
        ("A3", "Rye", "6x1L", "103.20", ""),
    ]
    lines = read(of_rows([("Code", "Item", "Pack", "Price", "Promo price"), *rows])).lines
    assert [the(line.price, codes(line)) for line in lines] == [
        (Decimal(row[3]), {"which-price"}) for row in rows
    ]  # fmt: skip


def test_two_prices_without_headings_are_asked_about() -> None:
    made = of_rows([("A1", "Gin orchard", "6x70cl", "85.20", "91.70"), ("A2", "Rum kelp", "6x70cl", "99.60", "101.10"),
                    ("A3", "Rye sandbar", "6x1L", "103.20", "140.90")])  # fmt: skip
    assert all("which-price" in codes(line) for line in read(made).lines)
