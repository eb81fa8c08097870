"""What each command does. A command takes parsed arguments and returns an exit code: 0 good, 1 problems found."""

import sys
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any, cast

from costing.book.book import View
from costing.book.change import Step, put
from costing.book.fact import parse_fact
from costing.book.history import History
from costing.book.problem import problem
from costing.book.records import Quote
from costing.ledger import Reckoning, reckon, why
from costing.ledger.allergens import Finding, allergens_of, serve_allergens
from costing.ledger.unit import Unbridged, amount_in_base
from costing.pricing import PricedServe, priced_serves
from costing.report.words import sentence
from costing.store import open_store
from costing.terminal import jsonform, show
from costing.terminal.allergenpage import allergens_text, reasons_text
from costing.terminal.base import Args, Mistake, code_of, day_of, find, print_json, read_view, say, who
from costing.terminal.batchof import batch_of, day_of_batch
from costing.terminal.formpage import form_text
from costing.terminal.ledgerpage import ledger_text
from costing.terminal.rangepage import CostRange


def check_book(args: Args) -> int:
    """Say what is amiss, and verify the file."""
    with open_store(args.book, readonly=True) as store:
        store.verify()
        history = History(store)
        view, head = history.book.on(day_of(args)), history.head
    reckoning = reckon(view)
    problems = reckoning.problems
    if args.json:
        print_json(
            {**jsonform.head("check", reckoning, head), "problems": [jsonform.problem_json(p) for p in problems]}
        )
    else:
        say(*show.problems_text(problems))
        counted = {level: sum(p.level == level for p in problems) for level in ("error", "warning", "note")}
        found = ", ".join(f"{n} {level}{'' if n == 1 else 's'}" for level, n in counted.items())
        say(f"{args.book}: the file itself is sound; in the book {found}")
    return code_of(problems)


def cost(args: Args) -> int:
    """What things cost on a day and what serves should be sold at."""
    view, head = read_view(args)
    reckoning = reckon(view)
    serves = list(priced_serves(reckoning))
    wanted = None
    if args.item:
        everything = [
            *((i, s.name) for i, (s, _) in view.serves.items()),
            *((i, p.name) for i, (p, _) in view.preparations.items()),
            *((o, show.name_of(view, o)) for o in reckoning.direct if "/" in o),
            *((g.id, g.name) for g in view.goods.values()),
        ]
        wanted = {find(everything, args.item, "serve, preparation or good")}
    shown = [s for s in serves if wanted is None or s.serve.id in wanted]
    if args.json:
        document = jsonform.cost_document(reckoning, serves, wanted, head)
        for ident in wanted or ():
            document["range"] = CostRange(reckoning, ident).json(shown)
            document["why"] = [jsonform.why_json(r) for c in _carried(reckoning, ident) for r in why(reckoning, c)]
        print_json(document)
    else:
        say(show.heading(reckoning, head, "cost"), "")
        if shown:
            say(*show.serves_text(reckoning, shown))
        if wanted is None:
            say(show.preparations_text(reckoning), "")
        for ident in wanted or ():
            _one(reckoning, ident, shown)
        say(*show.problems_text(reckoning.problems))
    return code_of(reckoning.problems)


def _one(reckoning: Reckoning, ident: str, places: list[PricedServe]) -> None:
    """What one thing costs, how sure that is, and the trail behind it; ``places`` are those of a drink."""
    found = CostRange(reckoning, ident)
    for priced in places:
        say(*show.serve_detail(reckoning, priced), *(f"   {line}" for line in found.lines(priced)), "")
    if ident in reckoning.view.goods:
        say(show.goods_text(reckoning, {ident}), "")
    if ident in reckoning.direct:
        say(*found.lines(), "")
    for carried in _carried(reckoning, ident):
        say(show.trail_text(reckoning, carried), "")


def _carried(reckoning: Reckoning, ident: str) -> list[Any]:
    if ident in reckoning.serves:
        return [reckoning.serves[ident].carried]
    return [reckoning.direct[ident]] if ident in reckoning.direct else []


