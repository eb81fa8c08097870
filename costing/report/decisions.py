"""What the menu decisions report says, once, as data: every drink with its class, how sure that is and what to do.

Rows are plain: words are already in the language, money is unrounded float in the house's currency a drink, net of tax.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from costing.book.selling import Judging
from costing.report.content import Head
from costing.report.figures.bridge import Bridge
from costing.report.figures.scatter import Scatter, Spot, Spread, Threshold
from costing.report.phrases import percent
from costing.tongue import Words, day_text, say, word

State = Literal["sure", "borderline", "few"]
Paid = Literal["paid", "printed", "both"]
STATES: Words = {"sure": "sure", "borderline": "borderline", "few": "too few sold"}
_PAID: Words = {
    "paid": "prices as paid, without tax",
    "printed": "prices as printed, without tax",
    "both": "prices as paid where the till says so, else as printed, without tax",
}
_TIE: Words = {
    "high": "exactly as much counts as high",
    "low": "exactly as much counts as low",
}
_UNSOLD: Words = {
    "counted": "drinks of which none was sold are counted",
    "left out": "drinks of which none was sold are left out of the count",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class DecisionRow:
    """One drink of a set. ``klass``, ``chance`` (that its class is right) and ``action`` are words, ``klass`` "" where
    it has none; ``complete`` False where its cost is at least what stands there. ``cells`` are the words of the methods
    of the set, in their order, and ``agreed`` how many of them read alike."""

    serve: str
    name: str
    sold: float
    cost: float
    net: float
    klass: str = ""
    state: State = "sure"
    chance: str = ""
    action: str = ""
    why: str = ""
    spread: Spread | None = None
    complete: bool = True
    cells: tuple[str, ...] = ()
    agreed: str = ""

    @property
    def margin(self) -> float:
        """Of one drink; at most where its cost is not complete."""
        return self.net - self.cost

    @property
    def standing(self) -> str:
        """ "sure, 97 %"."""
        said = word(STATES, self.state)
        return say("{state}, {chance}", state=said, chance=self.chance) if self.chance else said


@dataclass(frozen=True, slots=True, kw_only=True)
class DecisionSet:
    """Drinks that are judged against each other, in menu order. ``popular`` is in drinks sold and ``earning`` in margin
    a drink: both None where there are no classes, and ``note`` says why. ``left_out`` are drinks of it without a price.
    """

    title: str
    rows: tuple[DecisionRow, ...]
    popular: Threshold | None = None
    earning: Threshold | None = None
    methods: tuple[str, ...] = ()
    note: str = ""
    left_out: tuple[str, ...] = ()

    @property
    def sold(self) -> float:
        """Drinks sold of all rows."""
        return sum(row.sold for row in self.rows)

    def share(self, row: DecisionRow) -> float | None:
        """Of the drinks sold; None where none was."""
        return row.sold / self.sold if self.sold else None

    @property
    def scatter(self) -> Scatter | None:
        """Its picture; None where there are no classes."""
        if self.popular is None or self.earning is None or not self.rows:
            return None
        spots = tuple(
            Spot(name=r.name, sold=r.sold, margin=r.margin, spread=r.spread, sure=r.state == "sure", klass=r.klass,
                 standing=r.standing)
            for r in self.rows
        )  # fmt: skip
        return Scatter(spots=spots, popular=self.popular, earning=self.earning)


@dataclass(frozen=True, slots=True, kw_only=True)
class Walk:
    """A bridge with its title; ``unit`` "share" says its figures as per cent and its steps as points."""

    title: str
    bridge: Bridge
    unit: Literal["money", "share"] = "money"


@dataclass(frozen=True, slots=True, kw_only=True)
class Decisions:
    """The whole report. ``classes`` are the words for star, plowhorse, puzzle and dog, in this order; ``without`` are
    drinks that were sold and are on no menu of the day; ``cautions`` are codes."""

    head: Head
    since: date
    until: date
    judging: Judging
    sets: tuple[DecisionSet, ...]
    classes: tuple[str, str, str, str]
    paid: Paid = "both"
    walks: tuple[Walk, ...] = ()
    without: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


def rule_words(decisions: Decisions) -> str:
    """By what the menu is judged, and on what: the line that every copy of it must carry."""
    judging, days = decisions.judging, (decisions.until - decisions.since).days + 1
    return say(
        "Sold from {since} to {until} ({days} days), {paid}. Popular from {cut} of an equal share of the mix; a high "
        "margin from the margin of all that was sold over their number; {tie}, and {unsold}. A class is sure from a "
        "chance of {sure}.",
        since=day_text(decisions.since), until=day_text(decisions.until), days=days,
        paid=word(_PAID, decisions.paid), cut=percent(judging.cut), tie=word(_TIE, judging.tie),
        unsold=word(_UNSOLD, judging.unsold), sure=percent(Decimal(judging.sure)),
    )  # fmt: skip
