"""The words of the book's names: how much each one says, and which of them a strange word may stand for.

Only a strange word may be an abbreviation or a slip of another: one that the catalogue hardly knows (in fewer than
``RARE`` goods) and that is no word of the trade. Words with a figure in them stand for themselves alone. What may be
forgiven without a person is kept apart from what is merely alike, which only ever suggests.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import log

from costing.supply.whose.number import counts, same_thing
from costing.supply.whose.trade import TRADE

RARE = 3
SHORTEST = 3
"""Letters that a word needs at least to stand for another."""
SLIP, SLIP_TWO = 5, 9
"""Letters from which one slip is forgiven, and two. The first letter is never forgiven."""
ALIKE = 0.7
"""The share of letters that a strange word shares, in order, with one that it is alike."""
NUMBER = 0.95
"""How alike a word and its plural are: less than the same word, more than any slip."""
COMMON = 1 / 25
"""The share of goods that a word of the trade is counted to be in beyond those that have it: in a short list too, "gin"
says less than a maker's name."""
FEWEST = 300
"""Goods that a shorter book is weighed as: its words are not common only because it is small."""
_AT_ONCE = 2_000
_VOWELS = frozenset("aeiou")


@dataclass(frozen=True, slots=True)
class Kin:
    """Words of the catalogue with their likeness, up to 1: those that a word may stand for, itself first, the likest
    next; and all of these with those that it is merely alike, be it in another number. ``plurals`` may be forgiven
    where things are counted or weighed. ``weight`` is what the word says: as much as the one that says most."""

    forgiven: tuple[tuple[str, float], ...]
    alike: tuple[tuple[str, float], ...]
    weight: float
    plurals: tuple[tuple[str, float], ...] = ()

    def stands(self, *, counted: bool) -> tuple[tuple[str, float], ...]:
        """What the word may stand for without a person; ``counted`` where a plural is the same thing."""
        return self.forgiven + self.plurals if counted else self.forgiven


class Vocabulary:
    """Words by the goods they name. ``names`` are (good, words)."""

    def __init__(self, names: Iterable[tuple[str, tuple[str, ...]]]) -> None:
        goods: defaultdict[str, set[str]] = defaultdict(set)
        everything = set()
        for good, words in names:
            everything.add(good)
            for word in words:
                goods[word].add(good)
        self._count: Mapping[str, int] = {word: len(found) for word, found in goods.items()}
        self._goods = max(len(everything), FEWEST)
        self._weights = {word: self._weigh(word, n) for word, n in self._count.items()}
        self._plain = [word for word in sorted(self._count) if _plain(word)]
        self._numbers: defaultdict[str, list[str]] = defaultdict(list)
        for word in self._plain:
            for other in counts(word):
                self._numbers[other].append(word)
        self._kin: dict[str, Kin] = {}

    def _weigh(self, word: str, goods: int) -> float:
        common = self._goods * COMMON if word in TRADE else 0.0
        return log(1 + self._goods / (goods + 0.5 + common)) ** 2

    def weight(self, word: str) -> float:
        """How much a word says: the square of log(1 + goods / goods that have it), as in the cosine of tf-idf."""
        found = self._weights.get(word)
        return self._weigh(word, 0) if found is None else found

    def ordinary(self, word: str) -> bool:
        """Whether a word is one that tells things apart: of the trade, or in the names of several goods."""
        return word in TRADE or self._count.get(word, 0) >= RARE

    def kin(self, word: str) -> Kin:
        """The words of the catalogue that a word may mean."""
        if word not in self._kin:
            self.meet((word,))
        return self._kin[word]

    def meet(self, words: Iterable[str]) -> None:
        """Find the kin of many words at once, which is much faster than one by one."""
        asked: list[str] = []
        for word in sorted(set(words) - self._kin.keys()):
            own = ((word, 1.0),) if word in self._count else ()
            self._kin[word] = Kin(own, own, self.weight(word))
            if _plain(word) and self._plain:
                asked.append(word)
        for start in range(0, len(asked), _AT_ONCE):
            self._compare(asked[start : start + _AT_ONCE])

    def _compare(self, words: list[str]) -> None:
        import numpy as np  # noqa: PLC0415  late: starting the program needs neither
        from rapidfuzz.distance import OSA, LCSseq  # noqa: PLC0415
        from rapidfuzz.process import cdist  # noqa: PLC0415

        rows = np.array([len(word) for word in words])[:, None]
        columns = np.array([len(word) for word in self._plain])[None, :]
        common = cdist(words, self._plain, scorer=LCSseq.similarity, dtype=np.int32, workers=1)
        slips = cdist(words, self._plain, scorer=OSA.distance, dtype=np.int32, workers=1)
        shorter = np.minimum(rows, columns)
        slip = (slips == 1) & (shorter >= SLIP) | (slips == 2) & (shorter >= SLIP_TWO)
        short = (common == shorter) & (rows != columns)
        alike = (slips <= 2) & (2 * common >= ALIKE * (rows + columns))
        found: defaultdict[str, list[tuple[str, float, bool]]] = defaultdict(list)
        for row, column in np.argwhere((slip | short | alike) & (slips > 0)).tolist():
            word, other = words[row], self._plain[column]
            stands = word[0] == other[0] and (
                (slip[row, column] and self._unheard(word)) or (short[row, column] and self._abbreviates(word, other))
            )
            if stands or (alike[row, column] and self._unheard(word)):
                like = 2 * int(common[row, column]) / (len(word) + len(other))
                found[word].append((other, like, bool(stands)))
        for word in words:
            if word in found or word in self._numbers:
                self._kin[word] = self._related(word, found[word])

    def _related(self, word: str, others: list[tuple[str, float, bool]]) -> Kin:
        """A word with those that it is alike, (word, likeness, whether it may stand for it), and those of its number.

        A plural is no nearer to its name than the word itself would be: where it is the rarer of the two, and so says
        more, it counts for what the word says.
        """
        others.sort(key=lambda kin: (-kin[1], kin[0]))
        own, numbers = self._kin[word].forgiven, self._numbers.get(word, ())
        alike = (*own, *((other, like) for other, like, _ in others))
        forgiven = (*own, *((other, like) for other, like, stands in others if stands))
        heard = [other for other, _ in alike] if own else [*(other for other, _ in alike), *numbers]
        weight = max(map(self.weight, heard))
        plurals = tuple((other, NUMBER * min(1.0, weight / self.weight(other))) for other in numbers)
        return Kin(
            forgiven,
            (*alike, *plurals),
            weight,
            tuple((other, like) for other, like in plurals if same_thing(word, other)),
        )

    def _unheard(self, word: str) -> bool:
        """Whether a word may be a slip: no good has it, and it is no word of the trade."""
        return word not in TRADE and word not in self._count

    def _abbreviates(self, one: str, other: str) -> bool:
        """Whether the shorter of two is strange enough to be a short form of the other, and made as short forms are: it
        begins the other, or has no vowel but at its ends."""
        short, long = sorted((one, other), key=len)
        made = long.startswith(short) or _VOWELS.isdisjoint(short[1:-1])
        return made and short not in TRADE and self._count.get(short, 0) < RARE


def _plain(word: str) -> bool:
    return len(word) >= SHORTEST and word.isalpha()
