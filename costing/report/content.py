"""What the reports say, once, as data: every writer prints from this and works nothing out itself.

Money is unrounded float in the house's currency and amounts are in base units; a writer rounds by
``costing.book.money``. Ids and codes stay codes: ``costing.report.words`` turns them into language.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from costing.book.fact import Mark
from costing.book.levies import Levy, PricePoints
from costing.book.problem import Problem
from costing.book.records import GoodKind, Layer
from costing.ledger.costs import Columns
from costing.ledger.lines import Fate, Standing
from costing.pricing.menu import PricedServe
from costing.report.streams import Stream

if TYPE_CHECKING:
    from costing.pricing.ranges import Ranges
    from costing.report.allergy import AllergenTable
    from costing.report.cards import SpecCard
    from costing.report.decisions import Decisions
    from costing.report.quotes import QuoteRow


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """What every page carries so that it can be made again: house, day, revision (the journal's number)."""

    house: str
    currency: str
    """As the house writes it; "" where there is none."""
    money: str
    """The ISO 4217 code that rounds: the house's, or XXX (two decimals) where that is not a code."""
    day: date
    revision: int
    base: tuple[Layer, ...] = ("materials",)
    terms: bool = True
    """False where the house has no taxes, price points and target on the day: nothing is suggested then."""
    permit: str = ""
    permit_until: date | None = None
    gram_drink: float | None = None
    """Grams of ethanol in a standard drink as the house counts; None where it says nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceRow:
    """A good in use and the quote that costs it. ``landed``, ``content`` and ``unit_cost`` are None where no quote
    counts today; ``reason`` then says why, if a quote is there at all."""

    good: str
    name: str
    kind: GoodKind
    layer: Layer
    base: str
    supplier: str = ""
    quote: str = ""
    since: date | None = None
    pack: str = ""
    price: Decimal | None = None
    tax: str = ""
    """"off" where tax is taken out of the price, "on" where it is put on, "" where it plays no part."""
    tax_rate: Decimal = Decimal(0)
    paid: Decimal = Decimal(1)
    free: Decimal = Decimal(0)
    rate: Decimal = Decimal(1)
    """The house's money for one of the quote's currency."""
    charges: tuple[tuple[str, Decimal], ...] = ()
    landed: Decimal | None = None
    content: float | None = None
    unit_cost: float | None = None
    reason: Problem | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class InputRow:
    """One source on a direct row: ``amount`` base units per batch (per drink in a serve); its cost is a formula."""

    source: str
    name: str
    base: str
    amount: float
    complete: bool
    typed: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OutputRow:
    """A preparation or by-product as issued. ``inputs`` are net of what the batch uses of itself."""

    id: str
    name: str
    base: str
    made: float
    inputs: tuple[InputRow, ...]
    cost: Columns
    complete: bool
    unpriced: tuple[str, ...]
    assumed_share: float
    lost_money: float
    """Memo per unit: materials money that was lost on the way; part of ``cost``, never added to it."""
    net_of_itself: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class AddedRow:
    """What goes into a stage: the amount as typed ("" where the stage works it out) and in base units."""

    name: str
    typed: str
    amount: float
    base: str
    mark: Mark | None
    kg: float
    fixed: bool = False
    """True for what goes in once whatever the size of the batch."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowRow:
    """One stream out of a stage. ``litres`` is None where solids are in it; ``alcohol`` is litres of pure alcohol.
    A by-product also has its shares of what entered the stage: of the key component, and of the money."""

    name: str
    fate: Fate
    kg: float
    litres: float | None
    abv: float | None
    alcohol: float
    key_share: float = 0.0
    money_share: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeRow:
    """A time of a stage, as typed and in minutes of one run. ``minutes`` is None where its unit is not known."""

    typed: str
    minutes: float | None
    mark: Mark
    runs: bool = False
    """True where the stage is run more than once, each run taking this long."""
    once: bool = False
    """True for the time to set up, once a batch."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureRow:
    """A fact or reading of a stage, as typed, with its mark; runs that were counted by a charge are computed."""

    name: str
    typed: str
    mark: Standing
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviationRow:
    """A reading beside what the figures alone predict (None where they predict nothing), in kg, L or fractions."""

    reading: str
    measured: float
    predicted: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StageRow:
    """A line of the loss ledger. ``row`` and ``lost_goods`` are the amounts that ``money`` (by layer) and
    ``lost_money`` (a memo, materials only) come from; both stand for everything carried so far."""

    id: str
    kind: str
    note: str
    equipment: str
    active: TimeRow | None
    passive: TimeRow | None
    setup: TimeRow | None
    added: tuple[AddedRow, ...]
    into: FlowRow
    flows: tuple[FlowRow, ...]
    key: str
    share_lost: float
    row: Mapping[str, float]
    money: Columns
    lost_goods: Mapping[str, float]
    lost_money: float
    figures: tuple[FigureRow, ...] = ()
    deviations: tuple[DeviationRow, ...] = ()
    notes: tuple[tuple[str, float], ...] = ()

    def flow(self, fate: Fate) -> FlowRow:
        """All streams of one fate as one; volumes are None unless every part has one."""
        parts = [f for f in self.flows if f.fate == fate]
        litres = [f.litres for f in parts]
        whole = None if not parts or None in litres else sum(v for v in litres if v is not None)
        alcohol = sum(f.alcohol for f in parts)
        return FlowRow(
            name=parts[0].name if len(parts) == 1 else "",
            fate=fate,
            kg=sum(f.kg for f in parts),
            litres=whole,
            abv=parts[0].abv if len(parts) == 1 else None,
            alcohol=alcohol,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PreparationRow:
    """A preparation of the day, in order, inputs first. ``outputs`` is empty where it is refused; ``stages`` then
    end before the one that cannot be."""

    id: str
    name: str
    note: str
    since: date
    outputs: tuple[OutputRow, ...]
    stages: tuple[StageRow, ...]
    problems: tuple[Problem, ...] = ()
    cautions: tuple[str, ...] = ()
    vapour: str = ""
    shelf_days: int | None = None
    stream: Stream | None = None
    """Money into one batch, stage by stage."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ServeRow:
    """One drink. ``costed`` is False where the build cannot be read; ``litres`` and ``abv`` are after dilution.
    ``doubts`` say why they are None, or what they leave out."""

    id: str
    name: str
    technique: str
    glass: str
    inputs: tuple[InputRow, ...]
    cost: Columns
    base_cost: float
    costed: bool
    complete: bool
    unpriced: tuple[str, ...]
    litres: float | None
    abv: float | None
    assumed_share: float
    since: date | None = None
    doubts: tuple[Problem, ...] = ()
    stream: Stream | None = None
    shares: tuple[tuple[str, float], ...] = ()
    """Goods by name with their money in one drink, over the base layers, the dearest first."""

    @property
    def making(self) -> float:
        """Cost over all layers."""
        return sum(self.cost)


@dataclass(frozen=True, slots=True, kw_only=True)
class MenuRow:
    """A serve on a section of a menu ("" and "" on none). ``printed`` is the price as it stands on the menu, which is
    there even where ``priced`` has no price, because no terms say what the house keeps of it."""

    menu: str
    section: str
    serve: ServeRow
    priced: PricedServe
    printed: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """A figure nobody measured: the id it belongs to, where it stands, what it is, as typed."""

    record: str
    where: str
    figure: str
    typed: str
    how: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contents:
    """Everything the reports of one day print."""

    head: Head
    prices: tuple[PriceRow, ...]
    preparations: tuple[PreparationRow, ...]
    serves: tuple[ServeRow, ...]
    menu: tuple[MenuRow, ...]
    levies: tuple[Levy, ...]
    points: PricePoints
    problems: tuple[Problem, ...]
    assumptions: tuple[Assumption, ...]
    cautions: tuple[str, ...]
    cards: "tuple[SpecCard, ...]" = ()
    allergens: "AllergenTable | None" = None
    quotes: "tuple[QuoteRow, ...]" = ()
    names: Mapping[str, str] = field(default_factory=dict)
    """What people call a good, preparation or by-product of the day, by its id."""
    called: Mapping[str, str] = field(default_factory=dict)
    """What people call any record of the book, of this day or not, by kind/id."""
    decide: "Callable[[], Decisions | None] | None" = field(default=None, compare=False)
    """Works out what the menu decisions report says; none where nothing was sold."""
    ranging: "Callable[[], Ranges] | None" = field(default=None, compare=False)
    """Works out the ranges that costs lie in, in the layers of pour cost."""

    def band(self, serve: str) -> tuple[float, float] | None:
        """The range that a drink's cost lies in, (least, most); None where none can be told."""
        found = self.ranging().serves.get(serve) if self.ranging is not None else None
        return (found.low, found.high) if found is not None else None

    @property
    def decisions(self) -> "Decisions | None":
        """What to keep and what to charge, by the sales that were read; None where there are none."""
        return self.decide() if self.decide is not None else None
