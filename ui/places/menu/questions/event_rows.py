"""The tables of a quote: money, drinks, whole batches, hours, and what to buy in whole packs."""

from collections.abc import Iterator, Mapping
from decimal import Decimal

from costing.book.levies import Policy
from costing.ledger.reckon import Reckoning
from costing.menu.batch_rows import PREP, machines_of
from costing.menu.event import Quote
from costing.report.quotes import pack_words
from costing.tongue import say
from ui.desk import Where
from ui.folding import fold
from ui.format import UNKNOWN, Format, own
from ui.places.menu.questions.hours import resource_name
from ui.places.menu.questions.pane import Fig, Row, Sheet
from ui.places.menu.questions.question import count
from ui.whys import CostOfServe, Line, Said, Trail, UnitCost


def event_sheets() -> tuple[Sheet, ...]:
    """The tables, in their order."""
    needed, money = (say("Needed"), True), (say("Money"), True)
    return (
        Sheet("cost", say("Cost and price"), ((say("What"), False), money, (say("How it is counted"), False))),
        Sheet("shopping", say("Shopping list"), ((say("To buy"), False), needed, (say("Packs"), True),
                                                 money, (say("Pack"), False))),
        Sheet("batches", say("Batches"), ((say("Batches of"), False), (say("Whole"), True), needed,
                                          (say("Given"), True))),
        Sheet("hours", say("Hours"), ((say("Hours of"), False), (say("It takes"), True), (say("A week has"), True))),
        Sheet("drinks", say("Drinks"), ((say("Drink"), False), (say("Share"), True), (say("Poured"), True),
                                        (say("Materials"), True))),
    )  # fmt: skip


def cost_rows(q: Quote, form: Format) -> list[Row]:
    """What it costs, and what is asked for it."""
    return [*_costs(q, form), *_prices(q, form)]


def _costs(q: Quote, form: Format) -> Iterator[Row]:
    plan = q.plan

    def row(key: str, what: str, value: float, about: str = "", *, whole: bool = True, strong: bool = False) -> Row:
        why = _cost_why(q, form) if strong else None
        return Row(key, (what, Fig(form.least(form.money(value), whole), value), about), strong, why)

    people = sum(s.people for s in plan.staff)
    yield row("materials", say("Materials"), q.materials, whole=q.complete)
    yield row("making", say("Making the preparations"), q.making, say("energy, machines, people"), whole=q.complete)
    staffed = say("{people} people, setting up and clearing counted", people=f"{people:g}") if people else ""
    yield row("staff", say("Staff"), q.staff, staffed)
    yield row("hire", say("Hire"), q.hire)
    yield row("breakage", say("Breakage"), q.breakage,
              say("{share} of the hire", share=form.percent(plan.breakage)) if plan.breakage else "")  # fmt: skip
    yield row("all", say("All costs"), q.cost, whole=q.complete, strong=True)


def _prices(q: Quote, form: Format) -> Iterator[Row]:
    price, plan = q.price, q.plan

    def row(key: str, what: str, value: Decimal | float | None, about: str = "", *, least: bool = False,
            strong: bool = False) -> Row:  # fmt: skip
        text = form.least(form.money(value), not least)
        why = _price_why(q, form) if strong else None
        return Row(key, (what, Fig(text, None if value is None else float(value)), about), strong, why)

    target = say("to meet {target}", target=target_words(price.policy, form))
    yield row("net", say("A head, net"), price.needed_net, target, least=not q.complete)
    yield row("needed", say("A head, with tax and service"), price.needed, least=not q.complete)
    yield row("head", say("A head, to ask"), price.a_head, say("the next price the house uses"), strong=True)
    yield row("heads", say("All guests at that"), price.a_head * plan.guests, say("{n} guests", n=plan.guests))
    yield row("minimum", say("Minimum spend"), price.minimum)
    pays = say("the minimum spend decides") if price.binds == "minimum" else say("the price a head decides")
    yield row("total", say("To pay"), price.total, pays if price.minimum is not None else "", strong=True)
    yield row("deposit", say("Of it ahead"), price.deposit)
    yield row("kept", say("The house keeps of it"), price.net, say("without tax and service"))
    left = form.money(q.left) if q.complete else say("at most {figure}", figure=form.money(q.left))
    yield Row("left", (say("Left after all costs"), Fig(left, q.left), ""), True, _price_why(q, form))


def drink_rows(q: Quote, form: Format) -> list[Row]:
    """How many of each are poured."""
    return [
        Row(f"drink/{p.serve}",
            (p.name, Fig(form.percent(p.expected / q.plan.drinks), p.expected), Fig(count(form, p.poured), p.poured),
             Fig(form.least(form.money(p.materials), p.complete), p.materials)),
            why=CostOfServe(p.serve), where=Where("serve", p.serve))
        for p in q.poured
    ]  # fmt: skip


