"""Two columns of one meaning: told apart by arithmetic over all rows, or asked."""

from dataclasses import replace
from decimal import Decimal

from costing.supply.columns import Use, guess_columns, with_uses
from tests.supply.columns.making import codes, read, table, the

EACH = (9.5, 12.25, 20.0, 31.4, 7.8)


def roles(text: str) -> dict[str, int]:
    return {use.role: use.column for use in guess_columns(table(text)).columns.uses}


def doubts(text: str) -> set[str]:
    return {d.code for d in guess_columns(table(text)).doubts}


def rows(*shape: str) -> str:
    """Rows with {i}, the price of one {e}, of six {c}, the same with 20 % tax {g}, and one unlike the others {o}."""
    out = []
    for i, each in enumerate(EACH):
        values = {
            "i": i,
            "e": f"{each:.2f}",
            "c": f"{each * 6:.2f}",
            "g": f"{each * 1.2:.2f}",
            "o": f"{each * (1.3 + i / 5):.2f}",
        }
        out.append(";".join(shape).format(**values))
    return "\n".join(out)


def test_case_and_bottle_by_their_ratio() -> None:
    text = "Code;Name;Pack;Price;Price\n" + rows("A{i}", "Gin no {i}", "6 x 70cl", "{e}", "{c}")
    assert (roles(text)["price"], roles(text)["price_each"], doubts(text)) == (4, 3, set())
    made = read(text)
    assert [line.price for line in made] == [Decimal(f"{each * 6:.2f}") for each in EACH]
    assert {line.per for line in made} == {"pack"}


def test_net_and_gross_by_their_ratio_are_said_to_be() -> None:
    text = "Code;Name;Pack;Price;Price\n" + rows("A{i}", "Gin no {i}", "70cl", "{e}", "{g}")
    guess = guess_columns(table(text))
    assert (roles(text)["price"], roles(text)["gross"]) == (3, 4)
    assert (guess.columns.tax, guess.columns.rate, doubts(text)) == ("ex", Decimal("0.2"), {"gross-by-ratio"})


def test_net_and_gross_by_their_headings() -> None:
    text = "Code;Name;Pack;Prix TTC;Prix HT\n" + rows("A{i}", "Gin no {i}", "70cl", "{g}", "{e}")
    assert (roles(text)["price"], roles(text)["gross"], doubts(text)) == (4, 3, set())
    assert {line.tax for line in read(text)} == {"ex"}
    only = "Code;Name;Pack;Prix TTC\n" + rows("A{i}", "Gin no {i}", "70cl", "{g}")
    assert {line.tax for line in read(only)} == {"inc"}


def test_gross_that_does_not_fit_its_net_is_doubted() -> None:
    text = "Code;Name;Pack;Prix HT;Prix TTC\nA1;Gin;70cl;20,00;24,00\nA2;Rum;70cl;20,00;31,00\nA3;Rye;70cl;30,00;36,00"
    assert [codes(line) for line in read(text)] == [set(), {"gross-differs"}, set()]


def test_what_the_house_pays_and_what_is_asked_of_it() -> None:
    text = "Code;Name;Pack;EK;VK\n" + rows("A{i}", "Gin no {i}", "70cl", "{e}", "{o}")
    assert (roles(text)["price"], "gross" in roles(text), doubts(text)) == (3, False, {"which-price"})


def test_two_prices_that_nothing_tells_apart_are_asked_about() -> None:
    text = "Code;Name;Pack;Price A;Price B\n" + rows("A{i}", "Gin no {i}", "70cl", "{e}", "{o}")
    guess = guess_columns(table(text))
    assert "which-price" in doubts(text)
    assert guess.sure("price") < 0.5


def test_headings_that_are_swapped_are_told_by_the_ratio() -> None:
    text = "Code;Name;Pack;Case price;Bottle price\n" + rows("A{i}", "Gin no {i}", "6 x 70cl", "{e}", "{c}")
    assert "prices-swapped" in doubts(text)
    assert all("unit-price-differs" in codes(line) for line in read(text))


def test_a_price_beside_a_count_is_that_of_a_case_or_of_a_bottle() -> None:
    text = "Code;Name;VPE;Inhalt;Preis\n" + rows("A{i}", "Gin no {i}", "6", "70 cl", "{e}")
    assert doubts(text) == {"price-for-what"}
    made = read(text)
    assert {line.per for line in made} == {""}
    assert all(codes(line) == {"price-for-what"} for line in made)
    columns = guess_columns(table(text)).columns
    assert {line.per for line in read(table(text), replace(columns, per="pack"))} == {"pack"}
    each = with_uses(columns, [replace(use, role="price_each") if use.role == "price" else use for use in columns.uses])
    answered = read(table(text), each)
    assert {line.per for line in answered} == {"each"}
    assert {code for line in answered for code in codes(line)} == set()


def test_single_bottles_leave_nothing_to_ask() -> None:
    text = "Code;Name;VPE;Inhalt;Preis\n" + rows("A{i}", "Gin no {i}", "1", "70 cl", "{e}")
    assert doubts(text) == set()
    assert {line.per for line in read(text)} == {"pack"}


def test_a_row_that_has_only_the_price_of_one_piece() -> None:
    made = read("Code;Name;Pack;Case price;Bottle price\nA1;Gin;6 x 70cl;120,00;20,00\nA2;Rum;6 x 70cl;;22,00")
    assert [the(line.price, line.per) for line in made] == [(120, "pack"), (22, "each")]


def test_a_retail_price_is_never_the_price() -> None:
    text = "Code;Name;Pack;RRP\n" + rows("A{i}", "Gin no {i}", "70cl", "{e}")
    assert "no-price-column" in doubts(text)
    assert {line.price for line in read(text)} <= {None}


def test_uses_that_somebody_set_are_followed() -> None:
    made = table("X;Y;Z\nA1;Gin 70cl;20,00\nA2;Rum 70cl;22,00")
    columns = guess_columns(made).columns
    names = ("code", "name", "price")
    uses = [Use(role=role, column=i, header=head) for i, (role, head) in enumerate(zip(names, "XYZ", strict=True))]
    set_by_hand = replace(with_uses(columns, uses), header_at=0, header_rows=1)
    assert [the(line.code, line.price) for line in read(made, set_by_hand)] == [("A1", 20), ("A2", 22)]
