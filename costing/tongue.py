"""The language that words are said in: English in the code, the rest in ``resources/translations/*.po``.

``say`` looks a sentence up in the language of the present context, so that a report can be written in German in one
thread while the window speaks English in another. Codes and figures never pass through here, only words for people.
"""

import gettext
import io
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache

from costing.paths import names_in, resource

ENGLISH = "en"
PSEUDO, PSEUDO_RTL = "en-XA", "ar-XB"
"""The pseudo-languages of the Unicode CLDR: English with accents and a third longer, and the same from right to left.
What they leave in plain English is a sentence that nobody can translate."""
RIGHT_TO_LEFT = frozenset({"ar", "fa", "he", "ur", PSEUDO_RTL})
_spoken: ContextVar[str] = ContextVar("language", default=ENGLISH)
_ACCENTS = str.maketrans("aceinouyACEINOUYsz", "âçéîñôûýÂÇÉÎÑÔÛÝšž")


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
    if tag in (PSEUDO, PSEUDO_RTL):
        said = pseudo(one if n == 1 else many)
    else:
        said = _catalogue(tag).ngettext(one, many, n)
    return said.format(n=n, **figures)


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
