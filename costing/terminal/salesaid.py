"""Answers about a till's file, as they are typed in a call."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date

from costing.book.book import Book
from costing.book.buying import Columns, Use
from costing.book.records import Menu, Serve
from costing.book.selling import Button, ButtonPart, Left, RowFlag, Till
from costing.supply.arriving.table import Table
from costing.supply.columns.heading_rows import headings_of
from costing.supply.columns.record import with_uses
from costing.supply.till.columns import guess_till_columns
from costing.supply.till.plan_record import SalesSaid
from costing.supply.till.record import plain_text
from costing.supply.till.roles import TILL_ROLES
from costing.terminal.base import Args, Mistake, find

FLAGS: Mapping[str, RowFlag] = {
    "sold": "sold", "given": "given", "void": "before it was made", "before": "before it was made",
    "before it was made": "before it was made", "wasted": "wasted", "refunded": "refunded",
}  # fmt: skip
LEFT: Mapping[str, Left] = {
    "money key": "money key", "money": "money key", "not named": "not named", "open": "not named",
    "modifier": "modifier", "other": "other",
}  # fmt: skip
Seen = Iterable[tuple[str, str]]
"""(code, text) of buttons as files print them."""


def answers(args: Args, book: Book) -> SalesSaid:
    """Everything but buttons and columns, which hang on what a file holds."""
    if args.day_ends is not None and not 0 <= args.day_ends <= 12:
        raise Mistake(f"--day-ends {args.day_ends}: the business day ends from 0 to 12 o'clock")
    if args.since and args.until and args.until < args.since:
        raise Mistake(f"--until {args.until} lies before --since {args.since}")
    till = ""
    if args.till:
        till = find(((t.id, t.name) for t in book.all(Till).values()), args.till, "till")
    return SalesSaid(
        encoding=args.encoding, delimiter=args.delimiter, sheet=args.sheet, till=till, decimal=args.decimal or "",
        days=args.days or "", tax=args.tax or "", day_ends=args.day_ends, flags=tuple(map(_flag, args.flag)),
        since=args.since, until=args.until, split=args.split or "", outlet=args.outlet, leave=frozenset(args.leave),
    )  # fmt: skip


def _flag(text: str) -> tuple[str, RowFlag]:
    mark, sign, meaning = text.rpartition("=")
    flag = FLAGS.get(meaning.strip().casefold())
    if not sign or not mark.strip() or flag is None:
        raise Mistake(f"{text!r} does not say what a mark means: write C=given, or {', '.join(FLAGS)}")
    return mark.strip(), flag


def with_columns(table: Table, said: SalesSaid, typed: Iterable[str]) -> SalesSaid:
    """The answers with columns as ``typed`` ("qty=5"), put over those that are guessed."""
    given: dict[str, int] = {}
    for text in typed:
        role, sign, number = (part.strip() for part in text.partition("="))
        if not sign or role not in TILL_ROLES or not number.isdecimal() or int(number) < 1:
            raise Mistake(f"{text!r} does not say what a column is: write qty=5; roles are {', '.join(TILL_ROLES)}")
        given[role] = int(number) - 1
    if not given:
        return said
    columns: Columns = guess_till_columns(table).columns
    heads = headings_of(table, columns.header_at, columns.header_rows)
    if max(given.values()) >= columns.width:
        raise Mistake(f"the file has {columns.width} columns, and no column {max(given.values()) + 1}")
    kept = [use for use in columns.uses if use.role not in given and use.column not in given.values()]
    put = [Use(role=role, column=at, header=heads[at] if at < len(heads) else "") for role, at in given.items()]
    return replace(said, columns=with_uses(columns, [*kept, *put]))


def buttons_said(hand: Iterable[str], seen: Seen, book: Book, day: date) -> tuple[list[Button], list[str]]:
    """(meanings of the buttons that are ``seen``, what names none of them)."""
    printed = list(dict.fromkeys(seen))
    out: list[Button] = []
    unknown = []
    for text in hand:
        name, sign, meaning = text.rpartition("=")
        if not sign or not meaning.strip():
            raise Mistake(f"{text!r} does not say what a button means: write BUTTON=DRINK or BUTTON=left:money key")
        wanted = plain_text(name)
        found = [pair for pair in printed if plain_text(pair[1]) == wanted]
        found = found or [pair for pair in printed if pair[0] and plain_text(pair[0]) == wanted]
        if not found:
            unknown.append(name)
        for code, shown in found:
            out.append(_meant(meaning.strip(), code, shown, book, day))
    return out, unknown


def _meant(meaning: str, code: str, text: str, book: Book, day: date) -> Button:
    kind, sign, rest = meaning.partition(":")
    if sign and kind.strip().casefold() == "left":
        reason = LEFT.get(rest.strip().casefold())
        if reason is None:
            raise Mistake(f"left:{rest} gives no reason that is known: {', '.join(LEFT)}")
        return Button(id="", text=text, code=code, since=day, sort="left", reason=reason)
    if sign and kind.strip().casefold() == "instead":
        return Button(id="", text=text, code=code, since=day, sort="instead", parts=(_part(rest, book),))
    parts = tuple(_part(one, book) for one in meaning.split(" + "))
    return Button(id="", text=text, code=code, since=day, parts=parts)


def _part(text: str, book: Book) -> ButtonPart:
    """ "Harbour Light@terrace" is that drink on that menu."""
    serves = [(serve.id, serve.name) for serve in book.all(Serve).values()]
    name, sign, menu = text.strip().rpartition("@")
    if not sign:
        return ButtonPart(serve=find(serves, text, "drink"))
    menus = ((one.id, one.name) for one in book.all(Menu).values())
    return ButtonPart(serve=find(serves, name, "drink"), menu=find(menus, menu, "menu"))
