"""The three acceptance chains worked out a second time, by other means, and compared with the loss ledger.

Nothing here uses the ledger, the pricing or the physics of ``costing``: densities are the published polynomials
written out below, the still is Rayleigh's equation integrated by scipy's DOP853, the mother batch is a root of
scipy and a linear system of numpy, taxes are plain arithmetic. Only the last step asks ``costing`` for its figures.
The recipes are typed here by hand from the chain files, so that a slip in reading them shows too.

Sources: OIML R 22 (1975) for ethanol-water, ICUMSA SPS-4 for sugar, NRTL and Antoine constants of the DECHEMA
collection I/1. CoolProp checks the two densities that the first chain leans on.
"""

import json
import math
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path

import CoolProp.CoolProp as cp
import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from costing.book import Book
from costing.book.plain import record_from_plain
from costing.ledger import Reckoning, reckon
from costing.pricing import PricedServe, priced_serves

CHAINS = Path(__file__).parent.parent / "chains"
TIGHT = 1e-7

# OIML R 22, 1975: kg/m3 at 20 C as a polynomial in the mass fraction of ethanol.
OIML = (
    9.982012300e2, -1.929769495e2, 3.891238958e2, -1.668103923e3, 1.352215441e4, -8.829278388e4,
    3.062874042e5, -6.138381234e5, 7.470172998e5, -5.478461354e5, 2.234460334e5, -3.903285426e4,
)  # fmt: skip
# ICUMSA SPS-4 (Bubnik et al. 1995): what sucrose adds to the density of water at 20 C, kg/m3.
SUCROSE = (385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.2890)
# NRTL and Antoine (mmHg, C), ethanol 1 and water 2.
A12, B12, A21, B21, ALPHA = -0.8009, 246.18, 3.4578, -586.0809, 0.30
ANTOINE = ((8.11220, 1592.864, 226.184), (8.05573, 1723.6425, 233.08))
MMHG_PER_MBAR = 760.0 / 1013.25
M_ETHANOL, M_WATER, M_SUCROSE = 0.04606844, 0.01801528, 0.3422965


def rho(w: float) -> float:
    """kg/L of ethanol-water at 20 C."""
    return float(np.polyval(OIML[::-1], w)) / 1000.0


WATER, ETHANOL = rho(0.0), rho(1.0)


def litres(ethanol: float, water: float, solids: float = 0.0) -> float:
    """Volume at 20 C: ethanol-water, plus what solids add to the volume of the same water."""
    volume = (ethanol + water) / rho(ethanol / (ethanol + water)) if ethanol + water else 0.0
    if solids:
        s = solids / (water + solids)
        sweet = WATER + sum(c * s ** (k + 1) for k, c in enumerate(SUCROSE)) / 1000.0
        volume += (water + solids) / sweet - water / WATER
    return volume


def abv(ethanol: float, water: float, solids: float = 0.0) -> float:
    """Strength by volume."""
    return ethanol / ETHANOL / litres(ethanol, water, solids)


def spirit(volume: float, strength: float) -> tuple[float, float]:
    """(ethanol, water) in kg of litres at a strength, by bracketing."""
    w = brentq(lambda x: x * rho(x) / ETHANOL - strength, 0.0, 1.0, xtol=1e-16, rtol=1e-15)
    mass = volume * rho(w)
    return mass * w, mass * (1.0 - w)


def partials(x: float, t: float) -> tuple[float, float]:
    """Partial pressures in mbar over ethanol-water of mole fraction x at t C, by NRTL and Antoine."""
    kelvin, z = t + 273.15, 1.0 - x
    t12, t21 = A12 + B12 / kelvin, A21 + B21 / kelvin
    g12, g21 = math.exp(-ALPHA * t12), math.exp(-ALPHA * t21)
    ln1 = z * z * (t21 * (g21 / (x + z * g21)) ** 2 + t12 * g12 / (z + x * g12) ** 2)
    ln2 = x * x * (t12 * (g12 / (z + x * g12)) ** 2 + t21 * g21 / (x + z * g21) ** 2)
    p1, p2 = (10.0 ** (a - b / (t + c)) / MMHG_PER_MBAR for a, b, c in ANTOINE)
    return x * math.exp(ln1) * p1, z * math.exp(ln2) * p2


