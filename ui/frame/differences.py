"""What differs between two records or two books, in plain words and field by field."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from datetime import date
from decimal import Decimal

from costing.book.book import Book
from costing.book.change import Change, Key
from costing.book.levies import Policy
from costing.book.records import BatchLog, Quote, YieldTest
from costing.edits.menus import policy_text
from costing.report.phrases import reading_word
from costing.report.words import allergen_word, layer_word, mark_word, stage_word
from costing.tongue import say, say_many, word
from ui.format import UNKNOWN
from ui.frame.field_words import FIELD_WORDS
from ui.words import good_kind_word

LONGEST = 200
"""Letters of a value that are shown."""
Name = Callable[[str, str], str]
"""(kind, id) to what the record is called, or the id."""
Path = tuple[str, ...]
Plain = dict[str, object]
Found = tuple[Path, str, str]
"""The crumbs that lead to a field, what it was, what it is."""

QUIET = frozenset({
    "added", "adds", "allergens", "breaks", "build", "byproducts", "charges", "exemptions", "facts", "levies", "lines",
    "columns", "makeup", "measures", "prices", "readings", "sections", "settled", "sold", "stages", "terms", "uses",
    "versions",
})  # fmt: skip
"""Fields that only hold others: what is inside says enough."""
DATED = frozenset({"versions", "terms", "prices"})
POINTS_TO = {
    "good": "good", "supplier": "supplier", "preferred": "supplier", "glass": "glass", "technique": "technique",
    "equipment": "equipment", "preparation": "preparation", "serve": "serve", "labour": "good", "hour": "good",
    "energy": "good", "source": "", "input": "", "quote": "quote", "file": "file", "purchase": "purchase",
}  # fmt: skip
"""Fields that hold an id, and the kind of it; "" is a good, a preparation, or a by-product of one."""
SHARES = frozenset({"rate", "share", "tax_rate", "rebate"})
CODES: Mapping[str, Callable[[str], str]] = {"layer": layer_word, "mark": mark_word}
MADE_OF_FIGURES = frozenset({"facts", "makeup", "readings", "measures"})


@dataclass(frozen=True, slots=True)
class Difference:
    """One field before and after, and the record it is of."""

    of: Key
    record: str
    field: str
    before: str
    after: str


def namer(*books: Book) -> Name:
    """What a record is called in the first of the books that has it."""

    def name(kind: str, ident: str) -> str:
        if not kind:
            source, _, part = ident.partition("/")
            found = next((n for k in ("good", "preparation") if (n := name(k, source)) != source), source)
            return f"{found} / {part}" if part else found
        for book in books:
            record = book.get(kind, ident)
            if isinstance(record, Quote | YieldTest):
                return name("good", record.good)
            if isinstance(record, BatchLog):
                return name("preparation", record.preparation)
            called = getattr(record, "name", "")
            if called:
                return str(called)
        return ident

    return name


def between(before: Book, after: Book) -> Iterator[Change]:
    """What leads from one book to another, record by record."""
    for key in dict.fromkeys([*before.records, *after.records]):
        old, new = before.records.get(key), after.records.get(key)
        if old is not new and old != new:
            yield Change(*key, old, new)


def differences(change: Change, name: Name) -> Iterator[tuple[str, str, str]]:
    """(field, before, after) of all that differs in one change, the field with what it is in behind it; a new or a
    removed record by its name alone."""
    if change.before is None or change.after is None:
        called = str(getattr(change.after or change.before, "name", "")) or change.id
        yield ("", UNKNOWN, called) if change.before is None else ("", called, UNKNOWN)
        return
    for path, old, new in _apart((), _whole(change.before), _whole(change.after), "", name):
        yield " · ".join(reversed(path)), old, new


def _whole(value: object, field: str = "") -> object:
    """A record as plain values, with what stands at its default too: the file leaves that out, and a change to it would
    look like a removal."""
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name: _whole(getattr(value, f.name), f.name) for f in fields(value)}
    if isinstance(value, tuple):
        if field in MADE_OF_FIGURES:
            return {name: _whole(fact) for name, fact in value}
        return [_whole(item) for item in value]
    return str(value) if isinstance(value, date | Decimal) else value


def _apart(path: Path, before: object, after: object, field: str, name: Name) -> Iterator[Found]:
    if before == after:
        return
    if field == "policy":
        yield path, _said(before, field, name), _said(after, field, name)
    elif isinstance(before, dict) and isinstance(after, dict):
        if before.get("text") != after.get("text") and "text" in before and "text" in after:
            yield path, str(before["text"]), str(after["text"])
            return
        for key in dict.fromkeys([*before, *after]):
            crumb = reading_word(key) if field in MADE_OF_FIGURES else "" if key in QUIET else word(FIELD_WORDS, key)
            inside = f"kind of {field}" if key == "kind" else key
            yield from _apart((*path, crumb) if crumb else path, before.get(key), after.get(key), inside, name)
    elif _holds_records(before) or _holds_records(after):
        yield from _lists(path, before or [], after or [], field, name)
    else:
        shown = path or ((word(FIELD_WORDS, field),) if field else ())
        yield shown, _said(before, field, name), _said(after, field, name)


def _holds_records(value: object) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(item, dict) for item in value)


def _lists(path: Path, before: object, after: object, field: str, name: Name) -> Iterator[Found]:
    """Two lists of things, told apart by what each is called; one that came or went has nothing on the other side."""
    old, new = _called(before, field, name), _called(after, field, name)
    alone = len(old) <= 1 and len(new) <= 1 and field in DATED
    told = False
    for key in dict.fromkeys([*old, *new]):
        crumb = path if alone else (*path, key[0] + (f" ({key[1] + 1})" if key[1] else ""))
        if key in old and key in new:
            found = _apart(crumb, old[key], new[key], field.removesuffix("s"), name)
        elif key in old:
            found = iter([(crumb, _summary(old[key], name), UNKNOWN)])
        else:
            found = _came(crumb, new[key], _before(new[key], old) if field in DATED else None, name)
        for one in found:
            told = True
            yield one
    if not told:  # the same things in another order
        yield (*path, word(FIELD_WORDS, field)), _order(old), _order(new)


def _came(path: Path, item: Plain, last: Plain | None, name: Name) -> Iterator[Found]:
    """Something new: what of it differs from what held until then, or all of it in few words."""
    apart = {k: v for k, v in item.items() if k != "since"}
    found = list(_apart(path, {k: v for k, v in last.items() if k != "since"}, apart, "", name)) if last else []
    yield from found or [(path, UNKNOWN, _summary(item, name))]


def _before(item: Plain, among: Mapping[tuple[str, int], Plain]) -> Plain | None:
    """What held until an item of a day came."""
    day = str(item.get("since", ""))
    earlier = [other for other in among.values() if str(other.get("since", "")) < day]
    return max(earlier, key=lambda other: str(other.get("since", "")), default=None)


def _called(items: object, field: str, name: Name) -> dict[tuple[str, int], Plain]:
    """The things of a list by what each is called, and a count where several are called the same."""
    out: dict[tuple[str, int], Plain] = {}
    for item in items if isinstance(items, list) else []:
        called, n = _label(item, field, name), 0
        while (called, n) in out:
            n += 1
        out[(called, n)] = item
    return out


def _label(item: Plain, field: str, name: Name) -> str:
    if field in DATED:
        return say("from {day}", day=str(item.get("since", "")))
    if field == "stages":
        kind, ident = str(item.get("kind", "")), str(item.get("id", item.get("stage", "")))
        said = stage_word(kind) if kind else ident
        return said if not ident or ident in (kind, said) else f"{said} ({ident})"
    if field == "breaks":
        n = str(item.get("packs", ""))
        return say("from {n} packs on", n=n)
    for key in ("source", "serve", "input", "good", "role"):
        if key in item:
            return name(POINTS_TO[key], str(item[key]))
    return str(item.get("name", "") or item.get("id", ""))


def _order(items: Mapping[tuple[str, int], object]) -> str:
    return _short(", ".join(called for called, _ in items))


def _summary(item: Mapping[str, object], name: Name) -> str:
    """One thing of a list in a few words."""
    for key in ("text", "amount", "price", "rate", "state"):
        value = item.get(key)
        if isinstance(value, dict):
            return str(value.get("text", ""))
        if value is not None:
            return allergen_word(str(value)) if key == "state" else _said(value, key, name)
    for key in ("stages", "lines", "adds"):
        inside = item.get(key)
        if isinstance(inside, list) and inside:
            return _order(_called(inside, key, name))
    return say("is there")


def _said(value: object, field: str, name: Name) -> str:
    """One value in words; an id by its name."""
    if value is None or value == "":
        return UNKNOWN
    if isinstance(value, bool):
        return say("yes") if value else say("no")
    if isinstance(value, dict):
        if field == "policy":
            return policy_text(Policy(value["kind"], Decimal(value["value"])))
        parts = [str(v) for v in (value.get("text"),) if v] or [
            f"{word(FIELD_WORDS, k)} {_said(v, k, name)}" for k, v in value.items()
        ]
        return _short(", ".join(parts))
    if isinstance(value, list):
        if field == "base":
            return ", ".join(layer_word(str(v)) for v in value)
        return (
            _short(", ".join(str(v) for v in value))
            if len(value) < 9
            else say_many("{n} entry", "{n} entries", len(value))
        )
    text = str(value)
    if field in POINTS_TO:
        return name(POINTS_TO[field], text)
    if field in CODES:
        return CODES[field](text)
    if field in SHARES:
        return f"{(Decimal(text) * 100).normalize():f} %"
    if field.startswith("kind of "):
        return stage_word(text) if field == "kind of stage" else good_kind_word(text)
    return _short(text)


def _short(text: str) -> str:
    return text if len(text) <= LONGEST else text[: LONGEST - 1] + "…"
