"""From cost to price: taxes and service in order, price points, targets, and what a move needs to break even."""

from costing.book.levies import Levy, Policy, PricePoints
from costing.pricing.levies import Split, all_in, net_of, split
from costing.pricing.menu import PricedServe, priced_serves
from costing.pricing.suggest import (
    Candidate,
    Suggestion,
    break_even_volume,
    margin,
    next_point,
    point_below,
    pour_cost,
    suggest,
)

__all__ = [
    "Candidate",
    "Levy",
    "Policy",
    "PricePoints",
    "PricedServe",
    "Split",
    "Suggestion",
    "all_in",
    "break_even_volume",
    "margin",
    "net_of",
    "next_point",
    "point_below",
    "pour_cost",
    "priced_serves",
    "split",
    "suggest",
]
