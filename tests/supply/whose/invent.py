"""An invented catalogue and an invented supplier's lines about it, with what each line truly means.

Makers have ranges, so that everything has siblings; words are made of syllables, so that some differ in one letter.
Lines are renamed goods (``KINDS``) and goods that the book does not have, though it has a sibling of theirs
("missing"). Nothing here knows how the matcher works.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from random import Random

from costing.supply.whose import Asked, Known, Size

KINDS = ("register", "abbreviation", "order", "truncation", "one typo", "two typos", "added words", "mix", "vintage")
SHARES: Mapping[str, int] = {kind: 136 if kind == "register" else 130 for kind in KINDS}
"""How many of each in a catalogue of 2000; 1100 are missing."""
MISSING = 1100
ONSETS = "b br c cl d dr f fl g gr h k kr l m n p pr r s st t tr v w z sh th"
VOWELS = "a e i o u a e o ai ea ou"
CODAS = "n l r s nd rt m k th ll st ck"
PLACES = "Ridge Vale Cove Mill Bridge Quay Point Heath Moor Dale Hollow Ferry Gate Strand"
_TRADE_SHORT = {
    "whisky": "WHSKY", "vodka": "VDKA", "liqueur": "LIQ", "reserve": "RSV", "special": "SPEC", "barrel": "BRL",
    "single": "SGL", "london": "LDN", "white": "WHT", "blended": "BLND", "syrup": "SYR", "organic": "ORG",
}  # fmt: skip
_ADDED = (
    "bottle", "btl", "case", "PET", "carton", "pack", "each", "glass", "screwcap", "imported", "giftbox", "promo",
    "new", "40%", "37.5% vol", "12er", "x6",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Sort:
    """A kind of thing: what it is called, what it may be besides and how old (each a list with commas), its sizes in ml
    or g, and money for a litre or kg."""

    names: str
    styles: str
    sizes: tuple[int, ...]
    price: float
    share: float
    ages: str = ""
    vintages: bool = False
    unit: str = "ml"


SORTS = (
    Sort(
        "Gin",
        "London Dry, Old Tom, Navy Strength, Pink, Rhubarb, Sloe, Barrel Aged, Blood Orange, Lemon, "
        "Cucumber, Elderflower, Seaweed",
        (700, 500, 1000), 30, 0.09,
    ),
    Sort(
        "Rum",
        "White, Gold, Dark, Spiced, Overproof, Black, Coconut, Pineapple, Single Estate, Agricole",
        (700, 1000), 28, 0.08, "3yr, 5yr, 8yr, 12yr, 15yr",
    ),
    Sort(
        "Vodka",
        "Wheat, Rye, Potato, Lemon, Vanilla, Raspberry, Black, Crystal",
        (700, 1000, 500), 22, 0.06,
    ),
    Sort(
        "Whisky, Malt Whisky, Bourbon, Rye",
        "Blended, Single Malt, Peated, Small Batch, Cask Strength, Port Finish, Sherry Finish, Double Oak, "
        "Reserve",
        (700, 1000), 55, 0.11, "8 years, 10 years, 12 years, 15 years, 18 years",
    ),
    Sort(
        "Brandy, Grappa, Pisco, Tequila, Mezcal",
        "Blanco, Reposado, Anejo, Reserva, XO, VS, VSOP, Acholado, Bianca",
        (700, 500), 40, 0.07,
    ),
    Sort(
        "Liqueur",
        "Coffee, Orange, Cherry, Almond, Herbal, Ginger, Melon, Peach, Walnut, Violet, Cream, Cassis",
        (700, 500), 24, 0.06,
    ),
    Sort(
        "Vermouth, Vermut",
        "Rosso, Bianco, Dry, Extra Dry, Rosato, Amaro",
        (750, 1000), 14, 0.03,
    ),
    Sort(
        "Bitters",
        "Aromatic, Orange, Celery, Chocolate, Peach, Cardamom",
        (100, 200), 130, 0.02,
    ),
    Sort(
        "Chardonnay, Riesling, Pinot Noir, Merlot, Cabernet, Syrah, Cuvee",
        "Reserve, Estate, Old Vines, Grand, Brut, Village, Barrique, Rose, Dry, Late Harvest",
        (750, 375, 1500), 16, 0.27, vintages=True,
    ),
    Sort(
        "Port, Sherry",
        "Ruby, Tawny, White, Fino, Oloroso, Cream, Late Bottled",
        (750, 375), 20, 0.03, "10 years, 20 years",
    ),
    Sort(
        "Syrup",
        "Vanilla, Hazelnut, Grenadine, Almond, Cane, Ginger, Passion Fruit, Hibiscus, Sugar Free Vanilla, "
        "Lavender",
        (700, 1000), 9, 0.05,
    ),
    Sort(
        "Juice, Nectar",
        "Lime, Lemon, Orange, Apple, Cloudy Apple, Pineapple, Tomato, Cranberry",
        (1000, 200), 3, 0.04,
    ),
    Sort(
        "Tonic Water, Soda, Lemonade, Ginger Beer",
        "Classic, Light, Herbal, Pink, Elderflower, Dry, Cucumber",
        (200, 1000, 500), 4, 0.04,
    ),
    Sort(
        "Lager, Ale, Stout, Cider",
        "Pale, Dark, Session, Amber, Wheat, Oat, Dry, Alcohol Free",
        (330, 500, 440), 4, 0.03,
    ),
    Sort(
        "Puree",
        "Mango, Raspberry, Passion Fruit, Strawberry, White Peach, Coconut",
        (1000, 500), 11, 0.02, unit="g",
    ),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Case:
    """A line, the good that it means ("" for one that is missing), and how it was renamed."""

    asked: Asked
    truth: str
    kind: str


@dataclass(frozen=True, slots=True)
class Item:
    """Something that is made and sold."""

    words: tuple[str, ...]
    size: Size
    price: Decimal
    kind: str

    @property
    def key(self) -> tuple[tuple[str, ...], Size]:
        """What makes two items the same: their words in any order and the size."""
        return tuple(sorted(w.casefold() for w in " ".join(self.words).split())), self.size

    @property
    def year(self) -> int | None:
        """The vintage, the last word of those that have one."""
        return int(self.words[-1]) if self.words[-1].isdigit() else None


def invent(seed: int, n: int = 2000, *, rename_missing: bool = False) -> tuple[list[Known], list[Case]]:
    """About ``n`` known goods of one supplier and 1.14 n lines. With ``rename_missing`` the missing are renamed too,
    which they hardly ever are in the same file: harder than life."""
    rng = Random(seed)
    missing_wanted = MISSING * n // 2000
    items = _items(rng, n + missing_wanted)
    missing = _missing(rng, items, missing_wanted)
    gone = {id(item) for item in missing}
    stock = [item for item in items if id(item) not in gone]
    known = [
        Known(
            good=f"g{i}", name=" ".join(item.words), supplier="s1", size=item.size, levels=(1,), last=item.price,
            kind=item.kind,
        )
        for i, item in enumerate(stock)
    ]  # fmt: skip
    cases = _renamed(rng, stock, n)
    for item in missing:
        words = RENAMES[rng.choice(KINDS[:-1])](rng, item) if rename_missing else " ".join(item.words)
        cases.append(_case(rng, item, words, "", "missing"))
    rng.shuffle(cases)
    return known, cases


def foreign(seed: int, n: int) -> list[Asked]:
    """Lines of a wholesaler whose makers are none of the house's: another seed's."""
    rng = Random(seed)
    return [_case(rng, item, " ".join(item.words), "", "foreign").asked for item in _items(rng, n, makers=n // 12)]


def _items(rng: Random, n: int, makers: int | None = None) -> list[Item]:
    brands = [_word(rng) for _ in range(max(makers or n // 10, 3))]
    cuvees = [_word(rng) for _ in range(max(n // 12, 10))]
    out: dict[tuple[tuple[str, ...], Size], Item] = {}
    while len(out) < n:
        maker = [rng.choice(brands)] + ([rng.choice(PLACES.split())] if rng.random() < 0.45 else [])
        for item in _range_of(rng, maker, cuvees):
            if len(out) < n:
                out.setdefault(item.key, item)
    return list(out.values())


def _range_of(rng: Random, maker: list[str], cuvees: Sequence[str]) -> list[Item]:
    """What one maker sells of one sort."""
    sort = rng.choices(SORTS, [s.share for s in SORTS])[0]
    what, maker_first = rng.choice(sort.names.split(", ")), rng.random() < 0.85
    style_first = rng.random() < 0.35
    range_price = sort.price * rng.lognormvariate(0, 0.35)
    size = rng.choices(sort.sizes, [6, 2, 1][: len(sort.sizes)])[0]
    year = rng.randint(2012, 2022)
    out = []
    for _ in range(rng.randint(3, 12)):
        style = rng.choice(sort.styles.split(", ")).split()
        extra = [rng.choice(cuvees)] if rng.random() < (0.5 if sort.vintages else 0.12) else []
        middle = [*style, what] if style_first else [what, *style]
        words = [*maker, *middle, *extra] if maker_first else [*middle, *extra, *maker]
        if sort.ages and rng.random() < 0.4:
            words.append(rng.choice(sort.ages.split(", ")))
        if sort.vintages and rng.random() < 0.6:
            words.append(str(year + rng.choice((0, 0, 0, 1, 2))))
        own = size if rng.random() < 0.8 else rng.choice(sort.sizes)
        price = Decimal(f"{range_price * rng.lognormvariate(0, 0.25):.4f}")
        kind = "wine" if sort.vintages else sort.names.split(", ")[0].casefold()
        out.append(Item(tuple(words), (Decimal(own), sort.unit), price, kind))
    return out


def _missing(rng: Random, items: list[Item], n: int) -> list[Item]:
    """Items to leave out, each with a sibling left in: the same first two words and at least half of its words."""
    groups: dict[tuple[str, ...], list[Item]] = {}
    for item in items:
        groups.setdefault((*" ".join(item.words).casefold().split()[:2],), []).append(item)
    out: list[Item] = []
    for group in rng.sample(list(groups.values()), len(groups)):
        kept = list(group)
        for item in rng.sample(group, len(group)):
            others = [o for o in kept if o is not item and _half(item, o)]
            if len(out) < n and others and len(kept) > len(group) // 2:
                kept.remove(item)
                out.append(item)
    return out


def _half(one: Item, other: Item) -> bool:
    ours, theirs = set(one.key[0]), set(other.key[0])
    return one.size == other.size and 2 * len(ours & theirs) >= max(len(ours), len(theirs))


def _renamed(rng: Random, stock: list[Item], n: int) -> list[Case]:
    order = rng.sample(range(len(stock)), len(stock))
    wines = [i for i in order if stock[i].year is not None]
    out: list[Case] = []
    used: set[int] = set()
    for kind in sorted(KINDS, key=lambda k: k != "vintage"):
        pool = [i for i in (wines if kind == "vintage" else order) if i not in used]
        for i in pool[: SHARES[kind] * n // 2000]:
            used.add(i)
            out.append(_case(rng, stock[i], RENAMES[kind](rng, stock[i]), f"g{i}", kind))
    return out


def _case(rng: Random, item: Item, words: str, truth: str, kind: str) -> Case:
    """A line in a supplier's hand: capitals, and the size in the text or only in its column."""
    text = words.upper() if rng.random() < 0.5 else words
    if rng.random() < 0.7:
        text = f"{text} {_size_text(rng, item.size)}"
    price = (item.price * Decimal(f"{rng.uniform(0.92, 1.12):.4f}")).quantize(Decimal("0.0001"))
    asked = Asked(n=rng.randrange(10**6), supplier="s1", name=text, size=item.size, per_base=price)
    return Case(asked, truth, kind)


