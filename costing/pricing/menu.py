"""Every serve of the day with its cost, its printed price and what it should be sold at."""

from dataclasses import dataclass
from decimal import Decimal

from costing.book.book import View
from costing.book.levies import Policy
from costing.book.money import exact
from costing.book.records import MenuLine, Serve, ServeVersion, Terms
from costing.ledger.costs import Cost
from costing.ledger.lines import Line
from costing.ledger.reckon import Reckoning
from costing.pricing.suggest import Candidate, Suggestion, break_even_volume, candidate, suggest


@dataclass(frozen=True, slots=True)
class PricedServe:
    """One serve, on one section of a menu ("" when it is on none).

    ``cost`` is per drink by layer; ``base`` is the sum over the house's base layers, which pour cost and suggestion
    stand on. ``price`` is None where none is printed, or the house has no terms yet. ``suggestion`` is None while a
    component is unpriced, because then the cost is only "at least", and where rebates make it less than nothing.
    ``move_volume`` is the break-even volume change of going to the suggestion.
    """

    serve: Serve
    version: ServeVersion
    menu: str
    section: str
    cost: Cost
    base: float
    line: Line | None
    policy: Policy
    price: Candidate | None
    suggestion: Suggestion | None
    move_volume: Decimal | None
    assumed_share: float

    @property
    def on_target(self) -> bool | None:
        """Whether the printed price meets the target; None where that cannot be said."""
        if self.price is None or self.suggestion is None:
            return None
        return self.price.net >= self.suggestion.needed_net - Decimal("1e-9")


def priced_serves(reckoning: Reckoning) -> tuple[PricedServe, ...]:
    """Serves in menu order, then those on no menu."""
    view = reckoning.view
    out: list[PricedServe] = []
    seen: set[str] = set()
    for menu in view.menus.values():
        for section in menu.sections:
            for line in section.lines:
                if line.serve in view.serves:
                    seen.add(line.serve)
                    out.append(_priced(reckoning, line, menu.id, section.name, line.policy or section.policy))
    for ident in view.serves:
        if ident not in seen:
            out.append(_priced(reckoning, MenuLine(serve=ident), "", "", None))
    return tuple(out)


def _priced(reckoning: Reckoning, line: MenuLine, menu: str, section: str, policy: Policy | None) -> PricedServe:
    view: View = reckoning.view
    serve, version = view.serves[line.serve]
    terms = view.terms
    cost = reckoning.serve_cost(serve.id)
    standing = terms or Terms(since=view.day)
    levies, base = standing.levies, cost.of(standing.base)
    aim = policy or standing.policy
    printed = view.price_of(line)
    price = candidate(exact(base), printed.price, levies) if printed and terms else None
    suggestion = None
    if cost.complete and terms is not None and base >= 0.0:
        suggestion = suggest(exact(base), aim, levies, terms.points)
    built = reckoning.serves.get(serve.id)
    return PricedServe(
        serve=serve,
        version=version,
        menu=menu,
        section=section,
        cost=cost,
        base=base,
        line=built,
        policy=aim,
        price=price,
        suggestion=suggestion,
        move_volume=(break_even_volume(price.net, suggestion.at.net, exact(base)) if price and suggestion else None),
        assumed_share=reckoning.assumed_share(built.carried) if built else 0.0,
    )
