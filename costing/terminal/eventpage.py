"""What ``event`` prints, and the same as JSON.

``event``: {"stillroom": "event", "form": "1.0", ..., "guests", "hours", "drinks", "allowance", "serves": [{"id",
"name", "expected", "poured", "base", "materials", "making", "at_least"}], "cost": {"materials", "making", "staff",
"hire", "breakage", "total"}, "price": {"target", "needed_net", "needed", "a_head", "by_head", "minimum", "binds",
"total", "net", "deposit"}, "left", "pour_cost", "batches": [{"id", "count", "needed", "given"}], "hours_needed",
"shopping": [{"good", "needed", "packs", "money"}], "to_spend", "alcohol": {"grams", "first_hour", "later_hour",
"standard", "unknown"}, "problems"}. "needed_net", "needed" and "a_head" are a head.
"""

from collections.abc import Iterator
from dataclasses import asdict
from decimal import Decimal

from costing.book.levies import Policy
from costing.edits.base import currency_of as currency_of_book
from costing.edits.base import typed_price
from costing.edits.menus import policy_text, typed_policy
from costing.ledger import Reckoning, reckon
from costing.menu.batch_rows import PREP, machines_of
from costing.menu.event import Plan, Quote, Staff, event_quote
from costing.menu.event_words import with_care
from costing.menu.mix import WEEK, ended_periods, menu_mix
from costing.terminal import jsonform
from costing.terminal.base import Args, Mistake, code_of, find, print_json, read_view, say
from costing.terminal.jsonform import Json
from costing.terminal.show import DASH, currency_of, figure, money, name_of, pack_text, percent, problems_text
from costing.terminal.table import printable, table
from costing.terminal.typed import bare_percent


def event(args: Args) -> int:
    """A quote for an event. Exit 1 where the book has problems."""
    view, head = read_view(args)
    reckoning = reckon(view)
    currency = currency_of_book(view.book)
    plan = Plan(
        guests=args.guests, hours=args.hours, serves=_serves(args, reckoning), first_hour=args.first_hour,
        later=args.later, allowance=args.allowance, hire=args.hire, breakage=args.breakage,
        staff=tuple(Staff(people=p, hours=h, rate=r) for p, h, r in args.staff),
        minimum=typed_price(args.minimum, currency) if args.minimum else None,
        deposit=Decimal(repr(args.deposit)), policy=_policy(args, currency),
    )  # fmt: skip
    quote = event_quote(reckoning, plan)
    if args.json:
        print_json(_document(reckoning, quote, head))
    else:
        say(*_page(reckoning, quote, head))
        say(*problems_text(reckoning.problems))
    return code_of(reckoning.problems)


def _policy(args: Args, currency: str) -> Policy | None:
    if args.pour_cost:
        return typed_policy(f"{bare_percent(args.pour_cost).strip().removesuffix('%').strip()} %", currency)
    if args.margin:
        return Policy("margin", typed_price(args.margin, currency))
    return None


def _serves(args: Args, reckoning: Reckoning) -> tuple[tuple[str, float], ...]:
    """The drinks and their shares: as said, those without a share having the rest alike; else the mix of what was
    sold."""
    view = reckoning.view
    if not args.serve:
        mix = menu_mix(reckoning, ended_periods(view.book, view.day, int(args.weeks * WEEK)))
        sold: dict[str, float] = {}
        for item in mix.items:
            if item.sold > 0:
                sold[item.serve] = sold.get(item.serve, 0.0) + item.sold
        if not sold:
            raise Mistake("say what is served, once a drink: --serve NAME=40% or --serve NAME")
        whole = sum(sold.values())
        return tuple((serve, count / whole) for serve, count in sold.items())
    named = [(find([(i, s.name) for i, (s, _) in view.serves.items()], name, "drink"), share)
             for name, share in args.serve]  # fmt: skip
    if len({serve for serve, _ in named}) < len(named):
        raise Mistake("a drink is named twice: give it one --serve with its whole share")
    open_ = sum(share is None for _, share in named)
    rest = 1.0 - sum(share for _, share in named if share is not None)
    if open_ and rest <= 1e-9:
        raise Mistake("the shares given leave nothing for the drinks without one: lower them, or give each a share")
    return tuple((serve, rest / open_ if share is None else share) for serve, share in named)


def _page(reckoning: Reckoning, quote: Quote, revision: int) -> Iterator[str]:
    house, currency, plan = reckoning.view.book.house, currency_of(reckoning), quote.plan
    yield printable(
        f"{house.name if house else 'no house'}: a quote for {plan.guests} guests and {plan.hours:g} hours on "
        f"{reckoning.view.day}, revision {revision}, in {house.currency if house else '?'}"
    )
    yield (f"{figure(plan.drinks, 0)} drinks: {plan.guests} guests, {plan.first_hour:g} in the first hour and "
           f"{plan.later:g} in each later one; {percent(plan.allowance)} more is poured.")  # fmt: skip
    yield ""
    yield table(
        ("drink", "share", "poured", "materials"),
        [(p.name, percent(p.expected / plan.drinks), figure(p.poured, 1),
          ("" if p.complete else ">= ") + money(p.materials, currency)) for p in quote.poured],
    )  # fmt: skip
    yield ""
    yield from _money(quote, currency)
    yield ""
    yield from _needs(reckoning, quote, currency)
    for line in with_care(quote.alcohol):
        yield printable(line)


