"""The small ways in: a good with its pack and price, a preparation in three lines, a juice or twist, pasted serves."""

import sys
from collections.abc import Callable, Iterable, Iterator
from datetime import date
from pathlib import Path
from typing import NoReturn, Protocol

from costing.book.book import Book, View
from costing.book.change import Change, Step
from costing.book.fact import parse_fact
from costing.book.history import History
from costing.book.records import Good
from costing.ledger import reckon
from costing.report.words import doubt_word, line_of, reason_word, sentence
from costing.store import open_store
from costing.supply import (
    Draft,
    PastedLine,
    PastedRecipe,
    juice_of,
    read_recipes,
    small_good,
    small_preparation,
    to_serve,
    twist_of,
)
from costing.terminal import show
from costing.terminal.base import Args, Mistake, day_of, find, say, who
from costing.terminal.table import printable, table

LONGEST_PASTE = 1_000_000


class FromFruit(Protocol):
    """``juice_of`` or ``twist_of``."""

    def __call__(self, good: Good, since: date, book: Book, *, past: Iterable[str] = ()) -> Draft:
        """The draft of a preparation made from one good."""


def good(args: Args) -> int:
    """A new good with its first quote; the kind and the shipped tables bring the rest, marked assumed."""
    with open_store(args.book) as store:
        history = History(store)
        day = day_of(args)
        step = small_good(
            args.name, args.kind, args.pack, args.price, args.supplier, day, history.book, past=history.past_ids()
        )
        history.do(step, who=who())
        say(step.text, *_brought(history.book, step))
    say(f"take it back with: python -m costing history {args.book} --undo")
    return 0


def _brought(book: Book, step: Step) -> Iterator[str]:
    for change in step.changes:
        made = book.all(Good).get(change.id)
        if change.kind == "good" and made is not None:
            brought = [f"{name} {fact.text}" for name, fact in made.makeup]
            brought += [f"{n} {f.text}" for n, f in (("density", made.density), ("piece", made.piece)) if f is not None]
            yield printable(f"  id {change.id}; assumed until measured: {', '.join(brought) or 'nothing'}")
            yield "  allergens are not stated: enter what the label says"


def preparation(args: Args) -> int:
    """A preparation in three lines: what goes in, what it makes, minutes."""
    lines = "\n".join(args.takes)

    def draft(book: Book, past: frozenset[str]) -> Draft:
        return small_preparation(args.name, lines, args.makes, args.minutes, day_of(args), book, past=past)

    return _drafted(args, draft)


def juice(args: Args) -> int:
    """The juice of a fruit as a preparation, its yield from the shipped table."""
    return _of_fruit(args, juice_of)


def twist(args: Args) -> int:
    """The twists of a fruit as a preparation counted by the piece."""
    return _of_fruit(args, twist_of)


def _of_fruit(args: Args, make: FromFruit) -> int:
    def draft(book: Book, past: frozenset[str]) -> Draft:
        goods = book.on(day_of(args)).goods
        return make(
            goods[find(((g.id, g.name) for g in goods.values()), args.good, "good")], day_of(args), book, past=past
        )

    return _drafted(args, draft)


def _drafted(args: Args, draft: Callable[[Book, frozenset[str]], Draft]) -> int:
    """Put a drafted step into the book and say what it costs; exit 1 where something stayed undecided."""
    with open_store(args.book) as store:
        history = History(store)
        found = draft(history.book, history.past_ids())
        if found.step is None:
            _refuse(found)
        else:
            history.do(found.step, who=who())
            say(found.step.text, *_costs(history.book, args, found.id))
            say(*(f"  {line}" for line in _left(found)))
    say(f"take it back with: python -m costing history {args.book} --undo")
    return 1 if found.undecided or found.problems else 0


def _refuse(found: Draft) -> NoReturn:
    raise Mistake("; ".join([*map(sentence, found.problems), *(_line(line) for line in found.undecided)]))


def _left(found: Draft) -> Iterator[str]:
    yield from (f"left out: {_line(line)}" for line in found.undecided)
    yield from (line_of(p) for p in found.problems if p.code != "line-undecided")


