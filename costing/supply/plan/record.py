"""A file against the book, as data: every line with its fate, and the whole with what it asks of the house."""

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from costing.book.buying import Columns
from costing.book.records import Quote
from costing.supply.arriving.doubt import Doubt
from costing.supply.arriving.line import Incoming, PriceLine
from costing.supply.whose import Match, Suggestion

Fate = Literal["sound", "held", "ignored"]
Ask = Callable[[PriceLine], tuple[Suggestion, ...]]
FATES: tuple[Fate, ...] = ("sound", "held", "ignored")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlanLine:
    """One line and what comes of it. ``sound`` is written when the file is accepted, ``held`` waits for somebody to
    look at it, ``ignored`` is none of the house's business.

    ``good`` is what it means ("" unknown); ``old`` the quote that held before, and ``quote`` what would be written,
    None where nothing is; ``priced`` is what the line says, also where it writes nothing. ``before`` and ``now`` are
    the house's money for a base unit, without recoverable tax. ``why`` says what holds it, or why it is ignored.
    ``by_hand`` marks a fate that somebody chose. On an invoice ``packs`` are billed and ``delivered`` came;
    ``agreed`` is the price of a pack by the quote that held, ``ordered`` the packs asked for.
    """

    line: PriceLine
    fate: Fate
    match: Match
    good: str = ""
    old: Quote | None = None
    quote: Quote | None = None
    priced: Quote | None = None
    before: Decimal | None = None
    now: Decimal | None = None
    why: tuple[Doubt, ...] = ()
    notes: tuple[Doubt, ...] = ()
    by_hand: bool = False
    packs: Decimal | None = None
    delivered: Decimal | None = None
    agreed: Decimal | None = None
    ordered: Decimal | None = None

    @property
    def n(self) -> int:
        """The number of the line in its file, from 1."""
        return self.line.n

    @property
    def ratio(self) -> Decimal | None:
        """Price of a base unit now over before."""
        return self.now / self.before if self.now is not None and self.before else None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Gone:
    """A good that the supplier asked a price for until now and that the file does not name."""

    good: str
    quote: Quote


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Plan:
    """Everything of one file. ``supplier`` is the id of who sent it, "" until somebody said; ``doubts`` are about the
    file as a whole, and ``stops`` those that nothing of it may be written with. ``columns`` are to be remembered
    where a table was read, ``gone`` what the list does not name any more."""

    incoming: Incoming
    supplier: str
    lines: tuple[PlanLine, ...]
    doubts: tuple[Doubt, ...] = ()
    stops: tuple[Doubt, ...] = ()
    columns: Columns | None = None
    gone: tuple[Gone, ...] = ()
    order: str = ""
    ask: Ask | None = None

    def suggestions(self, line: PlanLine) -> tuple[Suggestion, ...]:
        """What a line may mean, the nearest first; looked for now where the file was too long to do so for all."""
        if line.match.suggestions or line.good or line.match.how != "suggested" or self.ask is None:
            return line.match.suggestions
        return self.ask(line.line)

    def count(self, fate: Fate) -> int:
        """Lines of one fate; rows that are no lines are ignored ones."""
        return sum(line.fate == fate for line in self.lines) + (len(self.incoming.left_out) if fate == "ignored" else 0)

    def counts(self) -> dict[Fate, int]:
        """All three, in one look through the lines."""
        found: Counter[Fate] = Counter(line.fate for line in self.lines)
        found["ignored"] += len(self.incoming.left_out)
        return {fate: found[fate] for fate in FATES}

    @property
    def read(self) -> int:
        """Rows read: always the three fates together."""
        return len(self.lines) + len(self.incoming.left_out)

    def of(self, fate: Fate) -> Iterator[PlanLine]:
        """Lines of one fate, in order."""
        return (line for line in self.lines if line.fate == fate)
