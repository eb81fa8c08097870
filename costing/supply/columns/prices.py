"""Which column of prices says what: case and bottle, with and without tax. Arithmetic decides, or nobody."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.columns.amounts import half_place, places_of
from costing.supply.columns.folding import folded
from costing.supply.columns.headings import Meaning
from costing.supply.columns.taxes import RATE_WITHIN, known_rate

AGREE = 0.9
"""Share of the rows that have to agree before two columns are said to be case and unit, or net and gross."""
FEWEST = 3
Values = Sequence[Decimal | None]
_YEAR = re.compile(r"\b(?:19|20)\d\d\b")
_LIKELY: tuple[tuple[int, tuple[str, ...]], ...] = (
    (2, ("ek", "einkauf", "achat", "inkoop", "acquisto", "compra", "cost", "your", "ihr", "votre", "uw", "vostro",
         "special", "sonder", "promo", "aktion", "action", "angebot", "offer", "offert", "oferta", "net", "discount",
         "rabatt")),
    (0, ("vk", "verkauf", "vente", "verkoop", "vendita", "venta", "sell", "list", "listen", "katalog", "catalog",
         "public", "standard", "regular", "normal")),
)  # fmt: skip
"""How likely a price is the one that the house pays, by words of its heading; 1 where none of them stands there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Priced:
    """One column of prices: where it stands, what its heading means and how certain that is."""

    column: int
    header: str
    meaning: Meaning
    certainty: float
    values: Values


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """Roles by column, with their certainty; ``rate`` where a gross column showed it. ``asked`` are the doubts that
    hold every line until somebody has said which column is meant; they are among ``doubts``. ``swapped`` where the
    price with tax is the smaller one: then nothing is known of tax."""

    roles: tuple[tuple[int, str, float], ...] = ()
    rate: Decimal | None = None
    net_gross: bool = False
    swapped: bool = False
    doubts: tuple[Doubt, ...] = ()
    asked: tuple[Doubt, ...] = ()


def settle(found: Sequence[Priced], counts: Sequence[int | None]) -> Settled:
    """A role for every column of prices that can be told apart; the others are doubted by name and stay unused."""
    roles: dict[int, tuple[str, float]] = {}
    doubts: list[Doubt] = []
    asked: list[Doubt] = []
    rate: Decimal | None = None
    net_gross = swapped = False
    for role in ("old_price", "price_measure", "price_each", "price"):
        rivals = [one for one in found if one.meaning.role == role and one.column not in roles]
        if len(rivals) < 2:
            roles |= {one.column: (role, one.certainty) for one in rivals}
            continue
        settled = _apart(rivals, counts, role, free={name for name, _ in roles.values()})
        roles |= {column: (name, certainty) for column, name, certainty in settled.roles}
        doubts += settled.doubts
        asked += settled.asked
        rate, net_gross = rate or settled.rate, net_gross or settled.net_gross
        swapped = swapped or settled.swapped
    return Settled(
        roles=tuple((column, role, sure) for column, (role, sure) in roles.items()),
        rate=rate, net_gross=net_gross, swapped=swapped, doubts=tuple(doubts), asked=tuple(asked),
    )  # fmt: skip


def _apart(rivals: Sequence[Priced], counts: Sequence[int | None], role: str, free: set[str]) -> Settled:
    """Columns that claim one role, told apart by their tax words or by the ratio of their figures; else the likeliest,
    and the question which one it is."""
    if len(rivals) == 2:
        one, two = rivals
        pair = _by_tax(one, two)
        if pair is not None:
            return _net_gross(*pair, role)
        for less, more in ((one, two), (two, one)):
            if role == "price" and "price_each" not in free and agrees(more.values, less.values, counts):
                return Settled(roles=((more.column, "price", 0.85), (less.column, "price_each", 0.85)))
            found = constant_rate(less.values, more.values) if _rank(one) == _rank(two) else None
            if found is not None:
                seen = doubt("gross-by-ratio", "tax", one=less.header, other=more.header, rate=f"{found:.1%}")
                roles = ((less.column, role, 0.8), (more.column, "gross", 0.8))
                return Settled(roles=roles, rate=found, net_gross=True, doubts=(seen,))
    first = max(rivals, key=lambda one: (_full(one), *_rank(one), one.certainty, -one.column))
    said = " | ".join(one.header or str(one.column + 1) for one in rivals)
    which = doubt("which-price", "price", value=said)
    return Settled(roles=((first.column, role, 0.3),), doubts=(which,), asked=(which,))


