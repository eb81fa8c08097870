"""The plain form of a record: dictionaries, lists, text, numbers and booleans, the same everywhere.

The file's rows, the journal, the JSON export and the fixtures all hold this one form. Rules, by type:
a Decimal is text ("0.70"), a day is ISO text ("2026-03-01"), a named list ``((name, value), ...)`` is an object
in its order, a list stays a list, and a field that has its default value is left out. A Fact may also be given
as the text somebody would type ("45 ml", "~30 min"); it is always written out in full.
"""

import dataclasses
import functools
import json
import re
import types
from collections.abc import Callable
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any, Literal, Union, cast, get_args, get_origin, get_type_hints

from costing.book.fact import Fact, parse_fact
from costing.book.records import KIND_OF, KINDS, Record

Plain = dict[str, Any]
Reader = Callable[[object, str], Any]
"""From data and where it stands to a value; BadForm for what cannot be."""
LONGEST_TEXT = 20_000
_UNPRINTABLE = re.compile("[\0\ud800-\udfff]")  # half of a surrogate pair cannot be written to any file
_DAY = re.compile("[0-9]{4}-[0-9]{2}-[0-9]{2}")  # fromisoformat alone also takes weeks, "2026-W01-1"


class BadForm(ValueError):
    """The plain form cannot be read; the message names the place, the value and the range."""

    def __init__(self, where: str, what: str) -> None:
        super().__init__(f"{where or 'the book'}: {what}")
        self.where, self.what = where, what


def to_plain(value: object) -> Any:
    """A record, or any part of one, in plain form. TypeError for a type that has none."""
    if value is None or isinstance(value, str | bool | int):
        return value
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, date):
        return value.isoformat()
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        out: Plain = {}
        for field, hint in _fields(type(value)):
            part = getattr(value, field.name)
            if field.default is not dataclasses.MISSING and part == field.default:
                continue
            out[field.name] = _named(part) if _is_named(hint) else to_plain(part)
        return out
    if isinstance(value, tuple):
        return [to_plain(part) for part in value]
    raise TypeError(f"{type(value).__name__} has no plain form")


def record_to_plain(record: Record) -> Plain:
    """One record in plain form."""
    return cast(Plain, to_plain(record))


def record_from_plain(kind: str, data: object, where: str = "") -> Record:
    """The record of this kind that ``data`` describes. BadForm names what is wrong and where."""
    if kind not in KINDS:
        raise BadForm(where, f"{kind!r} is not a kind of record; the kinds are {', '.join(KINDS)}")
    return cast(Record, from_plain(KINDS[kind], data, where or kind))


def from_plain(hint: Any, data: object, where: str) -> Any:
    """``data`` read as the type ``hint``; every complaint is a BadForm that starts with ``where``."""
    return _reader(hint)(data, where)


@functools.cache
def _reader(hint: Any) -> Reader:
    """What reads a type. Made once for each: a book is some ten thousand small values of few types."""
    if hint is Fact:
        return _fact
    origin, args = get_origin(hint), get_args(hint)
    if origin in (Union, types.UnionType):
        inner = _reader(next(o for o in args if o is not type(None)))
        return functools.partial(_optional, inner) if type(None) in args else inner
    if origin is Literal:
        return functools.partial(_one_of, args)
    if origin is tuple:
        if _is_named(hint):
            return functools.partial(_pairs, _reader(get_args(args[0])[1]))
        return functools.partial(_list, _reader(args[0]))
    if dataclasses.is_dataclass(hint):
        return functools.partial(_record, cast(type, hint))
    return functools.partial(_scalar, hint)


def _optional(inner: Reader, data: object, where: str) -> Any:
    return None if data is None else inner(data, where)


def _one_of(options: tuple[object, ...], data: object, where: str) -> Any:
    if data not in options or isinstance(data, bool):
        raise BadForm(where, f"{_short(data)} is not one of {', '.join(map(str, options))}")
    return data


def _scalar(hint: Any, data: object, where: str) -> Any:
    if hint is str:
        if not isinstance(data, str):
            raise BadForm(where, f"{_short(data)} is not text")
        if len(data) > LONGEST_TEXT or _UNPRINTABLE.search(data):
            raise BadForm(where, f"text of at most {LONGEST_TEXT} printable characters is needed")
        return data
    if hint is bool:
        if not isinstance(data, bool):
            raise BadForm(where, f"{_short(data)} is not true or false")
        return data
    if hint is int:
        if isinstance(data, bool) or not isinstance(data, int) or abs(data) > 10**9:
            raise BadForm(where, f"{_short(data)} is not a whole number from -1e9 to 1e9")
        return data
    if hint is Decimal:
        return _decimal(data, where)
    if hint is date:
        try:
            if not isinstance(data, str) or not _DAY.fullmatch(data):
                raise ValueError
            return date.fromisoformat(data)
        except ValueError:
            raise BadForm(where, f'{_short(data)} is not a day such as "2026-03-01"') from None
    raise TypeError(f"no plain form for {hint}")


