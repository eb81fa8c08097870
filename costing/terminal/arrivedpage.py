"""Prices that arrive: what a file would change, what it does to every drink, and taking it; what suppliers owe."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from costing.book.book import Book
from costing.book.history import History
from costing.book.money import digits
from costing.book.records import Good, Supplier
from costing.edits.arrivals import accept, take
from costing.edits.suppliers import typed_share
from costing.store import open_store
from costing.supply.arriving.doubt import Doubt
from costing.supply.arriving.doubt_words import doubt_text
from costing.supply.plan.arrive import Said, arrive
from costing.supply.plan.effect import Effect, Month, effect_of, per_month, worst
from costing.supply.plan.owed import owed
from costing.supply.plan.priced import pack_text
from costing.supply.plan.record import FATES, Plan, PlanLine
from costing.supply.readers.tables import read_bytes
from costing.terminal.base import Args, Mistake, day_of, find, print_json, say, who
from costing.terminal.show import DASH, money, percent
from costing.terminal.table import printable, table

FORM = "1.0"
MOST_SHOWN = 60
"""Lines of one fate that are printed; --all prints every one."""


def prices(args: Args) -> int:
    """What a file would change; with --accept, change it. Exit 1 where lines are held or the file is stopped."""
    data = read_bytes(args.source)
    with open_store(args.book, readonly=not args.accept) as store:
        history = History(store)
        book, day, past = history.book, day_of(args), history.past_ids()
        plan = arrive(data, args.source.name, book, day, _said(args, book), past=past)
        for n in args.take:
            plan = take(plan, n)
        chosen = [line for line in plan.of("sound") if args.only is None or line.n in args.only]
        ended = [find(((g.good, book.all(Good)[g.good].name) for g in plan.gone), g, "good") for g in args.end]
        gone = [g.quote for g in plan.gone if g.good in ended]
        effect = effect_of(book, [line.quote for line in chosen if line.quote is not None], day, gone)
        if args.json:
            print_json(_json(plan, effect, book))
        else:
            say(*_page(plan, effect, book, everything=args.all))
        if args.accept:
            step = accept(plan, book, day, only=args.only, ended=ended, past=past)
            history.do(step, who=who())
            if not args.json:
                say(f"done: {step.text}", f"take it back with: python -m costing history {args.book} --undo")
        elif not args.json:
            say(_next(plan, len(chosen)))
    return 1 if plan.stops or plan.count("held") else 0


def _said(args: Args, book: Book) -> Said:
    supplier = ""
    if args.supplier:
        supplier = find(((s.id, s.name) for s in book.all(Supplier).values()), args.supplier, "supplier")
    rate = typed_share(args.tax_rate) if args.tax_rate else None
    hand = []
    for said in args.hand:
        n, sign, good = said.partition("=")
        if not sign or not n.strip().isdecimal():
            raise Mistake(f"{said!r} does not say what a line means: write 12=GOOD")
        known = ((g.id, g.name) for g in book.all(Good).values())
        hand.append((int(n), find(known, good, "good") if good.strip() else ""))
    return Said(
        supplier=supplier, encoding=args.encoding, delimiter=args.delimiter, sheet=args.sheet, tax=args.tax, rate=rate,
        hand=tuple(hand),
    )  # fmt: skip


def _next(plan: Plan, chosen: int) -> str:
    if plan.stops:
        return "nothing can be taken yet: answer what stops it, above"
    return f"nothing is written yet: take the {chosen} sound line{'s' if chosen != 1 else ''} with --accept"


def _page(plan: Plan, effect: Effect, book: Book, *, everything: bool) -> Iterator[str]:
    incoming, supplier = plan.incoming, book.all(Supplier).get(plan.supplier)
    what = {"list": "a list", "catalogue": "a catalogue", "invoice": "an invoice", "credit": "a credit note"}
    said = f"{incoming.name}: {what[incoming.kind]} ({incoming.shape})"
    said += f" of {supplier.name}" if supplier else ""
    said += f", number {incoming.number}" if incoming.number else ""
    said += f", of {incoming.day}" if incoming.day else ""
    yield printable(said)
    counts = {fate: plan.count(fate) for fate in FATES}
    yield f"read {plan.read} = sound {counts['sound']} + held {counts['held']} + ignored {counts['ignored']}"
    yield from (printable(f"STOPPED: {doubt_text(d)}") for d in plan.stops)
    yield from (printable(f"note: {doubt_text(d)}") for d in plan.doubts)
    for fate in FATES:
        lines = list(plan.of(fate))
        if fate == "ignored" and not everything:
            yield from _ignored(plan)
            continue
        yield from _lines(plan, fate, lines, book, len(lines) if everything else MOST_SHOWN)
    if plan.gone:
        names = ", ".join(book.all(Good)[g.good].name for g in plan.gone)
        yield printable(f"not named any more ({len(plan.gone)}): {names}")
    yield ""
    yield from _effect(effect, book)


def _ignored(plan: Plan) -> Iterator[str]:
    why: dict[str, int] = {}
    for line in plan.of("ignored"):
        why[line.why[0].code if line.why else ""] = why.get(line.why[0].code if line.why else "", 0) + 1
    said = [f"{n} {_short(code)}" for code, n in why.items()]
    if plan.incoming.left_out:
        said.append(f"{len(plan.incoming.left_out)} of headings, groups and rows without a price")
    if said:
        yield f"ignored: {'; '.join(said)} (--all prints them)"


def _short(code: str) -> str:
    return {
        "not-bought": "not bought by the house", "same-price": "at the price there is", "on-request": "on request",
        "other-pack": "of other packs", "no-ingredient": "that buy no ingredient",
    }.get(code, code)  # fmt: skip


def _lines(plan: Plan, fate: str, lines: list[PlanLine], book: Book, most: int) -> Iterator[str]:
    if not lines:
        return
    yield ""
    head: tuple[str, ...] = ("line", "came as", "ingredient", "found by", "pack", "was", "is", "change")
    billed = plan.incoming.kind in ("invoice", "credit")
    if billed:
        head = (*head, "packs", "ordered", "agreed", "billed")
    yield f"{fate} ({len(lines)})"
    yield table(head, [(*_row(line, book), *(_billed(line) if billed else ())) for line in lines[:most]], left=5)
    for line in lines[:most]:
        for doubt in (*line.why, *line.notes) if fate != "sound" else line.notes:
            yield printable(f"  {line.n}: {doubt_text(doubt)}")
        if fate == "held" and not line.good:
            yield from (printable(f"  {line.n}: like {s.name} ({s.good})") for s in plan.suggestions(line)[:3])
    if len(lines) > most:
        yield f"  and {len(lines) - most} more (--all prints them)"


def _row(line: PlanLine, book: Book) -> tuple[str, ...]:
    good = book.all(Good).get(line.good)
    quote = line.quote or line.priced
    pack = pack_text(quote.levels, quote.content) if quote else line.line.said("pack")
    name = line.line.name if len(line.line.name) <= 34 else line.line.name[:33] + "…"
    return (
        str(line.n), name or line.line.code, good.name if good else DASH, line.match.how, pack,
        _unit(line.before), _unit(line.now), DASH if line.ratio is None else percent(line.ratio - 1),
    )  # fmt: skip


def _billed(line: PlanLine) -> tuple[str, ...]:
    def said(value: Decimal | None) -> str:
        return DASH if value is None else f"{value.normalize():f}"

    price = line.priced.price if line.priced is not None else None
    return said(line.packs), said(line.ordered), said(line.agreed), DASH if price is None else f"{price:f}"


def _unit(value: Decimal | None) -> str:
    return DASH if value is None else f"{value:.4f}"


def _effect(effect: Effect, book: Book) -> Iterator[str]:
    currency = book.house.currency if book.house else ""
    moved = worst(effect.serves)
    if not moved:
        yield "no drink's cost moves"
        return
    yield f"on {effect.day}, {len(moved)} drinks move:"
    head = ("drink", "cost", "will be", "pour cost", "will be", "margin", "will be", "a month", "target", "suggested")
    rows = []
    for e in moved:
        b, a = e.before, e.after
        month = per_month(e)
        rows.append((
            b.serve.name, _least(b.cost.complete, money(b.base, currency, 2)),
            _least(a.cost.complete, money(a.base, currency, 2)),
            percent(b.price.pour_cost) if b.price else DASH, percent(a.price.pour_cost) if a.price else DASH,
            money(b.price.margin, currency) if b.price else DASH, money(a.price.margin, currency) if a.price else DASH,
            money(month, currency) if month is not None else DASH,
            "broken" if e.broke else {True: "met", False: "missed", None: DASH}[a.on_target],
            money(a.suggestion.at.all_in, currency) if a.suggestion and a.on_target is False else DASH,
        ))  # fmt: skip
    yield table(head, rows)
    yield _month(effect, currency)
    if effect.before.without:
        yield printable(f"not counted, without a price or a full cost: {', '.join(effect.before.without)}")


def _least(complete: bool, text: str) -> str:
    return text if complete else f">= {text}"


def _month(effect: Effect, currency: str) -> str:
    period = effect.period
    mix = f"a month at the mix of {period.since} to {period.until}" if period else "one of each drink (no sales yet)"
    b, a = effect.before, effect.after
    return (
        f"{mix}: cost {money(b.cost, currency)} -> {money(a.cost, currency)} "
        f"({money(a.cost - b.cost, currency)}), pour cost {percent(b.pour_cost)} -> {percent(a.pour_cost)}"
    )


def _json(plan: Plan, effect: Effect, book: Book) -> dict[str, Any]:
    """Everything of a plan, in full precision; money as text."""
    incoming = plan.incoming
    return {
        "form": FORM, "file": incoming.name, "digest": incoming.digest, "shape": incoming.shape, "kind": incoming.kind,
        "number": incoming.number, "day": incoming.day.isoformat() if incoming.day else None, "supplier": plan.supplier,
        "read": plan.read, **{fate: plan.count(fate) for fate in FATES},
        "stops": [_doubt(d) for d in plan.stops], "doubts": [_doubt(d) for d in plan.doubts],
        "lines": [_line_json(line) for line in plan.lines],
        "left_out": [{"where": o.where, "text": o.text, "why": o.why} for o in incoming.left_out],
        "gone": [g.good for g in plan.gone],
        "effect": {
            "day": effect.day.isoformat(),
            "serves": [
                {
                    "serve": e.serve, "menu": e.before.menu, "before": e.before.base, "after": e.after.base,
                    "sold": e.sold, "broke": e.broke,
                    "suggested": str(e.after.suggestion.at.all_in) if e.after.suggestion else None,
                }
                for e in worst(effect.serves)
            ],
            "month": {"before": _month_json(effect.before), "after": _month_json(effect.after)},
        },
    }  # fmt: skip


def _month_json(month: Month) -> dict[str, Any]:
    return {"cost": month.cost, "net": month.net, "pour_cost": month.pour_cost, "without": list(month.without)}


def _doubt(doubt: Doubt) -> dict[str, Any]:
    return {"code": doubt.code, "at": doubt.at, "values": dict(doubt.values), "text": doubt_text(doubt)}


def _line_json(line: PlanLine) -> dict[str, Any]:
    def text(value: object) -> str | None:
        return None if value is None else str(value)

    arrived, quote = line.line, line.quote
    return {
        "line": line.n, "where": arrived.where, "fate": line.fate, "good": line.good, "match": line.match.how,
        "sure": line.match.sure, "suggestions": [s.good for s in line.match.suggestions], "code": arrived.code,
        "gtin": arrived.gtin, "name": arrived.name, "sort": arrived.sort, "raw": dict(arrived.raw),
        "price": text(quote.price) if quote else None,
        "pack": pack_text(quote.levels, quote.content) if quote else None,
        "since": quote.since.isoformat() if quote else None, "before": text(line.before), "now": text(line.now),
        "packs": text(line.packs), "delivered": text(line.delivered), "agreed": text(line.agreed),
        "ordered": text(line.ordered), "why": [_doubt(d) for d in line.why], "notes": [_doubt(d) for d in line.notes],
    }  # fmt: skip


def owed_list(args: Args) -> int:
    """What suppliers owe: claims, deposits, money back for turnover."""
    with open_store(args.book, readonly=True) as store:
        book = History(store).book
    found = owed(book, day_of(args))
    names = {s.id: s.name for s in book.all(Supplier).values()}
    goods = {g.id: g.name for g in book.all(Good).values()}
    if args.json:
        print_json({
            "form": FORM,
            "owed": [{"supplier": o.supplier, "sort": o.sort, "amount": str(o.amount), "currency": o.currency,
                      "since": o.since.isoformat(), "good": o.good, "claim": o.claim.id if o.claim else None}
                     for o in found],
        })  # fmt: skip
        return 0
    if not found:
        say("no supplier owes anything")
        return 0
    rows = [
        (names.get(o.supplier, o.supplier), o.sort, goods.get(o.good, o.good) or DASH, o.since.isoformat(),
         f"{o.amount:,.{digits(o.currency)}f}", o.currency)
        for o in found
    ]  # fmt: skip
    say(table(("supplier", "why", "ingredient", "since", "amount", "in"), rows, left=4))
    for currency in dict.fromkeys(o.currency for o in found):
        whole = sum((o.amount for o in found if o.currency == currency), Decimal(0))
        say(f"in all {whole:,.{digits(currency)}f} {currency}")
    return 0
