"""Why a figure is what it is: trails from it down to the supplier's line, made anew whenever the book moves."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Protocol

from costing.book.fact import Fact
from costing.book.records import LAYERS, Quote, Serve
from costing.ledger import Cost, why
from costing.ledger.prices import landed
from costing.ledger.rows import Carried
from costing.pricing import PricedServe
from costing.report.method_words import how_said
from costing.report.quotes import pack_words
from costing.report.words import layer_word
from costing.tongue import say
from ui.desk import Where
from ui.document import Figures
from ui.format import Format, own
from ui.ranges import range_of, range_words
from ui.where import said_of, where_of


@dataclass(frozen=True, slots=True)
class Line:
    """One row of a trail: what, its figure, how it is known, and where it is kept."""

    text: str
    figure: str = ""
    mark: str = "computed"
    depth: int = 0
    where: Where | None = None


@dataclass(frozen=True, slots=True)
class Trail:
    """A figure and what it stands on."""

    title: str
    figure: str
    lines: tuple[Line, ...]


class Subject(Protocol):
    """A figure that can be explained. Subjects are small and hold ids only, so that they outlive a change."""

    def trail(self, figures: Figures, form: Format) -> Trail:
        """The trail on the book and day of ``figures``."""


@dataclass(frozen=True, slots=True)
class CostOfServe:
    """The cost of one drink."""

    serve: str

    def trail(self, figures: Figures, form: Format) -> Trail:
        """The cost that pour cost stands on; with making and by layer, then down to the suppliers' lines."""
        reckoning = figures.reckoning
        found = figures.view.serves.get(self.serve)
        if found is None:
            return Trail(say("{serve} is not made on this day", serve=own(_called(figures, self.serve))), "", ())
        cost = reckoning.serve_cost(self.serve)
        line = reckoning.serves.get(self.serve)
        terms = figures.view.terms
        base = cost.of(terms.base if terms is not None else ("materials",))
        lines = _ranged(figures, form, self.serve, "serve")
        lines.append(Line(say("with making"), form.least(form.money(cost.making), cost.complete)))
        lines += _layers(cost, figures, form)
        if line is not None:
            lines.append(_lost(reckoning.lost_money(line.carried), cost, form))
            lines.append(_assumed(reckoning.assumed_share(line.carried), form))
            lines += _down(figures, form, line.carried)
        said = form.least(form.money(base), cost.complete)
        return Trail(say("One {serve} costs", serve=own(found[0].name)), said, tuple(lines))


@dataclass(frozen=True, slots=True)
class UnitCost:
    """What one litre, kilogram or piece of a good, a preparation or a by-product costs."""

    source: str

    def trail(self, figures: Figures, form: Format) -> Trail:
        """By layer, then down; for a good, its quotes."""
        reckoning = figures.reckoning
        name, cost = figures.names.get(self.source, self.source), reckoning.costs.get(self.source)
        unit = reckoning.units.get(self.source)
        if cost is None or unit is None:
            title = say("{name} is not costed", name=own(_name(figures, self.source)))
            return Trail(title, "", _amiss(figures, self.source))
        lines = [*_ranged(figures, form, self.source, "preparation"), *_layers(cost, figures, form)]
        if self.source in reckoning.direct:
            carried = reckoning.direct[self.source]
            lines.append(_lost(reckoning.lost_money(carried), cost, form))
            lines.append(_assumed(reckoning.assumed_share(carried), form))
            lines += _down(figures, form, carried)
        else:
            lines = list(_quotes(figures, form, self.source))
        said = form.least(form.unit_money(cost.making, unit.base), cost.complete)
        return Trail(say("{name} costs", name=own(name)), said, tuple(lines))


@dataclass(frozen=True, slots=True)
class PriceOf:
    """What a serve should be sold at, on one section of a menu ("" and "" where it is on none)."""

    serve: str
    menu: str = ""
    section: str = ""

    def trail(self, figures: Figures, form: Format) -> Trail:
        """Cost, the net the target needs, taxes and service, the price point."""
        priced = next(
            (p for p in figures.priced if (p.serve.id, p.menu, p.section) == (self.serve, self.menu, self.section)),
            None,
        )
        if priced is None:
            return Trail(say("This drink is not priced"), "", ())
        return Trail(
            say("A price for {serve}", serve=own(priced.serve.name)),
            form.money(priced.suggestion.at.all_in) if priced.suggestion else "",
            tuple(_pricing(priced, figures, form)),
        )