def vapour(x: float, pressure: float) -> float:
    """Mole fraction of ethanol in the vapour over a boiling pot."""
    t = brentq(lambda c: sum(partials(x, c)) - pressure, 0.0, 110.0, xtol=1e-12, rtol=1e-14)
    first, second = partials(x, t)
    return first / (first + second)


def rayleigh(charge: tuple[float, float, float], pressure: float, take: float) -> tuple[float, float]:
    """(ethanol, water) in kg that come over when ``take`` litres are collected: d(ethanol)/d(vapour) = y."""
    e0, w0, inert = charge[0] / M_ETHANOL, charge[1] / M_WATER, charge[2] / M_SUCROSE

    def slope(over: float, ethanol: np.ndarray) -> list[float]:
        volatile = e0 + w0 - over
        # inert moles dilute both volatiles alike, so the pair boils as at a pressure that much higher
        return [-vapour(float(ethanol[0]) / volatile, pressure * (1.0 + inert / volatile))]

    def full(over: float, ethanol: np.ndarray) -> float:
        came = e0 - float(ethanol[0])
        return litres(came * M_ETHANOL, max(0.0, over - came) * M_WATER) - take

    full.terminal = True  # type: ignore[attr-defined]
    run = solve_ivp(slope, (0.0, 0.98 * (e0 + w0)), [e0], method="DOP853", rtol=1e-12, atol=1e-13, events=full)
    over, ethanol = float(run.t_events[0][0]), float(run.y_events[0][0][0])
    return (e0 - ethanol) * M_ETHANOL, (over - e0 + ethanol) * M_WATER


@cache
def chain(name: str) -> Reckoning:
    """The ledger's figures of a chain file."""
    data = json.loads((CHAINS / f"{name}.json").read_text(encoding="utf-8"))
    data.pop("stillroom")
    house = data["house"]
    data["house"] = house if isinstance(house, list) else [{"id": "house", **house}]
    records = [record_from_plain(kind, plain) for kind, plains in data.items() for plain in plains]
    return reckon(Book.of(records).on(date(2026, 3, 2)))


def drink(reckoning: Reckoning) -> PricedServe:
    """The one serve of a chain."""
    (serve,) = priced_serves(reckoning)
    return serve


def upward(price: float, step: float, endings: tuple[float, ...] = ()) -> Decimal:
    """The first price point at or above a price, by walking up the grid in whole steps."""
    n = 0
    while n * step < price - 1e-9 or (endings and not any(abs(n * step % 1.0 - e) < 1e-9 for e in endings)):
        n += 1
    return Decimal(n) * Decimal(str(step))


# --- chain 1: fruit roasted, infused, distilled, proofed ------------------------------------------------------------


@dataclass(frozen=True)
class Distillate:
    """Figures of the first chain before proofing, and after."""

    infusion: tuple[float, float, float]
    over: tuple[float, float]
    strength: float
    made: float
    materials: float
    with_machine: float


@cache
def distillate() -> Distillate:
    edible = 6.000 * (1.0 - 0.49)
    solubles, insolubles = edible * 0.0985, edible * (1.0 - 0.86 - 0.0985)
    water = 1.950 - solubles - insolubles  # roasted to 1.950 kg: only water left
    ethanol, more_water = spirit(3.000, 0.40)
    free = ethanol + more_water + water + solubles
    drained = 1.0 - (1.350 - insolubles) / free
    infusion = (ethanol * drained, (more_water + water) * drained, solubles * drained)
    third = (infusion[0] / 3.0, infusion[1] / 3.0, infusion[2] / 3.0)
    one = rayleigh(third, 50.0, 0.420)
    over = (3.0 * one[0], 3.0 * one[1])
    # at 45 % vol the ethanol is 45 % of the volume, whatever contracted on the way there
    made = over[0] / ETHANOL / 0.45
    money = 6.000 * 2.80 + 3.000 * 19.00
    return Distillate(infusion, over, abv(*over), made, money / made, (money + 3 * 1.5 * 1.94) / made)


