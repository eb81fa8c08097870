"""Broken and hostile files of the plain form, through ``new BOOK --from FILE``."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from costing.__main__ import main
from tests import chains
from tests.hostile.attempt import Maker, refused

HEAD = '{"stillroom": {"form": "2.0"}'


def text(body: str, encoding: str = "utf-8") -> Maker:
    return lambda path: path.write_bytes(body.encode(encoding))


def raw(body: bytes) -> Maker:
    return lambda path: path.write_bytes(body)


def records(kind: str, *given: dict[str, Any]) -> Maker:
    """A file with these records of one kind."""
    return text(f'{HEAD}, "{kind}": {json.dumps(given)}}}')


def chain(change: Callable[[Any], object]) -> Maker:
    """The first acceptance chain with something changed."""

    def make(path: Path) -> None:
        data = json.loads(chains.path("distillate").read_text("utf-8"))
        change(data)
        path.write_text(json.dumps(data), "utf-8")

    return make


def sparse(size: int, begins: bytes) -> Maker:
    """A large file that takes no room: what follows ``begins`` are holes."""

    def make(path: Path) -> None:
        with path.open("wb") as file:
            file.write(begins)
            file.truncate(size)

    return make


def good(**fields: Any) -> Maker:
    return records("good", {"id": "a", "name": "A", "kind": "fruit", "base": "kg", **fields})


def quote(**fields: Any) -> Maker:
    usual = {"id": "q", "good": "a", "supplier": "s", "content": "1 kg", "price": "1", "currency": "EUR",
             "since": "2026-01-01"}  # fmt: skip
    return records("quote", {**usual, **fields})


def _cut(path: Path) -> None:
    whole = chains.path("distillate").read_bytes()
    path.write_bytes(whole[: len(whole) // 2])


def _stage(data: Any) -> Any:
    return data["preparation"][0]["versions"][0]["stages"][0]


BAD: dict[str, tuple[Maker, str]] = {
    "objects in objects": (text(HEAD + ', "good": ' + '{"a":' * 60_000), "lie too deep inside each other"),
    "spaces only": (text(" " * 5_000_000), "this is not JSON (expecting value)"),
    "100 MB": (sparse(100_000_000, b"{"), "the file is too large: 100,000,000 bytes"),
    "UTF-16": (text(HEAD + "}", "utf-16"), "the file is not UTF-8 text: byte 0xff in line 1"),
    "UTF-16 without a mark": (text(HEAD + "}", "utf-16-le"), "this is not JSON"),
    "UTF-32": (text(HEAD + "}", "utf-32"), "not UTF-8 text"),
    "two marks": (text("\ufeff\ufeff" + HEAD + "}"), "this is not JSON"),
    "half of a pair in bytes": (
        raw(HEAD.encode() + b', "supplier": [{"id": "\xed\xa0\x80", "name": ""}]}'), "byte 0xed"),
    "zero bytes inside": (raw(HEAD.encode() + b"\0\0\0}"), "this is not JSON"),
    "cut in the middle": (_cut, "this is not JSON"),
    "two books in one file": (text(HEAD + "}" + HEAD + "}"), "(extra data)"),
    "a price list": (text("good;price\nlemon;2,60\n"), "this is not JSON"),
    "a web page": (text("<!DOCTYPE html><title>Sign in</title>"), "this is not JSON"),
    "single quotes": (text("{'stillroom': {'form': '2.0'}}"), "this is not JSON"),
    "a comment": (text(HEAD + "} // mine"), "this is not JSON"),
    "null": (text("null"), "an object with"),
    "a number": (text("7"), "an object with"),
    "no stamp": (text('{"good": []}'), "so this is not a book"),
    "a stamp with more in it": (text('{"stillroom": {"form": "2.0", "by": "x"}}'), "so this is not a book"),
    "form of three parts": (text('{"stillroom": {"form": "2.0.1"}}'), "is not a form such as"),
    "form far ahead": (text('{"stillroom": {"form": "9999.0"}}'), "of a newer form: form 9999.0"),
    "form in figures of another script": (text('{"stillroom": {"form": "٢.٠"}}'), "is not a form such as"),
    "a field that is none": (good(__class__="x"), "'__class__' is not a field here"),
    "a name as a number": (good(name=7), "7 is not text"),
    "a name as true": (good(name=True), "True is not text"),
    "a list for an object": (good(makeup=[1]), "should be an object of names and values"),
    "an object for a list": (good(allergens={}), "should be a list"),
    "a record inside a record": (good(piece={"text": {"text": "1"}, "value": "1"}), "is not text"),
    "a fact of two minds": (good(piece={"text": "67 g", "value": "76", "unit": "g"}), 'text says "67 g"'),
    "a fact beyond all": (good(piece={"text": "much", "value": "1e11", "unit": "g"}), "must lie between -1e9 and 1e9"),
    "an exponent beyond all": (good(piece={"text": "x", "value": "1e999999999"}), "must lie between -1e12 and 1e12"),
    "an exponent below all": (good(piece={"text": "x", "value": "1e-999999999"}), "must lie between"),
    "not a number": (good(piece={"text": "x", "value": "NaN"}), "must lie between"),
    "figures of another script": (quote(price="١٢"), "is not a number"),
    "figures with a line below": (quote(price="1_000"), "is not a number"),
    "a price below nothing": (quote(price="-0.01"), "must lie from 0 to below 10,000,000"),
    "a pack of nothing": (quote(content="0 kg"), "must hold more than nothing"),
    "a pack below nothing": (quote(content="-1 kg"), "must hold more than nothing"),
    "a case of true": (quote(levels=[True]), "is not a whole number"),
    "a case of half": (quote(levels=["0.5"]), "is not a whole number"),
    "a case without end": (quote(levels=[10**8]), "must be whole numbers from 1 to 100,000"),
    "a rate of 19": (quote(tax="inc", tax_rate="19"), "(0.19 is 19 %)"),
    "a last day before the first": (quote(until="2025-01-01"), "lies before the first day"),
    "a day that is none": (quote(since="2026-02-30"), "is not a day"),
    "a day of the year 0": (quote(since="0000-01-01"), "is not a day"),
    "a day in other figures": (quote(since="２０２６-01-01"), "is not a day"),
    "measured in the sun": (
        good(piece={"text": "x", "value": "1", "unit": "l", "at": "5000"}), "a temperature of 5000"),
    "a book in a field": (good(note="x" * 30_000), "text of at most 20000"),
    "an amount as long as a book": (good(piece="1" * 5000), "an amount of 5000 characters is too long"),
    "a thousand or one": (good(piece="1,500 g"), "could be 1500 or 1.500"),
    "divided by nothing": (good(piece="1/0 g"), "divides by zero"),
    "an id of nothing": (records("supplier", {"id": "", "name": "A"}), "the id must not be empty"),
    "two of one id": (
        records("supplier", {"id": "a", "name": "A"}, {"id": "a", "name": "B"}), "another supplier has the same id"),
    "a kind of stage that is a list": (chain(lambda d: _stage(d).update(kind=["trim"])), "is not text"),
    "a version that is text": (chain(lambda d: d["preparation"][0].update(versions=["x"])), "should be an object"),
    "an amount that is a list": (chain(lambda d: _stage(d)["adds"][0].update(amount=[1])), "should be an object"),
    "a target of everything": (
        chain(lambda d: d["house"]["terms"][0]["policy"].update(value="1.2")), "must lie above 0 and at most 1"),
    "endings no step meets": (
        chain(lambda d: d["house"]["terms"][0].update(points={"step": "0.50", "endings": ["0.33"]})),
        "no multiple of 0.50 ends in 0.33"),
}  # fmt: skip


@pytest.mark.parametrize("name", list(BAD))
def test_a_bad_plain_file(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    make, part = BAD[name]
    source = tmp_path / "book.json"
    make(source)
    said = refused(["new", str(tmp_path / "bar.stillroom"), "--from", str(source)], tmp_path, capsys)
    assert str(source) in said
    assert part in said


AMISS: dict[str, tuple[Maker, str]] = {
    "preparations in a circle": (
        chain(lambda d: d["preparation"][1]["versions"][0]["stages"][0]["adds"].append(
            {"source": "lemon-juice-2", "amount": "1 l"}) or d["preparation"].append(
            {"id": "lemon-juice-2", "name": "Second juice", "versions": [{"since": "2026-01-01", "stages": [
                {"id": "b", "kind": "blend", "adds": [{"source": "lemon-juice", "amount": "1 l"}]}]}]})),
        "need one another"),
    "it needs itself whole": (
        chain(lambda d: d["preparation"][1]["versions"][0]["stages"][0]["adds"].append(
            {"source": "lemon-juice", "amount": "40 l"})), "uses as much of itself as it makes"),
    "points to nothing": (chain(lambda d: _stage(d)["adds"][0].update(source="no-such-good")), "no-such-good"),
    "a name full of control characters": (
        chain(lambda d: d["good"][0].update(name="\x1b[2J\x07Pine\u202eapple")), ""),
}  # fmt: skip


@pytest.mark.parametrize("name", list(AMISS))
def test_a_book_that_contradicts_itself_is_a_book(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What is amiss inside a well-formed book is a Problem: it opens, the rest computes, and exit 1 says so."""
    make, part = AMISS[name]
    source, book = tmp_path / "book.json", tmp_path / "bar.stillroom"
    make(source)
    assert main(["new", str(book), "--from", str(source)]) in (0, 1)
    code = main(["cost", str(book), "--day", "2026-06-01"])
    printed = capsys.readouterr()
    assert code == (1 if part else 0), printed
    assert part in printed.out
    assert "Traceback" not in printed.err
    assert "\x1b" not in printed.out