def _money(quote: Quote, currency: str) -> Iterator[str]:
    price, plan = quote.price, quote.plan
    least = "" if quote.complete else ">= "
    yield table(("cost", "money"), [
        ("materials", least + money(quote.materials, currency)),
        ("making the preparations (energy, machines, people)", least + money(quote.making, currency)),
        ("staff", money(quote.staff, currency)),
        ("hire", money(quote.hire, currency)),
        ("breakage", money(quote.breakage, currency)),
        ("all", least + money(quote.cost, currency)),
    ])  # fmt: skip
    yield ""
    rows = [
        (f"a head, net, to meet {policy_text(price.policy)}", least + money(price.needed_net, currency)),
        ("a head with tax and service", least + money(price.needed, currency)),
        ("a head at the next price point", money(price.a_head, currency)),
        (f"{plan.guests} guests at that", money(price.a_head * plan.guests, currency)),
        ("minimum spend", DASH if price.minimum is None else money(price.minimum, currency)),
        ("to pay", money(price.total, currency)),
        ("of it ahead", money(price.deposit, currency)),
        ("the house keeps of it", money(price.net, currency)),
        ("left after all costs", ("" if quote.complete else "<= ") + money(quote.left, currency)),
    ]
    yield table(("price", "money"), rows)
    if price.minimum is not None:
        which = "The minimum spend" if price.binds == "minimum" else "The price a head"
        yield f"{which} decides what is paid; pour cost is then {percent(quote.pour_cost)}"
    if not quote.complete:
        yield "Something in these drinks has no price: what is asked here is too little by what that costs."
    if quote.left < 0:
        yield "This event costs the house money: raise the price, the minimum or the target, or cut staff and hire."


def _needs(reckoning: Reckoning, quote: Quote, currency: str) -> Iterator[str]:
    view, needs = reckoning.view, quote.needs
    if needs.batches:
        rows = [(name_of(view, b.preparation), str(b.count), f"{figure(b.needed, 2)} {_base(reckoning, b.preparation)}",
                 f"{figure(b.given, 2)} {_base(reckoning, b.preparation)}") for b in needs.batches]  # fmt: skip
        yield table(("batches of", "whole", "needed", "given"), rows)
        yield ""
    pools, house = machines_of(reckoning), view.book.house
    hours = []
    for key, value in needs.hours.items():
        machines = [view.equipment[m] for m in pools.get(key, ())]
        said = [house.prep_hours if house else None] if key == PREP else [m.hours for m in machines]
        week = DASH if None in said else figure(float(sum(h for h in said if h is not None)), 1)
        name = "people preparing" if key == PREP else " + ".join(m.name for m in machines)
        hours.append((name, figure(value, 1), week))
    if hours:
        yield table(("hours of", "it takes", "a week has"), hours)
        yield ""
    rows_ = []
    for line in needs.shopping:
        price = reckoning.prices.get(line.good)
        rows_.append((
            name_of(view, line.good), f"{figure(line.needed, 3)} {view.goods[line.good].base}",
            DASH if line.packs is None else str(line.packs), pack_text(price.quote) if price else "no price",
            DASH if line.money is None else money(line.money, currency),
        ))  # fmt: skip
    yield table(("to buy, stock not taken off", "needed", "packs", "of", "money"), rows_)
    yield f"in all {money(needs.to_spend, currency)}"
    yield ""


def _base(reckoning: Reckoning, preparation: str) -> str:
    return reckoning.view.preparations[preparation][0].base


def _document(reckoning: Reckoning, quote: Quote, revision: int) -> Json:
    plan, price = quote.plan, quote.price
    return {
        **jsonform.head("event", reckoning, revision),
        "guests": plan.guests, "hours": plan.hours, "drinks": plan.drinks, "allowance": plan.allowance,
        "serves": [
            {"id": p.serve, "name": p.name, "expected": p.expected, "poured": p.poured, "base": p.base,
             "materials": p.materials, "making": p.making, "at_least": not p.complete} for p in quote.poured
        ],
        "cost": {"materials": quote.materials, "making": quote.making, "staff": quote.staff, "hire": quote.hire,
                 "breakage": quote.breakage, "total": quote.cost},
        "price": {
            "target": {"kind": price.policy.kind, "value": float(price.policy.value)},
            "needed_net": float(price.needed_net), "needed": float(price.needed), "a_head": float(price.a_head),
            "by_head": float(price.a_head * plan.guests),
            "minimum": None if price.minimum is None else float(price.minimum), "binds": price.binds,
            "total": float(price.total), "net": float(price.net), "deposit": float(price.deposit),
        },
        "left": quote.left, "pour_cost": quote.pour_cost,
        "batches": [{"id": b.preparation, "count": b.count, "needed": b.needed, "given": b.given}
                    for b in quote.needs.batches],
        "hours_needed": dict(quote.needs.hours),
        "shopping": [{"good": s.good, "needed": s.needed, "packs": s.packs,
                      "money": None if s.money is None else float(s.money)} for s in quote.needs.shopping],
        "to_spend": float(quote.needs.to_spend),
        "alcohol": {**asdict(quote.alcohol), "unknown": list(quote.alcohol.unknown)},
        "problems": [jsonform.problem_json(p) for p in reckoning.problems],
    }  # fmt: skip
