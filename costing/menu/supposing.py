"""What one supposed change means on a day: which record it moves, and from which figure to which.

A thing that is not there, or that no figure of the day stands for, is a ValueError that names it and what to do.
"""

from collections.abc import Callable, Mapping

from costing.book.book import View
from costing.book.records import Serve
from costing.book.selling import ChangeSort, Supposed
from costing.menu import supposed_prices, supposed_recipes
from costing.menu.supposed_base import Laid, known
from costing.menu.supposed_prices import lines_of
from costing.tongue import say


def lay(view: View, supposed: Supposed) -> Laid:
    """One supposed change on the book as the view has it. ValueError where it cannot be laid."""
    return _SORTS[supposed.sort](view, supposed)


def _volume(view: View, supposed: Supposed) -> Laid:
    if not supposed.target:
        return Laid(supposed=supposed, name=say("everything"))
    serve = known(view.book.all(Serve), supposed.target, say("drink"))
    if all(not lines_of(menu, serve.id) for menu in view.menus.values()):
        raise ValueError(say("{serve} is on no menu on {day}: nothing can be supposed of how many are sold",
                             serve=serve.name, day=view.day.isoformat()))  # fmt: skip
    return Laid(supposed=supposed, name=serve.name)


_SORTS: Mapping[ChangeSort, Callable[[View, Supposed], Laid]] = {
    "price": supposed_prices.price, "supplier": supposed_prices.supplier, "levy": supposed_prices.levy,
    "labour": supposed_prices.labour, "rate": supposed_prices.rate, "menu price": supposed_prices.menu_price,
    "figure": supposed_recipes.figure, "dose": supposed_recipes.dose, "volume": _volume,
}  # fmt: skip
