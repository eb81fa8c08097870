"""What ``capacity`` prints: hours and what one more is worth, the best mix, margin an hour, batches, make or buy."""

from collections.abc import Iterator, Sequence
from math import isinf

from costing.book.book import View
from costing.book.records import WEEK_HOURS
from costing.edits.base import currency_of as currency_of_book
from costing.edits.base import typed_price
from costing.ledger import Reckoning, reckon
from costing.menu.batches_mix import BatchMix, best_batches
from costing.menu.capacity import BestMix, Use, best_mix
from costing.menu.capacity_rank import ranked
from costing.menu.capacity_rows import Capacity, capacity_of, in_batches
from costing.menu.makebuy import MakeOrBuy, make_or_buy, units_within
from costing.menu.mix import WEEK, Mix, ended_periods, menu_mix
from costing.terminal.base import Args, Mistake, code_of, find, print_json, read_view, say
from costing.terminal.capacityjson import capacity_document
from costing.terminal.show import DASH, currency_of, figure, money, name_of, problems_text
from costing.terminal.table import printable, table

MOST_RANKED = 12
VERDICTS = {"make": "make it", "buy": "buy it", "even": "as good one way as the other", "": "cannot be told yet"}


def capacity(args: Args) -> int:
    """The best mix for the hours there are. Exit 1 where the book has problems."""
    view, head = read_view(args)
    reckoning = reckon(view)
    mix = menu_mix(reckoning, ended_periods(view.book, view.day, int(args.weeks * WEEK)))
    hours = _hours_said(args, view)
    found = capacity_of(mix, reckoning, more=args.more, hours=hours, prep_hours=args.prep_hours)
    best = best_mix(found.products, found.resources)
    batched = None
    if args.batches:
        batched = best_batches(*in_batches(found, reckoning), found.resources)
    bought = _bought(args, reckoning, best)
    if args.json:
        print_json(capacity_document(reckoning, mix, found, best, batched, bought, head))
    else:
        say(*_page(reckoning, mix, found, best, head))
        if batched is not None:
            say(*_batches(batched, best, currency_of(reckoning)))
        if bought is not None:
            say(*_make_or_buy(reckoning, bought, units_within(bought, best), best.uses))
        say(*problems_text(reckoning.problems))
    return code_of(reckoning.problems)


def _hours_said(args: Args, view: View) -> dict[str, float]:
    known = [(m.id, m.name) for m in view.equipment.values()]
    out: dict[str, float] = {}
    for name, hours in args.hours:
        ident = find(known, name, "machine")
        if ident in out:
            raise Mistake(f"the hours of {name!r} are given twice: give them once")
        if hours > WEEK_HOURS:
            raise Mistake(f"{hours:g} hours of {name!r}: a week has {WEEK_HOURS}")
        out[ident] = hours
    return out


def _bought(args: Args, reckoning: Reckoning, best: BestMix) -> MakeOrBuy | None:
    if not args.make_or_buy:
        return None
    name, price = args.make_or_buy
    known = [(i, p.name) for i, (p, _) in reckoning.view.preparations.items()]
    offered = typed_price(price, currency_of_book(reckoning.view.book))
    ident = find(known, name, "preparation")
    return make_or_buy(reckoning, ident, float(offered), best.worth, thrown_away=args.thrown_away)


def _page(reckoning: Reckoning, mix: Mix, found: Capacity, best: BestMix, revision: int) -> Iterator[str]:
    house, currency = reckoning.view.book.house, currency_of(reckoning)
    yield printable(
        f"{house.name if house else 'no house'}: hours and the best mix on {mix.day}, revision {revision}, in "
        f"{house.currency if house else '?'}, {found.weeks:g} weeks"
    )
    yield ("Margins here are net less materials and energy: hours are paid anyway, and what they are worth is in the "
           "table. What was sold is taken for what guests ask for; where you sold out, say --more.")  # fmt: skip
    yield ""
    yield from _hours(best.uses, currency)
    yield from _unsaid(found)
    if best.uses:
        yield ""
        yield from _mix(best, currency)
    for use in best.uses:
        if use.binds:
            yield ""
            yield from _ranked(found, use, currency)
    yield from _doubts(found, mix)


def _hours(uses: Sequence[Use], currency: str) -> Iterator[str]:
    if not uses:
        return
    rows = [
        (u.resource.name, figure(u.resource.hours, 1), figure(u.used, 1), figure(u.slack, 1), figure(u.wanted, 1),
         money(u.worth, currency) if u.binds else DASH,
         DASH if not u.binds or isinf(u.up_to) else f"{figure(u.up_to, 1)} h",
         DASH if u.costs == 0 else "none to spare" if u.costs is None else money(u.costs, currency))
        for u in uses
    ]  # fmt: skip
    head = (
        "hours of",
        "there are",
        "best mix",
        "left",
        "all asked for",
        "one more is worth",
        "up to",
        "one less costs",
    )
    yield table(head, rows)
    for u in uses:
        if u.binds:
            yield printable(f"One more hour of {u.resource.name} is worth {money(u.worth, currency)}.")


