"""Serves of a day with their prices: order, whose target holds, and what is left open while a price is missing."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from costing.book import Book
from costing.book.plain import record_from_plain
from costing.ledger import reckon
from costing.pricing import PricedServe, priced_serves

D = Decimal
Plain = dict[str, Any]
LEVIES = [{"name": "Service", "rate": "0.10"}, {"name": "VAT", "rate": "0.09", "on": "running"}]


def serve(ident: str, *adds: tuple[str, str], **more: Any) -> Plain:
    """One drink."""
    build = {"id": "build", "kind": "build", "adds": [{"source": s, "amount": a} for s, a in adds]}
    return {"id": ident, "name": ident, "versions": [{"since": "2026-01-01", "build": build, **more}]}


def line(ident: str, price: str | None = None, **more: Any) -> Plain:
    """One line of a menu."""
    return {"serve": ident, "prices": [{"since": "2026-01-01", "price": price}] if price else [], **more}


def priced(serves: list[Plain], sections: list[Plain], unpriced: str = "", **terms: Any) -> dict[str, PricedServe]:
    """The serves of a small bar, by id."""
    rules = {"since": "2026-01-01", "levies": LEVIES, "points": {"step": "0.50"},
             "policy": {"kind": "pour_cost", "value": "0.20"}, **terms}  # fmt: skip
    records: list[tuple[str, Plain]] = [
        ("house", {"id": "house", "name": "House", "currency": "EUR", "labour": "hand", "terms": [rules]}),
        ("good", {"id": "rum", "name": "Rum", "kind": "spirit", "base": "l", "makeup": {"abv": "40 % vol"}}),
        ("good", {"id": "juice", "name": "Juice", "kind": "juice", "base": "l", "makeup": {"brix": "9 Bx"}}),
        ("good", {"id": "hand", "name": "Hand", "kind": "labour", "base": "h", "layer": "labour"}),
    ]
    for ident, base, price in (("rum", "l", "20.00"), ("juice", "l", "5.00"), ("hand", "h", "18.00")):
        if ident != unpriced:
            records.append(("quote", {"id": f"q-{ident}", "good": ident, "supplier": "m", "content": f"1 {base}",
                                      "price": price, "currency": "EUR", "since": "2026-01-01"}))  # fmt: skip
    records += [("serve", s) for s in serves]
    records.append(("menu", {"id": "main", "name": "Main", "sections": sections}))
    found = priced_serves(reckon(Book.of(record_from_plain(k, p) for k, p in records).on(date(2026, 3, 2))))
    return {p.serve.id: p for p in found}


SOUR = serve("sour", ("rum", "60 ml"), ("juice", "30 ml"), seconds="50 s")
SPRITZ = serve("spritz", ("juice", "100 ml"))


def test_serves_come_in_menu_order_and_those_on_no_menu_last() -> None:
    sections = [{"name": "Long", "lines": [line("sour", "9")]}, {"name": "Short", "lines": [line("spritz")]}]
    found = priced([SPRITZ, SOUR, serve("extra", ("rum", "20 ml"))], sections)
    assert [(p, found[p].menu, found[p].section) for p in found] == [
        ("sour", "main", "Long"), ("spritz", "main", "Short"), ("extra", "", ""),
    ]  # fmt: skip
    assert found["spritz"].price is None
    assert found["spritz"].suggestion is not None
    assert found["spritz"].on_target is None


@pytest.mark.parametrize(
    ("section", "own", "needed"),
    [(None, None, "6.75"), ("5.00", None, "6.35"), ("5.00", "2.00", "3.35"), (None, "2.00", "3.35")],
)
def test_a_line_aims_at_its_own_target_else_its_sections_else_the_houses(
    section: str | None, own: str | None, needed: str
) -> None:
    """Cost of the sour: 1.35; a fifth is 6.75, and a margin is put on top of it."""
    lines = [line("sour", "9.00", **({"policy": {"kind": "margin", "value": own}} if own else {}))]
    heading: Plain = {"name": "Long", "lines": lines}
    if section:
        heading["policy"] = {"kind": "margin", "value": section}
    suggestion = priced([SOUR], [heading])["sour"].suggestion
    assert suggestion is not None
    assert float(suggestion.needed_net) == pytest.approx(float(needed), abs=1e-9)


@pytest.mark.parametrize(("price", "met"), [("8.00", False), ("8.50", True), ("9.00", True)])
def test_a_printed_price_meets_its_target_or_does_not(price: str, met: bool) -> None:
    """6.75 net is 8.09 all-in: 8.50 is the first point that protects it."""
    sour = priced([SOUR], [{"name": "Long", "lines": [line("sour", price)]}])["sour"]
    assert sour.on_target is met
    assert sour.suggestion is not None
    assert sour.suggestion.at.all_in == D("8.50")
    assert sour.price is not None
    assert sour.move_volume is not None
    assert (sour.move_volume > 0) == (price == "9.00")  # downward a move needs more volume, upward it may lose some


def test_the_base_is_materials_unless_the_house_says_otherwise() -> None:
    heading = [{"name": "Long", "lines": [line("sour", "9.00")]}]
    plain, loaded = priced([SOUR], heading)["sour"], priced([SOUR], heading, base=["materials", "labour"])["sour"]
    assert plain.base == pytest.approx(1.35)
    assert loaded.base == pytest.approx(1.35 + 50 / 3600 * 18)
    assert plain.cost.making == pytest.approx(loaded.cost.making)
    assert plain.price is not None
    assert loaded.price is not None
    assert (plain.price.margin - loaded.price.margin) == pytest.approx(D("0.25"))


@pytest.mark.parametrize("missing", ["rum", "juice"])
def test_a_drink_with_an_unpriced_part_gets_no_suggestion(missing: str) -> None:
    found = priced(
        [SOUR, serve("neat", ("rum", "50 ml"))], [{"name": "Long", "lines": [line("sour", "9.00")]}], missing
    )
    assert found["sour"].cost.unpriced == {missing}
    assert found["sour"].suggestion is None
    assert found["sour"].on_target is None
    assert found["sour"].price is not None  # the price is printed whatever it costs
    assert (found["neat"].suggestion is None) == (missing == "rum")


def test_a_drink_that_cannot_be_built_is_named_and_keeps_no_figure() -> None:
    found = priced(
        [serve("odd", ("nothing", "10 ml")), SOUR], [{"name": "Long", "lines": [line("odd", "9"), line("sour", "9")]}]
    )
    assert found["odd"].line is None
    assert found["odd"].cost.unpriced == {"serve odd"}
    assert found["odd"].suggestion is None
    assert found["sour"].suggestion is not None


def test_a_menu_line_for_a_serve_that_is_not_there_is_passed_over() -> None:
    assert list(priced([SOUR], [{"name": "Long", "lines": [line("gone", "9"), line("sour", "9")]}])) == ["sour"]


def test_an_assumed_pour_marks_its_share_of_the_money() -> None:
    """1.20 of rum by eye, 0.15 of juice by weight."""
    eyed = serve("eyed", ("rum", "~60 ml"), ("juice", "30 ml"))
    assert priced([eyed], [])["eyed"].assumed_share == pytest.approx(1.20 / 1.35, rel=1e-9)
    assert priced([SOUR], [])["sour"].assumed_share == 0.0
