"""What a till's buttons mean, and the sales its files bring: confirmed, changed, forgotten, taken into the book."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Literal

from costing.book.book import Book
from costing.book.change import Change, Step, put
from costing.book.records import Menu, Serve
from costing.book.selling import Button, ButtonPart, Left, SalesPeriod
from costing.edits.base import record_of
from costing.supply.arriving.doubt import Doubt
from costing.supply.ids import take_id
from costing.supply.till.judge import button_shares
from costing.supply.till.left import fate_of
from costing.supply.till.meanings import same_meaning
from costing.supply.till.plan_record import SalesPlan
from costing.supply.till.prices import HousePrices
from costing.supply.till.record import plain_text
from costing.supply.till.recount import counted_with, waiting_again, waits_for
from costing.supply.till.words import LEFT_WORDS, sales_doubt_text
from costing.tongue import say, say_many, word

LEFT_BY_BUTTON: tuple[Left, ...] = ("not named", "money key", "modifier", "other")
"""Why a button may be left out; the other reasons are those of single rows."""


def take_sales(book: Book, plan: SalesPlan, past: Iterable[str] = ()) -> Step | None:
    """Everything of one file as one step: the buttons that were confirmed, how its till is read, and its periods, each
    in place of the one of the same days. Rows of other periods that waited for one of these buttons are counted too.
    None where the book has all of it. ValueError while something of the plan has to be answered, and where the book is
    no longer the one that it was made for."""
    if plan.asked:
        raise ValueError(sales_doubt_text(plan.asked[0]))
    known = book.all(SalesPeriod)
    for old in plan.replaces:
        if old is not None and known.get(old.id) != old:
            raise ValueError(say("the sales in the book have changed since this file was read: read it again"))
    taken = {ident for _, ident in book.records} | set(past) | {period.id for period in plan.periods}
    if plan.till is not None:
        taken.add(plan.till.id)
    changes: list[Change] = []
    buttons = []
    was: dict[str, Left] = {}
    there = {(b.code, plain_text(b.text)): b for b in book.all(Button).values()}
    for button in plan.new_buttons:
        before = there.get((button.code, plain_text(button.text)))
        if before is not None and before.id != button.id and not same_meaning(before, button):
            shown = button.text or button.code
            raise ValueError(say("“{text}” has been given a meaning since: read the file again", text=shown))
        named = before.id if before is not None else take_id(f"{button.code} {button.text}", taken, fallback="button")
        buttons.append(replace(button, id=named))
        changes.append(put("button", buttons[-1], before))
        was[named] = before.reason if before is not None else ""
    if plan.till is not None and plan.till != plan.old_till:
        changes.append(put("till", plan.till, plan.old_till))
    for period, old in zip(plan.periods, plan.replaces, strict=True):
        if period != old:
            changes.append(put("sales", period, old))
    changes += _recounted(book, buttons, {period.id for period in plan.periods}, was)
    return Step(_taken_text(plan), tuple(changes)) if changes else None


def _taken_text(plan: SalesPlan) -> str:
    if not plan.periods:
        return say("buttons of {file}", file=plan.lines.name)
    since, until = plan.periods[0].since, plan.periods[-1].until
    return say(
        "sales of {since} to {until}, from {file}", since=since.isoformat(), until=until.isoformat(),
        file=plan.lines.name,
    )  # fmt: skip


def set_button(
    book: Book,
    text: str,
    *,
    day: date,
    code: str = "",
    sort: Literal["sale", "instead", "left"] = "sale",
    parts: Sequence[ButtonPart] = (),
    reason: Left = "",
    note: str = "",
    past: Iterable[str] = (),
    recount: bool = True,
) -> Step | None:
    """What a button means, as somebody confirms it on ``day``; the button of the same code and text is written anew.

    With ``recount`` the rows of stored periods that waited for it, or that it left out until now, are counted in the
    same step (what it counted until now stays as it is: the file has to be imported again for that). None where it says
    so already. ValueError for a drink or menu that is not there, shares that do not make 1, and what ``Button`` itself
    refuses.
    """
    text, code = " ".join(text.split()), " ".join(code.split())
    if not text and not code:
        raise ValueError(say("a button has a text or a code: write it as the till prints it"))
    _must_be(book, text or code, sort, parts, reason)
    old = next((b for b in book.all(Button).values() if (b.code, plain_text(b.text)) == (code, plain_text(text))), None)
    taken = {ident for _, ident in book.records} | set(past)
    ident = old.id if old is not None else take_id(f"{code} {text}", taken, fallback="button")
    new = Button(
        id=ident, text=old.text if old is not None else text, code=code, since=day, sort=sort, parts=tuple(parts),
        reason=reason, note=note or (old.note if old is not None else ""),
    )  # fmt: skip
    changes = [] if old is not None and replace(new, since=old.since) == old else [put("button", new, old)]
    if recount and sort != "instead":
        was = old.reason if old is not None and old.sort == "left" and old.reason != new.reason else ""
        changes += _recounted(book, [new], set(), {ident: was})
    return Step(_button_text(book, new), tuple(changes)) if changes else None


def _must_be(book: Book, text: str, sort: str, parts: Sequence[ButtonPart], reason: Left) -> None:
    if sort == "left" and reason not in LEFT_BY_BUTTON:
        known = ", ".join(word(LEFT_WORDS, one) for one in LEFT_BY_BUTTON)
        raise ValueError(say("say why “{text}” is left out: {known}", text=text, known=known))
    for part in parts:
        record_of(book, Serve, part.serve)
        if part.menu:
            record_of(book, Menu, part.menu)
    said = [part.share for part in parts if part.share is not None]
    whole = sum(said, Decimal(0))
    if said and (whole > 1 or (len(said) == len(parts) and whole != 1)):
        raise ValueError(say("the shares of what “{text}” brings make {sum} and not 1", text=text, sum=whole))


def _button_text(book: Book, button: Button) -> str:
    shown = button.text or button.code
    if button.sort == "left":
        return say("“{text}” is left out: {why}", text=shown, why=word(LEFT_WORDS, button.reason))
    names = ", ".join(book.all(Serve)[part.serve].name for part in button.parts)
    if button.sort == "instead":
        return say("“{text}” makes a drink {names}", text=shown, names=names)
    return say("“{text}” sells {names}", text=shown, names=names)


def forget_button(book: Book, ident: str) -> Step:
    """Take a button's meaning back. What it left out waits again; what it counted stays counted. ValueError where there
    is none of that id."""
    old = record_of(book, Button, ident)
    changes = [Change("button", ident, old, None)]
    for period in book.all(SalesPeriod).values():
        new = waiting_again(period, old)
        if new != period:
            changes.append(put("sales", new, period))
    return Step(say("forget what “{text}” means", text=old.text or old.code), tuple(changes))


def count_waiting(book: Book, ident: str) -> Step | None:
    """Count the rows of stored periods that wait for a button whose meaning is known by now; None where none do.

    ValueError for a button that makes a drink another one: which drink stood above it is in the file alone; and for
    rows that do not say plainly what they sell, about which an import asks.
    """
    button = record_of(book, Button, ident)
    waiting = [period for period in book.all(SalesPeriod).values() if waits_for(period, button)]
    if not waiting:
        return None
    if button.sort == "instead":
        files = ", ".join(period.file or period.id for period in waiting)
        raise ValueError(
            say("“{text}” changes the drink above it, which only its file knows: import {files} again",
                text=button.text, files=files)
        )  # fmt: skip
    changes = _recounted(book, [button], set())
    if not changes:
        files = ", ".join(period.file or period.id for period in waiting)
        raise ValueError(
            say("rows of “{text}” do not say plainly what they sell: import {files} again, which asks about them",
                text=button.text or button.code, files=files)
        )  # fmt: skip
    rows = sum(
        left.rows for period in waiting for left in waits_for(period, button)
        if button.sort == "left" or fate_of(left) != "waits"
    )  # fmt: skip
    said = say_many("count {n} row of “{text}”", "count {n} rows of “{text}”", rows, text=button.text or button.code)
    return Step(said, tuple(changes))


def _recounted(
    book: Book, buttons: Sequence[Button], without: set[str], was: dict[str, Left] | None = None
) -> list[Change]:
    """Changes of the periods in which rows of ``buttons`` wait; not of those in ``without``."""
    prices = HousePrices(book)
    changes = []
    for period in book.all(SalesPeriod).values():
        new = period
        for button in buttons:
            before = (was or {}).get(button.id, "")
            if period.id in without or button.sort == "instead" or not waits_for(new, button, before):
                continue
            shares: list[Decimal] | Doubt = [] if button.sort == "left" else button_shares(button, prices, period.since)
            if isinstance(shares, Doubt):
                raise ValueError(sales_doubt_text(shares))
            new = counted_with(new, button, shares, before, prices.places)
        if new != period:
            changes.append(put("sales", new, period))
    return changes