def _net_gross(net: Priced, gross: Priced, role: str) -> Settled:
    """The price without tax and the one with it, as their headings say; where the one with tax is the smaller by a
    rate, the headings are swapped and say nothing."""
    roles = ((net.column, role, net.certainty), (gross.column, "gross", 0.9))
    rate = constant_rate(net.values, gross.values)
    if constant_rate(gross.values, net.values) is not None:
        swapped = doubt("net-gross-swapped", "tax", net=net.header, gross=gross.header)
        return Settled(roles=roles, swapped=True, doubts=(swapped,))
    return Settled(roles=roles, rate=rate, net_gross=True)


def _by_tax(one: Priced, two: Priced) -> tuple[Priced, Priced] | None:
    """(without tax, with tax) where the headings say so."""
    bases = one.meaning.tax.basis, two.meaning.tax.basis
    if bases.count("inc") == 1 and bases[0] != bases[1]:
        return (one, two) if bases[1] == "inc" else (two, one)
    return None


def _full(item: Priced) -> bool:
    """Whether nearly every row has a price in a column: special ones stand beside a few."""
    return sum(value is not None for value in item.values) >= AGREE * len(item.values)


def _rank(item: Priced) -> tuple[int, int]:
    """(year that a heading names, how likely its price is the one that is paid): the larger, the likelier."""
    years = [int(year) for year in _YEAR.findall(item.header)]
    words = folded(item.header).split()
    likely = (n for n, known in _LIKELY if any(word.startswith(begin) for word in words for begin in known))
    return max(years, default=0), next(likely, 1)


def unit_agrees(price: Decimal, each: Decimal, count: int, places: int = 2) -> bool:
    """Whether case price / count is the unit price, within the rounding of what is shown (``places`` at least)."""
    if each * count == price:
        return True
    slack = half_place(max(places_of(each), places)) + half_place(max(places_of(price), places)) / count
    return abs(price / count - each) <= slack


def agrees(prices: Values, eaches: Values, counts: Sequence[int | None]) -> bool:
    """Whether prices / unit prices = pack counts over (nearly) all rows that hold more than one."""
    share, rows = agreement(prices, eaches, counts)
    return rows >= FEWEST and share >= AGREE


def agreement(prices: Values, eaches: Values, counts: Sequence[int | None]) -> tuple[float, int]:
    """(share of rows that agree, rows with both prices and a count above 1)."""
    rows = [
        unit_agrees(price, each, count)
        for price, each, count in zip(prices, eaches, counts, strict=True)
        if price is not None and each is not None and count is not None and count > 1
    ]
    return (sum(rows) / len(rows) if rows else 0.0), len(rows)


def constant_rate(nets: Values, grosses: Values) -> Decimal | None:
    """The one known rate that all rows show as gross / net, within half a percent; None where they do not."""
    pairs = [(net, gross) for net, gross in zip(nets, grosses, strict=True) if net and gross and net > 0]
    if len(pairs) < FEWEST:
        return None
    middle = sorted(gross / net for net, gross in pairs)[len(pairs) // 2]
    rate = known_rate(middle)
    if rate is None:
        return None
    fits = sum(abs(gross / net / (1 + rate) - 1) <= RATE_WITHIN for net, gross in pairs)
    return rate if fits >= AGREE * len(pairs) else None
