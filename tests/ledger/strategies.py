"""Random books: goods with every form of makeup, and preparations of any stages, facts and readings.

Amounts are kept plausible by a rough running estimate, so that most chains can be followed; a part of the figures
contradicts itself on purpose.
"""

import os
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from typing import Any

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st

from costing.book import Book, Fact, View, parse_fact
from costing.book.kinds import READING_DIMS, STAGE_KINDS
from costing.book.records import (
    ByProduct,
    Equipment,
    Good,
    House,
    Input,
    Preparation,
    Quote,
    Record,
    Stage,
    Supplier,
    Terms,
    Version,
)

DAY = date(2026, 3, 2)
SINCE = date(2026, 1, 1)
Draw = Callable[[st.SearchStrategy[Any]], Any]

_WANTED = os.environ.get("STILLROOM_EXAMPLES")


def laws(examples: int = 100) -> settings:
    """The settings of one law: the same examples every time, or STILLROOM_EXAMPLES random ones when that is set."""
    return settings(
        max_examples=int(_WANTED) if _WANTED else examples,
        derandomize=_WANTED is None,
        deadline=None,
        database=None,
        print_blob=True,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.large_base_example],
    )


def per_cent(low: int, high: int) -> st.SearchStrategy[str]:
    """A share such as "12.5 %", in steps of half a per cent."""
    return st.integers(2 * low, 2 * high).map(lambda n: f"{n / 2:g} %")


def share_of(estimate: float, low: float, high: float, unit: str) -> st.SearchStrategy[str]:
    """An amount between two multiples of an estimate."""
    hundredths = st.integers(round(low * 100), round(high * 100))
    return hundredths.map(lambda n: f"{max(estimate * n / 100, 0.001):.3f} {unit}")


_RIPE = [
    ("fruit", "kg", {"water": "86 %", "solubles": "9.85 %", "acid": "8 g/kg"}, None, None),
    ("fruit", "each", {"water": "80 %", "solubles": "8 %"}, None, "120 g"),
    ("herb", "kg", {"water": "12 %", "solubles": "20 %"}, None, None),
    ("dry", "kg", {"water": "4 %", "solubles": "90 %", "ethanol": "0 %"}, None, None),
    ("spirit", "l", {"abv": "40 % vol"}, None, None),
    ("spirit", "l", {"abv": "96 % vol"}, None, None),
    ("spirit", "kg", {"abv": "55 % vol"}, "0.93 kg/l", None),
    ("liqueur", "l", {"abv": "24 % vol", "sugar": "280 g/l"}, None, None),
    ("liqueur", "l", {"abv": "30 % vol", "sugar": "100 g/l"}, "1.01 kg/l", None),
    ("wine", "each", {"abv": "12 % vol", "sugar": "6 g/l", "acid": "6 g/l", "so2": "120 mg/l"}, None, "0.75 l"),
    ("beer", "l", {"ethanol": "4 %", "water": "92 %", "solubles": "4 %"}, None, None),
    ("juice", "l", {"brix": "11.5 Bx", "acid": "~7 g/l", "so2": "300 mg/kg"}, None, None),
    ("sugar", "kg", {"brix": "80 Bx"}, None, None),
    ("dairy", "l", {"water": "88 %", "solubles": "8 %"}, "1.03 kg/l", None),
    ("sugar", "kg", {}, None, None),
    ("acid", "kg", {}, None, None),
    ("water", "kg", {}, None, None),
    ("water", "l", {}, None, None),
    ("gas", "kg", {}, None, None),
    ("other", "kg", {}, None, None),
    ("garnish", "each", {}, None, None),
    ("ice", "kg", {}, None, None),
]


def _fact(text: str | None) -> Fact | None:
    return None if text is None else parse_fact(text)


def larder() -> dict[str, Good]:
    """One good of every makeup form, by id."""
    out = {}
    for n, (kind, base, makeup, density, piece) in enumerate(_RIPE):
        good = Good(
            id=f"g{n}",
            name=f"{kind} {n}",
            kind=kind,  # type: ignore[arg-type]
            base=base,  # type: ignore[arg-type]
            makeup=tuple((k, parse_fact(v)) for k, v in makeup.items()),
            density=_fact(density),
            piece=_fact(piece),
        )
        out[good.id] = good
    out["hand"] = Good(id="hand", name="Hand, one hour", kind="labour", base="h", layer="labour")
    out["machine"] = Good(id="machine", name="Machine, one hour", kind="machine", base="h", layer="machine")
    out["current"] = Good(id="current", name="Current", kind="energy", base="kwh", layer="energy")
    return out


