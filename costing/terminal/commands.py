"""What each command does. A command takes parsed arguments and returns an exit code: 0 good, 1 problems found."""

import argparse
import difflib
import getpass
import json
import sys
from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any, cast

from costing.book.book import Book, View
from costing.book.change import Step, put
from costing.book.checks import check
from costing.book.fact import parse_fact
from costing.book.history import History
from costing.book.problem import Problem, problem
from costing.book.records import Good, Preparation, Quote, Serve
from costing.ledger import Reckoning, reckon, why
from costing.ledger.unit import Unbridged, amount_in_base
from costing.paths import sample_book
from costing.pricing import priced_serves
from costing.report.words import sentence
from costing.store import create, export_json, open_store, read_json, write_json
from costing.terminal import jsonform, show
from costing.terminal.formpage import form_text
from costing.terminal.ledgerpage import ledger_text

Args = argparse.Namespace


class Mistake(ValueError):
    """A call that cannot be: printed as one line, exit 2."""


def say(*lines: str) -> None:
    """Print lines."""
    for line in lines:
        print(line)


def _who() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return ""


def _day(args: Args) -> date:
    return args.day or date.today()


def _json(document: Any) -> None:
    json.dump(document, sys.stdout, ensure_ascii=False, indent=1, allow_nan=False)
    print()


def _read(args: Args) -> tuple[View, int]:
    with open_store(args.book, readonly=True) as store:
        history = History(store)
        return history.book.on(_day(args)), history.head


def _code(problems: Iterable[Problem]) -> int:
    return 1 if any(p.level != "note" for p in problems) else 0


def find(named: Iterable[tuple[str, str]], wanted: str, what: str) -> str:
    """The id of what is called ``wanted``, by id or name in any case. Mistake names what comes close, or the ids
    where a name means two things."""
    pairs = list(named)
    fold = wanted.casefold().strip()
    ids = list(dict.fromkeys(ident for ident, _ in pairs if ident.casefold() == fold))
    ids = ids or list(dict.fromkeys(ident for ident, name in pairs if name.casefold() == fold))
    if len(ids) > 1:
        raise Mistake(f"{len(ids)} things are called {wanted!r}: say which by id, {' or '.join(ids)}")
    if ids:
        return ids[0]
    words = {w: ident for ident, name in pairs for w in (ident.casefold(), name.casefold())}
    close = dict.fromkeys(words[w] for w in difflib.get_close_matches(fold, words, 3, 0.5))
    hint = f"; did you mean {' or '.join(close)}?" if close else ""
    raise Mistake(f"there is no {what} called {wanted!r} on this day{hint}")


def new(args: Args) -> int:
    """Create a book from the plain form or the sample."""
    source = sample_book() if args.sample else args.source
    book = read_json(source) if source else Book()
    with create(args.book, book, code=f"new from {Path(source).name}" if source else "new", who=_who()):
        pass
    counts = ", ".join(
        f"{len(book.all(cls))} {word}"
        for cls, word in ((Good, "goods"), (Quote, "quotes"), (Preparation, "preparations"), (Serve, "serves"))
    )
    problems = check(book)
    say(f"wrote {args.book}: {counts}")
    say(*show.problems_text(problems))
    if not book.records:
        say("the book is empty: write it in the plain form and use --from, or start with --sample")
    else:
        say(f"next: python -m costing cost {args.book}")
    return _code(problems)


def export(args: Args) -> int:
    """Write the plain form."""
    with open_store(args.book, readonly=True) as store:
        book = History(store).book
    if str(args.target) == "-":
        sys.stdout.write(export_json(book))
    elif not args.target.absolute().parent.is_dir():
        raise Mistake(f"there is no folder {args.target.absolute().parent} to write {args.target.name} into")
    else:
        write_json(book, args.target)
        say(f"wrote {args.target}: {len(book)} records")
    return 0


def check_book(args: Args) -> int:
    """Say what is amiss, and verify the file."""
    with open_store(args.book, readonly=True) as store:
        store.verify()
        history = History(store)
        view, head = history.book.on(_day(args)), history.head
    reckoning = reckon(view)
    problems = reckoning.problems
    if args.json:
        _json({**jsonform.head("check", reckoning, head), "problems": [jsonform.problem_json(p) for p in problems]})
    else:
        say(*show.problems_text(problems))
        counted = {level: sum(p.level == level for p in problems) for level in ("error", "warning", "note")}
        say(f"{args.book}: the file is sound; " + ", ".join(f"{n} {level}s" for level, n in counted.items()))
    return _code(problems)


def cost(args: Args) -> int:
    """What things cost on a day and what serves should be sold at."""
    view, head = _read(args)
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
    if args.json:
        document = jsonform.cost_document(reckoning, serves, wanted, head)
        if wanted:
            document["why"] = [
                jsonform.why_json(r) for c in _carried(reckoning, next(iter(wanted))) for r in why(reckoning, c)
            ]
        _json(document)
    else:
        say(show.heading(reckoning, head, "cost"), "")
        shown = [s for s in serves if wanted is None or s.serve.id in wanted]
        if shown:
            say(*show.serves_text(reckoning, shown))
        if wanted:
            for priced in shown:
                say(*show.serve_detail(reckoning, priced), "")
        if wanted is None:
            say(show.preparations_text(reckoning), "")
        else:
            if wanted & set(view.goods):
                say(show.goods_text(reckoning, wanted), "")
            for carried in _carried(reckoning, next(iter(wanted))):
                say(show.trail_text(reckoning, carried), "")
        say(*show.problems_text(reckoning.problems))
    return _code(reckoning.problems)


def _carried(reckoning: Reckoning, ident: str) -> list[Any]:
    if ident in reckoning.serves:
        return [reckoning.serves[ident].carried]
    return [reckoning.direct[ident]] if ident in reckoning.direct else []


def ledger(args: Args) -> int:
    """The loss ledger of a preparation."""
    view, head = _read(args)
    ident = find(((i, p.name) for i, (p, _) in view.preparations.items()), args.preparation, "preparation")
    reckoning = reckon(view)
    if ident not in reckoning.ledgers:
        loop = [p for p in reckoning.problems if p.code == "loop"]
        raise Mistake(f"{ident} cannot be worked out: " + "; ".join(map(sentence, loop)))
    found = reckoning.ledgers[ident]
    if args.json:
        _json(jsonform.ledger_document(reckoning, found, head))
    else:
        say(show.heading(reckoning, head, f"loss ledger of {view.preparations[ident][0].name}"), "")
        say(*ledger_text(reckoning, found))
        say(*show.problems_text(reckoning.problems))
    return _code(reckoning.problems)


def quote(args: Args) -> int:
    """Put a supplier's price for a good, as one step that can be undone."""
    with open_store(args.book) as store:
        history = History(store)
        day = _day(args)
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
        history.do(Step(text, (put("quote", after, old),)), who=_who())
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
            step = day_book.undo(_who()) if args.undo else day_book.redo(_who())
            say(f"{'undone' if args.undo else 'redone'}: {step.text}")
        return 0
    with open_store(args.book, readonly=True) as store:
        day_book = History(store)
        rows = day_book.entries()
        if args.json:
            _json(jsonform.history_document(rows, day_book.undo_text, day_book.redo_text))
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

    view, head = _read(args)
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
    return _code(reckoning.problems)


def _progress(done: int, of: int) -> None:
    print(f"\rwriting reports: {done} of {of}", end="\n" if done == of else "", file=sys.stderr, flush=True)
