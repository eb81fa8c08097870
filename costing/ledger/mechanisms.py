"""The seven mechanisms: what goes on and what leaves, from a charge and the figures that are known.

A mechanism takes what enters and named figures (facts such as "keep" and readings such as "left.mass") and gives
``Parted``: the stream that goes on and one balance stream, always by difference, so that it closes whatever was
weighed. A weighing becomes the mechanism's own figure (water lost, liquid held, share kept); it never scales a
predicted composition. ``own`` names the figures that the result stands on. The still and fermenting have files of
their own.
"""

from collections.abc import Callable, Mapping

from costing.ledger.distilling import still
from costing.ledger.fermenting import ferment
from costing.ledger.matter import NOTHING, Matter
from costing.ledger.parting import (
    HYDROMETER,
    SCALES,
    Charge,
    Figures,
    Impossible,
    Parted,
    at_most,
    kept_share,
    litres_to_kg,
    share_out,
    volume_of,
    with_film,
)
from costing.liquor import Liquid, blend_to_abv, co2_used

REFRACTOMETER = 0.005
"""Brix reading error as a fraction by mass (0.5 Bx): common practice, no source."""
STRONG_BAR = 4.0
"""Gauge pressure in bar above which a carbonation is warned of."""
SYRUP_LIMIT = 0.8499
"""Dissolved solids over solids and water, just inside the 0.85 up to which the volume of a syrup is known."""


def part(charge: Charge, figures: Figures) -> Parted:
    """Trim, bottle, rest, cut: a share goes on with the composition of the whole."""
    share, own = kept_share(charge.entering, figures)
    out, left = charge.entering.split(share)
    return with_film(Parted(out, left, own), figures)


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
        at_most("co2", needed, whole.gas, "more-gas-than-in")
        vented = Matter(gas=max(0.0, whole.gas - dissolved))
        whole = whole.less(vented)
        own |= {"co2"} | {name for name in ("t", "headspace", "purges", "foam") if name in figures}
        if notes and notes[0][1] > STRONG_BAR + 1.01325:
            doubts += ("pressure-high",)
    elif charge.asked:
        raise Impossible("needs-fact", "co2", options="co2")
    share, stood_on = kept_share(whole, figures)
    out, left = whole.split(share)
    return with_film(Parted(out, left + vented, own | stood_on, diluent=added, doubts=doubts, notes=notes), figures)


def _gas(whole: Matter, figures: Figures) -> tuple[float, float, tuple[tuple[str, float], ...]]:
    """(kg of CO2 that a carbonation takes, kg of it that stay dissolved, the pressure it needs as a note).

    Headspace, purges and foam are only known with the temperature, because that sets the pressure.
    """
    litres = volume_of(whole, "co2")
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
                return with_film(Parted(entering, own=frozenset({name})), figures)
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
    return with_film(Parted(entering + unit * kilograms, own=frozenset({name}), diluent=kilograms), figures)


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
    start = volume_of(entering, name)
    if amount < start * (1.0 - SCALES):
        raise Impossible("less-out-than-in", name, value=amount, least=start)
    low, high = 0.0, 1.0
    while volume_of(entering + unit * high, name) < amount:
        high *= 2.0
    for _ in range(200):
        middle = 0.5 * (low + high)
        if middle in (low, high):
            break
        low, high = (middle, high) if volume_of(entering + unit * middle, name) < amount else (low, middle)
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
            return share_out(name, value) * entering.mass, name
        if name in ("brix", "out.brix"):
            if not 0.0 < value <= 1.0 or entering.solubles <= 0.0:
                raise Impossible("out-of-range", name, value=value, low=0.0, high=1.0)
            liquid = entering.free.mass
            return liquid - entering.solubles / value, name
        return _water_lost_to_volume(entering, name, value), name
    raise Impossible("needs-fact", "to", options="lost, to, brix, out.mass or out.volume")


def _water_lost_to_volume(entering: Matter, name: str, litres: float) -> float:
    start = volume_of(entering, name)
    if litres >= start:
        return 0.0 if litres <= start * (1.0 + SCALES) else -entering.mass * (litres / start - 1.0)
    # no volume is known of what holds more sugar than SYRUP_LIMIT: boiling down may end there, not beyond
    low, high = 0.0, entering.water - entering.solubles * (1.0 / SYRUP_LIMIT - 1.0)
    if high <= 0.0 or volume_of(entering.less(Matter(water=high)), name) > litres:
        raise Impossible("more-water-than-in", name, value=entering.water, most=max(high, 0.0))
    for _ in range(200):
        middle = 0.5 * (low + high)
        if middle in (low, high):
            break
        still_too_much = volume_of(entering.less(Matter(water=middle)), name) > litres
        low, high = (middle, high) if still_too_much else (low, middle)
    return low


def drain(charge: Charge, figures: Figures) -> Parted:
    """Infuse, strain, press, juice, clarify: liquid drains off, solids keep some of the common liquid."""
    entering = charge.entering
    # what the solids kept for themselves never met the common liquid and walks off with them
    kept = charge.solids.free * (1.0 - share_out("exchange", figures.get("exchange", 1.0)))
    free = entering.free.less(kept)
    solid = Matter(insolubles=entering.insolubles, gas=entering.gas) + kept
    drained, name = _drained(charge, free, solid.mass, figures)
    own = frozenset({name} | {"exchange"} & set(figures))
    if free.mass == 0.0:
        return Parted(NOTHING, entering, own)
    out, held = free.split(min(1.0, drained / free.mass))
    return with_film(Parted(out, held + solid, own), figures)


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
            return free.mass - (at_most(name, max(kept, solid), whole) - solid), name
        if name == "yield":
            return at_most(name, share_out(name, value) * whole, free.mass, "more-than-liquid"), name
        kilograms = value if name == "out.mass" else litres_to_kg(free, value, name)
        return at_most(name, kilograms, free.mass, "more-than-liquid"), name
    raise Impossible("needs-fact", "spent", options="spent, spent_ratio, yield, left.mass, out.mass or out.volume")


MECHANISMS: Mapping[str, Callable[[Charge, Figures], Parted]] = {
    "mix": mix,
    "proof": proof,
    "part": part,
    "dry": dry,
    "drain": drain,
    "still": still,
    "ferment": ferment,
}
