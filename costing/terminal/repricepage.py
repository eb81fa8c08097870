"""What ``reprice`` prints: the new prices, what they bring, and what stands in the way."""

import sys
from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal

from costing.book.book import Book, View
from costing.book.history import History
from costing.book.records import Terms
from costing.edits.base import currency_of, typed_number, typed_price
from costing.edits.reprice import take
from costing.edits.suppliers import typed_share
from costing.ledger import reckon
from costing.menu.mix import Mix, ended_periods, menu_mix
from costing.menu.reprice import reprice as priced_anew
from costing.menu.reprice_record import WITHIN, Aim, Doubt, Limits, Relaxed, Repricing, Totals
from costing.menu.reprice_rows import MenuRows, menu_rows
from costing.menu.reprice_volumes import AtVolumes, Volumes, at_volumes, break_even
from costing.menu.reprice_words import DOUBT_WORDS, FAMILY_WORDS
from costing.store import open_store
from costing.terminal import jsonform, show
from costing.terminal.base import Args, Mistake, day_of, find, print_json, say, who
from costing.terminal.repricejson import reprice_json
from costing.terminal.show import DASH, money, percent
from costing.terminal.table import printable, table
from costing.terminal.typed import bare_percent
from costing.tongue import word

SUPPOSED = ("-20", "0", "20")


def reprice(args: Args) -> int:
    """New prices for a menu; with --accept, written as one step. Exit 1 where the aim is out of reach."""
    with open_store(args.book, readonly=not args.accept) as store:
        history = History(store)
        book, day = history.book, day_of(args)
        reckoning = reckon(book.on(day))
        mix = menu_mix(reckoning, ended_periods(book, day, 7 * args.weeks))
        menu = menu_of(reckoning.view, args.menu)
        rows = _rows(
            args, reckoning.view, menu, menu_rows(reckoning, mix, menu=menu, section=_section(args, book, menu))
        )
        limits = _limits(args, book)
        volumes = [Volumes(changed=_percent(text)) for text in args.volume or SUPPOSED]
        found = priced_anew(
            rows.rows, _aim(args, book, reckoning.view.terms), points=rows.points, limits=limits,
            order=() if args.any_order else rows.order, goal="fewest" if args.fewest else "smallest",
            seconds=args.seconds, progress=_progress if sys.stderr.isatty() else None,
        )  # fmt: skip
        supposed = at_volumes(found, volumes)
        doubts = (*rows.doubts, *found.doubts)
        if args.json:
            head = jsonform.head("reprice", reckoning, history.head)
            print_json({**head, **reprice_json(menu, args.section, mix, found, supposed, doubts)})
        else:
            say(show.heading(reckoning, history.head, f"prices of {reckoning.view.menus[menu].name}"), "")
            say(*_page(found, limits, supposed, doubts, mix, currency_of(book)))
        if args.accept:
            step = take(book, found.prices, args.since or day) if found.met else None
            if step is not None:
                history.do(step, who=who())
            if not args.json:
                say(*_done(step.text if step is not None else "", found, args))
        elif found.moved and found.met and not args.json:
            n = len(found.moved)
            say(f"nothing is written yet: take the {f'{n} new prices' if n > 1 else 'new price'} with --accept")
    return 0 if found.met else 1


def menu_of(view: View, name: str | None) -> str:
    """The menu that is meant, by id. Mistake where none is in force, or several and nobody says which."""
    if name:
        return find(((m.id, m.name) for m in view.menus.values()), name, "menu")
    if len(view.menus) != 1:
        names = ", ".join(m.name for m in view.menus.values())
        raise Mistake(f"say which menu with --menu: {names}" if names else "no menu is in force on this day")
    return next(iter(view.menus))


def _section(args: Args, book: Book, menu: str) -> str | None:
    if not args.section:
        return None
    names = [section.name for section in book.on(day_of(args)).menus[menu].sections]
    return find(((name, name) for name in names), args.section, "section")


def _rows(args: Args, view: View, menu: str, rows: MenuRows) -> MenuRows:
    """The rows, those of --hold held."""
    named = [(serve, view.serves[serve][0].name) for _, _, serve in rows.places.values()]
    held = {find(named, name, "serve on this menu") for name in args.hold}
    return replace(
        rows, rows=tuple(replace(r, held=r.held or rows.places[r.key][2] in held) for r in rows.rows)
    )  # fmt: skip


