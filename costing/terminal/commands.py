"""What each command does. A command takes parsed arguments and returns an exit code: 0 good, 1 problems found."""

import argparse
import difflib
import getpass
import json
import sys
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any, cast

from costing.book.book import Book, View
from costing.book.change import Step, put
from costing.book.checks import check
from costing.book.fact import parse_fact
from costing.book.history import History
from costing.book.problem import Problem
from costing.book.records import Good, Preparation, Quote, Serve, TaxBasis
from costing.ledger import Reckoning, reckon, why
from costing.paths import sample_book
from costing.pricing import priced_serves
from costing.report.words import sentence
from costing.store import create, export_json, open_store, read_json, write_json
from costing.terminal import jsonform, show

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


def _problems(book: Book, reckoning: Reckoning) -> list[Problem]:
    """Checks and the day's problems, each place and code once: both may meet the same missing thing."""
    seen: dict[tuple[str, str, tuple[tuple[str, str], ...]], Problem] = {}
    for p in (*check(book), *reckoning.problems):
        seen.setdefault((p.code, p.where, p.detail), p)
    return list(seen.values())


def _code(problems: Iterable[Problem]) -> int:
    return 1 if any(p.level != "note" for p in problems) else 0


def find(named: Iterable[tuple[str, str]], wanted: str, what: str) -> str:
    """The id of what is called ``wanted``, by id or name in any case. Mistake names what comes close."""
    pairs = list(named)
    fold = wanted.casefold().strip()
    for ident, name in pairs:
        if fold in (ident.casefold(), name.casefold()):
            return ident
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
    problems = _problems(view.book, reckoning)
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
            say(show.serves_text(reckoning, shown), "")
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
        say(*show.ledger_text(reckoning, found))
        say(*show.problems_text(found.problems))
    return _code(found.problems)


def quote(args: Args) -> int:
    """Put a supplier's price for a good, as one step that can be undone."""
    with open_store(args.book) as store:
        history = History(store)
        day = _day(args)
        view = history.book.on(day)
        ident = find(((g.id, g.name) for g in view.goods.values()), args.good, "good")
        before = reckon(view)
        after, text = _new_quote(view, ident, args, day)
        old = cast("Quote | None", history.book.get("quote", after.id))
        history.do(Step(text, (put("quote", after, old),)), who=_who())
        now = reckon(history.book.on(day))
        say(text)
        currency = view.book.house.currency if view.book.house else ""
        for serve, (record, _) in view.serves.items():
            was, is_now = before.serve_cost(serve), now.serve_cost(serve)
            if abs(was.making - is_now.making) > 1e-12:
                say(f"  {record.name}: {show.money(was.making, currency, 2)} -> "
                    f"{show.money(is_now.making, currency, 2)} with making")  # fmt: skip
        say(f"take it back with: python -m costing history {args.book} --undo")
    return 0


def _new_quote(view: View, good: str, args: Args, day: date) -> tuple[Quote, str]:
    held = [q for q in view.quotes.get(good, ()) if not args.supplier or q.supplier == args.supplier]
    current = held[0] if args.supplier and held else (None if args.supplier else view.quote_of(good))
    supplier = args.supplier or (current.supplier if current else "")
    if not supplier:
        raise Mistake(f"{good} has no quote yet: say who asks this price with --supplier")
    if supplier not in view.suppliers:
        find(((s.id, s.name) for s in view.suppliers.values()), supplier, "supplier")
    house = view.book.house
    content = parse_fact(args.pack) if args.pack else (current.content if current else None)
    if content is None:
        raise Mistake(f'say what the price is for with --pack, for example --pack "0.7 l" (good {good})')
    price = _money(args.price)
    taken = {q.id for q in view.book.all(Quote).values()}
    same_day = current is not None and current.since == day
    ident = current.id if current and same_day else next(
        i for i in (f"{good}-{day}-{n}" for n in range(1, len(taken) + 2)) if i not in taken
    )  # fmt: skip
    after = Quote(
        id=ident,
        good=good,
        supplier=supplier,
        content=content,
        price=price,
        currency=current.currency if current else (house.currency if house else ""),
        since=day,
        levels=() if args.pack or current is None else current.levels,
        tax=cast(TaxBasis, args.tax or (current.tax if current else "ex")),
        tax_rate=_money(args.tax_rate) if args.tax_rate else (current.tax_rate if current else None),
        code=current.code if current else "",
        gtin=current.gtin if current and not args.pack else "",
        charges=current.charges if current and not args.pack else (),
        free=current.free if current and not args.pack else None,
        deposit=current.deposit if current and not args.pack else None,
    )
    was = f"{current.price} -> " if current else ""
    levels = "".join(f"{n} x " for n in after.levels)
    return after, f"price of {view.goods[good].name}: {was}{price} for {levels}{content.text} from {day}"


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


def report(args: Args) -> int:
    """Write the workbook and the PDFs."""
    from costing.report import write_reports  # noqa: PLC0415  openpyxl and reportlab are slow to import

    view, head = _read(args)
    batch = None
    if args.batch:
        batch = find(((i, p.name) for i, (p, _) in view.preparations.items()), args.batch, "preparation")
    reckoning = reckon(view)
    progress = _progress if sys.stderr.isatty() else None
    for path in write_reports(reckoning, args.out, revision=head, batch=batch, progress=progress):
        say(f"wrote {path}")
    say(*show.problems_text(reckoning.problems))
    return _code(reckoning.problems)


def _progress(done: int, of: int) -> None:
    print(f"\rwriting reports: {done} of {of}", end="\n" if done == of else "", file=sys.stderr, flush=True)
