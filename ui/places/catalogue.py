"""The five places, in the order the liquid goes. Each is imported when it is first wanted."""

from collections.abc import Callable
from functools import partial
from importlib import import_module

from costing.tongue import say
from ui.desk import Desk
from ui.frame.window import Maker
from ui.places.base import Place

MODULES = ("cellar", "stillroom", "bar", "menu", "month")


def imports() -> list[Callable[[], object]]:
    """What imports each place; half of the time to show one the first time goes there."""
    return [partial(import_module, f"ui.places.{module}") for module in MODULES]


def _maker(module: str, name: str) -> Maker:
    def make(desk: Desk) -> Place:
        place = getattr(import_module(f"ui.places.{module}"), name)(desk)
        if not isinstance(place, Place):
            raise TypeError(f"ui.places.{module}.{name} is not a place")
        return place

    return make


def places() -> list[tuple[str, str, str, tuple[str, ...], Maker]]:
    """(name, title, what is in it, the kinds of record it keeps, how it is made)."""
    return [
        (
            "cellar", say("Cellar"), say("Suppliers, ingredients and what they cost"),
            ("good", "quote", "supplier", "yieldtest", "file", "purchase", "claim", "alias", "columnmap", "order",
             "rate", "arriving"),
            _maker("cellar", "CellarPlace"),
        ),
        (
            "stillroom", say("Stillroom"), say("Preparations and their losses, batches"),
            ("preparation", "batch", "equipment"), _maker("stillroom", "StillroomPlace"),
        ),
        (
            "bar", say("Bar"), say("Drinks as they are served"),
            ("serve", "technique", "glass"), _maker("bar", "BarPlace"),
        ),
        (
            "menu", say("Menu"), say("Prices and targets, what was sold, what to keep and what to charge"),
            ("menu", "sales", "button", "till", "scenario"), _maker("menu", "MenuPlace"),
        ),
        ("month", say("Month"), say("Reports to print and send"), ("report",), _maker("month", "MonthPlace")),
    ]  # fmt: skip