def _aim(args: Args, book: Book, terms: Terms | None) -> Aim:
    if args.margin:
        return Aim(kind="margin", value=typed_price(args.margin, currency_of(book)))
    if args.pour_cost:
        return Aim(kind="pour_cost", value=typed_share(bare_percent(args.pour_cost)) or Decimal(0))
    if terms is None:
        raise Mistake("the house's taxes and price points begin after this day: give a later --day")
    if terms.policy.kind != "pour_cost":
        raise Mistake("the house's own target is no pour cost: give --pour-cost 20 or --margin MONEY")
    return Aim(kind="pour_cost", value=terms.policy.value)


def _limits(args: Args, book: Book) -> Limits:
    return Limits(
        rise=None if args.rise.strip().casefold() == "any" else typed_share(bare_percent(args.rise)),
        rise_money=typed_price(args.rise_money, currency_of(book)) if args.rise_money else None,
        at_most=args.at_most, reductions=not args.no_reductions,
        within=WITHIN if args.points is None else args.points,
    )  # fmt: skip


def _percent(text: str) -> Decimal:
    """A change in per cent as typed: -20, +10 %."""
    work = text.strip().removesuffix("%").strip()
    sign = -1 if work.startswith("-") else 1
    try:
        return sign * typed_number(work.lstrip("+-"), text) / 100
    except ValueError:
        raise Mistake(f"{text!r} is not a change in volume: write it like -20 or 15 %") from None


def _page(
    found: Repricing,
    limits: Limits,
    supposed: Sequence[AtVolumes],
    doubts: Sequence[Doubt],
    mix: Mix,
    currency: str,
) -> Iterator[str]:
    if mix.periods:
        yield f"volumes: what was sold from {mix.periods[0].since} to {mix.periods[-1].until}, {_weeks(mix.weeks)}"
    yield f"aim: {_aim_text(found, currency)}; limits: {_limits_text(limits, found, currency)}"
    yield ""
    if found.moved and not found.met:
        yield "the furthest that these limits allow:"
    yield from _moves(found, currency)
    yield ""
    yield _totals("now", found.before, currency)
    yield _totals("then, at the same volumes" if found.met else "at the furthest", found.after, currency)
    yield from _way(found, currency)
    yield ""
    if found.moved:
        even = break_even(found)
        if even is not None:
            yield f"all changed drinks together break even at {signed(even)} of their volume"
        for case in supposed:
            sell = f"{signed(case.volumes.changed)}" if case.volumes.changed else "as many"
            yield (
                f"if changed drinks sell {sell}: margin {money(case.after.margin, currency)} "
                f"({_plus(case.gain, currency)}), pour cost {percent(case.after.pour_cost, 2)}"
            )
        yield ""
    for doubt in doubts:
        yield printable(f"note: {', '.join(doubt.names)}: {word(DOUBT_WORDS, doubt.code)}")


def _aim_text(found: Repricing, currency: str) -> str:
    if found.aim.kind == "pour_cost":
        return f"overall pour cost of {percent(found.aim.value, 2)}"
    return f"overall margin of {money(found.aim.value, currency)}"


def _limits_text(limits: Limits, found: Repricing, currency: str) -> str:
    parts = [f"{limits.within} price points up or down"]
    if limits.rise is not None:
        parts.append(f"a rise of {percent(limits.rise)}")
    if limits.rise_money is not None:
        parts.append(f"a rise of {money(limits.rise_money, currency)}")
    if limits.at_most is not None:
        parts.append(f"at most {_changes(limits.at_most)}")
    if not limits.reductions:
        parts.append("no price falls")
    held = sum(line.row.held for line in found.rows)
    return ", ".join([*parts, *([f"{held} held"] if held else [])])


