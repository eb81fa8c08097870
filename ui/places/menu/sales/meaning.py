"""What a button means, as somebody types it: a drink, several with a plus, "instead: ...", or "left: gift card"."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from costing.book.book import Book
from costing.book.records import Menu, Serve
from costing.book.selling import Button, ButtonPart, Left
from costing.edits.suppliers import typed_share
from costing.edits.tills import LEFT_BY_BUTTON
from costing.supply.till.words import LEFT_WORDS
from costing.tongue import Words, say, word
from ui.folding import fold, holds
from ui.places.menu.questions.reading import find_name

LEFT_MEANT: Words = {
    "money key": "gift card, deposit, tip, discount",
    "not named": "open key, no drink named",
    "modifier": "a wish, like no ice",
    "other": "something else",
}
"""Why a button is left out, by what it may be."""
PLUS = " + "
_MANY = re.compile(r"^(?P<many>\d{1,3}) ?[x×] (?P<rest>.+)$")
_SHARE = re.compile(r"^(?P<rest>.+?) (?P<share>\d{1,3}(?:[.,]\d+)? ?%)$")


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a button is said to mean; see ``Button``."""

    sort: Literal["sale", "instead", "left"] = "sale"
    parts: tuple[ButtonPart, ...] = ()
    reason: Left = ""


def meaning_of(button: Button) -> Meaning:
    """What a button means."""
    return Meaning(button.sort, button.parts, button.reason)


def meaning_text(meaning: Meaning, book: Book) -> str:
    """A meaning as it can be typed."""
    if meaning.sort == "left":
        return left_text(meaning.reason)
    said = PLUS.join(_part_text(part, book) for part in meaning.parts)
    return say("instead: {drink}", drink=said) if meaning.sort == "instead" else said


def left_text(reason: Left) -> str:
    """ "left: gift card, deposit, tip, discount"."""
    return say("left: {why}", why=word(LEFT_MEANT if reason in LEFT_MEANT else LEFT_WORDS, reason))


def _part_text(part: ButtonPart, book: Book) -> str:
    serve, menu = book.all(Serve).get(part.serve), book.all(Menu).get(part.menu)
    said = serve.name if serve is not None else part.serve
    if part.count != 1:
        said = f"{part.count.normalize():f} × {said}"
    if part.menu:
        said += f" @ {menu.name if menu is not None else part.menu}"
    if part.share is not None:
        said += f" {(100 * part.share).normalize():f} %"
    return said


def read_meaning(text: str, book: Book) -> Meaning:
    """What was typed. ValueError for a drink or a reason that is not known."""
    text = " ".join(text.split())
    if not text:
        raise ValueError(say("say what it sells, or why it is left out: “left: gift card”"))
    rest = _after(text, say("left: {why}", why="").strip(), "left:")
    if rest is not None:
        return Meaning("left", reason=_reason(rest))
    rest = _after(text, say("instead: {drink}", drink="").strip(), "instead:")
    if rest is not None:
        return Meaning("instead", (_part(rest, book),))
    return Meaning("sale", tuple(_part(one, book) for one in text.split(PLUS)))


def _after(text: str, *heads: str) -> str | None:
    for head in heads:
        if text.casefold().startswith(head.casefold()):
            return text[len(head) :].strip()
    return None


def _reason(text: str) -> Left:
    wanted = fold(text)
    said = {reason: (reason, word(LEFT_WORDS, reason), word(LEFT_MEANT, reason)) for reason in LEFT_BY_BUTTON}
    found = [reason for reason, names in said.items() if wanted in {fold(name) for name in names}]
    found = found or [reason for reason, names in said.items() if any(wanted in fold(name) for name in names)]
    if not wanted or len(found) != 1:
        known = "; ".join(word(LEFT_MEANT, reason) for reason in LEFT_BY_BUTTON)
        raise ValueError(say("say why it is left out: {known}", known=known))
    return found[0]


def _part(text: str, book: Book) -> ButtonPart:
    """ "2 × Harbour Light @ Terrace 60 %" is two of it from that menu, which bring 60 % of the money."""
    if text in (serve.name for serve in book.all(Serve).values()):  # whatever signs there are in it
        return ButtonPart(serve=_serve(text, book))
    share = None
    if found := _SHARE.match(text):
        text, share = found["rest"], typed_share(found["share"])
    name, sign, of = text.rpartition("@")
    menu = find_name(of, [(one.id, one.name) for one in book.all(Menu).values()]) if sign else ""
    text = name.strip() if sign else text
    many = Decimal(1)
    if found := _MANY.match(text):
        many, text = Decimal(found["many"]), found["rest"]
    return ButtonPart(serve=_serve(text, book), count=many, menu=menu, share=share)


def _serve(text: str, book: Book) -> str:
    return find_name(text, [(serve.id, serve.name) for serve in book.all(Serve).values()])


def offers(typed: str, book: Book) -> Sequence[str]:
    """Whole texts that go on from what was typed: drinks, after a plus too, menus after an @, and reasons."""
    head, plus, last = typed.rpartition("+")
    before = f"{head.rstrip()}{PLUS}" if plus else ""
    name, at, menu = last.rpartition("@")
    if at:
        words = fold(menu).split()
        return [f"{before}{name.strip()} @ {one.name}" for one in book.all(Menu).values()
                if holds(fold(one.name), words)]  # fmt: skip
    return [*(before + one for one in _drinks(last, book)), *(() if plus else _reasons(typed))]


def _drinks(typed: str, book: Book) -> Iterator[str]:
    wanted = fold(typed)
    words = wanted.split()
    names = (serve.name for serve in book.all(Serve).values() if holds(fold(serve.name), words))
    yield from sorted(names, key=lambda name: (not fold(name).startswith(wanted), fold(name)))


def _reasons(typed: str) -> Iterator[str]:
    words = fold(typed).split()
    yield from (text for reason in LEFT_BY_BUTTON if holds(fold(text := left_text(reason)), words))
