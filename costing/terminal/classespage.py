"""What ``classes`` prints: each section of the menu judged."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from costing.book.book import View
from costing.book.records import Menu
from costing.book.selling import Judging
from costing.ledger import Reckoning, reckon
from costing.menu.judged import Judged, Section, without
from costing.menu.mix import Mix, ended_periods, menu_mix
from costing.menu.together import judge_all
from costing.menu.words import (
    METHOD_SOURCES,
    METHOD_WORDS,
    WHY_WORDS,
    action_word,
    advice_text,
    cell_word,
    chance_text,
    class_word,
    sure_word,
)
from costing.terminal.base import Args, Mistake, code_of, find, print_json, read_view, say
from costing.terminal.classesjson import classes_document
from costing.terminal.show import DASH, currency_of, money, percent, problems_text
from costing.terminal.table import printable, table

DAYS_A_WEEK = 7


def classes(args: Args) -> int:
    """Judge the menu of a day by the sales up to it."""
    view, head = read_view(args)
    reckoning = reckon(view)
    judging = _rule(args, view)
    mix = menu_mix(reckoning, ended_periods(view.book, view.day, args.weeks * DAYS_A_WEEK))
    sections = judge_all(reckoning, mix, judging, _machine(args, view))
    wanted = _wanted(sections, args.section)
    gone = frozenset(find(((i.serve, i.name) for s in wanted for i in s.items), name, "drink") for name in args.without)
    if args.json:
        print_json(classes_document(reckoning, mix, judging, wanted, gone, head))
    else:
        say(*_page(reckoning, mix, judging, wanted, head, methods=args.methods, gone=gone))
        say(*problems_text(reckoning.problems))
    return code_of(reckoning.problems)


def _rule(args: Args, view: View) -> Judging:
    """The house's rule with what this call says otherwise."""
    house = view.book.house
    rule = house.judging if house else Judging()
    if args.cut is not None:
        rule = replace(rule, cut=args.cut)
    if args.tie is not None:
        rule = replace(rule, tie=args.tie)
    if args.unsold is not None:
        rule = replace(rule, unsold="left out" if args.unsold == "out" else "counted")
    return rule


def _machine(args: Args, view: View) -> str:
    """The good that is the hour of the machine that was asked for."""
    if not args.machine:
        return ""
    wanted = find(((m.id, m.name) for m in view.equipment.values()), args.machine, "machine")
    hour = view.equipment[wanted].hour
    if not hour:
        raise Mistake(f"nobody said what an hour of {args.machine!r} is, so no drink takes any: enter it first")
    return hour


def _wanted(sections: Sequence[Section], name: str | None) -> tuple[Section, ...]:
    if not name:
        return tuple(sections)
    found = {find(((s.name, s.name) for s in {s.name: s for s in sections}.values()), name, "section")}
    return tuple(s for s in sections if s.name in found)


def _page(
    reckoning: Reckoning, mix: Mix, judging: Judging, sections: Sequence[Section], revision: int, *,
    methods: bool, gone: frozenset[str],
) -> Iterator[str]:  # fmt: skip
    house, currency = reckoning.view.book.house, currency_of(reckoning)
    yield printable(
        f"{house.name if house else 'no house'}: the menu judged on {mix.day}, revision {revision}, in "
        f"{house.currency if house else '?'}"
    )
    yield _rule_line(mix, judging)
    if mix.without:
        yield printable(f"sold, but on no menu of the day: {', '.join(mix.without)}")
    for ident, count in mix.joined:
        known = reckoning.view.book.all(Menu).get(ident)
        yield printable(
            f"{count:,.10g} sold from {known.name if known else ident}, which does not print them on this day, are "
            "counted on the menu that does"
        )
    yield ""
    for section in sections:
        menu = reckoning.view.menus[section.menu].name
        yield printable(f"{menu}, {section.name}" if section.name else menu)
        yield from _section(section, currency)
        if methods and section.drinks:
            yield ""
            yield from _methods(section, currency)
        if gone & {item.serve for item in section.items} and section.drinks:
            yield ""
            yield from _without(section, judging, gone, currency)
        yield ""


