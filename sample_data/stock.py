"""Two stock counts four weeks apart and what came in between: they agree with sales and recipes, but for a variance.

What should have been used is worked out from the recipes' own amounts and from how much a batch makes (measured on the
standard batch, rounded), so that this needs no ledger. Closing = opening + delivered - used; a little more is used than
the recipes say: most in gin and draught beer, as bars find.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from random import Random

from costing.book.fact import parse_fact
from costing.book.units import Dim, lookup
from sample_data import bar, goods, preparations, sales
from sample_data.forms import Plain
from sample_data.quotes import OFFERS, Offer

SEED = 905
OPENING, CLOSING = date(2026, 10, 25), date(2026, 11, 22)
MADE = {
    "pineapple-distillate": 1.741, "herb-gin": 1.611, "hazelnut-distillate": 1.604, "lemon-juice": 1.008,
    "lime-juice": 1.418, "ginger-juice": 0.621, "sharp-orange": 1.905, "cucumber-water": 2.579,
    "apple-reduction": 0.679, "acid-blend": 0.958, "saline": 0.916, "simple-syrup": 8.051, "rich-syrup": 2.249,
    "honey-syrup": 1.786, "tea-cordial": 1.638, "lemon-cordial": 1.794, "walnut-mother": 6.350, "marc-rinse": 1.016,
    "ginger-ferment": 2.806, "butter-rum": 1.946, "milk-punch": 3.903, "cocoa-vermouth": 2.119, "cooler-base": 2.063,
    "highball-batch": 5.401, "house-coffee": 1.740, "cut-ice": 126.0, "lemon-wheel": 74.0, "orange-twist": 42.0,
}  # fmt: skip
"""What a batch makes, litres or pieces."""
LEAK = {"dry-gin": 0.062, "keg-lager": 0.085, "white-wine": 0.03, "orange": 0.05, "mint-sprig": 0.12}
"""Used beyond what the recipes say; everything else a little."""
GOOD = {g["id"]: g for g in goods.GOODS}
PREP = {p["id"]: p for p in preparations.PREPARATIONS}
COUNTED = ("spirit", "liqueur", "wine", "beer", "water", "fruit", "herb", "dairy", "egg", "dry", "sugar", "acid",
           "garnish", "consumable")  # fmt: skip
AREA = {goods.CASKS: "Cellar", goods.NORTH: "Cold room", goods.DRY: "Dry store"}
MEASURES = {"dash": 0.0008, "dashes": 0.0008, "barspoon": 0.005}


def text_of(amount: str | Plain) -> str:
    """A figure's own text."""
    return amount if isinstance(amount, str) else str(amount["text"])


def base_units(amount: str | Plain, good: Plain) -> float:
    """A typed amount in the base unit of a good, by its piece or density where it must be."""
    fact = parse_fact(text_of(amount))
    base, value = good["base"], float(fact.value)
    if fact.unit in MEASURES:
        return value * MEASURES[fact.unit]
    unit = lookup(fact.unit)
    if unit is None:
        raise ValueError(f"{fact.unit!r} of {good['id']} is no unit")
    value *= float(unit.factor)
    if base in (unit.dim.value, "each"):
        return value
    if unit.dim in (Dim.COUNT, Dim.RATIO):
        return value * base_units(good["piece"], good)
    density = base_units_density(good)
    return value / density if base == "l" else value * density


def base_units_density(good: Plain) -> float:
    """kg a litre as stated, 1 where the good is as good as water (an enzyme by the gram)."""
    return float(parse_fact(text_of(good["density"])).value) if "density" in good else 1.0


def _adds(stages: list[Plain]) -> Iterator[Plain]:
    for stage in stages:
        yield from stage.get("adds", [])


def _latest(record: Plain) -> Plain:
    found: Plain = max(record["versions"], key=lambda v: str(v["since"]))
    return found


def explode(adds: Iterator[Plain], times: float, into: dict[str, float]) -> None:
    """Add the goods behind ``times`` these inputs, spill included; what a mother takes of itself is not bought."""
    for item in adds:
        ident, _, part = str(item["source"]).partition("/")
        if item["amount"] is None or part:
            continue
        spill = float(parse_fact(text_of(item["spill"])).value) / 100 if "spill" in item else 0.0
        if ident in GOOD:
            into[ident] = into.get(ident, 0.0) + times * (1 + spill) * base_units(item["amount"], GOOD[ident])
            continue
        prep = PREP[ident]
        amount = base_units(item["amount"], {"id": ident, "base": prep.get("base", "l")})
        stages = _latest(prep)["stages"]
        outside = (a for a in _adds(stages) if a["source"] != ident)
        taken = sum(base_units(a["amount"], {"id": ident, "base": "l"}) for a in _adds(stages) if a["source"] == ident)
        explode(outside, times * (1 + spill) * amount / (MADE[ident] - taken), into)


