"""Terms that multiply each other, and what a count is a count of."""

from dataclasses import dataclass, field
from decimal import Decimal
from math import prod

from costing.supply.arriving.doubt import Doubt
from costing.supply.packs.tokens import Term
from costing.supply.packs.vocabulary import Word

USUAL = frozenset({2, 3, 4, 6, 8, 10, 12, 15, 16, 18, 20, 24, 30, 36, 48})
"""Counts that packs have; another number in front of a size may belong to a name."""
COUNTED = frozenset({"count", "counts", "ct", "cnt", "s"})


@dataclass(slots=True)
class Group:
    """Terms that multiply each other, with what was doubted of it. ``inside`` are counts that do not multiply."""

    levels: list[int] = field(default_factory=list)
    size: Term | None = None
    counts: list[Term] = field(default_factory=list)
    inside: list[Term] = field(default_factory=list)
    doubts: list[Doubt] = field(default_factory=list)
    terms: list[Term] = field(default_factory=list)
    no_unit: Term | None = None
    slashed: bool = False

    @property
    def many(self) -> int:
        return prod(self.levels)

    @property
    def total(self) -> Decimal:
        return self.many * self.size.value if self.size else Decimal(0)

    @property
    def pieces(self) -> bool:
        """Whether what is counted is the good itself, by the piece."""
        return any(by_piece(t) for t in self.counts)

    @property
    def bare(self) -> bool:
        """Whether only numbers say what is counted, with a slash between them: 4/6, or 48/54 for a calibre."""
        return len(self.terms) > 1 and all(t.sort == "bare" for t in self.terms) and self.slashed


def by_piece(count: Term) -> bool:
    """Whether a count is of the good itself: pieces, dozens, "88ct"."""
    return count.noun is not None and (count.noun.sort in ("piece", "dozen") or count.noun.name in COUNTED)


def many_heavy(count: Term, size: Term) -> bool:
    """Whether "18er 4 kg", which may be a box of 4 kg with 18 fruits in it; a six-pack of kilograms is one."""
    if count.noun is None or count.noun.sort != "many" or size.unit != "g" or size.value < 1000:
        return False
    return count.noun.name == "er" or count.value not in USUAL


def outer(word: Word | None) -> bool:
    """Whether a word is one for what holds several."""
    return word is not None and word.sort == "outer"