def _size_text(rng: Random, size: Size) -> str:
    value, unit = size
    if unit == "g":
        return rng.choice((f"{value} g", f"{value / 1000:f}kg", f"{value / 1000:f} KG"))
    litres = f"{(value / 1000).normalize():f}"
    centilitres = f"{(value / 10).normalize():f}"
    return rng.choice(
        (
            f"{centilitres}cl",
            f"{centilitres} CL",
            f"{value}ml",
            f"{litres.replace('.', ',')}L",
            f"{litres} l",
            f"6x{centilitres}cl",
            f"12/{value} ML",
        )
    )


def _word(rng: Random) -> str:
    parts = [
        rng.choice(ONSETS.split())
        + rng.choice(VOWELS.split())
        + (rng.choice(CODAS.split()) if rng.random() < 0.55 else "")
        for _ in range(rng.choice((2, 2, 2, 3)))
    ]
    return "".join(parts).capitalize()


def _typo(rng: Random, text: str) -> str:
    places = [i for i, ch in enumerate(text) if ch.isalpha()]
    i = rng.choice(places)
    letter = rng.choice("abcdefghijklmnopqrstuvwxyz")
    way = rng.randrange(4)
    if way == 0:
        return text[:i] + letter + text[i + 1 :]
    if way == 1:
        return text[:i] + text[i + 1 :]
    if way == 2:
        return text[:i] + letter + text[i:]
    return text[:i] + text[i + 1 : i + 2] + text[i] + text[i + 2 :]


