"""What the goods of the big list are: kinds, packs, words, and how far an honest price of each kind moves.

Shares, widths and price ranges are common practice, no source.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import log, prod

SLACK = 0.03


@dataclass(frozen=True, slots=True)
class PackOf:
    """``levels`` of ``size`` in ``unit`` ("l", "kg" or "Stk")."""

    levels: tuple[int, ...]
    size: str
    unit: str

    @property
    def count(self) -> int:
        """Pieces in it."""
        return prod(self.levels)

    @property
    def amount(self) -> float:
        """Litres, kilograms or hundreds of pieces in it."""
        return self.count * float(self.size) / (100 if self.unit == "Stk" else 1)

    def text(self, mark: str = ",", unit: str = "") -> str:
        """As a list writes it: "6 x 0,7 l"."""
        return " x ".join([*map(str, self.levels), f"{self.size.replace('.', mark)} {unit or self.unit}"])

    def told(self) -> str:
        """As the house writes it: "6 x 0.7 l", "10 x 500 each"."""
        return self.text(".", "each" if self.unit == "Stk" else "")


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of good. ``share`` of the rows, ``asked`` the prices of a litre, a kilogram or a hundred pieces;
    ``moves`` is the share of goods whose price moves from one list to the next, ``width`` how far it goes at most (0.04
    is four per cent). ``fresh`` goods go with the season."""

    name: str
    letter: str
    share: float
    asked: tuple[float, float]
    moves: float
    width: float
    rate: int
    packs: tuple[PackOf, ...]
    bases: tuple[str, ...]
    fresh: bool = False

    def named(self, nth: int) -> str:
        """Words for the ``nth`` good of this kind: no two of some 30,000 are alike."""
        rest, first = divmod(nth, len(PLACES))
        rest, apart = divmod(rest, len(PLACES) - 1)
        mark, base = divmod(rest, len(self.bases))
        second = (first + 1 + apart) % len(PLACES)
        return f"{PLACES[first]} {PLACES[second]} {self.bases[base]}{MARKS[mark % len(MARKS)]}"


def _packs(*texts: str) -> tuple[PackOf, ...]:
    """Packs from "6 x 0.7 l"."""
    out = []
    for text in texts:
        *levels, content = text.split(" x ")
        size, unit = content.split()
        out.append(PackOf(tuple(map(int, levels)), size, unit))
    return tuple(out)


def _kind(row: str, packs: str, bases: str) -> Kind:
    """A kind from "name letter share low high moves width rate"."""
    name, letter, share, low, high, moves, width, rate = row.split()
    return Kind(name, letter, float(share), (float(low), float(high)), float(moves), float(width), int(rate),
                _packs(*packs.split("; ")), tuple(bases.split("; ")), fresh=name in ("fruit", "herb"))  # fmt: skip


_ROWS = (
    ("spirit S 0.16 12 70 0.35 0.04 19", "6 x 0.7 l; 6 x 1 l; 0.7 l; 12 x 0.7 l; 6 x 0.5 l; 5 l",
     "Gin dry 43%; Rum white 40%; Rum dark 42%; Vodka grain 40%; Rye whisky 46%; Pear brandy 50%; Apple brandy 42%; "
     "Corn whisky 45%; Rum spiced 37,5%; Gin rhubarb 40%; Marc 44%; Aquavit caraway 41,5%"),
    ("liqueur L 0.08 10 40 0.35 0.04 19", "6 x 0.7 l; 6 x 0.5 l; 0.7 l; 12 x 0.35 l",
     "Liqueur orange 40%; Liqueur herb 35%; Liqueur coffee 25%; Crème of cherry 18%; Aperitif bitter 15%; Amaro 28%; "
     "Liqueur elderflower 20%; Liqueur walnut 24%"),
    ("wine W 0.24 5 30 0.4 0.06 19", "6 x 0.75 l; 12 x 0.75 l; 6 x 1 l; 10 l; 6 x 1.5 l",
     "white dry; red dry; rosé; sparkling brut; white late harvest; red reserve; orange unfiltered; vermouth red; "
     "vermouth white; fortified dry"),
    ("beer B 0.1 1.6 6 0.4 0.06 19", "24 x 0.33 l; 20 x 0.5 l; 4 x 6 x 0.33 l; 30 l; 50 l; 12 x 0.75 l",
     "lager; pale ale; stout; wheat beer; sour with berries; lager without alcohol; cider dry"),
    ("juice J 0.08 1.2 8 0.5 0.12 19", "12 x 1 l; 6 x 1 l; 24 x 0.2 l; 5 l",
     "apple juice cloudy; orange juice; pineapple juice; tomato juice; cranberry nectar; grape must; rhubarb juice"),
    ("fruit F 0.1 1.2 9 1 0.45 7", "5 kg; 10 kg; 4 kg; 18 kg; 12 x 0.25 kg; 8 x 0.5 kg",
     "lemons; limes; oranges; grapefruit; pineapples; strawberries; raspberries; apples; pears; plums; cucumbers"),
    ("herb H 0.05 8 40 1 0.45 7", "10 x 0.1 kg; 1 kg; 20 x 0.03 kg",
     "mint; basil; rosemary; thyme; dill; sage; lemon verbena; coriander"),
    ("dry D 0.09 1.5 60 0.5 0.1 7", "10 x 1 kg; 25 kg; 5 kg; 12 x 0.5 kg; 1 kg",
     "sugar; cane sugar; sea salt; black tea; coffee; cocoa nibs; hazelnuts; star anise; cinnamon; citric acid"),
    ("dairy M 0.05 1 14 0.6 0.1 7", "12 x 1 l; 20 x 0.25 kg; 6 x 0.5 kg; 10 l",
     "whole milk; cream 35%; butter; yoghurt; crème fraîche; buttermilk"),
    ("consumable C 0.05 0.5 9 0.3 0.07 19", "500 Stk; 10 x 500 Stk; 1000 Stk; 20 x 100 Stk",
     "straws reed; napkins; picks wood; filters paper; cups paper; lids; gloves"),
)  # fmt: skip
KINDS = {row.split()[0]: _kind(row, packs, bases) for row, packs, bases in _ROWS}
PLACES = (
    "Slate", "Copper", "Lantern", "Harbour", "Orchard", "Heath", "Ridge", "Ferry", "Mill", "Anchor", "Willow",
    "Granite", "Meadow", "Tide", "Beacon", "Hollow", "Juniper", "Cooper", "Ropewalk", "Saltmarsh", "Thistle", "Weir",
    "Causeway", "Gable",
)  # fmt: skip
"""Words of a landscape nobody lives in: names are made of two of them."""
MARKS = ("", " export", " classic", " house", " extra", " old style", " festive", " limited")


def kinds_of(rows: int) -> Iterator[tuple[Kind, int]]:
    """The kind of every row, group by group, and its number within the kind."""
    begun, last = 0, 0.0
    for n, kind in enumerate(KINDS.values(), 1):
        last += kind.share
        until = rows if n == len(KINDS) else round(rows * last)
        yield from ((kind, nth) for nth in range(until - begun))
        begun = until


def beyond(kind: Kind, ratio: float) -> bool:
    """Whether a price moves further from one list to the next than anybody would believe: more than twice as far as any
    honest price of this kind."""
    return ratio <= 0 or abs(log(ratio)) > log(1 + 2 * kind.width + SLACK)
