"""Lines of a menu as rows to be repriced, from the one table that the menu is judged by."""

from collections.abc import Container, Mapping
from dataclasses import dataclass
from decimal import Decimal

from costing.book.levies import PricePoints
from costing.book.money import exact
from costing.book.records import MenuLine, Terms
from costing.ledger.reckon import Reckoning
from costing.menu.mix import Item, Mix
from costing.menu.reprice_record import Doubt, Pair, PriceRow
from costing.menu.size_order import size_order

PAID = 0.02
"""What was paid on average may differ from the printed price's net by this share before it is worth a word."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MenuRows:
    """Rows in menu order with the house's price points, size order, and what to know of them. ``places`` are (menu,
    section, serve) by key."""

    rows: tuple[PriceRow, ...]
    places: Mapping[str, tuple[str, str, str]]
    points: PricePoints
    order: tuple[Pair, ...]
    doubts: tuple[Doubt, ...]


def line_key(menu: str, section: str, line: MenuLine) -> str:
    """What a line of a menu is called here: as the row of the mix is, and its own id behind it where it has one."""
    key = f"{menu}/{section}/{line.serve}"
    return f"{key}#{line.id}" if line.id else key


def menu_rows(
    reckoning: Reckoning,
    mix: Mix,
    *,
    menu: str | None = None,
    section: str | None = None,
    held: Container[str] = (),
) -> MenuRows:
    """The printed lines of the mix, or of one menu or section of it. ``held`` are keys or serves whose price stays
    beside those that the book holds. Prices stand on what is printed: what was really paid, after discounts or at an
    older price, does not move them, and is a doubt where it is far from that. Lines without a price are left out."""
    view = reckoning.view
    terms = view.terms or Terms(since=view.day)
    rows, places = list[PriceRow](), dict[str, tuple[str, str, str]]()
    unpriced, paid, later = list[str](), list[str](), list[str]()
    for (where, part, line), item in zip(_lines(reckoning), mix.items, strict=True):
        if (menu is not None and where != menu) or (section is not None and part != section):
            continue
        if item.listed is None:
            unpriced.append(item.name)
            continue
        key = line_key(where, part, line)
        rows.append(_row(key, item, line, terms, key in held or line.serve in held))
        places[key] = where, part, line.serve
        if item.sold and item.listed_net and abs(item.net / float(item.listed_net) - 1.0) > PAID:
            paid.append(item.name)
        if any(price.since > view.day for price in line.prices):
            later.append(item.name)
    doubts = (
        Doubt(code="no-price", names=tuple(unpriced)),
        Doubt(code="paid-less", names=tuple(paid)),
        Doubt(code="later-price", names=tuple(later)),
    )
    return MenuRows(
        rows=tuple(rows), places=places, points=terms.points, order=_order(reckoning, places),
        doubts=tuple(doubt for doubt in doubts if doubt.names),
    )  # fmt: skip


def _lines(reckoning: Reckoning) -> list[tuple[str, str, MenuLine]]:
    view = reckoning.view
    return [
        (menu.id, section.name, line)
        for menu in view.menus.values()
        for section in menu.sections
        for line in section.lines
        if line.serve in view.serves
    ]


def _row(key: str, item: Item, line: MenuLine, terms: Terms, held: bool) -> PriceRow:
    return PriceRow(
        key=key, name=item.name, cost=exact(item.cost), sold=exact(item.sold), price=item.listed or Decimal(0),
        levies=terms.levies, held=line.held or held, least=line.least, most=line.most, complete=item.complete,
    )  # fmt: skip


def _order(reckoning: Reckoning, places: Mapping[str, tuple[str, str, str]]) -> tuple[Pair, ...]:
    """Size order among lines of one menu: another menu may be another bar, or another hour."""
    keys: dict[tuple[str, str], list[str]] = {}
    for key, (menu, _, serve) in places.items():
        keys.setdefault((menu, serve), []).append(key)
    menus = dict.fromkeys(menu for menu, _, _ in places.values())
    return tuple(
        (a, b)
        for larger, smaller in size_order(reckoning)
        for menu in menus
        for a in keys.get((menu, larger), ())
        for b in keys.get((menu, smaller), ())
    )