def test_densities_written_out_here_agree_with_coolprop() -> None:
    """OIML against the IAPWS-95 and Schroeder equations, within the deviations a 1975 fit allows."""
    assert pytest.approx(cp.PropsSI("D", "T", 293.15, "P", 101325, "Water") / 1000.0, abs=1e-5) == WATER
    assert pytest.approx(cp.PropsSI("D", "T", 293.15, "P", 101325, "Ethanol") / 1000.0, abs=3e-4) == ETHANOL
    mixed = cp.PropsSI("D", "T", 293.15, "P", 101325, "INCOMP::MEA2[0.333]") / 1000.0
    assert rho(0.333) == pytest.approx(mixed, abs=1e-4)


def test_rayleigh_here_satisfies_its_own_integral() -> None:
    """ln(n0/n1) = int dx/(y - x): the differential run above against a quadrature of the integral form."""
    e, w, _ = distillate().infusion
    e, w = e / 3.0 / M_ETHANOL, w / 3.0 / M_WATER
    over = rayleigh((e * M_ETHANOL, w * M_WATER, 0.0), 50.0, 0.420)
    left = e - over[0] / M_ETHANOL, w - over[1] / M_WATER
    x0, x1 = e / (e + w), left[0] / sum(left)
    integral, _ = quad(lambda x: 1.0 / (vapour(x, 50.0) - x), x1, x0, epsrel=1e-11)
    assert math.log((e + w) / sum(left)) == pytest.approx(integral, rel=1e-9)


def test_chain_1_reaches_the_published_figures_by_this_route() -> None:
    """The converged figures of the worked example, four decimals."""
    d = distillate()
    assert 100.0 * d.strength == pytest.approx(61.9528, abs=1e-4)
    assert d.made == pytest.approx(1.73468, abs=1e-5)
    assert d.with_machine == pytest.approx(47.5766, abs=1e-4)
    assert d.materials == pytest.approx(42.544, abs=1e-4)


def test_chain_1_ledger_equals_this_computation() -> None:
    d, reckoning = distillate(), chain("distillate")
    ledger = reckoning.ledgers["distillate"]
    assert not [p for p in reckoning.problems if p.level != "note"]
    infused = ledger.lines[2].on.matter
    assert (infused.ethanol, infused.water, infused.solubles) == pytest.approx(d.infusion, rel=1e-10)
    still = ledger.lines[3]
    assert (still.on.matter.ethanol, still.on.matter.water) == pytest.approx(d.over, rel=TIGHT)
    assert still.on.matter.abv == pytest.approx(d.strength, rel=TIGHT)
    output = ledger.outputs["distillate"]
    assert output.made == pytest.approx(d.made, rel=TIGHT)
    assert output.unit.matter is not None
    assert output.unit.matter.abv == pytest.approx(0.45, rel=1e-12)
    cost = reckoning.costs["distillate"]
    assert cost.materials == pytest.approx(d.materials, rel=TIGHT)
    assert cost.making == pytest.approx(d.with_machine, rel=TIGHT)
    # 26.2 % of the alcohol stays in the fruit, 11.85 % of the rest in the pots
    assert ledger.lines[2].share_lost == pytest.approx(1.0 - d.infusion[0] / spirit(3.0, 0.4)[0], rel=1e-10)
    assert ledger.lines[3].share_lost == pytest.approx(1.0 - d.over[0] / d.infusion[0], rel=1e-6)


