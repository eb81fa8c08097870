"""Finding anything by a few letters: what there is in a book, folded once, and a ranked search over it.

Nothing here knows a screen or a language: kinds are codes, and whoever asks brings the words for them.
"""

import unicodedata
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from costing.book.book import Book
from costing.book.records import (
    BatchLog,
    Equipment,
    Glass,
    Good,
    Menu,
    Preparation,
    Quote,
    Serve,
    Supplier,
    Technique,
)

Worder = Callable[[str], str]
BEGINS, WORD_BEGINS, INSIDE, BESIDE, CLOSE = range(5)
"""How well a hit fits: the name begins with what was typed; words of it do; it is inside the name; it is in what stands
beside the name (a code, stages, the word for the kind); or the name only comes close, by a slip of the fingers."""
ONE_SLIP, TWO_SLIPS = 4, 7
"""Letters of a word from which on one slip is forgiven, and two."""
FEW = 8
"""With this many good hits nothing that merely comes close is looked for."""
_LETTERS = str.maketrans({"æ": "ae", "œ": "oe", "ø": "o", "đ": "d", "ł": "l", "þ": "th", "ð": "d", "ı": "i"})


def fold(text: str) -> str:
    """ "Crème  de Mûre" is "creme de mure": case, accents and runs of spaces do not count."""
    plain = text.casefold()
    if not plain.isascii():
        # "№" comes apart into letters that have a case, so it is taken off once more.
        flat = unicodedata.normalize("NFKD", plain.translate(_LETTERS)).casefold().replace("\u00ad", "")
        plain = "".join(letter for letter in flat if not unicodedata.combining(letter)).translate(_LETTERS)
    return " ".join(plain.split())


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One thing that can be found: ``kind`` and ``id`` say which, ``name`` is what it is called, ``more`` what else it
    goes by (a supplier's code, its stages, a day). ``borrowed``: the name is that of another
    record, which comes first."""

    kind: str
    id: str
    name: str
    more: str = ""
    borrowed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Hit:
    """An entry that was found, and how well it fits (``BEGINS`` best, ``CLOSE`` last)."""

    entry: Entry
    rank: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Hits of one kind, the best first, and how many more of the kind there are."""

    kind: str
    hits: tuple[Hit, ...]
    more: int = 0


def entries(book: Book, stage_word: Worder = str) -> Iterator[Entry]:
    """Everything in a book that has a name. A preparation goes by the stages of its latest version too, the latest
    quote of every code by the supplier and the code, a batch by its day and initials."""
    suppliers = {s.id: s.name for s in book.all(Supplier).values()}
    goods = {g.id: g.name for g in book.all(Good).values()}
    made = book.all(Preparation)
    for ident, name in goods.items():
        yield Entry(kind="good", id=ident, name=name)
    for preparation in made.values():
        stages = (stage_word(stage.kind) for v in preparation.versions[-1:] for stage in v.stages)
        yield Entry(kind="preparation", id=preparation.id, name=preparation.name, more=", ".join(dict.fromkeys(stages)))
    for serve in book.all(Serve).values():
        yield Entry(kind="serve", id=serve.id, name=serve.name)
    for menu in book.all(Menu).values():
        yield Entry(kind="menu", id=menu.id, name=menu.name, more=", ".join(s.name for s in menu.sections))
    for ident, name in suppliers.items():
        yield Entry(kind="supplier", id=ident, name=name)
    latest: dict[tuple[str, str, str, str], Quote] = {}
    for quote in book.all(Quote).values():
        if quote.code or quote.gtin:
            which = (quote.good, quote.supplier, quote.code, quote.gtin)
            if which not in latest or quote.since > latest[which].since:
                latest[which] = quote
    for quote in latest.values():
        more = " ".join(part for part in (quote.code, quote.gtin, suppliers.get(quote.supplier, "")) if part)
        name = goods.get(quote.good, quote.good)
        yield Entry(kind="quote", id=quote.id, name=name, more=more, borrowed=True)
    for log in book.all(BatchLog).values():
        of = made.get(log.preparation)
        more = " ".join(part for part in (log.day.isoformat(), log.initials) if part)
        name = of.name if of else log.preparation
        yield Entry(kind="batch", id=log.id, name=name, more=more, borrowed=True)
    for machine in book.all(Equipment).values():
        yield Entry(kind="equipment", id=machine.id, name=machine.name)
    for technique in book.all(Technique).values():
        yield Entry(kind="technique", id=technique.id, name=technique.name)
    for glass in book.all(Glass).values():
        yield Entry(kind="glass", id=glass.id, name=glass.name)


class Index:
    """Entries, folded once: 20,000 of them are searched in some milliseconds."""

    def __init__(self, found: Iterable[Entry], kind_word: Worder = str) -> None:
        """``kind_word`` gives the word for a kind, so that "lime juice preparation" is found as well."""
        self.entries = tuple(found)
        kinds = {kind: fold(kind_word(kind)) for kind in {e.kind for e in self.entries}}
        self._names = [fold(e.name) for e in self.entries]
        self._wholes = [
            f"{name} {fold(e.more)} {kinds[e.kind]}" if e.more else f"{name} {kinds[e.kind]}"
            for name, e in zip(self._names, self.entries, strict=True)
        ]
        self._vocabulary: dict[str, list[int]] | None = None
        self._letters: list[tuple[int, str]] = []

    def find(self, text: str) -> list[Hit]:
        """Everything that holds every word of ``text``, the best fit first, shorter names before longer ones; and where
        that is little, what comes close. Nothing for a text without a letter."""
        return [Hit(entry=self.entries[n], rank=rank) for rank, n in self._ranked(text)]

    def groups(self, text: str, each: int = 12) -> tuple[Group, ...]:
        """The same by kinds, the kind of the best hit first, at most ``each`` of one where there are several."""
        kinds: dict[str, list[tuple[int, int]]] = {}
        for rank, n in self._ranked(text):
            kinds.setdefault(self.entries[n].kind, []).append((rank, n))
        most = each if len(kinds) > 1 else each * 5
        return tuple(
            Group(
                kind=kind,
                hits=tuple(Hit(entry=self.entries[n], rank=rank) for rank, n in held[:most]),
                more=max(0, len(held) - most),
            )
            for kind, held in kinds.items()
        )

    def _ranked(self, text: str) -> list[tuple[int, int]]:
        """(rank, number) of every entry that fits, the best first."""
        wanted = fold(text)
        words = list(dict.fromkeys(wanted.split()))
        if not words:
            return []
        longest = max(words, key=len)
        held = [n for n, whole in enumerate(self._wholes) if longest in whole]
        if len(words) > 1:
            held = [n for n in held if all(word in self._wholes[n] for word in words)]
        ranked = [(self._rank(n, wanted, words), 0, len(self._names[n]), n) for n in held]
        if len(ranked) < FEW:
            known = set(held)
            for n, slips in self._close(words):
                if n not in known:
                    ranked.append((CLOSE, 2 * slips + self.entries[n].borrowed, len(self._names[n]), n))
        ranked.sort()
        return [(rank, n) for rank, _, _, n in ranked]

    def _rank(self, n: int, wanted: str, words: list[str]) -> int:
        name = self._names[n]
        if self.entries[n].borrowed:
            return BESIDE
        if name.startswith(wanted):
            return BEGINS
        if len(words) == 1:
            return WORD_BEGINS if f" {wanted}" in name else INSIDE if wanted in name else BESIDE
        begun = f" {name}"
        if all(f" {word}" in begun for word in words):
            return WORD_BEGINS
        return INSIDE if all(word in name for word in words) else BESIDE

    def _close(self, words: list[str]) -> list[tuple[int, int]]:
        """(entry, slips) where every word is there with at most the slips that its length forgives."""
        if all(len(word) < ONE_SLIP for word in words):
            return []
        found: dict[int, int] | None = None
        for word in words:
            slips = self._slips(word)
            found = slips if found is None else {n: found[n] + slips[n] for n in found.keys() & slips.keys()}
            if not found:
                return []
        return list((found or {}).items())

    def _slips(self, wanted: str) -> dict[int, int]:
        """Every entry with a word that begins like ``wanted``, by the fewest slips that lead there."""
        if self._vocabulary is None:
            self._vocabulary = {}
            for n, name in enumerate(self._names):
                for word in name.split():
                    self._vocabulary.setdefault(word, []).append(n)
            self._letters = [(_letters(word), word) for word in self._vocabulary]
        most = (len(wanted) >= ONE_SLIP) + (len(wanted) >= TWO_SLIPS)
        mask = _letters(wanted)
        out: dict[int, int] = {}
        for letters, word in self._letters:
            if (mask & ~letters).bit_count() > most or len(word) + most < len(wanted):
                continue
            slips = _apart(wanted, word[: len(wanted) + most], most)
            if slips <= most:
                for n in self._vocabulary[word]:
                    out[n] = min(slips, out.get(n, slips))
        return out


def _letters(word: str) -> int:
    """The letters of a word as bits, so that words which share too few are passed over without looking closer."""
    mask = 0
    for letter in word:
        mask |= 1 << (ord(letter) & 63)
    return mask


def _apart(wanted: str, word: str, most: int) -> int:
    """Slips between ``wanted`` and the nearest beginning of ``word``: a letter too many, too few, wrong, or two that
    changed places. More than ``most`` is said as ``most`` + 1.

    The dynamic programme over both words (Damerau's restricted distance) of which the best of the last row counts.
    """
    beyond = most + 1
    before: list[int] = []
    row = list(range(len(word) + 1))
    for i, letter in enumerate(wanted, 1):
        older, before = before, row
        row = [i]
        for j, other in enumerate(word, 1):
            least = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (letter != other))
            if i > 1 and j > 1 and letter == word[j - 2] and wanted[i - 2] == other:
                least = min(least, older[j - 2] + 1)
            row.append(least)
        if min(row) > most:
            return beyond
    return min(beyond, *row)
