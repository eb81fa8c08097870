"""Density of ethanol-water mixtures and the two ways of stating their strength.

Source: OIML Recommendation R 22 (1975), printed as the annex of Council Directive 76/766/EEC. The density
is a polynomial in the mass fraction and in the distance from 20 C, with 54 coefficients. ABV is always the
ethanol volume at 20 C over the mixture's volume at 20 C, as the same texts define it.
"""

from __future__ import annotations

from math import comb

from costing.liquor.guards import within

REFERENCE_T = 20.0
DENSITY_T_RANGE = (-20.0, 40.0)

# Mass fraction only: A1..A12, lowest power first.
_A = (
    9.982012300e2, -1.929769495e2, 3.891238958e2, -1.668103923e3, 1.352215441e4, -8.829278388e4,
    3.062874042e5, -6.138381234e5, 7.470172998e5, -5.478461354e5, 2.234460334e5, -3.903285426e4,
)  # fmt: skip
# Temperature only: B1..B6, first power first.
_B = (-2.0618513e-1, -5.2682542e-3, 3.6130013e-5, -3.8957702e-7, 7.1693540e-9, -9.9739231e-11)
# Mixed terms: row i multiplies (t - 20)^i, column k multiplies w^k, both starting at the first power.
_C = (
    (
        1.693443461530087e-1, -1.046914743455169e1, 7.196353469546523e1, -7.047478054272792e2,
        3.924090430035045e3, -1.210164659068747e4, 2.248646550400788e4, -2.605562982188164e4,
        1.852373922069467e4, -7.420201433430137e3, 1.285617841998974e3,
    ),
    (
        -1.193013005057010e-2, 2.517399633803461e-1, -2.170575700536993, 1.353034988843029e1,
        -5.029988758547014e1, 1.096355666577570e2, -1.422753946421155e2, 1.080435942856230e2,
        -4.414153236817392e1, 7.442971530188783,
    ),
    (
        -6.802995733503803e-4, 1.876837790289664e-2, -2.002561813734156e-1, 1.022992966719220,
        -2.895696483903638, 4.810060584300675, -4.672147440794683, 2.458043105903461,
        -5.411227621436812e-1,
    ),
    (4.075376675622027e-6, -8.763058573471110e-6, 6.515031360099368e-6, -1.515784836987210e-6),
    (-2.788074354782409e-8, 1.345612883493354e-8),
)  # fmt: skip


def _about_half() -> tuple[float, ...]:
    """The polynomial of _A in powers of (w - 1/2), lowest first.

    Near w = 1 the powers of w cancel most digits of one another and leave noise of 1e-13; these do not.
    The shift is done in whole numbers (the coefficients have at most seven decimals): nothing else changes.
    """
    decimals, top = 10**7, len(_A) - 1
    whole = [round(a * decimals) for a in _A]
    return tuple(
        sum(whole[j] * comb(j, k) << (top - (j - k)) for j in range(k, top + 1)) / (decimals << top)
        for k in range(top + 1)
    )


_HALF = _about_half()
_HALF_DOWN = _HALF[::-1]
_SLOPE_DOWN = tuple(k * a for k, a in enumerate(_HALF))[:0:-1]


def density_20(w: float) -> float:
    """Density at 20 C of a mass fraction known to lie in 0..1; the unchecked inner form of `density`."""
    v = w - 0.5
    rho = 0.0
    for a in _HALF_DOWN:
        rho = rho * v + a
    return rho


# The formula's own values of the pure liquids (the directive prints 998.20123 and 789.24).
WATER_20 = density_20(0.0)
ETHANOL_20 = density_20(1.0)


def density(w: float, t: float = REFERENCE_T) -> float:
    """Density of an ethanol-water mixture in kg/m3.

    w: mass fraction of ethanol, 0..1. t: temperature in C, -20..40.
    The formula knows nothing of ice: a mixture below its freezing line gives a number without a meaning.
    Raises ValueError outside the ranges. Source: OIML R 22 (1975); stated uncertainty a few 0.01 kg/m3.
    """
    within("mass fraction of ethanol", w, 0.0, 1.0)
    rho = density_20(w)
    if t == REFERENCE_T:
        return rho
    within("temperature in C", t, *DENSITY_T_RANGE)
    d = t - REFERENCE_T
    power = 1.0
    for b, row in zip(_B, (*_C, ()), strict=True):
        power *= d
        mixed = 0.0
        for c in reversed(row):
            mixed = (mixed + c) * w
        rho += power * (b + mixed)
    return rho


def abv_from_abw(w: float) -> float:
    """ABV (fraction 0..1, at 20 C) of an ethanol-water mixture of mass fraction w (0..1).

    Raises ValueError outside 0..1. Source: definition of alcoholic strength by volume in OIML R 22.
    """
    within("mass fraction of ethanol", w, 0.0, 1.0)
    return w * density_20(w) / ETHANOL_20


def abw_from_abv(abv: float) -> float:
    """Mass fraction of ethanol (0..1) of an ethanol-water mixture of the given ABV (fraction 0..1, at 20 C).

    The inverse of `abv_from_abw` to about 1e-15. Raises ValueError outside 0..1.
    """
    within("ABV as a fraction", abv, 0.0, 1.0)
    if abv in (0.0, 1.0):
        return float(abv)
    target = abv * ETHANOL_20
    low, high = 0.0, 1.0
    w = abv * (0.79 + 0.21 * abv)
    for _ in range(60):
        rho = density_20(w)
        gap = w * rho - target
        if gap > 0.0:
            high = w
        else:
            low = w
        slope = 0.0
        for s in _SLOPE_DOWN:
            slope = slope * (w - 0.5) + s
        new = w - gap / (rho + w * slope)
        if not low <= new <= high:  # Newton left the bracket: halve it instead
            new = 0.5 * (low + high)
        if abs(new - w) <= 4e-16:
            return new
        w = new
    return w
