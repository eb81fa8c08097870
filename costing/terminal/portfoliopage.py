"""What ``portfolio`` prints: a drink added, a drink dropped, a new menu against the old one."""

from collections.abc import Iterator, Mapping, Sequence

from costing.book.book import View
from costing.book.money import to_float
from costing.book.records import Menu
from costing.edits.base import currency_of as currency_of_book
from costing.edits.base import typed_price
from costing.ledger import Reckoning, reckon
from costing.menu.adding import Diverted, adding, needs_of_adding
from costing.menu.batch_rows import PREP, machines_of
from costing.menu.capacity_rows import VARYING, capacity_of, decision_margin
from costing.menu.dropping import Dropping, dropping
from costing.menu.mix import WEEK, Item, Mix, ended_periods, menu_mix
from costing.menu.newmenu import MenuSide, NewMenu, expected_rows, new_menu
from costing.menu.portfolio import Under
from costing.menu.todays import todays
from costing.pricing.levies import net_of
from costing.terminal.base import Args, Mistake, code_of, find, print_json, read_view, say
from costing.terminal.portfoliojson import (
    AddingRead,
    HoursRow,
    NewMenuRead,
    adding_document,
    dropping_document,
    new_menu_document,
)
from costing.terminal.show import DASH, currency_of, figure, money, name_of, percent, problems_text
from costing.terminal.table import printable, table


def portfolio(args: Args) -> int:
    """Adding a drink, dropping one, or a new menu. Exit 1 where the book has problems."""
    view, head = read_view(args)
    reckoning = reckon(view)
    mix = todays(reckoning, menu_mix(reckoning, ended_periods(view.book, view.day, int(args.weeks * WEEK))))
    if not mix.periods:
        raise Mistake(
            f"no period of sales ended by {view.day}: type or read in what was sold first, or give another --day"
        )
    if args.drop:
        _dropped(args, reckoning, mix, head)
    elif args.add:
        _added(args, reckoning, mix, head)
    else:
        _against(args, reckoning, mix, head)
    if not args.json:
        say(*problems_text(reckoning.problems))
    return code_of(reckoning.problems)


def _title(reckoning: Reckoning, mix: Mix, revision: int, what: str) -> Iterator[str]:
    house = reckoning.view.book.house
    yield printable(
        f"{house.name if house else 'no house'}: {what} on {mix.day}, revision {revision}, in "
        f"{house.currency if house else '?'}, by {mix.weeks:g} weeks of sales"
    )
    yield "Margins here are net less materials and energy: what varies with each drink."


def hours_rows(reckoning: Reckoning, mix: Mix, hours: Mapping[str, float]) -> tuple[HoursRow, ...]:
    """Hours by resource beside those that the mix leaves free (None where nobody said how many there are)."""
    found = capacity_of(mix, reckoning)
    free = {r.key: r.hours - sum(p.demand * p.hours.get(r.key, 0.0) for p in found.products) for r in found.resources}
    pools = machines_of(reckoning)
    rows = []
    for key, value in hours.items():
        if value:
            machines = " + ".join(reckoning.view.equipment[m].name for m in pools.get(key, ()))
            rows.append(HoursRow(id=key, name="people preparing" if key == PREP else machines, hours=value,
                                 free=free.get(key)))  # fmt: skip
    return tuple(rows)


def _hours_table(rows: Sequence[HoursRow], what: str) -> Iterator[str]:
    if rows:
        said = [(r.name, figure(r.hours, 1), _free(r.free)) for r in rows]
        yield table(("hours of", what, "free now"), said)


def _free(hours: float | None) -> str:
    """Hours left over, or by how many what was sold would take more than there are."""
    if hours is None:
        return "not said"
    return figure(hours, 1) if hours >= 0 else f"{figure(-hours, 1)} short"


def _under(view: View, under: Under, what: str) -> Iterator[str]:
    for kind, idents in (("preparations", under.preparations), ("ingredients", under.goods)):
        if idents:
            yield printable(f"  {kind} {what}: {', '.join(sorted(name_of(view, i) for i in idents))}")


def _serve(reckoning: Reckoning, name: str) -> str:
    return find([(i, s.name) for i, (s, _) in reckoning.view.serves.items()], name, "drink")


def _dropped(args: Args, reckoning: Reckoning, mix: Mix, head: int) -> None:
    found = dropping(reckoning, mix, _serve(reckoning, args.drop))
    rows = hours_rows(reckoning, mix, found.hours)
    if args.json:
        print_json(dropping_document(reckoning, mix, found, rows, head))
    else:
        say(*_drop_page(reckoning, mix, found, rows, head))