@dataclass(frozen=True, slots=True)
class FigureOf:
    """A figure that somebody wrote: as typed, how it was measured, by what."""

    title: str
    fact: Fact
    where: Where

    def trail(self, figures: Figures, form: Format) -> Trail:
        """What is known of it."""
        fact = self.fact
        lines = [Line(say("as typed"), fact.text, fact.mark, 0, self.where)]
        lines += [Line(say("how"), how_said(fact.how), fact.mark)] if fact.how else []
        lines += [Line(say("note"), fact.note, fact.mark)] if fact.note else []
        if fact.at is not None:
            lines.append(Line(say("measured at"), form.number(fact.at, 1, trim=True) + " °C", fact.mark))
        said = say("measured") if fact.mark == "measured" else say("assumed: nobody measured it yet")
        return Trail(self.title, said, tuple(lines))


@dataclass(frozen=True, slots=True)
class Said:
    """A trail that a place has worked out itself, as it stood then."""

    said: Trail

    def trail(self, figures: Figures, form: Format) -> Trail:
        """The trail as it was handed over."""
        return self.said


def _called(figures: Figures, serve: str) -> str:
    """What a drink is called that is not made on the day."""
    record = figures.book.all(Serve).get(serve)
    return record.name if record is not None else serve


def _ranged(figures: Figures, form: Format, ident: str, kind: str) -> list[Line]:
    """The range that it lies in, where that is known."""
    found = range_of(figures, ident, kind)
    return [Line(say("may cost"), range_words(found, form))] if found is not None else []


def _layers(cost: Cost, figures: Figures, form: Format) -> Iterator[Line]:
    goods = figures.view.goods
    lacking = {goods[good].layer for good in cost.unpriced if good in goods}
    unknown = any(good not in goods for good in cost.unpriced)
    if sum(1 for column in cost.columns if column) > 1:
        for layer, column in zip(LAYERS, cost.columns, strict=True):
            if column:
                text = form.least(form.money(column), not unknown and layer not in lacking)
                yield Line(say("of which {layer}", layer=layer_word(layer)), text)


def _lost(money: float, cost: Cost, form: Format) -> Line:
    text = form.least(form.money(money), cost.complete)
    return Line(say("of the materials, spent on what was lost on the way"), text)


def _assumed(share: float, form: Format) -> Line:
    return Line(say("of this cost, resting on figures nobody measured"), form.percent(share, 0))


def _down(figures: Figures, form: Format, carried: Carried) -> Iterator[Line]:
    """What went in, what was in that, and so on to packs."""
    reckoning = figures.reckoning
    for reason in why(reckoning, carried):
        name = figures.names.get(reason.source, reason.source)
        kind = "good" if reason.source in figures.view.goods else "preparation"
        where = Where(kind, reason.source.partition("/")[0])
        amount = form.amount(reason.amount, reason.base) if reason.base else ""
        if reason.problem:
            said = say("not in the book") if reason.problem == "unknown" else say("has no price")
            yield Line(f"{amount} {own(name)}", said, "computed", reason.depth, where)
            continue
        money = form.least(form.money(reason.money), reason.unit_cost.complete)
        yield Line(f"{amount} {own(name)}", money, "computed", reason.depth, where)
        if reason.quote is not None:
            assumed = reckoning.prices[reason.source].assumed
            mark = "assumed" if assumed else "measured"
            text = _quote(figures, form, reason.quote)
            yield Line(text, form.unit_money(reason.unit_cost.making, reason.base), mark, reason.depth + 1, where)


def _quote(figures: Figures, form: Format, quote: Quote) -> str:
    supplier = figures.view.suppliers.get(quote.supplier)
    return say(
        "{supplier}: {pack} at {price} since {day}",
        supplier=own(supplier.name if supplier else quote.supplier or say("no supplier")),
        pack=own(pack_words(quote)),
        price=form.money(quote.price),
        day=form.day(quote.since),
    )


