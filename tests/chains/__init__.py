"""The three acceptance chains in the plain form, and the figures the first of them must give."""

from datetime import date
from pathlib import Path

from costing.book.book import Book
from costing.store import read_json

HERE = Path(__file__).parent
DAY = date(2026, 6, 1)
NAMES = ("distillate", "cooler", "mother")


def path(name: str) -> Path:
    """The file of a chain."""
    return HERE / f"{name}.json"


def book(name: str) -> Book:
    """The book of a chain."""
    return read_json(path(name))
