"""The plain form: what is written is read back as it was, and what cannot be read names its place and range."""

import json
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.book import Book, parse_fact
from costing.book.levies import Levy, Policy, PricePoints
from costing.book.plain import BadForm, dumps, kind_of, record_from_plain, record_to_plain
from costing.book.records import (
    AllergenStatement,
    BatchLog,
    Break,
    ByProduct,
    DatedPrice,
    Equipment,
    FreeGoods,
    Glass,
    Good,
    House,
    Input,
    LoggedInput,
    LoggedStage,
    Menu,
    MenuLine,
    MenuSection,
    PackCharge,
    Preparation,
    Quote,
    Record,
    Serve,
    ServeVersion,
    Stage,
    Supplier,
    Technique,
    Terms,
    Version,
)
from tests.ledger.strategies import books, laws

D = Decimal
DAY = date(2026, 1, 1)
MADE = Stage(
    id="steep", kind="infuse", note="cold", labour="hand", equipment="bath",
    adds=(Input(source="rum", amount=parse_fact("~3 l"), spill=parse_fact("2 %")), Input(source="water", amount=None)),
    facts=(("spent", parse_fact("1.35 kg")),), readings=(("left.mass", parse_fact("1350 g")),),
    active=parse_fact("12 min"), passive=parse_fact("1 1/2 h"),
)  # fmt: skip
RECORDS: list[Record] = [
    House(
        id="house", name="The Salt Stair", currency="EUR", labour="hand", permit="note", permit_until=date(2027, 1, 31),
        measures=(("dash", parse_fact("0.8 ml")), ("barspoon", parse_fact("5 ml"))),
        terms=(Terms(since=DAY, levies=(Levy("VAT", D("0.19")), Levy("Service", D("0.1"), on="running", kept=True)),
                     points=PricePoints(D("0.10"), (D("0.50"), D("0.90")), D("8")), policy=Policy("margin", D("6.50")),
                     base=("materials", "labour"), recovers_tax=False),),
    ),
    Supplier(id="north", name="Nørth & “Quay” 海"),
    Good(id="lime", name="Lime", kind="fruit", base="each", makeup=(("water", parse_fact("88 %")),),
         density=parse_fact("1.02 kg/l"), piece=parse_fact("~67 g"), preferred="north"),
    Good(id="nut", name="Nut", kind="dry", base="kg",
         allergens=(AllergenStatement(name="nuts", state="contains", who="M.", since=DAY, label="front"),)),
    Quote(id="q1", good="lime", supplier="north", content=parse_fact("4 kg"), price=D("11.60"), currency="EUR",
          since=DAY, levels=(2, 12), tax="inc", tax_rate=D("0.07"), until=date(2026, 6, 30), code="A-1",
          gtin="0000000000000",
          breaks=(Break(packs=D(5), price=D("10.90")),), free=FreeGoods(paid=D(10), free=D(1)),
          charges=(PackCharge(name="Freight", amount=D("-0.50")),), deposit=D("3.30"), source="mail", note="n"),
    Equipment(id="bath", name="Bath", hour="bath-hour", energy="current", power=parse_fact("1.2 kw")),
    Technique(id="stirred", name="Stirred", dilution=parse_fact("~25 %")),
    Glass(id="coupe", name="Coupe", capacity=parse_fact("180 ml")),
    Preparation(
        id="infusion", name="Infusion", base="each", shelf_days=7,
        versions=(Version(since=DAY, stages=(MADE,), pieces=parse_fact("12"), density=parse_fact("0.97 kg/l"),
                          byproducts=(ByProduct(id="fruit", stage="steep", name="Fruit", share=D("0.08"),
                                                method="value", computed_on=DAY, base="l"),)),),
    ),
    Serve(id="drink", name="Drink", versions=(ServeVersion(since=DAY, build=MADE, technique="stirred", glass="coupe",
                                                            seconds=parse_fact("40 s")),)),
    Menu(id="main", name="Main", since=DAY, until=date(2026, 12, 31),
         sections=(MenuSection(name="Short", policy=Policy("multiplier", D(5)),
                               lines=(MenuLine(serve="drink", prices=(DatedPrice(since=DAY, price=D("14.50")),)),)),)),
    BatchLog(id="b1", preparation="infusion", day=DAY, initials="MK", state="held", revision=7,
             stages=(LoggedStage(stage="steep", readings=(("left.mass", parse_fact("1.4 kg")),),
                                 added=(LoggedInput(input="rum", amount=parse_fact("0.6 l"), lot="L77"),
                                        LoggedInput(input="rum", amount=parse_fact("0.4 l"), lot="L78"))),)),
]  # fmt: skip


