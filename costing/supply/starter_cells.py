"""One cell of a starter workbook read as what its column asks for. Every refusal names sheet, cell, value and remedy.

A spreadsheet keeps 0.1 + 0.2 as 0.30000000000000004 and shows fifteen digits; fifteen are taken. A percentage is a
number with a format, a day a number with another, and an amount may carry its unit in the format: all three are read
by the format, never guessed from the figure.
"""

import difflib
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

from costing.book.fact import Fact, parse_fact
from costing.book.plain import to_plain
from costing.supply.starter_faults import Faults
from costing.supply.starter_layout import Column
from costing.supply.starter_offer import breaks, charges, free

MOST_CHOICES = 6
_QUOTED = re.compile(r'"([^"]*)"|\\(.)')
_TIMES = re.compile(r"\s*[x×*]\s*", re.IGNORECASE)
_DIGITS = re.compile(r"[0-9]{1,9}")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


CURRENCY_SIGNS = "€$£¥₣₤₹"


@dataclass(frozen=True, slots=True)
class Cell:
    """One filled cell: ``value`` as the workbook holds it, ``format`` its number format; ``place`` is "Packs!F7".
    ``amiss`` says why no value can be taken from it at all."""

    place: str
    value: Any
    format: str = "General"
    amiss: str = ""

    @property
    def shown(self) -> str:
        """The value in quotes, short, on one line."""
        text = " ".join(str(self.value).split())
        return "" if self.value is None else f'"{text[:40]}{"..." if len(text) > 40 else ""}"'

    @property
    def percent(self) -> bool:
        """Whether a number here is shown as a percentage."""
        return isinstance(self.value, int | float) and "%" in _QUOTED.sub("", self.format)

    @property
    def unit(self) -> str:
        """What the format prints behind the number: ml of ``0.0" ml"``."""
        return " ".join("".join(a or b for a, b in _QUOTED.findall(self.format.split(";")[0])).split())

    @property
    def key(self) -> str:
        """What two cells must share to say the same."""
        return fold(plain_text(self))


def fold(text: str) -> str:
    """A name as names are compared: any case, one space between words."""
    return " ".join(text.split()).casefold()


def plain_text(cell: Cell) -> str:
    """What is in a cell as text, a whole number without its point."""
    value = cell.value
    if isinstance(value, datetime) and value.time() == time():
        return value.date().isoformat()
    if isinstance(value, float | int) and not isinstance(value, bool):
        return f"{_decimal(value):f}"
    return str(value).strip()


def _decimal(value: float) -> Decimal:
    found = Decimal(format(value, ".15g"))
    return found.quantize(Decimal(1)) if found == found.to_integral_value() and abs(found) < 10**15 else found


def read(cell: Cell, column: Column, faults: Faults) -> Any:
    """The plain value that a cell holds for its column, or None after a fault."""
    if cell.amiss:
        faults.at(cell, cell.amiss)
        return None
    try:
        return _READERS[column.sort](cell, column)
    except ValueError as error:
        faults.at(cell, str(error))
        return None


def _text(cell: Cell, column: Column) -> str:
    if isinstance(cell.value, bool | date | time | timedelta):
        kind = "yes or no" if isinstance(cell.value, bool) else "a date or time"
        raise ValueError(f"this is {kind} and text is needed; format the cell as text and type it again")
    text = plain_text(cell)
    if len(text) > 5000:
        raise ValueError(f"{len(text)} characters are too many; at most 5,000")
    if any(0xD800 <= ord(ch) <= 0xDFFF or ch == "\0" for ch in text):
        raise ValueError("it holds characters that cannot be printed; type it again")
    if column.sort == "name":
        text = " ".join(text.split())
    return text


def _code(cell: Cell, column: Column) -> str:
    value = cell.value
    if isinstance(value, float | int) and not isinstance(value, bool):
        if abs(value) >= 10**15 or value < 0 or value != int(value):
            raise ValueError("a number this long loses its last digits here; format the cell as text and type it again")
        zeros = re.fullmatch("0{2,}", cell.format)
        return str(int(value)).zfill(len(cell.format) if zeros else 0)
    return _text(cell, column)


