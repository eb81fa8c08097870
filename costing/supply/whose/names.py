"""Every name of the book by its words, and what of it comes near a line."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from costing.supply.whose.fold import Form, fold
from costing.supply.whose.record import Known
from costing.supply.whose.vocabulary import Vocabulary

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Likes = NDArray[np.float64]

NEAR = 0.35
"""Below this likeness a line has nothing to do with a name."""
_Reach = tuple[tuple[str, float], ...]
"""Words of the book with the likeness that a line's words have to them."""


@dataclass(frozen=True, slots=True, eq=False)
class Entry:
    """One name of a good, as it stands and taken to pieces; ``weight`` is what its words say together."""

    good: str
    name: str
    form: Form
    words: frozenset[str]
    weight: float


Near = Sequence[tuple[float, Entry]]


class Names:
    """All names of all goods."""

    def __init__(self, known: Iterable[Known], noise: frozenset[str]) -> None:
        forms: dict[tuple[str, Form], str] = {}
        for item in known:
            for name in (item.name, *item.names):
                form = fold(name, noise)
                if form.words:
                    forms.setdefault((item.good, form), name)
        self.vocabulary = Vocabulary((good, form.words) for good, form in forms)
        self.by_good: defaultdict[str, list[Entry]] = defaultdict(list)
        self._having: defaultdict[str, list[Entry]] = defaultdict(list)
        for (good, form), name in forms.items():
            weight = sum(map(self.vocabulary.weight, form.words))
            entry = Entry(good, name, form, frozenset(form.words), weight)
            self.by_good[good].append(entry)
            for word in entry.words:
                self._having[word].append(entry)
        self.entries = [entry for entries in self.by_good.values() for entry in entries]
        # A file of 100,000 lines against 2,000 names is 200 million likenesses: arrays, and numpy only from here on.
        import numpy as np  # noqa: PLC0415

        self._np = np
        at = {id(entry): n for n, entry in enumerate(self.entries)}
        self._at = {word: np.array([at[id(e)] for e in found]) for word, found in self._having.items()}
        self._weights = np.array([entry.weight for entry in self.entries], dtype=float)
        self._last: tuple[tuple[_Reach, float], Likes] | None = None

    def near(self, form: Form, least: float = NEAR) -> Near:
        """(likeness, name) for every name from ``least`` up, in the order of the book.

        The likeness is the share of both names' words that pair, each by what it says and how alike the two are: 1 for
        the same words.
        """
        likes = self._likes(form)
        return [(float(likes[n]), self.entries[n]) for n in self._np.flatnonzero(likes >= least)]

    def any_near(self, form: Form, taken: Callable[[Entry], bool] | None = None) -> bool:
        """Whether any name is near whose good is not ``taken``."""
        found = self._np.flatnonzero(self._likes(form) >= NEAR)
        if taken is None or not len(found):
            return bool(len(found))
        return any(not taken(self.entries[n]) for n in found)

    def strangers(self, form: Form, *, counted: bool) -> bool:
        """Whether a word of the line can stand for none of the book's."""
        kin = self.vocabulary.kin
        return any(not kin(word).stands(counted=counted) for word in form.words)

    def must(self, form: Form, *, counted: bool) -> frozenset[str]:
        """Words of a line that only the same word can pair with."""
        kin = self.vocabulary.kin
        return frozenset(
            word for word in form.words if not any(other != word for other, _ in kin(word).stands(counted=counted))
        )

    def likeness(self, form: Form, good: str) -> tuple[float, Entry | None]:
        """The nearest of a good's names; (0, None) where it has none."""
        reach, weight = self._reach(form)
        found = [(_like(_share(reach, entry, self.vocabulary), weight, entry), entry) for entry in self.by_good[good]]
        return max(found, key=lambda pair: (pair[0], pair[1].name), default=(0.0, None))

    def _reach(self, form: Form) -> tuple[_Reach, float]:
        """(the words of the book that a line's words may stand for, what its words say together)."""
        weight = 0.0
        words: dict[str, float] = {}
        for word in form.words:
            kin = self.vocabulary.kin(word)
            weight += kin.weight
            for other, like in kin.alike:
                if like > words.get(other, 0.0):
                    words[other] = like
        return tuple(sorted(words.items())), weight

    def _likes(self, form: Form) -> "Likes":
        """The likeness of every name, in the order of ``entries``; that of the last form is kept, because a line is
        asked about more than once."""
        key = self._reach(form)
        if self._last is None or self._last[0] != key:
            reach, weight = key
            shares = self._np.zeros(len(self.entries))
            for word, like in reach:
                shares[self._at[word]] += self.vocabulary.weight(word) * like  # a name has a word once
            likes = 2 * shares / (weight + self._weights) if len(shares) else shares
            self._last = key, self._np.minimum(likes, 1.0)
        return self._last[1]


def _share(reach: _Reach, entry: Entry, vocabulary: Vocabulary) -> float:
    return sum(vocabulary.weight(word) * like for word, like in reach if word in entry.words)


def _like(share: float, weight: float, entry: Entry) -> float:
    return min(2 * share / (weight + entry.weight), 1.0)
