"""A doubt about something that arrived: a code, where it lies and the figures, turned into words where it is shown."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Doubt:
    """``code`` is a key of ``doubt_words.DOUBTS``; ``at`` the part of the line it is about ("price", "pack", "gtin",
    ...; "" for the line or file as a whole); ``values`` are texts for the sentence, by the names it uses."""

    code: str
    at: str = ""
    values: tuple[tuple[str, str], ...] = ()


def doubt(code: str, at: str = "", /, **values: object) -> Doubt:
    """A Doubt with its values as texts."""
    return Doubt(code, at, tuple((name, str(value)) for name, value in values.items()))