def _abbreviated(rng: Random, words: Sequence[str], most: int = 2) -> list[str]:
    out = " ".join(words).split()
    longs = [i for i, word in enumerate(out) if len(word) >= 5 and word.isalpha()]
    for i in rng.sample(longs, min(len(longs), rng.randint(1, most))):
        word, way = out[i], rng.randrange(3)
        bare = word[0] + "".join(ch for ch in word[1:] if ch not in "aeiou")
        out[i] = word[: rng.randint(3, 5)] + rng.choice(("", ".")) if way == 0 else bare if way == 1 else bare[:3]
    return out


def _shuffled(rng: Random, words: Sequence[str]) -> list[str]:
    return rng.sample(list(words), len(words))


def _added(rng: Random, words: Sequence[str]) -> list[str]:
    out = list(words)
    for word in rng.sample(_ADDED, rng.choice((1, 1, 2))):
        out.insert(rng.choice((len(out), len(out), 0)), word)
    return out


def _register(rng: Random, item: Item) -> str:
    """As a state's price list writes: capitals, its own short forms, words dropped or moved, proof."""
    words = " ".join(item.words).split()
    words = [_TRADE_SHORT.get(w.casefold(), w) for w in words]
    if rng.random() < 0.35 and len(words) > 3:
        del words[rng.randrange(1, len(words))]
    if rng.random() < 0.3:
        words = [*words[1:], words[0]]
    if rng.random() < 0.3:
        words = _abbreviated(rng, words, 1)
    if rng.random() < 0.3:
        words.append(rng.choice(("80P", "40%", "GIFT", "W/GLASS", "IMP")))
    return " ".join(words).upper()[:40].strip()


