"""What ``pricetest`` prints: how many drinks and weeks a test of a price takes, and when to look; the same as JSON.

``pricetest``: {"stillroom": "pricetest", "form": "1.0", "share", "other", "alpha", "power", "per_arm", "drinks",
"weeks", "per_week", "look": {"half", "full", "more"} or null, "detectable": {"weeks", "share"} or null, and of a book
"serve", "menu", "section", "price_from", "price_to", "break_even_volume", "break_even_share", else null}.
"""

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from decimal import Decimal
from math import floor

from costing.book.money import exact
from costing.edits.base import currency_of, typed_price
from costing.edits.suppliers import typed_share
from costing.ledger import reckon
from costing.menu.mix import Item, ended_periods, menu_mix
from costing.menu.pricetest import PriceTest, break_even_share, detectable, plan
from costing.pricing.suggest import break_even_volume, candidate
from costing.terminal.base import Args, Mistake, day_of, find, print_json, read_view, say
from costing.terminal.jsonform import FORM, Json
from costing.terminal.show import money, percent
from costing.terminal.table import printable
from costing.terminal.typed import bare_percent


@dataclass(frozen=True, slots=True, kw_only=True)
class Of:
    """The drink of a book whose price is to be tested, with what it is and would be sold at."""

    item: Item
    currency: str
    price_from: Decimal
    price_to: Decimal
    volume: Decimal | None
    share: float
    even: float | None
    per_week: float


def pricetest(args: Args) -> int:
    """How to test a price."""
    of = _of(args) if args.book is not None else None
    share = _share(args.from_share) if args.from_share else (of.share if of else None)
    other = _share(args.to_share) if args.to_share else (of.even if of else None)
    if share is None or other is None:
        raise Mistake(
            "the new price leaves no margin, so no share breaks even: give --to-share"
            if of is not None and share is not None
            else "say what is to be told apart: BOOK SERVE --price MONEY, or --from-share 10 --to-share 8"
        )
    per_week = args.per_week if args.per_week is not None else (of.per_week if of else None)
    alpha, power = _share(args.alpha), _share(args.power)
    test = plan(share, other, per_week=per_week, alpha=alpha, power=power, careful=args.careful, look=args.look)
    seen = None
    if args.in_weeks:
        if per_week is None:
            raise Mistake("--in-weeks needs to know how many drinks are sold a week: give --per-week N")
        seen = detectable(
            share, args.in_weeks, per_week, up=other > share, alpha=alpha, power=power, careful=args.careful,
            look=args.look,
        )  # fmt: skip
    if args.json:
        print_json(_json(args, test, of, per_week, seen))
    else:
        say(*_page(args, test, of, per_week, seen))
    return 0


def _of(args: Args) -> Of:
    if not args.serve or not args.price:
        raise Mistake("of a book, say which drink and at what price: BOOK SERVE --price MONEY")
    view, _ = read_view(args)
    mix = menu_mix(reckon(view), ended_periods(view.book, day_of(args), 7 * args.weeks))
    items = [i for i in mix.items if i.listed is not None]
    if args.menu:
        menu = find(((m.id, m.name) for m in view.menus.values()), args.menu, "menu")
        items = [i for i in items if i.menu == menu]
    wanted = find(((i.serve, i.name) for i in items), args.serve, "drink with a printed price")
    item = next(i for i in items if i.serve == wanted)
    rivals = sum(i.sold for i in mix.sections[item.menu, item.section])
    if not 0 < item.sold < rivals:
        raise Mistake(f"{item.name} has no share of its section to test: {item.sold:g} of {rivals:g} sold; give sales")
    currency = currency_of(view.book)
    new, cost = typed_price(args.price, currency), exact(item.cost)
    levies = view.terms.levies if view.terms is not None else ()
    old = item.listed or Decimal(0)
    if new == old:
        raise Mistake(f"{money(new, currency)} is the price of {item.name} already: there is nothing to test")
    before, after = candidate(cost, old, levies).net, candidate(cost, new, levies).net
    share = item.sold / rivals
    return Of(
        item=item, currency=currency, price_from=old, price_to=new, volume=break_even_volume(before, after, cost),
        share=share, even=break_even_share(share, before, after, cost), per_week=rivals / mix.weeks,
    )  # fmt: skip


def _share(text: str) -> float:
    found = typed_share(bare_percent(text))
    if not found:
        raise Mistake(f"{text!r} must lie above 0 % and below 100 %")
    return float(found)


def _page(args: Args, test: PriceTest, of: Of | None, per_week: float | None, seen: float | None) -> Iterator[str]:
    if of is not None:
        was, now = money(of.price_from, of.currency), money(of.price_to, of.currency)
        yield printable(
            f"{of.item.name}: {was} against {now}, {percent(of.share, 2)} of {of.item.section or 'its menu'}"
        )
        if of.volume is not None and of.even is not None:
            pays = "falls less than" if of.volume < 0 else "rises more than"
            yield (
                f"the change pays if its volume {pays} {percent(abs(of.volume), 2)}, which is a share of "
                f"{percent(of.even, 2)} where the other drinks sell as before"
            )
        if not of.item.complete:
            yield "note: its cost is at least so much, because a component has no price"
    yield f"to tell {percent(test.share, 2)} from {percent(test.other, 2)}: {test.per_arm:,} drinks in each of two arms"
    yield (
        f"two-sided at {percent(test.alpha)}, power {percent(test.power)}"
        f"{', with correction for continuity' if args.careful else ''}; the arms side by side, on the same days"
    )
    if test.weeks is not None and per_week is not None:
        yield f"at {floor(per_week):,} drinks a week in both arms: {test.weeks:,} week{'s' if test.weeks != 1 else ''}"
    if args.in_weeks:
        side = "less" if test.other < test.share else "more"
        least = f"nothing that is {side}" if seen is None else f"{percent(seen, 2)} or {side}"
        yield f"{args.in_weeks} weeks could tell from {percent(test.share, 2)}: {least}"
    if test.looks is None:
        yield "stop rule: do not look before all drinks are sold"
    else:
        half = f"{test.per_arm // 2:,} drinks an arm"
        yield f"stop rule: look once, at {half}, and end there only beyond |z| of {test.looks.half:.3f}"
    yield f"then the difference is real beyond |z| of {test.critical:.3f}"


def _json(args: Args, test: PriceTest, of: Of | None, per_week: float | None, seen: float | None) -> Json:
    return {
        "stillroom": "pricetest", "form": FORM, "share": test.share, "other": test.other, "alpha": test.alpha,
        "power": test.power, "per_arm": test.per_arm, "drinks": test.drinks, "weeks": test.weeks,
        "per_week": per_week, "look": None if test.looks is None else asdict(test.looks),
        "detectable": {"weeks": args.in_weeks, "share": seen} if args.in_weeks else None,
        "serve": of.item.serve if of else None, "menu": of.item.menu if of else None,
        "section": of.item.section if of else None, "price_from": float(of.price_from) if of else None,
        "price_to": float(of.price_to) if of else None,
        "break_even_volume": None if of is None or of.volume is None else float(of.volume),
        "break_even_share": of.even if of else None,
    }  # fmt: skip