LARDER = larder()
EATABLE = tuple(g for g in LARDER if g.startswith("g"))
WEIGHS = {"g1": 0.12, "g9": 0.75, "g20": 0.0, "g21": 0.0, "g19": 0.0}
"""Kilograms of one base unit where that is far from 1; an estimate is all that is wanted."""
GAS = "g18"
LIQUID = ("g4", "g5", "g6", "g7", "g8", "g10", "g11", "g17")


def amount_of(source_base: str) -> st.SearchStrategy[str]:
    """An amount a bar handles at once: 0.05 to 5 of it, or 1 to 12 pieces."""
    if source_base == "each":
        return st.integers(1, 12).map(str)
    return st.integers(5, 500).map(lambda n: f"{n / 100:.2f} {source_base}")


def facts_for(kind: str, estimate: float) -> dict[str, st.SearchStrategy[str]]:
    """For every fact that a kind takes, values that could be."""
    wide: dict[str, st.SearchStrategy[str]] = {
        "keep": per_cent(1, 100),
        "refuse": per_cent(0, 60),
        "makes": st.one_of(share_of(estimate, 0.3, 1.0, "kg"), share_of(estimate, 0.3, 0.9, "l")),
        "lost": per_cent(0, 50),
        "to": st.one_of(share_of(estimate, 0.5, 1.0, "kg"), share_of(estimate, 0.5, 0.9, "l")),
        "brix": st.integers(2, 60).map(lambda n: f"{n} Bx"),
        "abv": per_cent(2, 45).map(lambda t: t + " vol"),
        "pressure": st.integers(30, 900).map(lambda n: f"{n} mbar"),
        "take": share_of(estimate, 0.05, 0.4, "l"),
        "pot_abv": st.integers(1, 15).map(lambda n: f"{n} % vol"),
        "pot_t": st.integers(25, 60).map(lambda n: f"{n} C"),
        "holdup": st.integers(0, 20).map(lambda n: f"{n} g"),
        "runs": st.integers(1, 4).map(str),
        "spent": share_of(estimate, 0.1, 0.6, "kg"),
        "spent_ratio": st.integers(30, 150).map(lambda n: f"~{n / 100}"),
        "yield": per_cent(20, 90),
        "dilution": per_cent(0, 60),
        "co2": st.integers(0, 8).map(lambda n: f"{n} g/l"),
        "coolant": st.integers(-20, 25).map(lambda n: f"{n} C"),
        "vent": st.integers(0, 10).map(lambda n: f"{n / 100} mol"),
        "exchange": per_cent(20, 100),
        "t": st.integers(0, 20).map(lambda n: f"{n} C"),
        "headspace": st.integers(0, 300).map(lambda n: f"{n} ml"),
        "purges": st.integers(0, 4).map(str),
        "foam": per_cent(0, 10),
        "given_off": share_of(estimate, 0.0, 0.08, "kg"),
    }
    return {name: wide[name] for name in STAGE_KINDS[kind].takes}


def readings_for(estimate: float) -> dict[str, st.SearchStrategy[str]]:
    """Weighings and strengths that could be, and now and then one that cannot."""
    high = 1.01
    return {
        "out.mass": share_of(estimate, 0.3, high, "kg"),
        "out.volume": share_of(estimate, 0.3, high, "l"),
        "out.brix": st.integers(1, 60).map(lambda n: f"{n} Bx"),
        "out.abv": per_cent(1, 80).map(lambda t: t + " vol"),
        "left.mass": share_of(estimate, 0.02, 0.7, "kg"),
        "left.abv": st.integers(1, 15).map(lambda n: f"{n} % vol"),
    }


