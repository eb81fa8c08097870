"""The plain JSON form of a book: what ``export`` writes, ``new --from`` reads, and a person may write by hand.

UTF-8 text, one object::

    {
     "stillroom": {"form": "3.0"},
     "house": {"name": "The Salt Stair", "currency": "EUR",
               "terms": [{"since": "2026-01-01", "levies": [{"name": "VAT", "rate": "0.19"}]}],
               "measures": {"dash": "0.8 ml"}},
     "supplier": [{"id": "north", "name": "North Quay Fruit"}],
     "good": [{"id": "lime", "name": "Lime", "kind": "fruit", "base": "kg",
               "makeup": {"water": "88 %"}, "piece": "~67 g"}],
     "quote": [{"id": "q1", "good": "lime", "supplier": "north", "content": "4 kg", "price": "11.60",
                "currency": "EUR", "since": "2026-03-02"}],
     "preparation": [{"id": "lime-juice", "name": "Lime juice", "base": "l", "versions": [{"since": "2026-01-01",
         "density": "1.03 kg/l", "stages": [
             {"id": "juice", "kind": "juice", "active": "8 min", "adds": [{"source": "lime", "amount": "2 kg"}],
              "readings": {"out.mass": "0.94 kg"}}]}]}],
     "serve": [{"id": "quay", "name": "Quay", "versions": [{"since": "2026-01-01", "build": {
         "id": "build", "kind": "build", "adds": [{"source": "lime-juice", "amount": "25 ml", "spill": "~3 %"}]}}]}],
     "menu": [{"id": "main", "name": "Main", "sections": [{"name": "Long", "lines": [
         {"serve": "quay", "prices": [{"since": "2026-01-01", "price": "9.50"}]}]}]}]
    }

``stillroom`` must be there and says which form the file is written in. ``house`` is one object (its id may be
left out); every other name is a kind of record and holds a list. The kinds and their fields are the classes of
``costing.book.records``, in the order of ``KINDS``; a kind that has no records may be left out. Ids are unique
within a kind and other records point to them. Inside a record:

- text is text; true and false stand without quotes; whole numbers stand as they are;
- an exact number is best written as text, "11.60"; a bare 11.60 is read exactly too;
- a day is "2026-03-02"; lists are lists;
- names with values (facts, makeup, measures, readings) are one object, and their order is kept;
- a fact is what you would type, "45 ml", "1 1/2 us fl oz", "51 %", "2.45 kg less 0.65 kg" (gross less tare),
  "1.2 l at 5 C" (a volume measured cold), with ~ in front when it is assumed, or the
  full object {"text": "45 ml", "value": "45", "unit": "ml", "mark": "measured", "how": "scales", "note": ""},
  whose text and value must say the same;
- a field that keeps its usual value may be left out; a name that is not a field is refused.

Export writes every kind in order, records sorted by id, facts in full, usual values left out, one space a
level, and a newline at the end: the same book gives the same bytes, and reading them gives an equal book. The
form holds the present; the journal stays in the book file.
"""

import json
import re
from decimal import Decimal
from pathlib import Path
from typing import Any

from costing.book.book import HOUSE, Book
from costing.book.fact import parse_fact
from costing.book.history import check_record
from costing.book.plain import BadForm, Plain, from_plain, record_from_plain, record_to_plain
from costing.book.records import KINDS, Record
from costing.store.faults import FileFault, FileTooNew, fault_of_os
from costing.store.files import write_text
from costing.store.form import CURRENT, FIRST, Form, number_of, text_of
from costing.store.hardjson import parse

LARGEST = 64 * 1024 * 1024
STAMP = "stillroom"
_FORM = re.compile(r"([0-9]{1,4})\.([0-9]{1,3})")


