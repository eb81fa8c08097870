"""From a Reckoning to the contents of the reports."""

from collections.abc import Mapping
from decimal import Decimal

from costing.book.book import View
from costing.book.money import digits
from costing.book.problem import Problem, leads_into, problem
from costing.book.records import Glass, Quote, Terms
from costing.ledger.balance import standard_grams
from costing.ledger.costs import Cost
from costing.ledger.lines import Line
from costing.ledger.matter import ROUNDING
from costing.ledger.reckon import Reckoning
from costing.ledger.rows import Row
from costing.pricing.menu import PricedServe, priced_serves
from costing.report.allergy import allergen_table
from costing.report.assumed import assumptions
from costing.report.cards import spec_cards
from costing.report.cautions import cautions_for, vapour_line
from costing.report.content import (
    Contents,
    Head,
    InputRow,
    MenuRow,
    OutputRow,
    PreparationRow,
    PriceRow,
    ServeRow,
)
from costing.report.decided import Deciding
from costing.report.moves import shares
from costing.report.quotes import pack_words, quote_rows
from costing.report.ranged import Ranging
from costing.report.stages import stage_rows, typed_amount
from costing.report.streams import batch_stream, serve_stream
from costing.report.words import series
from costing.tongue import say

NO_CURRENCY = "XXX"
COLUMNS = 7
"""Columns that a stream into a drink may take on a page."""


def contents(reckoning: Reckoning, revision: int) -> Contents:
    """All that the reports of this day print; ``revision`` is the journal's number of the book it was read at."""
    view = reckoning.view
    terms = view.terms or Terms(since=view.day)
    names = names_of(view)
    used = used_goods(reckoning)
    serves = {s: serve_row(reckoning, s, names, terms) for s in view.serves}
    menus = {m.id: m.name for m in view.menus.values()}
    head, cautions = _head(view, terms, revision), cautions_for(reckoning)
    return Contents(
        head=head,
        prices=tuple(_price(reckoning, g, names) for g in view.goods if g in used),
        preparations=tuple(preparation_row(reckoning, p, names) for p in reckoning.ledgers),
        serves=tuple(serves.values()),
        menu=tuple(_on_menu(p, serves[p.serve.id], menus, view) for p in priced_serves(reckoning)),
        levies=terms.levies,
        points=terms.points,
        problems=reckoning.problems,
        assumptions=assumptions(reckoning, used, names),
        cautions=cautions,
        names=names,
        called=_called(view),
        cards=spec_cards(reckoning, names),
        allergens=allergen_table(reckoning, used, names),
        quotes=quote_rows(reckoning, names),
        decide=Deciding(reckoning, head, cautions),
        ranging=Ranging(reckoning),
    )


def _called(view: View) -> dict[str, str]:
    """Every record that has a name, and quotes by what they are for."""
    out: dict[str, str] = {}
    for (kind, ident), record in view.book.records.items():
        if isinstance(record, Quote):
            good = view.goods.get(record.good)
            out[f"{kind}/{ident}"] = (
                say("{good}, quote {id}", good=good.name, id=ident) if good else say("quote {id}", id=ident)
            )
        elif name := getattr(record, "name", ""):
            out[f"{kind}/{ident}"] = name
    return out


def names_of(view: View) -> dict[str, str]:
    """What people call every good, preparation and by-product of the day."""
    names = {g.id: g.name for g in view.goods.values()}
    for preparation, version in view.preparations.values():
        names[preparation.id] = preparation.name
        names |= {f"{preparation.id}/{b.id}": f"{preparation.name}: {b.name}" for b in version.byproducts}
    return names


def used_goods(reckoning: Reckoning) -> frozenset[str]:
    """Bought goods that stand on the row of any preparation, stage or serve."""
    rows: list[Row] = [c.row for c in reckoning.direct.values()]
    rows += [line.carried.row for line in reckoning.serves.values()]
    rows += [line.carried.row for ledger in reckoning.ledgers.values() for line in ledger.lines]
    return frozenset(s for row in rows for s in row if s in reckoning.view.goods)


def _head(view: View, terms: Terms, revision: int) -> Head:
    house = view.book.house
    currency = house.currency if house else ""
    try:
        digits(currency)
        money = currency
    except ValueError:
        money = NO_CURRENCY
    return Head(
        house=house.name if house else "",
        currency=currency,
        money=money,
        day=view.day,
        revision=revision,
        base=terms.base,
        terms=view.terms is not None,
        permit=house.permit if house else "",
        permit_until=house.permit_until if house else None,
        gram_drink=standard_grams(house),
    )


def _price(reckoning: Reckoning, good: str, names: Mapping[str, str]) -> PriceRow:
    view = reckoning.view
    record, price = view.goods[good], reckoning.prices.get(good)
    quote = price.quote if price else view.quote_of(good)
    if quote is None:
        return PriceRow(good=good, name=names[good], kind=record.kind, layer=record.layer, base=record.base)
    supplier = view.suppliers.get(quote.supplier)
    recovers = view.terms.recovers_tax if view.terms else True
    tax = {("inc", True): "off", ("ex", False): "on"}.get((quote.tax, recovers), "")
    return PriceRow(
        good=good,
        name=names[good],
        kind=record.kind,
        layer=record.layer,
        base=record.base,
        supplier=supplier.name if supplier else quote.supplier,
        quote=quote.id,
        since=quote.since,
        pack=pack_words(quote),
        price=quote.price,
        tax=tax if quote.tax_rate else "",
        tax_rate=quote.tax_rate or Decimal(0),
        paid=quote.free.paid if quote.free else Decimal(1),
        free=quote.free.free if quote.free else Decimal(0),
        rate=price.rate if price else Decimal(1),
        charges=tuple((c.name, c.amount) for c in quote.charges),
        landed=price.money if price else None,
        content=price.content if price else None,
        unit_cost=price.per_base if price else None,
        reason=next((p for p in reckoning.problems if p.where == f"quote/{quote.id}"), None) if not price else None,
    )


