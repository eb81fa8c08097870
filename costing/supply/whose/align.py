"""Two names side by side, word by word: what pairs, and what is left on either side."""

from collections import Counter
from dataclasses import dataclass

from costing.supply.whose.vocabulary import Vocabulary


@dataclass(frozen=True, slots=True)
class Alignment:
    """``forgiven`` are pairs that are not the same word; ``line`` and ``good`` what found no partner, in order."""

    forgiven: tuple[tuple[str, str], ...]
    line: tuple[str, ...]
    good: tuple[str, ...]

    @property
    def whole(self) -> bool:
        """Whether every word of both has its partner."""
        return not self.line and not self.good


def align(line: tuple[str, ...], good: tuple[str, ...], vocabulary: Vocabulary, *, counted: bool = False) -> Alignment:
    """Equal words first, then the likeliest short forms and slips, and plurals where things are ``counted``; no word
    twice. Order does not count."""
    ours = list((Counter(line) - Counter(good)).elements())
    theirs = list((Counter(good) - Counter(line)).elements())
    if not ours or not theirs:
        return Alignment((), tuple(ours), tuple(theirs))
    pairs = sorted(
        (-like, word, other)
        for word in set(ours)
        for other, like in vocabulary.kin(word).stands(counted=counted)
        if other in theirs
    )
    forgiven = []
    for _, word, other in pairs:
        if word in ours and other in theirs:
            ours.remove(word)
            theirs.remove(other)
            forgiven.append((word, other))
    return Alignment(tuple(forgiven), tuple(ours), tuple(theirs))