CHOICES = {
    "part": ("keep", "refuse", "makes"),
    "mix": ("keep", "dilution", "co2"),
    "proof": ("abv", "brix"),
    "dry": ("lost", "to", "brix"),
    "drain": ("spent", "spent_ratio", "yield"),
    "still": ("take", "pot_abv", "pot_t"),
    "ferment": ("abv", "given_off"),
}


@dataclass(frozen=True, slots=True)
class Recipe:
    """A preparation under construction: sources it may take, and what the running stream weighs, roughly."""

    sources: dict[str, str] = field(default_factory=dict)
    made: tuple[str, ...] = ()
    own: tuple[str, ...] = ()


def _stage(draw: Draw, name: str, recipe: Recipe, estimate: float) -> tuple[Stage, float]:
    kind = draw(st.sampled_from(sorted(STAGE_KINDS)))
    mechanism = STAGE_KINDS[kind].mechanism
    adds: list[Input] = []
    wanted = draw(st.integers(0, 2)) if estimate == 0.0 else draw(st.sampled_from((0, 0, 1, 1, 2)))
    if estimate == 0.0:
        adds.append(Input(source=draw(st.sampled_from(LIQUID)), amount=parse_fact(draw(amount_of("l")))))
    for _ in range(wanted):
        source = draw(st.sampled_from((*sorted(recipe.sources), *LIQUID, *recipe.made * 4)))
        spill = parse_fact(draw(per_cent(1, 10))) if draw(st.integers(0, 9)) == 0 else None
        text = draw(st.sampled_from(("", "", "", "~"))) + draw(amount_of(recipe.sources[source]))
        adds.append(Input(source=source, amount=parse_fact(text), spill=spill))
    if recipe.own and draw(st.booleans()):
        source = draw(st.sampled_from(recipe.own))
        unit = recipe.sources[source]
        text = "1" if unit == "each" else f"{draw(st.integers(1, 60)) / 100} {unit}"
        adds.append(Input(source=source, amount=parse_fact(text)))
    weight = estimate + sum(float(a.amount.value) * WEIGHS.get(a.source, 1.0) for a in adds if a.amount)
    if mechanism == "proof" and draw(st.booleans()):
        adds.append(Input(source=draw(st.sampled_from(LIQUID)), amount=None))
    if kind == "carbonate" and draw(st.booleans()):
        adds.append(Input(source=GAS, amount=None))
    offered = facts_for(kind, weight)
    if draw(st.integers(0, 9)) < 8:
        usable = [n for n in CHOICES[mechanism] if n in offered]
        needed = mechanism not in ("part", "mix") or draw(st.booleans())
        names = {draw(st.sampled_from(usable))} if usable and needed else set()
        if mechanism == "still":
            names |= {"pressure"} | ({"runs", "holdup"} if draw(st.booleans()) else set())
        if kind == "carbonate" and any(a.amount is None for a in adds):
            names = {"co2"} | ({"t", "headspace", "purges", "foam"} if draw(st.booleans()) else set())
        if "exchange" in offered and draw(st.booleans()):
            names |= {"exchange"}
    else:
        names = set(draw(st.lists(st.sampled_from(sorted(offered)), unique=True)))
    facts = tuple((n, parse_fact(draw(offered[n]))) for n in sorted(names))
    if draw(st.integers(0, 19)) < 17:
        which: list[str] = []
    else:
        which = draw(st.lists(st.sampled_from(sorted(READING_DIMS)), unique=True, max_size=4))
    readings = tuple((n, _read(draw, draw(readings_for(weight)[n]), n)) for n in which)
    timed = draw(st.integers(0, 2)) == 0
    machine = draw(st.sampled_from(("pot", "vat", "kettle"))) if timed else ""
    stage = Stage(
        id=name,
        kind=kind,
        adds=tuple(adds),
        facts=facts,
        readings=readings,
        equipment=machine,
        setup=parse_fact("5 min") if timed else None,
        active=parse_fact("~12 min") if timed else None,
        passive=parse_fact("1.5 h") if timed else None,
    )
    after = {"drain": 0.7, "still": 0.35, "dry": 0.8, "part": 0.8, "mix": 1.0, "proof": 1.5, "ferment": 0.95}[mechanism]
    return stage, max(weight * after, 0.05)


