"""Names of a pasted line against the names of the book: found, or only suggested. Never on likeness alone.

A name is chosen when exactly one thing bears it: first as it stands, then in another order or but for plural endings,
then among names that it holds but for words such as "fresh", or that hold all its words. What is merely alike is a
suggestion, because a thing that is missing has a sibling that looks like it: white rum is not dark rum.
"""

import difflib
import unicodedata
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from costing.book.book import Book
from costing.book.records import Good, Preparation
from costing.tables import fold

Reason = Literal["exact", "reordered", "plural", "fewer", "fuller", "held", "part", "alike"]
ORDER: tuple[Reason, ...] = ("exact", "reordered", "plural", "fewer", "fuller", "held", "part", "alike")
CHOOSES: Mapping[Reason, str] = {"exact": "", "reordered": "", "plural": "", "fewer": "", "fuller": "partly-named"}
"""The reasons that may choose, with the doubt that such a choice carries. "fuller" is a name that holds all the words
and ends as they do or holds two of them; "held" holds them otherwise; "part" is a name that the words hold."""
MOST = 5
LIKE = 0.6
"""At least this alike to be suggested: the share of letters that match, words in alphabetical order. What ends
in the same word, as white rum and dark rum, is suggested too."""
_PRAISE = frozenset(
    {"fresh", "freshly", "squeezed", "chilled", "quality", "best", "your", "our", "favourite", "favorite", "homemade"}
    | {"the", "a", "an", "of", "about", "large", "medium", "small", "ripe"}
)
"""Words that a line may have more than the book without meaning something else. Ice is none: ice cream is no cream."""


@dataclass(frozen=True, slots=True)
class Named:
    """One thing that may go into a stage: ``source`` as an Input names it, and the names it goes by. ``aliases``
    (its id and the like) name it only when they are met whole."""

    source: str
    names: tuple[str, ...]
    aliases: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Candidate:
    """One thing a pasted name may mean. ``score`` is 1 for the same words, else the likeness from 0 to 1."""

    source: str
    name: str
    score: float
    reason: Reason


Names = Book | Mapping[str, str] | Iterable[Named]
"""Where names come from: a book, source -> name, or Named records (for aliases)."""


def catalogue(names: Names) -> tuple[Named, ...]:
    """Everything that can be poured, counted or weighed in: goods of materials, preparations and their by-products."""
    if isinstance(names, Mapping):
        return tuple(Named(source, (name,)) for source, name in names.items())
    if not isinstance(names, Book):
        return tuple(names)
    out = [Named(good.id, (good.name,), (good.id,)) for good in names.all(Good).values() if good.layer == "materials"]
    for made in names.all(Preparation).values():
        out.append(Named(made.id, (made.name,), (made.id,)))
        kept = {f"{made.id}/{b.id}": b.name for version in made.versions for b in version.byproducts}
        out += [Named(source, (name,), (f"{made.name} {name}", source)) for source, name in kept.items()]
    return tuple(out)


@dataclass(frozen=True, slots=True, eq=False)
class _Form:
    """A name taken to pieces once: its words, the same without plural endings, those in a row, and what it is."""

    words: tuple[str, ...]
    bag: tuple[str, ...]
    folded: Mapping[str, int]
    sorted: str
    head: str


@lru_cache(maxsize=50_000)
def _form(name: str) -> _Form:
    plain = unicodedata.normalize("NFKD", name.casefold())
    words = "".join(c if c.isalnum() else " " for c in plain if not unicodedata.combining(c)).split()
    folded = fold(name).split()
    return _Form(tuple(words), tuple(sorted(words)), Counter(folded), " ".join(sorted(folded)), _head(name))


def candidates(name: str, among: Iterable[Named]) -> tuple[Candidate, ...]:
    """What ``name`` may mean, best first: all that bear it, and at most five that come close."""
    form = _form(name)
    if not form.words:
        return ()
    among = tuple(among)
    found = [best for named in among if (best := _best(form, named)) is not None]
    if not any(c.reason in ("exact", "reordered", "plural") for c in found):
        known = {c.source for c in found}
        found += _alike(form, [named for named in among if named.source not in known])
    found.sort(key=_rank)
    first = sum(c.reason in ("held", found[0].reason) for c in found) if found and found[0].reason in CHOOSES else 0
    return tuple(found[: max(MOST, first)])


