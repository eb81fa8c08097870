"""The structural rule: a line means a good when every word of both has its partner, at the same size, and no other good
fits. No likeness decides, however high: what is missing from the book has a sibling in it that looks like a new name.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import IntEnum
from typing import TypeVar

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.whose.align import Alignment, align
from costing.supply.whose.fold import Form, amounts
from costing.supply.whose.identity import Identities
from costing.supply.whose.names import Entry, Names
from costing.supply.whose.number import same_thing
from costing.supply.whose.packs import far, sizes_of, told, unknown_pack, unsold_pack
from costing.supply.whose.record import Asked, Match

T = TypeVar("T")
LIKE = 0.55
"""Names whose words all pair are still no match below this likeness: too much of it is forgiven."""
WIDTH = Decimal("0.25")
"""The share by which the price for a base unit may differ from the last one."""


class Fit(IntEnum):
    """How well a name whose words all pair fits, the best first. The first two bear the name: rivals of each other."""

    SAME = 0
    SIZE_UNKNOWN = 1
    OTHER_SIZE = 2
    OTHER_YEAR = 3
    OTHER_STRENGTH = 4


@dataclass(frozen=True, slots=True)
class Fitting:
    """A name that fits a line."""

    fit: Fit
    entry: Entry
    alignment: Alignment


def by_words(asked: Asked, form: Form, names: Names, known: Identities) -> Match | None:
    """What the words of a line mean; None where no name fits. Never sure between two goods."""
    counted = _counted(asked)
    if not form.words or names.strangers(form, counted=counted):
        return None
    must = names.must(form, counted=counted)
    found = [
        (entry, align(form.words, entry.form.words, names.vocabulary, counted=counted))
        for _, entry in names.near(form, LIKE)
        if must <= entry.words and len(entry.form.words) == len(form.words)  # words pair one by one
    ]
    whole = [(entry, alignment) for entry, alignment in found if alignment.whole]
    same = [(entry, alignment) for entry, alignment in whole if not alignment.forgiven]
    fits: dict[str, Fitting] = {}
    for entry, alignment in same or whole:
        fitting = Fitting(_fit(asked, form, entry, known), entry, alignment)
        best = fits.get(entry.good)
        if best is None or (fitting.fit, entry.name) < (best.fit, best.entry.name):
            fits[entry.good] = fitting
    if not fits:
        return None
    best_fit = min(fitting.fit for fitting in fits.values())
    rivals = [f for f in fits.values() if f.fit <= max(best_fit, Fit.SIZE_UNKNOWN)]
    if len(rivals) > 1:
        one, other = sorted(known.names[f.entry.good] for f in rivals)[:2]
        return Match(how="suggested", doubts=(doubt("two-goods", one=one, other=other),))
    return _one(asked, form, rivals[0], known)


def longer(asked: Asked, form: Form, good: str, names: Names, known: Identities) -> tuple[str, ...]:
    """Other goods of the line's size whose names begin with all its words: one of them may be meant where a text was
    cut to the width of its column."""
    count = len(form.words)
    found = {
        entry.good
        for _, entry in names.near(form)
        if entry.form.words[:count] == form.words and len(entry.form.words) > count and entry.good != good
    }
    return tuple(sorted(other for other in found if asked.size in sizes_of(known.of_good[other])))


def _counted(asked: Asked) -> bool:
    """Whether a line is of pieces or by weight: many limes are limes, but what is poured bears a name."""
    return asked.size is not None and asked.size[1] != "ml"


def _fit(asked: Asked, form: Form, entry: Entry, known: Identities) -> Fit:
    if form.years != entry.form.years:
        return Fit.OTHER_YEAR
    if apart(form.strengths, entry.form.strengths):
        return Fit.OTHER_STRENGTH
    sizes = sizes_of(known.of_good[entry.good])
    if asked.size is None or not sizes:
        return Fit.SIZE_UNKNOWN
    if asked.size not in sizes or (asked.size[1] == "each" and apart(amounts(form), amounts(entry.form))):
        return Fit.OTHER_SIZE  # "tumbler 30 cl" and "tumbler 35 cl" are both one piece
    return Fit.SAME


def _one(asked: Asked, form: Form, fitting: Fitting, known: Identities) -> Match:
    good, there = fitting.entry.good, fitting.entry.form
    items = known.of_good[good]
    pack = unknown_pack(asked, items) or unsold_pack(asked, items)
    doubts: list[Doubt] = [] if pack is None else [pack]
    if fitting.fit is Fit.OTHER_YEAR:
        doubts.insert(0, doubt("other-vintage", line=said(form.years), known=said(there.years)))
    elif fitting.fit is Fit.OTHER_STRENGTH:
        doubts.insert(0, doubt("other-strength", line=said(form.strengths), known=said(there.strengths)))
    elif fitting.fit is Fit.SIZE_UNKNOWN:
        doubts.insert(0, doubt("size-unknown", "pack", name=known.names[good]))
    elif fitting.fit is Fit.OTHER_SIZE and pack is None:
        line, of_good = (", ".join(map(told, sorted(amounts(f)))) for f in (form, there))
        doubts.insert(0, doubt("other-size", "pack", line=line, known=of_good))
    if cut := _cut_short(form, fitting.alignment, counted=_counted(asked)):
        doubts.append(doubt("cut-short", "name", line=cut, name=known.names[good]))
    price = far(asked, items, WIDTH)
    if price is not None:
        doubts.append(price)
    return Match(
        good=good,
        how="suggested" if fitting.fit in (Fit.OTHER_YEAR, Fit.OTHER_STRENGTH) else "words",
        sure=not doubts,
        new_pack=pack is not None or fitting.fit is Fit.OTHER_SIZE,
        vintage=fitting.fit is Fit.OTHER_YEAR,
        doubts=tuple(doubts),
    )


def _cut_short(form: Form, alignment: Alignment, *, counted: bool) -> str:
    """The last word of a line where it is the beginning of another: a text that was cut to the width of its column may
    have lost more than the rest of that word. A lime for limes, counted, is none. "" otherwise."""
    last = form.words[-1]
    begun = (other for word, other in alignment.forgiven if word == last and other.startswith(last))
    return last if any(not (counted and same_thing(last, other)) for other in begun) else ""


def apart(one: frozenset[T], other: frozenset[T]) -> bool:
    """Whether both say something, and nothing in common."""
    return bool(one) and bool(other) and one.isdisjoint(other)


def said(texts: frozenset[str]) -> str:
    """Several texts in one, a dash for none."""
    return ", ".join(sorted(texts)) or "–"
