"""Sales that arrive: what becomes of every row, what each button means, what is asked, and taking it."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from costing.book.book import Book
from costing.book.change import Step
from costing.book.history import History
from costing.book.records import Serve
from costing.edits.tills import take_sales
from costing.store import open_store
from costing.supply.arriving.doubt import Doubt
from costing.supply.readers.tables import read_bytes, read_table
from costing.supply.till.arrive import sales_of_table
from costing.supply.till.meanings import Suggested
from costing.supply.till.plan_record import ButtonSeen, SalesPlan
from costing.supply.till.words import BASIS_WORDS, FLAG_NAMES, LEFT_WORDS, sales_doubt_text
from costing.terminal.base import Args, Mistake, day_of, print_json, say, who
from costing.terminal.salesaid import answers, buttons_said, with_columns
from costing.terminal.show import DASH
from costing.terminal.table import printable, table
from costing.tongue import word

FORM = "1.0"
MOST_SHOWN = 40
"""Buttons of one state that are printed; --all prints every one."""
_ANSWERS = {
    "sales-decimal-open": "--decimal . or --decimal ,",
    "day-order": "--days dmy or --days mdy",
    "days-now-day-first": "--days dmy",
    "days-now-month-first": "--days mdy",
    "sales-mark-unknown": "--flag {mark}=given, or void, wasted, refunded, sold",
    "sales-no-heading": "--column item=1 --column qty=2 ...",
    "sales-no-item": "--column item=N",
    "sales-no-qty": "--column qty=N",
    "sales-no-period": "--since DAY --until DAY",
    "sales-outside": "--since DAY --until DAY, or --leave ROW",
    "sales-overlap": "--since DAY --until DAY",
    "sales-row-unread": "--leave ROW",
    "sales-sign": "--leave ROW",
    "sales-flag-paid": "--leave ROW",
    "sales-qty-missing": "--leave ROW",
    "sales-instead-more": "--leave ROW",
    "sales-tax-open": "--tax ex or --tax inc",
    "sales-tax-changed": "--tax ex or --tax inc",
    "sales-tax-prices": "--tax ex or --tax inc",
    "sales-no-outlet": "--outlet NAME",
}
"""What answers a question in a call."""


def sales(args: Args) -> int:
    """What files would bring; with --accept, bring it. Exit 1 where something waits or has to be answered."""
    day = day_of(args)
    with open_store(args.book, readonly=not args.accept) as store:
        history = History(store)
        book, past = history.book, history.past_ids()
        said = answers(args, book)
        tables = [
            read_table(read_bytes(path), path.name, encoding=said.encoding, delimiter=said.delimiter, sheet=said.sheet)
            for path in args.files
        ]
        documents, met, steps, code = [], set[str](), list[Step](), 0
        for path, read in zip(args.files, tables, strict=True):
            here = with_columns(read, said, args.column)
            plan = sales_of_table(read, path.name, book, day, here, past=past)
            if args.hand:
                seen = [(one.code, one.text) for one in plan.buttons]
                buttons, missing = buttons_said(args.hand, seen, book, day)
                met |= {name.rpartition("=")[0] for name in args.hand} - set(missing)
                plan = sales_of_table(read, path.name, book, day, replace(here, buttons=tuple(buttons)), past=past)
            step = None if plan.asked else take_sales(book, plan, past)
            code = max(code, int(bool(plan.asked) or plan.count("waiting") > 0))
            if args.json:
                documents.append(_json(plan))
            else:
                say(*_page(plan, book, everything=args.all))
            if step is not None:
                book = book.with_changes(step.changes)
                steps.append(step)
            if not args.json:
                say(_next(plan, step, taking=args.accept), "")
        unmet = [name for name in (text.rpartition("=")[0] for text in args.hand) if name not in met]
        if unmet:
            raise Mistake(f"no file has a button {unmet[0]!r}: write its text or code as the till prints it")
        if args.accept:
            for step in steps:
                history.do(step, who=who())
            if steps and not args.json:
                say(f"take it back with: python -m costing history {args.book} --undo")
    if args.json:
        print_json({"stillroom": "sales", "form": FORM, "accepted": bool(args.accept), "files": documents})
    return code


def _next(plan: SalesPlan, step: Step | None, *, taking: bool) -> str:
    if plan.asked:
        return "nothing of this file can be taken yet: answer what is asked, above"
    if step is None:
        return "nothing to do: the book has all of it"
    return printable(f"taken: {step.text}") if taking else "nothing is written yet: take it with --accept"


def _page(plan: SalesPlan, book: Book, *, everything: bool) -> Iterator[str]:
    names = {serve.id: serve.name for serve in book.all(Serve).values()}
    days = ", ".join(f"{period.since} to {period.until}" for period in plan.periods) or "days not known"
    yield printable(f"{plan.lines.name}: {days}" + (f", {plan.till.name}" if plan.till else ""))
    counts = [plan.count("counted"), plan.count("ignored"), plan.count("waiting")]
    yield f"read {plan.read} = counted {counts[0]} + ignored {counts[1]} + waiting {counts[2]}"
    for one in plan.asked:
        yield printable(f"ASKED: {sales_doubt_text(one)}")
        if one.code in _ANSWERS:
            yield printable(f"  answer with {_filled(_ANSWERS[one.code], one)}")
    yield from (printable(f"note: {sales_doubt_text(one)}") for one in plan.doubts)
    yield _tax_line(plan)
    yield from _totals(plan)
    yield from _ignored(plan)
    yield from _marks(plan)
    states: tuple[str, ...] = ("waiting", "sure", "known", "left") if everything else ("waiting", "sure")
    for state in states:
        shown = [one for one in plan.buttons if one.state == state]
        if shown:
            yield from ("", f"{state} ({len(shown)})", *_buttons(shown if everything else shown[:MOST_SHOWN], names))
            if len(shown) > MOST_SHOWN and not everything:
                yield f"  and {len(shown) - MOST_SHOWN} more (--all prints them)"


def _filled(answer: str, doubt: Doubt) -> str:
    return answer.format(**dict(doubt.values)) if "{" in answer else answer


def _tax_line(plan: SalesPlan) -> str:
    tax = plan.tax
    if not tax.basis:
        return "tax: not known" if plan.asked else "tax: the file has no money"
    inside = "tax and service are in its net" if tax.basis == "inc" else "its net is without tax and service"
    how = {"said": "as said", "kept": "as the till was read before", "sums": "by its sums", "words": "by its heading",
           "prices": "by printed prices", "taken": "taken", "": ""}  # fmt: skip
    sums = f"; {word(BASIS_WORDS, tax.formula)} in {tax.holds} of {tax.of} rows" if tax.of else ""
    kept = "; service is added, which the house keeps" if tax.keeps_service or tax.factor != 1 else ""
    return f"tax: {inside}, {how[tax.how]}{sums}{kept}"


def _totals(plan: SalesPlan) -> Iterator[str]:
    totals = plan.lines.totals
    if totals:
        good = sum(not one.differs for one in totals)
        yield f"totals: {good} of {len(totals)} are what the rows add up to"


def _ignored(plan: SalesPlan) -> Iterator[str]:
    by_reason: dict[str, int] = {}
    for fate in plan.fates:
        if fate.fate == "ignored":
            by_reason[fate.reason] = by_reason.get(fate.reason, 0) + 1
    if by_reason:
        yield "ignored: " + "; ".join(f"{n} {word(LEFT_WORDS, reason)}" for reason, n in sorted(by_reason.items()))


def _marks(plan: SalesPlan) -> Iterator[str]:
    known = [mark for mark in plan.marks if mark.flag]
    if known:
        how = {"said": "said", "till": "as before", "word": "by its word", "money": "by the money of its rows"}
        said = (f"{m.mark} is {word(FLAG_NAMES, m.flag)} ({m.rows}, {how.get(m.how, '')})" for m in known)
        yield printable("marks: " + "; ".join(said))


def _buttons(buttons: list[ButtonSeen], names: dict[str, str]) -> Iterator[str]:
    head = ("code", "button", "may mean" if buttons[0].state == "waiting" else "means", "rows", "sold", "net", "each")
    rows = []
    for one in buttons:
        net = DASH if one.net is None else f"{one.net:,.2f}"
        each = DASH if one.each is None else f"{one.each:f}"
        rows.append((one.code, one.text or "(no text)", _meaning(one, names), str(one.rows),
                     f"{one.count.normalize():f}", net, each))  # fmt: skip
    yield table(head, rows, left=3)


def _meaning(one: ButtonSeen, names: dict[str, str]) -> str:
    if one.state == "waiting":
        return " | ".join(_suggested(offer, names) for offer in one.suggested) or DASH
    if one.state == "left":
        return word(LEFT_WORDS, one.reason)
    if one.button is None:
        return "the drink of that name"
    said = " + ".join(names.get(part.serve, part.serve) for part in one.button.parts)
    return f"instead: {said}" if one.button.sort == "instead" else said


def _suggested(offer: Suggested, names: dict[str, str]) -> str:
    if offer.sort == "left":
        return f"left:{offer.reason}"
    said = " + ".join(
        names.get(part.serve, part.serve) + (f"@{part.menu}" if part.menu else "") for part in offer.parts
    )  # fmt: skip
    why = {"renamed": f", was “{offer.like}”", "other code": ", under another code"}.get(offer.why, "")
    return f"{'instead:' if offer.sort == 'instead' else ''}{said}{why}"


def _json(plan: SalesPlan) -> dict[str, Any]:
    """Everything of a plan, in full precision; money as text."""
    return {
        "file": plan.lines.name, "read": plan.read, "counted": plan.count("counted"), "ignored": plan.count("ignored"),
        "waiting": plan.count("waiting"), "asked": [_doubt(one) for one in plan.asked],
        "doubts": [_doubt(one) for one in plan.doubts], "till": plan.till.id if plan.till else None,
        "tax": {"basis": plan.tax.basis or None, "how": plan.tax.how or None, "formula": plan.tax.formula or None,
                "holds": plan.tax.holds, "of": plan.tax.of},
        "marks": [{"mark": m.mark, "rows": m.rows, "flag": m.flag or None, "how": m.how or None} for m in plan.marks],
        "totals": [{"row": t.n, "text": t.text, "agrees": list(t.agrees),
                    "differs": [{"column": r, "stated": str(a), "summed": str(b)} for r, a, b in t.differs]}
                   for t in plan.lines.totals],
        "buttons": [_button(one) for one in plan.buttons],
        "rows": [{"row": f.n, "fate": f.fate, "reason": f.reason or None, "why": f.why or None} for f in plan.fates],
        "periods": [
            {
                "since": p.since.isoformat(), "until": p.until.isoformat(), "outlet": p.outlet, "grain": p.grain,
                "digest": p.digest, "read": p.read, "mapped": p.mapped, "ignored": p.ignored, "unmapped": p.unmapped,
                "replaces": old.id if old is not None else None,
                "sold": [
                    {"serve": s.serve, "menu": s.menu, "count": str(s.count), "given": str(s.given),
                     "net": None if s.net is None else str(s.net), "wasted": str(s.wasted), "days": s.days,
                     "refunded": str(s.refunded), "prices": [[str(at.each), str(at.count)] for at in s.prices]}
                    for s in p.sold
                ],
            }
            for p, old in zip(plan.periods, plan.replaces, strict=True)
        ],
    }  # fmt: skip


def _doubt(doubt: Doubt) -> dict[str, Any]:
    return {"code": doubt.code, "at": doubt.at, "values": dict(doubt.values), "text": sales_doubt_text(doubt)}


def _button(one: ButtonSeen) -> dict[str, Any]:
    return {
        "code": one.code, "text": one.text, "rows": one.rows, "count": str(one.count), "state": one.state,
        "net": None if one.net is None else str(one.net), "reason": one.reason or None,
        "button": one.button.id or None if one.button else None,
        "suggested": [
            {"sort": s.sort, "serves": [part.serve for part in s.parts], "reason": s.reason or None, "why": s.why,
             "likeness": round(s.likeness, 1)}
            for s in one.suggested
        ],
    }  # fmt: skip
