"""Ways of measuring as people say them, and back: ``how`` of a fact begins with the code of its method."""

from costing.book.methods import METHODS
from costing.tongue import Words, word

METHOD_WORDS: Words = {
    "scales": "scales",
    "jug": "jug",
    "label": "label",
    "alcoholmeter": "alcoholmeter",
    "density meter": "density meter",
    "distilled sample": "distilled sample",
    "refractometer": "refractometer",
    "saccharometer": "saccharometer",
    "titration": "titration",
    "pH meter": "pH meter",
    "thermometer": "thermometer",
    "gauge": "gauge",
    "clock": "clock",
    "count": "count",
}
"""Methods by their code in ``costing.book.methods``."""
_ENDS = ("", " ", ",", ":", ";")


def method_word(method: str) -> str:
    """The word of a method in the language of the context."""
    return word(METHOD_WORDS, method)


def how_said(how: str) -> str:
    """How a figure was measured, with the word of its method in the language; what stands behind it stays as it was
    written: "scales, vessel"."""
    text = how.strip()
    code = next((name for name in METHODS if _begins(text, name)), "")
    return f"{method_word(code)}{text[len(code) :]}" if code else text


def how_typed(text: str) -> str:
    """The ``how`` that a typed text means: a method by its word in the language, or by its English one, and what stands
    behind it. What names no method is kept as it was typed."""
    work = text.strip()
    named = sorted(((said, name) for name in METHODS for said in (method_word(name), name)), key=_longest)
    return next((f"{name}{work[len(said) :]}" for said, name in named if _begins(work, said)), work)


def _longest(pair: tuple[str, str]) -> int:
    return -len(pair[0])


def _begins(text: str, name: str) -> bool:
    """Whether a text is a name, or begins with it as a whole word."""
    head, rest = text[: len(name)], text[len(name) :]
    return head.casefold() == name.casefold() and rest[:1] in _ENDS