def test_chain_1_serve_and_price() -> None:
    d, reckoning = distillate(), chain("distillate")
    juice = 2.60 * 2.33 * 1.0313  # money a litre: whole fruit per kg of juice, and what a litre weighs
    rest = 0.020 * juice + 0.015 * 4.00 + 12.00 / 100 + 0.35
    materials = 0.045 * 1.03 * d.materials + rest
    making = 0.045 * 1.03 * d.with_machine + rest
    assert materials == pytest.approx(2.6269, abs=1e-4)
    assert making == pytest.approx(2.8601, abs=1e-4)
    assert abs(making - 2.8604) > 2e-4  # where an interpolated last step of the still would end
    serve = drink(reckoning)
    assert serve.cost.materials == pytest.approx(materials, rel=TIGHT)
    assert serve.cost.making == pytest.approx(making, rel=TIGHT)
    needed = materials / 0.20 * 1.10 * 1.09
    assert needed == pytest.approx(15.75, abs=0.005)
    assert serve.suggestion is not None
    assert float(serve.suggestion.needed_all_in) == pytest.approx(needed, rel=TIGHT)
    assert serve.suggestion.at.all_in == upward(needed, 0.50) == Decimal("16.00")
    assert serve.price is not None
    assert float(serve.price.pour_cost or 0) == pytest.approx(materials / (16.00 / 1.199), rel=TIGHT)


# --- chain 2: without alcohol ---------------------------------------------------------------------------------------


def test_chain_2_ledger_equals_this_computation() -> None:
    reckoning = chain("cooler")
    assert not [p for p in reckoning.problems if p.level == "error"]
    # clarified juice: 2.610 kg of a liquid of 95.23 parts of water to 3.5 of solubles
    trimmed = 4.20 * 0.97
    juice = trimmed * 0.72
    assert juice > 2.610
    sweet = 3.5 / (95.23 + 3.5)
    volume = litres(0.0, 2.610 * (1.0 - sweet), 2.610 * sweet)
    fruit, hand, spin = 10.80 / (12 * 0.45), 18.00, 0.80
    materials = 4.20 * fruit
    labour, machine, energy = (12 + 6) / 60 * hand, 20 / 60 * spin, 20 / 60 * 1.2 * 0.30
    output, cost = reckoning.ledgers["cucumber-water"].outputs["cucumber-water"], reckoning.costs["cucumber-water"]
    assert output.made == pytest.approx(volume, rel=TIGHT)
    assert output.unit.matter is not None
    assert output.unit.matter.abv == 0.0
    layers = (materials, energy, machine, labour)
    assert cost.columns == pytest.approx([v / volume for v in layers], rel=TIGHT)
    # the base: 2 kg of it, sugar, acid; gas adds weight and money but no volume
    share = 2.000 / 2.610
    water, solids = 2.000 * (1.0 - sweet), 2.000 * sweet + 0.180 + 0.0115
    full = litres(0.0, water, solids)
    bottled = full * 0.985
    base = (
        materials * share + 0.180 * 28.75 / 25 + 0.0115 * 9.52 / 1.19 / 1 + 0.024 * (36.00 + 4.00) / 10,
        energy * share,
        machine * share,
        labour * share + 5 / 60 * hand,
    )
    output, cost = reckoning.ledgers["cooler-base"].outputs["cooler-base"], reckoning.costs["cooler-base"]
    assert output.made == pytest.approx(bottled, rel=TIGHT)
    assert output.unit.matter is not None
    assert output.unit.matter.gas == pytest.approx(0.006, rel=TIGHT)  # 6 g in each litre
    assert output.unit.matter.liquid.brix == pytest.approx(100.0 * solids / (water + solids), rel=TIGHT)
    assert cost.columns == pytest.approx([v / bottled for v in base], rel=TIGHT)
    # the drink: 180 ml, one ribbon (a fifth of them free), forty seconds
    per_litre = [v / bottled for v in base]
    drink_layers = [0.180 * v for v in per_litre]
    drink_layers[0] += 2.00 / 40 * 4 / 5
    drink_layers[3] += 40 / 3600 * hand
    serve = drink(reckoning)
    assert serve.cost.columns == pytest.approx(drink_layers, rel=TIGHT)
    assert serve.cost.materials == pytest.approx(drink_layers[0], rel=TIGHT)
    assert serve.cost.making == pytest.approx(sum(drink_layers), rel=TIGHT)
    needed = (drink_layers[0] + 6.50) * 1.19
    assert serve.suggestion is not None
    assert float(serve.suggestion.needed_all_in) == pytest.approx(needed, rel=TIGHT)
    assert serve.suggestion.at.all_in == upward(needed, 0.50)