@pytest.mark.parametrize("record", RECORDS, ids=kind_of)
def test_a_record_comes_back_from_text_as_it_was(record: Record) -> None:
    plain = json.loads(dumps(record_to_plain(record)))
    assert record_from_plain(kind_of(record), plain) == record
    assert record_to_plain(record_from_plain(kind_of(record), plain)) == plain


@laws(40)
@given(books(own_use=True))
def test_random_books_come_back_as_they_were(view: Any) -> None:
    for (kind, _), record in view.book.records.items():
        assert record_from_plain(kind, json.loads(dumps(record_to_plain(record)))) == record


def test_acceptance_chains_come_back_as_they_were() -> None:
    for path in sorted((Path(__file__).parent.parent / "chains").glob("*.json")):
        data = json.loads(path.read_text(encoding="utf-8"))
        for kind, plains in data.items():
            if kind == "stillroom":
                continue
            for plain in plains if isinstance(plains, list) else [{"id": "house", **plains}]:
                record = record_from_plain(kind, plain)
                assert record_from_plain(kind, json.loads(dumps(record_to_plain(record)))) == record


def test_usual_values_are_left_out_and_named_lists_keep_their_order() -> None:
    plain = record_to_plain(RECORDS[0])
    assert list(plain["measures"]) == ["dash", "barspoon"]
    assert record_to_plain(Supplier(id="a", name="A")) == {"id": "a", "name": "A"}


GOOD: dict[str, Any] = {"id": "lime", "name": "Lime", "kind": "fruit", "base": "kg"}
QUOTE: dict[str, Any] = {"id": "q", "good": "lime", "supplier": "s", "content": "4 kg", "price": "1", "currency": "EUR",
                         "since": "2026-01-01"}  # fmt: skip
HOUSE: dict[str, Any] = {"id": "house", "name": "H", "currency": "EUR", "terms": [{"since": "2026-01-01"}]}


