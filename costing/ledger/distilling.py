"""The still: what came over is as measured, or Rayleigh's equation says it; the pot is what is left."""

from dataclasses import replace
from functools import lru_cache

from costing.ledger.matter import Matter, of_liquid
from costing.ledger.parting import SCALES, Charge, Figures, Impossible, Parted
from costing.liquor import Liquid, Run, distil


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
