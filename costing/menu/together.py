"""The menu judged with everything that is known: what was sold, how sure costs are, targets, and since when drinks are
on it. Terminal, window and reports all stand on this one call."""

from collections.abc import Callable

from costing.book.selling import Judging
from costing.ledger.reckon import Reckoning
from costing.menu.judged import Section, beside_of, judge
from costing.menu.mix import Mix
from costing.pricing.draws import cost_draws


def judge_all(
    reckoning: Reckoning, mix: Mix, judging: Judging | None = None, bottleneck: str = "",
    tell: Callable[[int, int, str], None] | None = None,
) -> tuple[Section, ...]:  # fmt: skip
    """Every section of every menu in force, as the house judges (or as ``judging`` says), with the ranges of costs in
    the chances. ``bottleneck`` is the good that is the hour of the machine that is short. Takes some tenths of a
    second for a bar; ``tell`` (done, of, what) may raise to stop it."""
    house = reckoning.view.book.house
    judging = judging or (house.judging if house is not None else Judging())
    if tell is not None:
        tell(0, 2, "")
    costs = cost_draws(reckoning, [item.serve for item in mix.items], layers=mix.base) if mix.items else None
    if tell is not None:
        tell(1, 2, "")
    return judge(mix, judging, costs=costs, bottleneck=bottleneck, beside=beside_of(reckoning))