def export_json(book: Book) -> str:
    """The book as text in the plain form. BadForm for a record that could not be read back."""
    out: dict[str, Any] = {STAMP: {"form": text_of(CURRENT.number)}}
    by_kind: dict[str, list[Plain]] = {kind: [] for kind in KINDS}
    for (kind, _), record in sorted(book.records.items(), key=lambda item: item[0]):
        check_record(kind, record)
        by_kind[kind].append(record_to_plain(record))
    for kind, records in by_kind.items():
        if kind != HOUSE[0]:
            out[kind] = records
        elif records:
            out[kind] = records[0]
    return json.dumps(out, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def import_json(text: str, name: str = "the book", *, form: Form = CURRENT) -> Book:
    """The Book that a text in the plain form describes; ``name`` begins every complaint.

    BadForm names place, value and range; FileTooNew for a newer major form.
    """
    if len(text) > LARGEST:
        raise BadForm(name, f"{len(text):,} characters are too many: at most {LARGEST:,}")
    data = parse(text.removeprefix("\ufeff"), name)
    if not isinstance(data, dict):
        raise BadForm(name, f'an object with "{STAMP}" and the records is needed, not {type(data).__name__}')
    number = _form_number(data, name, form)
    for key in data:
        if key not in KINDS and key != STAMP:
            raise BadForm(name, f"{key!r:.60} is not a kind of record; the kinds are {', '.join(KINDS)}")
    records: dict[tuple[str, str], Record] = {}
    for kind in KINDS:
        for place, plain in _listed(data, kind, name):
            record = _record(kind, plain, place, number, form)
            if (kind, record.id) in records:
                raise BadForm(place, f"another {kind} has the same id {record.id!r:.60}")
            records[kind, record.id] = record
    return Book(records)


def write_json(book: Book, path: str | Path) -> None:
    """Write the plain form to a file, whole or not at all, in place of an older one. FileFault when refused."""
    write_text(export_json(book), Path(path))


def read_json(path: str | Path) -> Book:
    """The Book in a file of the plain form. FileFault for the file, BadForm for what is in it."""
    source = Path(path)
    try:
        if source.is_dir():
            raise FileFault(source, "folder")
        size = source.stat().st_size
        if size > LARGEST:
            raise FileFault(source, "too_large", f"{size:,} bytes, at most {LARGEST:,}")
        if size == 0 and source.is_file():
            raise FileFault(source, "empty")
        with source.open("rb") as file:
            raw = file.read(LARGEST + 1)
    except OSError as error:
        raise fault_of_os(source, error, "unreadable") from error
    if len(raw) > LARGEST:
        raise FileFault(source, "too_large", f"more than {LARGEST:,} bytes")
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise FileFault(source, "not_text", f"byte 0x{raw[error.start]:02x} in line {line}") from None
    return import_json(text, str(path))


def _form_number(data: Plain, name: str, form: Form) -> int:
    stamp = data.get(STAMP)
    if not isinstance(stamp, dict) or set(stamp) != {"form"}:
        raise BadForm(name, f'"{STAMP}": {{"form": "{text_of(form.number)}"}} is missing, so this is not a book')
    found = _FORM.fullmatch(stamp["form"]) if isinstance(stamp["form"], str) else None
    if found is None:
        given = f"{stamp['form']!s:.60}"
        raise BadForm(name, f'{STAMP}.form: {given} is not a form such as "{text_of(form.number)}" in quotes')
    number = number_of(int(found[1]), int(found[2]))
    if form.too_new(number):
        raise FileTooNew(name, text_of(number), text_of(form.number))
    if number < FIRST:
        raise BadForm(name, f"{STAMP}.form: there was never a form {text_of(number)}")
    return number


def _listed(data: Plain, kind: str, name: str) -> list[tuple[str, Any]]:
    if kind not in data:
        return []
    found = data[kind]
    if kind == HOUSE[0]:
        if not isinstance(found, dict):
            raise BadForm(f"{name}: {kind}", "one object is needed")
        return [(f"{name}: {kind}", {"id": HOUSE[1], **found})]
    if not isinstance(found, list):
        raise BadForm(f"{name}: {kind}", "a list of records is needed")
    return [(f"{name}: {_place(kind, n, plain)}", plain) for n, plain in enumerate(found)]


def _place(kind: str, n: int, plain: Any) -> str:
    ident = plain.get("id") if isinstance(plain, dict) else None
    return f"{kind} {ident!r:.60}" if isinstance(ident, str) else f"{kind}[{n}]"


def _record(kind: str, plain: Any, place: str, number: int, form: Form) -> Record:
    if not isinstance(plain, dict):
        raise BadForm(place, "an object with named fields is needed")
    from_plain(str, plain.get("id", ""), f"{place}.id")
    _agree(plain, place)
    record = record_from_plain(kind, form.upgraded(kind, plain, number), place)
    try:
        check_record(kind, record)
    except BadForm as error:
        raise BadForm(place, error.what) from None
    return record


def _agree(plain: Any, place: str) -> None:
    """Refuse a fact whose text, as a person may have changed it, says another figure than its value.

    A text that cannot be read as an amount says nothing and is left alone.
    """
    if isinstance(plain, list):
        for n, part in enumerate(plain):
            _agree(part, f"{place}[{n}]")
    if not isinstance(plain, dict):
        return
    text, value, unit = plain.get("text"), plain.get("value"), plain.get("unit", "")
    if isinstance(text, str) and isinstance(value, str):
        try:
            said, held = parse_fact(text), Decimal(value)
            at = Decimal(plain["at"]) if isinstance(plain.get("at"), str) else None
        except (ValueError, ArithmeticError):
            return
        if said.value != held or said.unit != unit or said.at != at:
            written = f"{value} {unit}" if at is None else f"{value} {unit} at {at} C"
            raise BadForm(place, f'text says "{text}" and value says "{written}"; change both, or write "{text}" alone')
    else:
        for name, part in plain.items():
            _agree(part, f"{place}.{name}")