def batch_rows(reckoning: Reckoning, q: Quote, names: Mapping[str, str], form: Format) -> list[Row]:
    """Whole batches to make."""
    out = []
    for b in q.needs.batches:
        base = reckoning.view.preparations[b.preparation][0].base
        out.append(Row(f"batch/{b.preparation}",
                       (names.get(b.preparation, b.preparation), Fig(str(b.count), b.count),
                        Fig(form.amount(b.needed, base), b.needed), Fig(form.amount(b.given, base), b.given)),
                       why=UnitCost(b.preparation), where=Where("preparation", b.preparation)))  # fmt: skip
    return out


def hour_rows(reckoning: Reckoning, q: Quote, form: Format) -> list[Row]:
    """Hours of machines and people beside those of a week, where the house said them."""
    view, pools, out = reckoning.view, machines_of(reckoning), []
    house = view.book.house
    for key, hours in q.needs.hours.items():
        said = [house.prep_hours if house else None] if key == PREP else [
            view.equipment[m].hours for m in pools.get(key, ())
        ]  # fmt: skip
        week = None if None in said else float(sum((h for h in said if h is not None), Decimal(0)))
        over = week is not None and hours > week
        out.append(Row(f"hours/{key}", (resource_name(reckoning, key), Fig(form.number(hours, 1), hours),
                                        Fig(say("not said") if week is None else form.number(week, 1), week)),
                       strong=over))  # fmt: skip
    return out


def shopping_rows(reckoning: Reckoning, q: Quote, names: Mapping[str, str], form: Format) -> list[Row]:
    """What to buy in whole packs; the sum last."""
    out = []
    for line in sorted(q.needs.shopping, key=lambda line: fold(names.get(line.good, line.good))):
        price, base = reckoning.prices.get(line.good), reckoning.view.goods[line.good].base
        out.append(Row(f"buy/{line.good}", (
            names.get(line.good, line.good),
            Fig(form.amount(line.needed, base), line.needed),
            Fig(UNKNOWN if line.packs is None else form.number(line.packs, 0), line.packs),
            Fig(form.money(line.money), None if line.money is None else float(line.money)),
            own(pack_words(price.quote)) if price is not None else say("no price"),
        ), why=UnitCost(line.good), where=Where("good", line.good)))  # fmt: skip
    if out:
        spend = form.least(form.money(q.needs.to_spend), all(line.money is not None for line in q.needs.shopping))
        out.append(Row("buy", (say("In all"), "", "", Fig(spend, None), ""), strong=True))
    return out


def target_words(policy: Policy, form: Format) -> str:
    """A target of an event in words."""
    if policy.kind == "pour_cost":
        return say("a pour cost of {share}", share=form.percent(policy.value))
    if policy.kind == "margin":
        return say("a margin of {money} a head", money=form.money(policy.value))
    return say("{n} times the cost of the drinks", n=form.number(policy.value, 2, trim=True))


def _cost_why(q: Quote, form: Format) -> Said:
    lines = [
        Line(say("{n} of {drink}, materials and making", n=count(form, p.poured), drink=own(p.name)),
             form.least(form.money(p.materials + p.making), p.complete), where=Where("serve", p.serve))
        for p in q.poured
    ]  # fmt: skip
    lines += [Line(say("staff"), form.money(q.staff)), Line(say("hire"), form.money(q.hire)),
              Line(say("breakage"), form.money(q.breakage))]  # fmt: skip
    return Said(Trail(say("All costs of the event"), form.least(form.money(q.cost), q.complete), tuple(lines)))


def _price_why(q: Quote, form: Format) -> Said:
    price = q.price
    lines = [
        Line(say("target: {target}", target=target_words(price.policy, form)), "", "assumed"),
        Line(say("drinks of all guests, in the layers of pour cost"),
             form.least(form.money(sum(p.base for p in q.poured)), q.complete)),
        Line(say("a head, net, that the target needs"), form.money(price.needed_net)),
        Line(say("with tax and service"), form.money(price.needed)),
        Line(say("the next price the house uses"), form.money(price.a_head)),
        Line(say("{n} guests at that", n=q.plan.guests), form.money(price.a_head * price.guests)),
        *([Line(say("the minimum spend"), form.money(price.minimum))] if price.minimum is not None else []),
        Line(say("without tax and service"), form.money(price.net)),
        Line(say("less all costs"), form.money(q.cost)),
        Line(say("is left"), form.money(q.left)),
    ]  # fmt: skip
    return Said(Trail(say("What the party pays"), form.money(price.total), tuple(lines)))
