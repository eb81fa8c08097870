"""Supposed prices: of an ingredient, of all that a supplier sells, of an hour, of a currency, of tax, of the menu."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from costing.book.book import View
from costing.book.buying import ExchangeRate
from costing.book.change import put
from costing.book.levies import Levy
from costing.book.money import digits, rounded
from costing.book.records import DatedPrice, Good, Menu, MenuLine, Quote, Serve, Supplier
from costing.book.selling import Supposed
from costing.ledger.prices import UnitPrice, price_of_quote
from costing.ledger.unit import unit_of_good
from costing.menu.supposed_base import Laid, following, known, moved, unless_same
from costing.tongue import say


def standing(view: View, good: Good) -> Quote:
    """The quote that costs a good on the day: the first that counts. ValueError where none does."""
    unit, _ = unit_of_good(good, view.measures)
    offers = view.offers(good.id)
    for quote in offers:
        if isinstance(price_of_quote(view, quote, unit), UnitPrice):
            return quote
    day = view.day.isoformat()
    if not offers:
        raise ValueError(say("{good} has no quote on {day}: enter one first", good=good.name, day=day))
    house = view.book.house.currency if view.book.house is not None else ""
    foreign = {q.currency for q in offers if q.currency != house} - set(view.rates)
    if foreign:
        code = min(foreign)
        raise ValueError(say("{good} is quoted in {currency}, and nobody said what one {currency} is worth on {day}: "
                             "enter its rate first", good=good.name, currency=code, day=day))  # fmt: skip
    raise ValueError(say("no quote for {good} counts on {day}: see what is wrong with it", good=good.name, day=day))


def pack_text(quote: Quote) -> str:
    """A pack as it is bought: 6 x 0.7 l."""
    return " x ".join([*map(str, quote.levels), quote.content.text])


# Prices of purchases


def price(view: View, supposed: Supposed) -> Laid:
    """An ingredient: the pack of its standing quote."""
    good = known(view.goods, supposed.target, say("ingredient"))
    quote = standing(view, good)
    to = moved(quote.price, supposed)
    unit = say("{currency} for {pack}", currency=quote.currency, pack=pack_text(quote))
    return Laid(
        supposed=supposed, name=good.name, unit=unit, before=quote.price, after=to,
        changes=unless_same(put("quote", replace(quote, price=to), quote)), until=_later_quote(view, quote),
    )  # fmt: skip


def _later_quote(view: View, quote: Quote) -> date | None:
    same = (q.since for q in view.book.all(Quote).values() if (q.good, q.supplier) == (quote.good, quote.supplier))
    return following(view, same)


def supplier(view: View, supposed: Supposed) -> Laid:
    """A supplier: every quote of it that costs something."""
    who = known(view.book.all(Supplier), supposed.target, say("supplier"))
    laid: list[Laid] = []
    for good in view.goods.values():
        if all(q.supplier != who.id for q in view.offers(good.id)):
            continue
        try:
            quote = standing(view, good)
        except ValueError:
            continue  # nothing of this good is in any cost
        if quote.supplier == who.id:
            laid.append(price(view, replace(supposed, sort="price", target=good.id)))
    if not laid:
        raise ValueError(say("no quote of {supplier} costs anything on {day}: choose who sells it now",
                             supplier=who.name, day=view.day.isoformat()))  # fmt: skip
    later = [one.until for one in laid if one.until is not None]
    return Laid(supposed=supposed, name=who.name, changes=tuple(c for one in laid for c in one.changes),
                count=len(laid), until=min(later, default=None))  # fmt: skip


def labour(view: View, supposed: Supposed) -> Laid:
    """An hour of hands: its standing quote."""
    house = view.book.house
    target = supposed.target or (house.labour if house is not None else "")
    if not target:
        raise ValueError(say("the house has no hour of hands yet: choose one in its settings, or name the one meant"))
    good = known(view.goods, target, say("ingredient"))
    if good.layer != "labour":
        raise ValueError(say("{good} is no labour: change its price instead", good=good.name))
    return replace(price(view, replace(supposed, sort="price", target=target)), supposed=supposed)


def rate(view: View, supposed: Supposed) -> Laid:
    """What one of a currency is worth."""
    held = view.rates.get(supposed.target)
    if held is None:
        known = ", ".join(sorted(view.rates)) or say("none")
        raise ValueError(say("there is no rate of {currency} on {day} (there is: {known}): enter one first",
                             currency=supposed.target, day=view.day.isoformat(), known=known))  # fmt: skip
    worth = moved(held.worth, supposed)
    if worth <= 0:
        raise ValueError(say("one {currency} cannot be worth {worth}: it must be above 0", currency=held.currency,
                             worth=f"{worth:f}"))  # fmt: skip
    house = view.book.house.currency if view.book.house is not None else ""
    others = (r.since for r in view.book.all(ExchangeRate).values() if r.currency == held.currency)
    return Laid(
        supposed=supposed, name=held.currency, unit=house, before=held.worth, after=worth,
        changes=unless_same(put("rate", replace(held, worth=worth), held)), until=following(view, others),
    )  # fmt: skip


# What is added to a price, and prices


def levy(view: View, supposed: Supposed) -> Laid:
    """A tax or service, by its name in the terms of the day."""
    house, terms = view.book.house, view.terms
    levies = terms.levies if terms is not None else ()
    found = [levy for levy in levies if levy.name.casefold() == supposed.target.casefold()]
    if house is None or terms is None or len(found) != 1:
        names = ", ".join(levy.name for levy in levies) or say("none")
        if len(found) > 1:
            raise ValueError(say("{n} taxes are called “{name}”: give each a name of its own first", n=len(found),
                                 name=supposed.target))  # fmt: skip
        raise ValueError(say("there is no tax or service “{name}” on {day} (there is: {names})", name=supposed.target,
                             day=view.day.isoformat(), names=names))  # fmt: skip
    old = found[0]
    rate = moved(old.rate, supposed)
    if rate >= 1:
        raise ValueError(
            say("{name} cannot be {rate} %: it must be below 100 %", name=old.name, rate=f"{rate * 100:f}")
        )
    new = Levy(old.name, rate, old.on, old.kept)
    after = replace(terms, levies=tuple(new if levy is old else levy for levy in levies))
    changed = replace(house, terms=tuple(after if t is terms else t for t in house.terms))
    return Laid(
        supposed=supposed, name=old.name, unit="%", before=old.rate * 100, after=new.rate * 100,
        changes=unless_same(put("house", changed, house)), until=following(view, (t.since for t in house.terms)),
    )  # fmt: skip


def lines_of(menu: Menu, serve: str) -> tuple[tuple[int, int], ...]:
    """(section, line) of every place where a drink stands on a menu, both from 0."""
    return tuple((n, m) for n, s in enumerate(menu.sections) for m, x in enumerate(s.lines) if x.serve == serve)


def menu_price(view: View, supposed: Supposed) -> Laid:
    """A printed price, all in, from the day on."""
    menu = known(view.menus, supposed.target, say("menu of the day"))
    serve = known(view.book.all(Serve), supposed.part, say("drink"))
    places = lines_of(menu, serve.id)
    if not places:
        raise ValueError(say("{serve} is not on {menu}: put it there first", serve=serve.name, menu=menu.name))
    after, before, to, later = menu, Decimal(0), Decimal(0), list[date]()
    for n, m in places:
        line = menu.sections[n].lines[m]
        dated = view.price_of(line)
        if dated is None and supposed.how == "by":
            raise ValueError(say("{serve} has no price on {menu} that could change by a share: say what it becomes",
                                 serve=serve.name, menu=menu.name))  # fmt: skip
        before = dated.price if dated is not None else Decimal(0)
        to = _printable(view, moved(before, supposed), supposed)
        after = _with_price(after, n, m, priced(line, to, view.day))
        later += [p.since for p in line.prices if p.since > view.day]
    currency = view.book.house.currency if view.book.house is not None else ""
    return Laid(
        supposed=supposed, name=say("{serve} on {menu}", serve=serve.name, menu=menu.name), unit=currency,
        before=before, after=to, changes=unless_same(put("menu", after, menu)), until=min(later, default=None),
    )  # fmt: skip


def _printable(view: View, price: Decimal, supposed: Supposed) -> Decimal:
    """A price that can be printed: by a share it is rounded to the smallest coin; one that is said must be one."""
    house = view.book.house
    places = digits(house.currency) if house is not None and house.currency else 2
    found = rounded(price, places)
    if supposed.how == "to" and found != price:
        raise ValueError(say("{price} cannot be printed: a price has at most {n} decimals", price=f"{price:f}",
                             n=places))  # fmt: skip
    return found


def priced(line: MenuLine, price: Decimal, since: date) -> MenuLine:
    """A line with a price from a day on, in place of one that begins that day. A price that stands already stays."""
    standing_ = max((p for p in line.prices if p.since <= since), key=lambda p: p.since, default=None)
    if standing_ is not None and standing_.price == price:
        return line
    others = [p for p in line.prices if p.since != since]
    return replace(line, prices=tuple(sorted([*others, DatedPrice(since=since, price=price)], key=lambda p: p.since)))


def _with_price(menu: Menu, section: int, at: int, line: MenuLine) -> Menu:
    old = menu.sections[section]
    new = replace(old, lines=tuple(line if n == at else x for n, x in enumerate(old.lines)))
    return replace(menu, sections=tuple(new if n == section else s for n, s in enumerate(menu.sections)))
