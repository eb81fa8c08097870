"""The plain JSON form: an export is read back as an equal book, and whatever is wrong is said in one line."""

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from costing.book import Book, parse_fact
from costing.book.plain import BadForm
from costing.book.records import KINDS, Good, House, Quote, Record, Supplier
from costing.store import FileFault, FileTooNew, export_json, import_json, read_json, write_json
from costing.store import plainfile as form_of_file
from costing.store.form import Form
from tests.store.strategies import books, records

SLOW = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
HEAD = '{"stillroom": {"form": "5.0"}'


@pytest.mark.parametrize("kind", list(KINDS))
@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_every_kind_is_read_back_equal(kind: str, data: st.DataObject) -> None:
    record: Record = data.draw(records(kind))
    book = Book.of([record])
    assert import_json(export_json(book)) == book


@SLOW
@given(book=books())
def test_export_is_one_text_for_one_book(book: Book) -> None:
    text = export_json(book)
    assert import_json(text) == book
    assert export_json(import_json(text)) == text
    assert export_json(Book(dict(reversed(list(book.records.items()))))) == text
    assert text.endswith("}\n")


def test_the_form_written_by_hand_is_read() -> None:
    book = import_json(
        HEAD + """, "house": {"name": "The Salt Stair", "currency": "EUR",
          "terms": [{"since": "2026-01-01", "levies": [{"name": "VAT", "rate": "0.19"}]}],
          "measures": {"dash": "0.8 ml"}},
         "good": [{"id": "lime", "name": "Lime", "kind": "fruit", "base": "kg",
                   "makeup": {"water": "88 %"}, "piece": "~67 g"}],
         "quote": [{"id": "q1", "good": "lime", "supplier": "north", "content": "4 kg", "price": 11.60,
                    "currency": "EUR", "since": "2026-03-02"}]}"""
    )  # fmt: skip
    assert book.house is not None
    assert book.house.measures == (("dash", parse_fact("0.8 ml")),)
    lime, quote = book.get("good", "lime"), book.get("quote", "q1")
    assert isinstance(lime, Good)
    assert lime.piece == parse_fact("~67 g")
    assert lime.piece is not None
    assert lime.piece.mark == "assumed"
    assert isinstance(quote, Quote)
    assert quote.price == Decimal("11.60")
    assert str(quote.price) == "11.60"
    assert quote.since == date(2026, 3, 2)


BAD = {
    "": "x: line 1, column 1: this is not JSON (expecting value)",
    "[1]": 'x: an object with "stillroom" and the records is needed, not list',
    "{}": 'x: "stillroom": {"form": "5.0"} is missing, so this is not a book',
    '{"stillroom": {"form": 1.0}}': 'x: stillroom.form: 1.0 is not a form such as "5.0" in quotes',
    '{"stillroom": {"form": "0.9"}}': "x: stillroom.form: there was never a form 0.9",
    HEAD + "\n 7}": "x: line 2, column 2: this is not JSON (expecting ',' delimiter)",
    HEAD + ', "bottle": []}': "x: 'bottle' is not a kind of record; the kinds are " + ", ".join(KINDS),
    HEAD + ', "good": {}}': "x: good: a list of records is needed",
    HEAD + ', "house": []}': "x: house: one object is needed",
    HEAD + ', "good": [7]}': "x: good[0]: an object with named fields is needed",
    HEAD + ', "house": {"id": "pub", "name": "", "currency": "EUR", "terms": []}}': (
        "x: house: the one house of a book has the id 'house'"
    ),
    HEAD + ', "supplier": [{"id": "a", "name": "A", "name": "B"}]}': (
        "x: the name 'name' stands twice in one object with the id 'a'"
    ),
    HEAD + ', "supplier": [{"id": "a", "name": "A"}, {"id": "a", "name": "B"}]}': (
        "x: supplier 'a': another supplier has the same id 'a'"
    ),
    HEAD + ', "supplier": [{"id": "", "name": "A"}]}': "x: supplier '': the id must not be empty",
    HEAD + ', "supplier": [{"id": "a"}]}': "x: supplier 'a': the field 'name' is missing",
    HEAD + ', "supplier": [{"id": "a", "name": NaN}]}': "x: NaN is not a number that a book can hold",
    HEAD + ', "supplier": [{"id": "a", "name": -Infinity}]}': "x: -Infinity is not a number that a book can hold",
    HEAD + ', "supplier": [{"id": "a", "name": 1e99999999999999999999}]}': (
        "x: 1e99999999999999999999 is not a number that a book can hold"
    ),
    HEAD + ', "supplier": [{"id": "a", "name": ' + "9" * 5000 + "}]}": (
        "x: a number of 5000 digits is too long: at most 40"
    ),
    HEAD + ', "supplier": [{"id": "a", "name": "\\ud800"}]}': (
        "x: supplier 'a'.name: text of at most 20000 printable characters is needed"
    ),
    HEAD + ', "good": ' + "[" * 100_000: "x: lists and objects lie too deep inside each other",
    HEAD + ', "good": [{"id": "a", "name": "A", "kind": "rum", "base": "l"}]}': (
        "x: good 'a'.kind: 'rum' is not one of spirit, liqueur, wine, beer, juice, fruit, herb, dry, sugar, acid, "
        "dairy, egg, water, gas, ice, garnish, consumable, labour, energy, machine, other"
    ),
    HEAD + ', "good": [{"id": "a", "name": "A", "kind": "fruit", "base": "kg", "piece": "much"}]}': (
        "x: good 'a'.piece: 'much' is not an amount: write a number and a unit, for example \"45 ml\""
    ),
    HEAD + ', "good": [{"id": "a", "name": "A", "kind": "fruit", "base": "kg", "piece": "5 \\u0000"}]}': (
        "x: good 'a'.piece: text of at most 20000 printable characters is needed"
    ),
    HEAD + ', "menu": [{"id": "m", "name": "", "sections": [], "since": "2026-W01-1"}]}': (
        "x: menu 'm'.since: '2026-W01-1' is not a day such as \"2026-03-01\""
    ),
    HEAD + ', "menu": [{"id": "m", "name": "", "sections": [{"name": "", "lines": [{"serve": "s", "prices": '
    '[{"since": "2026-01-01", "price": "10000000"}]}]}]}]}': (
        "x: menu 'm'.sections[0].lines[0].prices[0]: the price 10000000 must lie from 0 to below 10,000,000"
    ),
}  # fmt: skip