def _quotes(figures: Figures, form: Format, good: str) -> Iterator[Line]:
    price = figures.reckoning.prices.get(good)
    where = Where("good", good)
    if price is None:
        yield from _amiss(figures, good)
        return
    yield Line(_quote(figures, form, price.quote), "", "measured", 0, where)
    money, factor = landed(price.quote, figures.view.terms, price.rate)
    if price.rate != 1:
        rate = figures.view.rates[price.quote.currency]
        said = say("one {currency} since {day}", currency=rate.currency, day=form.day(rate.since))
        yield Line(
            f"{said} · {own(rate.source)}" if rate.source else said, form.number(rate.worth, 6, trim=True), "measured"
        )
    if factor != price.rate:
        yield Line(say("tax and free goods, times"), form.number(factor / price.rate, 4, trim=True))
    for charge in price.quote.charges:
        yield Line(own(charge.name), form.money(charge.amount), "measured")
    yield Line(say("a pack lands at"), form.money(money))
    unit = figures.reckoning.units[good]
    mark = "assumed" if price.assumed else "computed"
    yield Line(say("and holds"), form.amount(price.content, unit.base), mark)
    for quote in figures.view.offers(good):
        if quote.id != price.quote.id:
            yield Line(say("not used: {quote}", quote=_quote(figures, form, quote)), "", "measured", 1, where)


def _name(figures: Figures, source: str) -> str:
    """What a good or preparation is called, also one that is not there on the day."""
    record = figures.book.get("good", source) or figures.book.get("preparation", source)
    return figures.names.get(source) or str(getattr(record, "name", source))


def _amiss(figures: Figures, source: str) -> tuple[Line, ...]:
    return tuple(
        Line(said_of(p, figures.names), "", "computed", 0, where_of(p.where))
        for p in figures.problems
        if f"/{source}/" in f"/{p.where}/" and p.level != "note"
    )


def _pricing(priced: PricedServe, figures: Figures, form: Format) -> Iterator[Line]:
    terms = figures.view.terms
    base = " + ".join(layer_word(layer) for layer in (terms.base if terms else ("materials",)))
    whole = priced.cost.complete
    cost = form.least(form.money(priced.base), whole)
    yield Line(say("cost, {layers}", layers=base), cost, "computed", 0, Where("serve", priced.serve.id))
    policy = priced.policy
    aim = {
        "pour_cost": say("target: pour cost {value} of net", value=form.percent(policy.value)),
        "margin": say("target: margin {value}", value=form.money(policy.value)),
        "multiplier": say("target: {value} times cost", value=form.number(policy.value, 2, trim=True)),
    }[policy.kind]
    yield Line(aim, "", "assumed", 0, Where("menu", priced.menu) if priced.menu else Where("house", "house"))
    found = priced.suggestion
    if found is None:
        lacking = ", ".join(own(figures.names.get(g, g)) for g in sorted(priced.cost.unpriced))
        yield Line(say("no suggestion: {names} has no price", names=lacking) if lacking else say("no suggestion"))
    else:
        yield Line(say("net that the target needs"), form.money(found.needed_net))
        for levy in terms.levies if terms else ():
            yield Line(own(levy.name), form.percent(levy.rate), "measured", 1, Where("house", "house"))
        yield Line(say("with tax and service"), form.money(found.needed_all_in))
        yield Line(say("the next price the house uses"), form.money(found.at.all_in))
        if found.lower is not None and found.gives_away is not None:
            yield Line(
                say("one step lower, {price}, gives away", price=form.money(found.lower.all_in)),
                form.money(found.gives_away),
            )
    if priced.price is not None:
        yield Line(say("the price now"), form.money(priced.price.all_in), "measured")
        yield Line(say("net of tax and service"), form.money(priced.price.net))
        yield Line(say("pour cost"), form.least(form.percent(priced.price.pour_cost), whole))
        yield Line(say("contribution margin"), form.money(priced.price.margin if whole else None))