def ledger(args: Args) -> int:
    """The loss ledger of a preparation: the standard batch, one of another size, or one as it was made."""
    view, head = read_view(args)
    ident = find(((i, p.name) for i, (p, _) in view.preparations.items()), args.preparation, "preparation")
    made_on = day_of_batch(args, view.book, ident)
    reckoning = reckon(view if made_on is None else view.book.on(made_on))
    if ident not in reckoning.ledgers:
        loop = [p for p in reckoning.problems if p.code == "loop"]
        raise Mistake(f"{ident} cannot be worked out: " + "; ".join(map(sentence, loop)))
    batch, of = batch_of(args, reckoning, ident)
    found = batch.ledger if batch else reckoning.ledgers[ident]
    elsewhere = ("preparation/", "serve/", "menu/", "batch/")
    beside = [p for p in reckoning.problems if not p.where.startswith(elsewhere)]
    problems = tuple(dict.fromkeys((*beside, *found.problems)))
    if args.json:
        print_json(jsonform.ledger_document(reckoning, found, head))
    else:
        what = f"loss ledger of {view.preparations[ident][0].name}" + (f", {of}" if of else "")
        say(show.heading(reckoning, head, what), "")
        say(*ledger_text(reckoning, found))
        if args.times is not None:
            say("Amounts and weighings are scaled from the standard batch: nobody measured them at this size.")
        say(*show.problems_text(problems))
    return code_of(problems)


def allergens(args: Args) -> int:
    """Allergens of serves and preparations, with the reasons of one."""
    view, head = read_view(args)
    reckoning = reckon(view)
    named = [
        *((i, s.name) for i, (s, _) in view.serves.items()),
        *(
            (o, show.name_of(view, o))
            for i, (_, v) in view.preparations.items()
            for o in (i, *(f"{i}/{b.id}" for b in v.byproducts))
        ),
        *((g.id, g.name) for g in view.goods.values() if g.layer == "materials"),
    ]
    if args.item:
        wanted = find(named, args.item, "serve, preparation or good")
        items = {wanted: _findings(reckoning, wanted)}
    else:
        items = {i: _findings(reckoning, i) for i, _ in named if i not in view.goods}
    if args.json:
        told = {i: jsonform.allergens_json(f) for i, f in items.items()}
        print_json({**jsonform.head("allergens", reckoning, head), "items": told})
    else:
        say(show.heading(reckoning, head, "allergens"), "")
        say(*(reasons_text if args.item else allergens_text)(reckoning, items))
    return 0


def _findings(reckoning: Reckoning, ident: str) -> tuple[Finding, ...]:
    return serve_allergens(reckoning, ident) if ident in reckoning.view.serves else allergens_of(reckoning, ident)


def quote(args: Args) -> int:
    """Put a supplier's price for a good, as one step that can be undone."""
    with open_store(args.book) as store:
        history = History(store)
        day = day_of(args)
        view = history.book.on(day)
        ident = find(((g.id, g.name) for g in view.goods.values()), args.good, "good")
        before = reckon(view)
        after, text = _new_quote(view, ident, args, day)
        if ident not in before.units:
            raise Mistake("; ".join(sentence(p) for p in before.problems if p.where == f"good/{ident}"))
        try:
            amount_in_base(after.content, before.units[ident], view.measures)
        except Unbridged as gap:
            raise Mistake(sentence(problem(gap.code, "", source=ident, **gap.detail))) from None
        old = cast("Quote | None", history.book.get("quote", after.id))
        history.do(Step(text, (put("quote", after, old),)), who=who())
        now = reckon(history.book.on(day))
        say(text)
        for serve, (record, _) in view.serves.items():
            was, is_now = before.serve_cost(serve), now.serve_cost(serve)
            if abs(was.making - is_now.making) > 1e-12 or was.unpriced != is_now.unpriced:
                say(f"  {record.name}: {show.cost_text(now, was)} -> {show.cost_text(now, is_now)} with making")
        chosen = now.prices.get(ident)
        if chosen is None or chosen.quote.id != after.id:
            say(f"  it does not cost {view.goods[ident].name} today: another quote comes first, or see check")
    say(f"take it back with: python -m costing history {args.book} --undo")
    return 0


