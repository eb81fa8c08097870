"""The seven mechanisms: what goes on and what leaves, from a charge and the figures that are known.

A mechanism takes what enters and named figures (facts such as "keep" and readings such as "left.mass") and gives
``Parted``: the stream that goes on and one balance stream, always by difference, so that it closes whatever was
weighed. A weighing becomes the mechanism's own figure (water lost, liquid held, share kept); it never scales a
predicted composition. ``own`` names the figures that the result stands on.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from costing.ledger.matter import NOTHING, Matter, of_liquid
from costing.liquor import Liquid, Run, blend_to_abv, co2_used, distil

Figures = Mapping[str, float]

SCALES = 0.005
"""Share by which a weighing or a jug may be off: common practice, no source; a gap inside it is not impossible."""
HYDROMETER = 0.005
"""Strength reading error as a fraction by volume (0.5 % vol): common practice, no source."""
REFRACTOMETER = 0.005
"""Brix reading error as a fraction by mass (0.5 Bx): common practice, no source."""
ETHANOL_OF_SUGAR = 2 * 46.069 / 180.156
"""kg of ethanol from one kg of hexose, C6H12O6 -> 2 C2H5OH + 2 CO2, by molar masses (g/mol)."""
GAS_OF_SUGAR = 1.0 - ETHANOL_OF_SUGAR
STRONG_BAR = 4.0
"""Gauge pressure in bar above which a carbonation is warned of."""
SYRUP_LIMIT = 0.8499
"""Dissolved solids over solids and water, just inside the 0.85 up to which the volume of a syrup is known."""


class Impossible(ValueError):
    """The figures cannot be: carries a Problem code, the figure at fault, its value and the bound it breaks."""

    def __init__(self, code: str, figure: str, **detail: Any) -> None:
        super().__init__(f"{code}: {figure} {detail}")
        self.code, self.figure, self.detail = code, figure, detail


@dataclass(frozen=True, slots=True)
class Charge:
    """What enters a stage: all of it, the parts of it that bring insolubles (fruit, not the spirit on it), and 1 kg
    of a diluent; ``asked`` when the stage works out how much of that goes in."""

    entering: Matter
    solids: Matter = NOTHING
    diluent: Matter = Matter(water=1.0)
    asked: bool = False


@dataclass(frozen=True, slots=True)
class Parted:
    """What goes on, what leaves by difference, film on the equipment, and kg of diluent the stage asked for.

    ``doubts`` are codes of warnings: the masses stand, but something about them is not known well.
    """

    out: Matter
    left: Matter = NOTHING
    own: frozenset[str] = frozenset()
    film: Matter = NOTHING
    diluent: float = 0.0
    notes: tuple[tuple[str, float], ...] = ()
    doubts: tuple[str, ...] = ()


def _upper(figure: str, value: float, most: float, code: str = "more-out-than-in") -> float:
    """``value``, or ``most`` where it is above it by no more than the scales may err. Impossible beyond that."""
    if value > most * (1.0 + SCALES) + 1e-9:
        raise Impossible(code, figure, value=value, most=most)
    return min(value, most)


def _volume(matter: Matter, figure: str) -> float:
    volume = matter.volume()
    if volume is None:
        raise Impossible("no-volume", figure)
    return volume


def _litres_to_kg(matter: Matter, litres: float, figure: str) -> float:
    """Kilograms of a stream of this composition that fill ``litres`` at 20 C."""
    volume = _volume(matter, figure)
    if volume <= 0.0:
        raise Impossible("no-volume", figure)
    return litres / volume * matter.mass


def _share_out(figure: str, share: float) -> float:
    if not 0.0 <= share <= 1.0:
        raise Impossible("out-of-range", figure, value=share, low=0.0, high=1.0)
    return share


def _kept(whole: Matter, figures: Figures) -> tuple[float, frozenset[str]]:
    """Share of an unseparated stream that goes on, and the figure that says so."""
    if whole.mass == 0.0:
        return 1.0, frozenset()
    for name in ("out.mass", "makes.mass"):
        if name in figures:
            return _upper(name, figures[name], whole.mass) / whole.mass, frozenset({name})
        volume = name.replace("mass", "volume")
        if volume in figures:
            kilograms = _litres_to_kg(whole, figures[volume], volume)
            return _upper(volume, kilograms, whole.mass) / whole.mass, frozenset({volume})
        if name == "out.mass" and "left.mass" in figures:
            gone = _upper("left.mass", figures["left.mass"], whole.mass)
            return 1.0 - gone / whole.mass, frozenset({"left.mass"})
    if "keep" in figures:
        return _share_out("keep", figures["keep"]), frozenset({"keep"})
    if "refuse" in figures:
        return 1.0 - _share_out("refuse", figures["refuse"]), frozenset({"refuse"})
    return 1.0, frozenset()


def part(charge: Charge, figures: Figures) -> Parted:
    """Trim, bottle, rest, cut: a share goes on with the composition of the whole."""
    share, own = _kept(charge.entering, figures)
    out, left = charge.entering.split(share)
    return _with_film(Parted(out, left, own), figures)


def _with_film(parted: Parted, figures: Figures) -> Parted:
    """With what every run leaves in the vessel, whatever the batch; what was weighed afterwards knows of it already."""
    kilograms = figures.get("holdup", 0.0) * figures.get("runs", 1.0)
    if kilograms < 0.0:
        raise Impossible("out-of-range", "holdup", value=kilograms, low=0.0, high=parted.out.mass)
    if kilograms == 0.0 or parted.own & {"out.mass", "out.volume"}:
        return parted
    if kilograms > parted.out.mass:
        raise Impossible("more-out-than-in", "holdup", value=kilograms, most=parted.out.mass)
    film, out = parted.out.split(kilograms / parted.out.mass)
    own = parted.own | {"holdup"} | ({"runs"} & set(figures))
    return replace(parted, out=out, film=parted.film + film, own=own)


def mix(charge: Charge, figures: Figures) -> Parted:
    """Blend, dissolve, build, carbonate: everything goes on; ice melt comes in, surplus gas leaves."""
    whole, own = charge.entering, frozenset[str]()
    melt = 0.0
    doubts: tuple[str, ...] = ()
    if "dilution" in figures:
        if figures["dilution"] < 0.0 or figures["dilution"] > 5.0:
            raise Impossible("out-of-range", "dilution", value=figures["dilution"], low=0.0, high=5.0)
        volume = whole.volume()
        if volume is None:
            doubts = ("melt-not-known",)
        else:
            melt = Liquid.pure_water(1.0).density / 1000.0 * figures["dilution"] * volume
            whole = whole + Matter(water=melt)
            own |= {"dilution"}
    vented, added = NOTHING, melt
    notes: tuple[tuple[str, float], ...] = ()
    if "co2" in figures:
        needed, dissolved, notes = _gas(whole, figures)
        if charge.asked and needed > whole.gas:
            added = (needed - whole.gas) / (charge.diluent.gas or 1.0)
            whole = whole + charge.diluent * added
        _upper("co2", needed, whole.gas, "more-gas-than-in")
        vented = Matter(gas=max(0.0, whole.gas - dissolved))
        whole = whole.less(vented)
        own |= {"co2"} | {name for name in ("t", "headspace", "purges", "foam") if name in figures}
        if notes and notes[0][1] > STRONG_BAR + 1.01325:
            doubts += ("pressure-high",)
    elif charge.asked:
        raise Impossible("needs-fact", "co2", options="co2")
    share, stood_on = _kept(whole, figures)
    out, left = whole.split(share)
    return _with_film(Parted(out, left + vented, own | stood_on, diluent=added, doubts=doubts, notes=notes), figures)


def _gas(whole: Matter, figures: Figures) -> tuple[float, float, tuple[tuple[str, float], ...]]:
    """(kg of CO2 that a carbonation takes, kg of it that stay dissolved, the pressure it needs as a note).

    Headspace, purges and foam are only known with the temperature, because that sets the pressure.
    """
    litres = _volume(whole, "co2")
    if litres <= 0.0:
        raise Impossible("no-volume", "co2")
    dissolved = figures["co2"] / 1000.0 * litres
    if "t" not in figures:
        if figures.keys() & {"headspace", "purges", "foam"}:
            raise Impossible("needs-fact", "t", options="t")
        return dissolved, dissolved, ()
    used = co2_used(
        litres,
        figures["co2"],
        figures["t"],
        abv=whole.liquid.abv,
        sugar=1000.0 * whole.solubles / litres,
        headspace_l=figures.get("headspace", 0.0),
        purges=figures.get("purges", 0.0),
        foam=figures.get("foam", 0.0),
    )
    return used.total / 1000.0, dissolved, (("pressure_bar", used.pressure_bar),)


def proof(charge: Charge, figures: Figures) -> Parted:
    """Dilute to a strength or to a Brix with contraction; the diluent is computed as an input of its own."""
    entering, unit = charge.entering, charge.diluent
    if entering.insolubles or entering.gas:
        raise Impossible("no-volume", "abv" if "abv" in figures else "brix")
    if "out.abv" in figures or "abv" in figures:
        name = "out.abv" if "out.abv" in figures else "abv"
        target = figures[name]
        if not 0.0 < target < 1.0:
            raise Impossible("out-of-range", name, value=target, low=0.0, high=1.0)
        now = entering.abv or 0.0
        if target > now:
            if name == "out.abv" and target <= now + HYDROMETER:
                return _with_film(Parted(entering, own=frozenset({name})), figures)
            raise Impossible("stronger-than-charge", name, value=target, most=now)
        kilograms = blend_to_abv(entering.liquid, unit.liquid, target)
    elif "out.brix" in figures or "brix" in figures:
        name = "out.brix" if "out.brix" in figures else "brix"
        kilograms = _diluent_to_brix(entering, unit, name, figures[name])
    elif "out.mass" in figures or "out.volume" in figures:
        name = "out.mass" if "out.mass" in figures else "out.volume"
        kilograms = _diluent_to_amount(entering, unit, name, figures[name])
    else:
        raise Impossible("needs-fact", "abv", options="abv, brix, out.abv, out.mass or out.volume")
    return _with_film(Parted(entering + unit * kilograms, own=frozenset({name}), diluent=kilograms), figures)


def _diluent_to_brix(entering: Matter, unit: Matter, name: str, target: float) -> float:
    """Kilograms of diluent that bring dissolved solids to a share of the mass: the lever rule."""
    now = entering.liquid.brix / 100.0
    if not 0.0 < target <= now + 1e-12:
        if name == "out.brix" and target <= now + REFRACTOMETER:
            return 0.0
        raise Impossible("sweeter-than-charge", name, value=100 * target, most=100 * now)
    if unit.solubles >= target * (1.0 - 1e-6):
        raise Impossible("diluent-too-sweet", name, value=100 * target, least=100 * unit.solubles)
    return max(0.0, entering.solubles - target * entering.mass) / (target - unit.solubles)


def _diluent_to_amount(entering: Matter, unit: Matter, name: str, amount: float) -> float:
    if name == "out.mass":
        if amount < entering.mass * (1.0 - SCALES):
            raise Impossible("less-out-than-in", name, value=amount, least=entering.mass)
        return max(0.0, amount - entering.mass)
    start = _volume(entering, name)
    if amount < start * (1.0 - SCALES):
        raise Impossible("less-out-than-in", name, value=amount, least=start)
    low, high = 0.0, 1.0
    while _volume(entering + unit * high, name) < amount:
        high *= 2.0
    for _ in range(200):
        middle = 0.5 * (low + high)
        if middle in (low, high):
            break
        low, high = (middle, high) if _volume(entering + unit * middle, name) < amount else (low, middle)
    return low


def dry(charge: Charge, figures: Figures) -> Parted:
    """Roast, reduce, dehydrate: only water leaves, and it is meant to."""
    entering = charge.entering
    water, own = _water_lost(entering, figures)
    if water < 0.0:
        if water < -SCALES * entering.mass:
            raise Impossible("more-out-than-in", own, value=entering.mass - water, most=entering.mass)
        water = 0.0
    if water > entering.water:
        if water > entering.water + SCALES * entering.mass:
            raise Impossible("more-water-than-in", own, value=water, most=entering.water)
        water = entering.water
    vapour = Matter(water=water)
    doubts = ("alcohol-may-leave",) if entering.ethanol > 0.0 else ()
    return Parted(entering.less(vapour), vapour, frozenset({own}), doubts=doubts)


def _water_lost(entering: Matter, figures: Figures) -> tuple[float, str]:
    for name in ("out.mass", "left.mass", "out.volume", "out.brix", "to.mass", "to.volume", "lost", "brix"):
        if name not in figures:
            continue
        value = figures[name]
        if name in ("out.mass", "to.mass"):
            return entering.mass - value, name
        if name == "left.mass":
            return value, name
        if name == "lost":
            return _share_out(name, value) * entering.mass, name
        if name in ("brix", "out.brix"):
            if not 0.0 < value <= 1.0 or entering.solubles <= 0.0:
                raise Impossible("out-of-range", name, value=value, low=0.0, high=1.0)
            liquid = entering.free.mass
            return liquid - entering.solubles / value, name
        return _water_lost_to_volume(entering, name, value), name
    raise Impossible("needs-fact", "to", options="lost, to, brix, out.mass or out.volume")


def _water_lost_to_volume(entering: Matter, name: str, litres: float) -> float:
    start = _volume(entering, name)
    if litres >= start:
        return 0.0 if litres <= start * (1.0 + SCALES) else -entering.mass * (litres / start - 1.0)
    # no volume is known of what holds more sugar than SYRUP_LIMIT: boiling down may end there, not beyond
    low, high = 0.0, entering.water - entering.solubles * (1.0 / SYRUP_LIMIT - 1.0)
    if high <= 0.0 or _volume(entering.less(Matter(water=high)), name) > litres:
        raise Impossible("more-water-than-in", name, value=entering.water, most=max(high, 0.0))
    for _ in range(200):
        middle = 0.5 * (low + high)
        if middle in (low, high):
            break
        still_too_much = _volume(entering.less(Matter(water=middle)), name) > litres
        low, high = (middle, high) if still_too_much else (low, middle)
    return low


def drain(charge: Charge, figures: Figures) -> Parted:
    """Infuse, strain, press, juice, clarify: liquid drains off, solids keep some of the common liquid."""
    entering = charge.entering
    # what the solids kept for themselves never met the common liquid and walks off with them
    kept = charge.solids.free * (1.0 - _share_out("exchange", figures.get("exchange", 1.0)))
    free = entering.free.less(kept)
    solid = Matter(insolubles=entering.insolubles, gas=entering.gas) + kept
    drained, name = _drained(charge, free, solid.mass, figures)
    own = frozenset({name} | {"exchange"} & set(figures))
    if free.mass == 0.0:
        return Parted(NOTHING, entering, own)
    out, held = free.split(min(1.0, drained / free.mass))
    return _with_film(Parted(out, held + solid, own), figures)


def _drained(charge: Charge, free: Matter, solid: float, figures: Figures) -> tuple[float, str]:
    """Kilograms that drain off, and the figure that says so."""
    whole = charge.entering.mass
    for name in ("left.mass", "out.mass", "out.volume", "spent", "spent_ratio", "yield"):
        if name not in figures:
            continue
        value = figures[name]
        if name == "spent_ratio" and charge.solids.mass <= 0.0:
            raise Impossible("no-solids", name)
        if name in ("left.mass", "spent", "spent_ratio"):
            kept = value * charge.solids.mass if name == "spent_ratio" else value
            if kept < solid - SCALES * max(kept, solid):
                raise Impossible("lighter-than-dry-solids", name, value=kept, least=solid)
            return free.mass - (_upper(name, max(kept, solid), whole) - solid), name
        if name == "yield":
            return _upper(name, _share_out(name, value) * whole, free.mass, "more-than-liquid"), name
        kilograms = value if name == "out.mass" else _litres_to_kg(free, value, name)
        return _upper(name, kilograms, free.mass, "more-than-liquid"), name
    raise Impossible("needs-fact", "spent", options="spent, spent_ratio, yield, left.mass, out.mass or out.volume")


def still(charge: Charge, figures: Figures) -> Parted:
    """Distil under vacuum in equal runs. A weighed distillate with its strength is what came over; otherwise
    Rayleigh's equation says what came over with the volume, pot strength or pot temperature that ended a run.
    """
    entering, runs = charge.entering, figures.get("runs", 1.0)
    if not 1.0 <= runs <= 1000.0:
        raise Impossible("out-of-range", "runs", value=runs, low=1, high=1000)
    if "out.abv" in figures:
        amount = _amount_over(figures, runs)
        if amount is not None:
            return _came_over(entering, figures["out.abv"], *amount)
    if entering.ethanol + entering.water <= 0.0:
        raise Impossible("nothing-to-distil", "take")
    if "pressure" not in figures:
        raise Impossible("needs-fact", "pressure", options="pressure")
    each = entering.free.liquid * (1.0 / runs)
    stop, value, own = _stop(figures, runs)
    try:
        if stop == "mass":
            stop, value = "take", _litres_for(value, each, figures)
        run = _distilled(each, stop, value, *_glass(figures))
    except ValueError as error:
        raise Impossible("still-refuses", own, value=value, why=error) from None
    out, film = of_liquid(run.distillate) * runs, of_liquid(run.held_up + run.vented) * runs
    out = _with_so2(out, entering)
    names = {own, "pressure", "runs", "holdup", "coolant", "vent"} & set(figures)
    notes = (("t_start", run.t_start), ("t_end", run.t_end), ("runs", runs))
    left = replace(entering.less(out + film), so2=entering.so2)
    return Parted(out, left, frozenset(names), film, notes=notes)


def _glass(figures: Figures) -> tuple[float, float, float | None, float]:
    """Pressure, hold-up, coolant and gas drawn through: what a run does not choose."""
    return figures["pressure"], figures.get("holdup", 0.0), figures.get("coolant"), figures.get("vent", 0.0)


@lru_cache(maxsize=1024)
def _distilled(
    each: Liquid, stop: str, value: float, pressure: float, holdup: float, coolant: float | None, vent: float
) -> Run:
    """One run, remembered by its arguments: a still is the dearest thing to compute and seldom changes."""
    return distil(
        each,
        pressure_mbar=pressure,
        take=value if stop == "take" else None,
        pot_abv=value if stop == "pot_abv" else None,
        pot_t=value if stop == "pot_t" else None,
        holdup_kg=holdup,
        coolant_t=coolant,
        vent_mol=vent,
    )


def forget_stills() -> None:
    """Forget every run that is remembered, for whoever measures how long one takes."""
    _distilled.cache_clear()


def _with_so2(out: Matter, entering: Matter) -> Matter:
    """The distillate with all the SO2 that was charged: it is volatile and how much comes over is not known, so both
    distillate and pot are given the most there can be in them, the careful side for whoever must not drink it. It is
    the one thing that does not close. Acids stay in the pot."""
    return replace(out, so2=entering.so2) if entering.so2 else out


def _amount_over(figures: Figures, runs: float) -> tuple[str, float] | None:
    """(figure, litres or kg of all runs) that came over, where something says so."""
    for name in ("out.mass", "out.volume", "take"):
        if name in figures:
            return name, figures[name] * (runs if name == "take" else 1.0)
    return None


def _came_over(entering: Matter, abv: float, name: str, amount: float) -> Parted:
    """The distillate is as measured: its strength and amount fix its ethanol and water; the pot is the rest."""
    if not 0.0 <= abv <= 1.0:
        raise Impossible("out-of-range", "out.abv", value=abv, low=0.0, high=1.0)
    litre = of_liquid(Liquid.spirit(1.0, abv))
    over = litre * (amount / litre.mass if name == "out.mass" else amount)
    for component in ("ethanol", "water"):
        most, had = entering.amount(component), over.amount(component)
        if had > most + SCALES * over.mass:
            raise Impossible(f"more-{component}-than-in", name, value=had, most=most)
    over = _with_so2(Matter(min(over.ethanol, entering.ethanol), min(over.water, entering.water)), entering)
    left = replace(entering.less(over), so2=entering.so2)
    return Parted(over, left, frozenset({name, "out.abv"}))


def _stop(figures: Figures, runs: float) -> tuple[str, float, str]:
    """(kind of stop, its value for one run, the figure it came from)."""
    for name, kind in (
        ("out.volume", "take"),
        ("out.mass", "mass"),
        ("left.abv", "pot_abv"),
        ("take", "take"),
        ("pot_abv", "pot_abv"),
        ("pot_t", "pot_t"),
    ):
        if name in figures:
            return kind, figures[name] / (runs if name.startswith("out") else 1.0), name
    raise Impossible("needs-fact", "take", options="take, pot_abv, pot_t, out.volume or out.mass")


def _litres_for(kilograms: float, each: Liquid, figures: Figures) -> float:
    """Litres of distillate that weigh ``kilograms``: regula falsi on whole distillations, to 1e-12."""

    def weighs(litres: float) -> float:
        return _distilled(each, "take", litres, *_glass(figures)).distillate.mass

    litres = kilograms / 0.9
    previous: tuple[float, float] | None = None
    for _ in range(30):
        gap = weighs(litres) - kilograms
        if abs(gap) <= 1e-13 * max(1.0, kilograms):
            break
        slope = (gap - previous[1]) / (litres - previous[0]) if previous and litres != previous[0] else 0.9
        previous = litres, gap
        litres -= gap / slope if slope > 0.1 else gap
    return litres


def ferment(charge: Charge, figures: Figures) -> Parted:
    """The one place where ethanol appears: sugar becomes ethanol and gas, as much as a strength or the weight of the
    gas given off says. Every hexose gives two ethanol and two CO2; dissolved solids are taken as hexose."""
    entering = charge.entering
    sugar, name = _fermented(entering, figures)
    gas = Matter(gas=sugar * GAS_OF_SUGAR)
    made = replace(
        entering,
        ethanol=entering.ethanol + sugar * ETHANOL_OF_SUGAR,
        solubles=max(0.0, entering.solubles - sugar),
    )
    notes = (("sugar_fermented", sugar),)
    return Parted(made, gas, frozenset({name}), notes=notes, doubts=("some-gas-stays",) if "abv" in name else ())


def _fermented(entering: Matter, figures: Figures) -> tuple[float, str]:
    """(kg of sugar that fermented, the figure that says so). Impossible beyond the sugar that is there."""
    most = max(0.0, entering.solubles - entering.acids)
    for name in ("out.abv", "left.mass", "out.mass", "abv", "given_off"):
        if name not in figures:
            continue
        value = figures[name]
        if name in ("out.abv", "abv"):
            sugar = _sugar_for_strength(entering, name, value, most)
        elif name == "out.mass":
            sugar = (entering.mass - value) / GAS_OF_SUGAR
            if sugar < -SCALES * entering.mass:
                raise Impossible("more-out-than-in", name, value=value, most=entering.mass)
        else:
            sugar = value / GAS_OF_SUGAR
        if sugar > most + SCALES * entering.mass:
            raise Impossible("more-sugar-than-in", name, value=sugar, most=most)
        return min(max(sugar, 0.0), most), name
    raise Impossible("needs-fact", "abv", options="abv, given_off, out.abv, left.mass or out.mass")


def _sugar_for_strength(entering: Matter, name: str, target: float, most: float) -> float:
    start = 0.0 if _volume(entering, name) == 0.0 else entering.liquid.abv
    if target <= start:
        if target < start - HYDROMETER:
            raise Impossible("weaker-than-charge", name, value=target, least=start)
        return 0.0

    def strength(sugar: float) -> float:
        ethanol = entering.ethanol + sugar * ETHANOL_OF_SUGAR
        return Liquid(ethanol, entering.water, entering.solubles - sugar).abv

    if strength(most) < target:
        if strength(most) < target - HYDROMETER:
            raise Impossible("stronger-than-sugar", name, value=target, most=strength(most))
        return most
    low, high = 0.0, most
    for _ in range(200):
        middle = 0.5 * (low + high)
        if middle in (low, high):
            break
        low, high = (middle, high) if strength(middle) < target else (low, middle)
    return low


MECHANISMS: Mapping[str, Callable[[Charge, Figures], Parted]] = {
    "mix": mix,
    "proof": proof,
    "part": part,
    "dry": dry,
    "drain": drain,
    "still": still,
    "ferment": ferment,
}
