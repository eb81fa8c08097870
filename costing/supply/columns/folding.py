"""Texts of headings, feet and names in one plain form, so that a word is known however it was typed."""

from functools import lru_cache

from costing.tables import fold

_SIGNS = str.maketrans({"€": " eur ", "£": " gbp ", "%": " percent ", "+": " plus ", "¥": " jpy ", "$": " usd "})


@lru_cache(maxsize=20_000)
def folded(text: str) -> str:
    """Case, accents, points and plural endings taken off; signs of money and percent as words. "Preis €/Fl." is
    "preis eur fl"."""
    return fold(text.translate(_SIGNS))