# --- chain 3: a mother batch, a by-product with a share, weighings that leave something unexplained -----------------


@dataclass(frozen=True)
class Mother:
    """Figures of the third chain: (ethanol, water) of one litre, what was unexplained, nuts, money by layer."""

    litre: tuple[float, float]
    made: float
    unexplained: tuple[float, float]
    nuts: tuple[float, float, float, float]
    materials: tuple[float, float]
    machine: tuple[float, float]


@cache
def mother() -> Mother:
    over = spirit(3.780, 0.674)
    made = 3.780 * 0.98
    e, w = over[0] * 0.98 / made, over[1] * 0.98 / made
    brandy, walnut = spirit(4.200, 0.50), (2.000 * 0.80, 2.000 * 0.08, 2.000 * 0.12)
    free = np.array([2.000 * e + brandy[0], 2.000 * w + brandy[1] + walnut[0], walnut[1]])
    drained = free * (1.0 - (1.560 - walnut[2]) / free.sum())
    liquor = drained * (6.250 / litres(*(float(v) for v in drained)))  # what the jug held; the rest nobody can explain
    assert over[0] < liquor[0]  # the still gave no more alcohol than it was charged with
    unexplained = float(drained.sum() - liquor.sum()), float(liquor.sum() - sum(over) - 2.420)
    held = free * (1.560 - walnut[2]) / free.sum()
    nuts = [float(v) / 1.560 for v in (*held, walnut[2])]
    # money: two unknowns, a litre of mother and a kilogram of nuts, as a linear system
    fresh, hours = 4.200 * 92.40 / (6 * 0.7) + 2.000 * 21.00 / 5, 2 * 2.0 * 2.10
    system = np.array([[made - 0.92 * 2.000, 0.0], [-0.08 * 2.000, 1.560]])
    stuff = np.linalg.solve(system, np.array([0.92 * fresh, 0.08 * fresh]))
    time = np.linalg.solve(system, np.array([hours, 0.0]))
    return Mother(
        (e, w),
        made,
        unexplained,
        (nuts[0], nuts[1], nuts[2], nuts[3]),
        (float(stuff[0]), float(stuff[1])),
        (float(time[0]), float(time[1])),
    )


@dataclass(frozen=True)
class Wine:
    """Walnut wine: (ethanol, water, solids) of one litre, litres made, money of a litre."""

    litre: tuple[float, float, float]
    made: float
    materials: float
    machine: float


@cache
def walnut_wine() -> Wine:
    m = mother()
    e, s = 1.500 * 0.12 * ETHANOL, 1.500 * 0.004
    w = brentq(lambda x: litres(e, x, s) - 1.500, 0.5, 2.0, xtol=1e-15)
    pool = np.array([0.500 * m.litre[0] + e, 0.500 * m.litre[1] + w, s + 0.120]) + 0.400 * np.array(m.nuts[:3])
    strained = [float(v) for v in pool * (1.0 - (0.380 - 0.400 * m.nuts[3]) / pool.sum())]
    volume = litres(*strained)
    bought = 1.500 * 4.65 / 0.75 + 0.120 * 1.20
    stuff = (0.500 * m.materials[0] + 0.400 * m.materials[1] + bought) / volume
    time = (0.500 * m.machine[0] + 0.400 * m.machine[1]) / volume
    return Wine((strained[0] / volume, strained[1] / volume, strained[2] / volume), volume, stuff, time)


