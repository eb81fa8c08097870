"""What a button means: as somebody confirmed it, or surely by its name; and what one that waits may mean."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from types import MappingProxyType
from typing import Literal

from costing.book.book import Book
from costing.book.records import Serve
from costing.book.selling import Button, ButtonPart, Left
from costing.supply.columns.folding import folded
from costing.supply.till.record import plain_text
from costing.supply.till.vocabulary import LEFT_WORDS
from costing.tables import fold

MOST = 3
"""Suggestions for one button."""
LEAST = 55.0
"""Below this likeness (of 100) nothing is suggested."""
SAME_PRICE = 6.0
"""What the same price adds to a likeness."""
WORDS = 85.0
"""The likeness of a button whose words say that it sells no drink."""
_PHRASES: tuple[tuple[Left, tuple[str, ...]], ...] = tuple(
    (reason, tuple(folded(phrase).split())) for reason, phrases in LEFT_WORDS for phrase in phrases.split(",")
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Suggested:
    """What a button may mean: a drink (``serve``, on ``menu``), or none for ``reason``. ``likeness`` is from 0 to 100,
    ``like`` the name it stands on, and ``why`` how: a button of the same code or of the same text, words that are
    "alike", or a "word" for what is no drink. Never taken unless somebody says so."""

    sort: Literal["sale", "instead", "left"] = "sale"
    parts: tuple[ButtonPart, ...] = ()
    reason: Left = ""
    likeness: float = 0.0
    like: str = ""
    why: Literal["renamed", "other code", "alike", "word"] = "alike"

    @property
    def serve(self) -> str:
        """The drink, "" where it is none or several."""
        return self.parts[0].serve if len(self.parts) == 1 else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """``button`` as known, or None; ``sure`` is the drink whose very name the text is; ``suggested`` from buttons whose
    code or text alone is the same."""

    button: Button | None = None
    sure: str = ""
    suggested: tuple[Suggested, ...] = ()

    @property
    def unknown(self) -> bool:
        """Whether nobody has said it."""
        return self.button is None and not self.sure


def same_meaning(one: Button, other: Button) -> bool:
    """Whether two buttons say the same thing."""
    return (one.sort, one.parts, one.reason) == (other.sort, other.parts, other.reason)


class Meanings:
    """Buttons of a book, with those that somebody confirmed just now in front."""

    def __init__(self, book: Book, confirmed: Iterable[Button] = ()) -> None:
        self._serves = book.all(Serve)
        self._exact: dict[tuple[str, str], Button] = {}
        for button in (*book.all(Button).values(), *confirmed):
            self._exact[button.code, plain_text(button.text)] = button
        self._by_text: dict[str, list[Button]] = {}
        self._by_code: dict[str, list[Button]] = {}
        for button in self._exact.values():
            self._by_text.setdefault(plain_text(button.text), []).append(button)
            if button.code:
                self._by_code.setdefault(button.code, []).append(button)
        self._known: dict[tuple[str, str], Meaning] = {}

    @cached_property
    def _named(self) -> Mapping[str, str]:
        """Drinks by their folded name; a name that two drinks share is none."""
        out: dict[str, str] = {}
        for serve in self._serves.values():
            name = fold(serve.name)
            out[name] = "" if name in out else serve.id
        return out

    def of(self, code: str, text: str) -> Meaning:
        """The meaning of a button by its code and text as they are printed."""
        key = code, plain_text(text)
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = self._find(*key, text)
        return found

    def _find(self, code: str, plain: str, text: str) -> Meaning:
        if (code, plain) in self._exact:
            return Meaning(button=self._exact[code, plain])
        by_text, by_code = self._by_text.get(plain, []) if plain else [], self._by_code.get(code, [])
        alike = by_text if not code else [button for button in by_text if not button.code]
        if not plain:
            alike = by_code
        if alike and all(same_meaning(alike[0], other) for other in alike):
            return Meaning(button=alike[0])
        offers = [_of_button(button, "renamed") for button in by_code]
        offers += [_of_button(button, "other code") for button in by_text]
        if not offers and (serve := self._named.get(fold(text), "")):
            return Meaning(sure=serve)
        return Meaning(suggested=tuple(offers[:MOST]))

    def suggest(self, text: str, same_price: Mapping[str, str] = MappingProxyType({})) -> tuple[Suggested, ...]:
        """What a text may mean, the nearest first; ``same_price`` are drinks whose printed price was paid for it, and
        the menu where that tells it ("" where every menu prints it)."""
        found = []
        for serve in self._serves.values():
            alike = likeness(text, serve.name) + (SAME_PRICE if serve.id in same_price else 0.0)
            part = ButtonPart(serve=serve.id, menu=same_price.get(serve.id, ""))
            found.append(Suggested(parts=(part,), like=serve.name, likeness=min(100.0, alike)))
        for button in self._exact.values():
            alike = likeness(text, button.text)
            if alike >= LEAST:
                found.append(_of_button(button, "alike", alike))
        word = _left_word(text)
        if word is not None:
            found.append(word)
        best: dict[tuple[str, tuple[ButtonPart, ...], Left], Suggested] = {}
        for one in sorted(found, key=lambda one: -one.likeness):
            if one.likeness >= LEAST:
                best.setdefault((one.sort, one.parts, one.reason), one)
        return tuple(best.values())[:MOST]


def _of_button(button: Button, why: Literal["renamed", "other code", "alike"], alike: float = 100.0) -> Suggested:
    return Suggested(
        sort=button.sort, parts=button.parts, reason=button.reason, likeness=alike, like=button.text, why=why
    )  # fmt: skip


def likeness(text: str, name: str) -> float:
    """How alike a shortened text and a name are, 0 to 100: word by word, where a word may be the beginning of another
    or some of its letters in their order; the better of that and the likeness of all letters."""
    from rapidfuzz import fuzz  # noqa: PLC0415  only who has a button that waits pays for it

    ours, theirs = _words(text), _words(name)
    if not ours or not theirs:
        return 0.0
    here = sum(max(_word(w, v) for v in theirs) * len(w) for w in ours) / sum(map(len, ours))
    there = sum(max(_word(w, v) for w in ours) * len(v) for v in theirs) / sum(map(len, theirs))
    whole = float(fuzz.token_sort_ratio(" ".join(ours), " ".join(theirs)))
    return max(whole, 0.7 * here + 0.3 * there)


def _words(text: str) -> list[str]:
    """Words without sizes and strengths ("0,4", "15cl")."""
    return [word for word in fold(text).split() if not any(ch.isdigit() for ch in word) or word.isalpha()]


def _word(ours: str, theirs: str) -> float:
    from rapidfuzz import fuzz  # noqa: PLC0415

    if ours == theirs:
        return 100.0
    if len(ours) == 1 or len(theirs) == 1:
        return 60.0 if ours[0] == theirs[0] else 0.0
    if theirs.startswith(ours) or ours.startswith(theirs):
        return 95.0
    if ours[0] == theirs[0] and len(ours) < len(theirs) and _inside(ours, theirs):
        return 88.0
    return 0.8 * float(fuzz.ratio(ours, theirs))


def _inside(short: str, long: str) -> bool:
    """Whether the letters of one word stand in another in their order."""
    letters = iter(long)
    return all(letter in letters for letter in short)


def _left_word(text: str) -> Suggested | None:
    words = folded(text).split()
    best: tuple[int, Left, str] | None = None
    for reason, phrase in _PHRASES:
        size = len(phrase)
        places: Sequence[int] = range(1) if reason in ("modifier", "not named") else range(len(words) - size + 1)
        if any(tuple(words[i : i + size]) == phrase for i in places) and (best is None or size > best[0]):
            best = size, reason, " ".join(phrase)
    if best is None:
        return None
    return Suggested(sort="left", reason=best[1], likeness=WORDS, like=best[2], why="word")


def at_price(each: Decimal, prices: Mapping[tuple[str, str], Decimal]) -> dict[str, str]:
    """Drinks that a menu prints at a price, and which: "" where all menus that print the drink ask that."""
    out: dict[str, str] = {}
    for (menu, serve), price in prices.items():
        if price == each and serve not in out:
            all_ask = all(other == each for (_, same), other in prices.items() if same == serve)
            out[serve] = "" if all_ask else menu
    return out