def _mix(rng: Random, item: Item) -> str:
    words: list[str] = list(item.words)
    ways: list[Callable[[list[str]], list[str]]] = [
        lambda w: _abbreviated(rng, w, 1),
        lambda w: _shuffled(rng, w),
        lambda w: _typo(rng, " ".join(w)).split(),
        lambda w: _added(rng, w),
    ]
    for way in rng.sample(ways, 2):
        words = way(words)
    return " ".join(words)


def _vintage(rng: Random, item: Item) -> str:
    return " ".join((*item.words[:-1], str(int(item.words[-1]) + rng.choice((1, 2)))))


RENAMES: Mapping[str, Callable[[Random, Item], str]] = {
    "register": _register,
    "abbreviation": lambda rng, item: " ".join(_abbreviated(rng, item.words)),
    "order": lambda rng, item: " ".join(_shuffled(rng, item.words)),
    "truncation": lambda rng, item: " ".join(item.words)[: int(0.7 * len(" ".join(item.words)))].strip(),
    "one typo": lambda rng, item: _typo(rng, " ".join(item.words)),
    "two typos": lambda rng, item: _typo(rng, _typo(rng, " ".join(item.words))),
    "added words": lambda rng, item: " ".join(_added(rng, item.words)),
    "mix": _mix,
    "vintage": _vintage,
}
