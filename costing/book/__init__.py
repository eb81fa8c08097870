"""What the house knows: frozen records, facts, units, money, edits, and what is amiss with them."""

from costing.book.book import Book, StaleChange, View
from costing.book.change import Change, Step, put
from costing.book.fact import Fact, parse_fact
from costing.book.problem import Problem

__all__ = ["Book", "Change", "Fact", "Problem", "StaleChange", "Step", "View", "parse_fact", "put"]
