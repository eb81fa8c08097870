"""Laws of reading a list: places of columns, preambles, counted rows, and no price off by a power of ten in silence."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.supply.arriving.line import PriceLine
from costing.supply.arriving.table import Figure
from costing.supply.columns import fits, guess_columns
from tests.supply.columns.making import TODAY, codes, of_rows, read

HEADS = ("Art.-Nr.", "Bezeichnung", "Gebinde", "Preis netto", "Pfand", "gültig ab", "Bemerkung")
NAMES = ("Orchard gin", "Harbour rum", "Quince bitter", "Lime cordial", "Lager", "Cider")
PACKS = ("6 x 70cl", "70 cl", "24 x 33cl", "Kiste 8 kg", "10 x 100 g", "20 L")


@dataclass(frozen=True)
class Locale:
    decimal: str
    group: str


LOCALES = (Locale(".", ","), Locale(",", "."), Locale(",", "\u202f"))


def written(value: Decimal, locale: Locale, places: int) -> str:
    text = f"{value:,.{places}f}"
    return text.translate({ord(","): locale.group, ord("."): locale.decimal})


prices = st.decimals(min_value="0.01", max_value="99999", places=2)


@st.composite
def lists(draw: st.DrawFn) -> list[tuple[str, ...]]:
    n = draw(st.integers(3, 12))
    rows: list[tuple[str, ...]] = []
    for i in range(n):
        price = written(draw(prices), LOCALES[1], 2)
        deposit = draw(st.sampled_from(("", "3,42", "1,50")))
        day = draw(st.sampled_from(("01.12.2026", "15.12.2026")))
        remark = draw(st.sampled_from(("", "neu", "ab 5 Kisten 9,90")))
        rows.append((f"NQ-{i:03d}", f"{draw(st.sampled_from(NAMES))} {'abcdefghijkl'[i]}", draw(st.sampled_from(PACKS)),
                     price, deposit, day, remark))  # fmt: skip
    return rows


def plain(lines: Sequence[PriceLine]) -> list[PriceLine]:
    """Lines without their places; what was read from which column in no order."""
    return [replace(line, where="", raw=tuple(sorted(line.raw))) for line in lines]


@settings(max_examples=60, deadline=None)
@given(lists(), st.permutations(range(len(HEADS))))
def test_columns_may_stand_in_any_order(rows: list[tuple[str, ...]], order: list[int]) -> None:
    one = read(of_rows([HEADS, *rows]))
    other = read(of_rows([[row[i] for i in order] for row in (HEADS, *rows)]))
    assert plain(one.lines) == plain(other.lines)
    assert len(one) == len(rows)


@settings(max_examples=60, deadline=None)
@given(
    lists(),
    st.lists(st.sampled_from(("", "North Quay Fruit", "Wochenliste 49", "Telefon 030 1234", "Seite 1")), max_size=5),
)
def test_a_preamble_changes_nothing(rows: list[tuple[str, ...]], above: list[str]) -> None:
    one = read(of_rows([HEADS, *rows]))
    other = read(of_rows([*((text,) for text in above), HEADS, *rows]))
    assert plain(one.lines) == plain(other.lines)
    assert len(other.left_out) == len(above) + 1


@settings(max_examples=60, deadline=None)
@given(lists())
def test_the_map_of_any_list_fits_it(rows: list[tuple[str, ...]]) -> None:
    made = of_rows([HEADS, *rows])
    assert fits(made, guess_columns(made).columns) == ()


cells = st.one_of(
    st.sampled_from(("", "Total", "Seite 1", "Price", "Name", "Code", "6 x 70cl", "auf Anfrage", "3 for 10", "1.204",
    "-", "%")),
    st.text(max_size=8), st.integers(0, 10**14).map(str), st.decimals(allow_nan=False, allow_infinity=False,
    places=2).map(str),
    st.integers(0, 10**6).map(str).map(Figure),
)  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(st.lists(st.lists(cells, max_size=6), max_size=12), st.booleans(), st.sets(st.integers(0, 12)))
def test_rows_read_are_lines_and_rows_left_out(rows: list[list[str]], headed: bool, hidden: set[int]) -> None:
    """Of any table: ``read`` counts them."""
    given_rows = [["Code", "Name", "Pack", "Price"], *rows] if headed else rows
    read(of_rows(given_rows, hidden_rows=frozenset(hidden)))


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.decimals(min_value="0.001", max_value="99999", places=3), min_size=1, max_size=8),
    st.sampled_from(LOCALES), st.sampled_from((0, 2, 3)), st.booleans(), st.booleans(),
)  # fmt: skip
def test_no_price_is_off_by_a_power_of_ten_in_silence(
    values: list[Decimal], locale: Locale, places: int, grouped: bool, sure: bool
) -> None:
    """Prices written in three locales, with no, two or three decimals, with and without groups; some lists hold one
    cell that fixes the mark. Every price is the one that was written, or there is none and a doubt says so."""
    exact = [value.quantize(Decimal(1).scaleb(-places)) for value in values]
    texts = [written(v, locale if grouped else replace(locale, group=""), places) for v in exact]
    if sure:
        exact, texts = [*exact, Decimal("1234.5")], [*texts, written(Decimal("1234.5"), locale, 1)]
    rows = [(f"A{i}", f"Gin {'abcdefghij'[i]}", "70cl", text) for i, text in enumerate(texts)]
    made = read(of_rows([("Code", "Name", "Pack", "Price"), *rows]))
    assert len(made) == len(exact)
    for line, value in zip(made, exact, strict=True):
        assert line.price == value or (
            line.price is None and codes(line) & {"decimal-ambiguous", "decimal-contradicts"}
        )


@pytest.mark.parametrize("locale", LOCALES)
def test_prices_with_two_decimals_are_all_read(locale: Locale) -> None:
    values = [Decimal(text) for text in ("0.85", "22.40", "999.99", "1024.00", "12345.67")]
    rows = [(f"A{i}", f"Gin {i}", "70cl", written(value, locale, 2)) for i, value in enumerate(values)]
    made = read(of_rows([("Code", "Name", "Pack", "Price"), *rows]))
    assert [line.price for line in made] == values
    assert {code for line in made for code in codes(line)} == set()
    assert TODAY.year == 2026
