"""The language that words are said in: English in the code, the rest in ``resources/translations/*.po``.

``say`` looks a sentence up in the language of the present context, so that a report can be written in German in one
thread while the window speaks English in another (a new thread begins in English: call ``speak`` there). Codes never
pass through here, only words for people; figures take the marks of the language, and nothing else of them changes.
``python -m resources.translate`` collects every literal that is said, and every table of words.
"""

import gettext
import io
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date
from functools import lru_cache

from costing.paths import names_in, resource

ENGLISH = "en"
PSEUDO, PSEUDO_RTL = "en-XA", "ar-XB"
"""The pseudo-languages of the Unicode CLDR: English with accents and a third longer, and the same from right to left.
What they leave in plain English is a sentence that nobody can translate."""
RIGHT_TO_LEFT = frozenset({"ar", "fa", "he", "ur", PSEUDO_RTL})
Words = Mapping[str, str]
"""A table of words by code, in English. The collector takes every text in a table that is marked so, or is ``Sayings``;
it is looked up late, with ``say_word`` or ``word``."""
Sayings = tuple[str, ...]
"""Several texts that are looked up late, such as the headings of a sheet."""
Saying = str
"""One such text."""
_spoken: ContextVar[str] = ContextVar("language", default=ENGLISH)
_ACCENTS = str.maketrans("aceinouyACEINOUYsz", "âçéîñôûýÂÇÉÎÑÔÛÝšž")
_MARKS: Mapping[str, tuple[str, str]] = {"de": (",", ".")}
"""(decimal mark, mark of thousands) where they are not the English ones. Digits are 0 to 9 everywhere."""
_DAYS: Mapping[str, str] = {"de": "{day:%d.%m.%Y}", "ar": "{day:%d/%m/%Y}"}
"""How a day is written; the others take the order of ISO 8601."""


def language() -> str:
    """The language of this context, as a BCP 47 tag."""
    return _spoken.get()


def right_to_left(tag: str | None = None) -> bool:
    """Whether a language (this context's by default) is written from right to left."""
    return (tag or language()) in RIGHT_TO_LEFT


def languages() -> tuple[str, ...]:
    """What can be spoken, English first."""
    return (ENGLISH, *sorted(name.removesuffix(".po") for name in names_in("translations") if name.endswith(".po")))


def speak(tag: str) -> None:
    """Speak ``tag`` from here on in this context. ValueError for a language that is not there."""
    if tag not in {*languages(), PSEUDO, PSEUDO_RTL}:
        raise ValueError(f"there is no language {tag!r}: one of {', '.join(languages())}")
    _spoken.set(tag)


@contextmanager
def speaking(tag: str) -> Iterator[None]:
    """Speak ``tag`` inside the block."""
    before = _spoken.get()
    speak(tag)
    try:
        yield
    finally:
        _spoken.set(before)


def say(text: str, /, **figures: object) -> str:
    """The sentence in the language of the context, with ``{figures}`` put in. A translation that does not fit its
    figures is passed over for the English one."""
    said = _said(text)
    if not figures:
        return said
    try:
        return said.format(**figures)
    except (KeyError, IndexError, ValueError):
        return text.format(**figures)


def say_many(one: str, many: str, n: int, /, **figures: object) -> str:
    """``one`` or ``many``, as the language counts ``n``; ``{n}`` is put in too."""
    tag = language()
    english = one if n == 1 else many
    said = pseudo(english) if tag in (PSEUDO, PSEUDO_RTL) else _catalogue(tag).ngettext(one, many, n)
    figures = {"n": n, **figures}
    try:
        return said.format(**figures)
    except (KeyError, IndexError, ValueError):
        return english.format(**figures)


def say_word(text: str, /, **figures: object) -> str:
    """``say`` for a text out of a table of words, which the collector finds by the table's mark and not here."""
    return say(text, **figures)


def word(table: Words, code: str) -> str:
    """The word of a code; a code the table does not have stands for itself."""
    return _said(table[code]) if code in table else code


def capital(text: str) -> str:
    """The text beginning with a capital letter, the rest as it is."""
    return text[:1].upper() + text[1:]


def numeral(text: str) -> str:
    """A number as Python writes it (1,234.5), with the marks of the language: 1.234,5 in German."""
    marks = _MARKS.get(language())
    if marks is None:
        return text
    return text.translate({ord("."): marks[0], ord(","): marks[1]})


def day_text(day: date) -> str:
    """A day in figures, as the language orders them."""
    pattern = _DAYS.get(language())
    return pattern.format(day=day) if pattern else day.isoformat()


def pseudo(text: str) -> str:
    """A text that is plainly not English and a third longer; ``{fields}`` and mnemonics stay as they are."""
    out, depth = [], 0
    for ch in text:
        depth += {"{": 1, "}": -1}.get(ch, 0)
        out.append(ch if depth else ch.translate(_ACCENTS))
    return f"[{''.join(out)}{'·' * (len(text) // 3)}]" if text.strip() else text


def _said(text: str) -> str:
    tag = language()
    if tag == ENGLISH or not text:
        return text
    if tag in (PSEUDO, PSEUDO_RTL):
        return pseudo(text)
    return _catalogue(tag).gettext(text)


@lru_cache(maxsize=8)
def _catalogue(tag: str) -> gettext.NullTranslations:
    if tag not in languages()[1:]:
        return gettext.NullTranslations()
    import polib  # noqa: PLC0415  English, the language of most starts, needs no catalogue

    text = resource("translations", f"{tag}.po").decode("utf-8")
    return gettext.GNUTranslations(io.BytesIO(polib.pofile(text).to_binary()))
