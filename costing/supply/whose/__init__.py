"""Whose price is it: which good of the book a supplier's line means, and what it may mean."""

from costing.supply.whose.match import Catalogue
from costing.supply.whose.record import Asked, How, Known, Match, Remembered, Size, Suggestion

__all__ = ["Asked", "Catalogue", "How", "Known", "Match", "Remembered", "Size", "Suggestion"]
