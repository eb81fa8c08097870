"""Texts, figures and days out of the elements of a document, each with the doubt that stands against it."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.readers.xml_safe import Element

_DECIMAL = re.compile(r"[+-]?(?:[0-9]{1,15}(?:\.[0-9]{0,30})?|\.[0-9]{1,30})")
"""A decimal of W3C XML Schema 2, 3.2.3: a point, no grouping, no exponent. No amount has more than 15 digits."""
_DAY = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})(?:T.*|Z|[+-][0-9]{2}:[0-9]{2})?")
_STAMP = re.compile(r"([0-9]{4})([0-9]{2})([0-9]{2})(?:[0-9]{4}.*)?")
_STAMPS = frozenset({"", "102", "203", "204", "205"})
"""UNCL 2379: 102 CCYYMMDD; 203, 204 and 205 begin with the same eight digits."""
YES, NO = frozenset({"true", "1"}), frozenset({"false", "0"})


@dataclass(frozen=True, slots=True)
class Amount:
    """A figure beside the text it was read from; ``unit`` is its unitCode or currencyID. ``value`` is None where there
    is no text, or a text that is no number."""

    text: str = ""
    value: Decimal | None = None
    unit: str = ""

    @property
    def wrong(self) -> bool:
        """Whether something stands there that is no number."""
        return self.value is None and bool(self.text)


NOTHING = Amount()


def clean(text: str | None) -> str:
    """A text with every run of white space, line breaks among it, as one space."""
    return " ".join(text.split()) if text else ""


def own_text(element: Element) -> str:
    """The text of an element; what strange elements in it hold is no part of it."""
    if not len(element):
        return clean(element.text)
    return clean(" ".join([element.text or "", *(kid.tail or "" for kid in element)]))


def text_at(element: Element | None, *paths: str) -> str:
    """The first text that is not blank at any of the paths, in their order."""
    if element is not None:
        for path in paths:
            for found in element.iterfind(path):
                if text := own_text(found):
                    return text
    return ""


def texts_at(element: Element | None, path: str) -> tuple[str, ...]:
    """All texts at a path that are not blank."""
    if element is None:
        return ()
    return tuple(text for found in element.iterfind(path) if (text := own_text(found)))


def decimal_of(text: str) -> Decimal | None:
    """The number that XML Schema reads in ``text``; None for anything else."""
    return Decimal(text) if _DECIMAL.fullmatch(text) else None


def amount_of(element: Element | None) -> Amount:
    """The figure in an element; one that is broken up by another element is none."""
    if element is None:
        return NOTHING
    text = own_text(element)
    unit = clean(element.get("unitCode") or element.get("currencyID"))
    return Amount(text, decimal_of(text) if not len(element) else None, unit)


def amount_at(element: Element | None, *paths: str) -> Amount:
    """The first figure at any of the paths."""
    if element is not None:
        for path in paths:
            found = element.find(path)
            if found is not None:
                return amount_of(found)
    return NOTHING


def day_of(text: str) -> date | None:
    """A date of XML Schema, its time and zone left off; None for anything else."""
    return _made(_DAY.fullmatch(text))


def day_at(element: Element | None, *paths: str) -> tuple[date | None, tuple[Doubt, ...]]:
    """The first day at any of the paths, and the doubt that something else stands there."""
    text = text_at(element, *paths)
    return _judged(day_of(text), text)


def stamp_at(element: Element | None, *paths: str) -> tuple[date | None, tuple[Doubt, ...]]:
    """The day in an element of the UN/CEFACT type DateTime: a DateTimeString in a UNCL 2379 format, or a DateTime."""
    for path in paths:
        found = element.find(path) if element is not None else None
        if found is None:
            continue
        inner = next((kid for kid in found if clean(kid.text)), found)
        text = clean(inner.text)
        known = clean(inner.get("format")) in _STAMPS
        return _judged((_made(_STAMP.fullmatch(text)) if known else None) or day_of(text), text)
    return None, ()


def _judged(day: date | None, text: str) -> tuple[date | None, tuple[Doubt, ...]]:
    return day, (doubt("not-a-day", "since", value=text),) if text and day is None else ()


def _made(met: re.Match[str] | None) -> date | None:
    if met is None:
        return None
    try:
        return date(int(met[1]), int(met[2]), int(met[3]))
    except ValueError:
        return None


def between(since: str, until: str) -> str:
    """A period as ISO 8601 writes it, "2026-11-01/2026-11-30"; "" where neither end is known."""
    return f"{since}/{until}" if since or until else ""


def flag_at(element: Element | None, *paths: str) -> bool | None:
    """A true or false of XML Schema, None where neither is said."""
    text = text_at(element, *paths).casefold()
    return True if text in YES else False if text in NO else None


def said_twice(element: Element, *paths: str) -> Iterator[Doubt]:
    """A doubt for every path where a thing that stands once stands more often, and not in the same words."""
    for path in paths:
        found = element.findall(path)
        if len(found) > 1 and (any(len(one) for one in found) or len({own_text(one) for one in found}) > 1):
            yield doubt("said-twice", "", element=path.rpartition("/")[2], n=len(found))


def numbers_wrong(*named: tuple[str, Amount]) -> Iterator[Doubt]:
    """A doubt for every figure, by role, that is none."""
    for role, amount in named:
        if amount.wrong:
            yield doubt("not-a-number", role, value=amount.text)


def plainly(value: Decimal) -> str:
    """A number as a person writes it: no exponent, no idle zeros behind the point."""
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