def _read(draw: Draw, text: str, name: str) -> Fact:
    """A reading; now and then cold or warm, or by a method that may not work on the liquid."""
    odd = draw(st.integers(0, 5))
    if odd == 0 and name.endswith("volume"):
        return parse_fact(f"{text} at {draw(st.integers(2, 38))} C")
    if odd == 1 and name in METHODS_OF:
        return replace(parse_fact(text), how=draw(st.sampled_from(METHODS_OF[name])))
    return parse_fact(text)


METHODS_OF = {
    "out.abv": ("alcoholmeter, 15 C", "distilled sample", "refractometer"),
    "out.brix": ("refractometer", "saccharometer"),
    "out.volume": ("jug",),
    "out.mass": ("scales",),
}


@st.composite
def preparations(draw: Draw, ident: str, sources: dict[str, str], own_use: bool = False) -> Preparation:
    """One preparation of one to five stages; with ``own_use`` it may take from itself and its by-product."""
    base = draw(st.sampled_from(("kg", "l", "each", "kg")))
    count = draw(st.integers(1, 5))
    names = [f"s{n}" for n in range(count)]
    made = tuple(source for source in sources if source not in LARDER)
    recipe = Recipe(dict(sources), made)
    if own_use:
        own = (ident, f"{ident}/rest")
        recipe = Recipe({**sources, ident: base, f"{ident}/rest": "kg"}, made, own)
    stages: list[Stage] = []
    estimate = 0.0
    for name in names:
        stage, estimate = _stage(draw, name, recipe, estimate)
        stages.append(stage)
    kept: tuple[ByProduct, ...] = ()
    leaving = [s.id for s in stages if STAGE_KINDS[s.kind].mechanism in ("drain", "still", "dry")]
    if leaving and (own_use or draw(st.booleans())):
        share = Decimal(draw(st.integers(0, 50))) / 100
        kept = (ByProduct(id="rest", stage=draw(st.sampled_from(leaving)), name="What is left", share=share),)
    version = Version(
        since=SINCE,
        stages=tuple(stages),
        byproducts=kept,
        pieces=parse_fact(str(draw(st.integers(1, 40)))) if base == "each" else None,
        density=parse_fact("1.05 kg/l") if draw(st.integers(0, 4)) < (3 if base == "l" else 1) else None,
    )
    return Preparation(id=ident, name=ident, base=base, versions=(version,))


def book_of(preparations_: tuple[Preparation, ...], cents: dict[str, int] | None = None) -> Book:
    """A book of the whole larder, priced, with these preparations."""
    records: list[Record] = [
        House(id="house", name="House of trials", currency="EUR", labour="hand", terms=(Terms(since=SINCE),)),
        Supplier(id="market", name="Market"),
        Equipment(id="pot", name="Pot", hour="machine", energy="current", power=parse_fact("1.2 kw")),
        Equipment(id="vat", name="Vat", hour="machine", charge=parse_fact("2 l")),
        Equipment(id="kettle", name="Kettle", hour="machine", charge=parse_fact("~1.5 kg")),
        *LARDER.values(),
        *preparations_,
    ]
    for n, good in enumerate(LARDER.values()):
        price = (cents or {}).get(good.id, 100 + 37 * n)
        records.append(
            Quote(
                id=f"q-{good.id}",
                good=good.id,
                supplier="market",
                content=parse_fact(f"1 {good.base}"),
                price=Decimal(price) / 100,
                currency="EUR",
                since=SINCE,
            )
        )
    return Book.of(records)


@st.composite
def books(draw: Draw, own_use: bool = False) -> View:
    """The view of a day of a book of one to three preparations, each of which may take from those before it."""
    sources = {g: LARDER[g].base for g in EATABLE}
    made: list[Preparation] = []
    for n in range(draw(st.integers(1, 3))):
        preparation = draw(preparations(f"p{n}", dict(sources), own_use and draw(st.booleans())))
        made.append(preparation)
        sources[preparation.id] = preparation.base
        for b in preparation.versions[0].byproducts:
            sources[f"{preparation.id}/{b.id}"] = b.base
    cents = {g: draw(st.integers(0, 9_999)) for g in draw(st.lists(st.sampled_from(sorted(LARDER)), max_size=4))}
    return book_of(tuple(made), cents).on(DAY)
