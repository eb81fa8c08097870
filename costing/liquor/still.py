"""Simple distillation under vacuum (a rotary evaporator): Rayleigh's equation up to a chosen stop.

One theoretical stage, no reflux: d(ethanol) / d(vapour) = y(x), with y at the pot's own boiling point.
Dissolved solids stay in the pot as inert moles: they raise the boiling point and let the volatile pair's
equilibrium be (salting-out by sugar, a few per cent of an activity coefficient, is left out).
Error to state beside a prediction: 0.5 % vol and one point of recovery from the equilibrium data.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from math import floor

from costing.liquor.condenser import Condenser
from costing.liquor.density import ETHANOL_20
from costing.liquor.guards import above_zero, not_negative, within
from costing.liquor.liquid import Liquid, volume_of
from costing.liquor.rayleigh import HOTTEST, Pot, march
from costing.liquor.vle import BOIL_T_RANGE, COOLANT_T_RANGE, PRESSURE_RANGE

DEFAULT_STEPS = 36
STEPS_RANGE = (8, 2000)
_MET = 1e-9  # a stop this near is met; anything solved is much nearer
_NOISE = 1e-12  # of the charge, what differences of its masses may be wrong by
_REMEMBERED = 4096


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One distillation. charge = distillate + pot + held_up + vented, component for component.

    distillate: what is in the receiver. pot: what is left, with all solids. held_up: film on coil and glass.
    vented: vapour that left with the pump's gas. recovery: share of the charge's ethanol that is in the
    distillate, 0..1 (0 when the charge had none). t_start, t_end: boiling temperature of the pot in C.
    """

    distillate: Liquid
    pot: Liquid
    held_up: Liquid
    vented: Liquid
    recovery: float
    t_start: float
    t_end: float

    @property
    def abv(self) -> float:
        """ABV of the distillate, fraction."""
        return self.distillate.abv

    @property
    def lost(self) -> Liquid:
        """Film and vented vapour together."""
        return self.held_up + self.vented


def distil(
    charge: Liquid,
    *,
    pressure_mbar: float,
    take: float | None = None,
    pot_abv: float | None = None,
    pot_t: float | None = None,
    holdup_kg: float = 0.0,
    coolant_t: float | None = None,
    vent_mol: float = 0.0,
    steps: int = DEFAULT_STEPS,
) -> Run:
    """Distil a charge at constant pressure until one stop is met; the last step is solved to meet it.

    charge: what is in the pot. pressure_mbar: absolute, 10..1100. Exactly one stop:
    take: litres of distillate at 20 C in the receiver;
    pot_abv: ABV (fraction) of the pot, over its whole volume, solids included;
    pot_t: boiling temperature of the pot in C, at most 100.

    holdup_kg: condensate that wets coil and glass and never arrives (mean composition of the condensate).
    vent_mol: moles of gas drawn through the condenser (leaks, dissolved air), each leaving saturated at
    coolant_t (C, -20..40), which must then be given. With coolant_t the run is refused where the mean
    condensate's vapour pressure at it reaches 0.8 of the pressure: that does not condense.
    steps: Runge-Kutta steps while the pot's ethanol falls to 1/e of itself, 8..2000; at the default the
    distillate's ABV is converged to better than 1e-7 of itself. Equal calls are remembered.

    ValueError, with the value and the accepted range: a charge without volatiles, no stop or more than one, a
    stop already met or out of reach (the accepted end is named: a flask with 0.1 % of its volatile moles
    left is dry, 100 C is the hottest pot), boiling outside 5..100 C, losses above the vapour, a warm coolant.
    Source: Rayleigh, Philosophical Magazine 4 (1902) 521; equilibrium as in `bubble_point`.
    """
    stops = [(n, v) for n, v in (("take", take), ("pot_abv", pot_abv), ("pot_t", pot_t)) if v is not None]
    if len(stops) != 1:
        given = ", ".join(n for n, _ in stops) or "none"
        raise ValueError(f"stops given: {given}; accepted: exactly one of take, pot_abv, pot_t")
    name, value = stops[0]
    above_zero(name, value)
    within("pressure in mbar", pressure_mbar, *PRESSURE_RANGE)
    not_negative("holdup_kg", holdup_kg)
    not_negative("vent_mol", vent_mol)
    within("steps", steps, *STEPS_RANGE)
    above_zero("kg of ethanol and water in the charge", charge.ethanol + charge.water)
    if coolant_t is not None:
        within("coolant_t in C", coolant_t, *COOLANT_T_RANGE)
    elif vent_mol > 0.0:
        raise ValueError(f"vent_mol is {vent_mol!r} without coolant_t; accepted: 0, or give coolant_t")
    return _run(
        charge,
        pressure=pressure_mbar,
        stop=name,
        target=value,
        holdup=holdup_kg,
        coolant=coolant_t,
        vent=vent_mol,
        steps=steps,
    )


@lru_cache(maxsize=_REMEMBERED)
def _run(
    charge: Liquid,
    *,
    pressure: float,
    stop: str,
    target: float,
    holdup: float,
    coolant: float | None,
    vent: float,
    steps: int,
) -> Run:
    start = Pot.charged(charge, pressure)
    within("boiling temperature of the charge in C", start.t, *BOIL_T_RANGE)
    condenser = Condenser(charge, pressure, holdup, coolant, vent)
    # Every stop is turned so that its gap rises from below zero.
    reading: Callable[[Pot], float]
    if stop == "take":
        reading, sign = condenser.collected, 1.0
    elif stop == "pot_abv":
        reading, sign = lambda pot: _pot_abv(pot, charge.solids), -1.0
    else:
        reading, sign = lambda pot: pot.t, 1.0
    began = reading(start)
    if sign * (target - began) <= 0.0:
        side = "below" if stop == "pot_abv" else "above"
        raise ValueError(f"{stop} is {target!r}; accepted range {side} the charge's own {began:.9g}")
    end = march(start, lambda pot: sign * (reading(pot) - target), steps)
    condenser.refuse_if_warm(end)
    reached = reading(end)
    slack = _MET * target + (_NOISE * charge.mass if stop == "take" else 0.0)
    if sign * (target - reached) > slack:
        # Rounded to the safe side, so that the end that is named is accepted.
        limit = max(0.0, floor(1e6 * reached) / 1e6) if sign > 0.0 else reached * (1.0 + _MET)
        why = f"at {HOTTEST:g} C" if end.t > HOTTEST - 1e-6 else "dry"
        way = "up" if sign > 0.0 else "down"
        raise ValueError(f"{stop} is {target!r}; accepted {way} to {limit!r}: there the pot is {why}")
    if sign * (reached - target) > slack:
        # Vented vapour is richer than the condensate: while there is little, it takes all of one part.
        raise ValueError(f"{stop} is {target!r}; accepted from {reached:.9g} up: below, losses eat one part")
    distillate, held_up, vented = condenser.share_out(end)
    if min(distillate) < 0.0:
        raise ValueError(f"holdup_kg {holdup!r}, vent_mol {vent!r} take more than all vapour; accepted: less")
    receiver = Liquid(*distillate)
    return Run(
        distillate=receiver,
        pot=Liquid(*end.masses(), charge.solids),
        held_up=Liquid(*held_up),
        vented=Liquid(*vented),
        recovery=receiver.ethanol / charge.ethanol if charge.ethanol > 0.0 else 0.0,
        t_start=start.t,
        t_end=end.t,
    )


def _pot_abv(pot: Pot, solids: float) -> float:
    ethanol, water = pot.masses()
    return 1000.0 * ethanol / (ETHANOL_20 * volume_of(ethanol, water, solids))
