"""Planning a test of a price: how many drinks, how many weeks, what could be seen, and when to look.

Two arms sell the same menu, one at the old price and one at the new; what is compared is the share of a drink among all
drinks of its arm. Drinks per arm, with p = (p1 + p2) / 2 and q = 1 - p:

    n = (z(a/2) sqrt(2 p q) + z(b) sqrt(p1 q1 + p2 q2))^2 / (p1 - p2)^2

Source: Fleiss, Statistical Methods for Rates and Proportions, chapter on sample sizes, without correction for
continuity; ``careful`` adds that of Fleiss, Tytun and Ury (Biometrics, 1980): n/4 (1 + sqrt(1 + 4 / (n |p1 - p2|)))^2.

The stop rule is fixed ahead: of tests that are looked into ten times and ended at the first difference, 19 % find one
where there is none, not 5 % (Armitage, McPherson and Rowe, 1969, from memory). Either nobody looks before all drinks
are sold, or once, half way, by O'Brien and Fleming (Biometrics, 1979): bounds c sqrt(2) and c on |z|, c such that both
looks together err with chance a.
"""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from math import ceil, exp, pi, sqrt
from statistics import NormalDist

from costing.book.money import to_float
from costing.pricing.suggest import break_even_volume
from costing.tongue import say

ALPHA, POWER = 0.05, 0.80
NORMAL = NormalDist()


@dataclass(frozen=True, slots=True, kw_only=True)
class Looks:
    """|z| that ends the test at the look half way (``half``) and at the end (``full``), and by how much more drinks it
    takes than a test that nobody looks into (``more``, a factor)."""

    half: float
    full: float
    more: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceTest:
    """A test to be run: shares of the drink to be told apart, drinks in each of two arms, and ``weeks`` at the bar's
    volume (None: not known). ``looks`` is the stop rule with one look half way; without it nobody looks before."""

    share: float
    other: float
    alpha: float
    power: float
    per_arm: int
    weeks: int | None
    looks: Looks | None = None

    @property
    def drinks(self) -> int:
        """Drinks in both arms."""
        return 2 * self.per_arm

    @property
    def critical(self) -> float:
        """|z| beyond which the difference is real, once all drinks are sold."""
        return NORMAL.inv_cdf(1 - self.alpha / 2) if self.looks is None else self.looks.full


def sample_size(
    share: float, other: float, *, alpha: float = ALPHA, power: float = POWER, careful: bool = False
) -> int:
    """Drinks per arm that tell two shares apart, ``alpha`` two-sided. ValueError for shares that are not strictly
    between 0 and 1 or are equal, and for chances that make no test."""
    _checked(share, other, alpha, power)
    mean = (share + other) / 2
    a, b = NORMAL.inv_cdf(1 - alpha / 2), NORMAL.inv_cdf(power)
    apart = abs(share - other)
    root = a * sqrt(2 * mean * (1 - mean)) + b * sqrt(share * (1 - share) + other * (1 - other))
    plain = (root / apart) ** 2
    return ceil(plain / 4 * (1 + sqrt(1 + 4 / (plain * apart))) ** 2) if careful else ceil(plain - 1e-9)


def plan(
    share: float,
    other: float,
    *,
    per_week: float | None = None,
    alpha: float = ALPHA,
    power: float = POWER,
    careful: bool = False,
    look: bool = False,
) -> PriceTest:
    """A test that tells ``share`` from ``other``; ``per_week`` are all drinks of the competing set in both arms. With
    ``look`` there is one half way. ValueError as in ``sample_size``, and for no drinks a week."""
    each = sample_size(share, other, alpha=alpha, power=power, careful=careful)
    looks = one_look(alpha, power) if look else None
    if looks is not None:
        each = ceil(each * looks.more)
    if per_week is not None and per_week <= 0:
        raise ValueError(say("{n} drinks a week test nothing: it must be above 0", n=per_week))
    weeks = None if per_week is None else ceil(2 * each / per_week)
    return PriceTest(
        share=share, other=other, alpha=alpha, power=power, per_arm=each, weeks=weeks, looks=looks
    )  # fmt: skip


