"""Ways to set a price that textbooks print, and what they say of a change in it. Net prices; shares are fractions.

The methods are set side by side because the method, not the cost, moves the price most. Sources: Dittmer and Keefe,
Principles of Food, Beverage, and Labor Cost Controls; the worked problems are those that the tests name.
"""

from decimal import Decimal

from costing.book.money import rounded
from costing.pricing.levies import Number, decimal
from costing.pricing.suggest import break_even_volume
from costing.tongue import say


def multiplier(target: Number, *, textbook: bool = False) -> Decimal:
    """By how much a cost is multiplied for a pour cost of ``target``: 1 / target.

    ``textbook`` rounds it to two decimals, as it is done on paper: 37.5 % is then 2.67, and the price 0.13 % too high.
    It is never the default.
    """
    share = _share(target)
    return rounded(1 / share, 2) if textbook else 1 / share


def by_multiplier(cost: Number, target: Number, *, textbook: bool = False) -> Decimal:
    """Cost times the multiplier; ``textbook`` as above. The same as cost over target where nothing is rounded."""
    return decimal(cost) * multiplier(target, textbook=textbook) if textbook else decimal(cost) / _share(target)


def by_prime_ingredient(main: Number, times: Number) -> Decimal:
    """The cost of the main ingredient alone, times a figure that stands for all the rest."""
    return decimal(main) * decimal(times)


def by_ratio(cost: Number, *, other: Number, profit: Number, spent: Number, textbook: bool = False) -> Decimal:
    """Cost times 1 + ratio, where the ratio is (all other costs + profit) over the cost of what was sold, of one
    period. ``textbook`` rounds the part that is added, as it is done on paper. ValueError where nothing was spent."""
    if decimal(spent) <= 0:
        raise ValueError(say("a ratio to a cost of {spent} cannot be: it must be above 0", spent=spent))
    ratio = (decimal(other) + decimal(profit)) / decimal(spent)
    added = decimal(cost) * (rounded(ratio, 2) if textbook else ratio)
    return decimal(cost) + (rounded(added, 2) if textbook else added)


def by_contribution(cost: Number, *, other: Number, guests: Number, textbook: bool = False) -> Decimal:
    """Cost plus what every guest must contribute: (all other costs + profit) over the guests of one period.
    ``textbook`` rounds that to two decimals. ValueError for no guests."""
    if decimal(guests) <= 0:
        raise ValueError(say("{guests} guests cannot contribute anything: it must be above 0", guests=guests))
    each = decimal(other) / decimal(guests)
    return decimal(cost) + (rounded(each, 2) if textbook else each)


def by_prime_cost(cost: Number, *, labour: Number, target: Number) -> Decimal:
    """Simple prime cost: cost and the labour of one guest or drink, over the share of sales that both may take."""
    return (decimal(cost) + decimal(labour)) / _share(target)


def base_sales(*, profit: Number, fixed: Number, variable: Number) -> Decimal:
    """Sales that a period needs: (profit before tax + fixed costs) / (1 - share of sales that varies with them)."""
    share = decimal(variable)
    if not 0 <= share < 1:
        raise ValueError(say("a variable share of {share} must lie from 0 to below 1 (0.3 is 30 %)", share=variable))
    return (decimal(profit) + decimal(fixed)) / (1 - share)


def base_price(sales: Number, *, covers: Number) -> Decimal:
    """The average a guest must spend. For a bar covers are seats x turns x open days x occupancy."""
    if decimal(covers) <= 0:
        raise ValueError(say("{covers} covers cannot spend anything: it must be above 0", covers=covers))
    return decimal(sales) / decimal(covers)


def midpoint_elasticity(price_from: Number, price_to: Number, sold_from: Number, sold_to: Number) -> Decimal:
    """Change in number sold over change in price, each as a share of the mean of before and after: the same whichever
    way it is read. Negative where a higher price sells less. ValueError where a price or both numbers do not move."""
    p0, p1, q0, q1 = (decimal(x) for x in (price_from, price_to, sold_from, sold_to))
    if p0 == p1 or p0 + p1 <= 0 or q0 + q1 <= 0 or min(p0, p1, q0, q1) < 0:
        raise ValueError(say("an elasticity needs two different prices and a number sold, none of them below 0"))
    return ((q1 - q0) / (q0 + q1)) / ((p1 - p0) / (p0 + p1))


def lerner_price(cost: Number, elasticity: Number) -> Decimal:
    """The net price that earns most where demand has one elasticity throughout: (p - c) / p = 1 / |e|.

    ``cost`` is the full marginal cost, what the bottleneck could have earned elsewhere with it. ValueError for |e| of 1
    or less, where dearer always earns more and no price is best: published elasticities of alcohol (0.3 to 0.8) are a
    market's and belong there.
    """
    size = abs(decimal(elasticity))
    if size <= 1:
        raise ValueError(
            say("an elasticity of {size} has no finite optimum: above 1 there is one. Figures of a whole market lie "
                "below it and say little of one bar", size=size)
        )  # fmt: skip
    return decimal(cost) * size / (size - 1)


def break_even_elasticity(net_from: Number, net_to: Number, cost: Number) -> Decimal | None:
    """The size of elasticity at which a move pays nothing: break-even volume over the change in price, both as shares
    of what was before. None where no volume breaks even or the price does not move."""
    volume = break_even_volume(net_from, net_to, cost)
    move = decimal(net_to) / decimal(net_from) - 1 if decimal(net_from) else Decimal(0)
    return None if volume is None or not move else abs(volume / move)


def _share(value: Number) -> Decimal:
    share = decimal(value)
    if not 0 < share <= 1:
        raise ValueError(say("a share of {value} must lie above 0 and at most 1 (0.2 is 20 %)", value=value))
    return share