def _costs(book: Book, args: Args, ident: str) -> Iterator[str]:
    reckoning = reckon(book.on(day_of(args)))
    for output in reckoning.ledgers[ident].outputs.values() if ident in reckoning.ledgers else ():
        places = 0 if output.unit.base == "each" else 4
        cost = show.cost_text(reckoning, reckoning.costs[output.id])
        yield f"  id {output.id}: makes {show.figure(output.made, places)} {output.unit.base} at {cost}"
    if ident in reckoning.serves:
        yield f"  id {ident}: costs {show.cost_text(reckoning, reckoning.serve_cost(ident))} with making"
    yield from (f"  {line_of(p)}" for p in reckoning.problems if f"/{ident}/" in f"{p.where}/")


def paste(args: Args) -> int:
    """Pasted drinks, one component a line: say what was understood, and with --accept add them as one step."""
    text = _pasted(args.source)
    with open_store(args.book, readonly=not args.accept) as store:
        history = History(store)
        book, past, day = history.book, history.past_ids(), day_of(args)
        total = parse_fact(args.total) if args.total else None
        changes: list[Change] = []
        ids: list[str] = []
        doubtful = False
        for recipe in read_recipes(text, book):
            draft = to_serve(recipe, book, day, technique=args.technique, glass=args.glass, total=total, past=past)
            say(*_understood(recipe, book.on(day), draft), "")
            doubtful |= bool(draft.undecided or draft.problems or draft.step is None)
            if draft.undecided and draft.step is not None and not args.partly:
                say("  not added: a line is not decided, so it would cost too little; name it, or use --partly", "")
            elif draft.step is not None:
                changes += draft.step.changes
                ids.append(draft.id)
                book = book.with_changes(draft.step.changes)
        if not changes:
            if args.accept:
                raise Mistake("nothing pasted is decided in full: see above for what each line lacks")
            return 1
        if args.accept:
            history.do(Step(f"paste {len(ids)} serve{'s' if len(ids) > 1 else ''}", tuple(changes)), who=who())
            for ident in ids:
                say(*_costs(book, args, ident))
            say(f"take it back with: python -m costing history {args.book} --undo")
        else:
            say(f"nothing is written yet: add {len(ids)} with --accept")
    return 1 if doubtful else 0


def _pasted(source: str) -> str:
    if source == "-":
        return sys.stdin.read(LONGEST_PASTE)
    try:
        with Path(source).open("rb") as file:
            raw = file.read(LONGEST_PASTE + 1)
    except OSError as error:
        raise Mistake(f"{source}: {error.strerror or error}") from None
    if len(raw) > LONGEST_PASTE:
        raise Mistake(f"{source} is longer than {LONGEST_PASTE:,} bytes; paste fewer drinks at a time")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Mistake(f"{source} is not text in UTF-8; save it as that") from None


def _understood(recipe: PastedRecipe, view: View, draft: Draft) -> Iterator[str]:
    """What was made of each line, doubts beside it."""
    yield printable(recipe.title or "(no title)")
    rows = [
        (line.text, line.amount.text if line.amount else "-", show.name_of(view, line.source) if line.source else "-",
         _doubts(line))
        for line in recipe.lines
    ]  # fmt: skip
    rows += [(text, "-", "-", f"left out: {reason_word(reason)}") for text, reason in recipe.ignored]
    yield table(("pasted", "amount", "taken as", "doubts"), rows, left=4)
    yield from (f"  {doubt_word(d)}" for d in recipe.doubts)
    yield from (f"  {sentence(p)}" for p in draft.problems if p.code != "line-undecided")


def _doubts(line: PastedLine) -> str:
    said = [line.fault] if line.fault else [doubt_word(d) for d in line.doubts]
    if not line.decided and line.source is None and line.matches:
        said.append("like " + ", ".join(c.name for c in line.matches[:3]))
    return "; ".join(said)


def _line(line: PastedLine) -> str:
    return f'"{line.text}": {_doubts(line) or "not decided"}'
