"""A pack text cut into tokens, each with its place in the text and what its word means."""

import re
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal, NamedTuple

from costing.supply.arriving.doubt import Doubt
from costing.supply.packs.numerals import FRACTIONS, plain_signs
from costing.supply.packs.vocabulary import DRINKS, Word, word_of

_ODD = "²³¹⁰⁴-⁹₀-₉①-⓿❶-➓㈠-㈩"
_TOKEN = re.compile(
    rf"(?P<n>[0-9]+(?:[.,'][0-9]+)*|(?<![^\W\d_xX])[.,][0-9]+)|(?P<f>[{FRACTIONS}])|(?P<o>[{_ODD}]+)"
    rf"|(?P<w>[^\W\d_{FRACTIONS}{_ODD}](?:[^\W\d_{FRACTIONS}{_ODD}]|[\u0300-\u036f])*)|(?P<p>[^\s\w]|_)"
)
_MULTIPLE = re.compile("[×✕✖⨯⨉⋅]")
TermSort = Literal["size", "count", "bare", "noise"]


class Token(NamedTuple):
    """``sort`` n number, f fraction sign, w word, p sign, o a digit that is none (²)."""

    sort: str
    text: str
    start: int
    end: int
    word: Word | None


@dataclass(slots=True)
class Term:
    """A number with what it counts or measures, from token ``first`` up to ``last`` (not in it).

    ``value`` is in pieces or in base units of ``unit``; ``each`` how one of its units is called. ``noun`` is the word
    behind it. ``hyphen`` is "1-lb", "3-count". ``whole`` says that a bare number is a whole one in plain digits.
    """

    sort: TermSort
    first: int
    last: int
    value: Decimal
    unit: str = ""
    noun: Word | None = None
    hyphen: bool = False
    whole: bool = False
    doubts: list[Doubt] = field(default_factory=list)
    used: bool = False
    decimals: str = ""


def tokens_of(text: str) -> list[Token]:
    """The tokens of a text, with their places in it."""
    plain = plain_signs(text)
    if not plain.isascii():
        plain = _MULTIPLE.sub("x", plain)
    out = []
    for found in _TOKEN.finditer(plain):
        sort = found.lastgroup or ""
        said, start, end = found[0], found.start(), found.end()
        word = word_of(said) if sort == "w" or not said.isascii() else None
        if sort == "p" and word is not None:
            sort = "w"  # ml in one sign
        if sort == "w" and word is None and len(said) > 1:
            cut = _times_cut(plain, said, start, end)
            if cut:
                out += [Token("w", said[:cut], start, start + cut, word_of(said[:cut])),
                        Token("w", said[cut:], start + cut, end, word_of(said[cut:]))]  # fmt: skip
                continue
        out.append(Token(sort, said, start, end, word))
    return out


def _times_cut(plain: str, said: str, start: int, end: int) -> int:
    """Where to cut a word that an x has grown on: "70clx6", "6xDose"; 0 for nowhere."""
    if said[-1] in "xX" and plain[end : end + 1].isdigit() and word_of(said[:-1]) is not None:
        return len(said) - 1
    if said[0] in "xX" and plain[max(0, start - 1) : start].isdigit() and word_of(said[1:]) is not None:
        return 1
    return 0


class Tokens:
    """The tokens of one text and ways to look at them; ``decimal`` is the mark of its column where that is known.

    ``fluid`` says that an ounce here is one of drink: by the good's ``kind``, or by a container that drink comes in.
    """

    __slots__ = ("decimal", "fluid", "kind", "tokens")

    def __init__(self, text: str, kind: str, decimal: str | None) -> None:
        self.tokens = tokens_of(text)
        self.kind = kind
        self.decimal = decimal
        self.fluid = kind in DRINKS or (
            not kind and any(t.word is not None and t.word.sort == "fluid" for t in self.tokens)
        )

    def touching(self, at: int) -> bool:
        """Whether no space stands between token ``at`` and the one before it."""
        return 0 < at < len(self.tokens) and self.tokens[at - 1].end == self.tokens[at].start

    def said(self, at: int) -> str:
        return self.tokens[at].text if 0 <= at < len(self.tokens) else ""

    def word(self, at: int) -> Word | None:
        return self.tokens[at].word if 0 <= at < len(self.tokens) else None

    def sort_at(self, at: int) -> str:
        return self.tokens[at].sort if 0 <= at < len(self.tokens) else ""
