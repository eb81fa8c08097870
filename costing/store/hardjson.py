"""JSON from strangers: no doubled names, no NaN, no endless numbers, no deep nests; one line for each complaint."""

import json
from decimal import Decimal, InvalidOperation
from typing import Any, NoReturn

from costing.book.plain import BadForm

LONGEST_NUMBER = 40


def parse(text: str, where: str) -> Any:
    """The data in ``text``, numbers with a point as Decimal. BadForm starts with ``where``."""
    try:
        return json.loads(
            text, object_pairs_hook=_object, parse_constant=_constant, parse_int=_whole, parse_float=_decimal
        )
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        raise BadForm(where, f"{place}: this is not JSON ({error.msg.lower()})") from None
    except RecursionError:
        raise BadForm(where, "lists and objects lie too deep inside each other") from None
    except _Odd as error:
        raise BadForm(where, str(error)) from None


class _Odd(Exception):
    """JSON that the grammar allows and a book does not."""


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    out = dict(pairs)
    if len(out) != len(pairs):
        seen: set[str] = set()
        twice = next(name for name, _ in pairs if name in seen or seen.add(name))  # type: ignore[func-returns-value]
        inside = f" with the id {out['id']!r:.60}" if "id" in out else ""
        raise _Odd(f"the name {twice!r:.60} stands twice in one object{inside}")
    return out


def _constant(name: str) -> NoReturn:
    raise _Odd(f"{name} is not a number that a book can hold")


def _whole(digits: str) -> int:
    if len(digits) > LONGEST_NUMBER:
        raise _Odd(f"a number of {len(digits)} digits is too long: at most {LONGEST_NUMBER}")
    return int(digits)


def _decimal(digits: str) -> Decimal:
    try:
        if len(digits) > LONGEST_NUMBER:
            raise InvalidOperation
        return Decimal(digits)
    except InvalidOperation:
        raise _Odd(f"{digits[:60]} is not a number that a book can hold") from None