def _unsaid(found: Capacity) -> Iterator[str]:
    if not found.resources:
        yield ("Nobody said how many hours a week there are, so nothing is known to be short. Enter them with the "
               "machine and the house, or try some: --hours still=40 --prep-hours 60")  # fmt: skip
    for u in found.unsaid:
        asks = f"{figure(u.wanted, 1)} h are asked for in {found.weeks:g} weeks"
        flag = "--prep-hours 60" if not u.machines else f"--hours {u.machines[0]}=40"
        yield printable(f"  hours of {u.name} are not said and limit nothing: {asks}; try {flag}")


def _mix(best: BestMix, currency: str) -> Iterator[str]:
    lost = best.margin - best.margin_each
    yield (f"The best mix earns {money(best.margin, currency)}; filled by margin a drink it would be "
           f"{money(best.margin_each, currency)}, {money(lost, currency)} less.")  # fmt: skip
    if not best.short:
        yield "All that guests ask for can be made."
        return
    rows = [
        (m.product.name, figure(m.product.demand, 1), figure(m.amount, 1), figure(m.short, 1),
         money(m.product.margin, currency), money(m.short * m.product.margin, currency))
        for m in best.short
    ]  # fmt: skip
    yield table(("not all can be made of", "asked for", "best mix", "short", "margin each", "forgone"), rows)


def _ranked(found: Capacity, use: Use, currency: str) -> Iterator[str]:
    yield printable(f"Margin an hour of {use.resource.name}")
    rows = [
        (r.product.name, money(r.product.margin, currency), figure(60 * r.hours, 2) if r.hours else DASH,
         "needs none" if isinf(r.per_hour) else money(r.per_hour, currency))
        for r in ranked(found.products, use.resource.key) if r.hours
    ]  # fmt: skip
    yield table(("drink", "margin each", "minutes each", "an hour"), rows[:MOST_RANKED])
    if len(rows) > MOST_RANKED:
        yield f"  and {len(rows) - MOST_RANKED} more; --json has all"
    none = sum(not p.hours.get(use.resource.key) for p in found.products)
    if none:
        yield f"  {none} {'drink needs' if none == 1 else 'drinks need'} none of it"


def _doubts(found: Capacity, mix: Mix) -> Iterator[str]:
    for what, names in (
        ("something in it has no price, so its margin is at most that", found.at_most),
        ("has hours a week and no good that is its hour, so no drink is known to take any", found.not_followed),
        ("not sold and without a printed price: left out", found.without_price),
        ("sold and on no menu of this day: left out", mix.without),
    ):
        if names:
            yield printable(f"  {', '.join(names)}: {what}")


def _batches(batched: BatchMix, best: BestMix, currency: str) -> Iterator[str]:
    yield ""
    yield (f"In whole batches the best mix earns {money(batched.margin, currency)}, less what is too old before it is "
           f"used; were batches made in part, at most {money(batched.bound, currency)}. The table above knows neither "
           "batches nor days.")  # fmt: skip
    if not batched.proven:
        yield "  time ran out before that was proven the best"
    rows = [
        (run.batch.name, str(run.count), money(run.count * run.batch.spoils, currency) if run.batch.spoils else DASH)
        for run in batched.runs if run.count
    ]  # fmt: skip
    yield table(("batches of", "whole", "spoils"), rows)
    hours = [(u.resource.name, figure(batched.used[u.resource.key], 1), figure(u.resource.hours, 1)) for u in best.uses]
    if hours:
        yield table(("hours of", "taken", "there are"), hours)
    short = [(m.product.name, figure(m.product.demand, 1), figure(m.amount, 1)) for m in batched.made if m.short > 0.05]
    if short:
        yield table(("not all can be made of", "asked for", "made"), short)


def _make_or_buy(reckoning: Reckoning, found: MakeOrBuy, within: float, uses: Sequence[Use]) -> Iterator[str]:
    currency = currency_of(reckoning)
    least = ">= " if found.unpriced else ""
    yield ""
    yield printable(f"Make or buy {name_of(reckoning.view, found.preparation)}, a {found.base}, at equal quality")
    yield table(
        ("", "money"),
        [
            ("bought", money(found.offered, currency)),
            ("materials and energy", least + money(found.marginal, currency)),
            ("worth of the scarce hours in it", money(found.scarce, currency)),
            ("what is thrown away takes", money(found.waste, currency)),
            ("making takes: buying breaks even at", least + money(found.takes, currency)),
            ("were no hour short", least + money(found.without_scarcity, currency)),
            ("full cost, which does not decide", least + money(found.full, currency)),
        ],
    )
    yield (
        f"{VERDICTS[found.verdict]}: making saves {money(found.saves, currency)} a {found.base}"
        if (found.saves >= 0)
        else f"{VERDICTS[found.verdict]}: it saves {money(-found.saves, currency)} a {found.base}"
    )
    for u in uses:
        if not u.resource.hours and found.hours.get(u.resource.key):
            yield printable(f"  there are no hours of {u.resource.name}, so none can be made, whatever is cheaper")
    if not isinf(within):
        yield f"  hours are worth that for the first {figure(within, 2)} {found.base} bought, and less beyond it"
    if found.byproducts:
        names = ", ".join(name_of(reckoning.view, o) for o in found.byproducts)
        yield printable(f"  buying leaves the house without {names}")