def _moves(found: Repricing, currency: str) -> Iterator[str]:
    if not found.moved:
        yield "no price changes: the aim is met as it is" if found.met else "no price can change under these limits"
        return
    head = (
        "serve",
        "sold",
        "was",
        "is",
        "change",
        "pour cost was",
        "is",
        "margin was",
        "is",
        "breaks even at",
        "stopped by",
    )
    yield table(head, (
        (
            line.row.name, f"{line.row.sold.normalize():f}", money(line.old.all_in, currency),
            money(line.new.all_in, currency), _plus(line.change, currency), percent(line.old.pour_cost),
            percent(line.new.pour_cost), money(line.old.margin, currency), money(line.new.margin, currency),
            DASH if line.volume is None else signed(line.volume), ", ".join(sorted(line.stopped)) or DASH,
        )
        for line in found.moved
    ))  # fmt: skip
    yield f"{len(found.moved)} of {len(found.rows)} prices change, by {money(found.change, currency)} in all"
    plain = found.everything
    if plain.steps:
        met = "" if plain.met else ", and would still fall short"
        often = "once" if plain.steps == 1 else f"{plain.steps} times"
        much = f"{plain.changed} price{'' if plain.changed == 1 else 's'} by {money(plain.change, currency)}"
        yield f"every price up by one price point {often} would change {much}{met}"


def _totals(what: str, totals: Totals, currency: str) -> str:
    return (
        f"{what}: net sales {money(totals.net, currency)}, cost {money(totals.cost, currency)}, "
        f"margin {money(totals.margin, currency)}, pour cost {percent(totals.pour_cost, 2)}"
    )


def _way(found: Repricing, currency: str) -> Iterator[str]:
    if found.met and not found.proven:
        gap = "" if found.gap is None else f"; it may be better by {found.gap.normalize():f}"
        yield f"the time ended before this was proven to be the best{gap}"
    if found.met:
        return
    if found.possible:
        yield f"OUT OF REACH: net sales of {money(found.needed, currency)} are needed"
    else:
        yield "OUT OF REACH: the limits contradict each other, so no prices keep them all"
    names = {line.row.key: line.row.name for line in found.rows}
    for relaxed in found.relaxed:
        yield printable(f"  {_relaxed(relaxed, names, currency)}")
    if found.relaxed and not any(r.reaches for r in found.relaxed):
        yield "  no one of these alone is enough"


def _relaxed(relaxed: Relaxed, names: dict[str, str], currency: str) -> str:
    what = word(FAMILY_WORDS, relaxed.family)
    n = len(relaxed.keys)
    at = f"; {n} price{'s stand' if n > 1 else ' stands'} at it" if n else ""
    at += (
        f" ({', '.join(names[key] for key in relaxed.keys[:4])}{', ...' if len(relaxed.keys) > 4 else ''})"
        if at
        else ""
    )
    if relaxed.after is None:
        return f"without {what} alone: no prices keep the rest either{at}"
    reach = f"pour cost {percent(relaxed.after.pour_cost, 2)}, margin {money(relaxed.after.margin, currency)} at best"
    if not relaxed.reaches:
        return f"without {what} alone: still out of reach, {reach}{at}"
    enough = ""
    if relaxed.needs is not None:
        least = f"a rise of up to {percent(relaxed.needs, 2)}" if relaxed.family == "rise" else _changes(relaxed.needs)
        enough = f"; {least} would do for the aim"
    return f"without {what} alone: within reach, {reach}{enough}{at}"


def _weeks(weeks: float) -> str:
    return f"{weeks:.3g} week{'' if weeks == 1 else 's'}"


def _changes(count: Decimal | int) -> str:
    return f"{int(count)} change{'' if count == 1 else 's'}"


def signed(share: Decimal) -> str:
    """A change as per cent with its sign."""
    return f"{'+' if share > 0 else ''}{percent(share)}"


def _plus(amount: Decimal, currency: str) -> str:
    return f"{'+' if amount > 0 else ''}{money(amount, currency)}"


def _done(text: str, found: Repricing, args: Args) -> tuple[str, ...]:
    if not found.met:
        return ("nothing is written: the aim is out of reach under these limits",)
    if not text:
        return ("nothing is written: no price changes",)
    return (f"done: {text}", f"take it back with: python -m costing history {args.book} --undo")


def _progress(done: int, of: int) -> None:
    print(f"\rpricing the menu: {done} of {of}", end="\n" if done == of else "", file=sys.stderr, flush=True)