def choose(found: tuple[Candidate, ...]) -> tuple[str | None, tuple[str, ...]]:
    """(the one source that the best reason names, doubts). None with "two-names" where two bear it, with "like-only"
    where something is merely alike, with "no-match" where nothing is."""
    if not found:
        return None, ("no-match",)
    best = found[0].reason
    if best not in CHOOSES:
        return None, ("like-only",)
    rivals = ("fuller", "held") if best == "fuller" else (best,)
    if sum(c.reason in rivals for c in found) > 1:
        return None, ("two-names",)
    return found[0].source, (CHOOSES[best],) if CHOOSES[best] else ()


def _rank(candidate: Candidate) -> tuple[int, float, str, str]:
    return ORDER.index(candidate.reason), -candidate.score, candidate.name, candidate.source


def _best(form: _Form, named: Named) -> Candidate | None:
    ranked = [c for other in named.names if (c := _compare(form, other, named.source)) is not None]
    ranked += [
        Candidate(named.source, other, 1.0, "exact") for other in named.aliases if _form(other).words == form.words
    ]
    return min(ranked, key=_rank, default=None)


def _compare(form: _Form, other: str, source: str) -> Candidate | None:
    """How one name holds the other, word by word; None where neither does."""
    them = _form(other)
    if form.words == them.words:
        return Candidate(source, other, 1.0, "exact")
    if form.bag == them.bag:
        return Candidate(source, other, 1.0, "reordered")
    if form.folded == them.folded:
        return Candidate(source, other, 1.0, "plural")
    ours, theirs = form.folded, them.folded
    if not theirs or ours.keys().isdisjoint(theirs.keys()):
        return None
    core = {w: n for w, n in ours.items() if w not in _PRAISE} or ours
    if core == theirs:
        return Candidate(source, other, _shared(core, theirs), "fewer")
    if _holds(theirs, core):
        return Candidate(
            source, other, _shared(core, theirs), "fuller" if len(core) > 1 or them.head in core else "held"
        )
    return Candidate(source, other, _shared(core, theirs), "part") if _holds(core, theirs) else None


def _holds(whole: Mapping[str, int], part: Mapping[str, int]) -> bool:
    return all(whole.get(word, 0) >= n for word, n in part.items())


def _shared(one: Mapping[str, int], two: Mapping[str, int]) -> float:
    """Words that both have, as a share of all their words."""
    a, b = Counter(one), Counter(two)
    return (a & b).total() / (a | b).total()


def _alike(form: _Form, among: Iterable[Named]) -> list[Candidate]:
    """What looks like it, letter by letter, or ends in the same word."""
    match = difflib.SequenceMatcher(None, "", form.sorted, autojunk=False)
    out = []
    for named in among:
        found = [c for other in named.names if (c := _looks(form, other, named.source, match)) is not None]
        if found:
            out.append(min(found, key=_rank))
    return out


def _looks(form: _Form, other: str, source: str, match: "difflib.SequenceMatcher[str]") -> Candidate | None:
    them = _form(other)
    match.set_seq1(them.sorted)
    kin = bool(form.head) and form.head == them.head
    near = match.real_quick_ratio() >= LIKE and match.quick_ratio() >= LIKE
    score = max(match.ratio() if near else 0.0, _shared(form.folded, them.folded) if kin or near else 0.0)
    return Candidate(source, other, score, "alike") if kin or score >= LIKE else None


def _head(name: str) -> str:
    """The word that says what a thing is: the last one before a comma, bracket or figure. "White rum 40 %" is a rum."""
    words = fold(name.partition(",")[0].partition("(")[0]).split()
    plain = [w for w in words if not any(ch.isdigit() for ch in w) and w not in ("vol", "abv")]
    return plain[-1] if plain else ""
