"""What the command ``scenario`` does: reads, works out, prints, and writes where it was asked to."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date

from costing.book.book import Book
from costing.book.history import History
from costing.book.records import Serve
from costing.book.selling import Scenario
from costing.edits.scenarios import applied, keep, remove, scenario_of
from costing.menu.breakeven import break_evens
from costing.menu.compare import Comparison, Under, as_it_stands, compare, under
from costing.menu.mix import ended_periods
from costing.menu.tornado import menu_tornado, own_swings, serve_tornado
from costing.store import open_store
from costing.terminal import scenariojson, scenariomoved, scenariopage
from costing.terminal.base import Args, Mistake, find, print_json, say, who
from costing.terminal.jsonform import FORM

SUPPOSED = "supposed"


def scenario(args: Args) -> int:
    """The command. Exit 1 where a scenario leaves a drink without a cost, or makes something impossible."""
    changing = bool(args.save or args.apply or args.drop)
    with open_store(args.book, readonly=not changing) as store:
        history = History(store)
        book, day = history.book, args.first or getattr(args, "day", None) or date.today()
        if args.list:
            return _listed(args, book, day)
        if args.moved:
            return scenariomoved.moved(args, book, day, history.head)
        if args.breakeven or args.tornado is not None:
            return _asked(args, book, day, history.head)
        wanted = _wanted(args, book, day)
        if not wanted and not args.drop:
            raise Mistake('name a scenario, or suppose something, for example --suppose "white rum +10 %"')
        if (args.save or args.apply) and len(wanted) != 1:
            raise Mistake("one scenario at a time can be saved or applied")
        code = _told(args, book, day, wanted, history.head) if wanted else 0
        if changing:
            lines = tuple(_changed(args, history, wanted, day))
            if not args.json:
                say(*lines)
    return code


def _listed(args: Args, book: Book, day: date) -> int:
    kept = tuple(book.all(Scenario).values())
    if args.json:
        print_json({"stillroom": "scenarios", "form": FORM,
                    "scenarios": [scenariojson.scenario_json(s, book, day) for s in kept]})  # fmt: skip
    else:
        say(*scenariopage.list_text(kept, book, day))
    return 0


def _asked(args: Args, book: Book, day: date, head: int) -> int:
    """Break-even prices, or a tornado."""
    base = as_it_stands(book, day, ended_periods(book, day, args.weeks * 7))
    named = tuple((s.id, s.name) for s in book.all(Serve).values())
    serve = find(named, args.breakeven or args.tornado, "serve") if args.breakeven or args.tornado else ""
    if args.breakeven:
        found = break_evens(base.reckoning, serve)
        if args.json:
            print_json(scenariojson.breakeven_json(base, found, head))
        else:
            say(*scenariopage.breakeven_text(base, serve, found, head))
        return 0 if found and all(f.goods for f in found) else 1
    if serve and serve not in base.reckoning.serves:
        raise Mistake(f"{serve} cannot be made on {day}: see check")
    if args.own and args.by != "good":
        raise Mistake("only goods have prices of their own: --own stands with --by good")
    swings = own_swings(base.reckoning) if args.own else {}
    if serve:
        tornado = serve_tornado(base.reckoning, serve, args.by, swings=swings)
    else:
        tornado = menu_tornado(base.reckoning, base.mix, args.by, swings=swings)
    if args.json:
        print_json(scenariojson.tornado_json(base, serve, tornado, head))
    else:
        say(*scenariopage.tornado_text(base, serve, tornado, head, swings if args.own else None, everything=args.all))
    return 0 if tornado.complete else 1


def _wanted(args: Args, book: Book, day: date) -> list[Scenario]:
    """The scenarios that were asked for; lines of the call stand behind those of the one that is named."""
    kept = book.all(Scenario)
    found = [kept[find(((s.id, s.name) for s in kept.values()), name, "scenario")] for name in args.names]
    if not args.suppose:
        return found
    more = scenario_of(book, args.suppose, day, SUPPOSED)
    if len(found) != 1:
        return [*found, more]
    return [replace(found[0], id="", name=f"{found[0].name} and more", supposed=(*found[0].supposed, *more.supposed))]


def _told(args: Args, book: Book, day: date, wanted: Iterable[Scenario], head: int) -> int:
    base = as_it_stands(book, day, ended_periods(book, day, args.weeks * 7))
    found = compare(base, [under(base, one) for one in wanted])
    if args.json:
        print_json(scenariojson.comparison_json(found, head))
    else:
        say(*scenariopage.comparison_text(found, head, everything=args.all))
    return _code(found)


def _code(found: Comparison) -> int:
    def bad(other: Under) -> bool:
        return any(p.level == "error" for p in other.wrong)

    return 1 if any(found.lost) or any(bad(other) for other in found.others) else 0


def _changed(args: Args, history: History, wanted: list[Scenario], day: date) -> Iterator[str]:
    """Save, apply and throw away, each a step of its own."""
    done = 0
    if args.save:
        step, _ = keep(history.book, wanted[0], args.save, history.past_ids())
        history.do(step, who=who())
        done += 1
        yield f"done: {step.text}"
    if args.apply:
        made = applied(history.book, wanted[0], day, history.past_ids())
        if made is None:
            yield "nothing to apply: it changes no figure of the book"
        else:
            history.do(made, who=who())
            done += 1
            yield f"done: {made.text}"
    if args.drop:
        kept = history.book.all(Scenario)
        ident = find(((s.id, s.name) for s in kept.values()), args.drop, "scenario")
        step = remove(history.book, ident)
        history.do(step, who=who())
        done += 1
        yield f"done: {step.text}"
    if done:
        yield f"take it back with: python -m costing history {args.book} --undo" + (
            f", {done} times" if done > 1 else ""
        )
