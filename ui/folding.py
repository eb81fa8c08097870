"""Text as it is searched: without case, accents or needless spaces."""

import unicodedata


def fold(text: str) -> str:
    """ "Crème  de Cassis" is found by "creme de": accents, case and runs of spaces do not count."""
    flat = unicodedata.normalize("NFKD", text.casefold()).replace("\u00ad", "")  # hyphens that only may break a word
    return " ".join("".join(ch for ch in flat if not unicodedata.combining(ch)).split())


def holds(folded: str, words: list[str]) -> bool:
    """Whether every word, folded, is somewhere in a folded text."""
    return all(word in folded for word in words)
