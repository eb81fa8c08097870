"""The five places, in the order the liquid goes. Each is imported when it is first wanted."""

from importlib import import_module

from costing.tongue import say
from ui.desk import Desk
from ui.frame.window import Maker
from ui.places.base import Place


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
            ("good", "quote", "supplier", "yieldtest"), _maker("cellar", "CellarPlace"),
        ),
        (
            "stillroom", say("Stillroom"), say("Preparations and their losses, batches"),
            ("preparation", "batch", "equipment"), _maker("stillroom", "StillroomPlace"),
        ),
        (
            "bar", say("Bar"), say("Drinks as they are served"),
            ("serve", "technique", "glass"), _maker("bar", "BarPlace"),
        ),
        ("menu", say("Menu"), say("Prices and targets"), ("menu",), _maker("menu", "MenuPlace")),
        ("month", say("Month"), say("Reports to print and send"), ("report",), _maker("month", "MonthPlace")),
    ]  # fmt: skip