def _day(cell: Cell, column: Column) -> str:
    value = cell.value
    if isinstance(value, datetime):
        if value.time() != time():
            raise ValueError("a day without the time of day is needed, for example 2026-03-01")
        return value.date().isoformat()
    if isinstance(value, date):
        return value.isoformat()
    try:
        if not isinstance(value, str) or not _DAY.fullmatch(value.strip()):
            raise ValueError
        return date.fromisoformat(value.strip()).isoformat()
    except ValueError:
        raise ValueError("this is not a day; write it as 2026-03-01, or format the cell as a date") from None


def _figure(cell: Cell, column: Column) -> Decimal:
    """The number in a cell, of a format or as text."""
    value = cell.value
    if isinstance(value, date | time | timedelta):
        raise ValueError("a spreadsheet has made this a date or a time; format the cell as text and type it again")
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise ValueError(f"{column.head} is a number; for example {_example(column)}")
    if isinstance(value, str):
        fact = parse_fact(value)
        if fact.unit or fact.mark == "assumed":
            raise ValueError(f"a plain number is needed for {column.head}")
        return fact.value
    if abs(value) > 1e12 or value != value:  # noqa: PLR0124  a NaN is not itself
        raise ValueError("the number is too large")
    return _decimal(value)


def _example(column: Column) -> str:
    return column.note.rpartition(": ")[2].strip(". ") or column.note


def _money(cell: Cell, column: Column) -> str:
    if cell.percent:
        raise ValueError("this is a percentage and money is needed; format the cell as a number")
    try:
        figure = _figure(cell, column)
    except ValueError as error:
        said = str(cell.value)
        if any(ch.isdigit() for ch in said) and any(ch in CURRENCY_SIGNS or ch.isalpha() for ch in said):
            raise ValueError(
                "write money as a number alone, like 12.50; the currency has a column of its own"
            ) from error
        raise
    if not 0 <= figure < Decimal("1e7"):
        raise ValueError("money must lie from 0 to below 10,000,000")
    return str(figure)


def _number(cell: Cell, column: Column) -> int:
    figure = _figure(cell, column)
    if cell.percent or figure != figure.to_integral_value() or not 0 <= figure <= 10**9:
        raise ValueError("a whole number of 0 or more is needed")
    return int(figure)


def share_of(fact: Fact) -> Decimal:
    """0.19 of "19 %" or "0.19". ValueError for another unit."""
    if fact.unit not in ("", "%"):
        raise ValueError(f"{fact.unit!r} is not a share; write 19 % or 0.19")
    return fact.value / 100 if fact.unit else fact.value


def _rate(cell: Cell, column: Column) -> str:
    rate = share_of(parse_fact(cell.value)) if isinstance(cell.value, str) else _figure(cell, column)
    if not 0 <= rate < 1:
        raise ValueError("a share must lie from 0 to below 100 %; write 19 % or 0.19")
    return str(rate)


def _yes(cell: Cell, column: Column) -> bool:
    if isinstance(cell.value, bool):
        return cell.value
    word = cell.key
    if word not in ("yes", "no"):
        raise ValueError("write yes or no")
    return word == "yes"


def _choice(cell: Cell, column: Column) -> str:
    words = {fold(word): value for word, value in column.choices} | {fold(v): v for _, v in column.choices}
    word = fold(_text(cell, column))
    if word not in words:
        raise ValueError(_one_of(column, word))
    return words[word]


def _one_of(column: Column, word: str) -> str:
    words = [w for w, _ in column.choices]
    if len(words) <= MOST_CHOICES:
        return f"{column.head} is one of {', '.join(words)}"
    close = difflib.get_close_matches(word, words, 2, 0.5)
    hint = f" (perhaps {' or '.join(close)})" if close else ""
    return f"it is not in the list of {column.head}{hint}; choose it from the drop-down, or see the sheet Words"