def test_chain_3_mother_equals_this_computation() -> None:
    m, reckoning = mother(), chain("mother")
    assert not [p for p in reckoning.problems if p.level == "error"]
    ledger = reckoning.ledgers["mother"]
    for line, expected in zip(ledger.lines, m.unexplained, strict=False):
        missing = {s.fate: s.matter.mass for s in line.outs}["unexplained"]
        assert missing == pytest.approx(expected, rel=1e-6)
    # what nobody can explain is lost, what is kept as nuts is not: shares of the alcohol that entered
    entered = 2.000 * m.litre[0] + spirit(4.200, 0.50)[0]
    held = m.nuts[0] * 1.560
    jug, over = ledger.lines[0].on.matter.ethanol, spirit(3.780, 0.674)[0]
    assert ledger.lines[0].share_lost == pytest.approx((entered - held - jug) / entered, rel=1e-6)
    assert ledger.lines[1].share_lost == pytest.approx(1.0 - over / jug, rel=1e-6)
    output, nuts = ledger.outputs["mother"], ledger.outputs["mother/nuts"]
    assert output.made == pytest.approx(m.made, rel=TIGHT)
    assert nuts.made == pytest.approx(1.560, rel=TIGHT)
    assert output.unit.matter is not None
    assert nuts.unit.matter is not None
    assert output.unit.matter.abv == pytest.approx(0.674, rel=TIGHT)
    inside = nuts.unit.matter
    assert (inside.ethanol, inside.water, inside.solubles, inside.insolubles) == pytest.approx(m.nuts, rel=TIGHT)
    for n, name in enumerate(("mother", "mother/nuts")):
        cost = reckoning.costs[name]
        assert cost.materials == pytest.approx(m.materials[n], rel=TIGHT)
        assert cost.making == pytest.approx(m.materials[n] + m.machine[n], rel=TIGHT)


def test_chain_3_money_is_a_fixed_point() -> None:
    """A third opinion: batch after batch from a mother that cost nothing, until the money settles."""
    fresh, hours, litre = 92.40 + 8.40, 8.40, 0.0
    for _ in range(200):
        litre = (0.92 * (2.000 * litre + fresh) + hours) / (3.780 * 0.98)
    assert chain("mother").costs["mother"].making == pytest.approx(litre, rel=1e-10)


def test_chain_3_wine_equals_this_computation() -> None:
    wine, reckoning = walnut_wine(), chain("mother")
    output, cost = reckoning.ledgers["walnut-wine"].outputs["walnut-wine"], reckoning.costs["walnut-wine"]
    assert output.made == pytest.approx(wine.made, rel=TIGHT)
    assert output.unit.matter is not None
    assert output.unit.matter.abv == pytest.approx(abv(*wine.litre), rel=TIGHT)
    assert cost.materials == pytest.approx(wine.materials, rel=TIGHT)
    assert cost.making == pytest.approx(wine.materials + wine.machine, rel=TIGHT)


def test_chain_3_serve_and_price() -> None:
    m, wine, serve = mother(), walnut_wine(), drink(chain("mother"))
    poured = 0.030 * 1.02
    materials = poured * m.materials[0] + 0.045 * wine.materials
    making = materials + poured * m.machine[0] + 0.045 * wine.machine
    assert serve.cost.materials == pytest.approx(materials, rel=TIGHT)
    assert serve.cost.making == pytest.approx(making, rel=TIGHT)
    multiplier = (1.0 + 0.10 + 0.07) * 1.05
    assert serve.suggestion is not None
    assert float(serve.suggestion.needed_all_in) == pytest.approx(5.0 * materials * multiplier, rel=TIGHT)
    assert serve.suggestion.at.all_in == upward(5.0 * materials * multiplier, 0.10, (0.50, 0.90))
    # in the glass: ice melt is a quarter of the build's volume
    e, w, s = (0.045 * v for v in wine.litre)
    e, w = e + 0.030 * m.litre[0], w + 0.030 * m.litre[1]
    w += 0.25 * litres(e, w, s) * WATER
    assert serve.line is not None
    assert serve.line.on.matter.abv == pytest.approx(abv(e, w, s), rel=TIGHT)