def _drop_page(reckoning: Reckoning, mix: Mix, d: Dropping, rows: Sequence[HoursRow], revision: int) -> Iterator[str]:
    currency, view = currency_of(reckoning), reckoning.view
    yield from _title(reckoning, mix, revision, f"dropping {d.rows[0].name}")
    yield ""
    stock, spoilt = sum(s.money for s in d.stock), sum(s.money for s in d.spoilt)
    yield table(("", "money"), [
        (f"margin of the {figure(d.sold, 1)} sold", money(d.margin, currency)),
        ("spoilt for it, saved", money(spoilt, currency)),
        ("of by-products it took, not saved", money(d.stays, currency)),
        ("if its guests take nothing", money(d.vanish, currency)),
        ("if all take other drinks of its section", DASH if d.move is None else money(d.move, currency)),
        ("stock that stands for it, once (one batch, a week's packs)", money(stock, currency)),
    ])  # fmt: skip
    yield _break_even(d)
    yield from _hours_table(rows, "it takes")
    yield from _under(view, d.only, "only it needs")
    for ident in d.by_product:
        yield printable(f"  {name_of(view, ident)} is then made for its by-product alone: what it takes is not saved")
    if any(not i.complete for i in d.rows):
        yield "  something in it has no price: its margin is at most that"


def _break_even(d: Dropping) -> str:
    share = d.break_even
    if share is None:
        return "No other drink it could be compared with was sold."
    if share > 1:
        return (f"Dropping it does not pay even if every guest takes another drink of its section: {percent(share, 0)} "
                "of them would have to.")  # fmt: skip
    return f"It pays if more than {percent(share, 0)} of its guests take another drink of its section."


def _added(args: Args, reckoning: Reckoning, mix: Mix, head: int) -> None:
    terms = reckoning.view.terms
    if args.price is None or args.sold is None:
        raise Mistake("say what it would be sold at and how many: --add SERVE --price 15.50 --sold 120")
    if terms is None:
        raise Mistake("the house has no taxes and target on this day: enter them first")
    serve = _serve(reckoning, args.add)
    cost = reckoning.serve_cost(serve)
    price = typed_price(args.price, currency_of_book(reckoning.view.book))
    margin = to_float(net_of(price, terms.levies)) - cost.of(VARYING)
    instead: list[tuple[Item, float]] = []
    for name, share in args.diverted:
        ident = find(((i.serve, i.name) for i in mix.items if i.serve != serve), name, "drink on a menu")
        instead.append((max((i for i in mix.items if i.serve == ident), key=lambda i: i.sold), share))
    found = adding(margin, args.sold, [Diverted(name=i.name, share=s, margin=decision_margin(i)) for i, s in instead])
    needs = needs_of_adding(reckoning, serve, args.sold, instead, mix.items)
    read = AddingRead(serve=serve, price=price, cost=cost, adding=found, needs=needs,
                      hours=hours_rows(reckoning, mix, needs.more))  # fmt: skip
    if args.json:
        print_json(adding_document(reckoning, mix, read, head))
    else:
        say(*_add_page(reckoning, mix, read, head))


def _add_page(reckoning: Reckoning, mix: Mix, read: AddingRead, revision: int) -> Iterator[str]:
    currency, a = currency_of(reckoning), read.adding
    yield from _title(reckoning, mix, revision, f"adding {reckoning.view.serves[read.serve][0].name}")
    yield ""
    most = "" if read.cost.complete else "<= "
    yield table(("", "money"), [
        (f"margin each at {money(read.price, currency)}", most + money(a.margin, currency)),
        (f"margin of {figure(a.sold, 1)}", most + money(a.earns, currency)),
        (f"lost on others, {percent(a.share)} of its sales", money(a.loses, currency)),
        ("gain", most + money(a.gain, currency)),
        ("gain a drink sold", most + money(a.per_sale, currency)),
    ])  # fmt: skip
    for d in a.diverted:
        limit = a.break_even[d.name]
        if limit is None or limit > 1:
            yield printable(f"  instead of {d.name} (margin {money(d.margin, currency)}) every one of them may be sold")
        else:
            yield printable(f"  instead of {d.name} alone (margin {money(d.margin, currency)}) up to {percent(limit)}")
    share = a.break_even_share
    if share is not None and len(a.diverted) > 1:
        yield f"  in this proportion {'all' if share > 1 else 'up to ' + percent(share)} of its sales may be taken"
    if not a.diverted:
        yield "  nobody said what its guests would take else, so all of them count as new ones: say --from SERVE=SHARE"
    sold = [i for i in mix.items if i.serve == read.serve]
    if sold:
        yield (f"  it is on the menu already and sold {figure(sum(i.sold for i in sold), 0)}: these are "
               f"{figure(a.sold, 0)} more, and not those at another price (that is a scenario)")  # fmt: skip
    yield from _hours_table(read.hours, "more")
    yield from _under(reckoning.view, read.needs.new, "that no other drink of the menus takes" if sold else
                      "new to the menus")  # fmt: skip