def _levels(cell: Cell, column: Column) -> list[int]:
    parts = [str(_number(cell, column))] if not isinstance(cell.value, str) else _TIMES.split(cell.value.strip())
    if not all(_DIGITS.fullmatch(p) and 1 <= int(p) <= 100_000 for p in parts) or len(parts) > 6:
        raise ValueError("whole numbers from 1 to 100,000 are needed: 6, or 6 x 4")
    return [int(p) for p in parts]


def _names(cell: Cell, column: Column) -> list[str]:
    parts = [" ".join(p.split()) for p in re.split("[;,\n]", _text(cell, column))]
    return [p for p in parts if p]


def _numbers(cell: Cell, column: Column) -> list[str]:
    if not isinstance(cell.value, str):
        return [_money(cell, column)]
    parts = [p for p in re.split(r"[;\s]+", cell.value.strip()) if p]
    return [str(_figure(Cell(cell.place, p), column)) for p in parts]


def _policy(cell: Cell, column: Column) -> dict[str, str]:
    """ "18 %" is a pour cost, "4.5 x" a multiple of the cost, "9.50 margin" money."""
    if cell.percent:
        share = _figure(cell, column)
        if not 0 < share <= 1:
            raise ValueError(
                f"the cell says {100 * share.normalize():f} %; a target pour cost lies above 0 and at most 100 %"
            )
        return {"kind": "pour_cost", "value": str(share)}
    fact = parse_fact(cell.value) if isinstance(cell.value, str) else None
    kind = {"%": "pour_cost", "x": "multiplier", "margin": "margin"}.get(fact.unit.casefold() if fact else "")
    if kind is None or fact is None or fact.mark == "assumed":
        raise ValueError("a target is written 18 % (pour cost), 4.5 x (times the cost) or 9.50 margin")
    return {"kind": kind, "value": str(fact.value / 100 if kind == "pour_cost" else fact.value)}


def fact_of(cell: Cell, column: Column, unit: str = "", percent_as: str = "%") -> dict[str, Any]:
    """A Fact in plain form from "45 ml; scales; note", from a number with ``unit``, or with a unit in its format."""
    value = cell.value
    if isinstance(value, str):
        amount, _, rest = value.partition(";")
        how, _, note = rest.partition(";")
        text = " ".join(amount.split(" ")).strip()
        fact = parse_fact(text)
        if unit and fact.unit and fold(fact.unit) != fold(unit):
            raise ValueError(f"the amount is in {fact.unit} and the Unit says {unit}; write the unit once")
        if unit and not fact.unit:
            fact = parse_fact(f"{text} {unit}")
        return _plain(fact, how.strip(), note.strip())
    figure = _figure(cell, column)
    if cell.percent:
        if unit:
            raise ValueError(f"this is a percentage and the Unit says {unit}; format the cell as a number")
        return _plain(parse_fact(f"{_short(figure * 100)} {percent_as}"))
    return _plain(parse_fact(f"{_short(figure)} {unit or cell.unit}".strip()))


def _plain(fact: Fact, how: str = "", note: str = "") -> dict[str, Any]:
    extra = {name: said for name, said in (("how", how), ("note", note)) if said}
    return {**to_plain(fact), **extra}


def _short(figure: Decimal) -> str:
    text = f"{figure:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _fact(cell: Cell, column: Column) -> dict[str, Any]:
    return fact_of(cell, column, percent_as="% vol" if column.key == "abv" else "%")


def _said(parse: Callable[[str], Any]) -> Callable[[Cell, Column], Any]:
    return lambda cell, column: parse(_text(cell, column))


_READERS: Mapping[str, Any] = {
    "name": _text, "text": _text, "unit": _text, "code": _code, "day": _day, "fact": _fact, "amount": fact_of,
    "money": _money, "rate": _rate, "number": _number, "levels": _levels, "yes": _yes, "choice": _choice,
    "names": _names, "numbers": _numbers, "policy": _policy,
    "breaks": _said(breaks), "free": _said(free), "charges": _said(charges),
}  # fmt: skip
