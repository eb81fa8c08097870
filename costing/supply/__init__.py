"""What comes in from outside: pasted measures and recipes, and the small way into the book."""

from costing.supply.build import Draft, Staged, to_serve, to_stage
from costing.supply.lines import PastedLine, read_line
from costing.supply.matching import Candidate, Named, candidates, catalogue, choose
from costing.supply.measure import Measure, parse_measure, to_fact
from costing.supply.recipe import PastedRecipe, read_recipe, read_recipes
from costing.supply.small import juice_of, small_good, small_preparation, twist_of

__all__ = [
    "Candidate",
    "Draft",
    "Measure",
    "Named",
    "PastedLine",
    "PastedRecipe",
    "Staged",
    "candidates",
    "catalogue",
    "choose",
    "juice_of",
    "parse_measure",
    "read_line",
    "read_recipe",
    "read_recipes",
    "small_good",
    "small_preparation",
    "to_fact",
    "to_serve",
    "to_stage",
    "twist_of",
]
