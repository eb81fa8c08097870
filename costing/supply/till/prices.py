"""What the house prints and what it keeps of it, by day: prices on menus, tax and service."""

from datetime import date
from decimal import Decimal

from costing.book.book import Book
from costing.book.levies import Levy
from costing.book.money import digits
from costing.book.records import Menu
from costing.pricing.levies import all_in, net_of

ZERO = Decimal(0)


class HousePrices:
    """Printed prices and terms of a book, remembered by day."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._levies: dict[date, tuple[Levy, ...]] = {}
        self._printed: dict[date, dict[tuple[str, str], Decimal]] = {}

    @property
    def places(self) -> int:
        """Decimal places of the house's money."""
        return digits(self._book.house.currency) if self._book.house is not None and self._book.house.currency else 2

    def levies(self, day: date) -> tuple[Levy, ...]:
        """Tax and service of a day; those of the first terms for a day before them."""
        found = self._levies.get(day)
        if found is None:
            terms = self._book.house.terms if self._book.house is not None else ()
            begun = [one for one in terms if one.since <= day] or sorted(terms, key=lambda one: one.since)[:1]
            found = self._levies[day] = max(begun, key=lambda one: one.since).levies if begun else ()
        return found

    def net(self, paid: Decimal, day: date) -> Decimal:
        """What the house keeps of an all-in price."""
        return net_of(paid, self.levies(day))

    def all_in(self, net: Decimal, day: date) -> Decimal:
        """The all-in price that leaves the house ``net``."""
        return all_in(net, self.levies(day))

    def on_menus(self, day: date) -> dict[tuple[str, str], Decimal]:
        """The all-in price of (menu, serve) on every menu of a day, in menu order."""
        found = self._printed.get(day)
        if found is None:
            found = self._printed[day] = {}
            for menu in self._book.all(Menu).values():
                if (menu.since is not None and day < menu.since) or (menu.until is not None and day > menu.until):
                    continue
                for section in menu.sections:
                    for line in section.lines:
                        begun = [one for one in line.prices if one.since <= day]
                        if begun:
                            price = max(begun, key=lambda one: one.since).price
                            found.setdefault((menu.id, line.serve), price)
        return found

    def printed(self, serve: str, menu: str, day: date) -> Decimal | None:
        """The price of a serve on a menu, else on the first menu that prints one; None where none does."""
        prices = self.on_menus(day)
        if (menu, serve) in prices:
            return prices[menu, serve]
        return next((price for (_, other), price in prices.items() if other == serve), None)

    def every(self, serve: str, day: date) -> tuple[Decimal, ...]:
        """The prices of a serve on all menus of a day."""
        return tuple(price for (_, other), price in self.on_menus(day).items() if other == serve)
