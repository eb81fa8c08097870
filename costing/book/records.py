"""What the house knows, as frozen records. One record is one row of the file and one unit of change.

Ids are text and never reused; amounts are Facts; days are plain local dates. Nothing here computes.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from costing.book.buying import Alias, Basis, Claim, ColumnMap, ExchangeRate, ImportedFile, Order, Purchase
from costing.book.fact import Fact
from costing.book.levies import Levy, Policy, PricePoints
from costing.book.selling import Button, Judging, SalesPeriod, Scenario, Till

Facts = tuple[tuple[str, Fact], ...]
Layer = Literal["materials", "energy", "machine", "labour"]
LAYERS: tuple[Layer, ...] = ("materials", "energy", "machine", "labour")
BaseUnit = Literal["kg", "l", "each", "h", "kwh"]
TaxBasis = Basis
AllergenState = Literal["contains", "may_contain", "free"]
GoodKind = Literal[
    "spirit", "liqueur", "wine", "beer", "juice", "fruit", "herb", "dry", "sugar", "acid", "dairy", "egg",
    "water", "gas", "ice", "garnish", "consumable", "labour", "energy", "machine", "other",
]  # fmt: skip
WEEK_HOURS = 168
"""Hours of a week."""
BESIDE: frozenset[str] = frozenset({"ice", "garnish", "consumable", "labour", "energy", "machine"})
"""Kinds that cost money but are not followed as matter: they stand beside the liquid, not in it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Supplier:
    """Who sells to the house, and on what terms.

    ``tax`` says whether tax is in its prices ("unknown" until somebody was asked) at ``tax_rate``; ``currency`` is what
    it bills in ("" the house's). An order carries ``freight`` unless its goods come to ``free_from``, and must come to
    ``minimum``. ``rebate`` is the share of a year's turnover that comes back once that reaches ``rebate_from``.
    ``names`` are others it goes by in files, tax numbers among them; ``noise`` words of its lists that mean nothing.
    """

    id: str
    name: str
    tax: TaxBasis = "unknown"
    tax_rate: Decimal | None = None
    currency: str = ""
    freight: Decimal | None = None
    free_from: Decimal | None = None
    minimum: Decimal | None = None
    rebate: Decimal | None = None
    rebate_from: Decimal | None = None
    names: tuple[str, ...] = ()
    noise: tuple[str, ...] = ()
    note: str = ""

    def __post_init__(self) -> None:
        for name in ("freight", "free_from", "minimum", "rebate_from"):
            amount = getattr(self, name)
            if amount is not None and not 0 <= amount < Decimal("1e9"):
                raise ValueError(f"{name} {amount} of {self.name!r} must lie from 0 to below 1e9")
        for name in ("tax_rate", "rebate"):
            share = getattr(self, name)
            if share is not None and not 0 <= share < 1:
                raise ValueError(f"the {name} {share} of {self.name!r} must lie from 0 to below 1 (0.19 is 19 %)")