def _new_quote(view: View, good: str, args: Args, day: date) -> tuple[Quote, str]:
    supplier = (
        find(((s.id, s.name) for s in view.suppliers.values()), args.supplier, "supplier") if args.supplier else ""
    )
    offers = [q for q in view.offers(good) if not supplier or q.supplier == supplier]
    current = offers[0] if offers else None
    given: dict[str, Any] = {"price": _money(args.price), "since": day}
    if args.pack:
        # what belonged to the old pack does not belong to the new one
        given |= {
            "content": parse_fact(args.pack),
            "levels": (),
            "charges": (),
            "free": None,
            "deposit": None,
            "gtin": "",
        }
    if args.tax:
        given["tax"] = args.tax
    if args.tax_rate:
        given["tax_rate"] = _rate(args.tax_rate)
    house = view.book.house
    if current is None:
        if not (supplier or len(view.suppliers) == 1):
            raise Mistake(f"{good} has no quote yet: say who asks this price with --supplier")
        if not args.pack:
            raise Mistake(f'say what the price is for with --pack, for example --pack "0.7 l" (good {good})')
        who = supplier or next(iter(view.suppliers))
        after = Quote(
            id=_free_id(view, good, day), good=good, supplier=who, currency=house.currency if house else "", **given
        )
    elif current.since == day:
        after = replace(current, **given)
    else:
        after = replace(current, id=_free_id(view, good, day), until=None, source="", note="", **given)
    was = f"{current.price} for {show.pack_text(current)} -> " if current else ""
    return after, f"price of {view.goods[good].name}: {was}{after.price} for {show.pack_text(after)} from {day}"


def _free_id(view: View, good: str, day: date) -> str:
    taken = {q.id for q in view.book.all(Quote).values()}
    return next(i for i in (f"{good}-{day}-{n}" for n in range(1, len(taken) + 2)) if i not in taken)


def _rate(text: str) -> Decimal:
    fact = parse_fact(text)
    if fact.unit not in ("", "%"):
        raise Mistake(f"{text!r} is not a tax rate: write 0.19 or 19 %")
    return fact.value / 100 if fact.unit else fact.value


def _money(text: str) -> Decimal:
    try:
        fact = parse_fact(text)
    except ValueError as error:
        raise Mistake(
            str(error).replace('write a number and a unit, for example "45 ml"', "write it like 12.50")
        ) from None
    if fact.unit or fact.mark == "assumed" or fact.value < 0:
        raise Mistake(f"{text!r} is not a price: write a number of 0 or more, like 12.50")
    return fact.value


def history(args: Args) -> int:
    """The day book; undo and redo."""
    if args.undo or args.redo:
        with open_store(args.book) as store:
            day_book = History(store)
            step = day_book.undo(who()) if args.undo else day_book.redo(who())
            say(f"{'undone' if args.undo else 'redone'}: {step.text}")
        return 0
    with open_store(args.book, readonly=True) as store:
        day_book = History(store)
        rows = day_book.entries()
        if args.json:
            print_json(jsonform.history_document(rows, day_book.undo_text, day_book.redo_text))
        else:
            say(show.history_text(rows), "")
            say(f"undo would take back: {day_book.undo_text or 'nothing'}")
            say(f"redo would bring back: {day_book.redo_text or 'nothing'}")
    return 0


def form(args: Args) -> int:
    """The plain form of a book, for a person who writes one."""
    say(*form_text())
    return 0


def report(args: Args) -> int:
    """Write the workbook and the PDFs."""
    from costing.report import write_reports  # noqa: PLC0415  openpyxl and reportlab are slow to import

    view, head = read_view(args)
    batch = None
    if args.batch:
        batch = find(((i, p.name) for i, (p, _) in view.preparations.items()), args.batch, "preparation")
    if args.out.exists() and not args.out.is_dir():
        raise Mistake(f"{args.out} is a file; --out names the folder to write into")
    reckoning = reckon(view)
    progress = _progress if sys.stderr.isatty() else None
    for path in write_reports(reckoning, args.out, revision=head, batch=batch, progress=progress):
        say(f"wrote {path}")
    say(*show.problems_text(reckoning.problems))
    return code_of(reckoning.problems)


def _progress(done: int, of: int) -> None:
    print(f"\rwriting reports: {done} of {of}", end="\n" if done == of else "", file=sys.stderr, flush=True)