def _decimal(data: object, where: str) -> Decimal:
    if isinstance(data, bool) or not isinstance(data, str | int | Decimal):
        raise BadForm(where, f'{_short(data)} is not a number; write it as text, "12.50"')
    text = str(data)
    if len(text) > 40 or not text.isascii() or "_" in text or text != text.strip():
        raise BadForm(where, f"{_short(data)} is not a number")
    try:
        value = Decimal(text)
    except InvalidOperation:
        hint = "a rate of 19 % is written 0.19" if "%" in text else 'write it as text, "12.50"'
        raise BadForm(where, f"{_short(data)} is not a number; {hint}") from None
    if not value.is_finite() or value.copy_abs() >= Decimal("1e12") or value.as_tuple().exponent < -30:  # type: ignore[operator]
        raise BadForm(where, f"{_short(data)} must lie between -1e12 and 1e12 with at most 30 decimals")
    return value


def _fact(data: object, where: str) -> Fact:
    if isinstance(data, str):
        _scalar(str, data, where)
        try:
            return parse_fact(data)
        except ValueError as error:
            raise BadForm(where, str(error)) from None
    return cast(Fact, _record(Fact, data, where))


def _record(cls: type, data: object, where: str) -> Any:
    if not isinstance(data, dict):
        raise BadForm(where, f"{_short(data)} should be an object with named fields")
    known = _known(cls)
    for name in data:
        if name not in known:
            raise BadForm(where, f"{_short(name)} is not a field here; the fields are {', '.join(known)}")
    given: dict[str, Any] = {}
    for name, (reader, needed) in known.items():
        if name in data:
            given[name] = reader(data[name], f"{where}.{name}")
        elif needed:
            raise BadForm(where, f"the field {name!r} is missing")
    try:
        return cls(**given)
    except ValueError as error:
        raise BadForm(where, str(error)) from None


def _pairs(inner: Reader, data: object, where: str) -> tuple[tuple[str, Any], ...]:
    if not isinstance(data, dict):
        raise BadForm(where, f"{_short(data)} should be an object of names and values")
    return tuple((_scalar(str, k, where), inner(v, f"{where}.{k}")) for k, v in data.items())


def _list(inner: Reader, data: object, where: str) -> tuple[Any, ...]:
    if not isinstance(data, list):
        raise BadForm(where, f"{_short(data)} should be a list")
    return tuple(inner(part, f"{where}[{n}]") for n, part in enumerate(data))


def _named(pairs: tuple[tuple[str, Any], ...]) -> Plain:
    out: Plain = {}
    for name, value in pairs:
        if name in out:
            raise BadForm(name, "is given twice")
        out[name] = _named(value) if isinstance(value, tuple) else to_plain(value)
    return out


def _is_named(hint: Any) -> bool:
    if get_origin(hint) is not tuple:
        return False
    item = get_args(hint)[0]
    return get_origin(item) is tuple and get_args(item)[0] is str and get_args(item)[1] is not Ellipsis


@functools.cache
def _fields(cls: type) -> tuple[tuple[dataclasses.Field[Any], Any], ...]:
    hints = get_type_hints(cls)
    return tuple((field, hints[field.name]) for field in dataclasses.fields(cls))


@functools.cache
def _known(cls: type) -> dict[str, tuple[Reader, bool]]:
    """Of each field what reads it, and whether it must be given."""
    return {f.name: (_reader(hint), f.default is dataclasses.MISSING) for f, hint in _fields(cls)}


def _short(data: object) -> str:
    text = str(data) if isinstance(data, Decimal) else repr(data)
    return text if len(text) <= 60 else text[:57] + "..."


def dumps(data: Any) -> str:
    """Plain data as one line of JSON, keys in their order: how a row and a journal entry are stored."""
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def kind_of(record: Record) -> str:
    """The kind name of a record."""
    return KIND_OF[type(record)]


__all__ = [
    "BadForm",
    "Plain",
    "dumps",
    "from_plain",
    "kind_of",
    "record_from_plain",
    "record_to_plain",
    "to_plain",
]
