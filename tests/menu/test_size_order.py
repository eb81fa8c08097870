"""Which serve is a larger one of another, and the lines of a menu as rows to be repriced."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from costing.book import Book, parse_fact
from costing.book.records import DatedPrice, Input, Menu, MenuLine, MenuSection, Serve, ServeVersion, Stage
from costing.book.selling import SalesPeriod, Sold
from costing.ledger import reckon
from costing.menu.mix import ended_periods, menu_mix
from costing.menu.reprice_rows import MenuRows, line_key, menu_rows
from costing.menu.size_order import size_order
from tests.supply.plan.arrivals import DAY, START, book, good, quote


def serve(ident: str, *adds: tuple[str, str], **more: Any) -> Serve:
    """A drink of these amounts."""
    build = Stage(id="build", kind="build", adds=tuple(Input(source=s, amount=parse_fact(a)) for s, a in adds), **more)
    return Serve(id=ident, name=ident.title(), versions=(ServeVersion(since=START, build=build),))


def with_serves(*serves: Serve) -> Book:
    """The bar of two spirits with these drinks, a twist counted by the piece and a straw."""
    twist, straw = good("twist", "Twist", "garnish", "each"), good("straw", "Straw", "consumable", "each")
    records = [
        *(r for key, r in book().records.items() if key[0] not in ("menu", "sales")), *serves, twist, straw,
        quote("q-twist", "twist", "10.00", levels=(), content="100 each"),
        quote("q-straw", "straw", "1.00", levels=(), content="100 each"),
    ]  # fmt: skip
    return Book.of(records)


def order(*serves: Serve) -> set[tuple[str, str]]:
    """Size order of these and the book's own short rum of 45 ml."""
    return set(size_order(reckon(with_serves(*serves).on(DAY))))


def test_more_of_the_same_is_larger_in_whatever_unit() -> None:
    """Practice: a pour of 60 ml is a larger one of 45 ml; 2 US fl oz are 59.1 ml."""
    assert order(serve("large", ("rum", "60 ml")), serve("imperial", ("rum", "2 us fl oz"))) == {
        ("large", "short"), ("imperial", "short"), ("large", "imperial"),
    }  # fmt: skip


def test_of_two_spirits_none_may_shrink() -> None:
    one = serve("one", ("rum", "30 ml"), ("gin", "30 ml"))
    assert order(one, serve("two", ("rum", "40 ml"), ("gin", "30 ml"))) == {("two", "one")}
    assert order(one, serve("other", ("rum", "60 ml"), ("gin", "20 ml"))) == set()
    assert order(one, serve("same", ("gin", "30 ml"), ("rum", "3 cl"))) == set()
    assert order(one, serve("more", ("gin", "60 ml"), ("rum", "60 ml"), ("lemon", "20 g"))) == set()


def test_what_stands_beside_the_liquid_may_not_be_less() -> None:
    plain = serve("plain", ("gin", "45 ml"))
    dressed = serve("dressed", ("gin", "45 ml"), ("twist", "1 each"))
    large = serve("large", ("gin", "60 ml"), ("twist", "1 each"), ("straw", "1 each"))
    bare = serve("bare", ("gin", "60 ml"))
    assert order(plain, dressed, large, bare) == {
        ("large", "plain"), ("large", "dressed"), ("bare", "plain"),
    }  # fmt: skip


def test_hands_and_what_cannot_be_read_are_no_size() -> None:
    quick = serve("quick", ("gin", "45 ml"), active=parse_fact("10 s"))
    slow = serve("slow", ("gin", "45 ml"), active=parse_fact("60 s"))
    assert order(quick, slow, serve("odd", ("nowhere", "5 ml"))) == set()


def menu_of_two() -> Book:
    """A large and a small rum, the small one twice on the menu, one drink without a price, and a fortnight's sales."""
    lines = (
        MenuLine(serve="large", prices=(DatedPrice(since=START, price=Decimal("8.00")),), held=True),
        MenuLine(serve="short", prices=(DatedPrice(since=START, price=Decimal("6.00")),), least=Decimal("5.50")),
        MenuLine(serve="short", id="late", prices=(DatedPrice(since=START, price=Decimal("7.00")),)),
        MenuLine(serve="free"),
    )
    other = MenuSection(name="Terrace", lines=(MenuLine(serve="large", prices=lines[0].prices),))
    base = with_serves(serve("large", ("rum", "60 ml")), serve("free", ("gin", "20 ml")))
    sold = SalesPeriod(
        id="nov", since=date(2026, 11, 1), until=date(2026, 11, 14),
        sold=(Sold(serve="short", count=Decimal(140), net=Decimal("600.00")), Sold(serve="large", count=Decimal(40))),
    )  # fmt: skip
    card = Menu(id="card", name="Card", sections=(MenuSection(name="Short", lines=lines),))
    terrace = Menu(id="terrace", name="Terrace", sections=(other,))
    return Book.of([*base.records.values(), card, terrace, sold])


def rows_of(book: Book, **more: Any) -> MenuRows:
    """The rows of its menus."""
    reckoning = reckon(book.on(DAY))
    return menu_rows(reckoning, menu_mix(reckoning, ended_periods(book, DAY)), **more)


def test_lines_become_rows() -> None:
    rows = rows_of(menu_of_two())
    by = {row.key: row for row in rows.rows}
    assert list(by) == ["card/Short/large", "card/Short/short", "card/Short/short#late", "terrace/Terrace/large"]
    assert by["card/Short/large"].held
    assert (by["card/Short/short"].sold, by["card/Short/short"].least) == (Decimal(140), Decimal("5.50"))
    assert by["card/Short/short#late"].sold == 0
    assert by["card/Short/short"].at(Decimal("6.00")).net == 5
    assert rows.order == (
        ("card/Short/large", "card/Short/short"), ("card/Short/large", "card/Short/short#late"),
    )  # fmt: skip
    found = {d.code: d.names for d in rows.doubts}
    assert found == {"no-price": ("Free",), "paid-less": ("Rum short",)}  # 600.00 / 140 = 4.29 against 5.00


@pytest.mark.parametrize(
    ("which", "count"),
    [({"menu": "terrace"}, 1), ({"section": "Short"}, 3), ({"menu": "terrace", "section": "Short"}, 0)],
)
def test_a_part_of_the_menus(which: dict[str, str], count: int) -> None:
    assert len(rows_of(menu_of_two(), **which).rows) == count


def test_more_may_be_held_and_a_later_price_is_a_doubt() -> None:
    start = menu_of_two()
    assert [r.held for r in rows_of(start, held={"short"}).rows] == [True, True, True, False]
    assert [r.held for r in rows_of(start, held={"card/Short/short"}).rows] == [True, True, False, False]
    card = start.all(Menu)["card"]
    section = card.sections[0]
    line = section.lines[1]
    later = replace(line, prices=(*line.prices, DatedPrice(since=date(2027, 1, 1), price=Decimal("6.50"))))
    lines = (section.lines[0], later, *section.lines[2:])
    after = replace(card, sections=(replace(section, lines=lines),))
    changed = Book({**start.records, ("menu", "card"): after})
    assert ("later-price", ("Rum short",)) in [(d.code, d.names) for d in rows_of(changed).doubts]
    assert line_key("card", "Short", section.lines[2]) == "card/Short/short#late"