def detectable(
    share: float,
    weeks: float,
    per_week: float,
    *,
    up: bool = False,
    alpha: float = ALPHA,
    power: float = POWER,
    careful: bool = False,
    look: bool = False,
) -> float | None:
    """The share nearest to ``share``, below it or with ``up`` above, that so many weeks would tell from it, with
    ``look`` in a test that is looked into half way; None where they would tell none. ValueError for less than one
    drink an arm."""
    each = weeks * per_week / 2
    if each < 1:
        raise ValueError(say("{weeks} weeks of {n} drinks are less than one drink an arm", weeks=weeks, n=per_week))
    far, near = (1.0 if up else 0.0), share  # the nearer the shares, the more drinks it takes
    more = one_look(alpha, power).more if look else 1.0

    def told(other: float) -> bool:
        return ceil(more * sample_size(share, other, alpha=alpha, power=power, careful=careful)) <= each

    if not told(far + (near - far) * 1e-9):
        return None
    for _ in range(45):
        middle = (far + near) / 2
        far, near = (middle, near) if told(middle) else (far, middle)
    return far


def break_even_share(share: float, net_from: Decimal, net_to: Decimal, cost: Decimal) -> float | None:
    """The share at which the new price earns what the old one did, all other drinks selling as before: above it the
    change pays. Where it sells v more, all drinks of the arm are 1 + share v as many. None where no volume breaks
    even."""
    volume = break_even_volume(net_from, net_to, cost)
    if volume is None:
        return None
    move = to_float(volume)
    return share * (1.0 + move) / (1.0 + share * move)


def one_look(alpha: float = ALPHA, power: float = POWER) -> Looks:
    """O'Brien and Fleming's bounds for one look half way and one at the end."""
    _checked(0.1, 0.2, alpha, power)
    c = _root(lambda x: alpha - (1 - _stays(x * sqrt(2), x, 0.0)), 1.0, 8.0)
    plain = NORMAL.inv_cdf(1 - alpha / 2) + NORMAL.inv_cdf(power)
    drift = _root(lambda d: (1 - _stays(c * sqrt(2), c, d)) - power, 0.0, 12.0)
    return Looks(half=c * sqrt(2), full=c, more=(drift / plain) ** 2)


def _stays(half: float, full: float, drift: float) -> float:
    """The chance that neither look ends the test, where z at the end has mean ``drift``: at half way it has
    drift / sqrt(2), and z at the end is (z half way + an independent one like it) / sqrt(2). Simpson's rule."""
    steps = 400
    width = 2 * half / steps
    at = drift / sqrt(2)
    whole = 0.0
    for n in range(steps + 1):
        z = -half + n * width
        weight = 1 if n in (0, steps) else 4 if n % 2 else 2
        inside = NORMAL.cdf(full * sqrt(2) - z - at) - NORMAL.cdf(-full * sqrt(2) - z - at)
        whole += weight * exp(-((z - at) ** 2) / 2) / sqrt(2 * pi) * inside
    return whole * width / 3


def _root(rising: Callable[[float], float], low: float, high: float) -> float:
    """Where a function that rises through 0 does so, by bisection."""
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (low, middle) if rising(middle) > 0 else (middle, high)
    return (low + high) / 2


def _checked(share: float, other: float, alpha: float, power: float) -> None:
    for value in (share, other):
        if not 0 < value < 1:
            raise ValueError(say("a share of {share} must lie between 0 and 1 (0.1 is 10 %)", share=value))
    if share == other:
        raise ValueError(say("two shares of {share} cannot be told apart", share=share))
    if not 0 < alpha < 0.5 or not 0.5 <= power < 1:
        raise ValueError(
            say("a chance of error of {alpha} must lie between 0 and 0.5, and a power of {power} from 0.5 to below 1",
                alpha=alpha, power=power)
        )  # fmt: skip
