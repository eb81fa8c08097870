"""From a table of text to lines with prices: what each column means, and whether a file still fits what was said."""

from costing.supply.columns.guard import Shares, fits, relocate, shares
from costing.supply.columns.guess import Alternative, Guess, guess_columns
from costing.supply.columns.preview import PreviewCell, PreviewRow, preview
from costing.supply.columns.record import Columns, Use, with_uses
from costing.supply.columns.understand import understand

__all__ = [
    "Alternative", "Columns", "Guess", "PreviewCell", "PreviewRow", "Shares", "Use", "fits", "guess_columns", "preview",
    "relocate", "shares", "understand", "with_uses",
]  # fmt: skip
