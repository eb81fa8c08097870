"""What the house knows, what a line asks, and what the one says of the other."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from costing.supply.arriving.doubt import Doubt

Size = tuple[Decimal, str]
"""What the innermost unit of a pack holds, and its base unit: "ml", "g" or "each". 0.7 l and 70 cl are both 700 ml."""
How = Literal["code", "gtin", "alias", "words", "hand", "suggested", "none"]
"""What a line was known by: the supplier's code, the GTIN, a text that somebody confirmed, all its words at the same
size, or somebody now ("hand"); else what may be meant, or nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """One thing that the house buys from somebody. A good has as many of them as it has suppliers, codes and packs.

    ``good`` is its id and ``name`` its name in the book; ``names`` are what suppliers' lines called it before. ``gtin``
    has 14 digits or is "". ``size`` is None where the content is not known, ``levels`` () where no count is said.
    ``last`` is the price last paid for a base unit (litre, kilogram, piece), in the house's money; ``kind`` the good's.
    """

    good: str
    name: str
    names: tuple[str, ...] = ()
    supplier: str = ""
    code: str = ""
    gtin: str = ""
    size: Size | None = None
    levels: tuple[int, ...] = ()
    last: Decimal | None = None
    kind: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remembered:
    """An alias: a supplier's text, as it came, that somebody confirmed for a good."""

    supplier: str
    text: str
    good: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One line that looks for its good. ``per_base`` is its price for a base unit in the house's money, in the unit
    that ``Known.last`` is told in; None where it is not known."""

    n: int
    supplier: str = ""
    code: str = ""
    gtin: str = ""
    name: str = ""
    size: Size | None = None
    levels: tuple[int, ...] = ()
    per_base: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Suggestion:
    """A good that a line may mean. ``score`` is 0 to 1; ``line_words`` stand only in the line, ``good_words`` only in
    the name it was compared with. ``same_size`` is False too where a size is not known."""

    good: str
    name: str
    score: float
    line_words: tuple[str, ...]
    good_words: tuple[str, ...]
    same_size: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """What a line means. Only ``sure`` may be written without a person, and ``sure`` has no doubts.

    ``good`` is "" where nothing decides between goods; with ``sure`` False it is what to offer first. ``new_pack``: the
    same product in another size or count, beside what is there and never instead of it. ``vintage``: it differs in
    nothing but the year (found by a code it may still be sure).
    """

    good: str = ""
    how: How = "none"
    sure: bool = False
    suggestions: tuple[Suggestion, ...] = ()
    new_pack: bool = False
    vintage: bool = False
    doubts: tuple[Doubt, ...] = ()