def usage() -> dict[str, float]:
    """Base units of every good that the drinks made between the counts should have taken."""
    out: dict[str, float] = {}
    sold = sales.made(OPENING + timedelta(days=1), CLOSING)
    for serve in bar.SERVES:
        if serve["id"] in sold:
            explode(_adds([_latest(serve)["build"]]), float(sold[serve["id"]]), out)
    return out


@dataclass(frozen=True)
class Held:
    """One good between the counts, in packs: what one holds, what was there, came in, and was left."""

    good: str
    offer: Offer
    pack: float
    opening: float
    packs_in: tuple[int, int, int, int]
    closing: float


def pack_of(offer: Offer) -> float:
    """Base units in one pack."""
    size = base_units(offer.content, GOOD[offer.good])
    for level in offer.levels:
        size *= level
    return size


def held() -> list[Held]:
    """Every good that is counted, with deliveries that keep about ten days in the house."""
    rng, used = Random(SEED), usage()
    out: list[Held] = []
    for offer in OFFERS:
        good = GOOD[offer.good]
        if good["kind"] not in COUNTED or offer.good not in used or offer.supplier != good["preferred"]:
            continue
        if offer.good in ("water", "walnut"):
            continue
        pack, week = pack_of(offer), used[offer.good] / 4
        left = opening = round((week * (1.2 + 0.6 * rng.random())) / pack + 0.15 + 0.3 * rng.random(), 2)
        leak = LEAK.get(offer.good, 0.002 + 0.02 * rng.random())
        came = []
        for _ in range(4):
            left -= week * (1 + leak) / pack
            packs = max(0, -int((left - week * 1.3 / pack) // 1)) if left < week * 1.3 / pack else 0
            came.append(packs)
            left += packs
        out.append(Held(offer.good, offer, pack, opening, (came[0], came[1], came[2], came[3]), left))
    return out


DAYS = {goods.CASKS: 1, goods.NORTH: 0, goods.DRY: 3}
"""Weekday of a supplier's van."""


def delivered() -> list[tuple[date, Held, int]]:
    """Every delivery: day, good, packs."""
    out = []
    for h in held():
        for week, packs in enumerate(h.packs_in):
            if packs:
                out.append((OPENING + timedelta(days=1 + 7 * week + DAYS[h.offer.supplier]), h, packs))
    return sorted(out, key=lambda d: (d[0], d[1].offer.code))


def deliveries_text() -> str:
    """Goods received, without prices: what the notes of the vans say."""
    lines = ["Received,Supplier,Note,Code,Item,Packs,Pack"]
    for day, h, packs in delivered():
        note = f"{h.offer.code[:2]}-{day:%m%d}"
        supplier = next(s["name"] for s in bar.SUPPLIERS if s["id"] == h.offer.supplier)
        lines.append(
            f"{day},{supplier},{note},{h.offer.code},{quoted(GOOD[h.good]['name'])},{packs},{pack_text(h.offer)}"
        )
    return "\n".join(lines) + "\n"


def quoted(text: str) -> str:
    """A cell that may hold a comma."""
    return f'"{text}"' if "," in text else text


def pack_text(offer: Offer) -> str:
    """The pack as a van's note writes it: "6 x 0.7 l"."""
    return " x ".join([*(str(n) for n in offer.levels), offer.content])


def count_text(day: date) -> str:
    """One count: whole packs, single units out of a broken pack, and what is left in the open one, by area."""
    rng = Random(SEED + day.toordinal())
    lines = ["Saltlantern Bar,stock count", f"Counted,{day},after close", "",
             "Area,Code,Item,Pack,Full packs,Single units,Open (tenths),By"]  # fmt: skip
    for h in held():
        packs = max(0.0, h.opening if day == OPENING else h.closing)
        singles_in = 1
        for level in h.offer.levels:
            singles_in *= level
        singles = packs * singles_in
        full = int(packs + 1e-9)
        whole = int(singles - full * singles_in + 1e-9)
        tenths = min(9, int((singles - full * singles_in - whole) * 10 + 0.5))
        lines.append(f"{AREA[h.offer.supplier]},{h.offer.code},{quoted(GOOD[h.good]['name'])},{pack_text(h.offer)},"
                     f"{full},{whole},{tenths},{('PH', 'EH')[rng.random() < 0.4]}")  # fmt: skip
    for ident, made in MADE.items():
        prep = PREP[ident]
        if ident in ("house-coffee", "orange-twist"):
            continue
        unit = prep.get("base", "l")
        amount = made * (0.3 + 0.6 * rng.random())
        shown = f"{amount:.0f}" if unit == "each" else f"{amount:.2f}"
        lines.append(f"Stillroom,{ident},{quoted(prep['name'])},{'piece' if unit == 'each' else '1 l'},{shown},0,0,SL")
    return "\n".join(lines) + "\n"