def _against(args: Args, reckoning: Reckoning, mix: Mix, head: int) -> None:
    read, later = _new_menu(args, reckoning, mix)
    if args.json:
        print_json(new_menu_document(reckoning, mix, read, head))
    else:
        say(*_against_page(reckoning, later, mix, read, head))


def _new_menu(args: Args, reckoning: Reckoning, mix: Mix) -> tuple[NewMenuRead, Reckoning]:
    menus = reckoning.view.book.all(Menu)
    new = find(((m.id, m.name) for m in menus.values()), args.against, "menu")
    begins = menus[new].since
    later, mix_new = reckoning, mix
    if begins is not None and begins > reckoning.view.day:
        later = reckon(reckoning.view.book.on(begins))
        mix_new = todays(later, menu_mix(later, mix.periods))
    rows = [i for i in mix_new.items if i.menu == new]
    if not rows:
        until = menus[new].until
        raise Mistake(f"{menus[new].name} prints no drink that can be made on {later.view.day}"
                      + (f": it ended on {until}; say --day for a day it was out" if until else ""))  # fmt: skip
    sold: dict[str, float] = {}
    for item in mix.items:
        sold[item.menu] = sold.get(item.menu, 0.0) + item.sold
    sold.pop(new, None)
    if args.menu:
        old = find(((m, menus[m].name) for m in sold), args.menu, "menu with sales")
    elif sold:
        old = max(sold, key=lambda m: sold[m])
    else:
        raise Mistake("there is no other menu on this day to put it against")
    before = [i for i in mix.items if i.menu == old]
    names = {i.serve: i.name for i in rows}
    said = {find(list(names.items()), name, "drink of the new menu"): count for name, count in args.expect}
    after, guessed = expected_rows(before, rows, said)
    found = new_menu(reckoning, before, after, later)
    read = NewMenuRead(old=old, new=new, found=found, guessed=guessed, covers=args.covers or None,
                       hours=hours_rows(reckoning, mix, found.hours_more))  # fmt: skip
    return read, later


def _against_page(reckoning: Reckoning, later: Reckoning, mix: Mix, read: NewMenuRead, revision: int) -> Iterator[str]:
    currency, n = currency_of(reckoning), read.found
    names = [later.view.menus[m].name if m in later.view.menus else m for m in (read.old, read.new)]
    yield from _title(reckoning, mix, revision, f"{names[1]} against {names[0]} at {figure(n.old.sold, 0)} drinks")
    yield ""
    yield table(("", names[0], names[1], "more"), list(_sides(n, currency, read.covers)))
    yield from _hours_table(read.hours, "more")
    for what, view, serves in (("come", later.view, n.drinks_come), ("go", reckoning.view, n.drinks_go)):
        if serves:
            yield printable(f"  drinks that {what}: {', '.join(view.serves[s][0].name for s in serves)}")
    yield from _under(later.view, n.come, "that come")
    yield from _under(reckoning.view, n.go, "that go")
    if read.guessed:
        yield printable(f"  nobody said how many of {', '.join(read.guessed)} would be sold: as many as a drink of the "
                        "old menu did on average; say --expect NAME=N")  # fmt: skip


def _sides(n: NewMenu, currency: str, covers: float | None) -> Iterator[tuple[str, ...]]:
    def row(what: str, old: float, new: float) -> tuple[str, ...]:
        return what, money(old, currency), money(new, currency), money(new - old, currency)

    def least(side: MenuSide) -> str:
        return "" if side.complete else ">= "

    yield row("net sales", n.old.net, n.new.net)
    yield row("margin", n.old.margin, n.new.margin)
    yield row("margin a drink", n.old.margin_each or 0.0, n.new.margin_each or 0.0)
    yield "pour cost", least(n.old) + percent(n.old.pour_cost), least(n.new) + percent(n.new.pour_cost), ""
    if covers:
        yield "drinks a guest", figure(n.old.per_cover(covers), 2), figure(n.new.per_cover(covers), 2), ""
        yield row("margin a guest", n.old.margin / covers, n.new.margin / covers)