def _rule_line(mix: Mix, judging: Judging) -> str:
    sign, other = (">=", "high") if judging.tie == "high" else (">", "low")
    span = "no sales of this time are in the book"
    if mix.periods:
        first, last = min(p.since for p in mix.periods), max(p.until for p in mix.periods)
        span = f"sales of {first} to {last} ({mix.days} days)"
    return (
        f"popular: share {sign} {percent(judging.cut, 0)} of an equal share; earns much: margin {sign} the average of "
        f"all sold (a tie counts as {other}); none sold: {judging.unsold}; sure from {percent(judging.sure, 0)}; "
        f"{span}; prices as paid, without tax and service"
    )


def _section(section: Section, currency: str) -> Iterator[str]:
    if section.unpriced:
        yield printable(f"no price, and in no set: {', '.join(item.name for item in section.unpriced)}")
    if section.why:
        yield WHY_WORDS[section.why]
        return
    yield _cuts(section, currency)
    head = ("drink", "sold", "share", "cost", "net", "margin", "class", "chance", "how sure", "do")
    yield table(head, (_row(d, currency) for d in section.drinks))
    for drink in section.drinks:
        yield printable(f"  {drink.row.name}: {advice_text(drink.advice, currency)}")


def _cuts(section: Section, currency: str) -> str:
    found, band = section.engineered, section.margin_band
    line = f"{found.N:,.10g} sold"
    if found.Q is not None and found.O is not None and found.popularity_sold is not None:
        line += (
            f"; popular from {percent(found.Q, 2)} ({found.popularity_sold:.1f} sold)"
            f"; earns much from {money(found.O, currency, 2)}"
        )
    if band is not None:
        line += f" ({money(band.low, currency, 2)} to {money(band.high, currency, 2)})"
    return f"{line}; nothing is judged below {section.enough} sold"


def _row(drink: Judged, currency: str) -> tuple[str, ...]:
    row, least = drink.row, "" if drink.item.complete else ">= "
    return (
        row.name,
        f"{row.sold:,.10g}",
        percent(row.mix, 2),
        least + money(row.cost, currency, 2),
        money(row.price, currency, 2),
        ("" if drink.item.complete else "<= ") + money(row.margin, currency, 2),
        class_word(drink.klass),
        DASH if drink.chance is None else chance_text(drink.chance),
        sure_word(drink.state),
        action_word(drink.advice.action),
    )


def _methods(section: Section, currency: str) -> Iterator[str]:
    """Each method's cell beside the others, and how many point the same way."""
    codes = [m.code for m in section.methods]
    head = ("drink", *(METHOD_WORDS[c] for c in codes), "they say", "agree")
    rows = []
    for drink in section.drinks:
        agreed = drink.agreement
        cells = [cell_word(agreed.cells[c].cell) if c in agreed.cells else DASH for c in codes]
        rows.append((drink.row.name, *cells, agreed.reading or "no one thing", f"{agreed.same} of {agreed.of}"))
    yield table(head, rows)
    for method in section.methods:
        cuts = ", ".join(_cut(method.code, i, value, currency) for i, value in enumerate(method.cuts))
        yield f"  {METHOD_WORDS[method.code]}: {METHOD_SOURCES[method.code]}; cut {cuts}"


def _cut(code: str, place: int, value: float, currency: str) -> str:
    if code in ("pavesic", "miller") and place == 0:
        return f"{percent(value)} cost"
    if code == "miller" or (code in ("class", "labour") and place == 0):
        return f"{value:.1f} sold"
    return money(value, currency, 2)


def _without(section: Section, judging: Judging, gone: frozenset[str], currency: str) -> Iterator[str]:
    left = without(section, judging, gone)
    names = ", ".join(item.name for item in section.items if item.serve in gone)
    yield printable(f"without {names}:")
    if left.lost.O is None or left.lost.popularity_sold is None:
        yield "  nothing is left that was sold"
        return
    moved = {m.index: m for m in left.moved}
    rows = [
        (row.name, *(class_word(k or DASH) for k in (left.before[i].klass, row.klass)), "moves" if i in moved else "")
        for i, row in zip(left.stay, left.lost, strict=True)
    ]
    yield table(("drink", "class now", "without", ""), rows)
    yield (
        f"  popular from {left.lost.popularity_sold:.1f} sold, earns much from {money(left.lost.O, currency, 2)}; all "
        f"margins {money(left.before.M, currency)} now, {money(left.lost.M, currency)} if its sales are lost, "
        f"{money(left.spread.M, currency)} if they go to the others in proportion (the classes are the same)"
    )
