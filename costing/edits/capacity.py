"""Edits of what a week can hold: the hours a machine can run, and the hours that people can prepare."""

import re
from dataclasses import replace
from decimal import Decimal

from costing.book.book import Book
from costing.book.change import Step, put
from costing.book.records import WEEK_HOURS, Equipment
from costing.edits.base import record_of
from costing.edits.house import house_of
from costing.supply.packs.numbers import parse_number
from costing.tongue import say

_UNIT = re.compile(r"\s*(?:h|hours?|hrs?)(?:\s*(?:/|a|per)\s*week)?\.?$", re.IGNORECASE)
PEOPLE = 100
"""People who prepare at most: beyond it a figure is a slip."""


def set_equipment_hours(book: Book, ident: str, text: str) -> Step | None:
    """The hours a week that a machine can run, as typed ("40", "37,5 h"); "" where nobody says, and then it limits
    nothing. ValueError for what is no number, and outside the hours of a week."""
    old = record_of(book, Equipment, ident)
    new = replace(old, hours=typed_hours(text, WEEK_HOURS))
    said = say("hours of {machine}", machine=old.name)
    return None if new == old else Step(said, (put("equipment", new, old),))


def set_prep_hours(book: Book, text: str) -> Step | None:
    """The hours a week that people can prepare, all of them together, as typed; "" where nobody says. ValueError for
    what is no number, and for more than a hundred people could do."""
    old = house_of(book)
    new = replace(old, prep_hours=typed_hours(text, PEOPLE * WEEK_HOURS))
    return None if new == old else Step(say("hours of preparing"), (put("house", new, book.house),))


def typed_hours(text: str, most: int) -> Decimal | None:
    """Hours a week as typed, None for "". ValueError names what is wrong."""
    work = text.strip()
    if not work:
        return None
    value = parse_number(_UNIT.sub("", work).strip())
    if not 0 <= value <= most:
        raise ValueError(say("{text} hours a week must lie from 0 to {most}", text=work, most=most))
    return value


def hours_text(hours: Decimal | None) -> str:
    """Hours as they would be typed."""
    return "" if hours is None else f"{hours.normalize():f}"