@pytest.mark.parametrize(("text", "message"), BAD.items(), ids=range(len(BAD)))
def test_what_is_wrong_is_said_in_one_line(text: str, message: str) -> None:
    with pytest.raises(BadForm) as caught:
        import_json(text, "x")
    assert str(caught.value) == message
    assert "\n" not in message


def test_a_newer_form_is_refused_and_a_newer_minor_read() -> None:
    with pytest.raises(FileTooNew) as caught:
        import_json('{"stillroom": {"form": "6.0"}}', "x")
    assert str(caught.value) == (
        "x: the file is of a newer form: form 6.0, and this program reads up to 5.0; use a newer program"
    )
    assert import_json('{"stillroom": {"form": "2.7"}}') == Book()


def test_an_older_form_passes_through_the_upgrades() -> None:
    newer = Form(number=6000, upgrades={5000: {"supplier": lambda d: {**d, "note": d["note"].upper()}}})
    text = HEAD + ', "supplier": [{"id": "a", "name": "A", "note": "quay"}]}'
    assert import_json(text, form=newer).get("supplier", "a") == Supplier(id="a", name="A", note="QUAY")


def test_files(tmp_path: Path) -> None:
    book = Book.of([Supplier(id="n", name="Nördliche Kaje")])
    target = tmp_path / "book.json"
    write_json(Book(), target)
    write_json(book, target)
    assert read_json(target) == book
    assert "Nördliche" in target.read_text("utf-8")
    target.write_bytes(b"\xef\xbb\xbf" + target.read_bytes())
    assert read_json(target) == book
    assert [p.name for p in tmp_path.iterdir()] == ["book.json"]


def test_files_that_cannot_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "b.json"

    def fault(content: bytes | None) -> str:
        if content is not None:
            file.write_bytes(content)
        with pytest.raises(FileFault) as caught:
            read_json(file)
        return str(caught.value).removeprefix(f"{file}: ")

    assert fault(None) == "there is no such file"
    assert fault(b"") == "the file is empty (0 bytes)"
    assert fault(b'{"a":\n"\xe9"}') == "the file is not UTF-8 text: byte 0xe9 in line 2"
    monkeypatch.setattr(form_of_file, "LARGEST", 100)
    assert fault(b" " * 101) == "the file is too large: 101 bytes, at most 100"
    with pytest.raises(BadForm, match="101 characters are too many: at most 100"):
        import_json(" " * 101)
    with pytest.raises(FileFault, match="this is a folder"):
        read_json(tmp_path)
    with pytest.raises(FileFault, match="this is a folder"):
        write_json(Book(), tmp_path)
    with pytest.raises(FileFault, match="there is no such file"):
        write_json(Book(), tmp_path / "nowhere" / "b.json")


def test_nothing_is_exported_that_could_not_be_read(tmp_path: Path) -> None:
    wrong: list[Record] = [
        House(id="pub", name="", currency="EUR", terms=()),
        Good(id="x", name="\ud800", kind="fruit", base="kg"),
        Good(id="x", name="", kind="fruit", base="kg", makeup=(("abv", parse_fact("1")), ("abv", parse_fact("2")))),
        Good(id="x", name=7, kind="fruit", base="kg"),  # type: ignore[arg-type]
        Quote(id="q", good="x", supplier="", content=parse_fact("1 kg"), price=1.5, currency="EUR",  # type: ignore[arg-type]
              since=date(2026, 1, 1)),
    ]  # fmt: skip
    target = tmp_path / "book.json"
    for record in wrong:
        with pytest.raises(BadForm):
            write_json(Book.of([record]), target)
    assert list(tmp_path.iterdir()) == []