def _inputs(reckoning: Reckoning, row: Row, names: Mapping[str, str], typed: Mapping[str, str]) -> tuple[InputRow, ...]:
    out = []
    for source, amount in row.items():
        cost = reckoning.costs.get(source)
        unit = reckoning.units.get(source)
        out.append(
            InputRow(
                source=source,
                name=names.get(source, source),
                base=unit.base if unit else "",
                amount=amount,
                complete=cost is not None and cost.complete,
                typed=typed.get(source, ""),
            )
        )
    return tuple(out)


def _named(cost: Cost, names: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(sorted(names.get(s, s) for s in cost.unpriced))


def preparation_row(reckoning: Reckoning, ident: str, names: Mapping[str, str]) -> PreparationRow:
    preparation, version = reckoning.view.preparations[ident]
    ledger = reckoning.ledgers[ident]
    outputs = []
    for output in ledger.outputs.values():
        direct = reckoning.direct[output.id]
        batch: Row = {s: a * output.made for s, a in direct.row.items()}
        whole = ledger.lines[-1].carried.row if output.id == ident else {}
        # The amounts as they went in are the round numbers somebody typed; use them where nothing was solved for.
        plain = set(whole) == set(batch)
        cost = reckoning.costs[output.id]
        outputs.append(
            OutputRow(
                id=output.id,
                name=names[output.id],
                base=output.unit.base,
                made=output.made,
                inputs=_inputs(reckoning, whole if plain else batch, names, {}),
                cost=cost.columns,
                complete=cost.complete,
                unpriced=_named(cost, names),
                assumed_share=reckoning.assumed_share(direct),
                lost_money=reckoning.lost_money(direct),
                net_of_itself=output.id == ident and not plain,
            )
        )
    return PreparationRow(
        id=ident,
        name=preparation.name,
        note=version.note or preparation.note,
        since=version.since,
        outputs=tuple(outputs),
        stages=stage_rows(reckoning, version.stages, ledger.lines, names),
        problems=ledger.problems,
        cautions=cautions_for(reckoning, ident),
        vapour=vapour_line(reckoning, ident),
        shelf_days=reckoning.view.preparations[ident][0].shelf_days,
        stream=batch_stream(reckoning, ident, names),
    )


def serve_row(reckoning: Reckoning, ident: str, names: Mapping[str, str], terms: Terms) -> ServeRow:
    view = reckoning.view
    serve, version = view.serves[ident]
    line, cost = reckoning.serves.get(ident), reckoning.serve_cost(ident)
    typed: dict[str, list[str]] = {}
    for item in version.build.adds:
        if item.amount is not None:
            typed.setdefault(item.source, []).append(typed_amount(item.amount, item.spill))
    technique, glass = view.techniques.get(version.technique), view.book.all(Glass).get(version.glass)
    litres, abv = _in_glass(line)
    row = line.carried.row if line else {}
    return ServeRow(
        id=ident,
        name=serve.name,
        technique=technique.name if technique else version.technique,
        glass=glass.name if glass else version.glass,
        inputs=_inputs(reckoning, row, names, {s: series(t) for s, t in typed.items()}),
        cost=cost.columns,
        base_cost=cost.of(terms.base),
        costed=line is not None,
        complete=cost.complete,
        unpriced=_named(cost, names) if line else (),
        litres=litres,
        abv=abv,
        assumed_share=reckoning.assumed_share(line.carried) if line else 0.0,
        since=version.since,
        doubts=_doubts(reckoning, ident, line, litres),
        stream=serve_stream(reckoning, ident, names, COLUMNS),
        shares=tuple((names[good], money) for good, money in shares(reckoning, ident)),
    )


def _doubts(reckoning: Reckoning, ident: str, line: Line | None, litres: float | None) -> tuple[Problem, ...]:
    """Why the strength in the glass is not known, or not of everything in it."""
    since = reckoning.view.serves[ident][1].since
    mine = [p for p in reckoning.problems if leads_into(p.where, "serve", ident, since)]
    if line is None:
        return tuple(p for p in mine if p.level == "error")
    found = [p for p in mine if p.code in ("not-followed", "melt-not-known")]
    if not found and litres is None and line.on.matter.insolubles > ROUNDING:
        found.append(problem("no-volume", f"serve/{ident}", "warning"))
    return tuple(found)


def _in_glass(line: Line | None) -> tuple[float | None, float | None]:
    try:
        return (line.on.matter.volume(), line.on.matter.abv) if line else (None, None)
    except ValueError:  # outside the range that densities are known for: print no figure rather than a guess
        return None, None


def _on_menu(priced: PricedServe, serve: ServeRow, menus: Mapping[str, str], view: View) -> MenuRow:
    """The printed price is looked up beside the priced serve: it is printed whether or not terms say what is left."""
    menu, printed = view.menus.get(priced.menu), None
    for section in menu.sections if menu else ():
        for line in section.lines if section.name == priced.section else ():
            if line.serve == serve.id and printed is None:
                found = view.price_of(line)
                printed = found.price if found else None
    return MenuRow(menu=menus.get(priced.menu, ""), section=priced.section, serve=serve, priced=priced, printed=printed)