@pytest.mark.parametrize(
    ("kind", "plain", "where", "what"),
    [
        ("good", {**GOOD, "kind": "potion"}, "good.kind", "spirit"),
        ("good", {**GOOD, "base": "ml"}, "good.base", "kg, l, each"),
        ("good", {**GOOD, "colour": "green"}, "good", "'colour' is not a field"),
        ("good", {k: v for k, v in GOOD.items() if k != "name"}, "good", "'name' is missing"),
        ("good", {**GOOD, "name": 7}, "good.name", "7 is not text"),
        ("good", {**GOOD, "name": "a\0b"}, "good.name", "printable"),
        ("good", {**GOOD, "name": "x" * 20_001}, "good.name", "20000"),
        ("good", {**GOOD, "makeup": [["water", "88 %"]]}, "good.makeup", "names and values"),
        ("good", {**GOOD, "makeup": {"water": "lots"}}, "good.makeup.water", "'lots' is not an amount"),
        ("good", {**GOOD, "density": "1,500 kg/l"}, "good.density", "1500"),
        ("good", {**GOOD, "density": {"text": "1", "value": "x"}}, "good.density.value", "12.50"),
        ("good", {**GOOD, "allergens": {"nuts": "free"}}, "good.allergens", "a list"),
        ("good", {**GOOD, "allergens": [{"name": "nuts", "state": "none"}]}, "good.allergens[0].state", "contains"),
        ("good", [GOOD], "good", "named fields"),
        ("quote", {**QUOTE, "price": 1.5}, "quote.price", "12.50"),
        ("quote", {**QUOTE, "price": True}, "quote.price", "not a number"),
        ("quote", {**QUOTE, "price": "-1"}, "quote", "0 to below 10,000,000"),
        ("quote", {**QUOTE, "price": "NaN"}, "quote.price", "-1e12 and 1e12"),
        ("quote", {**QUOTE, "price": "1e13"}, "quote.price", "-1e12 and 1e12"),
        ("quote", {**QUOTE, "price": "1_000"}, "quote.price", "not a number"),
        ("quote", {**QUOTE, "price": "１"}, "quote.price", "not a number"),
        ("quote", {**QUOTE, "since": "1.1.2026"}, "quote.since", "2026-03-01"),
        ("quote", {**QUOTE, "since": "2026-W01-1"}, "quote.since", "2026-03-01"),
        ("quote", {**QUOTE, "since": "2026-02-30"}, "quote.since", "2026-03-01"),
        ("quote", {**QUOTE, "since": 20260101}, "quote.since", "2026-03-01"),
        ("quote", {**QUOTE, "levels": [0]}, "quote", "1 to 100,000"),
        ("quote", {**QUOTE, "levels": ["12"]}, "quote.levels[0]", "whole number"),
        ("quote", {**QUOTE, "levels": [True]}, "quote.levels[0]", "whole number"),
        ("quote", {**QUOTE, "content": "0 kg"}, "quote", "more than nothing"),
        ("quote", {**QUOTE, "until": "2025-12-31"}, "quote", "before the first day"),
        ("quote", {**QUOTE, "tax": "inc"}, "quote", "tax_rate"),
        ("quote", {**QUOTE, "free": {"paid": "0", "free": "1"}}, "quote.free|quote", "above 0"),
        ("quote", {**QUOTE, "breaks": [{"packs": "5"}]}, "quote.breaks[0]", "'price' is missing"),
        (
            "house",
            {**HOUSE, "terms": [{"since": "2026-01-01", "levies": [{"name": "VAT", "rate": "19"}]}]},
            "house.terms[0].levies[0]",
            "0.10 is 10 %",
        ),
        (
            "house",
            {**HOUSE, "terms": [{"since": "2026-01-01", "policy": {"kind": "pour_cost", "value": "20"}}]},
            "house.terms[0].policy",
            "at most 1",
        ),
        (
            "house",
            {**HOUSE, "terms": [{"since": "2026-01-01", "points": {"step": "0"}}]},
            "house.terms[0].points",
            "0.001 to 1000",
        ),
        (
            "house",
            {**HOUSE, "terms": [{"since": "2026-01-01", "points": {"step": "1", "endings": ["0.50"]}}]},
            "house.terms[0].points",
            "no multiple of 1",
        ),
        (
            "house",
            {**HOUSE, "terms": [{"since": "2026-01-01", "recovers_tax": "yes"}]},
            "house.terms[0].recovers_tax",
            "true or false",
        ),
        (
            "house",
            {**HOUSE, "terms": [{"since": "2026-01-01", "base": ["water"]}]},
            "house.terms[0].base[0]",
            "materials, energy",
        ),
        ("potion", {"id": "x"}, "the book", "the kinds are house"),
    ],
)
def test_what_cannot_be_read_names_its_place_and_what_would_do(kind: str, plain: Any, where: str, what: str) -> None:
    with pytest.raises(BadForm) as caught:
        record_from_plain(kind, plain)
    message = str(caught.value)
    assert any(message.startswith(f"{place}: ") for place in where.split("|")), message
    assert what in message
    assert len(message) < 500


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)


@laws(200)
@given(st.sampled_from(sorted(["good", "quote", "house", "preparation", "serve", "menu", "batch"])), st.data())
def test_any_plain_data_is_a_record_or_a_bad_form(kind: str, data: st.DataObject) -> None:
    base = next(record_to_plain(r) for r in RECORDS if kind_of(r) == kind)
    field = data.draw(st.sampled_from(sorted(base)))
    plain = {**base, field: data.draw(JSON)}
    record: Record | None = None
    complaint = ""
    try:
        record = record_from_plain(kind, plain)
    except BadForm as error:
        complaint = str(error)
    if record is None:
        assert complaint.startswith(kind)
        return
    assert record_from_plain(kind, json.loads(dumps(record_to_plain(record)))) == record


def test_two_records_of_one_id_are_no_book() -> None:
    with pytest.raises(ValueError, match="supplier 'north'"):
        Book.of([Supplier(id="north", name="A"), Supplier(id="north", name="B")])