@dataclass(frozen=True, slots=True, kw_only=True)
class AllergenStatement:
    """What one label or person says of one allergen; what nobody stated is not stated, never free."""

    name: str
    state: AllergenState
    who: str = ""
    since: date | None = None
    label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Good:
    """Anything bought, minutes and machine hours too.

    ``makeup`` states composition: ``abv`` (% vol), ``sugar`` (g/l), ``brix`` (Bx), or mass shares ``water``,
    ``solubles``, ``ethanol`` (%; the rest is insoluble); beside it ``acid`` (g/l or g/kg, as citric) and ``so2``
    (mg/l or mg/kg), which are followed without being counted twice in the mass. ``density`` bridges weight and
    volume, ``piece`` is what one piece weighs or holds. ``preferred`` names the supplier whose quote costs it.
    """

    id: str
    name: str
    kind: GoodKind
    base: BaseUnit
    layer: Layer = "materials"
    makeup: Facts = ()
    density: Fact | None = None
    piece: Fact | None = None
    allergens: tuple[AllergenStatement, ...] = ()
    preferred: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Break:
    """From ``packs`` packs on, a pack costs ``price``."""

    packs: Decimal
    price: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class FreeGoods:
    """``free`` packs come with every ``paid`` packs."""

    paid: Decimal
    free: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class PackCharge:
    """Freight, duty or a rebate (negative) on one pack, part of what the good lands at."""

    name: str
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """What a supplier asks for one pack from a day on. Old quotes stay: they are the history.

    The pack is ``levels`` (12,) of ``content`` "0.7 l"; ``price`` is for the whole pack, with tax as ``tax`` says at
    ``tax_rate``. ``deposit`` is returnable and never part of cost; ``minimum`` is the least that is sold, in packs.
    ``words`` are the supplier's for it, ``file`` is the ImportedFile it came in and ``row`` where in it. ``label`` is
    "unread" while nobody has read what this supplier's label says of allergens: the good is then not stated, whatever
    another's label said.
    """

    id: str
    good: str
    supplier: str
    content: Fact
    price: Decimal
    currency: str
    since: date
    levels: tuple[int, ...] = ()
    tax: TaxBasis = "ex"
    tax_rate: Decimal | None = None
    until: date | None = None
    code: str = ""
    gtin: str = ""
    breaks: tuple[Break, ...] = ()
    free: FreeGoods | None = None
    charges: tuple[PackCharge, ...] = ()
    deposit: Decimal | None = None
    minimum: Decimal | None = None
    label: Literal["read", "unread"] = "read"
    words: str = ""
    file: str = ""
    row: str = ""
    source: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        if not 0 <= self.price < Decimal("1e7"):
            raise ValueError(f"the price {self.price} of a pack must lie from 0 to below 10,000,000")
        if any(not 1 <= n <= 100_000 for n in self.levels):
            raise ValueError(f"pack levels {self.levels} must be whole numbers from 1 to 100,000")
        if self.content.value <= 0:
            raise ValueError(f"a pack of {self.content.text!r} must hold more than nothing")
        if self.until is not None and self.until < self.since:
            raise ValueError(f"the last day {self.until} lies before the first day {self.since}")
        if self.tax_rate is not None and not 0 <= self.tax_rate < 1:
            raise ValueError(f"the tax_rate {self.tax_rate} must lie from 0 to below 1 (0.19 is 19 %)")
        if self.tax == "inc" and self.tax_rate is None:
            raise ValueError("a price with tax in it needs its tax_rate (0.19 is 19 %)")
        if self.free is not None and (self.free.paid <= 0 or self.free.free < 0):
            raise ValueError(f"free goods {self.free.free} with {self.free.paid} paid: paid must be above 0")


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """What goes into a stage: ``source`` is a good, a preparation, or preparation/by-product.

    ``amount`` None means "as much as the stage computes" (the water of a proof, the gas of a carbonation).
    ``spill`` is the share poured beside the glass: it is bought and lost, and the amount stays what goes in. ``fixed``
    amounts go in once whatever the size of the batch. ``id`` may name the input for a log.
    """

    source: str
    amount: Fact | None
    spill: Fact | None = None
    fixed: bool = False
    id: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One step of a preparation: running stream and ``adds`` in, running stream and what leaves out.

    ``facts`` are what the kind takes (``costing.book.kinds``); ``readings`` are weighings and strengths
    ("out.mass", "out.volume", "out.abv", "out.brix", "left.mass", "left.abv"). ``active`` and ``passive`` are the
    time of one run: hands at work, and the equipment working alone; ``setup`` is hands once a batch, whatever its size.
    """

    id: str
    kind: str
    adds: tuple[Input, ...] = ()
    facts: Facts = ()
    readings: Facts = ()
    equipment: str = ""
    active: Fact | None = None
    passive: Fact | None = None
    setup: Fact | None = None
    labour: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ByProduct:
    """A leaving stream that is kept, with the stored share of the money that goes with it.

    ``share`` is a number somebody chose by ``method`` on the day ``computed_on``, never a function of prices.
    """

    id: str
    stage: str
    name: str
    share: Decimal = Decimal(0)
    method: str = ""
    computed_on: date | None = None
    stream: Literal["left"] = "left"
    base: Literal["kg", "l"] = "kg"

    def __post_init__(self) -> None:
        if not 0 <= self.share < 1:
            raise ValueError(f"the share {self.share} of by-product {self.name!r} must lie from 0 to below 1")


@dataclass(frozen=True, slots=True, kw_only=True)
class Version:
    """How a preparation is made from a day on. ``pieces`` is how many a batch
    counted by the piece gives; ``density`` is measured and wins."""

    since: date
    stages: tuple[Stage, ...]
    byproducts: tuple[ByProduct, ...] = ()
    pieces: Fact | None = None
    density: Fact | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Preparation:
    """An ingredient the house makes. ``base`` is the unit it is costed and issued in.

    ``exemptions`` are allergens that a named person (``who``) says are not in it any more, with the reason in
    ``label``; nothing else takes an allergen away.
    """

    id: str
    name: str
    versions: tuple[Version, ...]
    base: Literal["kg", "l", "each"] = "l"
    shelf_days: int | None = None
    exemptions: tuple[AllergenStatement, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ServeVersion:
    """How one drink is built from a day on; ``build`` is its one stage."""

    since: date
    build: Stage
    technique: str = ""
    glass: str = ""
    seconds: Fact | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Serve:
    """One drink as sold."""

    id: str
    name: str
    versions: tuple[ServeVersion, ...]
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Technique:
    """How a drink is chilled and diluted; ``dilution`` is water from ice by volume of the build.

    Without a ``dilution`` of its own, ``like`` says which published curve stands in for it, as an assumption.
    """

    id: str
    name: str
    dilution: Fact | None = None
    like: Literal["", "stirred", "shaken"] = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Glass:
    """What a drink is served in."""

    id: str
    name: str
    capacity: Fact | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Equipment:
    """A machine: the goods that are its hour and its energy, and its power while it works alone.

    ``charge`` is the most that one run takes (weight or volume): runs that nobody entered are counted by it.
    ``hours`` are those it can run in a week, as the house says (None: nobody said, and it binds nothing).
    ``allergens`` are what is left in it from other work, stated like a good's.
    """

    id: str
    name: str
    hour: str = ""
    energy: str = ""
    power: Fact | None = None
    charge: Fact | None = None
    hours: Decimal | None = None
    allergens: tuple[AllergenStatement, ...] = ()
    note: str = ""

    def __post_init__(self) -> None:
        if self.hours is not None and not 0 <= self.hours <= WEEK_HOURS:
            raise ValueError(f"{self.hours} hours a week must lie from 0 to {WEEK_HOURS}")


@dataclass(frozen=True, slots=True, kw_only=True)
class DatedPrice:
    """A printed price, all taxes and service in, from a day on."""

    since: date
    price: Decimal

    def __post_init__(self) -> None:
        if not 0 <= self.price < Decimal("1e7"):
            raise ValueError(f"the price {self.price} must lie from 0 to below 10,000,000")


@dataclass(frozen=True, slots=True, kw_only=True)
class MenuLine:
    """A serve on a menu with the prices it was printed at; ``id`` tells two lines of one serve apart.

    A repricing of the whole menu leaves a ``held`` price as it is, and keeps others from ``least`` to ``most``, all in.
    """

    serve: str
    prices: tuple[DatedPrice, ...] = ()
    policy: Policy | None = None
    id: str = ""
    held: bool = False
    least: Decimal | None = None
    most: Decimal | None = None

    def __post_init__(self) -> None:
        if self.least is not None and self.most is not None and self.most < self.least:
            raise ValueError(f"the highest price {self.most} lies below the lowest {self.least}")


@dataclass(frozen=True, slots=True, kw_only=True)
class MenuSection:
    """A heading of a menu and the target that holds for its serves."""

    name: str
    lines: tuple[MenuLine, ...]
    policy: Policy | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Menu:
    """A list of serves with prices."""

    id: str
    name: str
    sections: tuple[MenuSection, ...]
    since: date | None = None
    until: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """The house's money rules from a day on.

    ``recovers_tax``: purchase tax inside a price is left out of cost. ``base``: the layers that pour cost and
    suggestions stand on, printed beside them.
    """

    since: date
    levies: tuple[Levy, ...] = ()
    points: PricePoints = PricePoints()
    policy: Policy = Policy("pour_cost", Decimal("0.20"))
    base: tuple[Layer, ...] = ("materials",)
    recovers_tax: bool = True

    def __post_init__(self) -> None:
        if not self.base or len(set(self.base)) < len(self.base):
            raise ValueError(f"the base {list(self.base)} must name at least one layer, and each once")


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """The house itself: one record, id "house". ``measures`` say what a dash or an oz is here.

    ``allergen_list`` names the list of ``resources/tables/allergens.csv`` that reports go by; ``standard_drink`` is
    the ethanol in one, as the place counts ("10 g"). ``holds`` say by kind of good how far a price may move before an
    arriving file is held there (("spirit", 0.1): a tenth up or down); kinds left out go by the shipped widths.
    ``judging`` is how the menu is judged; ``prep_hours`` are those that people can prepare in a week (None: not said).
    """

    id: str
    name: str
    currency: str
    terms: tuple[Terms, ...]
    measures: Facts = ()
    labour: str = ""
    allergen_list: str = "EU 14"
    standard_drink: Fact | None = None
    permit: str = ""
    permit_until: date | None = None
    holds: tuple[tuple[str, Decimal], ...] = ()
    judging: Judging = Judging()
    prep_hours: Decimal | None = None
    note: str = ""

    def __post_init__(self) -> None:
        if self.prep_hours is not None and not 0 <= self.prep_hours <= 100 * WEEK_HOURS:
            raise ValueError(f"{self.prep_hours} hours of preparing a week must lie from 0 to {100 * WEEK_HOURS}")
        for kind, share in self.holds:
            if not 0 < share <= 10:
                raise ValueError(f"a price of the kind {kind} is held beyond {share}: must lie above 0 to 10 (1000 %)")


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggedInput:
    """What really went into a stage: ``input`` is the source, or the id of the recipe's input, with its lot."""

    input: str
    amount: Fact
    lot: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggedStage:
    """One stage of a batch as it was made: readings, what went in, by whom and when (UTC, as the journal writes it)."""

    stage: str
    readings: Facts = ()
    added: tuple[LoggedInput, ...] = ()
    initials: str = ""
    at: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchLog:
    """One batch as it was made, never refused, beside the recipe of its day.

    ``revision`` is the row of the journal that the recipe was read at, so that the batch can be judged by the very
    recipe it was made to.
    """

    id: str
    preparation: str
    day: date
    stages: tuple[LoggedStage, ...]
    revision: int | None = None
    initials: str = ""
    state: Literal["made", "failed", "held"] = "made"
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class YieldTest:
    """One weighing of a good before and after it was trimmed, peeled, cut or juiced: ``gross`` as purchased, ``kept``
    what can be used of it, in the same kind of unit. ``part`` says what was kept ("flesh", "juice")."""

    id: str
    good: str
    day: date
    gross: Fact
    kept: Fact
    part: str = ""
    initials: str = ""
    note: str = ""


Record = (
    House | Supplier | Good | Quote | Equipment | Technique | Glass | Preparation | Serve | Menu | BatchLog | YieldTest
    | Alias | ColumnMap | ExchangeRate | ImportedFile | Order | Purchase | Claim
    | SalesPeriod | Button | Till | Scenario
)  # fmt: skip

KINDS: dict[str, type[Record]] = {
    "house": House,
    "supplier": Supplier,
    "good": Good,
    "quote": Quote,
    "equipment": Equipment,
    "technique": Technique,
    "glass": Glass,
    "preparation": Preparation,
    "serve": Serve,
    "menu": Menu,
    "batch": BatchLog,
    "yieldtest": YieldTest,
    "alias": Alias,
    "columnmap": ColumnMap,
    "rate": ExchangeRate,
    "file": ImportedFile,
    "order": Order,
    "purchase": Purchase,
    "claim": Claim,
    "sales": SalesPeriod,
    "button": Button,
    "till": Till,
    "scenario": Scenario,
}
"""Every kind of record this version keeps, in the order it is written. Add a kind: DEVELOPERS.md."""

KIND_OF: dict[type[Record], str] = {cls: kind for kind, cls in KINDS.items()}
